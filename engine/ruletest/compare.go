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
// from the knowledge and not from the story.
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
	cases := make([]*rules.Case, len(pairs))
	for i, p := range pairs {
		cases[i] = p.Case
	}
	under := func(k *rules.Knowledge) []Report {
		told := *k
		told.Cases = cases
		return Cases(&told)
	}
	before, after := under(old), under(new)
	for i := range pairs {
		pairs[i].Old, pairs[i].New = before[i], after[i]
	}
	return pairs
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
