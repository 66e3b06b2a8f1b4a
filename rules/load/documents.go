package load

import (
	"fmt"
	"slices"
	"sync"

	"seepwright/rules"
	"seepwright/rules/fact"
)

// origin are the fields by which every claim names its source.
func origin[T any](to func(*T) *rules.Origin) table[T] {
	return table[T]{
		text("source", "Where the figures come from: title, edition, table or page; or \"common practice\".", func(d *T) *string { return &to(d).Source }),
		oneOf("standing", "How far they can be trusted.",
			[]rules.Standing{rules.Confirmed, rules.CommonPractice, rules.FromMemory, rules.Estimate}, func(d *T) *rules.Standing { return &to(d).Standing }),
	}
}

func headed[T any](head func(*T) *rules.Head, more ...field[T]) table[T] {
	t := table[T]{must(text("title", "What it is called where a person reads it.", func(d *T) *string { return &head(d).Title }))}
	return slices.Concat(t, more, origin(func(d *T) *rules.Origin { return &head(d).Origin }))
}

// untitled is headed for documents whose title nobody reads.
func untitled[T any](head func(*T) *rules.Head, more ...field[T]) table[T] {
	t := headed(head, more...)
	t[0].Must = false
	return t
}

var kinds = sync.OnceValue(func() []*kind {
	return []*kind{jointKind(), causeKind(), checkKind(), factKind(), remedyKind(), targetKind(), cautionKind(), stopKind(),
		ruleKind(), caseKind(), testsKind(), instrumentKind(), estimatesKind()}
})

func jointKind() *kind {
	type T = rules.Joint
	step := table[rules.Step]{
		must(text("do", "What the hands do.", func(d *rules.Step) *string { return &d.Do })),
		text("why", "Why it matters.", func(d *rules.Step) *string { return &d.Why }),
		oneOf("stage", "Where in the work.", rules.Stages(), func(d *rules.Step) *rules.Stage { return &d.Stage }),
		minutes("minutes", "Hands-on time.", func(d *rules.Step) *float64 { return &d.Minutes }),
		wait("wait", "Waiting time, such as a cure.", func(d *rules.Step) *float64 { return &d.Wait }),
		ids("cautions", "caution", "Shown before the step.", func(d *rules.Step) *[]string { return &d.Cautions }),
	}
	pair := table[rules.PairTest]{
		must(ids("causes", "cause", "The causes that look alike.", func(d *rules.PairTest) *[]string { return &d.Causes })),
		must(id("split by", "check or fact", "What tells them apart.", func(d *rules.PairTest) *string { return &d.SplitBy })),
		text("says", "What it shows for which.", func(d *rules.PairTest) *string { return &d.Says }),
	}
	head := func(d *T) *rules.Head { return &d.Head }
	return makeKind(spec[T]{
		name: "joint", help: "A kind of joint. Its name is also the name of its folder; everything else hangs on it.",
		head: head, list: func(k *rules.Knowledge) *[]*T { return &k.Joints },
		tab: headed(head,
			must(text("case kind", "The joint kind of the case collection to which it belongs.", func(d *T) *string { return &d.CaseKind })),
			texts("other names", "What else people call it.", func(d *T) *[]string { return &d.OtherNames }),
			manyOf("held by", "What holds it together, as one sees from outside; for people who do not know its kind.", rules.Holds(), func(d *T) *[]rules.Hold { return &d.HeldBy }),
			oneOf("moves", "What moves at it; without it, nothing does.", []rules.Motion{rules.Turns, rules.Slides}, func(d *T) *rules.Motion { return &d.Moves }),
			oneOf("act", "What mending it is, where a stop may refuse that.", rules.Acts(), func(d *T) *rules.Act { return &d.Act }),
			text("looks like", "What one sees from outside.", func(d *T) *string { return &d.LooksLike }),
			must(text("works by", "How it seals.", func(d *T) *string { return &d.WorksBy })),
			must(text("fails by", "How it usually starts to leak.", func(d *T) *string { return &d.FailsBy })),
			ids("order", "check", "The checks in the order that saves the most strip-downs.", func(d *T) *[]string { return &d.Order }),
			entries("reassembly", "The steps of putting it back, in order.", step, func(d *T, l []rules.Step) { d.Reassembly = l }, nil),
			text("turn test", "The test built into the next assembly, if there is one.", func(d *T) *string { return &d.TurnTest }),
			texts("have ready", "Parts always renewed when this kind is opened.", func(d *T) *[]string { return &d.HaveReady }),
			text("restraint", "What must hold the part against pressure, if it can walk out.", func(d *T) *string { return &d.Restraint }),
			minutes("open minutes", "Hands-on time to part the joint once it can be reached.", func(d *T) *float64 { return &d.OpenMinutes }),
			minutes("shut minutes", "Hands-on time to put it together.", func(d *T) *float64 { return &d.ShutMinutes }),
			entries("look-alikes", "Causes that look alike, and what splits them.", pair, func(d *T, l []rules.PairTest) { d.LookAlikes = l }, nil),
		),
	})
}

