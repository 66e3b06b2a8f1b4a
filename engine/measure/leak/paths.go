package leak

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Viscosity is dynamic viscosity, Pa s.
type Viscosity float64

// Capillary is the laminar flow of liquid through a round hole.
//
//	Q = pi d^4 dp / (128 m L)
//
// Valid for Reynolds below about 2000 (see Reynolds) and L much longer than d.
// Source: laminar pipe flow; standing: confirmed.
func Capillary(d, length unit.Length, dp unit.Pressure, m Viscosity) (unit.Flow, error) {
	if err := first(positive("the hole", d), positive("the length of the hole", length), notNegative("the pressure", dp), viscous(m)); err != nil {
		return 0, err
	}
	return unit.Flow(math.Pi * math.Pow(float64(d), 4) * float64(dp) / (128 * float64(m) * float64(length))), nil
}

// Reynolds is 4 r Q / (pi d m) for a flow in a round hole, r density in kg/m3.
// Source: definition; standing: confirmed.
func Reynolds(q unit.Flow, d unit.Length, density float64, m Viscosity) (float64, error) {
	if err := first(notNegative("the flow", q), positive("the hole", d), positive("the density", density), viscous(m)); err != nil {
		return 0, err
	}
	return 4 * density * float64(q) / (math.Pi * float64(d) * float64(m)), nil
}

// Slot is the laminar flow through a flat gap: Q = w h^3 dp / (12 m L).
// A gap twice as high passes eight times as much. Source: laminar slot flow; standing: confirmed.
func Slot(gap, width, length unit.Length, dp unit.Pressure, m Viscosity) (unit.Flow, error) {
	if err := first(positive("the gap", gap), positive("the width of the gap", width), positive("the length of the gap", length), notNegative("the pressure", dp), viscous(m)); err != nil {
		return 0, err
	}
	return unit.Flow(float64(width) * math.Pow(float64(gap), 3) * float64(dp) / (12 * float64(m) * float64(length))), nil
}

// RadialGap is the flow outward between two bare ring faces: Q = pi h^3 dp / (6 m ln(ro/ri)).
// Source: laminar radial flow; standing: confirmed.
func RadialGap(gap, inner, outer unit.Length, dp unit.Pressure, m Viscosity) (unit.Flow, error) {
	if err := first(positive("the gap", gap), positive("the inner radius", inner), notNegative("the pressure", dp), viscous(m)); err != nil {
		return 0, err
	}
	if outer <= inner {
		return 0, because("the outer radius", "is not larger than the inner", "give both radii of the ring face")
	}
	return unit.Flow(math.Pi * math.Pow(float64(gap), 3) * float64(dp) / (6 * float64(m) * math.Log(float64(outer/inner)))), nil
}

// CapillaryGas is the laminar flow of gas through a round hole into the open air.
//
//	q = pi d^4 (P1^2 - P2^2) / (256 m L)      absolute pressures, q in Pa m3/s
//
// Valid for Knudsen < 0.01 and Reynolds below about 2000. Source: laminar flow of an ideal gas at one
// temperature; standing: confirmed.
func CapillaryGas(d, length unit.Length, gauge, atmosphere unit.Pressure, m Viscosity) (Throughput, error) {
	if err := first(positive("the hole", d), positive("the length of the hole", length), notNegative("the pressure", gauge), air(atmosphere), viscous(m)); err != nil {
		return 0, err
	}
	return Throughput(math.Pi * math.Pow(float64(d), 4) * squares(gauge, atmosphere) / (256 * float64(m) * float64(length))), nil
}

// ReynoldsAir is 4 mdot / (pi d m) of an air throughput at a temperature.
// Source: definition; standing: confirmed.
func ReynoldsAir(q Throughput, d unit.Length, m Viscosity, t unit.Celsius) (float64, error) {
	if err := first(notNegative("the flow", q), positive("the hole", d), viscous(m), temperature("the temperature", t)); err != nil {
		return 0, err
	}
	return 4 * float64(q) / (airGas * kelvin(t)) / (math.Pi * float64(d) * float64(m)), nil
}

// MeanFreePath is the way of an air molecule between two knocks: (m/P) sqrt(pi R T / 2), at the
// mean of the two pressures. Source: kinetic theory; standing: confirmed.
func MeanFreePath(gauge, atmosphere unit.Pressure, m Viscosity, t unit.Celsius) (unit.Length, error) {
	if err := first(notNegative("the pressure", gauge), air(atmosphere), viscous(m), temperature("the temperature", t)); err != nil {
		return 0, err
	}
	mean := float64(atmosphere) + float64(gauge)/2
	return unit.Length(float64(m) / mean * math.Sqrt(math.Pi*airGas*kelvin(t)/2)), nil
}

