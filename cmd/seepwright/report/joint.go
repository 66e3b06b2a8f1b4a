package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/rules"
)

// JointPage is all that the knowledge base says of one kind of joint.
type JointPage struct {
	Joint  *rules.Joint
	Causes []*rules.Cause
	KB     *rules.Knowledge
}

// View is the page: how it seals, its fit checks with targets, its causes.
func (j JointPage) View() []Block {
	p := &page{}
	p.add(Verdict, "%s: %s", j.Joint.ID, j.Joint.Title)
	if len(j.Joint.OtherNames) > 0 {
		p.add(Para, "Also called: %s.", strings.Join(j.Joint.OtherNames, ", "))
	}
	for _, x := range []struct{ head, text string }{{"What it looks like", j.Joint.LooksLike}, {"How it seals", j.Joint.WorksBy}, {"How it fails", j.Joint.FailsBy}} {
		if x.text != "" {
			p.add(Heading, "%s", x.head)
			p.add(Para, "%s", x.text)
		}
	}
	if j.Joint.Restraint != "" {
		p.add(Para, "What holds it: %s", j.Joint.Restraint)
	}
	j.targets(p)
	if len(j.Joint.Order) > 0 {
		p.add(Heading, "The order of looking that saves the most strip-downs")
		for i, id := range j.Joint.Order {
			if c := j.KB.Check(id); c != nil {
				p.mark(Numbered, fmt.Sprint(i+1), "%s (%s, %s)", cmp.Or(c.Title, c.ID), c.Stage, Minutes(c.Minutes))
			}
		}
	}
	if len(j.Joint.Reassembly) > 0 {
		p.add(Heading, "Putting it together")
		for i, s := range j.Joint.Reassembly {
			p.mark(Numbered, fmt.Sprint(i+1), "%s", s.Do)
			if s.Why != "" {
				p.add(Note, "%s", s.Why)
			}
		}
	}
	if j.Joint.TurnTest != "" {
		p.add(Para, "Turn test: %s", j.Joint.TurnTest)
	}
	j.causes(p)
	return p.blocks
}

func (j JointPage) targets(p *page) {
	var list []*rules.Target
	for _, t := range j.KB.Targets {
		if t.For == j.Joint.ID {
			list = append(list, t)
		}
	}
	if len(list) == 0 {
		return
	}
	p.add(Heading, "Fit checks and their targets")
	for i, t := range list {
		s := cmp.Or(t.Title, t.ID) + ": " + engine.Limit(t)
		if t.When != nil {
			s += " (when " + t.When.Text + ")"
		}
		p.add(Item, "%s", s)
		if i+1 < len(list) && list[i+1].Source == t.Source && list[i+1].Without == t.Without {
			continue // rows of one table: what they share is said once, after the last
		}
		p.add(Note, "Source: %s.", origin(t.Source, string(t.Standing)))
		p.add(Note, "Without the instrument: %s", t.Without)
	}
}

// share of a cause shown per history, as the table has it.
func shares(c *rules.Cause) string {
	var out []string
	for _, h := range rules.Histories() {
		if x, ok := c.Share[h]; ok {
			out = append(out, fmt.Sprintf("%s %.1f %%", strings.ReplaceAll(string(h), "-", " "), 100*x))
		}
	}
	return strings.Join(out, ", ")
}

func (j JointPage) causes(p *page) {
	p.add(Heading, "Causes: %d (shares are estimates of the trade)", len(j.Causes))
	list := slices.Clone(j.Causes)
	slices.SortStableFunc(list, func(a, b *rules.Cause) int {
		return cmp.Or(cmp.Compare(b.Share[rules.AfterRefit], a.Share[rules.AfterRefit]), cmp.Compare(a.ID, b.ID))
	})
	for i, c := range list {
		p.mark(Numbered, fmt.Sprint(i+1), "%s (%s): %s", c.Title, c.ID, shares(c))
		p.add(Note, "%s", c.Means)
		var signs []string
		for _, s := range c.Signs {
			signs = append(signs, fmt.Sprintf("%s %.0f %%", j.sign(s), 100*s.Shows))
		}
		note(p, "Signs", strings.Join(signs, "; "))
		var checks []string
		for _, f := range c.FoundBy {
			if k := j.KB.Check(f.Check); k != nil {
				checks = append(checks, cmp.Or(k.Title, k.ID))
			}
		}
		note(p, "Found by", strings.Join(uniq(checks), "; "))
		var targets []string
		for _, id := range c.Targets {
			if t := j.KB.Target(id); t != nil {
				targets = append(targets, cmp.Or(t.Title, t.ID)+" "+engine.Limit(t))
			}
		}
		note(p, "Targets", strings.Join(targets, "; "))
		var cures []string
		for _, r := range c.Remedies {
			if k := j.KB.Remedy(r.Remedy); k != nil {
				cures = append(cures, cmp.Or(k.Title, k.ID))
			}
		}
		note(p, "Cure, best first", strings.Join(cures, "; "))
		note(p, "For the time being", stopGap(c.StopGap))
		note(p, "Prevent", c.Prevent)
		note(p, "If ignored", c.IfIgnored)
		var warn []string
		for _, id := range c.Cautions {
			if k := j.KB.Caution(id); k != nil {
				warn = append(warn, cmp.Or(k.Title, k.ID))
			}
		}
		note(p, "Cautions", strings.Join(warn, "; "))
	}
}

func note(p *page, label, text string) {
	if text != "" {
		p.add(Note, "%s: %s", label, text)
	}
}

func stopGap(s rules.StopGap) string {
	switch {
	case s.Allowed == "no" || s.Measure == "":
		return "nothing; stop and mend it"
	case s.Limit != "":
		return strings.TrimSuffix(s.Measure, ".") + "; limit: " + s.Limit
	}
	return s.Measure
}

func (j JointPage) sign(s rules.Sign) string {
	f := j.KB.Fact(s.Fact)
	if f == nil {
		return s.Fact
	}
	name := strings.TrimSuffix(cmp.Or(f.Title, f.Ask), "?")
	for _, o := range f.Options {
		if o.ID == s.Option {
			return name + ": " + cmp.Or(o.Title, o.ID)
		}
	}
	return name
}

func uniq(list []string) []string {
	var out []string
	for _, s := range list {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

// JSON is the same for a program.
func (j JointPage) JSON() any {
	type target struct {
		ID       string `json:"id"`
		Title    string `json:"title"`
		Fact     string `json:"fact"`
		Limit    string `json:"limit"`
		When     string `json:"when,omitempty"`
		Source   string `json:"source"`
		Standing string `json:"standing"`
		Without  string `json:"without"`
	}
	targets := []target{}
	for _, t := range j.KB.Targets {
		if t.For == j.Joint.ID {
			x := target{ID: t.ID, Title: t.Title, Fact: t.Fact, Limit: engine.Limit(t), Source: t.Source, Standing: string(t.Standing), Without: t.Without}
			if t.When != nil {
				x.When = t.When.Text
			}
			targets = append(targets, x)
		}
	}
	return struct {
		Kind    string         `json:"kind"`
		Joint   *rules.Joint   `json:"joint"`
		Targets any            `json:"targets"`
		Causes  []*rules.Cause `json:"causes"`
	}{j.Joint.ID, j.Joint, targets, j.Causes}
}
