// Package lint finds the mistakes that people make in a knowledge base and that only show
// when its documents are seen together: names that nothing bears, wrong dimensions, evidence
// used twice, rules that never fire. One file holds one family of mistakes.
// It reads no files; that is the business of rules/load.
package lint

import (
	"cmp"
	"fmt"
	"slices"

	"seepwright/rules"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
	"seepwright/rules/load"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// Options bring what lint cannot see in the documents.
type Options struct {
	Places       *load.Places  // where every text stands; without it findings point at the document
	Calculations []Calculation // nil: names of calculations are not checked
	Overlaid     bool          // a folder was laid over: shares are weights, so their sum only warns
	Brief        bool          // only what would break the work or mislead it; what has to try conditions against each other is left to kb check
}

// Calculation is what lint needs to know of a calculation of the measurement library.
type Calculation struct {
	Name            string
	Inputs, Outputs []Port
}

// Port is an input or an output of a calculation.
type Port struct {
	Name     string
	Dim      unit.Dimension // "" for a text
	Rows     bool           // a row of readings
	Optional bool
}

// Check finds all mistakes, sorted by place.
func Check(k *rules.Knowledge, o Options) source.Findings {
	c := newChecker(k, o)
	for _, find := range []func(*checker){
		unknownNames, conditions, signs, wrongKind, dimensions, calculations,
		evidenceTwice, signSums, checksFill, states, loops, families, shares, incomplete,
	} {
		find(c)
	}
	if !o.Brief {
		for _, find := range []func(*checker){neverFires, contradictions, shadowed, unreachable, noCheck, splits, unused, noSource, noCase, ruleTests, caseAnswers} {
			find(c)
		}
	}
	return c.out.Sort()
}

// checker holds the knowledge and what is looked up often.
type checker struct {
	k       *rules.Knowledge
	o       Options
	vocab   vocabulary
	kinds   []string
	calcs   map[string]Calculation
	holdsIf map[*cond.Cond][]string // supports, remembered: a rule for all kinds is looked at once per kind
	out     source.Findings
}

func newChecker(k *rules.Knowledge, o Options) *checker {
	c := &checker{k: k, o: o, calcs: map[string]Calculation{}, holdsIf: map[*cond.Cond][]string{}}
	for _, j := range k.Joints {
		c.kinds = append(c.kinds, j.ID)
	}
	for _, calc := range o.Calculations {
		c.calcs[calc.Name] = calc
	}
	c.vocab = vocabularyOf(k, c.kinds)
	return c
}

func (c *checker) report(at source.Place, code, what, hint string) {
	c.out = append(c.out, source.Finding{Place: at, Code: code, What: what, Hint: hint, Warning: warns(code)})
}

// at is the place of a text in a field of a document.
func (c *checker) at(h rules.Head, field, text string) source.Place {
	return c.o.Places.Of(h.Place, field, text)
}

// GivenFacts are the facts that the engine itself fills: the kind of the joint at hand and
// its history.
func GivenFacts() []string { return []string{"history", "joint"} }

// ReadFacts are the facts that the engine itself reads.
func ReadFacts() []string { return []string{"access-size", "joint-wet", "leak-proven", "wet-clock"} }

func given(id string) bool { return slices.Contains(GivenFacts(), id) }

// found looks a fact up, the given ones included.
func (c *checker) fact(id string) *rules.Fact {
	if f := c.k.Fact(id); f != nil {
		return f
	}
	return c.vocab.given[id]
}

func number(f *rules.Fact) bool { return f != nil && f.Answer == fact.Number }

func hasOption(f *rules.Fact, id string) bool {
	return slices.ContainsFunc(f.Options, func(o rules.Option) bool { return o.ID == id })
}

func optionIDs(f *rules.Fact) []string {
	out := make([]string, len(f.Options))
	for i, o := range f.Options {
		out[i] = o.ID
	}
	return out
}

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K {
	out := make([]K, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

func quote(s string) string { return fmt.Sprintf("%q", s) }