func checkKind() *kind {
	type T = rules.Check
	head := func(d *T) *rules.Head { return &d.Head }
	return makeKind(spec[T]{
		name: "check", help: "A way of getting facts: a look, a measurement, or a cheap reversible try.",
		head: head, list: func(k *rules.Knowledge) *[]*T { return &k.Checks },
		tab: headed(head,
			must(oneOf("kind", "How it gets its facts.", []rules.CheckKind{rules.Look, rules.Gauge, rules.Attempt}, func(d *T) *rules.CheckKind { return &d.Kind })),
			ids("for", "joint", "The joint kinds it is for; without it, all.", func(d *T) *[]string { return &d.For }),
			must(ids("fills", "fact", "The facts that it answers.", func(d *T) *[]string { return &d.Fills })),
			must(oneOf("stage", "Where in the work it can be made.", rules.Stages(), func(d *T) *rules.Stage { return &d.Stage })),
			must(minutes("minutes", "Hands-on time.", func(d *T) *float64 { return &d.Minutes })),
			wait("wait", "Waiting time.", func(d *T) *float64 { return &d.Wait }),
			flag("may run", "Whether the machine may run during the wait.", func(d *T) *bool { return &d.MayRun }),
			oneOf("act", "What it is beside a look, where a stop may refuse that.", rules.Acts(), func(d *T) *rules.Act { return &d.Act }),
			flag("keeps clear", "Whether nobody is near while it runs or holds pressure.", func(d *T) *bool { return &d.Clear }),
			manyOf("needs", "The state it needs before hands go near.", rules.States(), func(d *T) *[]rules.State { return &d.Needs }),
			manyOf("destroys", "The evidence that is gone afterwards.", evidence, func(d *T) *[]string { return &d.Destroys }),
			manyOf("shows", "The evidence that it reads.", evidence, func(d *T) *[]string { return &d.Shows }),
			text("commits to", "What has to be renewed once this is done.", func(d *T) *string { return &d.CommitsTo }),
			texts("tools", "Tools and instruments.", func(d *T) *[]string { return &d.Tools }),
			must(text("how", "How to do it, in the order of the hands.", func(d *T) *string { return &d.How })),
			percent("se", "Sensitivity: of those that have it, how many it finds.", func(d *T) *float64 { return &d.Se }),
			percent("sp", "Specificity: of those that do not have it, how many it clears.", func(d *T) *float64 { return &d.Sp }),
			ids("cautions", "caution", "Shown before it.", func(d *T) *[]string { return &d.Cautions }),
			text("without", "How to do it without the proper instrument.", func(d *T) *string { return &d.Without }),
		),
	})
}

// evidence are the traces that a check can read or wipe out.
var evidence = []string{"crust", "print", "tightness", "marks", "set"}

