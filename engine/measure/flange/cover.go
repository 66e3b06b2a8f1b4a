package flange

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// GreatestPitch is the widest bolt pitch by pressure-vessel practice: p = 2 d + 6 t / (m + 0.5).
// d bolt, t flange thickness, m gasket factor. Source: TEMA, EN 13445-3; standing: from memory.
func GreatestPitch(d, thickness unit.Length, m unit.Ratio) (unit.Length, error) {
	if err := first(positive("the bolt diameter", d), positive("the flange thickness", thickness), notNegative("the gasket factor m", m)); err != nil {
		return 0, err
	}
	return 2*d + 6*thickness/unit.Length(m+0.5), nil
}

// PitchPenalty is the factor on the flange moment for a wide pitch: sqrt(p / (2 a + t)).
// a bolt diameter, t flange thickness. Below 1 no penalty applies. Source: ASME VIII-1 App. 2; standing: from memory.
func PitchPenalty(pitch, d, thickness unit.Length) (unit.Ratio, error) {
	if err := first(positive("the pitch", pitch), positive("the bolt diameter", d), positive("the flange thickness", thickness)); err != nil {
		return 0, err
	}
	return unit.Ratio(math.Sqrt(float64(pitch / (2*d + thickness)))), nil
}

// PitchRatio is the pitch in bolt diameters: pi Db / (N d). 3 to 6 for a gasketed joint (textbook,
// from memory), 5 to 10 in design notes (confirmed).
func PitchRatio(circle unit.Length, bolts int, d unit.Length) (unit.Ratio, error) {
	if err := first(positive("the bolt circle", circle), counted("the number of bolts", bolts), positive("the bolt diameter", d)); err != nil {
		return 0, err
	}
	return unit.Ratio(math.Pi * float64(circle/d) / float64(bolts)), nil
}

// PitchForBow is the bolt pitch at which a cover bows by a given loss of gasket squeeze in mid-span.
//
//	L = [ 480 (a/b) E t^3 dH / (13 Pmin + 2 Pmax) ]^(1/4)
//
// a cover width, b gasket width, t cover thickness, dH difference of squeeze, P gasket pressures in
// mid-span and at the bolt. Cover as clamped beam, pressure parabolic. Source: derived, checked by
// integration; standing: confirmed.
func PitchForBow(width, gasket, thickness unit.Length, e unit.Pressure, bow unit.Length, pMin, pMax unit.Pressure) (unit.Length, error) {
	if err := first(positive("the cover width", width), positive("the gasket width", gasket), positive("the cover thickness", thickness), modulus("the cover's modulus", e), positive("the bow", bow), notNegative("the gasket pressure in mid-span", pMin), positive("the gasket pressure at the bolt", pMax)); err != nil {
		return 0, err
	}
	t := float64(thickness)
	l4 := 480 * float64(width/gasket) * float64(e) * t * t * t * float64(bow) / (13*float64(pMin) + 2*float64(pMax))
	return unit.Length(math.Pow(l4, 0.25)), nil
}

// Cover is a strip of cover on its gasket.
type Cover struct {
	Width, Thickness unit.Length
	E                unit.Pressure
	GasketE          unit.Pressure
	GasketWidth      unit.Length
	GasketThickness  unit.Length
}

// Lambda is the stiffness number of a cover on a springy gasket, per metre.
//
//	lambda = (k / 4 E I)^(1/4), k = Eg b / tg, I = w t^3 / 12
//
// Source: beam on elastic foundation; standing: confirmed.
func (c Cover) Lambda() (float64, error) {
	if err := first(positive("the cover width", c.Width), positive("the cover thickness", c.Thickness), modulus("the cover's modulus", c.E), modulus("the gasket's modulus", c.GasketE), positive("the gasket width", c.GasketWidth), positive("the gasket thickness", c.GasketThickness)); err != nil {
		return 0, err
	}
	t := float64(c.Thickness)
	k := float64(c.GasketE) * float64(c.GasketWidth/c.GasketThickness)
	return math.Pow(k/(4*float64(c.E)*float64(c.Width)*t*t*t/12), 0.25), nil
}

