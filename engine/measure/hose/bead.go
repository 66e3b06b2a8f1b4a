package hose

import (
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// BeadHeight is how far a bead stands above the land behind it: (Db - Ds) / 2.
// Source: geometry; standing: confirmed.
func BeadHeight(bead, spigot unit.Length) (unit.Length, error) {
	if err := first(positive("the bead", bead), positive("the spigot", spigot)); err != nil {
		return 0, err
	}
	if bead < spigot {
		return 0, refuse.Because("the bead", "is smaller than the spigot behind it", "measure over the bead, then on the plain land")
	}
	return (bead - spigot) / 2, nil
}

// OverBead is how much the bead opens the hose while it is pushed on: Stretch over the bead.
// Source: geometry; standing: confirmed.
func OverBead(bore, bead unit.Length) (unit.Ratio, error) {
	if err := positive("the bead", bead); err != nil {
		return 0, err
	}
	return Stretch(bore, bead)
}

// Land is what sits on the plain land of a spigot, from the bead to the end of the hose.
type Land struct {
	Band      unit.Length // width of one band
	Bands     int
	FromBead  unit.Length // bead to first band
	Between   unit.Length // band to band
	ToHoseEnd unit.Length // last band to the cut end of the hose
}

// Least is the land that all of it wants behind the bead.
//
//	L = a + n w + (n - 1) g + e
//
// The trade's distances are 1.5 to 6 mm from the bead, about 6 mm between bands, 3 to 6 mm to the hose end; its
// short rules, band + 6 mm and two bands + 10 mm, lie near the lower edge of that. Source: sum of lengths;
// standing: confirmed, the distances common practice.
func (l Land) Least() (unit.Length, error) {
	if err := first(positive("the band width", l.Band), notNegative("the distance from the bead", l.FromBead), notNegative("the distance between bands", l.Between), notNegative("the distance to the hose end", l.ToHoseEnd)); err != nil {
		return 0, err
	}
	if l.Bands < 1 || l.Bands > 4 {
		return 0, refuse.Because("the number of bands", "is not 1 to 4", "one band is the rule, two where the land is long enough")
	}
	n := unit.Length(l.Bands)
	return l.FromBead + n*l.Band + (n-1)*l.Between + l.ToHoseEnd, nil
}

// Widest is the widest band for which the land is long enough: Least solved for w. It is 0 where nothing fits.
func (l Land) Widest(land unit.Length) (unit.Length, error) {
	l.Band = unit.Millimetre // any width: the sum is linear in it
	need, err := l.Least()
	if err != nil {
		return 0, err
	}
	if err := positive("the land", land); err != nil {
		return 0, err
	}
	n := unit.Length(l.Bands)
	return max(0, (land-need+n*l.Band)/n), nil
}
