package load

import (
	"cmp"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// Settle makes a knowledge base ready for use, after its documents were read or decoded: it
// sorts all lists, parses the conditions that are still text, and settles what depends on
// other documents (the dimension of a bare number, the type of a concluded value, the
// sensitivity that a cause takes from its check). It may be called again after changes.
func Settle(k *rules.Knowledge) {
	sortAll(k)
	k.Reindex()
	parsed := map[string]*cond.Cond{} // many causes share a condition
	for _, w := range Conditions(k) {
		if w.Cond != nil || w.Text == "" {
			continue
		}
		c, known := parsed[w.Text]
		if !known {
			c, _ = cond.Parse(w.Text)
			parsed[w.Text] = c
		}
		w.Cond = c
	}
	for _, f := range k.Facts {
		settleMeasure(f.Least, f.Dim)
		settleMeasure(f.Most, f.Dim)
	}
	for _, t := range k.Targets {
		if f := k.Fact(t.Fact); f != nil {
			settleMeasure(t.AtLeast, f.Dim)
			settleMeasure(t.AtMost, f.Dim)
		}
	}
	for _, c := range k.Causes {
		for i := range c.FoundBy {
			settleFound(k, &c.FoundBy[i])
		}
	}
	for _, r := range k.Rules {
		for _, a := range r.Then {
			if a.Conclude != nil {
				settleConclusion(k, a.Conclude)
			}
		}
	}
}

func sortAll(k *rules.Knowledge) {
	sortBy(k.Joints, func(d *rules.Joint) string { return d.ID })
	sortBy(k.Facts, func(d *rules.Fact) string { return d.ID })
	sortBy(k.Checks, func(d *rules.Check) string { return d.ID })
	sortBy(k.Causes, (*rules.Cause).Ref)
	sortBy(k.Remedies, func(d *rules.Remedy) string { return d.ID })
	sortBy(k.Targets, func(d *rules.Target) string { return d.ID })
	sortBy(k.Cautions, func(d *rules.Caution) string { return d.ID })
	sortBy(k.Stops, func(d *rules.Stop) string { return d.ID })
	sortBy(k.Rules, func(d *rules.Rule) string { return d.ID })
	sortBy(k.Instruments, func(d *rules.Instrument) string { return d.ID })
	sortBy(k.Estimates, func(d *rules.Estimates) string { return d.ID })
	sortBy(k.Cases, func(d *rules.Case) string { return d.For + "/" + d.ID })
	sortBy(k.RuleTests, func(d *rules.RuleTest) string { return d.ID })
}

// sortBy sorts by a key that is made once for each entry. Most lists come sorted.
func sortBy[T any](list []T, key func(T) string) {
	type keyed struct {
		key string
		of  T
	}
	all := make([]keyed, len(list))
	sorted := true
	for i, x := range list {
		all[i] = keyed{key(x), x}
		sorted = sorted && (i == 0 || all[i-1].key <= all[i].key)
	}
	if sorted {
		return
	}
	slices.SortStableFunc(all, func(a, b keyed) int { return cmp.Compare(a.key, b.key) })
	for i, x := range all {
		list[i] = x.of
	}
}

// Conditions lists all conditions of a knowledge base, document by document.
func Conditions(k *rules.Knowledge) []*rules.When {
	var out []*rules.When
	add := func(w *rules.When) {
		if w != nil {
			out = append(out, w)
		}
	}
	for _, d := range k.Facts {
		add(d.AskIf)
	}
	for _, d := range k.Causes {
		for i := range d.Context {
			add(&d.Context[i].When)
		}
	}
	for _, d := range k.Targets {
		add(d.When)
	}
	for _, d := range k.Cautions {
		add(d.When)
	}
	for _, d := range k.Stops {
		add(&d.When)
	}
	for _, d := range k.Rules {
		add(&d.When)
	}
	return out
}

// settleMeasure gives a bare number the dimension of its fact, where numbers need no unit.
func settleMeasure(m *fact.Measure, d unit.Dimension) {
	if m != nil && m.Dim == "" && (d == unit.RatioDim || d == unit.CountDim || d == unit.HardnessDim) {
		m.Dim, m.Unit = d, unit.Standard(d).Symbol
		if d == unit.RatioDim {
			m.Unit = "1"
		}
	}
	if m != nil && d == unit.KelvinDim && m.Dim == unit.TemperatureDim {
		if u, ok := unit.ByName(m.Unit); ok { // "5 C" of a difference: no offset
			m.SI = u.Width(u.FromSI(m.SI))
		}
		m.Dim, m.Unit = d, "K"
	}
}

func settleFound(k *rules.Knowledge, f *rules.FoundBy) {
	if c := k.Check(f.Check); c != nil {
		f.Se, f.Sp = cmp.Or(f.Se, c.Se), cmp.Or(f.Sp, c.Sp)
	}
}

func settleConclusion(k *rules.Knowledge, c *rules.Conclude) {
	f := k.Fact(c.Fact)
	if f != nil && f.Answer == fact.Several && c.Value.Type == fact.Choice {
		c.Value = fact.MakeSeveral([]string{c.Value.Option}, nil)
	}
}

// CauseRefs gives the full names that a cause as written in a document can mean: KIND/NAME
// and shared/NAME are themselves; a bare NAME is looked for in the given kinds, then among
// the shared causes. Only causes that exist are given.
func CauseRefs(k *rules.Knowledge, name string, kinds []string) []string {
	if strings.Contains(name, "/") {
		if k.Cause(name) != nil {
			return []string{name}
		}
		return nil
	}
	var out []string
	for _, kind := range append(slices.Clone(kinds), "shared") {
		if ref := kind + "/" + name; k.Cause(ref) != nil && !slices.Contains(out, ref) {
			out = append(out, ref)
		}
	}
	return out
}
