package load

import (
	"fmt"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

type dim = unit.Dimension

func factKind() *kind {
	type T = rules.Fact
	head := func(d *T) *rules.Head { return &d.Head }
	option := table[rules.Option]{
		must(field[rules.Option]{Field{Name: "id", Holds: "name", Help: "Its name in conditions."}, func(r *reader, n *node, o *rules.Option) {
			o.ID, _ = r.newID(n, "id")
		}}),
		text("title", "What the person reads.", func(o *rules.Option) *string { return &o.Title }),
		perHistory("base", "How often it shows in any leak.", func(o *rules.Option) *rules.PerHistory { return &o.Base }),
	}
	return makeKind(spec[T]{
		name: "fact", help: "A thing that can be known, and how to ask for it.",
		head: head, list: func(k *rules.Knowledge) *[]*T { return &k.Facts },
		tab: untitled(head,
			text("ask", "The question as put to the person; not needed for a fact that is never asked.", func(d *T) *string { return &d.Ask }),
			must(oneOf("answer", "How it is answered.", fact.Types(), func(d *T) *fact.Type { return &d.Answer })),
			entries("options", "The possible answers of a choice or several; of a graded choice the highest first.", option, func(d *T, l []rules.Option) { d.Options = l }, nil),
			flag("graded", "Of a choice: the higher option hides the lower ones.", func(d *T) *bool { return &d.Graded }),
			field[T]{Field{Name: "within", Holds: "options by history ({after-refit: [at-once, later], long-service: []})", Help: "Of a graded choice: it is evidence only among these options in that history; [] = no evidence."}, readWithin},
			dimension("dimension", "Of a quantity or readings.", func(d *T) *dim { return &d.Dim }),
			id("instrument", "instrument", "The usual instrument.", func(d *T) *string { return &d.Instrument }),
			oneOf("used on", "Where the instrument is put.", []string{"bore", "outside", "face", "any"}, func(d *T) *string { return &d.UsedOn }),
			measure("least", "An answer below this is questioned.", func(d *T) **fact.Measure { return &d.Least }),
			measure("most", "An answer above this is questioned.", func(d *T) **fact.Measure { return &d.Most }),
			oneOf("scope", "How far one answer reaches (joint, if not given).", fact.Scopes(), func(d *T) *fact.Scope { return &d.Scope }),
			ids("for", "joint", "The joint kinds it is for; without it, all.", func(d *T) *[]string { return &d.For }),
			oneOf("stage", "Where in the work it can be had (outside, if not given).", rules.Stages(), func(d *T) *rules.Stage { return &d.Stage }),
			minutes("minutes", "Hands-on time.", func(d *T) *float64 { return &d.Minutes }),
			percent("known", "How often a person can answer it; without it, by stage.", func(d *T) *float64 { return &d.Known }),
			texts("tools", "Tools.", func(d *T) *[]string { return &d.Tools }),
			text("how", "How to find out.", func(d *T) *string { return &d.How }),
			text("why", "Why it is asked.", func(d *T) *string { return &d.Why }),
			perHistory("base", "Of a yes-no sign: how often it shows in any leak.", func(d *T) *rules.PerHistory { return &d.Base }),
			percent("misread", "How often it is seen though it is not there; only to override the usual.", func(d *T) *float64 { return &d.Misread }),
			whole("first", "1, 2, 3 ...: one of the questions that always come first.", 1, 99, func(d *T) *int { return &d.First }),
			flag("safety", "Whether somebody can be hurt by not knowing it.", func(d *T) *bool { return &d.Safety }),
			conditionOr("ask if", "Asked only when this is true.", func(d *T) **rules.When { return &d.AskIf }),
			flag("engine", "Never asked: filled by rules.", func(d *T) *bool { return &d.Engine }),
		),
		check: checkFact,
	})
}

func readWithin(r *reader, n *node, d *rules.Fact) {
	if !r.mapping(n, "within") {
		return
	}
	d.Within = map[rules.History][]string{}
	r.eachHistory(n, "within", func(h rules.History, v *node) { d.Within[h] = r.names(v, "within") })
}

func checkFact(r *reader, n *node, d *rules.Fact) {
	if d.Scope == "" {
		d.Scope = fact.JointScope
	}
	if d.Stage == "" {
		d.Stage = rules.Outside
	}
	if d.Ask == "" && !d.Engine {
		r.fail(n.at, "missing-field", `this fact has no "ask"`, `add: ask: THE QUESTION, or engine: yes if it is never asked`)
	}
	options := d.Answer == fact.Choice || d.Answer == fact.Several
	switch {
	case options && len(d.Options) == 0:
		r.fail(n.at, "missing-field", fmt.Sprintf(`a fact answered by %s has no "options"`, d.Answer), "add: options: [{id: NAME, title: TEXT}, ...]")
	case !options && len(d.Options) > 0 && d.Answer != "":
		r.fail(r.fieldPlace(n, "options"), "wrong-type", fmt.Sprintf("a fact answered by %s takes no options", d.Answer), "set answer to choice or several")
	}
	if d.Graded && d.Answer != fact.Choice {
		r.fail(r.fieldPlace(n, "graded"), "wrong-type", "only a choice can be graded", "set answer: choice, and list the highest option first")
	}
	if number := d.Answer == fact.Number || d.Answer == fact.Readings; number && d.Dim == "" {
		r.fail(n.at, "missing-field", fmt.Sprintf(`a fact answered by %s has no "dimension"`, d.Answer), "add: dimension: length, pressure, ratio ...")
	}
	known := map[string]bool{}
	for _, o := range d.Options {
		if o.ID != "" && known[o.ID] {
			r.fail(r.textPlace(n, "options", o.ID), "duplicate-id", fmt.Sprintf("option %q stands twice", o.ID), "keep one")
		}
		known[o.ID] = true
	}
	for _, h := range rules.Histories() {
		for _, o := range d.Within[h] {
			if !known[o] {
				r.unknown(r.textPlace(n, "within", o), "unknown-option", fmt.Sprintf("this fact has no option %q", o), o, optionIDs(d))
			}
		}
	}
}

func optionIDs(d *rules.Fact) []string {
	var out []string
	for _, o := range d.Options {
		out = append(out, o.ID)
	}
	return out
}
