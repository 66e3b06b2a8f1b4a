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
	t, mending := 0.0, 0.0
	for _, r := range repairs {
		c, m := n.attempt(r)
		t, mending = t+c, mending+m
	}
	b := bunch{repairs: slices.Clone(repairs), after: n}
	b.rate = s.rate(n, t, mending)
	b.minutes = s.mass()*t + mending + s.retest(n)
	return b
}

// rate is the chance of dry per minute of a batch made on a fork, s being the state before it.
func (s *state) rate(n *state, minutes, mending float64) float64 {
	whole := minutes + mending/max(s.mass(), 1e-300) + s.x.closeCost(n.open&s.x.shut) + s.x.Retest
	return s.gain(n) / max(whole, 1e-12)
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
		n, t, mending, size, rate := s.fork(), 0.0, 0.0, 0, 0.0
		for k, r := range list {
			c, m := n.attempt(r)
			t, mending = t+c, mending+m
			now := s.rate(n, t, mending)
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

// places lists the useful repairs, and cluster by cluster in the order of chance per minute,
// searches apart.
func (s *state) places() (useful []int, places [][]int) { return s.placesIn(&placing{}) }

// placing is memory for places that is used again.
type placing struct {
	useful []int
	by     [][]int
	places [][]int
	rate   []float64
}

// placesIn is places on memory that the next call overwrites.
func (s *state) placesIn(m *placing) ([]int, [][]int) {
	x := s.x
	if m.by == nil {
		m.by = make([][]int, 2*len(x.path)) // a search stands apart from the cures that need none
		m.rate = make([]float64, len(x.Repairs))
	}
	useful, by, rate := m.useful[:0], m.by, m.rate
	for i := range by {
		by[i] = by[i][:0]
	}
	for r := range x.Repairs {
		p := s.promise(r)
		again := x.path[x.mendAt[r]]&x.spoils != 0 && int(s.done[r]) < x.tries(r) // it may be wanted once a closing has failed
		if p <= 0 && !again {
			continue
		}
		rate[r] = p / max(x.Repairs[r].Minutes, 1e-9)
		at := 2 * x.mendAt[r]
		if x.Repairs[r].Mend != nil || p <= 0 {
			at++
		}
		by[at] = append(by[at], r)
		if p > 0 {
			useful = append(useful, r)
		}
	}
	places := m.places[:0]
	for _, l := range by {
		if len(l) == 0 {
			continue
		}
		places = append(places, l)
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
	m.useful, m.places = useful, places
	return useful, places
}
