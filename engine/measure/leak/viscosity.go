package leak

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// ViscosityBetween reads a viscosity between two that are known.
//
//	ln m = ln m1 + (ln m2 - ln m1) (1/T - 1/T1) / (1/T2 - 1/T1)      T absolute
//
// Only between the two, at most 40 K apart: oil falls by half every 12 K or so, and a straight line would read
// far too high. Within 1 % for water, 3 % for oils and glycol over 20 K (against the line of ASTM D 341).
// Source: exponential law of viscosity, physics texts; standing: confirmed by recomputing.
func ViscosityBetween(t1 unit.Celsius, m1 Viscosity, t2 unit.Celsius, m2 Viscosity, t unit.Celsius) (Viscosity, error) {
	if err := first(temperature("the lower temperature", t1), temperature("the upper temperature", t2), viscous(m1), viscous(m2)); err != nil {
		return 0, err
	}
	if t2 < t1 || t2-t1 > 40 {
		return 0, because("the two temperatures", "are not in order or more than 40 K apart", "take the two rows of the table next to the wanted temperature")
	}
	if err := refuse.Within("the temperature", float64(t), float64(t1), float64(t2), "nothing is extended beyond the known figures"); err != nil {
		return 0, err
	}
	if t1 == t2 {
		return m1, nil
	}
	x := (1/kelvin(t) - 1/kelvin(t1)) / (1/kelvin(t2) - 1/kelvin(t1))
	return Viscosity(math.Exp(math.Log(float64(m1)) + x*math.Log(float64(m2/m1)))), nil
}
