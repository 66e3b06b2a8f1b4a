package gland

import (
	"fmt"
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// LeadIn is one row of a published table of lead-in lengths; 0 means that none is printed.
type LeadIn struct{ Cord, Static, Moving unit.Length }

// LeastLeadIn is the shortest lead-in for a cord, static or moving, from a published table.
//
// Where the table does not hold the cord the next larger row is used, and row names it. A cord thicker
// than the last row is refused, and one more than a tenth of a millimetre thinner than the first row
// too: the nearest row is not taken in silence. Source: that of the table; standing: as the table's, the step to the next
// larger row is common practice (too long a lead-in does no harm).
func LeastLeadIn(table []LeadIn, cord unit.Length, moving bool) (length unit.Length, row LeadIn, err error) {
	if err := positive("the cord", cord); err != nil {
		return 0, LeadIn{}, err
	}
	of := func(r LeadIn) unit.Length {
		if moving {
			return r.Moving
		}
		return r.Static
	}
	var least, most unit.Length
	found := false
	for _, r := range table {
		if of(r) <= 0 {
			continue
		}
		if least == 0 || r.Cord < least {
			least = r.Cord
		}
		most = max(most, r.Cord)
		if float64(r.Cord) >= float64(cord)*(1-1e-9) && (!found || r.Cord < row.Cord) {
			row, found = r, true
		}
	}
	switch {
	case least == 0:
		return 0, LeadIn{}, because("the table of lead-ins", "is empty for this duty", "give a table with cord and length")
	case !found:
		return 0, LeadIn{}, because("the cord", fmt.Sprintf("of %.3g mm lies outside the table, which ends at %.3g mm", cord.Millimetres(), most.Millimetres()), "take the lead-in from the maker's drawing, or a little more than the squeeze needs")
	case cord < least-0.1*unit.Millimetre:
		return 0, LeadIn{}, because("the cord", fmt.Sprintf("of %.3g mm lies outside the table, which begins at %.3g mm", cord.Millimetres(), least.Millimetres()), "take the lead-in from the maker's drawing, or a little more than the squeeze needs")
	}
	return of(row), row, nil
}

// LeadInNeeded is the length of lead-in that lets the free ring enter without meeting an edge.
//
//	L = (d2 - D) / (2 tan b)      d2 outside diameter of the ring on its groove, D bore, b angle of the lead-in to the axis
//
// The ring enters where the mouth of the lead-in is as wide as the ring. Half of the ring's excess on the diameter lies on each
// side; off centre all of it, so that twice this length is the cautious figure. Valid for d2 > D > 0, 5 to 45 degrees.
// Source: geometry; standing: confirmed.
func LeadInNeeded(over, bore unit.Length, angle unit.Angle) (unit.Length, error) {
	if err := first(positive("the outside diameter of the fitted ring", over), positive("the bore", bore), leadAngle(angle)); err != nil {
		return 0, err
	}
	if over <= bore {
		return 0, because("the fitted ring", "is no larger than the bore", "there is no squeeze, so that it needs no lead-in and does not seal")
	}
	return (over - bore) / 2 / unit.Length(math.Tan(float64(angle))), nil
}

func leadAngle(angle unit.Angle) error {
	return refuse.Within("the angle of the lead-in", float64(angle/unit.Degree), 5, 45, "15 to 20 degrees to the axis is usual")
}