func remedyKind() *kind {
	type T = rules.Remedy
	head := func(d *T) *rules.Head { return &d.Head }
	return makeKind(spec[T]{
		name: "remedy", help: "A way to cure, which several causes may name.",
		head: head, list: func(k *rules.Knowledge) *[]*T { return &k.Remedies },
		tab: headed(head,
			must(oneOf("kind", "What is done.", []string{"adjust", "clean", "new-seal", "dress", "replace", "machine", "locate"}, func(d *T) *string { return &d.Kind })),
			must(minutes("minutes", "Hands-on time, opening and closing not counted.", func(d *T) *float64 { return &d.Minutes })),
			wait("wait", "Waiting time.", func(d *T) *float64 { return &d.Wait }),
			percent("success", "How often it cures the cause it is meant for.", func(d *T) *float64 { return &d.Success }),
			flag("opens", "Whether the joint has to be parted for it.", func(d *T) *bool { return &d.Opens }),
			flag("specialist", "Whether it is work for a specialist.", func(d *T) *bool { return &d.Specialist }),
			oneOf("act", "What it is, where a stop may refuse that.", rules.Acts(), func(d *T) *rules.Act { return &d.Act }),
			texts("parts", "What has to be in hand.", func(d *T) *[]string { return &d.Parts }),
			texts("tools", "Tools.", func(d *T) *[]string { return &d.Tools }),
			must(text("how", "How to do it.", func(d *T) *string { return &d.How })),
			text("limit", "Where it must stop.", func(d *T) *string { return &d.Limit }),
			ids("cautions", "caution", "Shown before it.", func(d *T) *[]string { return &d.Cautions }),
		),
	})
}

func targetKind() *kind {
	type T = rules.Target
	head := func(d *T) *rules.Head { return &d.Head }
	return makeKind(spec[T]{
		name: "target", help: "The number that a measured or computed fact must meet.",
		head: head, list: func(k *rules.Knowledge) *[]*T { return &k.Targets },
		tab: headed(head,
			id("for", "joint", "The joint kind; without it, all.", func(d *T) *string { return &d.For }),
			must(id("fact", "fact", "What must meet it.", func(d *T) *string { return &d.Fact })),
			measure("at least", "The lower limit.", func(d *T) **fact.Measure { return &d.AtLeast }),
			measure("at most", "The upper limit.", func(d *T) **fact.Measure { return &d.AtMost }),
			id("limit by", "fact", "The fact that holds the upper limit, computed for this joint.", func(d *T) *string { return &d.LimitBy }),
			id("low by", "fact", "The fact that holds the lower limit.", func(d *T) *string { return &d.LowBy }),
			id("maker", "fact", "The fact that holds the maker's figure, which comes first.", func(d *T) *string { return &d.Maker }),
			conditionOr("when", "When it applies; without it, always.", func(d *T) **rules.When { return &d.When }),
			must(text("without", "How to judge it without the proper instrument, or \"not without a ...\".", func(d *T) *string { return &d.Without })),
		),
		check: func(r *reader, n *node, d *T) {
			if !n.has("at least", "at most", "limit by", "low by", "maker") && !r.partial {
				r.fail(n.at, "missing-field", "this target has no limit", "add: at least, at most, limit by, low by or maker")
			}
		},
	})
}

func cautionKind() *kind {
	type T = rules.Caution
	head := func(d *T) *rules.Head { return &d.Head }
	return makeKind(spec[T]{
		name: "caution", help: "A plain warning, shown before the step that needs it.",
		head: head, list: func(k *rules.Knowledge) *[]*T { return &k.Cautions },
		tab: headed(head,
			must(text("hazard", "What can hurt.", func(d *T) *string { return &d.Hazard })),
			must(text("warning", "What to do or not to do.", func(d *T) *string { return &d.Warning })),
			text("refer", "When to stop and call licensed practice.", func(d *T) *string { return &d.Refer }),
			conditionOr("when", "Shown when this is true or not known; without it, only where a step names it.", func(d *T) **rules.When { return &d.When }),
		),
	})
}

