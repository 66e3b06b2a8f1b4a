package handbook

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/rules"
	"seepwright/rules/unit"
)

func (b *book) facts(p *page) {
	for _, d := range sorted(b.k.Facts, func(d *rules.Fact) string { return d.ID }) {
		p.head(2, "fact-"+d.ID, cmp.Or(d.Title, d.Ask, d.ID))
		p.item("Name", esc(d.ID))
		if d.Engine {
			p.item("Asked", "never; it follows from other facts")
		} else {
			p.item("Asked", esc(d.Ask))
		}
		p.item("Answered by", esc(strings.TrimSpace(string(d.Answer)+" "+string(d.Dim))))
		for _, o := range d.Options {
			s := esc(cmp.Or(o.Title, o.ID))
			if base := perHistory(o.Base); base != "" {
				s += " (in any leak: " + base + ")"
			}
			p.item("Answer "+esc(o.ID), s)
		}
		p.item("In any leak", perHistory(d.Base))
		p.item("For", b.links("joint", d.For))
		p.item("Had at the stage", esc(string(d.Stage)))
		if d.Instrument != "" {
			title := ""
			if i := b.k.Instrument(d.Instrument); i != nil {
				title = i.Title
			}
			p.item("Usually with", b.link("instrument", d.Instrument, title))
		}
		p.item("How", esc(d.How))
		p.item("Why", esc(d.Why))
		b.origin(p, "fact", d.ID, cmp.Or(d.Title, d.Ask), d.Origin)
	}
}

func (b *book) checks(p *page) {
	for _, d := range sorted(b.k.Checks, func(d *rules.Check) string { return d.ID }) {
		p.head(2, "check-"+d.ID, d.Title)
		p.para(d.How)
		p.item("For", b.links("joint", d.For))
		p.item("Answers", b.links("fact", d.Fills))
		p.item("Stage and time", esc(string(d.Stage))+", "+work(d.Minutes, d.Wait))
		var needs []string
		for _, s := range d.Needs {
			needs = append(needs, strings.ReplaceAll(string(s), "-", " "))
		}
		p.item("Needs", list(needs))
		p.item("Evidence that is gone afterwards", list(d.Destroys))
		p.item("Has to be renewed then", esc(d.CommitsTo))
		p.item("Tools", list(d.Tools))
		p.item("Without the instrument", esc(d.Without))
		if d.Se > 0 && d.Sp > 0 {
			p.item("Trust", fmt.Sprintf("finds %s of those that have it, clears %s of those that do not", percent(d.Se), percent(d.Sp)))
		}
		p.item("Cautions", b.links("caution", d.Cautions))
		b.origin(p, "check", d.ID, d.Title, d.Origin)
	}
}

func (b *book) remedies(p *page) {
	for _, d := range sorted(b.k.Remedies, func(d *rules.Remedy) string { return d.ID }) {
		p.head(2, "remedy-"+d.ID, d.Title)
		p.para(d.How)
		p.item("Time", work(d.Minutes, d.Wait))
		if d.Success > 0 {
			p.item("Cures", percent(d.Success))
		}
		p.item("Parts", list(d.Parts))
		p.item("Tools", list(d.Tools))
		p.item("Limit", esc(d.Limit))
		if d.Specialist {
			p.item("Who", "a specialist")
		}
		p.item("Cautions", b.links("caution", d.Cautions))
		b.origin(p, "remedy", d.ID, d.Title, d.Origin)
	}
}

// limit is the limit of a target, with links to the facts that hold it.
func (b *book) limit(t *rules.Target) string {
	if t.AtLeast != nil || t.AtMost != nil {
		return esc(engine.Limit(t))
	}
	var out []string
	for _, x := range []struct{ word, fact string }{{"at most", t.LimitBy}, {"at least", t.LowBy}, {"as the maker says:", t.Maker}} {
		if x.fact != "" {
			out = append(out, x.word+" "+b.fact(x.fact))
		}
	}
	return strings.Join(out, ", ")
}

func (b *book) targets(p *page) {
	for _, d := range sorted(b.k.Targets, func(d *rules.Target) string { return d.ID }) {
		p.head(2, "target-"+d.ID, d.Title)
		if d.For != "" {
			p.item("For", b.links("joint", []string{d.For}))
		}
		p.item("What", b.fact(d.Fact))
		p.item("Limit", b.limit(d))
		if d.When != nil {
			p.item("When", esc(d.When.Text))
		}
		p.item("Without the instrument", esc(d.Without))
		b.origin(p, "target", d.ID, d.Title, d.Origin)
	}
}

func (b *book) cautions(p *page) {
	for _, d := range sorted(b.k.Cautions, func(d *rules.Caution) string { return d.ID }) {
		p.head(2, "caution-"+d.ID, d.Title)
		p.para(d.Warning)
		p.item("What can hurt", esc(d.Hazard))
		p.item("Call licensed practice", esc(d.Refer))
		b.origin(p, "caution", d.ID, d.Title, d.Origin)
	}
}

