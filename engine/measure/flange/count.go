package flange

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// BoltsForLoad is the least number of bolts that carries a load: ceil(W / F), at least 1.
// Source: force balance; standing: confirmed.
func BoltsForLoad(load, perBolt unit.Force) (int, error) {
	if err := first(notNegative("the load of the joint", load), positive("the load of one bolt", perBolt)); err != nil {
		return 0, err
	}
	return counts(float64(load) / float64(perBolt))
}

// BoltsForPitch is the least number of bolts on a circle whose pitch stays within a limit: ceil(pi Db / p).
//
// The pitch is taken along the circle, as the rules do.
// Source: geometry of the bolt circle; standing: confirmed.
func BoltsForPitch(circle, pitch unit.Length) (int, error) {
	if err := first(positive("the bolt circle", circle), positive("the greatest pitch", pitch)); err != nil {
		return 0, err
	}
	return counts(math.Pi * float64(circle/pitch))
}

// counts rounds up; a hair above a whole number is that number.
func counts(x float64) (int, error) {
	if err := refuse.Within("the number of bolts", x, 0, 1e6, "check the sizes and the units"); err != nil {
		return 0, err
	}
	return max(1, int(math.Ceil(x-1e-9))), nil
}

// ByFours is the next multiple of four, the custom of round flanges.
// Source: Pressure Vessel Design Manual, p. 53; standing: confirmed.
func ByFours(n int) (int, error) {
	if err := counted("the number of bolts", n); err != nil {
		return 0, err
	}
	return (n + 3) / 4 * 4, nil
}

// Pitch is the distance between neighbours along the bolt circle: pi Db / n.
// Source: geometry; standing: confirmed.
func Pitch(circle unit.Length, bolts int) (unit.Length, error) {
	r, err := PitchRatio(circle, bolts, 1)
	return unit.Length(r), err
}

// LeastThicknessByScope is the flange thickness from which the European flange method takes a pitch as even.
//
//	t = p (0.10 p / b)^(1/3) for hard gaskets, p (0.01 p / b)^(1/3) for soft ones      b flange width
//
// Source: EN 1591-1, scope (constants seen, form from memory); standing: from memory.
func LeastThicknessByScope(pitch, width unit.Length, soft bool) (unit.Length, error) {
	if err := first(positive("the pitch", pitch), positive("the flange width", width)); err != nil {
		return 0, err
	}
	c := 0.10
	if soft {
		c = 0.01
	}
	return pitch * unit.Length(math.Cbrt(c*float64(pitch/width))), nil
}
