package flange

import (
	"math"

	"seepwright/rules/unit"
)

// Governing is the bolt load that the joint needs: the larger of seating and operation, and which it is.
//
// Source: ASME VIII-1 App. 2 (Wm2 at assembly, Wm1 in service); standing: confirmed.
func Governing(operating, seating unit.Force) (load unit.Force, seats bool, err error) {
	if err := first(notNegative("the operating load", operating), notNegative("the seating load", seating)); err != nil {
		return 0, false, err
	}
	return max(operating, seating), seating > operating, nil
}

// LeastBoltArea is the area of all bolts together that the joint needs.
//
//	Am = larger of Wm1 / Sb and Wm2 / Sa      Sb, Sa stress allowed hot in service and cold at assembly
//
// Source: ASME VIII-1 App. 2; standing: confirmed.
func LeastBoltArea(operating, seating unit.Force, hot, cold unit.Pressure) (unit.Area, error) {
	if err := first(notNegative("the operating load", operating), notNegative("the seating load", seating), positive("the bolt stress allowed in service", hot), positive("the bolt stress allowed at assembly", cold)); err != nil {
		return 0, err
	}
	return unit.Area(math.Max(float64(operating)/float64(hot), float64(seating)/float64(cold))), nil
}

// GreatestPressure is the pressure up to which a bolt load meets the operating rule.
//
//	p = W / (pi G^2 / 4 + 2 b pi G m)
//
// Source: OperatingLoad turned round; standing: confirmed (algebra).
func GreatestPressure(load unit.Force, b, g unit.Length, m unit.Ratio) (unit.Pressure, error) {
	perPascal, err := OperatingLoad(b, g, m, 1)
	if err := first(err, notNegative("the bolt load", load)); err != nil {
		return 0, err
	}
	return unit.Pressure(load / perPascal), nil
}

// ServiceStressOnGasket is the mean stress left on the gasket when pressure pushes the cover off.
//
//	S = (W - H) / A
//
// Cautious: all of the end force is taken off the gasket and none is given to the bolts, as with soft bolts on a
// stiff gasket. Refused when the end force is above the bolt load. Source: ASME VIII-1 App. 2 (force balance); standing: confirmed.
func ServiceStressOnGasket(load, endForce unit.Force, area unit.Area) (unit.Pressure, error) {
	if err := first(notNegative("the bolt load", load), notNegative("the end force", endForce), positive("the gasket area", area)); err != nil {
		return 0, err
	}
	if endForce >= load {
		return 0, because("the pressure", "lifts the cover off its gasket", "more bolt load or less pressure")
	}
	return unit.Pressure(float64(load-endForce) / float64(area)), nil
}

// FactorLeft is the gasket factor m that a load still gives in service: m = (W - H) / (2 b pi G p).
//
// Compare with the gasket's own m. Refused when the end force is above the load. Source: OperatingLoad turned round; standing: confirmed.
func FactorLeft(load unit.Force, b, g unit.Length, p unit.Pressure) (unit.Ratio, error) {
	one, err := ContactLoad(b, g, 1, p)
	if err := first(err, positive("the pressure", p), notNegative("the bolt load", load)); err != nil {
		return 0, err
	}
	h, err := PressureLoad(g, p)
	if err != nil {
		return 0, err
	}
	if h >= load {
		return 0, because("the pressure", "lifts the cover off its gasket", "more bolt load or less pressure")
	}
	return unit.Ratio((load - h) / one), nil
}
