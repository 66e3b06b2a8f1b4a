package lint

import (
	"fmt"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/source"
)

// evidence is one thing that a cause reads: a sign, a verdict of a check, or what a rule
// finds. roots are the observations on which it rests, as "fact" or "fact is option".
type evidence struct {
	at    source.Place
	what  string
	group string // pieces of one graded or plain choice, or of one verdict, are one piece of evidence
	roots []string
}

// evidenceTwice reports observations that count twice for one cause: as two signs, or as a
// sign and as context. Counted twice, an answer moves the odds by its square.
func evidenceTwice(c *checker) {
	said := map[string]bool{}
	for _, d := range c.k.Causes {
		list := c.evidenceOf(d)
		seen := map[string]evidence{}
		exact := map[string]bool{}
		for _, e := range list {
			if key := e.what; exact[key] {
				c.once(said, e.at, "read-twice", fmt.Sprintf("%q stands twice among the signs of %s", e.what, d.ID), "keep one")
				continue
			}
			exact[e.what] = true
			for _, root := range e.roots {
				first, again := seen[root]
				if again && first.group != e.group {
					c.once(said, e.at, "read-twice", fmt.Sprintf("%q and %q both rest on %q, which would count twice for %s", first.what, e.what, root, d.ID), "keep the one that says more")
				}
				if !again {
					seen[root] = e
				}
			}
		}
		c.contextSeen(d, list)
	}
}

// once reports one thing once, however many causes share it.
func (c *checker) once(said map[string]bool, at source.Place, code, what, hint string) {
	key := at.String() + code + what
	if !said[key] {
		said[key] = true
		c.report(at, code, what, hint)
	}
}

// contextSeen reports facts that are both context and sign of one cause.
func (c *checker) contextSeen(d *rules.Cause, list []evidence) {
	read := map[string]string{}
	for _, e := range list {
		for _, root := range e.roots {
			id, _, _ := strings.Cut(root, " is ")
			read[id] = e.what
		}
	}
	for _, s := range d.Signs {
		read[s.Fact] = signText(s.Fact, s.Option)
	}
	for _, f := range d.FoundBy {
		if f.Fact != "" {
			read[f.Fact] = signText(f.Fact, f.Opt)
		}
	}
	for _, x := range d.Context {
		for _, id := range x.When.Cond.Facts() {
			if sign, ok := read[id]; ok {
				c.report(x.When.Place, "sign-and-context", fmt.Sprintf("%q is context here and evidence in %q of the same cause", id, sign), "what was done or fitted is context, what is seen is a sign: keep one of the two")
			}
		}
	}
}

func (c *checker) evidenceOf(d *rules.Cause) []evidence {
	var list []evidence
	add := func(at source.Place, id, option string) {
		f := c.fact(id)
		if f == nil {
			return
		}
		e := evidence{at: at, what: signText(id, option), group: id, roots: c.rootsOf(f, option, d)}
		if f.Answer == fact.Several {
			e.group = e.what
		}
		list = append(list, e)
	}
	for _, s := range d.Signs {
		add(s.Place, s.Fact, s.Option)
	}
	verdicts := map[string]bool{}
	for _, f := range d.FoundBy {
		if key := signText(f.Fact, f.Opt); f.Fact != "" && !verdicts[key] { // two checks may give one verdict
			verdicts[key] = true
			add(f.Place, f.Fact, f.Opt)
		}
	}
	for _, r := range c.k.Rules {
		for _, a := range r.Then {
			for _, find := range []*rules.FindCause{a.Find, a.Exclude} {
				if find != nil && slices.Contains(c.causesOf(r, find.Cause), d) {
					list = append(list, evidence{at: a.Place, what: "rule " + r.ID, group: "rule " + r.ID, roots: c.rootsIn(r, map[string]bool{})})
				}
			}
		}
	}
	return list
}

// rootsOf traces a fact through the rules that conclude it to what was observed. Measured
// sizes are left out: one size may rightly give several verdicts.
func (c *checker) rootsOf(f *rules.Fact, option string, d *rules.Cause) []string {
	return c.trace(f, option, map[string]bool{})
}

func (c *checker) trace(f *rules.Fact, option string, done map[string]bool) []string {
	if f == nil || done[f.ID] {
		return nil
	}
	switch f.Answer {
	case fact.Several:
		if !f.Engine {
			return []string{f.ID + " is " + option}
		}
	case fact.YesNo, fact.Choice:
		if !f.Engine {
			return []string{f.ID}
		}
	default:
		return nil
	}
	done[f.ID] = true
	var out []string
	for _, r := range c.k.Rules {
		for _, a := range r.Then {
			if a.Conclude != nil && a.Conclude.Fact == f.ID {
				out = append(out, c.rootsIn(r, done)...)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// rootsIn lists the observations that the condition of a rule rests on.
func (c *checker) rootsIn(r *rules.Rule, done map[string]bool) []string {
	var out []string
	for _, id := range r.When.Cond.Facts() {
		f := c.fact(id)
		if f == nil || given(id) {
			continue
		}
		if f.Answer == fact.Several && !f.Engine {
			for _, o := range optionsNamed(r.When.Cond.String(), f) {
				out = append(out, id+" is "+o)
			}
			continue
		}
		out = append(out, c.trace(f, "", done)...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// signSums reports exclusive answers that a cause lists with more than the whole.
func signSums(c *checker) {
	for _, d := range c.k.Causes {
		sums := map[string]float64{}
		last := map[string]rules.Sign{}
		for _, s := range d.Signs {
			if f := c.fact(s.Fact); f != nil && f.Answer == fact.Choice {
				sums[s.Fact] += s.Shows
				last[s.Fact] = s
			}
		}
		for _, id := range sortedKeys(sums) {
			if sums[id] > 1.0005 {
				c.report(last[id].Place, "over-whole", fmt.Sprintf("the answers to %q that %s shows add up to %.0f %%", id, d.ID, 100*sums[id]), "only one of them can be true, so keep the sum at or below 100 %; more is scaled down")
			}
		}
	}
}
