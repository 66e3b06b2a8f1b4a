package gland

import (
	"fmt"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Band is one row of a published table of extrusion gaps.
type Band struct {
	Hardness unit.Hardness
	From, To unit.Pressure // From < p <= To; a first row starts at 0 and includes it
	Gap      unit.Length   // greatest diametral clearance without a back-up ring
}

// GreatestGap is the greatest diametral clearance for a ring of this hardness at this pressure,
// read from the table given. Rows of other hardness are not used and nothing is interpolated:
// a hardness or pressure that the table does not hold is refused.
// Source and standing: those of the table.
func GreatestGap(table []Band, hardness unit.Hardness, p unit.Pressure) (unit.Length, error) {
	if err := first(refuse.Positive("the hardness", float64(hardness)), refuse.NotNegative("the pressure", float64(p))); err != nil {
		return 0, err
	}
	var top unit.Pressure
	seen := false
	for _, b := range table {
		if b.Hardness != hardness {
			continue
		}
		seen = true
		top = max(top, b.To)
		if p <= b.To && (p > b.From || b.From == 0) {
			return b.Gap, nil
		}
	}
	if !seen {
		return 0, because("the hardness", fmt.Sprintf("%g Shore A is not in the table", float64(hardness)), "use the next softer row that the table has")
	}
	return 0, because("the pressure", fmt.Sprintf("lies outside the table, which ends at %.4g MPa", float64(top)/1e6), "a back-up ring is wanted above that")
}

// SiliconeGap is the clearance for silicone rings: half of the tabulated one, for the rubber is
// soft and tears. Source: O-ring handbook rule; standing: confirmed as a rule.
func SiliconeGap(tabulated unit.Length) (unit.Length, error) {
	return tabulated / 2, positive("the tabulated clearance", tabulated)
}
