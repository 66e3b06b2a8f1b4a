package ruletest

import (
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/engine/infer"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
)

// ruleCase is one case of one rule; rule is nil when there is none of that name.
type ruleCase struct {
	test *rules.RuleTest
	rule *rules.Rule
	rules.RuleTestCase
}

// Rules runs the cases of all rules.
func Rules(kb *rules.Knowledge) []Report {
	var list []ruleCase
	for _, t := range kb.RuleTests {
		for _, c := range t.Cases {
			list = append(list, ruleCase{t, kb.Rule(t.Rule), c})
		}
	}
	return parallel(kb, list, func() *engine.Brain { return engine.NewBrain(kb) }, func(b *engine.Brain, c ruleCase) Report {
		rep := Report{Name: c.test.Rule + ": " + c.Name, Kind: Shared, Place: c.Place}
		if c.rule == nil {
			rep.fail("no rule is called %q", c.test.Rule)
			return rep
		}
		if len(c.rule.For) == 1 {
			rep.Kind = c.rule.For[0]
		}
		runRule(kb, b, c, &rep)
		return rep
	})
}

func runRule(kb *rules.Knowledge, b *engine.Brain, c ruleCase, rep *Report) {
	kind := c.For
	if kind == "" && len(c.rule.For) > 0 {
		kind = c.rule.For[0]
	}
	if kind == "" && len(kb.Joints) > 0 {
		kind = kb.Joints[0].ID
	}
	s, err := b.NewSession(assembly.Single(kind), engine.Options{})
	if err != nil {
		rep.fail("%v", err)
		return
	}
	if !give(s, "joint", c.Given, rep) {
		return
	}
	joint := "joint"
	if c.rule.Job {
		joint = ""
	}
	t, lacks, ok := s.Memory().Truth(c.rule.ID, joint)
	if !ok {
		rep.fail("the rule does not apply to a joint of kind %s", kind)
		return
	}
	got := map[fact.Truth]string{fact.True: "fires", fact.False: "silent", fact.Unknown: "undecided"}[t]
	if got != c.Expect {
		rep.fail("expected that the rule %s, but it %s", does(c.Expect), does(got))
	}
	for _, want := range c.WouldSettle {
		if names := askable(s.Memory(), lacks, joint); got == "undecided" && !slices.Contains(names, want) {
			rep.fail("expected that %s would settle it; it lacks %s", want, strings.Join(names, ", "))
		}
	}
}

// does puts an outcome into a sentence.
func does(outcome string) string {
	if outcome == "fires" {
		return outcome
	}
	return "is " + outcome
}

// askable walks what a rule lacks down to what could be asked: a fact that other rules
// conclude lacks what they lack.
func askable(m *infer.Memory, lacks []cond.Lack, joint string) []string {
	var out []string
	var walk func([]cond.Lack)
	walk = func(list []cond.Lack) {
		for _, l := range list {
			if slices.Contains(out, l.Fact) {
				continue
			}
			out = append(out, l.Fact)
			for _, w := range m.Waiting() {
				if (w.Joint == joint || w.Joint == "") && concludes(w.Rule, l.Fact) {
					walk(w.Lacks)
				}
			}
		}
	}
	walk(lacks)
	return out
}

func concludes(r *rules.Rule, name string) bool {
	for _, a := range r.Then {
		if a.Conclude != nil && a.Conclude.Fact == name {
			return true
		}
		if a.Compute != nil {
			for _, f := range a.Compute.Into {
				if f == name {
					return true
				}
			}
		}
	}
	return false
}
