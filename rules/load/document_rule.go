package load

import (
	"fmt"
	"strings"

	"seepwright/rules"
	"seepwright/rules/unit"
)

func ruleKind() *kind {
	type T = rules.Rule
	head := func(d *T) *rules.Head { return &d.Head }
	return makeKind(spec[T]{
		name: "rule", help: "When these conditions hold, conclude that. Its tests stand beside it in NAME_test.yaml.", alone: true,
		head: head, list: func(k *rules.Knowledge) *[]*T { return &k.Rules },
		tab: untitled(head,
			ids("for", "joint", "The joint kinds it is for; without it, all.", func(d *T) *[]string { return &d.For }),
			flag("job", "Once for the whole assembly, not for each joint.", func(d *T) *bool { return &d.Job }),
			must(text("says", "The sentence that explains it.", func(d *T) *string { return &d.Says })),
			condition("when", "When it holds; without it, as soon as its inputs are known.", func(d *T) *rules.When { return &d.When }),
			must(onlyOne(entries("then", "What follows; each entry has exactly one of these.", action, func(d *T, l []rules.Action) { d.Then = l }, func(r *reader, n *node, a *rules.Action) {
				a.Place = n.at
				if len(n.keys) != 1 {
					r.fail(n.at, "bad-conclusion", fmt.Sprintf("one entry concludes one thing, found %d", len(n.keys)), "start each with a dash of its own")
				}
			}))),
		),
		check: func(r *reader, n *node, d *T) {
			if d.Job && len(d.For) > 0 {
				r.fail(r.fieldPlace(n, "for"), "wrong-type", `a rule of the whole job has no "for"`, "take one of the two out")
			}
			if len(d.Then) == 0 && r.fieldPlace(n, "then") != n.at {
				r.fail(r.fieldPlace(n, "then"), "bad-conclusion", "the rule concludes nothing", "add an entry, such as - conclude: FACT is yes")
			}
		},
	})
}

var findCause = table[rules.FindCause]{
	must(id("cause", "cause", "The cause: NAME, KIND/NAME or shared/NAME.", func(d *rules.FindCause) *string { return &d.Cause })),
	percent("se", "Sensitivity (90 %, if not given).", func(d *rules.FindCause) *float64 { return &d.Se }),
	percent("sp", "Specificity (95 %, if not given).", func(d *rules.FindCause) *float64 { return &d.Sp }),
}

// ruleSe and ruleSp are the usual sensitivity and specificity of a rule (an estimate; see DESIGN section 4).
const (
	ruleSe = 0.90
	ruleSp = 0.95
)

// unlessHelp says what "unless known" is for, at causes and in rules.
const unlessHelp = "A fact that says the same better. While it is known this does not count, so that nothing counts twice."

func moveCause(usual float64) table[rules.MoveCause] {
	return table[rules.MoveCause]{
		must(id("cause", "cause", "The cause: NAME, KIND/NAME or shared/NAME.", func(d *rules.MoveCause) *string { return &d.Cause })),
		number("times", fmt.Sprintf("Its odds are multiplied by this (%v, if not given).", usual), 0, 1000, func(d *rules.MoveCause) *float64 { return &d.Times }),
		id("unless known", "fact", unlessHelp, func(d *rules.MoveCause) *string { return &d.Unless }),
	}
}

