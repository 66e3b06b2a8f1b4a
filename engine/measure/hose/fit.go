package hose

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

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

// SpigotFor is which spigots stretch a hose of this bore within a band.
//
//	Ds = Dh (1 + e)      e least and greatest stretch
//
// Valid for -0.5 < least <= greatest <= 1. Source: Stretch solved; standing: confirmed.
func SpigotFor(bore unit.Length, least, greatest unit.Ratio) (low, high unit.Length, err error) {
	if err := first(positive("the hose bore", bore), band(least, greatest)); err != nil {
		return 0, 0, err
	}
	return bore * unit.Length(1+least), bore * unit.Length(1+greatest), nil
}

// BoreFor is which hose bores are stretched by this spigot within a band: Dh = Ds / (1 + e).
// The tightest hose comes first. Source: Stretch solved; standing: confirmed.
func BoreFor(spigot unit.Length, least, greatest unit.Ratio) (low, high unit.Length, err error) {
	if err := first(positive("the spigot", spigot), band(least, greatest)); err != nil {
		return 0, 0, err
	}
	return spigot / unit.Length(1+greatest), spigot / unit.Length(1+least), nil
}

// OutsideOn is the outside of a hose that has been pushed on its spigot.
//
//	Do = sqrt( Ds^2 + (Dh + 2 t)^2 - Dh^2 )      t wall of the free hose
//
// The wall keeps its volume and its length, so it thins as it stretches. A hose looser than its spigot is
// taken as pressed down on it. Source: rubber keeps its volume; standing: confirmed for plain rubber, a
// braid that shortens the hose makes the wall a little thicker.
func OutsideOn(bore, wall, spigot unit.Length) (unit.Length, error) {
	if err := first(positive("the hose bore", bore), positive("the hose wall", wall), positive("the spigot", spigot)); err != nil {
		return 0, err
	}
	free := bore + 2*wall
	return unit.Length(math.Sqrt(float64(spigot*spigot + free*free - bore*bore))), nil
}

func band(least, greatest unit.Ratio) error {
	if err := first(refuse.Within("the least stretch", float64(least), -0.5, 1, "2 % is usual"), refuse.Within("the greatest stretch", float64(greatest), -0.5, 1, "8 % is usual")); err != nil {
		return err
	}
	if least > greatest {
		return refuse.Because("the least stretch", "is above the greatest", "give the smaller figure first")
	}
	return nil
}
