package flange

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// narrow is the basic width up to which a gasket counts as narrow: 1/4 inch.
const narrow = 6.35 * unit.Millimetre

// EffectiveWidth is the width of gasket that is taken to seal.
//
//	b = b0 for b0 <= 6 mm (1/4 in), else b = 0.5 sqrt(b0) in inch = 2.52 sqrt(b0) in mm
//
// b0 basic width, half of the contact width for a plain ring. Source: ASME VIII-1 App. 2;
// standing: confirmed. A published sheet rounds 2.52 to 2.5: see EffectiveWidthBy.
func EffectiveWidth(basic unit.Length) (unit.Length, error) {
	return EffectiveWidthBy(basic, 0.5*math.Sqrt(float64(unit.Inch/unit.Millimetre)))
}

// EffectiveWidthBy is EffectiveWidth with the factor before the root in mm given (2.5 or 2.52).
// Source: ASME VIII-1, Appendix 2; standing: confirmed.
func EffectiveWidthBy(basic unit.Length, factor float64) (unit.Length, error) {
	if err := first(positive("the basic gasket width", basic), refuse.Within("the factor", factor, 2.4, 2.6, "the rule has 2.52 for millimetres")); err != nil {
		return 0, err
	}
	if basic <= narrow {
		return basic, nil
	}
	return unit.Length(factor*math.Sqrt(basic.Millimetres())) * unit.Millimetre, nil
}

// ReactionDiameter is the diameter on which the gasket load acts.
//
//	G = mean diameter for b0 <= 6 mm, else G = outside diameter of contact - 2 b
//
// Source: ASME VIII-1 App. 2; standing: confirmed.
func ReactionDiameter(outer, inner, basic unit.Length) (unit.Length, error) {
	if _, err := RingArea(outer, inner); err != nil {
		return 0, err
	}
	b, err := EffectiveWidth(basic)
	if err != nil {
		return 0, err
	}
	if basic <= narrow {
		return (outer + inner) / 2, nil
	}
	return outer - 2*b, nil
}

// ContactLoad is the bolt load that keeps the gasket tight in service: Hp = 2 b pi G m p.
// m gasket factor. Source: ASME VIII-1 App. 2; standing: confirmed.
func ContactLoad(b, g unit.Length, m unit.Ratio, p unit.Pressure) (unit.Force, error) {
	if err := first(positive("the effective width", b), positive("the reaction diameter", g), notNegative("the gasket factor m", m), notNegative("the pressure", p)); err != nil {
		return 0, err
	}
	return unit.Force(2 * math.Pi * float64(b*g) * float64(m) * float64(p)), nil
}

// OperatingLoad is the bolt load in service: Wm1 = H + Hp. Source: ASME VIII-1 App. 2; standing: confirmed.
func OperatingLoad(b, g unit.Length, m unit.Ratio, p unit.Pressure) (unit.Force, error) {
	hp, err := ContactLoad(b, g, m, p)
	if err != nil {
		return 0, err
	}
	h, err := PressureLoad(g, p)
	return h + hp, err
}

// SeatingLoad is the bolt load that presses the gasket into the faces: Wm2 = pi b G y.
// y seating stress. Source: ASME VIII-1 App. 2; standing: confirmed. m and y are design rules, not
// a promise of tightness.
func SeatingLoad(b, g unit.Length, y unit.Pressure) (unit.Force, error) {
	if err := first(positive("the effective width", b), positive("the reaction diameter", g), notNegative("the seating stress y", y)); err != nil {
		return 0, err
	}
	return unit.Force(math.Pi * float64(b*g) * float64(y)), nil
}

