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
	Checks int     // most checks that are valued: those whose answers move the chances most for their minutes; 0 = all
	Ahead  int     // steps of look-ahead, 0 = 2
	Quick  bool    // the base policy does not weigh a retest after every single repair: half the work
	Rough  bool    // leave the bounds out
	Trades bool    // weigh what could be added to every attempt of the course
}

// Worth is a check with what it saves in minutes, its own minutes already taken off: against
// the best plan that does not begin with a check. Below 0 it is not worth asking.
type Worth struct {
	Check   string
	Minutes float64 // its own, with the openings that it needs now
	Saves   float64
}

// Attempt is a batch of repairs with its retest: expected minutes once it is reached, and the
// chance that the job has ended dry with it or before.
type Attempt struct {
	Repairs []string
	Minutes float64
	Dry     float64
	Anyway  []Trade // repairs to add to it, or not; only with Effort.Trades
	Failed  float64 // expected minutes after it if it is still wet
}

// Advice is the next step with its figures.
type Advice struct {
	Do      Action
	Minutes float64 // expected minutes from here on by the advice
	Exact   bool    // Minutes is the optimum
	States  int     // states valued on the way, when exact
	Bounds  Bounds
	Checks  []Worth   // the checks valued, the one that saves most first
	Nothing string    // why no check is worth making now; empty when one is
	Course  []Attempt // what is done when no check is made at all; the last resort ends it
	Act     float64   // expected minutes when the first step is no check
	Errand  []Worth   // looks that pay in one errand, each with what it adds when made after those before it
	Anyway  []Trade   // repairs to add to the next batch, or not
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
	x.quick = eff.Quick
	s := x.start()
	a := Advice{Bounds: Bounds{Sampled: x.sampled}}
	if !eff.Rough {
		a.Bounds.Perfect = x.perfect()
	}
	var ranked []choice
	var e *Exact
	if eff.States > 0 && x.fits(eff.States) {
		e, _ = x.exact(Limits{States: eff.States}, x.weight, s.done, x.opened)
	}
	if e != nil {
		a.Exact, a.States = true, e.States()
		ranked = e.choices(s)
	} else {
		l := lookahead{wide: 4, budget: eff.Looks, never: eff.States < 0, course: s.course()}
		if eff.Ahead <= 0 {
			eff.Ahead = 2
		}
		ranked = l.choose(s, eff.Ahead, x.moving(s, eff.Checks))
		if !eff.Rough {
			a.Bounds.FreeChecks, _ = x.freeChecks(20_000)
		}
	}
	first := ranked[0]
	a.Minutes = first.value / s.mass()
	a.Bounds.Upper = a.Minutes
	a.Bounds.Exact = a.Exact
	a.Do = x.describe(first)
	a.worth(x, s, ranked, eff)
	rest := (*state).base
	if e != nil {
		rest = e.rest
	}
	a.follow(x, s, ranked, rest, eff.Trades)
	if first.kind == RepairStep {
		a.Anyway = x.trades(s, first.bunch, rest)
	}
	return a, nil
}

// fits reports whether an exact solution can fit: 3 to the checks times 2 to the repairs
// is no more than ten times the states, because most of those are never reached.
func (x *machine) fits(states int) bool {
	if x.spoils != 0 {
		return false
	}
	n := 1.0
	for _, t := range x.tells {
		n *= float64(1 + len(t))
	}
	for r := range x.Repairs {
		n *= float64(1 + x.tries(r))
	}
	return n <= 10*float64(states)
}

// moving lists the checks whose answers move the chances most, for their minutes, at most
// this many; nil stands for all.
func (x *machine) moving(s *state, most int) []int {
	if most <= 0 || most >= len(x.Checks) {
		return nil
	}
	s0 := s.mass()
	stake := s.along(nil) / s0 // what is at stake: the last resort
	if v := s.base() / s0; v < stake {
		stake = v
	}
	score := make([]float64, len(x.Checks))
	order := make([]int, len(x.Checks))
	for c := range x.Checks {
		moved := 0.0
		for _, chance := range x.tells[c] {
			p, d := 0.0, 0.0
			for e, l := range chance {
				p += s.w[e] * l
			}
			for e, l := range chance {
				d += math.Abs(s.w[e] * (l - p/s0))
			}
			moved += d / 2
		}
		score[c], order[c] = moved/s0*stake-s.checkCost(c), c
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(score[b], score[a]), cmp.Compare(x.Checks[a].ID, x.Checks[b].ID))
	})
	return order[:most]
}

// courseLength is how many attempts a course foresees.
const courseLength = 4

// follow writes down what is done when no check is made: the best first step among the
// batches, and the base policy after it.
func (a *Advice) follow(x *machine, s *state, ranked []choice, rest func(*state) float64, trades bool) {
	var batches [][]int
	for _, c := range ranked {
		if c.kind == LastStep {
			break
		}
		if c.kind == RepairStep {
			batches = append([][]int{c.bunch.repairs}, s.bunch(c.bunch.repairs).after.course()...)
			break
		}
	}
	a.Act = x.LastResort
	for _, c := range ranked {
		if c.kind != CheckStep {
			a.Act = min(a.Act, c.value/s.mass())
		}
	}
	all := s.mass()
	for _, repairs := range batches[:min(len(batches), courseLength)] {
		b := s.bunch(repairs)
		t := Attempt{Minutes: b.minutes / s.mass(), Dry: 1 - b.after.mass()/all}
		for _, r := range repairs {
			t.Repairs = append(t.Repairs, x.Repairs[r].ID)
		}
		if m := b.after.mass(); m > vanish {
			t.Failed = rest(b.after) / m
		}
		if trades {
			t.Anyway = x.trades(s, b, rest)
		}
		a.Course = append(a.Course, t)
		s = b.after
	}
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
		c := choice{kind: o.a.Kind, check: o.a.check, value: o.v * s.mass()}
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
