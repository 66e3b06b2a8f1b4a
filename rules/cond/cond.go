// Package cond reads and evaluates the conditions of rules: three-valued, with units and
// measuring uncertainty.
// It knows no documents and asks no questions; it says which facts it lacks.
package cond

import (
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// Cond is a parsed condition. The nil Cond is always true.
type Cond struct {
	Text string
	root node
}

// Problem is a mistake in a condition: where in its text (in letters, from 0), how long, what and what to do.
type Problem struct {
	Code    string
	At, Len int
	What    string
	Hint    string
}

// Spec is what a condition may know about a fact.
type Spec struct {
	Type    fact.Type
	Options []string
	Dim     unit.Dimension
}

// Vocabulary is the set of facts that a condition may name.
type Vocabulary interface {
	Spec(name string) (Spec, bool)
	Names() []string
}

// Env gives the value of a fact. ok is false when nothing is known of it yet.
// contradicted is true when it has two values that cannot both be true.
type Env interface {
	Value(name string) (v fact.Value, ok bool, contradicted bool)
}

// Reason tells why a fact does not settle a condition.
type Reason string

// The reasons. Only NotAsked is worth a question; TooCoarse is worth a better instrument.
const (
	NotAsked     Reason = "not asked"
	CantTell     Reason = "asked, not known"
	CantGet      Reason = "cannot be got at"
	TooCoarse    Reason = "too close to call with this instrument"
	Contradicted Reason = "contradicted"
)

// Lack is one fact that keeps a condition unknown.
type Lack struct {
	Fact   string
	Reason Reason
	NeedU  float64 // TooCoarse: the expanded uncertainty (SI) below which it would be settled
}

// Outcome is the truth of a condition and, when unknown, what it lacks.
type Outcome struct {
	Truth fact.Truth
	Lacks []Lack
}
