package job

import (
	"slices"

	"seepwright/cmd/seepwright/journal"
	"seepwright/engine/network"
	"seepwright/rules"
	"seepwright/rules/fact"
)

// Told is one answer that a retest gives; nil Value takes the answer back.
type Told struct {
	Fact  string
	Value *fact.Value
}

// Outcome is what a judged step changes in the record: answers of the joint, and work that has
// proved itself or not.
type Outcome struct {
	Answers []Told
	Tried   *network.Tried // nil while nothing is decided, or no remedy was named
	Unnamed bool           // work was told in words alone, so that its failure teaches nothing
}

// Outcome says what an entry changes, judged as it was, given the answers of the joint as they
// are. The entry is not in the log yet.
func (j *Job) Outcome(e journal.Entry, v Verdict, now map[string]rules.AnswerText) Outcome {
	var out Outcome
	s, ok := j.step(e.Name)
	if !ok || v == Again {
		return out
	}
	put := func(id string, v fact.Value) {
		if j.KB.Fact(id) != nil {
			out.Answers = append(out.Answers, Told{id, &v})
		}
	}
	// A new retest speaks of the joint as it is now: what an earlier one said is taken back.
	begun := slices.ContainsFunc(j.tests(e.Joint), func(o journal.Entry) bool { return o.Tissue == "dry" })
	var is, not []string
	if begun {
		is, not = slices.Clone(now[dryFact].Is), slices.Clone(now[dryFact].Not)
		if len(is) == 0 {
			is = slices.Clone(now[dryFact].List)
		}
	} else {
		for _, id := range []string{firstWet, dayDry} {
			if _, has := now[id]; has {
				out.Answers = append(out.Answers, Told{Fact: id})
			}
		}
	}
	drop := func(list []string) []string {
		return slices.DeleteFunc(list, func(o string) bool { return o == s.ID })
	}
	if v == Pass {
		is, not = append(drop(is), s.ID), drop(not)
	} else {
		is, not = drop(is), append(drop(not), s.ID)
	}
	put(dryFact, fact.MakeSeveral(is, not))
	if v == Fail {
		put(firstWet, fact.MakeChoice(j.wetOption(s)))
		put(wetFact, fact.MakeYesNo(true))
		put(dayDry, fact.MakeYesNo(false))
		out.tried(j, e.Joint, true)
		return out
	}
	if s.Number > 0 {
		put(wetFact, fact.MakeYesNo(false))
	}
	after := *j
	c := *j.Case
	c.Log = append(slices.Clone(j.Case.Log), e)
	after.Case = &c
	if !j.Passed(e.Joint) && after.Passed(e.Joint) {
		put(firstWet, fact.MakeChoice("nowhere"))
		put(dayDry, fact.MakeYesNo(true))
		out.tried(j, e.Joint, false)
	}
	return out
}

// wetOption is the option of wet-at-retest that a step has.
func (j *Job) wetOption(s Step) string {
	f := j.KB.Fact(firstWet)
	if f != nil && slices.ContainsFunc(f.Options, func(o rules.Option) bool { return o.ID == s.ID }) {
		return s.ID
	}
	if s.Number == 0 {
		return "static-fill"
	}
	return "later"
}

// tried collects the remedies that were made at the joint since its last retest that decided.
func (o *Outcome) tried(j *Job, joint string, wet bool) {
	t := network.Tried{Joint: joint, Wet: wet}
	some := false
	for _, e := range j.Case.Log {
		switch {
		case failed(e) && j.at(e, joint), e.What == journal.Reopened, e.What == journal.Closed:
			t.Did, some = nil, false
		case j.mends(e) && j.at(e, joint):
			some = true
			for _, id := range e.Did {
				if r := j.remedy(id); r != nil && r.Kind != "locate" && !slices.Contains(t.Did, id) {
					t.Did = append(t.Did, id)
				}
			}
		}
	}
	if len(t.Did) > 0 {
		o.Tried = &t
		return
	}
	o.Unnamed = some
}
