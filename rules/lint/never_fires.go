package lint

import (
	"fmt"

	"seepwright/rules"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
	"seepwright/rules/load"
)

// neverFires reports conditions that cannot become true: whatever is answered, or because
// they read a fact that nothing provides.
func neverFires(c *checker) {
	waiting := map[string]bool{}
	for _, w := range load.Conditions(c.k) {
		if w.Cond == nil || len(w.Cond.Check(c.vocab)) > 0 {
			continue
		}
		if missing := c.unprovided(w.Cond); missing != "" && !c.canHold(w.Cond) {
			c.report(w.Place, "never-fires", fmt.Sprintf("this never becomes true, because nothing provides %q", missing), "let a check or a question fill it, or a rule conclude it")
			waiting[missing] = true
			continue
		}
		switch holds, decided := c.holds(w.Cond); {
		case !decided:
		case holds == fact.False:
			c.report(w.Place, "always-false", "this condition can never be true", "look for answers that exclude each other, or for limits that leave nothing between them")
		case holds == fact.True:
			c.report(w.Place, "always-true", "this condition is true whatever is answered", "take it out, or say what should be excluded")
		}
	}
	for _, d := range c.k.Rules {
		for _, a := range d.Then {
			if a.Compute == nil {
				continue
			}
			for _, in := range sortedKeys(a.Compute.From) {
				id := a.Compute.From[in]
				if f := c.fact(id); f != nil && !load.IsQuantity(id) && !c.provided(f) && !c.optionalInput(a.Compute.By, in) {
					c.report(c.at(d.Head, "then", id), "never-fires", fmt.Sprintf("this is never computed, because nothing provides %q", id), "let a check or a question fill it, or a rule compute it")
				}
			}
		}
	}
}

func (c *checker) optionalInput(by, in string) bool {
	calc, ok := c.calcs[by]
	if !ok {
		return true // not known here
	}
	p, ok := port(calc.Inputs, in)
	return !ok || p.Optional
}

// provided reports whether a fact can ever be known: asked, filled by a check, concluded or
// computed by a rule, or given by the engine.
func (c *checker) provided(f *rules.Fact) bool {
	if !f.Engine || given(f.ID) {
		return true
	}
	p := c.possible(f)
	return p == nil || len(p) > 0
}

func (c *checker) unprovided(x *cond.Cond) string {
	for _, id := range x.Facts() {
		if f := c.fact(id); f != nil && !c.provided(f) {
			return id
		}
	}
	return ""
}

func (c *checker) canHold(x *cond.Cond) bool {
	list, ok := c.worlds(reachable, x)
	if !ok {
		return true
	}
	for _, w := range list {
		if x.Eval(w).Truth == fact.True {
			return true
		}
	}
	return false
}

// holds tells whether a condition is true, or false, in all worlds. What rules cannot give
// only makes it false: a fact may also stay unknown.
func (c *checker) holds(x *cond.Cond) (all fact.Truth, decided bool) {
	if list, ok := c.worlds(anything, x); !ok {
		return fact.Unknown, false
	} else if every(list, x, fact.True) {
		return fact.True, true
	}
	if list, _ := c.worlds(reachable, x); every(list, x, fact.False) {
		return fact.False, true
	}
	return fact.Unknown, false
}

func every(list []world, x *cond.Cond, t fact.Truth) bool {
	for _, w := range list {
		if x.Eval(w).Truth != t {
			return false
		}
	}
	return len(list) > 0
}
