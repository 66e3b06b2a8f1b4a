package ruletest

import (
	"cmp"
	"slices"

	"seepwright/rules"
)

// Pair is one solved case worked out under two knowledge bases.
type Pair struct {
	Case     *rules.Case
	Old, New Report
	Added    bool // only the new one has the case
	Gone     bool // only the old one has it
}

// Compare works the solved cases of both knowledge bases out under either, sorted by kind and
// name. A case that both have is told as the new one tells it, so that what differs comes
// from the knowledge and not from the story. What one of the two has no fact for, nobody could
// have told it: there the answer is left out.
func Compare(old, new *rules.Knowledge) []Pair {
	ref := func(c *rules.Case) string { return c.For + "/" + c.ID }
	was := map[string]*rules.Case{}
	for _, c := range old.Cases {
		was[ref(c)] = c
	}
	var pairs []Pair
	for _, c := range new.Cases {
		pairs = append(pairs, Pair{Case: c, Added: was[ref(c)] == nil})
		delete(was, ref(c))
	}
	for _, c := range was {
		pairs = append(pairs, Pair{Case: c, Gone: true})
	}
	slices.SortFunc(pairs, func(a, b Pair) int {
		return cmp.Or(cmp.Compare(kindOf(a.Case), kindOf(b.Case)), cmp.Compare(a.Case.ID, b.Case.ID), cmp.Compare(ref(a.Case), ref(b.Case)))
	})
	under := func(k *rules.Knowledge) []Report {
		told := *k
		told.Cases = make([]*rules.Case, len(pairs))
		for i, p := range pairs {
			told.Cases[i] = asKnown(k, p.Case)
		}
		return Cases(&told)
	}
	before, after := under(old), under(new)
	for i := range pairs {
		pairs[i].Old, pairs[i].New = before[i], after[i]
	}
	return pairs
}

// asKnown is a case without the answers to facts that a knowledge base has not.
func asKnown(k *rules.Knowledge, c *rules.Case) *rules.Case {
	known := func(given map[string]rules.AnswerText) map[string]rules.AnswerText {
		out := map[string]rules.AnswerText{}
		for id, a := range given {
			if k.Fact(id) != nil {
				out[id] = a
			}
		}
		return out
	}
	out := *c
	out.Given, out.Expect = known(c.Given), known(c.Expect)
	if len(c.Joints) > 0 {
		out.Joints = map[string]rules.CaseJoint{}
	}
	for id, j := range c.Joints {
		j.Given = known(j.Given)
		out.Joints[id] = j
	}
	return &out
}

// Differs reports whether the case ranks otherwise: it is reordered, or the chance of the
// proven cause moved by at least least.
func (p Pair) Differs(least float64) bool {
	moved := p.New.P - p.Old.P
	return p.Reordered() || max(moved, -moved) >= least && moved != 0
}

// Reordered reports whether another cause is in the lead, the proven cause stands in another
// place, or the case passed before and not now, or the other way round.
func (p Pair) Reordered() bool {
	return p.Old.Lead != p.New.Lead || p.Old.Rank != p.New.Rank || p.Old.Passed() != p.New.Passed()
}

// Ranked reports whether the case could be worked out at all.
func (r Report) Ranked() bool { return r.Lead != "" }
