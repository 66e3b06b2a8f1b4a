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
