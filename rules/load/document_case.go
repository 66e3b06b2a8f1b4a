package load

import (
	"fmt"
	"strings"

	"seepwright/rules"
)

func caseKind() *kind {
	type T = rules.Case
	head := func(d *T) *rules.Head { return &d.Head }
	joint := table[rules.CaseJoint]{
		must(id("kind", "joint", "Its joint kind.", func(d *rules.CaseJoint) *string { return &d.Kind })),
		text("like", "The group of like joints it belongs to.", func(d *rules.CaseJoint) *string { return &d.Like }),
		ids("above", "joint of this case", "What lies above it.", func(d *rules.CaseJoint) *[]string { return &d.Above }),
		answers("given", "What is known of it.", func(d *rules.CaseJoint) *map[string]rules.AnswerText { return &d.Given }),
	}
	return makeKind(spec[T]{
		name: "case", help: "A solved case: what a fitter would have at that stage, and what it proved to be.",
		head: head, list: func(k *rules.Knowledge) *[]*T { return &k.Cases },
		ref: func(d *T) string { return d.For + "/" + d.ID },
		tab: untitled(head,
			id("for", "joint", "The joint kind, unless it has several joints.", func(d *T) *string { return &d.For }),
			must(id("cause", "cause", "What it proved to be.", func(d *T) *string { return &d.Cause })),
			id("looks like", "cause", "The look-alike that at least two of the answers fit better.", func(d *T) *string { return &d.LookLike }),
			must(oneOf("stage", "Where the work stands.", []string{"before-opening", "opened"}, func(d *T) *string { return &d.Stage })),
			oneOf("history", "What was done before it leaked.", rules.Histories(), func(d *T) *rules.History { return &d.History }),
			text("story", "What happened, as one would tell it.", func(d *T) *string { return &d.Story }),
			answers("given", "The answers a fitter would have.", func(d *T) *map[string]rules.AnswerText { return &d.Given }),
			whole("top", "The cause must stand among the first so many (1 opened, 6 before opening).", 1, 20, func(d *T) *int { return &d.Top }),
			id("splits", "check or fact", "What must be named as the next step.", func(d *T) *string { return &d.Splits }),
			answers("expect", "Facts that must be concluded.", func(d *T) *map[string]rules.AnswerText { return &d.Expect }),
			oneOf("verdict", "The run verdict.", []string{"stop", "watched", "leave", "dry"}, func(d *T) *string { return &d.Verdict }),
			field[T]{Field{Name: "joints", Holds: "NAME: {kind, like, above, given}", Help: "Of a case with several joints.", Fields: joint.fields()}, func(r *reader, n *node, d *T) {
				if !r.mapping(n, "joints") {
					return
				}
				d.Joints = map[string]rules.CaseJoint{}
				for i, k := range n.keys {
					name, ok := r.newID(k, "joints")
					if !ok || !r.mapping(n.vals[i], name) {
						continue
					}
					var j rules.CaseJoint
					r.whole(func() { readFields(r, n.vals[i], 0, joint, &j, "joint of a case", nil) })
					d.Joints[name] = j
				}
			}},
		),
		check: func(r *reader, n *node, d *T) {
			switch {
			case d.For == "" && len(d.Joints) == 0:
				r.fail(n.at, "missing-field", `this case has no "for"`, `add: for: JOINT KIND, or "joints"`)
			case d.Given == nil && len(d.Joints) == 0:
				r.fail(n.at, "missing-field", `this case has no "given"`, "add: given: {FACT: ANSWER, ...}")
			}
			if d.Top == 0 {
				d.Top = 6
				if d.Stage == "opened" {
					d.Top = 1
				}
			}
		},
	})
}

