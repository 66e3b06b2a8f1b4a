package rank

import (
	"container/heap"
	"slices"
)

// CauseSet is a set of causes of an assembly that are present, all others absent, with its posterior probability.
type CauseSet struct {
	Causes []CauseRef // by joint and cause, shared causes first; places not on the list are among them
	P      float64
}

// fixedLimit is how many partial sets the search for the most probable sets may weigh.
const fixedLimit = 20_000

// MostProbableSets gives the k most probable sets of causes of the assembly, the most probable first; fewer if fewer are
// possible. Where liquid arrives and which joints a shared cause acts on is summed over. ErrTooWide where the posterior is not
// exact, or where so many sets are alike in probability that the search would not end in time.
//
// It decides one cause after another, the most probable first. The probability of what is decided so far is exact and bounds
// every set that goes on from there, and the best bound is followed first. Sets that are open at the same depth exclude each
// other, so with n causes at most n/p partial sets are weighed, p being the probability of the last set that is given. Work:
// two forward sweeps of one joint for each.
func (s *Solver) MostProbableSets(k int) ([]CauseSet, error) {
	if k < 1 {
		return nil, badInput("MostProbableSets", "%d sets; ask for at least 1", k)
	}
	if !s.post.Exact {
		return nil, ErrTooWide
	}
	order := s.post.Ranking(s.a.allCauses())
	x := newFixer(s)
	var best []CauseSet
	queue := &partials{{f: s.a.nothingFixed(), p: 1}}
	for weighed := 0; queue.Len() > 0; weighed++ {
		if weighed > fixedLimit {
			return nil, ErrTooWide
		}
		top := heap.Pop(queue).(partial)
		if len(best) == k && top.p <= best[k-1].P {
			break
		}
		// The set that has nothing more than this one is met here, and below only with something more.
		set := CauseSet{Causes: top.present, P: clamp01(x.z(top.f.restAbsent()).over(s.z))}
		if set.P > 0 {
			best = append(best, set)
			slices.SortStableFunc(best, func(a, b CauseSet) int {
				switch {
				case a.P > b.P:
					return -1
				case a.P < b.P:
					return 1
				}
				return 0
			})
			best = best[:min(k, len(best))]
		}
		// Children: the first further cause that is present, those before it absent.
		f := top.f
		for d := top.decided; d < len(order); d++ {
			c := order[d].CauseRef
			left := top.p
			if d > top.decided {
				left = clamp01(x.z(f).over(s.z))
			}
			if left == 0 || len(best) == k && left <= best[k-1].P {
				break
			}
			with := f.with(c, present)
			if p := clamp01(x.z(with).over(s.z)); p > 0 {
				heap.Push(queue, partial{f: with, p: p, decided: d + 1, present: append(slices.Clip(top.present), c)})
			}
			f = f.with(c, absent)
		}
	}
	for i := range best {
		slices.SortFunc(best[i].Causes, func(a, b CauseRef) int {
			if a.Block != b.Block {
				return a.Block - b.Block
			}
			return a.Cause - b.Cause
		})
	}
	return best, nil
}

// allCauses names the shared causes and of each joint the causes and the place not on the list.
func (a *Assembly) allCauses() (refs []CauseRef) {
	for i := range a.Shared {
		refs = append(refs, CauseRef{SharedBlock, i})
	}
	for j := range a.Blocks {
		for i := 0; i <= a.Blocks[j].ArrivesIndex(); i++ {
			refs = append(refs, CauseRef{j, i})
		}
	}
	return refs
}

// partial is a set of which the first causes in order are decided.
type partial struct {
	f       fixing
	p       float64 // posterior of what is decided
	decided int
	present []CauseRef
}

type partials []partial

func (q partials) Len() int           { return len(q) }
func (q partials) Less(i, j int) bool { return q[i].p > q[j].p }
func (q partials) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *partials) Push(x any)        { *q = append(*q, x.(partial)) }
func (q *partials) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}
