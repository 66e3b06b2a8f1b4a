package lint

import (
	"fmt"
	"slices"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/load"
	"seepwright/rules/source"
)

// ref is one place where a document names another.
type ref struct {
	at   source.Place
	kind string // fact, check, cause, joint, remedy, target, caution, stop, instrument, rule, "check or fact"
	name string
	in   []string // of a cause: the joint kinds in which a bare name is looked for
}

// unknownNames reports every name that no document bears, conditions apart.
func unknownNames(c *checker) {
	for _, r := range references(c) {
		if r.name == "" || c.exists(r) {
			continue
		}
		what := "no " + r.kind + " is called " + quote(r.name)
		if r.kind == "cause" && len(r.in) > 0 {
			what += " in " + r.in[0]
		}
		c.report(r.at, "unknown-name", what, source.DidYouMean(r.name, c.names(r)))
	}
}

func (c *checker) exists(r ref) bool {
	k := c.k
	switch r.kind {
	case "fact":
		return c.fact(r.name) != nil
	case "check":
		return k.Check(r.name) != nil
	case "check or fact":
		return k.Check(r.name) != nil || c.fact(r.name) != nil
	case "cause":
		return len(load.CauseRefs(k, r.name, r.in)) > 0
	case "joint":
		return k.Joint(r.name) != nil
	case "remedy":
		return k.Remedy(r.name) != nil
	case "target":
		return k.Target(r.name) != nil
	case "caution":
		return k.Caution(r.name) != nil
	case "stop":
		return k.Stop(r.name) != nil
	case "instrument":
		return k.Instrument(r.name) != nil
	}
	return k.Rule(r.name) != nil
}

func (c *checker) names(r ref) []string {
	var out []string
	switch r.kind {
	case "fact":
		return c.vocab.names
	case "check", "check or fact":
		for _, d := range c.k.Checks {
			out = append(out, d.ID)
		}
		if r.kind != "check" {
			out = append(out, c.vocab.names...)
		}
	case "cause":
		for _, d := range c.k.Causes {
			if d.Shared || slices.Contains(r.in, d.For) {
				out = append(out, d.ID)
			} else {
				out = append(out, d.Ref())
			}
		}
	case "joint":
		return c.kinds
	case "remedy":
		for _, d := range c.k.Remedies {
			out = append(out, d.ID)
		}
	case "target":
		for _, d := range c.k.Targets {
			out = append(out, d.ID)
		}
	case "caution":
		for _, d := range c.k.Cautions {
			out = append(out, d.ID)
		}
	case "stop":
		for _, d := range c.k.Stops {
			out = append(out, d.ID)
		}
	case "instrument":
		for _, d := range c.k.Instruments {
			out = append(out, d.ID)
		}
	default:
		for _, d := range c.k.Rules {
			out = append(out, d.ID)
		}
	}
	return out
}

// references lists all names by which documents point at others.
func references(c *checker) []ref {
	w := &pointers{c: c}
	k := c.k
	for _, d := range k.Joints {
		own := []string{d.ID}
		w.all(d.Head, "order", "check", d.Order)
		for _, s := range d.Reassembly {
			w.all(d.Head, "reassembly", "caution", s.Cautions)
		}
		for _, p := range d.LookAlikes {
			for _, name := range p.Causes {
				w.cause(d.Head, "look-alikes", name, own)
			}
			w.one(d.Head, "look-alikes", "check or fact", p.SplitBy)
		}
	}
	for _, d := range k.Facts {
		w.one(d.Head, "instrument", "instrument", d.Instrument)
		w.all(d.Head, "for", "joint", d.For)
	}
	for _, d := range k.Checks {
		w.all(d.Head, "for", "joint", d.For)
		w.all(d.Head, "fills", "fact", d.Fills)
		w.all(d.Head, "cautions", "caution", d.Cautions)
	}
	for _, d := range k.Causes {
		w.ofCause(d)
	}
	for _, d := range k.Remedies {
		w.all(d.Head, "cautions", "caution", d.Cautions)
	}
	for _, d := range k.Targets {
		w.one(d.Head, "for", "joint", d.For)
		w.one(d.Head, "fact", "fact", d.Fact)
		w.one(d.Head, "limit by", "fact", d.LimitBy)
		w.one(d.Head, "low by", "fact", d.LowBy)
		w.one(d.Head, "maker", "fact", d.Maker)
	}
	for _, d := range k.Rules {
		w.ofRule(d)
	}
	for _, d := range k.Cases {
		w.ofCase(d)
	}
	for _, d := range k.RuleTests {
		w.one(d.Head, "tests", "rule", d.Rule)
		for _, t := range d.Cases {
			w.one(d.Head, "cases", "joint", t.For)
			w.all(d.Head, "cases", "fact", sortedKeys(t.Given))
			w.all(d.Head, "cases", "fact", t.WouldSettle)
		}
	}
	return w.out
}

