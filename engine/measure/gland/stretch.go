package gland

import (
	"math"

	"seepwright/rules/unit"
)

// Stretch is the stretch of the ring's inside diameter on its groove.
//
//	X = (dg - d1) / d1      dg groove diameter, d1 inside diameter of the free ring, metres
//
// Below 0 the ring is looser than its groove. Valid for d1 > 0, dg > 0.
// Source: definition; standing: confirmed.
func Stretch(ringID, groove unit.Length) (unit.Ratio, error) {
	if err := first(positive("the ring's inside diameter", ringID), positive("the groove diameter", groove)); err != nil {
		return 0, err
	}
	return unit.Ratio((groove - ringID) / ringID), nil
}

// GreatestGroove is the largest groove diameter that a ring may sit on for a wanted stretch.
//
//	dg = d1 (1 + X)
//
// Valid for d1 > 0, 0 <= X <= 1. Source: definition turned round; standing: confirmed.
func GreatestGroove(ringID unit.Length, stretch unit.Ratio) (unit.Length, error) {
	if err := first(positive("the ring's inside diameter", ringID), share("the stretch", stretch, 1, "give it as a per cent of the ring's own inside diameter")); err != nil {
		return 0, err
	}
	return ringID * (1 + unit.Length(stretch)), nil
}

// SectionLoss is how much thinner the section gets when the ring is stretched, from tests.
//
//	0 < X <= 3 %:  R = -0.005 + 1.19 X - 0.19 X^2 - 0.001 X^3 + 0.008 X^4
//	3 < X <= 25 %: R = 0.56 + 0.59 X - 0.0046 X^2      X, R in per cent
//
// The two branches differ by 0.19 points at 3 %, as published. At X = 0 the loss is 0; below
// 0.005 % the first branch is meaningless and the loss is 0 too. Refused below 0 and above 25 %.
// Source: empirical stretch relation of the O-ring handbooks; standing: confirmed for the second
// branch (a worked design note prints 4.04 % at 6.21 %), from memory for the first.
func SectionLoss(stretch unit.Ratio) (unit.Ratio, error) {
	if err := share("the stretch", stretch, 0.25, "the tested relation runs from 0 to 25 %; a looser ring loses no section, a tighter one must not be fitted"); err != nil {
		return 0, err
	}
	x := float64(stretch) * 100
	switch {
	case x < 0.005:
		return 0, nil
	case x <= 3:
		return unit.Ratio(-0.005+x*(1.19+x*(-0.19+x*(-0.001+0.008*x)))) * unit.Percent, nil
	}
	return unit.Ratio(0.56+x*(0.59-0.0046*x)) * unit.Percent, nil
}

// SectionLossRule is the bench rule: the section loses half of the stretch.
//
//	R = X / 2
//
// Reads low; good to 5 %. Source: published rule of thumb; standing: common practice.
func SectionLossRule(stretch unit.Ratio) (unit.Ratio, error) {
	if err := share("the stretch", stretch, 0.05, "the rule of thumb ends at 5 %; use the tested relation"); err != nil {
		return 0, err
	}
	return stretch / 2, nil
}

// SectionAfterLoss is the cord that is left.
//
//	d' = d (1 - R)
//
// Source: definition; standing: confirmed.
func SectionAfterLoss(cord unit.Length, loss unit.Ratio) (unit.Length, error) {
	if err := first(positive("the cord", cord), share("the section loss", loss, 0.5, "a ring that loses half its section has torn")); err != nil {
		return 0, err
	}
	return cord * (1 - unit.Length(loss)), nil
}

// StretchedSection is the cord of a ring that keeps its volume when stretched on a groove.
//
//	d'^2 (dg + d') = d^2 (d1 + d)      solved for d'
//
// Valid for dg >= d1 (refused below: a loose ring is not compressed along its length) and a
// stretch up to 100 %. Source: torus of constant volume; standing: confirmed (geometry). Tested
// rings lose more, see SectionLoss.
func StretchedSection(ringID, cord, groove unit.Length) (unit.Length, error) {
	x, err := Stretch(ringID, groove)
	if err != nil {
		return 0, err
	}
	if err := first(positive("the cord", cord), share("the stretch", x, 1, "the ring must be stretched, by no more than its own diameter")); err != nil {
		return 0, err
	}
	want := float64(cord * cord * (ringID + cord))
	d, dg := float64(cord), float64(groove)
	for range 60 {
		step := (d*d*(dg+d) - want) / (d * (2*dg + 3*d))
		d -= step
		if math.Abs(step) <= 1e-15*d {
			break
		}
	}
	return unit.Length(d), nil
}
