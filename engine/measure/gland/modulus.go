package gland

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Modulus is Young's modulus of rubber from its Shore A hardness.
//
//	E = 0.0981 (56 + 7.62336 S) / [ 0.137505 (254 - 2.54 S) ]      E MPa, S Shore A
//
// Good to about 20 %; valid for S from 20 to 90. Source: relation of 1958 for hardness and
// modulus of rubbers; standing: confirmed (two public implementations).
func Modulus(hardness unit.Hardness) (unit.Pressure, error) {
	if err := shore(hardness); err != nil {
		return 0, err
	}
	s := float64(hardness)
	return unit.Pressure(0.0981*(56+7.62336*s)/(0.137505*(254-2.54*s))) * unit.Megapascal, nil
}

// ModulusLog is a second relation, which reads higher for soft rubber.
//
//	log10 E = 0.0235 S - 0.6403      E MPa, S Shore A
//
// Valid for S from 20 to 90. Source: published log relation, base 10; standing: confirmed as a relation.
func ModulusLog(hardness unit.Hardness) (unit.Pressure, error) {
	if err := shore(hardness); err != nil {
		return 0, err
	}
	return unit.Pressure(math.Pow(10, 0.0235*float64(hardness)-0.6403)) * unit.Megapascal, nil
}

func shore(h unit.Hardness) error {
	return refuse.Within("the hardness", float64(h), 20, 90, "the relation holds from 20 to 90 Shore A")
}

// LineLoad is the force per length of ring that it takes to squeeze the cord.
//
//	F/L = E d (1.25 C^1.5 + 50 C^6)      E Pa, d m, C ratio
//
// Valid for 0 <= C <= 0.5. Source: load-compression relation for solid rubber rollers and rings,
// 1966; standing: confirmed (a public design note prints 1.86 N/mm).
func LineLoad(cord unit.Length, e unit.Pressure, squeeze unit.Ratio) (unit.LineLoad, error) {
	if err := cordLoad(cord, squeeze, refuse.Positive("the modulus", float64(e))); err != nil {
		return 0, err
	}
	c := float64(squeeze)
	return unit.LineLoad(float64(e) * float64(cord) * (1.25*math.Pow(c, 1.5) + 50*math.Pow(c, 6))), nil
}

// CloseForce is the force that closes a face seal on its ring.
//
//	F = q pi (d1 + d)      q line load, d1 inside diameter, d cord
//
// Source: line load times mean circumference; standing: confirmed.
func CloseForce(q unit.LineLoad, ringID, cord unit.Length) (unit.Force, error) {
	if err := first(refuse.NotNegative("the line load", float64(q)), positive("the ring's inside diameter", ringID), positive("the cord", cord)); err != nil {
		return 0, err
	}
	return unit.Force(float64(q) * math.Pi * float64(ringID+cord)), nil
}

// ContactWidth is the width of the band on which the ring touches.
//
//	b = 2.4 C d
//
// Valid for 0 <= C <= 0.5. Source: same relation as LineLoad; standing: from memory.
func ContactWidth(cord unit.Length, squeeze unit.Ratio) (unit.Length, error) {
	if err := cordLoad(cord, squeeze, nil); err != nil {
		return 0, err
	}
	return unit.Length(2.4*float64(squeeze)) * cord, nil
}

// ContactWidthLine is the same from line contact of a rubber cylinder on a flat.
//
//	b = 1.545 d C^0.75
//
// Valid for 0 <= C <= 0.3 (the stiffening term is left out). Source: line contact with the
// 1.25 C^1.5 load term, nu = 0.5; standing: confirmed (derived).
func ContactWidthLine(cord unit.Length, squeeze unit.Ratio) (unit.Length, error) {
	if err := cordLoad(cord, squeeze, refuse.Within("the squeeze", float64(squeeze), 0, 0.3, "use the other width above 30 %")); err != nil {
		return 0, err
	}
	return unit.Length(1.545*math.Pow(float64(squeeze), 0.75)) * cord, nil
}

func cordLoad(cord unit.Length, squeeze unit.Ratio, more error) error {
	return first(positive("the cord", cord), refuse.Within("the squeeze", float64(squeeze), 0, 0.5, "the relation holds from 0 to 50 %"), more)
}
