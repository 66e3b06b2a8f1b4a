// Package gland computes how an O-ring sits in its groove: squeeze, stretch, fill, set, follow-up, heat and
// contact pressure, with every tolerance, round an oval, tapered or off-centre bore, and the limits solved for.
// It knows no tables, no materials and no limits: every table value comes in as an argument.
package gland

import (
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Span is a dimension between its limits of size.
type Span struct{ Min, Max unit.Length }

// PlusMinus is the span nominal - tol to nominal + tol.
func PlusMinus(nominal, tol unit.Length) Span { return Span{nominal - tol, nominal + tol} }

// Mid is the middle of the span.
func (s Span) Mid() unit.Length { return (s.Min + s.Max) / 2 }

// Half is half the width of the span.
func (s Span) Half() unit.Length { return (s.Max - s.Min) / 2 }

func (s Span) check(what string) error {
	if s.Min == s.Max {
		return refuse.Positive("the "+what, float64(s.Min))
	}
	if err := refuse.First(refuse.Positive("the least "+what, float64(s.Min)), refuse.Positive("the greatest "+what, float64(s.Max))); err != nil {
		return err
	}
	if s.Max < s.Min {
		return refuse.Because("the greatest "+what, "is smaller than the least", "swap the two limits")
	}
	return nil
}

func positive(what string, l unit.Length) error { return refuse.Positive(what, float64(l)) }

func share(what string, r unit.Ratio, hi float64, instead string) error {
	return refuse.Within(what, float64(r), 0, hi, instead)
}
