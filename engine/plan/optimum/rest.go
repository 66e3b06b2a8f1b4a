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
	if x.Several {
		return 0, false
	}
	var live []int
	for e := range x.sets {
		if s.w[e]*s.wet[e] > 0 {
			if live = append(live, e); len(live) > restFaults {
				return 0, false
			}
		}
	}
	n := &machine{Model: Model{Faults: x.Faults, Clusters: x.Clusters, Retest: x.Retest, LastResort: x.LastResort}, path: x.path, shut: x.shut, holds: make([][]int, len(x.Faults))}
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
			n.fixes = append(n.fixes, x.fixes[r])
			n.mendAt = append(n.mendAt, x.mendAt[r])
		}
	}
	for c := range x.Checks {
		if s.used[c] {
			continue
		}
		yes, tells := make([]float64, len(live)), false
		for i, e := range live {
			yes[i] = x.yes[c][e]
			tells = tells || yes[i] != yes[0]
		}
		if tells { // another check would only cost its minutes
			n.Checks = append(n.Checks, x.Checks[c])
			n.yes = append(n.yes, yes)
			n.checkAt = append(n.checkAt, x.checkAt[c])
		}
	}
	if len(n.Repairs) > restRepairs || len(n.Checks) > restChecks {
		return 0, false
	}
	e, err := n.exact(Limits{States: restStates}, n.weight, make([]uint8, len(n.Repairs)), s.open)
	if err != nil {
		return 0, false
	}
	return e.value(key{open: s.open}), true
}