var (
	raiseCause = moveCause(2)
	lowerCause = moveCause(0.5)
	runVerdict = table[rules.RunVerdict]{
		must(oneOf("verdict", "Whether it may run.", []string{"stop", "watched", "leave", "dry"}, func(d *rules.RunVerdict) *string { return &d.Verdict })),
		text("limit", "Until which level, how many drops or hours.", func(d *rules.RunVerdict) *string { return &d.Limit }),
		text("look every", "How often to look.", func(d *rules.RunVerdict) *string { return &d.LookEvery }),
		must(text("because", "Why.", func(d *rules.RunVerdict) *string { return &d.Because })),
	}
	compute = table[rules.Compute]{
		must(id("by", "calculation", "The calculation of the measurement library.", func(d *rules.Compute) *string { return &d.By })),
		must(field[rules.Compute]{Field{Name: "from", Holds: "INPUT: FACT or quantity", Help: "What goes in."}, func(r *reader, n *node, d *rules.Compute) { d.From = r.ports(n, "from", true) }}),
		must(field[rules.Compute]{Field{Name: "into", Holds: "OUTPUT: FACT", Help: "Which facts it fills."}, func(r *reader, n *node, d *rules.Compute) { d.Into = r.ports(n, "into", false) }}),
	}
	action = table[rules.Action]{
		{Field{Name: "conclude", Holds: "FACT is VALUE", Help: "Sets a fact."}, func(r *reader, n *node, a *rules.Action) { a.Conclude = r.conclude(n) }},
		{Field{Name: "compute", Holds: "names with values", Help: "Sets facts by a calculation.", Fields: compute.fields()}, func(r *reader, n *node, a *rules.Action) {
			a.Compute = part(r, n, "compute", compute)
		}},
		{Field{Name: "find", Holds: "names with values", Help: "A positive finding on one cause.", Fields: findCause.fields()}, func(r *reader, n *node, a *rules.Action) { a.Find = readFind(r, n, "find") }},
		{Field{Name: "exclude", Holds: "names with values", Help: "A negative finding on one cause.", Fields: findCause.fields()}, func(r *reader, n *node, a *rules.Action) { a.Exclude = readFind(r, n, "exclude") }},
		{Field{Name: "raise", Holds: "names with values", Help: "Makes a cause more likely.", Fields: raiseCause.fields()}, func(r *reader, n *node, a *rules.Action) { a.Raise = readMove(r, n, "raise", raiseCause, 2) }},
		{Field{Name: "lower", Holds: "names with values", Help: "Makes a cause less likely.", Fields: lowerCause.fields()}, func(r *reader, n *node, a *rules.Action) { a.Lower = readMove(r, n, "lower", lowerCause, 0.5) }},
		id("target", "target", "Sets a target.", func(a *rules.Action) *string { return &a.Target }),
		id("caution", "caution", "Gives a caution.", func(a *rules.Action) *string { return &a.Caution }),
		id("stop", "stop", "Stops.", func(a *rules.Action) *string { return &a.Stop }),
		{Field{Name: "run", Holds: "names with values", Help: "Says whether it may run, with the limit.", Fields: runVerdict.fields()}, func(r *reader, n *node, a *rules.Action) {
			a.Run = part(r, n, "run", runVerdict)
		}},
	}
)

func part[T any](r *reader, n *node, name string, tab table[T]) *T {
	d := new(T)
	if r.mapping(n, name) {
		r.whole(func() { readFields(r, n, 0, tab, d, name, nil) })
	}
	return d
}

func readFind(r *reader, n *node, name string) *rules.FindCause {
	f := part(r, n, name, findCause)
	if f.Se == 0 {
		f.Se = ruleSe
	}
	if f.Sp == 0 {
		f.Sp = ruleSp
	}
	return f
}

func readMove(r *reader, n *node, name string, tab table[rules.MoveCause], usual float64) *rules.MoveCause {
	m := part(r, n, name, tab)
	switch {
	case m.Times == 0:
		m.Times = usual
	case (m.Times < 1) != (usual < 1):
		r.fail(n.at, "bad-number", fmt.Sprintf("%q goes the other way with %v times", name, m.Times), "raise takes more than 1, lower less than 1")
	}
	return m
}

// ports reads the inputs or outputs of a calculation: a fact each, or an input's quantity.
func (r *reader) ports(n *node, field string, quantities bool) map[string]string {
	out := map[string]string{}
	if !r.mapping(n, field) {
		return out
	}
	for i, k := range n.keys {
		v := n.vals[i]
		if r.commaCut(k, v) {
			continue
		}
		port, ok := r.name(k, field)
		if !ok {
			continue
		}
		if _, twice := out[port]; twice {
			r.fail(k.at, "duplicate-key", fmt.Sprintf("%q stands twice in %q", port, field), "keep one")
			continue
		}
		if !r.scalar(v, port, "the name of a fact") {
			continue
		}
		if quantities && IsQuantity(v.text) {
			if _, ok := r.measure(v, port); ok {
				out[port] = strings.TrimSpace(v.text)
			}
		} else if name, ok := r.name(v, port); ok {
			out[port] = name
		}
	}
	return out
}

// IsQuantity tells a quantity from the name of a fact among the inputs of a calculation.
func IsQuantity(text string) bool {
	text = strings.TrimSpace(text)
	if idForm(text) && !strings.ContainsAny(text[:1], "0123456789") {
		return false
	}
	_, _, err := unit.Number(text)
	return err == nil
}