func (b *book) stops(p *page) {
	for _, d := range sorted(b.k.Stops, func(d *rules.Stop) string { return d.ID }) {
		p.head(2, "stop-"+d.ID, d.Title)
		p.para(d.Reason)
		p.item("When", esc(d.When.Text))
		for _, s := range d.MakeSafe {
			p.item("Make safe", esc(s))
		}
		p.item("Call", esc(d.ReferTo))
		if d.Refuses {
			p.item("Then", "no plan is written")
		}
		b.origin(p, "stop", d.ID, d.Title, d.Origin)
	}
}

func (b *book) instruments(p *page) {
	for _, d := range sorted(b.k.Instruments, func(d *rules.Instrument) string { return d.ID }) {
		p.head(2, "instrument-"+d.ID, d.Title)
		p.item("Measures", esc(string(d.Dim)))
		for _, on := range slices.Sorted(maps.Keys(d.U)) {
			m := d.U[on]
			p.item("Can be off by, "+esc(on), esc(m.Shown().String()))
		}
		if d.Share > 0 {
			p.item("At least", percent(d.Share)+" of the reading")
		}
		p.item("Cannot see", esc(d.CantSee))
		b.origin(p, "instrument", d.ID, d.Title, d.Origin)
	}
}

func (b *book) rules(p *page) {
	for _, d := range sorted(b.k.Rules, func(d *rules.Rule) string { return d.ID }) {
		p.head(2, "rule-"+d.ID, cmp.Or(d.Title, d.ID))
		p.para(d.Says)
		p.item("For", b.links("joint", d.For))
		p.item("When", esc(d.When.Text))
		kind := shared
		if len(d.For) > 0 {
			kind = d.For[0]
		}
		for _, a := range d.Then {
			p.item("Then", b.action(kind, a))
		}
		b.origin(p, "rule", d.ID, d.Title, d.Origin)
	}
}

// action is what follows from a rule.
func (b *book) action(kind string, a rules.Action) string {
	switch {
	case a.Conclude != nil:
		return b.fact(a.Conclude.Fact) + ": " + esc(a.Conclude.Value.String())
	case a.Compute != nil:
		var into []string
		for _, out := range slices.Sorted(maps.Keys(a.Compute.Into)) {
			into = append(into, b.fact(a.Compute.Into[out]))
		}
		return "work out " + strings.Join(into, ", ") + " (" + esc(a.Compute.By) + ")"
	case a.Find != nil:
		return "it was found: " + b.cause(kind, a.Find.Cause)
	case a.Exclude != nil:
		return "it was not found: " + b.cause(kind, a.Exclude.Cause)
	case a.Raise != nil:
		return unit.Show(a.Raise.Times, 3) + " times likelier" + b.unless(a.Raise.Unless) + ": " + b.cause(kind, a.Raise.Cause)
	case a.Lower != nil:
		return unit.Show(a.Lower.Times, 3) + " times as likely" + b.unless(a.Lower.Unless) + ": " + b.cause(kind, a.Lower.Cause)
	case a.Target != "":
		return "this number counts: " + b.links("target", []string{a.Target})
	case a.Caution != "":
		return "mind: " + b.links("caution", []string{a.Caution})
	case a.Stop != "":
		title := ""
		if d := b.k.Stop(a.Stop); d != nil {
			title = d.Title
		}
		return "stop: " + b.link("stop", a.Stop, title)
	case a.Run != nil:
		return esc(strings.TrimSpace("it may run: " + a.Run.Verdict + " " + a.Run.Limit + " " + a.Run.Because))
	}
	return ""
}

// tables writes the published figures, each row with its source.
func (b *book) tables(p *page) {
	for _, t := range b.figures {
		p.head(2, "table-"+t.Name, cmp.Or(t.Title, t.Name))
		p.para(t.Notes)
		heads := slices.DeleteFunc(t.Heads(), func(h string) bool { return h == "source" || h == "standing" })
		titles := make([]string, len(heads))
		for i, h := range heads {
			titles[i] = t.ColumnTitle(h)
		}
		row := func(cells []string) {
			for i := range cells {
				cells[i] = esc(cells[i])
			}
			p.line("| %s |", strings.Join(cells, " | "))
		}
		row(append(titles, "Source"))
		p.line("|%s", strings.Repeat(" --- |", len(heads)+1))
		named := map[string]bool{}
		for _, r := range t.Rows() {
			cells := make([]string, len(heads))
			for i, h := range heads {
				cells[i] = cmp.Or(r.Show(h), r.Text(h))
			}
			from := cmp.Or(r.Source(), r.Standing())
			if !named[from] {
				named[from] = true
				b.said[from] = append(b.said[from], "["+esc(cmp.Or(t.Title, t.Name))+"](tables.md#table-"+t.Name+")")
			}
			row(append(cells, strings.TrimSpace(from+" ("+r.Standing()+")")))
		}
	}
}

// sources lists all sources, with what rests on each.
func (b *book) sources(p *page) {
	for _, source := range slices.Sorted(maps.Keys(b.said)) {
		p.head(2, "", source)
		for _, ref := range b.said[source] {
			p.line("- %s", ref)
		}
	}
}
