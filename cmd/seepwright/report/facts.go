package report

import (
	"fmt"
	"strings"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// FactRow is one word of the vocabulary for a program.
type FactRow struct {
	Fact    string   `json:"fact"`
	Ask     string   `json:"ask"`
	Answer  string   `json:"answer"`
	Options []string `json:"options,omitempty"`
	Unit    string   `json:"unit,omitempty"`
	Dim     string   `json:"dimension,omitempty"`
	Least   string   `json:"least,omitempty"`
	Most    string   `json:"most,omitempty"`
	Scope   string   `json:"scope"`
	Stage   string   `json:"stage"`
	For     []string `json:"for"`
	Asked   bool     `json:"asked"` // false: filled by rules
	Why     string   `json:"why,omitempty"`
}

// FactRows lists facts for a program.
func FactRows(list []*rules.Fact) []FactRow {
	out := []FactRow{}
	for _, f := range list {
		r := FactRow{Fact: f.ID, Ask: f.Ask, Answer: string(f.Answer), Scope: string(f.Scope), Stage: string(f.Stage), For: f.For, Asked: !f.Engine, Why: f.Why, Dim: string(f.Dim)}
		if r.For == nil {
			r.For = []string{}
		}
		for _, o := range f.Options {
			r.Options = append(r.Options, o.ID)
		}
		if f.Dim != "" {
			r.Unit = unit.Standard(f.Dim).Symbol
		}
		if f.Least != nil {
			r.Least = f.Least.Shown().String()
		}
		if f.Most != nil {
			r.Most = f.Most.Shown().String()
		}
		out = append(out, r)
	}
	return out
}

// FactList lists facts for a person.
func FactList(list []*rules.Fact) []Block {
	p := &page{}
	for _, r := range FactRows(list) {
		p.add(Item, "%s: %s", r.Fact, r.Ask)
		s := r.Answer
		switch fact.Type(r.Answer) {
		case fact.Choice, fact.Several:
			s += ": " + strings.Join(r.Options, ", ")
		case fact.Number, fact.Readings:
			s += fmt.Sprintf(" (%s, such as %s)", r.Dim, strings.Join(head(unit.Names(unit.Dimension(r.Dim)), 3), ", "))
			if r.Least != "" || r.Most != "" {
				s += fmt.Sprintf("; usual from %s to %s", r.Least, r.Most)
			}
		}
		s += "; " + r.Scope + "; " + r.Stage
		if !r.Asked {
			s += "; never asked, filled by rules"
		}
		p.add(Note, "%s", s)
	}
	return p.blocks
}

func head(s []string, n int) []string { return s[:min(n, len(s))] }