// RingArea is the area of a flat ring: (pi/4)(Do^2 - Di^2). Refused unless Do > Di > 0.
// Source: geometry; standing: confirmed.
func RingArea(outer, inner unit.Length) (unit.Area, error) {
	if err := first(positive("the outside diameter of the gasket", outer), positive("the inside diameter of the gasket", inner)); err != nil {
		return 0, err
	}
	if inner >= outer {
		return 0, because("the inside diameter of the gasket", "is not smaller than the outside", "swap or measure them again")
	}
	return unit.Area(math.Pi / 4 * float64(outer*outer-inner*inner)), nil
}

// GasketStress is the mean stress on a gasket at assembly: S = n F / A.
// Between bolts and on a bowed cover it is less, see PressureRatio. Source: definition; standing: confirmed.
func GasketStress(f unit.Force, bolts int, area unit.Area) (unit.Pressure, error) {
	if err := first(notNegative("the bolt load", f), counted("the number of bolts", bolts), positive("the gasket area", area)); err != nil {
		return 0, err
	}
	return unit.Pressure(float64(f) * float64(bolts) / float64(area)), nil
}

// TorqueForStress is the torque that gives a wanted mean gasket stress: T = K d S A / n.
// An estimate for a joint without maker's figure, and never above the bolt's or the gasket's own
// limit. Source: as Torque and GasketStress; standing: confirmed.
func TorqueForStress(stress unit.Pressure, area unit.Area, bolts int, d unit.Length, k unit.Ratio) (unit.Torque, error) {
	if err := first(notNegative("the wanted gasket stress", stress), positive("the gasket area", area), counted("the number of bolts", bolts)); err != nil {
		return 0, err
	}
	return Torque(unit.Force(float64(stress)*float64(area)/float64(bolts)), d, k)
}

// Relaxation is the loss of gasket load when pressure pushes the flanges apart, of bolts and
// gasket as springs.
//
//	dF = H / (1 + Ab Eb tg / (Ag Eg Lb))
//
// A areas, E moduli, tg gasket thickness, Lb bolt length; H end force. Source: Pressure Vessel
// Design Manual, procedure 2-10; standing: confirmed.
func Relaxation(h unit.Force, boltArea, gasketArea unit.Area, boltE, gasketE unit.Pressure, thickness, boltLength unit.Length) (unit.Force, error) {
	if err := first(notNegative("the end force", h), positive("the bolt area", boltArea), positive("the gasket area", gasketArea), modulus("the bolt's modulus", boltE), modulus("the gasket's modulus", gasketE), positive("the gasket thickness", thickness), positive("the bolt length", boltLength)); err != nil {
		return 0, err
	}
	return unit.Force(float64(h) / (1 + float64(boltArea)*float64(boltE)*float64(thickness)/(float64(gasketArea)*float64(gasketE)*float64(boltLength)))), nil
}

// Compressibility and recovery of sheet: C = (P - M)/P, R = (Rr - M)/(P - M), with the thickness P
// under small load, M under the full load, Rr after release. Source: ASTM F36; standing: confirmed.
func Compressibility(small, full, released unit.Length) (compressed, recovered unit.Ratio, err error) {
	if err := first(positive("the thickness under small load", small), positive("the thickness under full load", full), positive("the thickness after release", released)); err != nil {
		return 0, 0, err
	}
	if full >= small {
		return 0, 0, because("the thickness under full load", "is not below that under small load", "measure again")
	}
	return unit.Ratio((small - full) / small), unit.Ratio((released - full) / (small - full)), nil
}

// SqueezeOverHollow is the squeeze left where the face has a hollow: C' = C - h / t.
// t gasket thickness, h depth of the hollow; below 0 the gasket does not reach. Source: geometry;
// standing: confirmed.
func SqueezeOverHollow(thickness unit.Length, squeeze unit.Ratio, hollow unit.Length) (unit.Ratio, error) {
	if err := first(positive("the gasket thickness", thickness), refuse.Within("the squeeze", float64(squeeze), 0, 0.9, "give the share of the thickness"), notNegative("the depth of the hollow", hollow)); err != nil {
		return 0, err
	}
	return squeeze - unit.Ratio(hollow/thickness), nil
}
