package engine

import (
	"strings"

	"seepwright/rules"
	"seepwright/rules/fact"
)

// Say puts the value of a fact in words, with the titles of its options.
func Say(f *rules.Fact, v fact.Value) string {
	if f == nil || !v.Answered() {
		return v.String()
	}
	switch v.Type {
	case fact.Choice:
		return optionTitle(f, v.Option)
	case fact.Several:
		var parts []string
		for _, o := range v.Is {
			parts = append(parts, optionTitle(f, o))
		}
		for _, o := range v.Not {
			parts = append(parts, "not "+optionTitle(f, o))
		}
		return strings.Join(parts, ", ")
	}
	return v.String()
}

func optionTitle(f *rules.Fact, id string) string {
	for _, o := range f.Options {
		if o.ID == id && o.Title != "" {
			return o.Title
		}
	}
	return id
}

// sayFinding is a fact and its value as one short phrase.
func sayFinding(f *rules.Fact, v fact.Value) string {
	return strings.TrimSuffix(title(f), "?") + ": " + Say(f, v)
}

// plainValue is a value for a program, in the vocabulary of answers files.
func plainValue(v fact.Value) (value any, unit string, uncertainty float64) {
	if !v.Answered() {
		return string(v.State), "", 0
	}
	switch v.Type {
	case fact.YesNo:
		return v.String(), "", 0
	case fact.Choice:
		return v.Option, "", 0
	case fact.Several:
		return map[string][]string{"is": nonNil(v.Is), "not": nonNil(v.Not)}, "", 0
	case fact.Number:
		q := v.Num.Shown()
		return q.Number, q.Unit.Symbol, v.Num.ShownU()
	case fact.Readings:
		type reading struct {
			At    string  `json:"at,omitempty"`
			Value float64 `json:"value"`
		}
		rows := []reading{}
		for _, r := range v.Rows {
			q := r.Shown()
			rows = append(rows, reading{r.At, q.Number})
			unit, uncertainty = q.Unit.Symbol, max(uncertainty, r.ShownU())
		}
		return rows, unit, uncertainty
	}
	return v.String(), "", 0
}
