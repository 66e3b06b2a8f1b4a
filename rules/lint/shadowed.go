package lint

import (
	"fmt"
	"slices"

	"seepwright/rules"
)

// shadowed reports rules of which everything that they conclude is concluded already whenever
// they fire, by another rule with a wider condition. Of two that say the same the later one is
// reported. What moves the odds of a cause counts once more with every rule, so it is never in
// the shadow of another.
func shadowed(c *checker) {
	by := map[string][]*rules.Rule{} // what is concluded -> the rules that do
	for _, d := range c.k.Rules {
		for _, a := range d.Then {
			if what := concluded(a); what != "" && !slices.Contains(by[what], d) {
				by[what] = append(by[what], d)
			}
		}
	}
	for n, d := range c.k.Rules {
		if d.When.Cond == nil || len(d.When.Cond.Check(c.vocab)) > 0 {
			continue
		}
		var cover *rules.Rule
		whole := len(d.Then) > 0
		for _, a := range d.Then {
			what := concluded(a)
			i := slices.IndexFunc(by[what], func(o *rules.Rule) bool {
				if o == d || what == "" || !covers(o.For, d.For) || o.Job != d.Job || o.When.Cond == nil || len(o.When.Cond.Check(c.vocab)) > 0 || !c.implies(d.When.Cond, o.When.Cond) {
					return false
				}
				return slices.Index(c.k.Rules, o) < n || !covers(d.For, o.For) || !c.implies(o.When.Cond, d.When.Cond)
			})
			if i < 0 {
				whole = false
				break
			}
			cover = by[what][i]
		}
		if whole {
			c.report(c.at(d.Head, "when", ""), "shadowed", fmt.Sprintf("%q adds nothing: whenever it fires, the rule %q (%s) fires too and concludes the same", d.ID, cover.ID, cover.Place), "take one of them out, or narrow the other so that each has a case of its own")
		}
	}
}

// covers reports whether a rule for the kinds of a is at work wherever one for those of b is.
func covers(a, b []string) bool {
	if len(a) == 0 {
		return true
	}
	return len(b) > 0 && !slices.ContainsFunc(b, func(kind string) bool { return !slices.Contains(a, kind) })
}

// concluded names what an action concludes once and for all; "" for what counts each time.
func concluded(a rules.Action) string {
	switch {
	case a.Conclude != nil:
		return "conclude " + a.Conclude.Fact + " " + a.Conclude.Value.String()
	case a.Target != "":
		return "target " + a.Target
	case a.Caution != "":
		return "caution " + a.Caution
	case a.Stop != "":
		return "stop " + a.Stop
	}
	return ""
}
