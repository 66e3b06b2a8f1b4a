package load

import (
	"fmt"
	"slices"

	"seepwright/rules"
)

func causeKind() *kind {
	type T = rules.Cause
	head := func(d *T) *rules.Head { return &d.Head }
	sign := slices.Concat(table[rules.Sign]{
		must(field[rules.Sign]{Field{Name: "when", Holds: "FACT is yes, or FACT is OPTION", Help: "What is seen."}, func(r *reader, n *node, d *rules.Sign) {
			d.Place = n.at
			d.Fact, d.Option = r.sign(n, "when")
		}}),
		must(percent("shows", "How often it is seen with this cause alone.", func(d *rules.Sign) *float64 { return &d.Shows })),
	}, origin(func(d *rules.Sign) *rules.Origin { return &d.Origin }))
	found := table[rules.FoundBy]{
		must(id("check", "check", "The check that finds it.", func(d *rules.FoundBy) *string { return &d.Check })),
		field[rules.FoundBy]{Field{Name: "when", Holds: "FACT is yes, or FACT is OPTION", Help: "What the check says of this cause; without it, the check only points at the signs above."}, func(r *reader, n *node, d *rules.FoundBy) {
			d.Fact, d.Opt = r.sign(n, "when")
		}},
		percent("se", "Sensitivity; without it, that of the check.", func(d *rules.FoundBy) *float64 { return &d.Se }),
		percent("sp", "Specificity; without it, that of the check.", func(d *rules.FoundBy) *float64 { return &d.Sp }),
	}
	gap := table[rules.StopGap]{
		must(oneOf("allowed", "Whether there is one.", []string{"yes", "no", "short"}, func(d *rules.StopGap) *string { return &d.Allowed })),
		text("measure", "What is done.", func(d *rules.StopGap) *string { return &d.Measure }),
		text("limit", "How far and how long it may be trusted.", func(d *rules.StopGap) *string { return &d.Limit }),
	}
	alike := table[rules.Alike]{
		must(id("cause", "cause", "The cause that looks the same.", func(d *rules.Alike) *string { return &d.Cause })),
		must(id("split by", "check or fact", "What tells them apart.", func(d *rules.Alike) *string { return &d.SplitBy })),
		text("says", "What it shows for which.", func(d *rules.Alike) *string { return &d.Says }),
	}
	at := slices.Concat(table[rules.ActsAt]{
		must(ids("joints", "joint", "The joint kinds, which also stand under joints.", func(d *rules.ActsAt) *[]string { return &d.Joints })),
		must(percent("acts", "How often it makes such a joint leak.", func(d *rules.ActsAt) *float64 { return &d.Acts })),
		must(text("because", "Why it is more or less there.", func(d *rules.ActsAt) *string { return &d.Because })),
	}, origin(func(d *rules.ActsAt) *rules.Origin { return &d.Origin }))
	never := table[rules.NeverAt]{
		must(ids("joints", "joint", "The joint kinds.", func(d *rules.NeverAt) *[]string { return &d.Joints })),
		must(text("because", "Why it cannot act there.", func(d *rules.NeverAt) *string { return &d.Because })),
	}
	return makeKind(spec[T]{
		name: "cause", help: "Why a joint leaks: its share, its signs, what finds it and what cures it.", alone: true,
		head: head, list: func(k *rules.Knowledge) *[]*T { return &k.Causes }, ref: (*T).Ref,
		tab: headed(head,
			id("for", "joint", "The joint kind; not for a shared cause.", func(d *T) *string { return &d.For }),
			must(text("means", "What is wrong, in one or two sentences.", func(d *T) *string { return &d.Means })),
			must(text("family", "Its class: one of the classes of the case collection, elsewhere or not_in_knowledge_base.", func(d *T) *string { return &d.Family })),
			perHistory("share", "How often it is the cause, per history; the shares of a kind and history add up to about 100 %.", func(d *T) *rules.PerHistory { return &d.Share }),
			flag("elsewhere", "The kind's row \"not this joint\".", func(d *T) *bool { return &d.Elsewhere }),
			flag("shared", "It explains several joints at once.", func(d *T) *bool { return &d.Shared }),
			ids("joints", "joint", "Of a shared cause: the joint kinds it acts on.", func(d *T) *[]string { return &d.Joints }),
			percent("acts", "Of a shared cause: how often it makes such a joint leak.", func(d *T) *float64 { return &d.Acts }),
			entries("acts at", "Of a shared cause: the joint kinds where it acts more or less often than \"acts\" says.", at, func(d *T, l []rules.ActsAt) { d.ActsAt = l }, nil),
			entries("never at", "Of a shared cause: the joint kinds on which it does not act, and why.", never, func(d *T, l []rules.NeverAt) { d.NeverAt = l }, nil),
			contexts("more likely", "What was done or fitted that makes it more likely (2 times, if not given).", true),
			contexts("less likely", "What makes it less likely (0.5 times, if not given).", false),
			entries("signs", "What is seen, and how often.", sign, func(d *T, l []rules.Sign) { d.Signs = l }, nil),
			entries("found by", "The checks that decide it.", found, func(d *T, l []rules.FoundBy) { d.FoundBy = l }, func(r *reader, n *node, d *rules.FoundBy) { d.Place = n.at }),
			ids("targets", "target", "The numbers that tell good from bad.", func(d *T) *[]string { return &d.Targets }),
			field[T]{Field{Name: "remedies", Holds: "list of names of remedies, best first", Help: "What cures it; an entry {remedy: NAME, minutes: 120, success: 95 %} overrides the remedy's own figures.", Fields: remedyRef.fields()}, readRemedies},
			group("stop-gap", "A temporary measure, always with its limit.", gap, func(d *T) *rules.StopGap { return &d.StopGap }),
			text("prevent", "How to keep it from coming back.", func(d *T) *string { return &d.Prevent }),
			text("pre-check", "The step of reassembly that prevents it.", func(d *T) *string { return &d.PreCheck }),
			text("if ignored", "What happens if nothing is done.", func(d *T) *string { return &d.IfIgnored }),
			oneOf("course", "How it goes on.", []string{"slow", "grows", "sudden"}, func(d *T) *string { return &d.Course }),
			ids("cautions", "caution", "Shown before its checks and remedies.", func(d *T) *[]string { return &d.Cautions }),
			entries("looks like", "Causes that look the same, and what splits them.", alike, func(d *T, l []rules.Alike) { d.Alikes = l }, nil),
			flag("anyway", "Cheap enough to treat whenever the joint is open.", func(d *T) *bool { return &d.Anyway }),
		),
		check: func(r *reader, n *node, d *T) {
			switch {
			case d.Shared && d.For != "":
				r.fail(r.fieldPlace(n, "for"), "wrong-type", `a shared cause has no "for"`, `name the kinds under "joints"`)
			case !d.Shared && d.For == "":
				r.fail(n.at, "missing-field", `this cause has no "for"`, "add: for: JOINT KIND, or shared: yes")
			case !d.Shared && (len(d.Joints) > 0 || d.Acts > 0 || len(d.ActsAt)+len(d.NeverAt) > 0):
				r.fail(n.at, "wrong-type", `only a shared cause has "joints", "acts", "acts at" and "never at"`, "add: shared: yes, or take them out")
			}
			seen := map[string]bool{}
			for _, x := range d.ActsAt {
				for _, kind := range x.Joints {
					if !slices.Contains(d.Joints, kind) || seen[kind] {
						r.fail(r.fieldPlace(n, "acts at"), "wrong-type", fmt.Sprintf(`%q stands under "acts at", but not under "joints", or twice`, kind), `name each kind once under "acts at", and under "joints" too`)
					}
					seen[kind] = true
				}
			}
			for _, x := range d.NeverAt {
				for _, kind := range x.Joints {
					if slices.Contains(d.Joints, kind) {
						r.fail(r.fieldPlace(n, "never at"), "wrong-type", fmt.Sprintf(`%q stands under "joints" and under "never at"`, kind), "take it out of one of them")
					}
				}
			}
		},
	})
}

