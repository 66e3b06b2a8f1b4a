package gland

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// PushOut is the force with which pressure drives a plug-in pipe or plug out of its bore.
//
//	F = p pi D^2 / 4      p pressure above the outside, D diameter on which the ring seals (the bore)
//
// 113 N for every bar at 38 mm: nothing but the retainer takes it. Valid for p >= 0, D > 0.
// Source: force balance; standing: confirmed.
func PushOut(bore unit.Length, p unit.Pressure) (unit.Force, error) {
	if err := first(positive("the bore", bore), refuse.NotNegative("the pressure", float64(p))); err != nil {
		return 0, err
	}
	return unit.Force(float64(p) * math.Pi / 4 * float64(bore*bore)), nil
}

// Tilt is how far a spigot can lean in its bore.
//
//	a = arctan(c / L)      c diametral clearance, L engaged length
//
// Valid for c >= 0, L > 0, c < L. Source: geometry; standing: confirmed.
func Tilt(clearance, engaged unit.Length) (unit.Angle, error) {
	if err := first(notNegative("the clearance", clearance), positive("the engaged length", engaged)); err != nil {
		return 0, err
	}
	if clearance >= engaged {
		return 0, because("the clearance", "is as much as the engaged length", "check both: such a spigot is not guided at all")
	}
	return unit.Angle(math.Atan(float64(clearance / engaged))), nil
}

// Sideways is how far the far end of a leaning pipe moves.
//
//	x = R c / L      R length from the joint to the far end
//
// Source: geometry; standing: confirmed.
func Sideways(clearance, engaged, reach unit.Length) (unit.Length, error) {
	if _, err := Tilt(clearance, engaged); err != nil {
		return 0, err
	}
	if err := positive("the length of the pipe", reach); err != nil {
		return 0, err
	}
	return reach * clearance / engaged, nil
}
