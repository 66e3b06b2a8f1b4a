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

// View is the page: how it seals and fails, the looks in their order, what to measure and the
// numbers, how it goes together, its causes.
func (j JointPage) View() []Block {
	p := &page{}
	p.add(Verdict, "%s: %s", j.Joint.ID, j.Joint.Title)
	if len(j.Joint.OtherNames) > 0 {
		p.add(Para, "Also called: %s.", strings.Join(j.Joint.OtherNames, ", "))
	}
	for _, x := range []struct{ head, text string }{{"What it looks like", j.Joint.LooksLike}, {"How it seals", j.Joint.WorksBy}, {"How it fails", j.Joint.FailsBy}, {"What holds it", j.Joint.Restraint}} {
		if x.text != "" {
			p.add(Heading, "%s", x.head)
			p.add(Para, "%s", x.text)
		}
	}
	j.dangers(p)
	j.order(p)
	j.measures(p)
	j.assembly(p)
	j.alikes(p)
	j.causes(p)
	return p.blocks
}

// dangers are the warnings that this kind needs, those that most of it needs first.
func (j JointPage) dangers(p *page) {
	needs := map[string]int{}
	var ids []string
	add := func(list []string) {
		for _, id := range list {
			if needs[id]++; needs[id] == 1 {
				ids = append(ids, id)
			}
		}
	}
	for _, c := range j.Causes {
		add(c.Cautions)
		for _, r := range c.Remedies {
			if k := j.KB.Remedy(r.Remedy); k != nil {
				add(k.Cautions)
			}
		}
	}
	for _, id := range j.Joint.Order {
		if c := j.KB.Check(id); c != nil {
			add(c.Cautions)
		}
	}
	for _, s := range j.Joint.Reassembly {
		add(s.Cautions)
	}
	slices.SortStableFunc(ids, func(a, b string) int { return cmp.Or(cmp.Compare(needs[b], needs[a]), cmp.Compare(a, b)) })
	j.warn(p, ids)
}

// warn lists warnings in full.
func (j JointPage) warn(p *page, ids []string) {
	said := false
	for _, id := range ids {
		if c := j.KB.Caution(id); c != nil {
			if !said {
				p.add(Heading, "Before hands go near")
				said = true
			}
			p.add(Item, "%s: %s", cmp.Or(c.Title, c.ID), c.Warning)
		}
	}
}

// order is how to find the fault, each look with its tools.
func (j JointPage) order(p *page) {
	if len(j.Joint.Order) == 0 {
		return
	}
	p.add(Heading, "Finding the fault, in the order that saves the most strip-downs")
	n := 0
	for _, id := range j.Joint.Order {
		if c := j.KB.Check(id); c != nil {
			n++
			j.oneLook(p, n, c)
		}
	}
}

// oneLook is one look: its time, how, with what.
func (j JointPage) oneLook(p *page, n int, c *rules.Check) {
	p.mark(Numbered, fmt.Sprint(n), "%s (%s, %s)", cmp.Or(c.Title, c.ID), c.Stage, spent(c.Minutes, c.Wait))
	p.add(Note, "%s", c.How)
	note(p, "With", strings.Join(j.tools(c.Tools), ", "))
	note(p, "Mind", strings.Join(j.warnings(c.Cautions), "; "))
	note(p, "Then it wants", c.CommitsTo)
}

// tools are the names of tools; an instrument is called by its title.
func (j JointPage) tools(list []string) []string {
	var out []string
	for _, id := range list {
		if i := j.KB.Instrument(id); i != nil {
			id = cmp.Or(i.Title, i.ID)
		}
		out = append(out, id)
	}
	return out
}

func (j JointPage) assembly(p *page) {
	if len(j.Joint.Reassembly) > 0 {
		p.add(Heading, "Putting it together")
		if len(j.Joint.HaveReady) > 0 {
			p.add(Para, "Have ready: %s.", strings.Join(j.Joint.HaveReady, ", "))
		}
		for i, s := range j.Joint.Reassembly {
			p.mark(Numbered, fmt.Sprint(i+1), "%s", s.Do)
			if s.Why != "" {
				p.add(Note, "%s", s.Why)
			}
			note(p, "Before it", strings.Join(j.warnings(s.Cautions), "; "))
		}
	}
	if j.Joint.TurnTest != "" {
		p.add(Heading, "The test built into the next assembly")
		p.add(Para, "%s", j.Joint.TurnTest)
	}
}

