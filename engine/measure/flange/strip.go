package flange

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// NutThreadArea is the area on which the thread of a tapped hole shears off, by length engaged.
//
//	A / L = (pi / P) D [ P/2 + 0.57735 (D - E) ]      D major diameter of the bolt, E pitch diameter of the hole
//
// With the basic sizes (E = d - 0.6495 P) it is 7/8 pi d; worn or over-cut threads have less. Source: FED-STD-H28 and
// Machinery's Handbook; standing: confirmed.
func NutThreadArea(bolt, hole, pitch, engaged unit.Length) (unit.Area, error) {
	if err := first(thread(bolt, pitch), positive("the pitch diameter of the hole", hole), positive("the length engaged", engaged)); err != nil {
		return 0, err
	}
	per := math.Pi / float64(pitch) * float64(bolt) * (float64(pitch)/2 + 0.57735*float64(bolt-hole))
	if hole >= bolt || per <= 0 {
		return 0, because("the pitch diameter of the hole", "leaves the bolt no thread to bear on", "measure it with a thread gauge")
	}
	return unit.Area(per * float64(engaged)), nil
}

// BoltThreadArea is the area on which the thread of a bolt shears off, by length engaged.
//
//	A / L = (pi / P) K [ P/2 + 0.57735 (E - K) ]      K minor diameter of the hole, E pitch diameter of the bolt
//
// With the basic sizes (K = d - 1.0825 P) it is 3/4 pi K. Source: as NutThreadArea; standing: confirmed.
func BoltThreadArea(minor, bolt, pitch, engaged unit.Length) (unit.Area, error) {
	if err := first(positive("the minor diameter of the hole", minor), positive("the pitch diameter of the bolt", bolt), positive("the pitch", pitch), positive("the length engaged", engaged)); err != nil {
		return 0, err
	}
	if minor >= bolt {
		return 0, because("the minor diameter of the hole", "is not below the pitch diameter of the bolt", "the hole is drilled too large")
	}
	return unit.Area(math.Pi / float64(pitch) * float64(minor) * (float64(pitch)/2 + 0.57735*float64(bolt-minor)) * float64(engaged)), nil
}

// StripLoad is the load at which an engaged thread of a tapped hole shears off: A tau, with the basic sizes.
// tau shear strength, about 0.6 of the tensile strength (estimate). Source: NutThreadArea; standing: confirmed.
func StripLoad(d, pitch, engaged unit.Length, shear unit.Pressure) (unit.Force, error) {
	a, err := NutThreadArea(d, d-0.6495*pitch, pitch, engaged)
	if err := first(err, modulus("the shear strength", shear)); err != nil {
		return 0, err
	}
	return unit.Force(float64(a) * float64(shear)), nil
}

// EngagementForLoad is the length of thread that must be engaged so that a load does not strip the tapped hole.
//
//	L = F / (tau A/L)
//
// Give the load at which the bolt itself breaks when the bolt is to go first. Source: StripLoad turned round; standing: confirmed.
func EngagementForLoad(f unit.Force, d, pitch unit.Length, shear unit.Pressure) (unit.Length, error) {
	one, err := StripLoad(d, pitch, 1, shear)
	if err := first(err, notNegative("the bolt load", f)); err != nil {
		return 0, err
	}
	return unit.Length(f / one), nil
}

// LeastEngagement is the length engaged by the rule of thumb: a multiple of the diameter, by the material of the
// hole. Source: workshop manuals (1.25 steel and iron, 2 aluminium); standing: confirmed.
func LeastEngagement(d unit.Length, times unit.Ratio) (unit.Length, error) {
	if err := first(positive("the bolt diameter", d), refuse.Within("the engaged length in diameters", float64(times), 0.5, 5, "1.25 in steel and iron, 2 in aluminium")); err != nil {
		return 0, err
	}
	return d * unit.Length(times), nil
}

// EngagementLeft is what is engaged of a bolt, and how far its end stays above the bottom of a blind hole.
//
//	engaged = length under head - washer - cover - squeezed gasket - counterbore, free = hole depth - (engaged + counterbore)
//
// Free below 0: the bolt bottoms and never clamps. Depth is counted from the face of the tapped part, of full thread.
// Source: geometry; standing: confirmed.
func EngagementLeft(length, between, counterbore, depth unit.Length) (engaged, free unit.Length, err error) {
	if err := first(positive("the length under the head", length), notNegative("what lies between head and tapped part", between), notNegative("the counterbore", counterbore), positive("the depth of the thread", depth)); err != nil {
		return 0, 0, err
	}
	reach := length - between
	return reach - counterbore, depth - reach, nil
}
