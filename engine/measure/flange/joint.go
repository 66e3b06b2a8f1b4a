package flange

import (
	"math"

	"seepwright/rules/unit"
)

// JointConstant is the share of an outside load that the bolt feels.
//
//	C = kb / (kb + kj)      kb bolt, kj clamped parts
//
// Source: machine-design texts; standing: confirmed.
func JointConstant(bolt, parts unit.Stiffness) (unit.Ratio, error) {
	if err := first(positive("the bolt stiffness", bolt), positive("the stiffness of the clamped parts", parts)); err != nil {
		return 0, err
	}
	return unit.Ratio(bolt / (bolt + parts)), nil
}

// ServiceStress is the stress in the bolt with an outside load on the joint.
//
//	S = (C P + Fi) / As      P outside load per bolt, Fi preload
//
// Valid while the faces stay together: (1 - C) P < Fi, refused beyond. Source: as JointConstant.
func ServiceStress(c unit.Ratio, outside, preload unit.Force, area unit.Area) (unit.Pressure, error) {
	if err := first(notNegative("the joint constant", c), notNegative("the outside load", outside), notNegative("the preload", preload), positive("the stress area", area)); err != nil {
		return 0, err
	}
	if (1-unit.Force(c))*outside >= preload {
		return 0, because("the outside load", "opens the joint", "the bolt then carries all of it: tighten more or use more bolts")
	}
	return unit.Pressure(float64(unit.Force(c)*outside+preload) / float64(area)), nil
}

// PressureLoad is the force of pressure on a round area (hydrostatic end force).
//
//	H = (pi/4) G^2 p      G diameter on which the joint seals
//
// Valid for G > 0, p >= 0. Source: force balance, ASME VIII-1 App. 2; standing: confirmed.
func PressureLoad(g unit.Length, p unit.Pressure) (unit.Force, error) {
	if err := first(positive("the diameter on which the joint seals", g), notNegative("the pressure", p)); err != nil {
		return 0, err
	}
	return unit.Force(math.Pi / 4 * float64(g*g) * float64(p)), nil
}

// PerBolt shares a force over equal bolts.
// Source: definition; standing: confirmed.
func PerBolt(total unit.Force, bolts int) (unit.Force, error) {
	if err := first(notNegative("the force", total), counted("the number of bolts", bolts)); err != nil {
		return 0, err
	}
	return total / unit.Force(bolts), nil
}

// Shared is how two parts that are pressed together by the same amount share a force.
//
//	F1 = F k1 / (k1 + k2)
//
// Source: parallel springs; standing: confirmed.
func Shared(total unit.Force, k1, k2 unit.Stiffness) (f1, f2 unit.Force, err error) {
	c, err := JointConstant(k1, k2)
	if err != nil {
		return 0, 0, err
	}
	if err := notNegative("the force", total); err != nil {
		return 0, 0, err
	}
	f1 = total * unit.Force(c)
	return f1, total - f1, nil
}

// LossBySettling is the bolt load lost when the joint settles by a length.
//
//	dF = f / (1/kb + 1/kj)
//
// With the clamped parts taken as rigid (kj = 0 given) dF = f kb, the upper bound. A short bolt is a
// stiff spring: an M8 of 20 mm grip loses 3.8 kN for every 0.01 mm. Source: linear elasticity, VDI 2230
// embedding; standing: confirmed.
func LossBySettling(settling unit.Length, bolt, parts unit.Stiffness) (unit.Force, error) {
	k, err := together(bolt, parts)
	if err != nil {
		return 0, err
	}
	if err := notNegative("the settling", settling); err != nil {
		return 0, err
	}
	return unit.Force(float64(settling) * k), nil
}

// together is the stiffness of bolt and clamped parts in one line; parts = 0 means rigid.
func together(bolt, parts unit.Stiffness) (float64, error) {
	if err := first(positive("the bolt stiffness", bolt), notNegative("the stiffness of the clamped parts", parts)); err != nil {
		return 0, err
	}
	if parts == 0 {
		return float64(bolt), nil
	}
	return 1 / (1/float64(bolt) + 1/float64(parts)), nil
}

// Mismatch is how much longer the clamped part gets than its rod or bolt would.
//
//	x = L (ac dTc - ar dTr)      a expansion, dT rise, c casing, r rod
//
// Casing and rod may be at different temperatures: a rod inside the hot liquid, a casing in the
// wind. Above 0 the rod is stretched more, below 0 it slackens. Source: definition; standing: confirmed.
func Mismatch(length unit.Length, casing, rod unit.Expansion, casingRise, rodRise unit.Kelvin) (unit.Length, error) {
	if err := first(positive("the clamped length", length), expansion("the casing's expansion", casing), expansion("the rod's expansion", rod), rise("the casing's temperature rise", casingRise), rise("the rod's temperature rise", rodRise)); err != nil {
		return 0, err
	}
	return length * unit.Length(float64(casing)*float64(casingRise)-float64(rod)*float64(rodRise)), nil
}

// LoadFromMismatch is the change of rod load from a mismatch of lengths: x / (1/kr + 1/kc).
// Below 0 the rod loses load. Valid while the joint stays closed. Source: compound bars; standing: confirmed.
func LoadFromMismatch(x unit.Length, rod, casing unit.Stiffness) (unit.Force, error) {
	k, err := together(rod, casing)
	if err != nil {
		return 0, err
	}
	return unit.Force(float64(x) * k), nil
}

// RiseForStress is the common temperature rise at which the casing of a rod reaches a stress.
//
//	dT = S As (1/(Er Ar) + 1/(Ec Ac)) / (ac - ar), with As the casing's area
//
// given by the flexibilities of one metre. Valid for ac > ar. Source: compound bars; standing: confirmed.
func RiseForStress(stress unit.Pressure, rodArea, casingArea unit.Area, rodE, casingE unit.Pressure, rod, casing unit.Expansion) (unit.Kelvin, error) {
	if err := first(positive("the stress", stress), positive("the rod's area", rodArea), positive("the casing's area", casingArea), modulus("the rod's modulus", rodE), modulus("the casing's modulus", casingE), expansion("the casing's expansion", casing), expansion("the rod's expansion", rod)); err != nil {
		return 0, err
	}
	if casing <= rod {
		return 0, because("the casing", "does not grow more than the rod", "then heating slackens the joint instead")
	}
	f := float64(stress) * float64(casingArea)
	give := 1/(float64(rodE)*float64(rodArea)) + 1/(float64(casingE)*float64(casingArea))
	return unit.Kelvin(f * give / float64(casing-rod)), nil
}
