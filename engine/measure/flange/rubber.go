package flange

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// StripModulus is the compression modulus of a long bonded rubber strip.
//
//	Ec = (4/3) E0 (1 + k S^2), S = w / (2 t)      E0 Young's modulus, k factor of the rubber, S shape factor
//
// Valid for squeeze up to 15 %. Source: Engineering Design with Natural Rubber; standing: confirmed.
func StripModulus(e0 unit.Pressure, k unit.Ratio, width, thickness unit.Length) (unit.Pressure, error) {
	if err := pad(e0, k, width, thickness); err != nil {
		return 0, err
	}
	s := float64(width / (2 * thickness))
	return unit.Pressure(4.0 / 3 * float64(e0) * (1 + float64(k)*s*s)), nil
}

// DiscModulus is the same for a disc: Ec = E0 (1 + 2 k S^2), S = D / (4 t).
// Source: Engineering Design with Natural Rubber; standing: confirmed.
func DiscModulus(e0 unit.Pressure, k unit.Ratio, diameter, thickness unit.Length) (unit.Pressure, error) {
	if err := pad(e0, k, diameter, thickness); err != nil {
		return 0, err
	}
	s := float64(diameter / (4 * thickness))
	return unit.Pressure(float64(e0) * (1 + 2*float64(k)*s*s)), nil
}

// RingStiffness is the stiffness of a flat rubber ring.
//
//	K = (4/3) E0 pi Dm (b/t) (1 + k (b / 2t)^2),  Dm mean diameter, b width of the ring
//
// Source: published rubber design booklet; standing: confirmed.
func RingStiffness(e0 unit.Pressure, k unit.Ratio, outer, inner, thickness unit.Length) (unit.Stiffness, error) {
	if _, err := RingArea(outer, inner); err != nil {
		return 0, err
	}
	b := (outer - inner) / 2
	ec, err := StripModulus(e0, k, b, thickness)
	if err != nil {
		return 0, err
	}
	return unit.Stiffness(float64(ec) * math.Pi * float64((outer+inner)/2*b/thickness)), nil
}

func pad(e0 unit.Pressure, k unit.Ratio, width, thickness unit.Length) error {
	return first(modulus("the rubber's modulus", e0), refuse.Within("the factor k", float64(k), 0.1, 1.5, "0.5 to 0.95 by hardness"), positive("the width", width), positive("the thickness", thickness))
}
