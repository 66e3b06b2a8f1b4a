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
		n, t := s.fork(), 0.0
		win := bunch{rate: -1}
		for k, r := range list {
			c, _ := n.attempt(r)
			t += c
			if b := s.close(list[:k+1], n.fork(), t); b.rate > win.rate {
				win = b
				if k > 0 {
					out = append(out, b)
				}
			}
			if k == 0 {
				out = append(out, s.bunch(list[:1]))
			}
		}
		best = append(best, win)
	}
	slices.SortStableFunc(best, func(a, b bunch) int { return cmp.Compare(b.rate, a.rate) })
	union := []int{}
	for k, b := range best {
		union = append(union, b.repairs...)
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
		slices.SortStableFunc(l, func(a, b int) int {
			return cmp.Or(cmp.Compare(rate[b], rate[a]), cmp.Compare(x.Repairs[a].ID, x.Repairs[b].ID))
		})
	}
	return useful, by
}

// base is the cost, times the chance of the state, of going on without checks: the better of
// the batches of largest rate, and of single repairs of largest rate, each ended by the last
// resort where that is cheaper.
func (s *state) base() float64 {
	if s.mass < vanish {
		return 0
	}
	v := min(s.course(false), s.mass*s.x.LastResort)
	if v > 0 {
		v = min(v, s.course(true))
	}
	return v
}

func (s *state) course(single bool) float64 {
	t, best := 0.0, s.mass*s.x.LastResort
	for s.mass > vanish {
		b, ok := s.leading(single)
		if !ok {
			break
		}
		t += b.minutes
		s = b.after
		if t >= best {
			break
		}
		best = min(best, t+s.mass*s.x.LastResort)
	}
	if s.mass <= vanish {
		best = min(best, t)
	}
	return best
}

// leading is the batch of the largest rate that is built up repair by repair: the leading
// ones of one cluster, then of others as long as they raise the rate.
func (s *state) leading(single bool) (bunch, bool) {
	_, places := s.places()
	x := s.x
	type lead struct {
		n    int
		rate float64
	}
	leads := make([]lead, len(places))
	n := s.fork()
	for i, list := range places {
		copy(n.done, s.done)
		copy(n.wet, s.wet)
		copy(n.fault, s.fault)
		n.open, n.mass = s.open, s.mass
		t := 0.0
		for k, r := range list {
			c, _ := n.attempt(r)
			t += c
			rate := (s.mass - n.mass) / max(t+x.closeCost(n.open&x.shut)+x.Retest, 1e-12)
			if rate <= leads[i].rate {
				break
			}
			leads[i] = lead{k + 1, rate}
			if single {
				break
			}
		}
	}
	order := make([]int, len(places))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(leads[b].rate, leads[a].rate) })
	if len(order) == 0 || leads[order[0]].n == 0 {
		return bunch{}, false
	}
	first := places[order[0]][:leads[order[0]].n]
	if single {
		return s.bunch(first), true
	}
	win := s.fork()
	t := 0.0
	set := slices.Clone(first)
	for _, r := range set {
		c, _ := win.attempt(r)
		t += c
	}
	rate := leads[order[0]].rate
	for _, i := range order[1:] {
		if leads[i].rate < rate/4 {
			break
		}
		more, u := win.fork(), t
		part := set
		for _, r := range places[i][:leads[i].n] {
			c, _ := more.attempt(r)
			u += c
			part = append(part, r)
			now := (s.mass - more.mass) / max(u+x.closeCost(more.open&x.shut)+x.Retest, 1e-12)
			if now > rate {
				win, t, set, rate = more.fork(), u, slices.Clone(part), now
			}
		}
	}
	return s.close(set, win, t), true
}
