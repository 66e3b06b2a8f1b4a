package report

import (
	"fmt"
	"strings"

	"seepwright/engine/ruletest"
	"seepwright/rules/load"
	"seepwright/rules/unit"
)

// Compared is what one folder of knowledge changes against another.
type Compared struct {
	Old, New  string
	Least     float64 // a chance that moves by less is not told
	Documents []load.Difference
	Tables    []string // that differ
	Pairs     []ruletest.Pair
}

// sums counts over the cases that both can work out.
type sums struct {
	cases, oldFirst, newFirst, oldThree, newThree int
	oldP, newP                                    float64
	fails, mended, differ                         int
}

func (d Compared) sums() sums {
	var s sums
	three := func(rank int) int {
		if rank >= 1 && rank <= 3 {
			return 1
		}
		return 0
	}
	first := func(rank int) int {
		if rank == 1 {
			return 1
		}
		return 0
	}
	for _, p := range d.Pairs {
		if p.Differs(d.Least) {
			s.differ++
		}
		switch {
		case p.Old.Passed() && !p.New.Passed():
			s.fails++
		case !p.Old.Passed() && p.New.Passed():
			s.mended++
		}
		if !p.Old.Ranked() || !p.New.Ranked() {
			continue
		}
		s.cases++
		s.oldFirst, s.newFirst = s.oldFirst+first(p.Old.Rank), s.newFirst+first(p.New.Rank)
		s.oldThree, s.newThree = s.oldThree+three(p.Old.Rank), s.newThree+three(p.New.Rank)
		s.oldP, s.newP = s.oldP+p.Old.P, s.newP+p.New.P
	}
	return s
}

func percentOf(p float64) string { return fmt.Sprintf("%.1f %%", 100*p) }

// View says what differs, in sentences.
func (d Compared) View() []Block {
	p, s := &page{}, d.sums()
	p.add(Verdict, "%d of %d solved cases rank differently under %s than under %s; %d passed before and fail now, %d failed before and pass now.", s.differ, len(d.Pairs), d.New, d.Old, s.fails, s.mended)
	p.add(Heading, "Documents")
	for _, x := range d.Documents {
		p.add(Item, "%s %s %s (%s)", x.How, x.Kind, x.Ref, x.Place)
	}
	for _, name := range d.Tables {
		p.add(Item, "another table %s", name)
	}
	if len(d.Documents)+len(d.Tables) == 0 {
		p.add(Para, "Both say the same.")
	}
	if s.fails > 0 {
		d.cases(p, "Passed before, fail now", "", fails)
	}
	d.cases(p, "Solved cases in another order", "None: no other cause in the lead, no proven cause in another place, nothing that passes or fails now.", func(x ruletest.Pair) bool { return x.Reordered() && !fails(x) })
	d.cases(p, "The same order, another chance of the proven cause", "None that moved by "+unit.Show(100*d.Least, 3)+" % or more.", func(x ruletest.Pair) bool { return !x.Reordered() && !fails(x) })
	if s.cases > 0 {
		n := float64(s.cases)
		p.add(Heading, "In all")
		p.add(Para, "Of %d cases that both can work out, the proven cause stands first in %d, then %d; among the first three in %d, then %d; its mean chance is %s, then %s.", s.cases, s.oldFirst, s.newFirst, s.oldThree, s.newThree, percentOf(s.oldP/n), percentOf(s.newP/n))
	}
	return p.blocks
}

// fails tells a case that passed under the old knowledge only: what to look at first.
func fails(p ruletest.Pair) bool { return p.Old.Passed() && !p.New.Passed() }

// cases tells of the cases of one sort that differ.
func (d Compared) cases(p *page, heading, none string, sort func(ruletest.Pair) bool) {
	p.add(Heading, "%s", heading)
	count := 0
	for _, x := range d.Pairs {
		if !x.Differs(d.Least) || !sort(x) {
			continue
		}
		count++
		p.add(Item, "%s/%s (%s)%s", x.New.Kind, x.Case.ID, x.Case.Place, onlyIn(x))
		if x.Reordered() {
			if x.Old.Ranked() && x.New.Ranked() && x.Old.Lead == x.New.Lead {
				p.add(Note, "in the lead: %s as before", x.New.Lead)
			} else {
				p.add(Note, "in the lead: %s, then %s", lead(x.Old), lead(x.New))
			}
		}
		p.add(Note, "proven, %s: %s, then %s", x.Case.Cause, stands(x.Old), stands(x.New))
		switch {
		case x.Old.Passed() && !x.New.Passed():
			p.add(Note, "fails now: %s", strings.Join(x.New.Fails, "; "))
		case !x.Old.Passed() && x.New.Passed() && x.Old.Ranked():
			p.add(Note, "failed before: %s", strings.Join(x.Old.Fails, "; "))
		}
	}
	if count == 0 {
		p.add(Para, "%s", none)
	}
}

func onlyIn(p ruletest.Pair) string {
	switch {
	case p.Added:
		return ", a new case"
	case p.Gone:
		return ", a case that is gone"
	}
	return ""
}

func lead(r ruletest.Report) string {
	if !r.Ranked() {
		return "nothing"
	}
	return r.Lead + " " + percentOf(r.LeadP)
}

func stands(r ruletest.Report) string {
	switch {
	case !r.Ranked():
		return "cannot be worked out (" + strings.Join(r.Fails, "; ") + ")"
	case r.Rank == 0:
		return "not among the causes"
	}
	return fmt.Sprintf("place %d, %s", r.Rank, percentOf(r.P))
}

// JSON is the same for a program, with every case that differs.
func (d Compared) JSON() any {
	documents, cases := []map[string]any{}, []map[string]any{}
	for _, x := range d.Documents {
		documents = append(documents, map[string]any{"how": x.How, "kind": x.Kind, "name": x.Ref, "place": x.Place.String()})
	}
	side := func(r ruletest.Report) map[string]any {
		fails := append([]string{}, r.Fails...)
		return map[string]any{"ranked": r.Ranked(), "lead": r.Lead, "lead_probability": r.LeadP, "rank": r.Rank, "probability": r.P, "passed": r.Passed(), "fails": fails}
	}
	for _, x := range d.Pairs {
		if x.Differs(d.Least) {
			cases = append(cases, map[string]any{"case": x.Case.ID, "kind": x.New.Kind, "place": x.Case.Place.String(), "proven": x.Case.Cause, "added": x.Added, "gone": x.Gone, "old": side(x.Old), "new": side(x.New)})
		}
	}
	s := d.sums()
	return map[string]any{
		"schema": 1, "old": d.Old, "new": d.New, "least": d.Least, "documents": documents, "tables": append([]string{}, d.Tables...), "differing": cases,
		"cases": len(d.Pairs), "fail_now": s.fails, "pass_now": s.mended, "both_ranked": s.cases,
		"first":            map[string]int{"old": s.oldFirst, "new": s.newFirst},
		"first_three":      map[string]int{"old": s.oldThree, "new": s.newThree},
		"mean_probability": map[string]float64{"old": s.oldP / float64(max(s.cases, 1)), "new": s.newP / float64(max(s.cases, 1))},
	}
}
