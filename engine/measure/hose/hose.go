// Package hose computes a rubber hose clamped on a spigot: stretch, blow-off, band pressure, grip,
// how a clamp stands in its range, and how round the spigot must be.
// It knows no clamp types and no tables of torque.
package hose

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func first(errs ...error) error { return refuse.First(errs...) }

func positive[T ~float64](what string, x T) error { return refuse.Positive(what, float64(x)) }

// Stretch is how much the spigot opens the hose.
//
//	e = (Ds - Dh) / Dh      Ds spigot outside, Dh hose bore, metres
//
// Below 0 the hose is loose before clamping. Source: geometry; standing: confirmed. Rubber hose on a
// plain spigot wants 2 to 8 % (common practice).
func Stretch(bore, spigot unit.Length) (unit.Ratio, error) {
	if err := first(positive("the hose bore", bore), positive("the spigot", spigot)); err != nil {
		return 0, err
	}
	return unit.Ratio((spigot - bore) / bore), nil
}

// BlowOff is the force with which pressure pushes the hose off its spigot.
//
//	F = p pi D^2 / 4      D spigot outside
//
// Valid for p >= 0. Source: force balance; standing: confirmed.
func BlowOff(spigot unit.Length, p unit.Pressure) (unit.Force, error) {
	if err := first(positive("the spigot", spigot), refuse.NotNegative("the pressure", float64(p))); err != nil {
		return 0, err
	}
	return unit.Force(float64(p) * math.Pi / 4 * float64(spigot*spigot)), nil
}

// BandPressure is the mean pressure of a band on the hose under it.
//
//	p = 2 T / (w D)      T tension in the band, w its width, D diameter of the band
//
// An upper bound: friction eats tension away from the screw. Source: hoop balance; standing: confirmed.
func BandPressure(tension unit.Force, width, diameter unit.Length) (unit.Pressure, error) {
	if err := first(refuse.NotNegative("the band tension", float64(tension)), positive("the band width", width), positive("the diameter of the band", diameter)); err != nil {
		return 0, err
	}
	return unit.Pressure(2 * float64(tension) / float64(width*diameter)), nil
}

// Grip is the force that the band holds against pulling off.
//
//	F = m p pi D w      m friction of rubber on the spigot, p pressure on it, D spigot
//
// An upper bound, with the band's pressure reaching the spigot undiminished. Valid for 0 <= m <= 1.5.
// Source: friction balance; standing: confirmed as a bound.
func Grip(p unit.Pressure, spigot, width unit.Length, friction unit.Ratio) (unit.Force, error) {
	if err := first(refuse.NotNegative("the band pressure", float64(p)), positive("the spigot", spigot), positive("the band width", width), refuse.Within("the friction", float64(friction), 0, 1.5, "wet rubber has about 0.3, dry 0.7")); err != nil {
		return 0, err
	}
	return unit.Force(float64(friction) * float64(p) * math.Pi * float64(spigot*width)), nil
}

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

// RoundnessLimit is how far out of round (largest less smallest diameter) a spigot may be.
//
//	0.3 mm or 1 % of the diameter, whichever is less
//
// Source: common practice; standing: common practice.
func RoundnessLimit(spigot unit.Length) (unit.Length, error) {
	if err := positive("the spigot", spigot); err != nil {
		return 0, err
	}
	return min(0.3*unit.Millimetre, spigot/100), nil
}

// WallShrink is how much a hose wall thins on cooling: a t dT. It is what a hard clamp must follow.
// Valid for 0 <= dT <= 300 K. Source: definition; standing: confirmed (expansion of rubber from memory).
func WallShrink(wall unit.Length, a unit.Expansion, fall unit.Kelvin) (unit.Length, error) {
	if err := first(positive("the hose wall", wall), refuse.Within("the expansion of the rubber", float64(a), 0, 1e-3, "rubbers have 1 to 3 e-4 per kelvin"), refuse.Within("the fall of temperature", float64(fall), 0, 300, "give it in kelvin")); err != nil {
		return 0, err
	}
	return wall * unit.Length(float64(a)*float64(fall)), nil
}

// CoilGap is the gap between the coils of a spring clamp that was screwed solid and turned back.
//
//	g = n P / k      n turns back, P pitch of the screw, k gaps between coils
//
// Source: geometry; standing: confirmed (a clamp note prints about the same).
func CoilGap(turns float64, pitch unit.Length, gaps int) (unit.Length, error) {
	if err := first(refuse.NotNegative("the turns", turns), positive("the pitch of the screw", pitch)); err != nil {
		return 0, err
	}
	if gaps < 1 {
		return 0, refuse.Because("the number of gaps", "is below 1", "count the gaps between the coils")
	}
	return unit.Length(turns) * pitch / unit.Length(gaps), nil
}
