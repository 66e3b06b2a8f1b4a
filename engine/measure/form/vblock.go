package form

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// VeeFactor is the indicator range per unit of peak-to-valley radius of a part with n lobes
// turned in a vee-block, the indicator on top on the bisector.
//
//	F = | 1 + cos(n (90 deg + a/2)) / sin(a/2) |      a included angle of the vee
//
// Valid for n >= 2 and 0 < a < 180 degrees. F = 0 means that this vee is blind to that shape.
// Source: derived; agrees with ISO 4292 values for 90 degrees; standing: confirmed.
func VeeFactor(lobes int, vee unit.Angle) (unit.Ratio, error) {
	if err := veeDomain(lobes, vee); err != nil {
		return 0, err
	}
	half := float64(vee) / 2
	return unit.Ratio(math.Abs(1 + math.Cos(float64(lobes)*(math.Pi/2+half))/math.Sin(half))), nil
}

// VeeFactorRider is the same with the indicator between the flanks (rider gauge on the part).
//
//	F = | 1 - cos(n (90 deg - a/2)) / sin(a/2) |
//
// Valid as VeeFactor. Source: derived; standing: confirmed.
func VeeFactorRider(lobes int, vee unit.Angle) (unit.Ratio, error) {
	if err := veeDomain(lobes, vee); err != nil {
		return 0, err
	}
	half := float64(vee) / 2
	return unit.Ratio(math.Abs(1 - math.Cos(float64(lobes)*(math.Pi/2-half))/math.Sin(half))), nil
}

func veeDomain(lobes int, vee unit.Angle) error {
	if err := refuse.Within("the angle of the vee", float64(vee), 1e-3, math.Pi-1e-3, "use a vee of 60, 90 or 120 degrees"); err != nil {
		return err
	}
	if lobes < 2 {
		return because("the number of lobes", "is below 2", "2 is an oval, 3 the commonest shape from a three-jaw chuck")
	}
	return nil
}

// FromVee estimates the roundness from the indicator range in a vee.
//
//	roundness = TIR / F
//
// Refused where the vee is blind to the shape (F below 0.01). Source: ISO 4292; standing: confirmed.
func FromVee(tir unit.Length, lobes int, vee unit.Angle) (unit.Length, error) {
	if err := refuse.NotNegative("the indicator range", float64(tir)); err != nil {
		return 0, err
	}
	f, err := VeeFactor(lobes, vee)
	if err != nil {
		return 0, err
	}
	if f < 0.01 {
		return 0, because("this vee", "is blind to that number of lobes", "use another angle of vee, or turn the part between centres")
	}
	return tir / unit.Length(f), nil
}
