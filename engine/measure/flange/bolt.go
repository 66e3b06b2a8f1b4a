package flange

import (
	"math"

	"seepwright/rules/unit"
)

// StressArea is the area on which a metric (60 degree) thread carries its load.
//
//	As = (pi/4) (d - 0.9382 P)^2      d nominal diameter, P pitch, metres
//
// Valid for 0 < P < d/2. Source: ISO 898-1; standing: confirmed (tables agree within 0.4 %).
func StressArea(d, pitch unit.Length) (unit.Area, error) {
	if err := thread(d, pitch); err != nil {
		return 0, err
	}
	x := float64(d) - 0.9382*float64(pitch)
	return unit.Area(math.Pi / 4 * x * x), nil
}

// StressAreaUN is the same for inch threads given in threads per inch.
//
//	As = 0.7854 (D - 0.9743 / n)^2      D inch, n threads per inch
//
// Source: ASME B1.1; standing: confirmed.
func StressAreaUN(d unit.Length, perInch float64) (unit.Area, error) {
	if err := positive("the number of threads per inch", perInch); err != nil {
		return 0, err
	}
	if err := thread(d, unit.Inch/unit.Length(perInch)); err != nil {
		return 0, err
	}
	x := float64(d/unit.Inch) - 0.9743/perInch
	return unit.Area(math.Pi / 4 * x * x * float64(unit.Inch*unit.Inch)), nil
}

func thread(d, pitch unit.Length) error {
	if err := first(positive("the bolt diameter", d), positive("the pitch", pitch)); err != nil {
		return err
	}
	if pitch >= d/2 {
		return because("the pitch", "is more than half the bolt diameter", "measure it over ten threads and divide by ten")
	}
	return nil
}

// ProofLoad is the load that a bolt must carry without lasting stretch.
//
//	Fp = Sp As      Sp proof strength of the class
//
// Source: ISO 898-1; standing: confirmed. Share takes a part of it: 0.75 for joints that are
// undone, 0.90 for permanent ones (machine-design texts, confirmed).
func ProofLoad(area unit.Area, proof unit.Pressure) (unit.Force, error) {
	if err := first(positive("the stress area", area), positive("the proof strength", proof)); err != nil {
		return 0, err
	}
	return unit.Force(float64(area) * float64(proof)), nil
}

// PreloadStress is the stress in the thread from a load.
//
//	S = F / As
//
// Source: definition; standing: confirmed.
func PreloadStress(f unit.Force, area unit.Area) (unit.Pressure, error) {
	if err := first(notNegative("the bolt load", f), positive("the stress area", area)); err != nil {
		return 0, err
	}
	return unit.Pressure(float64(f) / float64(area)), nil
}

// Stiffness is the spring rate of a bolt or rod.
//
//	k = E A / L      L length that stretches (grip), A its area
//
// Valid for positive values. Source: linear elasticity; standing: confirmed. Take the stress area over the
// whole length for a bolt threaded over most of its grip; a plain shank is up to 30 % stiffer.
func Stiffness(area unit.Area, length unit.Length, e unit.Pressure) (unit.Stiffness, error) {
	if err := first(positive("the area of the bolt", area), positive("the length that stretches", length), modulus("the modulus of the bolt", e)); err != nil {
		return 0, err
	}
	return unit.Stiffness(float64(e) * float64(area) / float64(length)), nil
}

// Spread is the mean and the sample standard deviation of measured preloads.
// Refused for fewer than 2 loads. Source: statistics; standing: confirmed.
func Spread(loads []unit.Force) (mean, deviation unit.Force, err error) {
	if len(loads) < 2 {
		return 0, 0, because("the number of loads", "is below 2", "give at least two measured loads")
	}
	n := unit.Force(len(loads))
	for _, f := range loads {
		if err := notNegative("a bolt load", f); err != nil {
			return 0, 0, err
		}
		mean += f / n
	}
	ss := 0.0
	for _, f := range loads {
		ss += float64((f - mean) * (f - mean))
	}
	return mean, unit.Force(math.Sqrt(ss / float64(len(loads)-1))), nil
}
