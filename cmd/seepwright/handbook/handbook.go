// Package handbook writes the whole knowledge as Markdown pages: one a joint kind, and one for
// each sort of document that the kinds share, with links between them.
// It decides nothing and draws no conclusions; the same knowledge gives the same pages.
package handbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// Mark is the first line of every page, by which a page can be told from one of another hand.
const Mark = "<!-- Made by seepwright kb docs from the knowledge; what is written here is lost when it is made again. -->"

// Page is one file.
type Page struct {
	Name string
	Text string
}

// book holds the knowledge while its pages are written.
type book struct {
	k       *rules.Knowledge
	figures []*table.Table
	refs    map[string]string   // document -> the page that has it
	said    map[string][]string // source -> the documents that name it, as links
}

// Pages writes all pages, sorted by name, with the tables of published figures.
func Pages(k *rules.Knowledge, tables []*table.Table) []Page {
	b := &book{k: k, figures: tables, refs: map[string]string{}, said: map[string][]string{}}
	b.places()
	sorts := []struct {
		name, title, intro string
		write              func(*page)
	}{
		{"facts.md", "Facts", "What can be asked, seen, measured or concluded.", b.facts},
		{"checks.md", "Checks", "How to find out.", b.checks},
		{"remedies.md", "Remedies", "How to cure.", b.remedies},
		{"targets.md", "Targets", "The numbers that tell good from bad.", b.targets},
		{"cautions.md", "Cautions", "What can hurt, and what to do about it. Local codes come first.", b.cautions},
		{"stops.md", "Reasons to stop", "When to stop at once, and work that is refused.", b.stops},
		{"instruments.md", "Instruments", "How well they measure as used by hand.", b.instruments},
		{"rules.md", "Rules", "What follows from what.", b.rules},
		{"tables.md", "Published figures", "The tables that calculations look up.", b.tables},
		{"sources.md", "Sources", "Where the figures come from, and what rests on each.", b.sources},
	}
	var out []Page
	add := func(name, title, intro string, write func(*page)) {
		p := &page{}
		p.line("%s", Mark)
		p.line("")
		p.line("# %s", esc(title))
		p.line("")
		p.para(intro)
		if name != index {
			p.line("[To the list of pages](%s)", index)
		}
		write(p)
		out = append(out, Page{name, strings.TrimRight(p.String(), "\n") + "\n"})
	}
	joints := sorted(k.Joints, func(j *rules.Joint) string { return j.ID })
	for _, j := range joints {
		add(kindPage(j.ID), cmp.Or(j.Title, j.ID), "", func(p *page) { b.kind(p, j) })
	}
	add(kindPage(shared), "Causes that several joints share", "One such cause makes several joints leak at once.", func(p *page) { b.causes(p, k.SharedCauses()) })
	for _, s := range sorts { // the sources come last, when all is said
		add(s.name, s.title, s.intro, s.write)
	}
	add(index, "What is known of leaking joints", "Shares and chances are estimates of the trade unless a source says otherwise.", func(p *page) {
		p.head(2, "", "Joints")
		for _, j := range joints {
			p.line("- [%s](%s): %d causes", esc(cmp.Or(j.Title, j.ID)), kindPage(j.ID), len(k.CausesOf(j.ID)))
		}
		p.line("- [Causes that several joints share](%s): %d", kindPage(shared), len(k.SharedCauses()))
		p.head(2, "", "What the joints have in common")
		for _, s := range sorts {
			p.line("- [%s](%s): %s", s.title, s.name, s.intro)
		}
	})
	return sorted(out, func(p Page) string { return p.Name })
}

const (
	index  = "README.md"
	shared = "shared"
)

// kindPage is the file of a joint kind. The prefix keeps a kind called facts apart from the facts.
func kindPage(kind string) string { return "joint-" + kind + ".md" }

func sorted[T any](items []T, by func(T) string) []T {
	out := slices.Clone(items)
	slices.SortStableFunc(out, func(a, b T) int { return cmp.Compare(by(a), by(b)) })
	return out
}