// PressureRatio is the gasket pressure in mid-span over that at the bolt.
//
//	r = (C s + S c) / (C S + c s), u = lambda L / 2; C, S cosh, sinh u; c, s cos, sin u
//
// Below 0 the gasket lifts in mid-span (from lambda L = 4.730 on). Valid for 0 < u <= 20.
// Source: beam on elastic foundation with equal loads; derived and checked; standing: confirmed.
func PressureRatio(u float64) (unit.Ratio, error) {
	if err := refuse.Within("the stiffness number times half the pitch", u, 1e-6, 20, "check the sizes of cover and gasket"); err != nil {
		return 0, err
	}
	C, S, c, s := math.Cosh(u), math.Sinh(u), math.Cos(u), math.Sin(u)
	return unit.Ratio((C*s + S*c) / (C*S + c*s)), nil
}

// PressureAlong is the gasket pressure at a place between two bolts over that at the bolt; at runs from -1 at one bolt over
// 0 in mid-span to 1 at the next.
//
//	r(x) = [(C s + S c) cosh x cos x + (C s - S c) sinh x sin x] / (C S + c s), x = u at
//
// C, S, c, s and u as in PressureRatio, which is this in mid-span. Valid for 0 < u <= 20, -1 <= at <= 1.
// Source: beam on elastic foundation with equal loads; derived and checked; standing: confirmed.
func PressureAlong(u float64, at unit.Ratio) (unit.Ratio, error) {
	if err := first(refuse.Within("the stiffness number times half the pitch", u, 1e-6, 20, "check the sizes of cover and gasket"),
		refuse.Within("the place between two bolts", float64(at), -1, 1, "-1 at one bolt, 0 midway, 1 at the next")); err != nil {
		return 0, err
	}
	C, S, c, s := math.Cosh(u), math.Sinh(u), math.Cos(u), math.Sin(u)
	x := u * float64(at)
	return unit.Ratio(((C*s+S*c)*math.Cosh(x)*math.Cos(x) + (C*s-S*c)*math.Sinh(x)*math.Sin(x)) / (C*S + c*s)), nil
}

// LiftPitch is the pitch at which the gasket lifts in mid-span: lambda L = 4.730.
// Source: beam on an elastic bed, derived and checked numerically; standing: confirmed.
func LiftPitch(lambda float64) (unit.Length, error) {
	if err := positive("the stiffness number", lambda); err != nil {
		return 0, err
	}
	return unit.Length(4.730040744862704 / lambda), nil
}

// PlateDish is the deflection in the middle of a round cover clamped at its edge.
//
//	w = p a^4 / (64 D), D = E t^3 / (12 (1 - n^2))      a radius, n Poisson's ratio
//
// Valid for w well below t. Source: plate theory; standing: confirmed.
func PlateDish(radius, thickness unit.Length, e unit.Pressure, poisson unit.Ratio, p unit.Pressure) (unit.Length, error) {
	if err := first(positive("the radius of the cover", radius), positive("the cover thickness", thickness), modulus("the cover's modulus", e), refuse.Within("Poisson's ratio", float64(poisson), 0, 0.5, "0.3 for steel, 0.33 for aluminium"), notNegative("the pressure", p)); err != nil {
		return 0, err
	}
	t, a, n := float64(thickness), float64(radius), float64(poisson)
	d := float64(e) * t * t * t / (12 * (1 - n*n))
	return unit.Length(float64(p) * a * a * a * a / (64 * d)), nil
}

// CentreBoltLoad is the load of a cap pulled in by one rod: seating of the rim plus pressure.
//
//	F = S A_rim + p (pi/4) D^2
//
// Source: force balance; standing: confirmed.
func CentreBoltLoad(outer, inner unit.Length, seating unit.Pressure, sealed unit.Length, p unit.Pressure) (seat, pressure unit.Force, err error) {
	a, err := RingArea(outer, inner)
	if err != nil {
		return 0, 0, err
	}
	if err := notNegative("the seating stress", seating); err != nil {
		return 0, 0, err
	}
	pressure, err = PressureLoad(sealed, p)
	return unit.Force(float64(a) * float64(seating)), pressure, err
}