func testsKind() *kind {
	type T = rules.RuleTest
	head := func(d *T) *rules.Head { return &d.Head }
	one := table[rules.RuleTestCase]{
		must(text("name", "A sentence.", func(d *rules.RuleTestCase) *string { return &d.Name })),
		id("for", "joint", "The joint kind; without it, the first of the rule.", func(d *rules.RuleTestCase) *string { return &d.For }),
		must(answers("given", "What is known.", func(d *rules.RuleTestCase) *map[string]rules.AnswerText { return &d.Given })),
		must(oneOf("expect", "What the rule does.", []string{"fires", "silent", "undecided"}, func(d *rules.RuleTestCase) *string { return &d.Expect })),
		ids("would settle", "fact", "Of an undecided rule: the facts that would settle it.", func(d *rules.RuleTestCase) *[]string { return &d.WouldSettle }),
	}
	return makeKind(spec[T]{
		name: "tests", help: "The tests of a rule, in a file called NAME_test.yaml beside it: at least one where it fires, one where it is silent, one where it cannot say yet.", test: true,
		head: head, list: func(k *rules.Knowledge) *[]*T { return &k.RuleTests },
		tab: untitled(head,
			must(entries("cases", "The tests.", one, func(d *T, l []rules.RuleTestCase) { d.Cases = l }, func(r *reader, n *node, c *rules.RuleTestCase) { c.Place = n.at })),
		),
		check: func(r *reader, n *node, d *T) { d.Rule = d.ID },
	})
}

// answers reads answers by fact. They stay text until they are read against their facts.
func answers[T any](name, help string, to func(*T) *map[string]rules.AnswerText) field[T] {
	return field[T]{Field{Name: name, Holds: "FACT: ANSWER", Help: help}, func(r *reader, n *node, d *T) {
		if !r.mapping(n, name) {
			return
		}
		out := map[string]rules.AnswerText{}
		for i, k := range n.keys {
			if r.commaCut(k, n.vals[i]) {
				continue
			}
			factID, ok := r.name(k, name)
			if !ok {
				continue
			}
			r.opts.Places.note(n.at, name, factID, k.at)
			if _, twice := out[factID]; twice {
				r.fail(k.at, "duplicate-key", fmt.Sprintf("%q is answered twice", factID), "keep one answer")
				continue
			}
			if a, ok := r.answer(n.vals[i], factID); ok {
				out[factID] = a
			}
		}
		*to(d) = out
	}}
}

// answer keeps the three forms of an answer: a text, a list, and names with values (is and
// not, or unit and readings).
func (r *reader) answer(n *node, factID string) (rules.AnswerText, bool) {
	a := rules.AnswerText{Place: n.at}
	switch n.form {
	case textForm:
		if !r.scalar(n, factID, "an answer") {
			return a, false
		}
		a.Scalar = strings.TrimSpace(n.text)
		return a, true
	case brokenForm:
		return a, false
	case listForm:
		r.rows(n, factID, &a)
		return a, true
	case mapForm:
		for i, k := range n.keys {
			switch v := n.vals[i]; k.text {
			case "is":
				a.Is = r.texts(v, factID)
			case "not":
				a.Not = r.texts(v, factID)
			case "unit":
				a.Unit, _ = r.text(v, factID)
			case "readings":
				r.rows(v, factID, &a)
			default:
				r.unknown(k.at, "unknown-field", fmt.Sprintf("an answer has no part %q", k.text), k.text, []string{"is", "not", "unit", "readings"})
			}
		}
		return a, true
	}
	r.fail(n.at, "wrong-type", fmt.Sprintf("%q has no answer", factID), "write cant-tell, or take the line out")
	return a, false
}

func (r *reader) rows(n *node, factID string, a *rules.AnswerText) {
	placed := false
	a.List = []string{}
	for _, item := range r.items(n, factID) {
		value, at := "", ""
		if item.form == mapForm {
			for i, k := range item.keys {
				switch k.text {
				case "at":
					at, _ = r.text(item.vals[i], "at")
				case "value":
					value, _ = r.text(item.vals[i], "value")
				default:
					r.unknown(k.at, "unknown-field", fmt.Sprintf("a reading has no part %q", k.text), k.text, []string{"at", "value"})
				}
			}
			placed = placed || at != ""
			if value == "" {
				r.fail(item.at, "missing-field", `this reading has no "value"`, `write {at: "3:00", value: 12.03 mm}`)
				continue
			}
		} else if value, _ = r.text(item, factID); value == "" {
			continue
		}
		a.List = append(a.List, value)
		a.At = append(a.At, at)
	}
	if !placed {
		a.At = nil
	}
}