type pointers struct {
	c   *checker
	out []ref
}

func (w *pointers) one(h rules.Head, field, kind, name string) {
	w.out = append(w.out, ref{at: w.c.at(h, field, name), kind: kind, name: name})
}

func (w *pointers) all(h rules.Head, field, kind string, names []string) {
	for _, name := range names {
		w.one(h, field, kind, name)
	}
}

func (w *pointers) cause(h rules.Head, field, name string, in []string) {
	w.out = append(w.out, ref{at: w.c.at(h, field, name), kind: "cause", name: name, in: in})
}

func (w *pointers) ofCause(d *rules.Cause) {
	own := []string{d.For}
	if d.Shared {
		own = d.Joints
	}
	w.one(d.Head, "for", "joint", d.For)
	w.all(d.Head, "joints", "joint", d.Joints)
	for _, x := range d.Context {
		if x.Unless != "" {
			w.out = append(w.out, ref{at: x.When.Place, kind: "fact", name: x.Unless})
		}
	}
	for _, x := range d.ActsAt {
		w.all(d.Head, "acts at", "joint", x.Joints)
	}
	for _, x := range d.NeverAt {
		w.all(d.Head, "never at", "joint", x.Joints)
	}
	for _, f := range d.FoundBy {
		w.one(d.Head, "found by", "check", f.Check)
	}
	w.all(d.Head, "targets", "target", d.Targets)
	for _, r := range d.Remedies {
		w.one(d.Head, "remedies", "remedy", r.Remedy)
	}
	w.all(d.Head, "cautions", "caution", d.Cautions)
	for _, a := range d.Alikes {
		w.cause(d.Head, "looks like", a.Cause, own)
		w.one(d.Head, "looks like", "check or fact", a.SplitBy)
	}
}

func (w *pointers) ofRule(d *rules.Rule) {
	w.all(d.Head, "for", "joint", d.For)
	kinds := d.For
	if len(kinds) == 0 {
		kinds = w.c.kinds
	}
	for _, a := range d.Then {
		if a.Conclude != nil {
			w.one(d.Head, "then", "fact", a.Conclude.Fact)
		}
		if a.Compute != nil {
			for _, in := range sortedKeys(a.Compute.From) {
				if v := a.Compute.From[in]; !load.IsQuantity(v) {
					w.one(d.Head, "then", "fact", v)
				}
			}
			for _, out := range sortedKeys(a.Compute.Into) {
				w.one(d.Head, "then", "fact", a.Compute.Into[out])
			}
		}
		for _, f := range []*rules.FindCause{a.Find, a.Exclude} {
			if f != nil {
				w.cause(d.Head, "then", f.Cause, kinds)
			}
		}
		for _, m := range []*rules.MoveCause{a.Raise, a.Lower} {
			if m != nil {
				w.cause(d.Head, "then", m.Cause, kinds)
				w.one(d.Head, "then", "fact", m.Unless)
			}
		}
		w.one(d.Head, "then", "target", a.Target)
		w.one(d.Head, "then", "caution", a.Caution)
		w.one(d.Head, "then", "stop", a.Stop)
	}
}

func (w *pointers) ofCase(d *rules.Case) {
	own := []string{}
	if d.For != "" {
		own = append(own, d.For)
	}
	w.one(d.Head, "for", "joint", d.For)
	for _, id := range sortedKeys(d.Joints) {
		j := d.Joints[id]
		own = append(own, j.Kind)
		w.one(d.Head, "joints", "joint", j.Kind)
		w.all(d.Head, "joints", "fact", sortedKeys(j.Given))
		for _, above := range j.Above {
			if _, ok := d.Joints[above]; !ok {
				w.c.report(w.c.at(d.Head, "joints", above), "unknown-name", fmt.Sprintf("this case has no joint %q", above), source.DidYouMean(above, sortedKeys(d.Joints)))
			}
		}
	}
	w.cause(d.Head, "cause", d.Cause, own)
	if d.LookLike != "" {
		w.cause(d.Head, "looks like", d.LookLike, own)
	}
	w.all(d.Head, "given", "fact", sortedKeys(d.Given))
	w.all(d.Head, "expect", "fact", sortedKeys(d.Expect))
	w.one(d.Head, "splits", "check or fact", d.Splits)
}

