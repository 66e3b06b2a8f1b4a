package handbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seepwright/cmd/seepwright/report"
	"seepwright/rules"
)

// kind writes the page of a joint kind.
func (b *book) kind(p *page, j *rules.Joint) {
	p.line("")
	if len(j.OtherNames) > 0 {
		p.item("Also called", list(j.OtherNames))
	}
	var held []string
	for _, h := range j.HeldBy {
		held = append(held, strings.ReplaceAll(string(h), "-", " "))
	}
	p.item("Held by", list(held))
	p.item("Moves", esc(string(j.Moves)))
	b.origin(p, "joint", j.ID, j.Title, j.Origin)
	for _, x := range []struct{ head, text string }{{"What it looks like", j.LooksLike}, {"How it seals", j.WorksBy}, {"How it fails", j.FailsBy}, {"What holds it", j.Restraint}} {
		if x.text != "" {
			p.head(2, "", x.head)
			p.para(x.text)
		}
	}
	if len(j.Order) > 0 {
		p.head(2, "", "The order of looking that saves the most strip-downs")
		for i, id := range j.Order {
			when := ""
			if c := b.k.Check(id); c != nil {
				when = fmt.Sprintf(" (%s, %s)", c.Stage, report.Minutes(c.Minutes))
			}
			p.line("%d. %s%s", i+1, b.check(id), when)
		}
	}
	if len(j.Reassembly) > 0 {
		p.head(2, "", "Putting it together")
		for i, s := range j.Reassembly {
			p.line("%d. %s", i+1, esc(s.Do))
			if s.Why != "" {
				p.line("   %s", esc(s.Why))
			}
			if len(s.Cautions) > 0 {
				p.line("   Before it: %s.", b.links("caution", s.Cautions))
			}
		}
	}
	if j.TurnTest != "" || len(j.HaveReady) > 0 {
		p.line("")
		p.item("Test built into the next assembly", esc(j.TurnTest))
		p.item("Have ready", list(j.HaveReady))
	}
	var own []*rules.Target
	for _, t := range b.k.Targets {
		if t.For == j.ID {
			own = append(own, t)
		}
	}
	if len(own) > 0 {
		p.head(2, "", "Numbers to reach")
		for _, t := range sorted(own, func(t *rules.Target) string { return t.ID }) {
			p.line("- %s: %s", b.link("target", t.ID, t.Title), b.limit(t))
		}
	}
	if len(j.LookAlikes) > 0 {
		p.head(2, "", "What is easily taken for another")
		for _, x := range j.LookAlikes {
			var names []string
			for _, c := range x.Causes {
				names = append(names, b.cause(j.ID, c))
			}
			p.line("- %s: %s. %s", strings.Join(names, " or "), b.check(x.SplitBy), esc(x.Says))
		}
	}
	p.head(2, "", "Causes")
	causes := slices.Clone(b.k.CausesOf(j.ID))
	slices.SortStableFunc(causes, func(a, b *rules.Cause) int {
		return cmp.Or(cmp.Compare(b.Share[rules.AfterRefit], a.Share[rules.AfterRefit]), cmp.Compare(a.ID, b.ID))
	})
	for _, c := range causes {
		p.line("- [%s](#cause-%s): %s", esc(c.Title), c.ID, perHistory(c.Share))
	}
	b.causes(p, causes)
}

// causes writes causes in full.
func (b *book) causes(p *page, causes []*rules.Cause) {
	for _, c := range causes {
		p.head(3, "cause-"+c.ID, c.Title)
		p.para(c.Means)
		kind := cmp.Or(c.For, shared)
		p.item("How often", perHistory(c.Share))
		p.item("Acts on", b.links("joint", c.Joints))
		if c.Acts > 0 {
			p.item("Makes such a joint leak", percent(c.Acts))
			for _, x := range c.ActsAt {
				p.item("But "+b.links("joint", x.Joints), fmt.Sprintf("%s. %s", percent(x.Acts), esc(x.Because)))
			}
			for _, x := range c.NeverAt {
				p.item("Not on "+b.links("joint", x.Joints), esc(x.Because))
			}
		}
		var more, less []string
		for _, x := range c.Context {
			s := fmt.Sprintf("%s (%v times%s)", esc(x.When.Text), x.Times, b.unless(x.Unless))
			if x.Times >= 1 {
				more = append(more, s)
			} else {
				less = append(less, s)
			}
		}
		p.item("More likely", strings.Join(more, "; "))
		p.item("Less likely", strings.Join(less, "; "))
		var signs []string
		for _, s := range c.Signs {
			signs = append(signs, fmt.Sprintf("%s %s %s", b.fact(s.Fact), esc(b.answer(s.Fact, s.Option)), percent(s.Shows)))
		}
		p.item("Signs", strings.Join(signs, "; "))
		var found []string
		for _, f := range c.FoundBy {
			s := b.check(f.Check)
			if f.Fact != "" {
				s += ": " + b.fact(f.Fact) + " " + esc(b.answer(f.Fact, f.Opt))
			}
			found = append(found, s)
		}
		p.item("Found by", strings.Join(found, "; "))
		p.item("Numbers", b.links("target", c.Targets))
		var cures []string
		for _, r := range c.Remedies {
			title := ""
			if d := b.k.Remedy(r.Remedy); d != nil {
				title = d.Title
			}
			s := b.link("remedy", r.Remedy, title)
			if r.Note != "" {
				s += " (" + esc(r.Note) + ")"
			}
			cures = append(cures, s)
		}
		p.item("Cure, best first", strings.Join(cures, "; "))
		gap := map[string]string{"no": "none", "yes": "", "short": "for a short time only: "}[c.StopGap.Allowed]
		if c.StopGap.Measure != "" {
			gap += c.StopGap.Measure + " Limit: " + c.StopGap.Limit
		}
		p.item("Until then", esc(gap))
		p.item("How to keep it from coming back", esc(c.Prevent))
		p.item("When putting it together", esc(c.PreCheck))
		p.item("If nothing is done", esc(c.IfIgnored))
		p.item("How it goes on", esc(c.Course))
		p.item("Cautions", b.links("caution", c.Cautions))
		for _, a := range c.Alikes {
			p.item("Looks like", fmt.Sprintf("%s; what splits them: %s. %s", b.cause(kind, a.Cause), b.check(a.SplitBy), esc(a.Says)))
		}
		b.origin(p, "cause", c.Ref(), c.Title, c.Origin)
	}
}

// answer is an answer in the words of its fact.
func (b *book) answer(factID, option string) string {
	if option == "" {
		return "yes"
	}
	if f := b.k.Fact(factID); f != nil {
		for _, o := range f.Options {
			if o.ID == option {
				return cmp.Or(o.Title, o.ID)
			}
		}
	}
	return option
}

// work is the time that something takes.
func work(minutes, wait float64) string {
	s := report.Minutes(minutes)
	if wait > 0 {
		s += ", and " + report.Minutes(wait) + " of waiting"
	}
	return s
}
