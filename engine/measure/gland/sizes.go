package gland

import (
	"math"

	"seepwright/rules/unit"
)

// OutsideDiameter is the outside diameter of a free ring.
//
//	d2 = d1 + 2 d
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

// Size is one standard ring of a table that the caller brings.
type Size struct {
	Name                     string
	ID, Cord, IDTol, CordTol unit.Length
}

// Match is the standard size nearest to a measured ring.
type Match struct {
	Size   Size
	ByID   unit.Length // measured less standard inside diameter
	Inside bool        // measured diameter and cord lie within the tolerance of a new ring
}

// Nearest finds the standard size of the nearest section whose inside diameter is nearest.
// Cord first, for a worn ring loses less of its cord than families of cords differ. Ties go to the
// first in the table. A used ring has grown, shrunk or set: the match is a hint, not proof.
// Refused for an empty table. Source: practice of the trade; standing: common practice.
func Nearest(table []Size, ringID, cord unit.Length) (Match, error) {
	if err := first(positive("the ring's inside diameter", ringID), positive("the cord", cord)); err != nil {
		return Match{}, err
	}
	if len(table) == 0 {
		return Match{}, because("the table of sizes", "is empty", "give a table of standard rings")
	}
	far := func(a, b unit.Length) float64 { return math.Abs(float64(a - b)) }
	section := table[0].Cord
	for _, s := range table {
		if far(s.Cord, cord) < far(section, cord) {
			section = s.Cord
		}
	}
	best := -1
	for i, s := range table {
		if s.Cord == section && (best < 0 || far(s.ID, ringID) < far(table[best].ID, ringID)) {
			best = i
		}
	}
	s := table[best]
	return Match{s, ringID - s.ID, far(s.ID, ringID) <= float64(s.IDTol) && far(s.Cord, cord) <= float64(s.CordTol)}, nil
}
