package gland

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Station is the shape of a bore at one depth below its mouth.
type Station struct {
	Depth unit.Length
	Bore  Oval
}

// Between is the shape of a tapered bore at a depth between two stations.
//
//	D(z) = D1 + (D2 - D1) (z - z1) / (z2 - z1)      likewise for the two waves of the ovality
//
// Refused outside the stations: nothing is known there. Source: straight line between two measured
// depths; standing: confirmed as geometry, the straight wall is an assumption.
func Between(a, b Station, depth unit.Length) (Oval, error) {
	err := first(a.check(), b.check(), refuse.Finite("the depth of the ring", float64(depth)))
	if err != nil {
		return Oval{}, err
	}
	if a.Depth > b.Depth {
		a, b = b, a
	}
	if a.Depth == b.Depth {
		return Oval{}, because("the two depths", "are the same", "measure the bore at two depths, above and below the ring")
	}
	if depth < a.Depth || depth > b.Depth {
		return Oval{}, because("the depth of the ring", "lies outside the measured depths", "measure the bore above and below the place where the ring sits")
	}
	k := float64((depth - a.Depth) / (b.Depth - a.Depth))
	mix := func(x, y float64) float64 { return x + k*(y-x) }
	c := mix(float64(a.Bore.Semi)*math.Cos(2*float64(a.Bore.Major)), float64(b.Bore.Semi)*math.Cos(2*float64(b.Bore.Major)))
	s := mix(float64(a.Bore.Semi)*math.Sin(2*float64(a.Bore.Major)), float64(b.Bore.Semi)*math.Sin(2*float64(b.Bore.Major)))
	return Oval{unit.Length(mix(float64(a.Bore.Mean), float64(b.Bore.Mean))), unit.Length(math.Hypot(c, s)), unit.Angle(math.Atan2(s, c) / 2)}, nil
}

// Taper is the change of a bore's diameter for each length of depth, positive where it widens downwards.
//
//	T = (D2 - D1) / (z2 - z1)      a ratio; 0.01 is 0.1 mm of diameter on 10 mm of depth
//
// Valid for two different depths. Source: definition; standing: confirmed.
func Taper(a, b Station) (unit.Ratio, error) {
	if err := first(a.check(), b.check()); err != nil {
		return 0, err
	}
	if a.Depth == b.Depth {
		return 0, because("the two depths", "are the same", "measure the bore at two depths, above and below the ring")
	}
	return unit.Ratio((b.Bore.Mean - a.Bore.Mean) / (b.Depth - a.Depth)), nil
}

// SqueezeAlong is the least and the greatest squeeze of a ring that sits anywhere between two depths of a
// tapered, oval bore, with the inner part off its middle. least and greatest carry the depth at which they are.
//
// At each direction the squeeze changes evenly with depth, so that both extremes lie at one of the two
// ends. Source: geometry, SqueezeBetween with Between; standing: confirmed.
func SqueezeAlong(cord unit.Length, inner Oval, a, b Station, from, to unit.Length, off Offset) (least, greatest LocalAt, err error) {
	for i, z := range []unit.Length{from, to} {
		bore, err := Between(a, b, z)
		if err != nil {
			return LocalAt{}, LocalAt{}, err
		}
		lo, hi, err := SqueezeBetween(cord, inner, bore, off)
		if err != nil {
			return LocalAt{}, LocalAt{}, err
		}
		if i == 0 || lo.Squeeze < least.Squeeze {
			least = LocalAt{lo, z}
		}
		if i == 0 || hi.Squeeze > greatest.Squeeze {
			greatest = LocalAt{hi, z}
		}
	}
	return least, greatest, nil
}

// LocalAt is the squeeze at one place round the ring and one depth.
type LocalAt struct {
	Local
	Depth unit.Length
}

func (s Station) check() error {
	return first(notNegative("the depth of a reading", s.Depth), s.Bore.check("bore"))
}

// WorstOffset is the farthest that the bottom of a groove can sit off the middle of the bore: the clearance
// of the land on one side, and the run-out of the groove to its land on top.
//
//	e = (D - ds) / 2 + TIR / 2      D bore, ds land, TIR total indicator reading of the groove against the land
//
// Valid for D >= ds > 0, TIR >= 0. Source: geometry; standing: confirmed.
func WorstOffset(bore, land, runout unit.Length) (unit.Length, error) {
	e, err := Eccentricity(bore, land)
	if err != nil {
		return 0, err
	}
	r, err := OffsetFromRunout(runout)
	return e + r, err
}