// LiquidFromGas is the leak of liquid to expect through a path that leaked a known amount of air.
//
//	Ql = qg 2 mg dpl / (ml (P1^2 - P2^2))      qg in Pa m3/s
//
// Laminar in both, the path wetted and not plugged by surface tension (see HoldingPressure).
// Source: CapillaryGas over Capillary; standing: confirmed (the plain viscosity ratio reads high).
func LiquidFromGas(q Throughput, test, atmosphere, liquid unit.Pressure, gas, fluid Viscosity) (unit.Flow, error) {
	if err := first(notNegative("the air leak", q), positive("the pressure of the air test", test), air(atmosphere), notNegative("the pressure of the liquid", liquid), viscous(gas), viscous(fluid)); err != nil {
		return 0, err
	}
	return unit.Flow(float64(q) * 2 * float64(gas) * float64(liquid) / (float64(fluid) * squares(test, atmosphere))), nil
}

// GasFromLiquid is the air leak to expect through a path that leaks a known amount of liquid: LiquidFromGas
// solved for the gas. Source: as there; standing: confirmed.
func GasFromLiquid(q unit.Flow, liquid, test, atmosphere unit.Pressure, fluid, gas Viscosity) (Throughput, error) {
	if err := first(notNegative("the leak of liquid", q), positive("the pressure of the liquid", liquid), notNegative("the pressure of the air test", test), air(atmosphere), viscous(gas), viscous(fluid)); err != nil {
		return 0, err
	}
	return Throughput(float64(q) * float64(fluid) * squares(test, atmosphere) / (2 * float64(gas) * float64(liquid))), nil
}

// HoleFor is the round hole of a length that passes a flow of liquid: Capillary solved for d.
//
//	d = (128 m L Q / (pi dp))^(1/4)
//
// A real path is never round: take it as the order of the thing to look for. Source: as Capillary; confirmed.
func HoleFor(q unit.Flow, length unit.Length, dp unit.Pressure, m Viscosity) (unit.Length, error) {
	if err := first(positive("the flow", q), positive("the length of the hole", length), positive("the pressure", dp), viscous(m)); err != nil {
		return 0, err
	}
	return unit.Length(math.Pow(128*float64(m)*float64(length)*float64(q)/(math.Pi*float64(dp)), 0.25)), nil
}

// GapFor is the flat gap that passes a flow of liquid: Slot solved for h = (12 m L Q / (w dp))^(1/3).
// Source: as Slot; standing: confirmed.
func GapFor(q unit.Flow, width, length unit.Length, dp unit.Pressure, m Viscosity) (unit.Length, error) {
	if err := first(positive("the flow", q), positive("the width of the gap", width), positive("the length of the gap", length), positive("the pressure", dp), viscous(m)); err != nil {
		return 0, err
	}
	return unit.Length(math.Cbrt(12 * float64(m) * float64(length) * float64(q) / (float64(width) * float64(dp)))), nil
}

// AtOtherPressure scales a viscous gas leak with the difference of squared absolute pressures.
// Source: leak-test instrument manual; standing: confirmed.
func AtOtherPressure(q Throughput, high1, low1, high2, low2 unit.Pressure) (Throughput, error) {
	a := float64(high1*high1 - low1*low1)
	b := float64(high2*high2 - low2*low2)
	if err := first(notNegative("the leak", q), positive("the first difference of squared pressures", a), notNegative("the second difference of squared pressures", b)); err != nil {
		return 0, err
	}
	return Throughput(float64(q) * b / a), nil
}

// HotToCold is the ratio of laminar flows at two viscosities: Q2/Q1 = m1/m2.
// Source: laminar flow; standing: confirmed.
func HotToCold(cold, hot Viscosity) (unit.Ratio, error) {
	return unit.Ratio(cold / hot), first(viscous(cold), viscous(hot))
}

