// Package flange computes bolted and clamped face joints: bolt size and load, torque, gasket
// seating and stress, settling, heat, bolt pitch, cover bow and rubber pads.
// It knows no tables and no materials: strengths, factors and limits come in as arguments.
package flange

import (
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Short names that keep the formulas readable.
func first(errs ...error) error { return refuse.First(errs...) }

func because(quantity, why, instead string) error { return refuse.Because(quantity, why, instead) }

func positive[T ~float64](what string, x T) error { return refuse.Positive(what, float64(x)) }

func notNegative[T ~float64](what string, x T) error { return refuse.NotNegative(what, float64(x)) }

func counted(what string, n int) error {
	if n >= 1 {
		return nil
	}
	return because(what, "is below 1", "count them on the joint")
}

// modulus refuses what is no elastic modulus, a slipped unit above all.
func modulus(what string, e unit.Pressure) error {
	return refuse.Within(what, float64(e), 1e4, 1.2e12, "give it in MPa or GPa: steel 205 GPa, aluminium 70 GPa, rubber a few MPa")
}