func stopKind() *kind {
	type T = rules.Stop
	head := func(d *T) *rules.Head { return &d.Head }
	return makeKind(spec[T]{
		name: "stop", help: "A reason to stop at once, or work that is refused.",
		head: head, list: func(k *rules.Knowledge) *[]*T { return &k.Stops },
		tab: headed(head,
			must(condition("when", "When it holds.", func(d *T) *rules.When { return &d.When })),
			must(text("reason", "Why.", func(d *T) *string { return &d.Reason })),
			must(texts("make safe", "What to do now, in order.", func(d *T) *[]string { return &d.MakeSafe })),
			must(text("refer to", "Whom to call.", func(d *T) *string { return &d.ReferTo })),
			flag("refuses", "Whether the tool ends here and writes no plan.", func(d *T) *bool { return &d.Refuses }),
			manyOf("refuses acts", "What it refuses, while the rest of the work goes on.", rules.Acts(), func(d *T) *[]rules.Act { return &d.Acts }),
		),
	})
}

func instrumentKind() *kind {
	type T = rules.Instrument
	head := func(d *T) *rules.Head { return &d.Head }
	return makeKind(spec[T]{
		name: "instrument", help: "A way of measuring, with how well it does so by hand.",
		head: head, list: func(k *rules.Knowledge) *[]*T { return &k.Instruments },
		tab: headed(head,
			must(dimension("dimension", "What it measures.", func(d *T) *dim { return &d.Dim })),
			must(field[T]{Field{Name: "u", Holds: "quantities by where it is used ({bore: 0.05 mm, any: 0.1 mm})", Help: "Expanded uncertainty (k = 2) as used by hand: bore, outside, face or any."}, readU}),
			percent("share", "Relative part: at least this share of the value.", func(d *T) *float64 { return &d.Share }),
			text("cannot see", "What it misses.", func(d *T) *string { return &d.CantSee }),
			percent("systemic", "How much of the uncertainty a row of readings has in common (50 % if not given).", func(d *T) *float64 { return &d.Systemic }),
			whole("cost", "1 = in every box ... 5 = borrow it.", 1, 5, func(d *T) *int { return &d.Cost }),
		),
	})
}

func readU(r *reader, n *node, d *rules.Instrument) {
	if !r.mapping(n, "u") {
		return
	}
	d.U = map[string]fact.Measure{}
	for i, k := range n.keys {
		where, ok := r.word(k, "u", []string{"bore", "outside", "face", "any"})
		if !ok {
			continue
		}
		if m, ok := r.measure(n.vals[i], "u"); ok {
			m.U = 0
			d.U[where] = m
			if d.Dim != "" && m.Dim != "" && m.Dim != d.Dim && !(d.Dim == "temperature" && m.Dim == "temperature-difference") {
				r.fail(n.vals[i].at, "wrong-dimension", fmt.Sprintf("%s is a %s, but the instrument measures a %s", n.vals[i].text, m.Dim, d.Dim), "")
			}
		}
	}
}

func estimatesKind() *kind {
	type T = rules.Estimates
	head := func(d *T) *rules.Head { return &d.Head }
	return makeKind(spec[T]{
		name: "estimates", help: "The one table of our own judgement.",
		head: head, list: func(k *rules.Knowledge) *[]*T { return &k.Estimates },
		tab: untitled(head,
			must(field[T]{Field{Name: "values", Holds: "names with numbers", Help: "Each figure by its name; an amendment changes only those it names."}, func(r *reader, n *node, d *T) {
				if !r.mapping(n, "values") {
					return
				}
				values := map[string]float64{}
				for name, x := range d.Values {
					values[name] = x
				}
				seen := map[string]bool{}
				for i, k := range n.keys {
					name, ok := r.newID(k, "values")
					if ok && seen[name] {
						r.fail(k.at, "duplicate-key", fmt.Sprintf("%q stands twice in \"values\"", name), "keep one")
						continue
					}
					seen[name] = true
					if x, good := r.figure(n.vals[i], name); ok && good {
						values[name] = x
					}
				}
				d.Values = values
			}}),
		),
	})
}