// Orifice is the flow of liquid through a sharp hole: Q = Cd A sqrt(2 dp / r).
// Cd 0.62 for a sharp edge. Source: orifice flow; standing: confirmed.
func Orifice(d unit.Length, dp unit.Pressure, density float64, cd unit.Ratio) (unit.Flow, error) {
	if err := first(positive("the hole", d), notNegative("the pressure", dp), positive("the density", density), discharge(cd)); err != nil {
		return 0, err
	}
	return unit.Flow(float64(cd) * math.Pi / 4 * float64(d*d) * math.Sqrt(2*float64(dp)/density)), nil
}

// CriticalRatio is the ratio of outlet to inlet pressure below which air goes through a hole with
// the speed of sound: (2/(k+1))^(k/(k-1)) with k = 1.4. Source: theory; standing: confirmed.
func CriticalRatio() float64 { return math.Pow(2/2.4, 3.5) }

// OrificeAir is the mass flow of air through a sharp hole into the open, kg/s, and whether it is choked.
//
//	choked: Cd A P1 sqrt(k/(R T)) (2/(k+1))^((k+1)/(2(k-1)))
//	else:   Cd A P1 sqrt( 2k/((k-1) R T) (r^(2/k) - r^((k+1)/k)) ), r = P2/P1
//
// Source: ideal gas through a nozzle; standing: confirmed.
func OrificeAir(d unit.Length, gauge, atmosphere unit.Pressure, t unit.Celsius, cd unit.Ratio) (kgPerSecond float64, choked bool, err error) {
	if err := first(positive("the hole", d), notNegative("the pressure", gauge), air(atmosphere), temperature("the temperature", t), discharge(cd)); err != nil {
		return 0, false, err
	}
	const k = 1.4
	p1, r := float64(gauge+atmosphere), float64(atmosphere/(gauge+atmosphere))
	lead := float64(cd) * math.Pi / 4 * float64(d*d) * p1
	rt := airGas * kelvin(t)
	if r <= CriticalRatio() {
		return lead * math.Sqrt(k/rt) * math.Pow(2/(k+1), (k+1)/(2*(k-1))), true, nil
	}
	return lead * math.Sqrt(2*k/((k-1)*rt)*(math.Pow(r, 2/k)-math.Pow(r, (k+1)/k))), false, nil
}

// FreeAirOf is the volume of a mass flow of air at one atmosphere and a temperature.
func FreeAirOf(kgPerSecond float64, t unit.Celsius) unit.Flow {
	return unit.Flow(kgPerSecond * airGas * kelvin(t) / float64(Atmosphere))
}

// HoldingPressure is the pressure that surface tension holds in a round hole: 4 s cos(a) / d.
// s surface tension N/m, a contact angle. Source: capillarity; standing: confirmed. Valid for a < 90 degrees.
func HoldingPressure(d unit.Length, tension float64, angle unit.Angle) (unit.Pressure, error) {
	if err := first(positive("the hole", d), positive("the surface tension", tension), refuse.Within("the contact angle", float64(angle), 0, math.Pi/2, "0 is fully wetted; above 90 degrees the liquid does not creep in")); err != nil {
		return 0, err
	}
	return unit.Pressure(4 * tension * math.Cos(float64(angle)) / float64(d)), nil
}

// HeldHole is the largest round wetted hole that surface tension keeps dry at a pressure: HoldingPressure
// solved for d. Below it a liquid never drips, while air still bubbles. Source: capillarity; confirmed.
func HeldHole(p unit.Pressure, tension float64, angle unit.Angle) (unit.Length, error) {
	if err := positive("the pressure", p); err != nil {
		return 0, err
	}
	one, err := HoldingPressure(1, tension, angle)
	return unit.Length(one / p), err
}

// Bubbles is the number of bubbles of one size per second: q / (pi/6 d^3).
// Source: geometry of a sphere; standing: confirmed.
func Bubbles(q unit.Flow, d unit.Length) (float64, error) {
	if err := first(notNegative("the flow", q), positive("the size of a bubble", d)); err != nil {
		return 0, err
	}
	return float64(q) / (math.Pi / 6 * math.Pow(float64(d), 3)), nil
}

func viscous(m Viscosity) error {
	return refuse.Within("the viscosity", float64(m), 1e-6, 1e4, "water has 1 mPa s, that is 0.001 Pa s")
}

func discharge(cd unit.Ratio) error {
	return refuse.Within("the discharge factor", float64(cd), 0.3, 1, "it is 0.62 for a sharp edge")
}

func squares(gauge, atmosphere unit.Pressure) float64 {
	p := float64(gauge + atmosphere)
	return p*p - float64(atmosphere)*float64(atmosphere)
}
