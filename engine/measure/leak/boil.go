package leak

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Saturation is the pressure at which water boils at a temperature.
//
//	ln(p/pc) = (Tc/T) (a1 v + a2 v^1.5 + a3 v^3 + a4 v^3.5 + a5 v^4 + a6 v^7.5), v = 1 - T/Tc
//
// Valid from 0.01 to 373 C. Source: IAPWS SR1-86(1992), saturation properties of ordinary water;
// standing: confirmed (101.418 kPa at 100 C recomputed).
func Saturation(t unit.Celsius) (unit.Pressure, error) {
	if err := refuse.Within("the temperature", float64(t), 0.01, 373, "water boils between 0.01 and 373 degrees Celsius only"); err != nil {
		return 0, err
	}
	const tc, pc = 647.096, 22.064e6
	v := 1 - kelvin(t)/tc
	h := math.Sqrt(v)
	sum := -7.85951783*v + 1.84408259*v*h - 11.7866497*v*v*v + 22.6807411*v*v*v*h - 15.9618719*v*v*v*v + 1.80122502*math.Pow(v, 7.5)
	return unit.Pressure(pc * math.Exp(tc/kelvin(t)*sum)), nil
}

// SaturationTemperature is the temperature at which water boils under an absolute pressure:
// Saturation solved by halving to 1e-10 K. Valid from 612 Pa to 21.8 MPa.
// Source: IAPWS saturation equation, backward form; standing: confirmed.
func SaturationTemperature(p unit.Pressure) (unit.Celsius, error) {
	if err := refuse.Within("the absolute pressure", float64(p), 612, 21.8e6, "water boils between 0.006 and 218 bar only"); err != nil {
		return 0, err
	}
	lo, hi := unit.Celsius(0.01), unit.Celsius(373)
	for hi-lo > 1e-10 {
		mid := (lo + hi) / 2
		s, err := Saturation(mid)
		if err != nil {
			return 0, err
		}
		if s < p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2, nil
}

// WaterBoils is the boiling point of water under a cap: saturation at cap pressure plus air.
// Source: IAPWS saturation equation; standing: confirmed.
func WaterBoils(cap, atmosphere unit.Pressure) (unit.Celsius, error) {
	if err := first(notNegative("the cap pressure", cap), air(atmosphere)); err != nil {
		return 0, err
	}
	return SaturationTemperature(cap + atmosphere)
}

// Densities (kg/m3 at 20 C) and molar masses (g/mol) of water and ethylene glycol.
const (
	waterDensity, glycolDensity = 998.2, 1113.2
	waterMolar, glycolMolar     = 18.0153, 62.068
)

// GlycolBoils is the boiling point of a mixture with ethylene glycol under a cap.
//
//	psat(T) = P / x      x share of molecules that are water
//
// Ideal mixture with glycol taken as not volatile, glycol 1113.2 and water 998.2 kg/m3 when mixed.
// Good to 1.5 K up to 60 % (printed 106 to 108 C and 129 C at 50 %). Source: ideal mixture law; standing:
// estimate. Valid for 0 to 70 % by volume.
func GlycolBoils(cap, atmosphere unit.Pressure, byVolume unit.Ratio) (unit.Celsius, error) {
	if err := first(notNegative("the cap pressure", cap), air(atmosphere), glycolShare(byVolume)); err != nil {
		return 0, err
	}
	return SaturationTemperature((cap + atmosphere) / unit.Pressure(waterShare(byVolume)))
}

// waterShare is the share of molecules that are water.
func waterShare(byVolume unit.Ratio) float64 {
	w := (1 - float64(byVolume)) * waterDensity / waterMolar
	g := float64(byVolume) * glycolDensity / glycolMolar
	return w / (w + g)
}

// CapFor is the least cap pressure (gauge) under which a mixture does not boil at a temperature: GlycolBoils
// solved for the cap. It is 0 where an open system is enough. Source and domain as GlycolBoils.
// Source: as GlycolBoils; standing: confirmed.
func CapFor(t unit.Celsius, atmosphere unit.Pressure, byVolume unit.Ratio) (unit.Pressure, error) {
	p, err := Saturation(t)
	if err := first(err, air(atmosphere), glycolShare(byVolume)); err != nil {
		return 0, err
	}
	return max(0, p*unit.Pressure(waterShare(byVolume))-atmosphere), nil
}

// AirAt is the pressure of the outside air at a height: 101 325 Pa (1 - 2.25577e-5 h)^5.25588, h in metres.
// Valid from 0 to 5000 m. Weather moves it by 3 %. Source: ISO 2533, standard atmosphere; standing: from memory
// (89.87 kPa at 1000 m recomputed).
func AirAt(height unit.Length) (unit.Pressure, error) {
	if err := refuse.Within("the height above the sea", float64(height), 0, 5000, "give it from 0 to 5000 m"); err != nil {
		return 0, err
	}
	return Atmosphere * unit.Pressure(math.Pow(1-2.25577e-5*float64(height), 5.25588)), nil
}

// RuleOfThumb is the boiling point by "3 F for every psi": 100 C + 3/1.8 K per psi.
// It reads 7 K high at 20 psi; here so that it can be recognised. Source: trade pages; standing: confirmed as a wrong rule.
func RuleOfThumb(cap unit.Pressure) (unit.Celsius, error) {
	return 100 + unit.Celsius(float64(cap/unit.PSI)*3/1.8), notNegative("the cap pressure", cap)
}

func glycolShare(byVolume unit.Ratio) error {
	return refuse.Within("the share of glycol", float64(byVolume), 0, 0.7, "give the per cent by volume, up to 70")
}
