package lint

import (
	"fmt"
	"slices"

	"seepwright/rules"
	"seepwright/rules/load"
)

// unused reports questions whose answer changes nothing, and facts that are read although
// nothing provides them.
func unused(c *checker) {
	read := c.readFacts()
	for _, f := range c.k.Facts {
		switch {
		case !f.Engine && !read[f.ID] && f.First == 0:
			c.report(f.Place, "unused-fact", fmt.Sprintf("nothing reads %q, so asking it changes nothing", f.ID), "name it in a sign, a condition, a target or a calculation, or take it out")
		case f.Engine && read[f.ID] && !c.provided(f):
			c.report(f.Place, "nothing-provides", fmt.Sprintf("%q is read, but no rule concludes it and nobody is asked", f.ID), "add a rule that concludes it, or take out engine: yes")
		}
	}
}

// readFacts lists all facts that something reads.
func (c *checker) readFacts() map[string]bool {
	read := map[string]bool{}
	note := func(ids ...string) {
		for _, id := range ids {
			read[id] = true
		}
	}
	note(ReadFacts()...)
	for _, w := range load.Conditions(c.k) {
		note(w.Cond.Facts()...)
	}
	for _, d := range c.k.Causes {
		for _, s := range d.Signs {
			note(s.Fact)
		}
		for _, f := range d.FoundBy {
			note(f.Fact)
		}
		for _, a := range d.Alikes {
			note(a.SplitBy)
		}
	}
	for _, d := range c.k.Joints {
		for _, p := range d.LookAlikes {
			note(p.SplitBy)
		}
	}
	for _, d := range c.k.Targets {
		note(d.Fact, d.LimitBy, d.LowBy, d.Maker)
	}
	for _, d := range c.k.Rules {
		for _, a := range d.Then {
			if a.Compute != nil {
				for _, id := range a.Compute.From {
					note(id)
				}
			}
		}
	}
	return read
}

// checksFill reports a verdict that its check does not fill, and a check that nobody uses to
// fill anything.
func checksFill(c *checker) {
	for _, d := range c.k.Causes {
		for _, f := range d.FoundBy {
			check := c.k.Check(f.Check)
			if check == nil || f.Fact == "" || c.fact(f.Fact) == nil {
				continue
			}
			if !slices.Contains(check.Fills, f.Fact) && !c.concludedFrom(f.Fact, check) {
				c.report(f.Place, "check-does-not-fill", fmt.Sprintf("the check %q does not fill %q", check.ID, f.Fact), fmt.Sprintf("add %s to its fills, or name the check that does", f.Fact))
			}
		}
	}
}

// concludedFrom reports whether rules can lead from what a check fills to a fact.
func (c *checker) concludedFrom(id string, check *rules.Check) bool {
	reached := map[string]bool{}
	for _, f := range check.Fills {
		reached[f] = true
	}
	for grown := true; grown && !reached[id]; {
		grown = false
		for _, d := range c.k.Rules {
			for _, a := range d.Then {
				for _, s := range stepsOf(d, a) {
					if reached[s[0]] && !reached[s[1]] {
						reached[s[1]], grown = true, true
					}
				}
			}
		}
	}
	return reached[id]
}

// stepsOf lists the pairs of facts, read and concluded, of one action of a rule.
func stepsOf(d *rules.Rule, a rules.Action) [][2]string {
	var out [][2]string
	when := d.When.Cond.Facts()
	if a.Conclude != nil {
		for _, id := range when {
			out = append(out, [2]string{id, a.Conclude.Fact})
		}
	}
	if a.Compute != nil {
		for _, into := range sortedKeys(a.Compute.Into) {
			for _, in := range sortedKeys(a.Compute.From) {
				out = append(out, [2]string{a.Compute.From[in], a.Compute.Into[into]})
			}
			for _, id := range when {
				out = append(out, [2]string{id, a.Compute.Into[into]})
			}
		}
	}
	return out
}

// states reports checks that do not say in which state hands may go near.
func states(c *checker) {
	for _, d := range c.k.Checks {
		if len(d.Needs) == 0 {
			c.report(d.Place, "no-state", fmt.Sprintf("the check %q does not say which state it needs", d.ID), "add needs: [cold, pressure-zero, stopped ...], or needs: any for a look that is safe in every state")
		}
	}
}
