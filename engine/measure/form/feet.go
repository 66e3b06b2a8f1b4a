package form

import (
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// FeetFactor is the range of a self-centring gauge with evenly spaced feet, reading diameters, per unit of
// peak-to-valley radius of a part with n lobes.
//
//	F = 2 where n is a multiple of the number of feet, else 0
//
// Two feet (calliper, micrometer, two-point gauge) see even numbers of lobes only, three feet multiples of three:
// a factor of 0 means blind. Valid for 2 or 3 feet and n >= 2. Source: mean of the radii at the feet, ISO 4292 practice;
// standing: confirmed.
func FeetFactor(lobes, feet int) (unit.Ratio, error) {
	if err := refuse.Within("the number of feet", float64(feet), 2, 3, "a calliper has two, a self-centring bore gauge three"); err != nil {
		return 0, err
	}
	if lobes < 2 {
		return 0, because("the number of lobes", "is below 2", "2 is an oval, 3 the commonest shape from a three-jaw chuck")
	}
	if lobes%feet == 0 {
		return 2, nil
	}
	return 0, nil
}
