package leak

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// AirEnergy is the energy that compressed air sets free when a part bursts or flies off.
//
//	E = P V / (k - 1) [ 1 - (Pa/P)^((k-1)/k) ]      P absolute, k = 1.4 for air
//
// Source: ASME PCC-2 article 501 form; standing: confirmed. Valid for gauge >= 0.
func AirEnergy(volume unit.Volume, gauge, atmosphere unit.Pressure, k float64) (unit.Energy, error) {
	if err := first(stored(volume, gauge, atmosphere), refuse.Within("the exponent of the gas", k, 1.05, 1.67, "it is 1.4 for air")); err != nil {
		return 0, err
	}
	p, pa := float64(gauge+atmosphere), float64(atmosphere)
	return unit.Energy(p * float64(volume) / (k - 1) * (1 - math.Pow(pa/p, (k-1)/k))), nil
}

// AirEnergyRounded is the same with the rounded exponent 0.286 and 2.5 as ASME PCC-2 prints them.
// Source: ASME PCC-2 article 501 form; standing: confirmed.
func AirEnergyRounded(volume unit.Volume, gauge, atmosphere unit.Pressure) (unit.Energy, error) {
	if err := stored(volume, gauge, atmosphere); err != nil {
		return 0, err
	}
	p, pa := float64(gauge+atmosphere), float64(atmosphere)
	return unit.Energy(2.5 * p * float64(volume) * (1 - math.Pow(pa/p, 0.286))), nil
}

// AirEnergyIsothermal is the greatest work that the air could do at one temperature against the
// outside air: P V ln(P/Pa) - Pa V (P/Pa - 1). Source: thermodynamics; standing: confirmed.
func AirEnergyIsothermal(volume unit.Volume, gauge, atmosphere unit.Pressure) (unit.Energy, error) {
	if err := stored(volume, gauge, atmosphere); err != nil {
		return 0, err
	}
	p, pa, v := float64(gauge+atmosphere), float64(atmosphere), float64(volume)
	return unit.Energy(p*v*math.Log(p/pa) - (p-pa)*v), nil
}

// LiquidEnergy is the energy in compressed liquid: V p^2 / (2 K), K bulk modulus (water 2.18 GPa).
// Source: linear elasticity; standing: confirmed.
func LiquidEnergy(volume unit.Volume, gauge, bulkModulus unit.Pressure) (unit.Energy, error) {
	if err := first(positive("the volume", volume), notNegative("the pressure", gauge), refuse.Within("the bulk modulus", float64(bulkModulus), 1e8, 1e11, "water has 2.18 GPa")); err != nil {
		return 0, err
	}
	return unit.Energy(float64(volume) * float64(gauge) * float64(gauge) / (2 * float64(bulkModulus))), nil
}

// TNT is the mass of explosive with the same energy, kilogram: E / 4 266 920 J/kg (ASME PCC-2).
func TNT(e unit.Energy) float64 { return float64(e) / 4266920 }

// StandOff is how far people stay away from an air test of a vessel: 20 m for each cube root of a kilogram
// of explosive, and never less than 30 m. Valid up to 135.5 MJ; above that a larger factor holds and the work is one
// for licensed practice. A small part in the shop is tested under water or behind a guard instead.
// Source: ASME PCC-2 article 501, as quoted; standing: confirmed.
func StandOff(e unit.Energy) (unit.Length, error) {
	if err := refuse.Within("the energy", float64(e), 0, 135.5e6, "up to 135.5 MJ; beyond it leave the test to licensed practice"); err != nil {
		return 0, err
	}
	return unit.Length(max(30, 20*math.Cbrt(TNT(e)))), nil
}

// ThrowHeight is how high the energy would throw one kilogram: E / g.
func ThrowHeight(e unit.Energy) unit.Length { return unit.Length(float64(e) / gravity) }

func stored(volume unit.Volume, gauge, atmosphere unit.Pressure) error {
	return first(positive("the volume", volume), notNegative("the pressure", gauge), air(atmosphere))
}

// Tube is a thin closed tube, free to move, full of liquid.
type Tube struct {
	Diameter, Wall unit.Length
	E              unit.Pressure
	Poisson        unit.Ratio
	Expansion      unit.Expansion
}

// LockedRigid is the pressure rise of a rigid vessel full of liquid, without air, when it warms.
//
//	dp = b dT / k      b volume expansion, k compressibility of the liquid
//
// 4.5 bar for every kelvin with water at 20 C. Source: definition; standing: confirmed.
func LockedRigid(expansion unit.Expansion, compressibility float64, rise unit.Kelvin) (unit.Pressure, error) {
	if err := first(volumeExpansion(expansion), bulk(compressibility), span("the rise of temperature", rise)); err != nil {
		return 0, err
	}
	return unit.Pressure(float64(expansion) / compressibility * float64(rise)), nil
}

// LockedTube is the same for a tube that gives.
//
//	dp = (b - 3 a) dT / (k + D/(t E) (1.25 - n))
//
// Source: thin-wall theory; standing: confirmed.
func LockedTube(expansion unit.Expansion, compressibility float64, rise unit.Kelvin, tube Tube) (unit.Pressure, error) {
	if err := first(volumeExpansion(expansion), bulk(compressibility), span("the rise of temperature", rise), positive("the diameter of the tube", tube.Diameter), positive("the wall of the tube", tube.Wall), positive("the modulus of the tube", tube.E), refuse.Within("Poisson's ratio", float64(tube.Poisson), 0, 0.5, "0.3 for steel"), notNegative("the expansion of the tube", tube.Expansion)); err != nil {
		return 0, err
	}
	give := compressibility + float64(tube.Diameter/tube.Wall)/float64(tube.E)*(1.25-float64(tube.Poisson))
	return unit.Pressure(float64(expansion-3*tube.Expansion) * float64(rise) / give), nil
}
