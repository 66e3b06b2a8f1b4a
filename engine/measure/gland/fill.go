package gland

import (
	"math"

	"seepwright/rules/unit"
)

// FillArea is the share of the groove's cross-section that the ring takes.
//
//	F = (pi/4) d^2 / (t w)      d cord, t gland depth, w groove width, metres
//
// For the greatest fill put in the largest cord with the least depth and width. Valid for
// positive sizes; above 1 the ring does not fit. Source: definition; standing: confirmed.
func FillArea(cord, depth, width unit.Length) (unit.Ratio, error) {
	if err := first(positive("the cord", cord), positive("the gland depth", depth), positive("the groove width", width)); err != nil {
		return 0, err
	}
	return unit.Ratio(math.Pi / 4 * float64(cord*cord/(depth*width))), nil
}

// FillVolume is the share of the ring-shaped room of a piston gland that the ring takes.
//
//	F = (pi/4) d^2 (d1 + d) pi / [ (pi/4) (D^2 - dg^2) w ]
//
// d cord, d1 ring inside diameter, D bore, dg groove diameter, w width, metres.
// Source: torus over annulus; standing: confirmed (geometry).
func FillVolume(ringID, cord, groove, bore, width unit.Length) (unit.Ratio, error) {
	if _, err := Depth(bore, groove); err != nil {
		return 0, err
	}
	if err := first(positive("the ring's inside diameter", ringID), positive("the cord", cord), positive("the groove width", width)); err != nil {
		return 0, err
	}
	ring := math.Pi * float64(cord*cord*(ringID+cord))
	room := float64((bore*bore - groove*groove) * width)
	return unit.Ratio(ring / room), nil
}

// FillMaxMaterial is the greatest fill that the limits of size allow: largest cord, least
// depth and width. Usual limit 90 % (gland overfill rule, published; standing: confirmed).
func FillMaxMaterial(cord, depth, width Span) (unit.Ratio, error) {
	if err := first(cord.check("cord"), depth.check("gland depth"), width.check("groove width")); err != nil {
		return 0, err
	}
	return FillArea(cord.Max, depth.Min, width.Min)
}

// FillSwollen is the fill after the ring has swollen by a share of its volume.
//
//	F' = F (1 + S)
//
// Valid for S from -0.5 to 2. Source: definition; standing: confirmed.
func FillSwollen(fill, swell unit.Ratio) (unit.Ratio, error) {
	if err := first(finiteRatio("the fill", fill), swelling(swell)); err != nil {
		return 0, err
	}
	return fill * (1 + swell), nil
}

// SwollenSection is the cord after swelling by a share of its volume.
//
//	d' = d (1 + S)^(1/3)
//
// Valid for S from -0.5 to 2, the ring free to swell to all sides. Source: geometry; standing: confirmed.
func SwollenSection(cord unit.Length, swell unit.Ratio) (unit.Length, error) {
	if err := first(positive("the cord", cord), swelling(swell)); err != nil {
		return 0, err
	}
	return cord * unit.Length(math.Cbrt(1+float64(swell))), nil
}