var remedyRef = table[rules.RemedyRef]{
	must(id("remedy", "remedy", "The remedy.", func(d *rules.RemedyRef) *string { return &d.Remedy })),
	minutes("minutes", "Instead of the remedy's own.", func(d *rules.RemedyRef) *float64 { return &d.Minutes }),
	percent("success", "Instead of the remedy's own.", func(d *rules.RemedyRef) *float64 { return &d.Success }),
	text("note", "What is special here.", func(d *rules.RemedyRef) *string { return &d.Note }),
}

func readRemedies(r *reader, n *node, d *rules.Cause) {
	d.Remedies = nil
	for _, item := range r.items(n, "remedies") {
		var ref rules.RemedyRef
		if item.form == mapForm {
			r.whole(func() { readFields(r, item, 0, remedyRef, &ref, "entry of remedies", nil) })
		} else if name, ok := r.name(item, "remedies"); ok {
			ref.Remedy = name
		}
		if ref.Remedy != "" {
			d.Remedies = append(d.Remedies, ref)
		}
	}
}

// contexts reads one half of the context of a cause; the other half stays.
func contexts(name, help string, more bool) field[rules.Cause] {
	usual, least, most := 2.0, 1.0, 1000.0
	if !more {
		usual, least, most = 0.5, 0, 1
	}
	tab := slices.Concat(table[rules.Context]{
		must(condition("when", "What was done or fitted.", func(d *rules.Context) *rules.When { return &d.When })),
		number("times", fmt.Sprintf("Its odds are multiplied by this (%v, if not given).", usual), least, most, func(d *rules.Context) *float64 { return &d.Times }),
		id("unless known", "fact", unlessHelp, func(d *rules.Context) *string { return &d.Unless }),
	}, origin(func(d *rules.Context) *rules.Origin { return &d.Origin }))
	return entries(name, help, tab, func(d *rules.Cause, list []rules.Context) {
		keep := slices.DeleteFunc(slices.Clone(d.Context), func(c rules.Context) bool { return (c.Times >= 1) == more })
		d.Context = append(keep, list...)
	}, func(r *reader, n *node, c *rules.Context) {
		if c.Times == 0 {
			c.Times = usual
		}
	})
}
