package lint

import (
	"fmt"
	"slices"
	"strings"

	"seepwright/rules"
)

// unreachable reports causes that can never come up: no history gives them a share, so that
// nothing can raise them, or all by which they would show themselves is never known.
func unreachable(c *checker) {
	for _, d := range c.k.Causes {
		if len(d.Share) > 0 && !slices.ContainsFunc(rules.Histories(), func(h rules.History) bool { return d.Share[h] > 0 }) {
			c.report(c.at(d.Head, "share", ""), "unreachable-cause", fmt.Sprintf("the cause %q can never come up: its share is nothing in every history", d.ID), "give it a share, if a small one, in the history in which it happens; what is impossible is taken out")
		}
		var reads, missing []string
		see := func(id string) {
			f := c.fact(id)
			if f == nil || slices.Contains(reads, id) {
				return // a name that does not exist is reported as that
			}
			reads = append(reads, id)
			if !c.provided(f) {
				missing = append(missing, id)
			}
		}
		for _, s := range d.Signs {
			see(s.Fact)
		}
		for _, f := range d.FoundBy {
			see(f.Fact)
		}
		if len(reads) > 0 && len(missing) == len(reads) && len(c.finders(d)) == 0 {
			c.report(d.Place, "unreachable-cause", fmt.Sprintf("nothing can point at the cause %q: of what it shows nothing is ever known (%s)", d.ID, strings.Join(missing, ", ")), "let a question or a check fill one of these, or a rule conclude it")
		}
	}
}

// noCheck reports causes that no check and no rule decides: the person is told how likely they
// are and never how to make sure.
func noCheck(c *checker) {
	for _, d := range c.k.Causes {
		if len(d.FoundBy) == 0 && len(c.finders(d)) == 0 {
			c.report(d.Place, "no-check", fmt.Sprintf("no check decides whether it is %q", d.Ref()), "add found by: [{check: NAME, when: FACT is yes}]; what tells it for certain, if only on the bench")
		}
	}
}

// finders are the rules that find a cause.
func (c *checker) finders(d *rules.Cause) []*rules.Rule {
	var out []*rules.Rule
	for _, r := range c.k.Rules {
		for _, a := range r.Then {
			if a.Find != nil && (a.Find.Cause == d.Ref() || a.Find.Cause == d.ID && (len(r.For) == 0 || rules.Applies(r.For, d.For))) {
				out = append(out, r)
			}
		}
	}
	return out
}

// splits reports pairs of causes of a kind that nothing tells apart, and look-alikes for which a
// splitter is named that says the same of both.
func splits(c *checker) {
	for _, kind := range append(slices.Clone(c.kinds), "") {
		causes := c.k.CausesOf(kind)
		if kind == "" {
			causes = c.k.SharedCauses()
		}
		for _, p := range unsplit(causes) {
			if c.o.Overlaid { // either of the two may be in the folder that is laid over
				c.report(p[0].Place, "nothing-splits", fmt.Sprintf("no sign and no check tells %q from %q", p[0].ID, p[1].ID), "name a sign that one of them shows clearly oftener, or a check that decides one of them")
			}
			c.report(p[1].Place, "nothing-splits", fmt.Sprintf("no sign and no check tells %q from %q", p[1].ID, p[0].ID), "name a sign that one of them shows clearly oftener, or a check that decides one of them")
		}
		for _, d := range causes {
			for _, a := range d.Alikes {
				other := c.k.Cause(kind + "/" + a.Cause)
				if other == nil {
					other = c.k.Cause(a.Cause)
				}
				if other == nil || c.splitter(a.SplitBy, d, other) {
					continue
				}
				c.report(c.at(d.Head, "looks like", a.SplitBy), "nothing-splits", fmt.Sprintf("%q is said to tell %q from %q, but neither of them reads what it gives", a.SplitBy, d.ID, other.ID), "name what splits them as a sign or under found by of one of the two, or name another check")
			}
		}
	}
}

// splitter reports whether what is named to split two causes gives something that one of them
// reads, by itself or through rules. What does not exist is reported elsewhere.
func (c *checker) splitter(id string, a, b *rules.Cause) bool {
	gives := map[string]bool{}
	if k := c.k.Check(id); k != nil {
		for _, f := range k.Fills {
			gives[f] = true
		}
	} else if c.fact(id) != nil {
		gives[id] = true
	} else {
		return true
	}
	for _, d := range []*rules.Cause{a, b} {
		for _, f := range d.FoundBy {
			if f.Check == id {
				return true
			}
		}
	}
	c.spread(gives)
	if slices.ContainsFunc(ReadFacts(), func(f string) bool { return gives[f] }) {
		return true // the engine draws its own conclusions from it
	}
	for _, d := range []*rules.Cause{a, b} {
		for _, s := range d.Signs {
			if gives[s.Fact] {
				return true
			}
		}
		for _, f := range d.FoundBy {
			if gives[f.Fact] {
				return true
			}
		}
		for _, x := range d.Context {
			if slices.ContainsFunc(x.When.Cond.Facts(), func(f string) bool { return gives[f] }) {
				return true
			}
		}
		for _, r := range c.k.Rules {
			for _, act := range r.Then {
				if name := moved(act); (name == d.Ref() || name == d.ID) && slices.ContainsFunc(r.When.Cond.Facts(), func(f string) bool { return gives[f] }) {
					return true
				}
			}
		}
	}
	return false
}

// moved is the cause that an action moves; "" = none.
func moved(a rules.Action) string {
	switch {
	case a.Find != nil:
		return a.Find.Cause
	case a.Exclude != nil:
		return a.Exclude.Cause
	case a.Raise != nil:
		return a.Raise.Cause
	case a.Lower != nil:
		return a.Lower.Cause
	}
	return ""
}

// spread adds what rules conclude or compute from the facts, until nothing more is added.
func (c *checker) spread(facts map[string]bool) {
	for more := true; more; {
		more = false
		for _, r := range c.k.Rules {
			reads := slices.ContainsFunc(r.When.Cond.Facts(), func(f string) bool { return facts[f] })
			for _, a := range r.Then {
				switch {
				case a.Conclude != nil && reads && !facts[a.Conclude.Fact]:
					facts[a.Conclude.Fact], more = true, true
				case a.Compute != nil:
					from := reads
					for _, f := range a.Compute.From {
						from = from || facts[f]
					}
					for _, f := range a.Compute.Into {
						if from && !facts[f] {
							facts[f], more = true, true
						}
					}
				}
			}
		}
	}
}
