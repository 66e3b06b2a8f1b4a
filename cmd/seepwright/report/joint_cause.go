package report

import (
	"cmp"
	"fmt"
	"strings"

	"seepwright/rules"
	"seepwright/rules/unit"
)

// CauseView is the page of one cause: how often, what speaks for it, how it is found and cured,
// each look and cure with how it is done.
func (j JointPage) CauseView(c *rules.Cause) []Block {
	p := &page{}
	p.add(Verdict, "%s: %s", c.ID, c.Title)
	p.add(Para, "A cause of leaks of: %s (%s).", j.Joint.Title, j.Joint.ID)
	p.add(Para, "%s", c.Means)
	j.causeDangers(p, c)
	p.add(Heading, "How often")
	p.add(Para, "Of 100 leaks of this kind: %s. %s", shares(c), sentence(Origin(cmp.Or(c.Source, "estimate of the trade"), string(c.Standing))))
	for _, x := range c.Context {
		p.add(Item, "Odds times %s where %s", unit.Show(x.Times, 2), j.whenWords(x.When))
	}
	speaks, against := j.telling(c, j.usual())
	list := func(head string, texts []string) {
		if len(texts) > 0 {
			p.add(Heading, "%s", head)
		}
		for _, s := range texts {
			p.add(Item, "%s", s)
		}
	}
	list("What speaks for it", speaks)
	list("What speaks against it", against)
	j.causeLooks(p, c)
	j.causeNumbers(p, c)
	j.causeCures(p, c)
	p.add(Heading, "For the time being")
	p.add(Para, "%s", sentence(stopGap(c.StopGap)))
	for _, x := range []struct{ head, text string }{{"How to prevent it", c.Prevent}, {"If it is ignored", c.IfIgnored}} {
		if x.text != "" {
			p.add(Heading, "%s", x.head)
			p.add(Para, "%s", x.text)
		}
	}
	if len(c.Alikes) > 0 {
		p.add(Heading, "What looks the same, and what splits the two")
		for _, a := range c.Alikes {
			name := a.Cause
			for _, ref := range []string{j.Joint.ID + "/" + a.Cause, a.Cause} {
				if o := j.KB.Cause(ref); o != nil {
					name = o.Title
				}
			}
			p.add(Item, "%s: %s", name, cmp.Or(a.Says, j.splitter(a.SplitBy)))
			if a.Says != "" {
				note(p, "Told by", j.splitter(a.SplitBy))
			}
		}
	}
	return p.blocks
}

// splitter names the check or the question that splits two causes.
func (j JointPage) splitter(id string) string {
	if k := j.KB.Check(id); k != nil {
		return cmp.Or(k.Title, k.ID)
	}
	return j.factTitle(id)
}

func (j JointPage) causeDangers(p *page, c *rules.Cause) {
	ids := c.Cautions
	for _, f := range c.FoundBy {
		if k := j.KB.Check(f.Check); k != nil {
			ids = append(ids[:len(ids):len(ids)], k.Cautions...)
		}
	}
	for _, r := range c.Remedies {
		if k := j.KB.Remedy(r.Remedy); k != nil {
			ids = append(ids[:len(ids):len(ids)], k.Cautions...)
		}
	}
	j.warn(p, uniq(ids))
}

func (j JointPage) causeLooks(p *page, c *rules.Cause) {
	if len(c.FoundBy) == 0 {
		return
	}
	p.add(Heading, "How to find out")
	done := map[string]bool{}
	n := 0
	for _, f := range c.FoundBy {
		k := j.KB.Check(f.Check)
		if k == nil || done[k.ID] {
			continue
		}
		done[k.ID] = true
		n++
		j.oneLook(p, n, k)
		note(p, "It shows as", j.sign(rules.Sign{Fact: f.Fact, Option: f.Opt}))
		p.add(Note, "Seen in %.0f of 100 where it is the cause; in %.0f of 100 where it is not.", 100*f.Se, 100*(1-f.Sp))
		note(p, "Without the tool", k.Without)
	}
}

func (j JointPage) causeNumbers(p *page, c *rules.Cause) {
	said := map[string]bool{}
	head := false
	byFact := map[string][]*rules.Target{}
	var facts []string
	for _, id := range c.Targets {
		if t := j.KB.Target(id); t != nil {
			if len(byFact[t.Fact]) == 0 {
				facts = append(facts, t.Fact)
			}
			byFact[t.Fact] = append(byFact[t.Fact], t)
		}
	}
	for _, f := range facts {
		if !head {
			p.add(Heading, "The number")
			head = true
		}
		j.quantity(p, f, byFact[f], said)
	}
}

func (j JointPage) causeCures(p *page, c *rules.Cause) {
	if len(c.Remedies) == 0 {
		return
	}
	p.add(Heading, "How to cure it, best first")
	n := 0
	for _, r := range c.Remedies {
		k := j.KB.Remedy(r.Remedy)
		if k == nil {
			continue
		}
		n++
		works := cmp.Or(r.Success, k.Success)
		p.mark(Numbered, fmt.Sprint(n), "%s (%s; holds in %.0f of 100)", cmp.Or(k.Title, k.ID), spent(cmp.Or(r.Minutes, k.Minutes), k.Wait), 100*works)
		p.add(Note, "%s", k.How)
		note(p, "Parts", strings.Join(k.Parts, ", "))
		note(p, "With", strings.Join(j.tools(k.Tools), ", "))
		note(p, "Limit", k.Limit)
		note(p, "Here", r.Note)
		if k.Specialist {
			p.add(Note, "Work for a specialist.")
		}
	}
}

// whenWords is a condition in plain words.
func (j JointPage) whenWords(w rules.When) string {
	var out []string
	for _, c := range w.Cond.Parts() {
		out = append(out, j.words(c))
	}
	return strings.Join(out, " and ")
}

// CauseData is the same for a program, with the checks, remedies and targets that it names.
func (j JointPage) CauseData(c *rules.Cause) any {
	checks, cures, targets := []*rules.Check{}, []*rules.Remedy{}, []*rules.Target{}
	for _, f := range c.FoundBy {
		if k := j.KB.Check(f.Check); k != nil {
			checks = append(checks, k)
		}
	}
	for _, r := range c.Remedies {
		if k := j.KB.Remedy(r.Remedy); k != nil {
			cures = append(cures, k)
		}
	}
	for _, id := range c.Targets {
		if t := j.KB.Target(id); t != nil {
			targets = append(targets, t)
		}
	}
	return struct {
		Kind    string          `json:"kind"`
		Cause   *rules.Cause    `json:"cause"`
		Checks  []*rules.Check  `json:"checks"`
		Cures   []*rules.Remedy `json:"cures"`
		Targets []*rules.Target `json:"targets"`
	}{j.Joint.ID, c, checks, cures, targets}
}

// sentence begins with a capital letter and ends with a stop.
func sentence(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + strings.TrimSuffix(s[1:], ".") + "."
}

// spent is the time for hands, and what has to be waited.
func spent(minutes, wait float64) string {
	if wait > 0 {
		return Minutes(minutes) + " and " + Minutes(wait) + " of waiting"
	}
	return Minutes(minutes)
}
