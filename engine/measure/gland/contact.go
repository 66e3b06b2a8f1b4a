package gland

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// ContactPeak is the pressure in the middle of the band on which the ring touches, without fluid pressure.
//
//	p = 4 q / (pi b)      q line load N/m, b contact width m
//
// The pressure falls from the middle to nothing at the edges like half an ellipse. Valid for q >= 0, b > 0;
// with LineLoad and ContactWidth it stands for squeezes from about 5 to 30 %, where the pressure is still
// near that shape. Source: line contact of a cylinder, half-elliptic pressure; standing: confirmed (derived).
// The widths that go into it are good to about a tenth, the modulus from hardness to a fifth.
func ContactPeak(q unit.LineLoad, width unit.Length) (unit.Pressure, error) {
	if err := first(refuse.NotNegative("the line load", float64(q)), positive("the contact width", width)); err != nil {
		return 0, err
	}
	return unit.Pressure(4 * float64(q) / (math.Pi * float64(width))), nil
}

// ContactMean is the line load spread evenly over the band.
//
//	p = q / b
//
// Valid as ContactPeak. Source: definition; standing: confirmed.
func ContactMean(q unit.LineLoad, width unit.Length) (unit.Pressure, error) {
	if err := first(refuse.NotNegative("the line load", float64(q)), positive("the contact width", width)); err != nil {
		return 0, err
	}
	return unit.Pressure(float64(q) / float64(width)), nil
}

// ContactUnderPressure is the contact pressure with fluid behind the ring: rubber hardly changes its volume
// and hands the fluid's pressure on.
//
//	p = p0 + P v / (1 - v)      p0 without fluid, P fluid pressure, v Poisson's ratio; v = 0.5 gives p0 + P
//
// So a ring that is squeezed at all presses harder than the fluid. Valid for v from 0.45 to 0.5, p0 and P
// not negative, and as long as the ring still fills its corner. Source: relation for squeezed rings in the
// literature on static sealing; standing: from memory.
func ContactUnderPressure(p0, fluid unit.Pressure, poisson unit.Ratio) (unit.Pressure, error) {
	err := first(refuse.NotNegative("the contact pressure without fluid", float64(p0)), refuse.NotNegative("the fluid pressure", float64(fluid)),
		refuse.Within("Poisson's ratio", float64(poisson), 0.45, 0.5, "solid rubber has 0.49 to 0.5"))
	if err != nil {
		return 0, err
	}
	return p0 + fluid*unit.Pressure(poisson/(1-poisson)), nil
}
