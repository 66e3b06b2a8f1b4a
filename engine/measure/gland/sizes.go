package gland

import (
	"math"

	"seepwright/rules/unit"
)

// OutsideDiameter is the outside diameter of a free ring.
//
//	d2 = d1 + 2 d
//
// Source: geometry; standing: confirmed.
func OutsideDiameter(ringID, cord unit.Length) (unit.Length, error) {
	if err := first(positive("the ring's inside diameter", ringID), positive("the cord", cord)); err != nil {
		return 0, err
	}
	return ringID + 2*cord, nil
}

// ClassBTolerance is the tolerance (plus and minus) of a ring's inside diameter.
//
//	T = 0.009 d1^0.95 + 0.11      T, d1 millimetres
//
// Valid for d1 from 0.7 to 700 mm. Source: ISO 3601-1 class B annex rule; standing: confirmed
// (its printed examples come out with the exponent 0.95).
func ClassBTolerance(ringID unit.Length) (unit.Length, error) {
	if err := positive("the ring's inside diameter", ringID); err != nil {
		return 0, err
	}
	if ringID < 0.7*unit.Millimetre || ringID > 700*unit.Millimetre {
		return 0, because("the ring's inside diameter", "lies outside 0.7 to 700 mm", "the rule does not reach there")
	}
	return unit.Length(0.009*math.Pow(ringID.Millimetres(), 0.95)+0.11) * unit.Millimetre, nil
}
