package optimum

// What is left of a large model is solved exactly when it is no larger than this.
const (
	restFaults  = 5
	restRepairs = 5
	restChecks  = 2
	restStates  = 2000
)

// rest is the exact value of a state, times its chance, where so little is left of a
// single-fault model that the optimum is as quick as looking ahead.
func (s *state) rest() (float64, bool) {
	x := s.x
	if x.Several || x.spoils != 0 {
		return 0, false
	}
	var live []int
	for e := range x.sets {
		if s.w[e]*s.wet[e] > 0 {
			if live = append(live, e); len(live) > restFaults || len(x.sets[e]) > 1 {
				return 0, false
			}
		}
	}
	n := &machine{Model: Model{Faults: x.Faults, Clusters: x.Clusters, Retest: x.Retest, LastResort: x.LastResort}, path: x.path, opened: s.open, shut: x.shut, holds: make([][]int, len(x.Faults))}
	for i, e := range live {
		n.sets = append(n.sets, x.sets[e])
		n.weight = append(n.weight, s.w[e]*s.wet[e])
		n.holds[x.sets[e][0]] = append(n.holds[x.sets[e][0]], i)
	}
	for r := range x.Repairs {
		if s.promise(r) > 0 {
			repair := x.Repairs[r]
			repair.Tries = x.tries(r) - int(s.done[r])
			n.Repairs = append(n.Repairs, repair)
			n.fixes, n.chance = append(n.fixes, x.fixes[r]), append(n.chance, x.chance[r])
			n.mendAt = append(n.mendAt, x.mendAt[r])
		}
	}
	for c := range x.Checks {
		if s.used[c] {
			continue
		}
		answers, tells := make([][]float64, len(x.tells[c])), false
		for a := range answers {
			answers[a] = make([]float64, len(live))
			for i, e := range live {
				answers[a][i] = x.tells[c][a][e]
				tells = tells || answers[a][i] != answers[a][0]
			}
		}
		if tells { // another check would only cost its minutes
			n.Checks = append(n.Checks, x.Checks[c])
			n.tells = append(n.tells, answers)
			n.checkAt = append(n.checkAt, x.checkAt[c])
		}
	}
	if len(n.Repairs) > restRepairs || len(n.Checks) > restChecks {
		return 0, false
	}
	n.measure()
	e, err := n.exact(Limits{States: restStates}, n.weight, make([]uint8, len(n.Repairs)), s.open)
	if err != nil {
		return 0, false
	}
	return e.value(e.begin), true
}
