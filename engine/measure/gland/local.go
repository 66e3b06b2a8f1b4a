package gland

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Oval is a bore as its two-point diameters see it: D(a) = Mean + Semi cos 2(a - Major).
// Angles run clockwise from 12 o'clock.
type Oval struct {
	Mean, Semi unit.Length
	Major      unit.Angle // where it is widest; the opposite side is as wide
}

// Round is a round bore.
func Round(bore unit.Length) Oval { return Oval{Mean: bore} }

// Offset says how far and towards which side the inner part sits off the bore's middle.
type Offset struct {
	By      unit.Length
	Towards unit.Angle
}

// Local is the squeeze at one place round the ring.
type Local struct {
	Squeeze unit.Length
	Share   unit.Ratio
	At      unit.Angle // clockwise from 12 o'clock, 0 to 2 pi
}

// SqueezeAround finds the least and the greatest squeeze round the circumference of a groove
// in an oval bore, with the inner part off its middle.
//
//	s(a) = d - [ (D(a) - dg) / 2 - e cos(a - b) ]
//
// d cord, D(a) bore diameter in direction a, dg groove diameter, e and b the offset. The bore is
// taken as symmetric (two-point diameters see no odd lobes) and the groove as round; see SqueezeBetween
// for a groove or a rod out of round. Of equal places the first clockwise from 12 is named. A squeeze
// below 0 is a gap. Valid for 0 <= Semi < Mean/10, 0 <= e, groove smaller than the bore all round.
// Angles are found to 1e-9 rad. Source: geometry; standing: confirmed.
func SqueezeAround(cord, groove unit.Length, bore Oval, off Offset) (least, greatest Local, err error) {
	if err := positive("the groove diameter", groove); err != nil {
		return Local{}, Local{}, err
	}
	return SqueezeBetween(cord, Round(groove), bore, off)
}

// SqueezeBetween is SqueezeAround with both parts out of round.
//
//	s(a) = d - [ (Do(a) - Di(a)) / 2 - e cos(a - b) ]
//
// Do the outer part (the bore; or the groove in a rod gland's housing), Di the inner part (the groove of
// a piston; or the rod). Valid for the same as SqueezeAround, of both parts.
// Source: geometry; standing: confirmed.
func SqueezeBetween(cord unit.Length, inner, outer Oval, off Offset) (least, greatest Local, err error) {
	err = first(positive("the cord", cord), inner.check("inner part"), outer.check("bore"),
		notNegative("the offset", off.By), refuse.Finite("the direction of the offset", float64(off.Towards)))
	if err != nil {
		return
	}
	depth := func(a float64) float64 {
		return (outer.at(a)-inner.at(a))/2 - float64(off.By)*math.Cos(a-float64(off.Towards))
	}
	at := func(a float64) Local {
		s := float64(cord) - depth(a)
		return Local{unit.Length(s), unit.Ratio(s / float64(cord)), unit.Angle(wrap(a))}
	}
	least, greatest = at(peak(depth)), at(peak(func(a float64) float64 { return -depth(a) }))
	if greatest.Squeeze >= cord {
		return Local{}, Local{}, because("the inner part", "would touch the bore before it got there", "give an offset of at most half the clearance, and a groove smaller than the bore")
	}
	return least, greatest, nil
}

// At is the diameter in one direction.
func (o Oval) At(a unit.Angle) unit.Length { return unit.Length(o.at(float64(a))) }

// at is the diameter in one direction.
func (o Oval) at(a float64) float64 {
	return float64(o.Mean) + float64(o.Semi)*math.Cos(2*(a-float64(o.Major)))
}

func (o Oval) check(what string) error {
	return first(positive("the mean diameter of the "+what, o.Mean),
		refuse.Within("the ovality of the "+what, float64(o.Semi/o.Mean), 0, 0.1, "this is not a part out of round but one of another shape: measure it again"),
		refuse.Finite("the direction of the widest place of the "+what, float64(o.Major)))
}

// peak is the angle in [0, 2 pi) where f, a sum of one- and two-wave terms, is greatest.
// Such a sum has at most two peaks, so that 360 steps cannot miss one that matters.
func peak(f func(float64) float64) float64 {
	const steps = 360
	h := 2 * math.Pi / steps
	best, top := 0.0, f(0)
	for i := 1; i < steps; i++ {
		// the margin keeps rounding from moving a tie away from the first place
		if v := f(float64(i) * h); v > top+1e-15*math.Abs(top) {
			best, top = float64(i)*h, v
		}
	}
	lo, hi := best-h, best+h
	for range 70 {
		third := (hi - lo) / 3
		if f(lo+third) < f(hi-third) {
			lo += third
		} else {
			hi -= third
		}
	}
	if mid := (lo + hi) / 2; f(mid) > top {
		return mid
	}
	return best
}

func wrap(a float64) float64 {
	a = math.Mod(a, 2*math.Pi)
	if a < 0 {
		a += 2 * math.Pi
	}
	if a >= 2*math.Pi-1e-9 {
		return 0
	}
	return a
}

// SqueezeHardOver is the least squeeze when the inner part lies against one side of the bore.
//
//	s = d - [ (D - dg) / 2 + (D - ds) / 2 ]      D the widest diameter, ds the land or spigot beside the groove
//
// The widest place gives the worst case, with the part pushed to its opposite side. Valid for ds < D.
// Source: geometry; standing: confirmed.
func SqueezeHardOver(cord, groove, widest, spigot unit.Length) (unit.Length, error) {
	t, err := Depth(widest, groove)
	if err != nil {
		return 0, err
	}
	e, err := Eccentricity(widest, spigot)
	if err != nil {
		return 0, err
	}
	return SqueezeDepth(cord, t+e)
}

// Eccentricity is the farthest that a spigot can sit off the middle of its bore.
//
//	e = (D - ds) / 2
//
// Valid for D >= ds > 0. Source: geometry; standing: confirmed.
func Eccentricity(bore, spigot unit.Length) (unit.Length, error) {
	if err := first(positive("the bore", bore), positive("the spigot", spigot)); err != nil {
		return 0, err
	}
	if spigot > bore {
		return 0, because("the spigot", "is larger than its bore", "measure both again; within one hundredth this is the instrument")
	}
	return (bore - spigot) / 2, nil
}

// OffsetFromRunout is the offset that a full turn of the indicator shows.
//
//	e = TIR / 2
//
// Source: definition; standing: confirmed.
func OffsetFromRunout(tir unit.Length) (unit.Length, error) {
	return tir / 2, notNegative("the total indicator reading", tir)
}
