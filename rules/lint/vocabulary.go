package lint

import (
	"slices"

	"seepwright/rules"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// vocabulary is what conditions may name: all facts, and those that the engine fills itself.
type vocabulary struct {
	k     *rules.Knowledge
	given map[string]*rules.Fact
	names []string
}

func vocabularyOf(k *rules.Knowledge, kinds []string) vocabulary {
	v := vocabulary{k: k, given: map[string]*rules.Fact{}}
	choice := func(id string, options []string) {
		f := &rules.Fact{Head: rules.Head{ID: id}, Answer: fact.Choice, Engine: true, Scope: fact.JointScope}
		for _, o := range options {
			f.Options = append(f.Options, rules.Option{ID: o})
		}
		v.given[id] = f
	}
	choice("joint", kinds)
	var histories []string
	for _, h := range rules.Histories() {
		histories = append(histories, string(h))
	}
	choice("history", histories)
	for _, f := range k.Facts {
		v.names = append(v.names, f.ID)
	}
	for id := range v.given {
		if k.Fact(id) == nil {
			v.names = append(v.names, id)
		}
	}
	slices.Sort(v.names)
	return v
}

// Spec tells how a fact is answered.
func (v vocabulary) Spec(name string) (cond.Spec, bool) {
	f := v.k.Fact(name)
	if f == nil {
		f = v.given[name]
	}
	if f == nil {
		return cond.Spec{}, false
	}
	dim := f.Dim
	if f.Answer != fact.Number && f.Answer != fact.Readings {
		dim = unit.Dimension("")
	}
	return cond.Spec{Type: f.Answer, Options: optionIDs(f), Dim: dim}, true
}

// Names lists all names, sorted.
func (v vocabulary) Names() []string { return v.names }
