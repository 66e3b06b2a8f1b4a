package ruletest

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
)

// Cases runs the solved cases.
func Cases(kb *rules.Knowledge) []Report {
	return parallel(kb, kb.Cases, func() *engine.Brain { return engine.NewBrain(kb) }, func(b *engine.Brain, c *rules.Case) Report {
		rep := Report{Name: c.ID, Kind: kindOf(c), Place: c.Place}
		s, err := open(b, c, &rep)
		if err != nil {
			rep.fail("%v", err)
		}
		if !rep.Passed() {
			return rep
		}
		// The plan is not judged, so the short result does; only a split that it does not name
		// is looked for in the whole one.
		for _, brief := range []bool{true, false} {
			rep.Fails = nil
			res, err := s.Result(plan.Person{Answered: len(c.Given), Brief: brief})
			if err != nil {
				rep.fail("%v", err)
				return rep
			}
			if judge(kb, c, res, &rep); rep.Passed() || !rep.unsplit {
				break
			}
		}
		return rep
	})
}

// kindOf is the kind to whose cause a case belongs.
func kindOf(c *rules.Case) string {
	if kind, _, ok := strings.Cut(c.Cause, "/"); ok {
		return kind
	}
	return cmp.Or(c.For, Shared)
}

// causeID is the id of a cause that may be written KIND/ID.
func causeID(ref string) string { return ref[strings.LastIndex(ref, "/")+1:] }

// open tells a new session all that a case gives.
func open(b *engine.Brain, c *rules.Case, rep *Report) (*engine.Session, error) {
	asm := assembly.Single(c.For)
	if len(c.Joints) > 0 {
		asm = &assembly.Assembly{Title: c.ID}
		for id, j := range c.Joints {
			asm.Joints = append(asm.Joints, assembly.Joint{ID: id, Kind: j.Kind, Title: id, Like: j.Like, Above: j.Above})
		}
		slices.SortFunc(asm.Joints, func(a, b assembly.Joint) int { return cmp.Compare(a.ID, b.ID) })
	}
	s, err := b.NewSession(asm, engine.Options{History: c.History})
	if err != nil {
		return nil, err
	}
	give(s, asm.Joints[0].ID, c.Given, rep)
	for _, j := range asm.Joints {
		give(s, j.ID, c.Joints[j.ID].Given, rep)
	}
	return s, nil
}

// top is the last place that the true cause of a case may take.
func top(c *rules.Case) int {
	switch {
	case c.Top > 0:
		return c.Top
	case c.Stage == "before-opening":
		return 6
	}
	return 1
}

func judge(kb *rules.Knowledge, c *rules.Case, res *engine.Result, rep *Report) {
	cause := causeID(c.Cause)
	for i, x := range res.Ranking {
		if x.Cause == cause {
			rep.Rank, rep.P = i+1, x.Probability
			split(c, x, res, rep)
			break
		}
	}
	if len(res.Ranking) > 0 {
		rep.Lead, rep.LeadP = res.Ranking[0].Cause, res.Ranking[0].Probability
	}
	switch {
	case rep.Rank == 0:
		rep.fail("the cause %s is not in the ranking", c.Cause)
	case rep.Rank > top(c):
		rep.fail("expected %s among the first %d, it stands at %d (%.1f %%); in the lead: %s", cause, top(c), rep.Rank, 100*rep.P, leaders(res))
	}
	for _, id := range sortedNames(c.Expect) {
		f := kb.Fact(id)
		if f == nil {
			rep.fail("no fact is called %q", id)
			continue
		}
		v, bad := answer.Read(f, c.Expect[id], answer.Instruments(kb.Instruments))
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

func sortedNames[V any](m map[string]V) []string {
	out := make([]string, 0, len(m))
	for n := range m {
		out = append(out, n)
	}
	slices.Sort(out)
	return out
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
	rep.unsplit = true
	rep.fail("expected that %s is named to split %s from %s; named: %s", c.Splits, c.Cause, c.LookLike, strings.Join(x.SplitBy, ", "))
}

func leaders(res *engine.Result) string {
	var out []string
	for _, x := range res.Ranking[:min(4, len(res.Ranking))] {
		out = append(out, fmt.Sprintf("%s %.0f %%", x.Cause, 100*x.Probability))
	}
	return strings.Join(out, ", ")
}
