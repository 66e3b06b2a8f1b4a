package optimum

import (
	"cmp"
	"slices"
)

// few is the number of useful repairs up to which every set of them is weighed.
const few = 6

// bunch is a set of repairs in order, with the state after its retest and its minutes times
// the chance of the state before.
type bunch struct {
	repairs []int
	after   *state
	minutes float64
	rate    float64 // chance of dry per minute
}

func (s *state) bunch(repairs []int) bunch {
	n := s.fork()
	t := 0.0
	for _, r := range repairs {
		c, _ := n.attempt(r)
		t += c
	}
	return s.close(repairs, n, t)
}

// close ends a batch with its retest.
func (s *state) close(repairs []int, n *state, t float64) bunch {
	whole := t + s.x.closeCost(n.open&s.x.shut) + s.x.Retest
	b := bunch{repairs: slices.Clone(repairs), after: n, minutes: s.mass*t + n.retest(s.mass)}
	b.rate = (s.mass - n.mass) / max(whole, 1e-12)
	return b
}

// bunches lists the batches worth weighing: all sets where the useful repairs are few; else
// the leading ones of each cluster in the order of chance per minute, and their unions in the
// order of that rate.
func (s *state) bunches() []bunch {
	useful, places := s.places()
	var out []bunch
	if len(useful) <= few {
		for mask := 1; mask < 1<<len(useful); mask++ {
			var set []int
			for i, r := range useful {
				if mask>>i&1 == 1 {
					set = append(set, r)
				}
			}
			out = append(out, s.bunch(set))
		}
		return out
	}
	var best []bunch
	for _, list := range places {
		n, t, size, rate := s.fork(), 0.0, 0, 0.0
		for k, r := range list {
			c, _ := n.attempt(r)
			t += c
			now := (s.mass - n.mass) / max(t+s.x.closeCost(n.open&s.x.shut)+s.x.Retest, 1e-12)
			if now <= rate {
				break
			}
			size, rate = k+1, now
		}
		if size > 0 {
			best = append(best, s.bunch(list[:size]))
		}
	}
	slices.SortStableFunc(best, func(a, b bunch) int { return cmp.Compare(b.rate, a.rate) })
	best = best[:min(len(best), 6)]
	union := []int{}
	for k, b := range best {
		union = append(union, b.repairs...)
		out = append(out, b)
		if len(b.repairs) > 1 {
			out = append(out, s.bunch(b.repairs[:1]))
		}
		if k > 0 {
			out = append(out, s.bunch(union))
		}
	}
	return out
}

// places lists the useful repairs, and cluster by cluster in the order of chance per minute.
func (s *state) places() ([]int, [][]int) {
	x := s.x
	var useful []int
	by := make([][]int, len(x.path))
	rate := make([]float64, len(x.Repairs))
	for r := range x.Repairs {
		if p := s.promise(r); p > 0 {
			rate[r] = p / max(x.Repairs[r].Minutes, 1e-9)
			useful = append(useful, r)
			by[x.mendAt[r]] = append(by[x.mendAt[r]], r)
		}
	}
	by = slices.DeleteFunc(by, func(l []int) bool { return len(l) == 0 })
	for _, l := range by {
		slices.SortFunc(l, func(a, b int) int {
			switch {
			case rate[a] > rate[b]:
				return -1
			case rate[a] < rate[b]:
				return 1
			}
			return x.rank[a] - x.rank[b]
		})
	}
	return useful, by
}
