// Package ruletest runs what stands beside the knowledge: the three cases of every rule, and
// the solved cases of causes.
// It prints nothing; the command and the tests read its reports.
package ruletest

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/engine/infer"
	"seepwright/engine/plan"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
	"seepwright/rules/source"
)

// Report is what became of one case.
type Report struct {
	Name  string
	Place source.Place
	Fails []string // empty = passed
	Rank  int      // of the true cause, from 1; 0 for a rule's case
	P     float64  // probability of the true cause
	Lead  string   // the cause in the lead
}

// Passed reports whether nothing failed.
func (r Report) Passed() bool { return len(r.Fails) == 0 }

func (r *Report) fail(format string, args ...any) {
	r.Fails = append(r.Fails, fmt.Sprintf(format, args...))
}

// Rules runs the cases of all rules.
func Rules(kb *rules.Knowledge) []Report {
	var out []Report
	for _, t := range kb.RuleTests {
		r := kb.Rule(t.Rule)
		for _, c := range t.Cases {
			rep := Report{Name: t.Rule + ": " + c.Name, Place: c.Place}
			if r == nil {
				rep.fail("no rule is called %q", t.Rule)
			} else {
				runRule(kb, r, c, &rep)
			}
			out = append(out, rep)
		}
	}
	return out
}

func runRule(kb *rules.Knowledge, r *rules.Rule, c rules.RuleTestCase, rep *Report) {
	kind := c.For
	if kind == "" && len(r.For) > 0 {
		kind = r.For[0]
	}
	if kind == "" && len(kb.Joints) > 0 {
		kind = kb.Joints[0].ID
	}
	s, err := engine.NewSession(kb, assembly.Single(kind), engine.Options{})
	if err != nil {
		rep.fail("%v", err)
		return
	}
	if !give(s, "joint", c.Given, rep) {
		return
	}
	joint := "joint"
	if r.Job {
		joint = ""
	}
	t, lacks, ok := s.Memory().Truth(r.ID, joint)
	if !ok {
		rep.fail("the rule does not apply to a joint of kind %s", kind)
		return
	}
	got := map[fact.Truth]string{fact.True: "fires", fact.False: "silent", fact.Unknown: "undecided"}[t]
	if got != c.Expect {
		rep.fail("expected that the rule %s, but it %s", c.Expect, got)
	}
	for _, want := range c.WouldSettle {
		if names := askable(s.Memory(), lacks, joint); got == "undecided" && !slices.Contains(names, want) {
			rep.fail("expected that %s would settle it; it lacks %s", want, strings.Join(names, ", "))
		}
	}
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

// give tells a session what a case gives; facts known by rule only are given as if asked.
func give(s *engine.Session, joint string, given map[string]rules.AnswerText, rep *Report) bool {
	values, bad := answer.ReadGiven(s.Knowledge(), given)
	for _, b := range bad {
		rep.fail("%s", b)
	}
	names := make([]string, 0, len(values))
	for n := range values {
		names = append(names, n)
	}
	slices.Sort(names)
	for _, n := range names {
		if _, err := s.Answer(joint, n, values[n]); err != nil {
			rep.fail("%v", err)
		}
	}
	return len(bad) == 0
}

// Cases runs the solved cases.
func Cases(kb *rules.Knowledge) []Report {
	var out []Report
	for _, c := range kb.Cases {
		rep := Report{Name: c.ID, Place: c.Place}
		res, err := Run(kb, c, &rep)
		if err != nil {
			rep.fail("%v", err)
		}
		if res != nil && rep.Passed() {
			judge(kb, c, res, &rep)
		}
		out = append(out, rep)
	}
	return out
}

// Run works a solved case through the engine.
func Run(kb *rules.Knowledge, c *rules.Case, rep *Report) (*engine.Result, error) {
	asm := assembly.Single(c.For)
	if len(c.Joints) > 0 {
		asm = &assembly.Assembly{Title: c.ID}
		for id, j := range c.Joints {
			asm.Joints = append(asm.Joints, assembly.Joint{ID: id, Kind: j.Kind, Title: id, Like: j.Like, Above: j.Above})
		}
		slices.SortFunc(asm.Joints, func(a, b assembly.Joint) int { return cmp.Compare(a.ID, b.ID) })
	}
	s, err := engine.NewSession(kb, asm, engine.Options{History: c.History})
	if err != nil {
		return nil, err
	}
	if !give(s, asm.Joints[0].ID, c.Given, rep) {
		return nil, nil
	}
	for _, j := range asm.Joints {
		if g := c.Joints[j.ID].Given; len(g) > 0 && !give(s, j.ID, g, rep) {
			return nil, nil
		}
	}
	return s.Result(plan.Person{Answered: len(c.Given)})
}

func judge(kb *rules.Knowledge, c *rules.Case, res *engine.Result, rep *Report) {
	cause := c.Cause[strings.LastIndex(c.Cause, "/")+1:]
	for i, x := range res.Ranking {
		if x.Cause == cause {
			rep.Rank, rep.P = i+1, x.Probability
			split(c, x, res, rep)
			break
		}
	}
	if len(res.Ranking) > 0 {
		rep.Lead = res.Ranking[0].Cause
	}
	top := c.Top
	if top == 0 {
		top = map[string]int{"before-opening": 6}[c.Stage]
		top = max(top, 1)
	}
	switch {
	case rep.Rank == 0:
		rep.fail("the cause %s is not in the ranking", c.Cause)
	case rep.Rank > top:
		rep.fail("expected %s among the first %d, it stands at %d (%.1f %%); in the lead: %s", cause, top, rep.Rank, 100*rep.P, leaders(res))
	}
	for id, want := range c.Expect {
		f := kb.Fact(id)
		if f == nil {
			rep.fail("no fact is called %q", id)
			continue
		}
		v, bad := answer.Read(f, want, answer.Instruments(kb.Instruments))
		for _, b := range bad {
			rep.fail("%s", b)
		}
		if !slices.ContainsFunc(res.Findings, func(g engine.Finding) bool { return g.Fact == id && g.Text == engine.Say(f, v) }) {
			rep.fail("expected to conclude %s: %s", id, engine.Say(f, v))
		}
	}
	if c.Verdict != "" && res.Run.Verdict != c.Verdict {
		rep.fail("expected the run verdict %s, got %s", c.Verdict, res.Run.Verdict)
	}
}

// split checks that the splitting check is named for the true cause, as the next step, or in
// the errand.
func split(c *rules.Case, x engine.Ranked, res *engine.Result, rep *Report) {
	if c.Splits == "" || slices.Contains(x.SplitBy, c.Splits) {
		return
	}
	for _, n := range res.Errand {
		if n.Check == c.Splits || n.Fact == c.Splits {
			return
		}
	}
	if n := res.Next; n != nil && (n.Check == c.Splits || n.Fact == c.Splits) {
		return
	}
	for _, t := range res.Ties {
		if t.SplitBy == c.Splits {
			return
		}
	}
	rep.fail("expected that %s is named to split %s from %s; named: %s", c.Splits, c.Cause, c.LookLike, strings.Join(x.SplitBy, ", "))
}

func leaders(res *engine.Result) string {
	var out []string
	for _, x := range res.Ranking[:min(4, len(res.Ranking))] {
		out = append(out, fmt.Sprintf("%s %.0f %%", x.Cause, 100*x.Probability))
	}
	return strings.Join(out, ", ")
}
