package optimum

import (
	"cmp"
	"math"
	"slices"
)

// Effort bounds what Advise does; the zero value suits an interview.
type Effort struct {
	States int     // states up to which the optimum is worked out, 0 = 300 000; below 0: never
	Looks  int     // values of the base policy in the look-ahead, 0 = 450
	Trip   float64 // minutes of one errand to the unit, paid once for all looks of it
}

// Worth is a check with what it saves in minutes, its own minutes already taken off: against
// the best plan that does not begin with a check. Below 0 it is not worth asking.
type Worth struct {
	Check   string
	Minutes float64 // its own, with the openings that it needs now
	Saves   float64
}

// Advice is the next step with its figures.
type Advice struct {
	Do      Action
	Minutes float64 // expected minutes from here on by the advice
	Exact   bool    // Minutes is the optimum
	States  int     // states valued on the way, when exact
	Bounds  Bounds
	Checks  []Worth // all checks, the one that saves most first
	Nothing string  // why no check is worth making now; empty when one is
	Errand  []Worth // looks that pay in one errand, each with what it adds when made after those before it
	Anyway  []Trade // repairs to add to the next batch, or not
}

// Advise says what to do first: by the optimum where it fits in the effort, else by look-ahead.
func Advise(m Model, eff Effort) (Advice, error) {
	x, err := prepare(m)
	if err != nil {
		return Advice{}, err
	}
	if eff.States == 0 {
		eff.States = 300_000
	}
	if eff.Looks <= 0 {
		eff.Looks = 450
	}
	s := x.start()
	a := Advice{Bounds: Bounds{Perfect: x.perfect(), Sampled: x.sampled}}
	var ranked []choice
	var e *Exact
	if eff.States > 0 && x.fits(eff.States) {
		e, _ = x.exact(Limits{States: eff.States}, x.weight, s.done, 0)
	}
	if e != nil {
		a.Exact, a.States = true, e.States()
		ranked = e.choices(s)
	} else {
		l := lookahead{wide: 4, budget: eff.Looks, never: eff.States < 0}
		ranked = l.choose(s, 2, nil)
		if free, ok := x.freeChecks(20_000); ok {
			a.Bounds.FreeChecks = free
		}
	}
	first := ranked[0]
	a.Minutes = first.value / s.mass
	a.Bounds.Upper = a.Minutes
	a.Bounds.Exact = a.Exact
	a.Do = x.describe(first)
	a.worth(x, s, ranked, eff)
	if first.kind == RepairStep {
		rest := (*state).base
		if e != nil {
			rest = e.rest
		}
		a.Anyway = x.trades(s, first.bunch, rest)
	}
	return a, nil
}

// fits reports whether an exact solution can fit: 3 to the checks times 2 to the repairs
// is no more than ten times the states, because most of those are never reached.
func (x *machine) fits(states int) bool {
	n := 1.0
	for range x.Checks {
		n *= 3
	}
	for r := range x.Repairs {
		n *= float64(1 + x.tries(r))
	}
	return n <= 10*float64(states)
}

func (x *machine) describe(c choice) Action {
	a := Action{Kind: c.kind}
	switch c.kind {
	case CheckStep:
		a.Check, a.check = x.Checks[c.check].ID, c.check
	case RepairStep:
		for _, r := range c.bunch.repairs {
			a.Repairs = append(a.Repairs, x.Repairs[r].ID)
		}
	}
	return a
}

// rest is the optimum from a state without answers on, times its chance.
func (e *Exact) rest(s *state) float64 {
	k := key{open: s.open}
	for r, n := range s.done {
		k.done |= uint64(n) << e.shift[r]
	}
	e.lim.States = math.MaxInt // a few states more than the optimum itself had to visit
	return e.value(k)
}

// choices gives the steps of the exact optimum in the form of the look-ahead, best first.
func (e *Exact) choices(s *state) []choice {
	all, _ := e.all(key{})
	var out []choice
	for _, o := range all {
		c := choice{kind: o.a.Kind, check: o.a.check, value: o.v * s.mass}
		if o.a.Kind == RepairStep {
			var set []int
			for r := range e.x.Repairs {
				for range e.made(o.a.after, r) {
					set = append(set, r)
				}
			}
			c.bunch = bunch{repairs: set}
		}
		out = append(out, c)
	}
	slices.SortStableFunc(out, func(a, b choice) int { return cmp.Compare(a.value, b.value) })
	if out[0].kind == RepairStep {
		out[0].bunch = s.bunch(out[0].bunch.repairs)
	}
	return out
}
