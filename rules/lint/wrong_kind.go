package lint

import (
	"fmt"
	"slices"

	"seepwright/rules"
	"seepwright/rules/load"
	"seepwright/rules/source"
)

// wrongKind reports documents of one joint kind that read facts or checks of other kinds
// only: nobody can ever answer them.
func wrongKind(c *checker) {
	for _, d := range c.k.Causes {
		kinds := d.Joints
		if !d.Shared {
			kinds = []string{d.For}
		}
		for _, s := range d.Signs {
			c.meets(c.signAt(d.Head, "signs", s.Fact, s.Option, s.Place), kinds, s.Fact)
		}
		for _, f := range d.FoundBy {
			c.meets(c.signAt(d.Head, "found by", f.Fact, f.Opt, f.Place), kinds, f.Fact)
			if check := c.k.Check(f.Check); check != nil && !overlap(check.For, kinds) {
				c.report(c.at(d.Head, "found by", f.Check), "wrong-kind", fmt.Sprintf("the check %q is for %s, not for %s", check.ID, joined(check.For), joined(kinds)), "add the joint kind to the check, or name another check")
			}
		}
		for _, x := range d.Context {
			for _, id := range x.When.Cond.Facts() {
				c.meets(x.When.Place, kinds, id)
			}
			if x.Unless != "" {
				c.meets(x.When.Place, kinds, x.Unless)
			}
		}
		for _, t := range d.Targets {
			if target := c.k.Target(t); target != nil && target.For != "" && !overlap([]string{target.For}, kinds) {
				c.report(c.at(d.Head, "targets", t), "wrong-kind", fmt.Sprintf("the target %q is for %s, not for %s", t, target.For, joined(kinds)), "name a target of this joint kind")
			}
		}
	}
	for _, d := range c.k.Rules {
		if len(d.For) == 0 {
			continue
		}
		for _, id := range d.When.Cond.Facts() {
			c.meets(d.When.Place, d.For, id)
		}
	}
	for _, d := range c.k.Checks {
		for _, id := range d.Fills {
			c.meets(c.at(d.Head, "fills", id), d.For, id)
		}
	}
}

func (c *checker) meets(at source.Place, kinds []string, id string) {
	if f := c.k.Fact(id); f != nil && !overlap(f.For, kinds) {
		c.report(at, "wrong-kind", wrongKindText(f, kinds), "add the joint kind to the fact, or name another fact")
	}
}

func wrongKindText(f *rules.Fact, kinds []string) string {
	return fmt.Sprintf("the fact %q is for %s, not for %s", f.ID, joined(f.For), joined(kinds))
}

// overlap reports whether two limits to joint kinds leave a kind in common; none means all.
func overlap(a, b []string) bool {
	if len(a) == 0 || len(b) == 0 {
		return true
	}
	return slices.ContainsFunc(a, func(s string) bool { return slices.Contains(b, s) })
}

// kindsOf lists the kinds for which a rule is evaluated.
func (c *checker) kindsOf(d *rules.Rule) []string {
	if len(d.For) > 0 {
		return d.For
	}
	return c.kinds
}

// causesOf lists the causes that an action speaks of.
func (c *checker) causesOf(d *rules.Rule, name string) []*rules.Cause {
	var out []*rules.Cause
	for _, ref := range load.CauseRefs(c.k, name, c.kindsOf(d)) {
		out = append(out, c.k.Cause(ref))
	}
	return out
}
