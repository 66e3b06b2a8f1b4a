package hose

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// RangeUse is where in its range a clamp works: 0 is fully closed, 1 fully open.
//
//	x = (D - Dmin) / (Dmax - Dmin)
//
// D is the outside of the hose on its spigot. Outside 0 to 1 the clamp does not fit, and the figure
// says so. Source: definition; standing: confirmed. BestRange gives the middle 60 %.
func RangeUse(least, greatest, hoseOD unit.Length) (unit.Ratio, error) {
	if err := first(positive("the hose outside", hoseOD), clamp(least, greatest)); err != nil {
		return 0, err
	}
	return unit.Ratio((hoseOD - least) / (greatest - least)), nil
}

// BestRange is the middle 60 % of a clamp's range: at its ends the band is not round.
// Source: common practice.
func BestRange(least, greatest unit.Length) (low, high unit.Length, err error) {
	if err := clamp(least, greatest); err != nil {
		return 0, 0, err
	}
	d := greatest - least
	return least + d/5, greatest - d/5, nil
}

func clamp(least, greatest unit.Length) error {
	if err := first(positive("the clamp's smallest diameter", least), positive("the clamp's largest diameter", greatest)); err != nil {
		return err
	}
	if least >= greatest {
		return refuse.Because("the clamp's smallest diameter", "is not below its largest", "read the range stamped on the band, smaller figure first")
	}
	return nil
}

// ClampFor is which clamps of a span hold this hose in the middle 60 % of their range: the stamped smallest
// diameter lies between the two.
//
//	Dmin = D - x S      x = 0.8 ... 0.2, S span of the clamp (largest less smallest)
//
// Source: BestRange solved; standing: common practice.
func ClampFor(hoseOD, span unit.Length) (lowest, highest unit.Length, err error) {
	if err := first(positive("the hose outside", hoseOD), positive("the span of the clamp", span)); err != nil {
		return 0, 0, err
	}
	if span >= hoseOD {
		return 0, 0, refuse.Because("the span of the clamp", "is not below the hose outside", "give largest less smallest diameter as stamped")
	}
	return hoseOD - span*8/10, hoseOD - span*2/10, nil
}

// ClosedBy is how much smaller in diameter a worm clamp gets when its screw is turned.
//
//	dD = n P / pi      n turns, P pitch of the slots in the band
//
// Source: geometry of the band; standing: confirmed. A hose gives way by half of it on each side.
func ClosedBy(turns float64, pitch unit.Length) (unit.Length, error) {
	if err := first(notNegative("the turns", turns), positive("the pitch of the slots", pitch)); err != nil {
		return 0, err
	}
	return unit.Length(turns/math.Pi) * pitch, nil
}

// TurnsFor is how many turns of a worm screw follow a wall that has become thinner: n = 2 pi x / P.
// Source: ClosedBy solved, x on each side; standing: confirmed.
func TurnsFor(thinner, pitch unit.Length) (float64, error) {
	if err := first(notNegative("the thinning of the wall", thinner), positive("the pitch of the slots", pitch)); err != nil {
		return 0, err
	}
	return 2 * math.Pi * float64(thinner/pitch), nil
}