// conditions reports what is wrong with the names, options and units in conditions.
func conditions(c *checker) {
	for _, w := range load.Conditions(c.k) {
		for _, p := range w.Cond.Check(c.vocab) {
			f := c.o.Places.Problem(*w, p)
			f.Warning = warns(f.Code)
			c.out = append(c.out, f)
		}
	}
}

// signs reports signs, verdicts and conclusions whose fact or option does not exist or
// cannot be a sign.
func signs(c *checker) {
	for _, d := range c.k.Causes {
		for _, s := range d.Signs {
			c.atom(c.signAt(d.Head, "signs", s.Fact, s.Option, s.Place), s.Fact, s.Option)
		}
		for _, f := range d.FoundBy {
			if f.Fact != "" {
				c.atom(c.signAt(d.Head, "found by", f.Fact, f.Opt, f.Place), f.Fact, f.Opt)
			}
		}
	}
	for _, d := range c.k.Rules {
		for _, a := range d.Then {
			if a.Conclude != nil {
				c.conclusion(d, a)
			}
		}
	}
}

func signText(factID, option string) string {
	if option == "" {
		option = "yes"
	}
	return factID + " is " + option
}

// signAt is where the condition of a sign stands, or its entry.
func (c *checker) signAt(h rules.Head, field, id, option string, entry source.Place) source.Place {
	if at := c.at(h, field, signText(id, option)); at != c.at(h, field, "") {
		return at
	}
	return entry
}

func (c *checker) atom(at source.Place, id, option string) {
	f := c.fact(id)
	if id == "" {
		return // reported when it was read
	}
	if f == nil {
		c.report(at, "unknown-name", "no fact is called "+quote(id), source.DidYouMean(id, c.vocab.names))
		return
	}
	switch f.Answer {
	case fact.YesNo:
		if option != "" {
			c.report(at, "unknown-option", fmt.Sprintf("%q is answered by yes or no", id), fmt.Sprintf("write %s is yes", id))
		}
	case fact.Choice, fact.Several:
		if !hasOption(f, option) {
			c.unknownOption(at, f, option)
		}
	default:
		c.report(at, "not-a-sign", fmt.Sprintf("%q is answered by %s, which is no sign by itself", id, f.Answer), "let a rule conclude a yes-no fact from it, and name that fact here")
	}
}

func (c *checker) unknownOption(at source.Place, f *rules.Fact, option string) {
	if option == "" {
		option = "yes"
	}
	hint := source.DidYouMean(option, optionIDs(f))
	if hint == "" && len(f.Options) <= 24 {
		hint = fmt.Sprintf("its answers are %s", joined(optionIDs(f)))
	}
	c.report(at, "unknown-option", fmt.Sprintf("%q has no answer %q", f.ID, option), hint)
}

func (c *checker) conclusion(d *rules.Rule, a rules.Action) {
	f, v := c.k.Fact(a.Conclude.Fact), a.Conclude.Value
	if f == nil {
		if c.vocab.given[a.Conclude.Fact] == nil {
			return // reported with the unknown names
		}
		f = c.vocab.given[a.Conclude.Fact]
	}
	at := a.Place
	switch f.Answer {
	case fact.YesNo:
		if v.Type != fact.YesNo {
			c.report(at, "unknown-option", fmt.Sprintf("%q is answered by yes or no", f.ID), "conclude yes or no")
		}
	case fact.Choice, fact.Several:
		options := slices.Concat(v.Is, v.Not)
		if v.Type == fact.YesNo || v.Option != "" {
			options = append(options, v.String())
		}
		for _, o := range options {
			if !hasOption(f, o) {
				c.unknownOption(at, f, o)
			}
		}
		if f.Answer == fact.Choice && len(v.Not) > 0 {
			c.report(at, "bad-conclusion", fmt.Sprintf("%q is one of several answers, so a rule must say which", f.ID), "conclude FACT is OPTION")
		}
	default:
		c.report(at, "bad-conclusion", fmt.Sprintf("%q is answered by %s, which a rule can only compute", f.ID, f.Answer), "use compute instead of conclude")
	}
}

func joined(words []string) string {
	out := ""
	for i, w := range words {
		if i > 0 {
			out += ", "
		}
		out += w
	}
	return out
}