// places notes on which page each document stands.
func (b *book) places() {
	for _, d := range b.k.Joints {
		b.refs["joint "+d.ID] = kindPage(d.ID)
	}
	for _, d := range b.k.Causes {
		kind := d.For
		if d.Shared {
			kind = shared
		}
		b.refs["cause "+d.Ref()] = kindPage(kind) + "#cause-" + d.ID
	}
	note := func(sort, page, id string) { b.refs[sort+" "+id] = page + "#" + sort + "-" + id }
	for _, d := range b.k.Facts {
		note("fact", "facts.md", d.ID)
	}
	for _, d := range b.k.Checks {
		note("check", "checks.md", d.ID)
	}
	for _, d := range b.k.Remedies {
		note("remedy", "remedies.md", d.ID)
	}
	for _, d := range b.k.Targets {
		note("target", "targets.md", d.ID)
	}
	for _, d := range b.k.Cautions {
		note("caution", "cautions.md", d.ID)
	}
	for _, d := range b.k.Stops {
		note("stop", "stops.md", d.ID)
	}
	for _, d := range b.k.Instruments {
		note("instrument", "instruments.md", d.ID)
	}
	for _, d := range b.k.Rules {
		note("rule", "rules.md", d.ID)
	}
}

// link points at a document; a name that no document bears stays a name.
func (b *book) link(sort, id, title string) string {
	text := esc(cmp.Or(title, id))
	if to, ok := b.refs[sort+" "+id]; ok {
		return "[" + text + "](" + to + ")"
	}
	return text
}

func (b *book) fact(id string) string {
	if f := b.k.Fact(id); f != nil {
		return b.link("fact", id, cmp.Or(f.Title, f.Ask))
	}
	return esc(id)
}

// unless says what a rough guess gives way to, or nothing.
func (b *book) unless(id string) string {
	if id == "" {
		return ""
	}
	return ", unless known: " + b.fact(id)
}

func (b *book) check(id string) string {
	if c := b.k.Check(id); c != nil {
		return b.link("check", id, c.Title)
	}
	return b.fact(id) // what splits two causes may be a question
}

// cause finds a cause as documents of a kind name it: NAME, KIND/NAME or shared/NAME.
func (b *book) cause(kind, ref string) string {
	for _, full := range []string{ref, kind + "/" + ref, shared + "/" + ref} {
		if c := b.k.Cause(full); c != nil {
			return b.link("cause", full, c.Title)
		}
	}
	return esc(ref)
}

// links are names of one sort of document, as links.
func (b *book) links(sort string, ids []string) string {
	out := make([]string, len(ids))
	for i, id := range ids {
		title := ""
		switch sort {
		case "fact":
			out[i] = b.fact(id)
			continue
		case "caution":
			if d := b.k.Caution(id); d != nil {
				title = d.Title
			}
		case "target":
			if d := b.k.Target(id); d != nil {
				title = d.Title
			}
		case "joint":
			if d := b.k.Joint(id); d != nil {
				title = d.Title
			}
		}
		out[i] = b.link(sort, id, title)
	}
	return strings.Join(out, ", ")
}

// origin says where a document comes from, and notes that it names this source.
func (b *book) origin(p *page, sort, id, title string, o rules.Origin) {
	if o.Source == "" && o.Standing == "" {
		return
	}
	said := cmp.Or(o.Source, string(o.Standing))
	b.said[said] = append(b.said[said], b.link(sort, id, cmp.Or(title, id)))
	text := esc(o.Source)
	if o.Standing != "" && !strings.Contains(o.Source, string(o.Standing)) {
		text = strings.TrimPrefix(text+" ("+esc(string(o.Standing))+")", " ")
	}
	p.item("Source", text)
}

func percent(x float64) string { return unit.Show(100*x, 3) + " %" }

// perHistory writes shares by history, in the order of the histories.
func perHistory(x rules.PerHistory) string {
	var out []string
	for _, h := range rules.Histories() {
		if v, ok := x[h]; ok {
			out = append(out, fmt.Sprintf("%s %s", strings.ReplaceAll(string(h), "-", " "), percent(v)))
		}
	}
	return strings.Join(out, ", ")
}
