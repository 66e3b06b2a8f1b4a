package optimum

import (
	"cmp"
	"fmt"
	"slices"
)

// Trade is the sum behind "do it anyway": Minutes now, for certain, against Chance that it is
// what keeps the retest wet, times Round, the expected minutes after a wet retest.
type Trade struct {
	Repair  string
	Minutes float64
	Chance  float64
	Round   float64
	Pays    bool // Minutes < Chance x Round
	Chosen  bool // it is part of the advised batch
}

// Gain is what adding the repair is worth in minutes.
func (t Trade) Gain() float64 { return t.Chance*t.Round - t.Minutes }

// String is the sum in words.
func (t Trade) String() string {
	return fmt.Sprintf("%s: %.0f min now against %.0f %% of another %.0f min", t.Repair, t.Minutes, 100*t.Chance, t.Round)
}

// trades weighs each repair of a batch against leaving it out, and each other useful repair
// against adding it. rest values the state after a wet retest, times its chance; Round is
// such that Gain is the difference of the two plans under it.
func (x *machine) trades(s *state, b bunch, rest func(*state) float64) []Trade {
	useful, _ := s.places()
	var out []Trade
	for _, r := range useful {
		in := slices.Contains(b.repairs, r)
		less := slices.DeleteFunc(slices.Clone(b.repairs), func(q int) bool { return q == r })
		if len(less) == 0 {
			continue // without it there is no batch
		}
		without, with := s.bunch(less), s.bunch(append(slices.Clone(less), r))
		t := Trade{Repair: x.Repairs[r].ID, Chosen: in, Chance: (without.after.mass() - with.after.mass()) / s.mass()}
		// Its own minutes, with opening and closing of what it needs beyond the others.
		wide := func(b bunch) float64 {
			open, t := s.open, 0.0
			for _, q := range b.repairs {
				p := x.path[x.mendAt[q]]
				t += x.openCost(p&^open) + x.Repairs[q].Minutes
				open |= p
			}
			return t + x.closeCost(open)
		}
		t.Minutes = wide(with) - wide(without)
		if t.Chance <= 0 {
			continue
		}
		gain := (without.minutes + rest(without.after) - with.minutes - rest(with.after)) / s.mass()
		t.Round = (gain + t.Minutes) / t.Chance
		t.Pays = t.Gain() > 0
		out = append(out, t)
	}
	slices.SortStableFunc(out, func(a, b Trade) int {
		return cmp.Or(cmp.Compare(b.Gain(), a.Gain()), cmp.Compare(a.Repair, b.Repair))
	})
	return out
}

// worth fills in the checks, the errand and the reason when none is worth asking.
func (a *Advice) worth(x *machine, s *state, ranked []choice, eff Effort) {
	act := s.mass() * x.LastResort
	for _, c := range ranked {
		if c.kind != CheckStep {
			act = min(act, c.value)
		}
	}
	for _, c := range ranked {
		if c.kind == CheckStep {
			a.Checks = append(a.Checks, Worth{x.Checks[c.check].ID, s.checkCost(c.check), (act - c.value) / s.mass()})
		}
	}
	slices.SortStableFunc(a.Checks, func(p, q Worth) int {
		return cmp.Or(cmp.Compare(q.Saves, p.Saves), cmp.Compare(p.Check, q.Check))
	})
	switch {
	case len(x.Checks) == 0:
		a.Nothing = "there is no check to make"
	case a.Checks[0].Saves <= 1e-9:
		w := a.Checks[0]
		a.Nothing = fmt.Sprintf("no answer saves the minutes it costs: the best, %s, takes %.0f min and would save %.1f", w.Check, w.Minutes, max(0, w.Minutes+w.Saves))
	}
	a.Errand = []Worth{}
	if a.Nothing == "" || len(x.Checks) <= pairs { // looks that pay only together
		a.Errand = x.errands(s, a.Checks, eff.Trip)
	}
}

// walks is how many kinds of walk are weighed: those of the best looks.
const walks = 2

// errands weighs one errand for each of the most promising walks and gives the one that
// saves most.
func (x *machine) errands(s *state, checks []Worth, trip float64) []Worth {
	var order []string
	by := map[string][]Worth{}
	for _, w := range checks {
		i := slices.IndexFunc(x.Checks, func(c Check) bool { return c.ID == w.Check })
		walk := x.Checks[i].Walk
		if walk == "" {
			continue
		}
		if len(by[walk]) == 0 {
			order = append(order, walk)
		}
		by[walk] = append(by[walk], w)
	}
	best, gain := []Worth{}, 0.0
	for _, walk := range order[:min(walks, len(order))] {
		list := x.errand(s, by[walk], trip)
		sum := 0.0
		for _, w := range list {
			sum += w.Saves
		}
		if sum > gain {
			best, gain = list, sum
		}
	}
	return best
}

// pairs is the number of checks up to which an errand is tried although none pays alone.
const pairs = 12

// errandLooks is the most looks of one errand; errandStates how many combinations of answers
// are told apart at most, because those of a set multiply.
const (
	errandLooks  = 4
	errandStates = 40
)

// errand puts looks together that are made in one go, before any answer is used: the trip is
// paid once. It starts from the best look and adds the one that gains most, as long as one
// does; a set that does not pay for its trip is no errand.
func (x *machine) errand(s *state, checks []Worth, trip float64) []Worth {
	number := map[string]int{}
	for i, c := range x.Checks {
		number[c.ID] = i
	}
	told := []*state{s}
	best := s.base()
	before := best
	var out []Worth
	pool := checks[:min(len(checks), 6)]
	for len(out) < errandLooks {
		var win Worth
		var after []*state
		value := best
		for _, w := range pool {
			c := number[w.Check]
			if told[0].used[c] || len(told)*len(x.tells[c]) > errandStates {
				continue
			}
			cost := told[0].checkCost(c)
			v := s.mass() * cost
			var next []*state
			for _, t := range told {
				for a := range x.tells[c] {
					n := t.answer(c, a)
					v += n.base()
					next = append(next, n)
				}
			}
			// What the looks before it cost is paid already and stands in neither figure.
			if v < value-1e-9*s.mass() {
				win, after, value = Worth{w.Check, cost, (best - v) / s.mass()}, next, v
			}
		}
		if after == nil {
			break
		}
		out = append(out, win)
		best = value - s.mass()*win.Minutes
		told = after
	}
	gain := 0.0
	for _, w := range out {
		gain += w.Saves
	}
	if gain <= trip || before == 0 {
		return []Worth{}
	}
	return out
}
