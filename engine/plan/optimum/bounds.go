package optimum

import (
	"math"
	"slices"
)

// Bounds enclose the least expected minutes. Below: Perfect, for one who knows the fault;
// FreeChecks, for one who has the answers of all checks for nothing and knows no more, 0 where
// it was not worked out. Above: Upper, the cost of a policy that can be followed. Sampled says
// that sets of faults were drawn, so that both are estimates; Exact that Upper is the optimum.
type Bounds struct {
	Perfect, FreeChecks, Upper float64
	Sampled, Exact             bool
}

// Lower is the largest of the lower bounds, the optimum itself where it is known.
func (b Bounds) Lower() float64 {
	if b.Exact {
		return b.Upper
	}
	return max(b.Perfect, b.FreeChecks)
}

// Bound gives the lower bounds; the free checks within so many states, 0 = 100 000.
func Bound(m Model, states int) (Bounds, error) {
	x, err := prepare(m)
	if err != nil {
		return Bounds{}, err
	}
	if states <= 0 {
		states = 100_000
	}
	b := Bounds{Perfect: x.perfect(), Sampled: x.sampled}
	b.FreeChecks, _ = x.freeChecks(states)
	return b, nil
}

// perfect sums over the possibilities the cheapest direct cure: opening, repairs, closing and
// one retest, or the last resort.
func (x *machine) perfect() float64 {
	t := 0.0
	mends := make([][]int, len(x.Faults))
	for r, fixes := range x.fixes {
		for _, f := range fixes {
			mends[f] = append(mends[f], r)
		}
	}
	for e, set := range x.sets {
		t += x.weight[e] * min(x.LastResort, x.cure(set, mends))
	}
	return t
}

// mendOf is what the cure of a fault is expected to cost beside a repair's minutes.
func (x *machine) mendOf(r, fault int) float64 {
	if x.Repairs[r].Mend == nil {
		return 0
	}
	i := slices.Index(x.fixes[r], fault)
	return x.chance[r][i] * x.Repairs[r].Mend[i]
}

// cureSets is how many combinations of repairs are tried for one set of faults, cureWork for all sets.
const (
	cureSets = 4096
	cureWork = 50_000
)

// cure is the cheapest set of repairs that covers a set of faults; past so many combinations
// the dearest fault of the set alone, which is no more.
func (x *machine) cure(set []int, mends [][]int) float64 {
	most := min(cureSets, cureWork/len(x.sets))
	ways := 1
	for _, f := range set {
		ways = min(ways*max(1, len(mends[f])), most+1)
	}
	if ways > most && len(set) > 1 {
		t := 0.0
		for _, f := range set {
			t = max(t, x.cure([]int{f}, mends))
		}
		return t
	}
	best := math.Inf(1)
	var try func(rest []int, made []int, open uint64, t float64)
	try = func(rest, made []int, open uint64, t float64) {
		if len(rest) == 0 {
			best = min(best, t+x.openCost(open&^x.opened)+x.closeCost(open)+x.Retest)
			return
		}
		for _, r := range made {
			for _, f := range x.fixes[r] {
				if f == rest[0] {
					try(rest[1:], made, open, t+x.mendOf(r, rest[0]))
					return
				}
			}
		}
		for _, r := range mends[rest[0]] {
			try(rest[1:], append(made[:len(made):len(made)], r), open|x.path[x.mendAt[r]], t+x.Repairs[r].Minutes+x.mendOf(r, rest[0]))
		}
	}
	try(set, nil, x.opened, 0)
	return best
}

// mostTold is how many combinations of answers are told at the start.
const mostTold = 1024

// freeChecks is the optimum of one who is told every answer at the start, by any clusters:
// with that nothing can be gained from a check any more, so for each set of answers it is an
// optimum without checks.
func (x *machine) freeChecks(states int) (float64, bool) {
	ways := 1
	for _, t := range x.tells {
		if ways *= len(t); ways > mostTold {
			return 0, false
		}
	}
	if x.spoils != 0 {
		return 0, false
	}
	total := 0.0
	var tell func(c int, s *state) bool
	tell = func(c int, s *state) bool {
		if s.mass() < vanish {
			return true
		}
		if c < len(x.Checks) {
			for a := range x.tells[c] {
				if !tell(c+1, s.answer(c, a)) {
					return false
				}
			}
			return true
		}
		e, err := x.exact(Limits{States: states, NoChecks: true}, s.w, s.done, x.opened)
		if err != nil {
			return false
		}
		total += e.value(e.begin)
		states -= e.States()
		return states > 0
	}
	if !tell(0, x.start()) {
		return 0, false
	}
	return total, true
}
