package lint

import (
	"fmt"

	"seepwright/rules"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
)

// contradictions reports two rules that give one fact two values although one of them always
// fires together with the other. Rules that only might meet are no mistake: at run time the
// fact then counts as unknown, with both reasons shown.
func contradictions(c *checker) {
	type conclusion struct {
		rule *rules.Rule
		what *rules.Conclude
	}
	byFact := map[string][]conclusion{}
	for _, d := range c.k.Rules {
		for _, a := range d.Then {
			if a.Conclude != nil {
				byFact[a.Conclude.Fact] = append(byFact[a.Conclude.Fact], conclusion{d, a.Conclude})
			}
		}
	}
	for _, id := range sortedKeys(byFact) {
		list := byFact[id]
		for i, a := range list {
			for _, b := range list[i+1:] {
				if !a.what.Value.Clash(b.what.Value) || !overlap(a.rule.For, b.rule.For) {
					continue
				}
				if c.implies(a.rule.When.Cond, b.rule.When.Cond) || c.implies(b.rule.When.Cond, a.rule.When.Cond) {
					c.report(c.at(b.rule.Head, "then", ""), "contradiction", fmt.Sprintf("%q and the rule %q (%s) give %q two values at the same time", b.rule.ID, a.rule.ID, a.rule.Place, id), "tell the two apart in their conditions")
				}
			}
		}
	}
}

// implies reports whether b is true in every world in which a is.
func (c *checker) implies(a, b *cond.Cond) bool {
	list, ok := c.worlds(anything, a, b)
	if !ok {
		return a.String() == b.String()
	}
	some := false
	for _, w := range list {
		if a.Eval(w).Truth == fact.True {
			some = true
			if b.Eval(w).Truth != fact.True {
				return false
			}
		}
	}
	return some
}
