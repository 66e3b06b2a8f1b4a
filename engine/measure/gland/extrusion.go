package gland

import (
	"fmt"
	"strings"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Band is one row of a published table of extrusion gaps.
type Band struct {
	Hardness unit.Hardness
	From, To unit.Pressure // From < p <= To; a first row starts at 0 and includes it
	Gap      unit.Length   // greatest diametral clearance without a back-up ring
}

// GapTable is one published table by its name.
type GapTable struct {
	Name  string
	Bands []Band
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

// GapAnswer is what one table says.
type GapAnswer struct {
	Table    string
	Hardness unit.Hardness // of the row that was used
	Gap      unit.Length   // greatest diametral clearance
	Pressure unit.Pressure // or greatest pressure, where that was asked
	Err      error         // why the table has no answer
}

// StrictestGap asks several published tables and gives the strictest answer together with all of them.
//
// Tables that hold this very hardness decide. Where none does, all are asked for the next softer hardness
// that any of them holds, and the answer names it. Off centre the whole clearance lies on one side; the
// tables allow for that, so that the limit is on the diameter. Refused where no table reaches: a pressure
// beyond them all, or a ring softer than all of them. Source: those of the tables; standing: as theirs, the step to
// the next softer row is common practice (a softer ring extrudes sooner).
func StrictestGap(tables []GapTable, hardness unit.Hardness, p unit.Pressure) (GapAnswer, []GapAnswer, error) {
	row, err := rowHardness(tables, hardness)
	if err != nil {
		return GapAnswer{}, nil, err
	}
	var all []GapAnswer
	best := -1
	for _, t := range tables {
		a := GapAnswer{Table: t.Name, Hardness: row, Pressure: p}
		a.Gap, a.Err = GreatestGap(t.Bands, row, p)
		all = append(all, a)
		if a.Err == nil && (best < 0 || a.Gap < all[best].Gap) {
			best = len(all) - 1
		}
	}
	if best < 0 {
		return GapAnswer{}, all, whyNone(all)
	}
	return all[best], all, nil
}

// StrictestPressure is the largest pressure that published tables allow for a diametral clearance, by the
// table that allows least, together with all answers. Hardness is handled as in StrictestGap.
//
//	P = greatest To of the bands, from 0 upwards, whose gap is at least the clearance
//
// Refused where the clearance is too wide even without pressure in every table that has the hardness.
// Source: those of the tables, read backwards; standing: as theirs.
func StrictestPressure(tables []GapTable, hardness unit.Hardness, clearance unit.Length) (GapAnswer, []GapAnswer, error) {
	if err := notNegative("the diametral clearance", clearance); err != nil {
		return GapAnswer{}, nil, err
	}
	row, err := rowHardness(tables, hardness)
	if err != nil {
		return GapAnswer{}, nil, err
	}
	var all []GapAnswer
	best := -1
	for _, t := range tables {
		a := GapAnswer{Table: t.Name, Hardness: row, Gap: clearance}
		seen := false
		for more := true; more; {
			more = false
			for _, b := range t.Bands {
				if b.Hardness != row {
					continue
				}
				seen = true
				if b.From <= a.Pressure && b.To > a.Pressure && clearance <= b.Gap*(1+1e-9) {
					a.Pressure, more = b.To, true
				}
			}
		}
		switch {
		case !seen:
			a.Err = because("the hardness", fmt.Sprintf("%g Shore A is not in the table", float64(row)), "use the next softer row that the table has")
		case a.Pressure == 0:
			a.Err = because("the diametral clearance", fmt.Sprintf("of %.3g mm is wider than the table allows at any pressure", clearance.Millimetres()), "fit a back-up ring, a harder ring or closer parts")
		}
		all = append(all, a)
		if seen && (best < 0 || a.Pressure < all[best].Pressure) {
			best = len(all) - 1
		}
	}
	if best < 0 {
		return GapAnswer{}, all, whyNone(all)
	}
	return all[best], all, all[best].Err
}

// rowHardness is the hardness itself where a table holds it, else the next softer one that any holds.
func rowHardness(tables []GapTable, hardness unit.Hardness) (unit.Hardness, error) {
	if err := refuse.Within("the hardness", float64(hardness), 20, 100, "give it in Shore A; sealing rings have 40 to 95"); err != nil {
		return 0, err
	}
	var row, softest unit.Hardness
	for _, t := range tables {
		for _, b := range t.Bands {
			if b.Hardness <= hardness {
				row = max(row, b.Hardness)
			}
			if softest == 0 || b.Hardness < softest {
				softest = b.Hardness
			}
		}
	}
	if softest == 0 {
		return 0, because("the table of clearances", "is empty", "give a table with hardness, pressure and clearance")
	}
	if row == 0 {
		return 0, because("the hardness", fmt.Sprintf("is %g Shore A, and the softest ring in the tables has %g", float64(hardness), float64(softest)), "such a soft ring wants a back-up ring or parts that touch")
	}
	return row, nil
}

// whyNone joins what each table said.
func whyNone(all []GapAnswer) error {
	var said []string
	for _, a := range all {
		said = append(said, a.Table+": "+a.Err.Error())
	}
	return because("the clearance", "is in none of the tables", strings.Join(said, "; "))
}

// SiliconeGap is the clearance for silicone rings: half of the tabulated one, for the rubber is
// soft and tears. Source: O-ring handbook rule; standing: confirmed as a rule.
func SiliconeGap(tabulated unit.Length) (unit.Length, error) {
	return tabulated / 2, positive("the tabulated clearance", tabulated)
}

// SwellingBoreGap is the clearance where pressure widens the bore itself (thin cylinders, long bolts):
// three quarters of the tabulated one. Source: O-ring design notes (table oring-limits); standing: confirmed as a rule.
func SwellingBoreGap(tabulated unit.Length) (unit.Length, error) {
	return tabulated * 3 / 4, positive("the tabulated clearance", tabulated)
}

// LocalGap is the gap through which the ring could be pushed, on the side where it is widest.
//
//	g = c / 2 + e      c diametral clearance, e offset of the inner part; all of it, c, when it lies against one side
//
// Valid for 0 <= e <= c/2. Source: geometry; standing: confirmed.
func LocalGap(clearance, offset unit.Length) (unit.Length, error) {
	if err := first(notNegative("the diametral clearance", clearance), notNegative("the offset", offset)); err != nil {
		return 0, err
	}
	if float64(offset) > float64(clearance)/2*(1+1e-9) {
		return 0, because("the offset", "is more than half the clearance", "the inner part would be inside the wall: measure both again")
	}
	return clearance/2 + offset, nil
}