// shares of a cause per history, as the table has it.
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
	p.add(Heading, "Causes: %d, the commonest after a refit first", len(j.Causes))
	p.add(Para, "Shares are estimates of the trade. Signs stand with how often they show when this is the cause, and with any cause.")
	p.add(Para, "")
	list := slices.Clone(j.Causes)
	slices.SortStableFunc(list, func(a, b *rules.Cause) int {
		return cmp.Or(cmp.Compare(b.Share[rules.AfterRefit], a.Share[rules.AfterRefit]), cmp.Compare(a.ID, b.ID))
	})
	usual, gaps := j.usual(), map[string]int{}
	for i, c := range list {
		p.mark(Numbered, fmt.Sprint(i+1), "%s (%s)", c.Title, c.ID)
		p.add(Note, "%s", c.Means)
		note(p, "Share", shares(c))
		speaks, against := j.telling(c, usual)
		note(p, "Speaks for it", strings.Join(speaks[:min(3, len(speaks))], "; "))
		note(p, "Speaks against it", strings.Join(against[:min(1, len(against))], "; "))
		note(p, "Found by", strings.Join(j.foundBy(c), "; "))
		note(p, "Numbers", strings.Join(j.numbers(c), "; "))
		note(p, "Cure, best first", strings.Join(j.cures(c), "; "))
		if c.StopGap.Allowed != "no" && c.StopGap.Measure != "" {
			gap := stopGap(c.StopGap)
			if gaps[gap] == 0 {
				gaps[gap] = i + 1
				note(p, "For the time being", gap)
			} else {
				p.add(Note, "For the time being: as with cause %d", gaps[gap])
			}
		}
		note(p, "Prevent", c.Prevent)
	}
	if len(list) > 0 {
		p.add(Para, "")
		p.add(Para, "One cause in full, with how each look and cure is done: seepwright joint %s CAUSE, such as %s.", j.Joint.ID, list[0].ID)
	}
}

func (j JointPage) foundBy(c *rules.Cause) []string {
	var out []string
	for _, f := range c.FoundBy {
		if k := j.KB.Check(f.Check); k != nil {
			out = append(out, cmp.Or(k.Title, k.ID))
		}
	}
	return uniq(out)
}

// numbers are the targets of a cause; of several for one quantity only the quantity is named.
func (j JointPage) numbers(c *rules.Cause) []string {
	count := map[string]int{}
	for _, id := range c.Targets {
		if t := j.KB.Target(id); t != nil {
			count[t.Fact]++
		}
	}
	var out []string
	for _, id := range c.Targets {
		t := j.KB.Target(id)
		switch {
		case t == nil:
		case count[t.Fact] > 2:
			out = append(out, low(j.factTitle(t.Fact))+", see above")
		case t.AtLeast == nil && t.AtMost == nil:
			out = append(out, low(cmp.Or(t.Title, t.ID))+", see above")
		default:
			out = append(out, cmp.Or(t.Title, t.ID)+": "+engine.Limit(t))
		}
	}
	return uniq(out)
}

func (j JointPage) cures(c *rules.Cause) []string {
	var out []string
	for _, r := range c.Remedies {
		if k := j.KB.Remedy(r.Remedy); k != nil {
			out = append(out, cmp.Or(k.Title, k.ID))
		}
	}
	return out
}

// warnings are the titles of cautions, which the page says in full before.
func (j JointPage) warnings(ids []string) []string {
	var out []string
	for _, id := range ids {
		if k := j.KB.Caution(id); k != nil {
			out = append(out, cmp.Or(k.Title, k.ID))
		}
	}
	return out
}

// alikes are the causes of the kind that are easily taken for each other.
func (j JointPage) alikes(p *page) {
	if len(j.Joint.LookAlikes) == 0 {
		return
	}
	p.add(Heading, "What is easily taken for another")
	for _, a := range j.Joint.LookAlikes {
		var names []string
		for _, id := range a.Causes {
			if c := j.KB.Cause(j.Joint.ID + "/" + id); c != nil {
				id = c.Title
			}
			names = append(names, id)
		}
		p.add(Item, "%s: %s", strings.Join(names, ", or: "), a.Says)
		note(p, "Told by", j.splitter(a.SplitBy))
	}
}

func (j JointPage) factTitle(id string) string {
	if f := j.KB.Fact(id); f != nil {
		return strings.TrimSuffix(cmp.Or(f.Title, f.Ask, f.ID), "?")
	}
	return id
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
