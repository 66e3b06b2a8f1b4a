package gland

import (
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// VolumeGrowth is the growth of rubber's volume with heat.
//
//	G = 3 a dT      a linear expansion 1/K, dT K (linearised: 2 % low at G = 4 %)
//
// Valid for |dT| up to 300 K. Source: definition; standing: confirmed.
func VolumeGrowth(a unit.Expansion, rise unit.Kelvin) (unit.Ratio, error) {
	if err := heat(a, rise); err != nil {
		return 0, err
	}
	return unit.Ratio(3 * float64(a) * float64(rise)), nil
}

// SectionChange is the change of the cord with heat.
//
//	dd = d a dT
//
// Valid for |dT| up to 300 K. Source: definition; standing: confirmed.
func SectionChange(cord unit.Length, a unit.Expansion, rise unit.Kelvin) (unit.Length, error) {
	if err := first(positive("the cord", cord), heat(a, rise)); err != nil {
		return 0, err
	}
	return cord * unit.Length(float64(a)*float64(rise)), nil
}

// SqueezeAt is the squeeze at another temperature, the metal taken as unchanged.
//
//	C = (d (1 + a dT) - t) / (d (1 + a dT))
//
// The metal moves about a tenth as much as the rubber and is left out, which reads slightly
// high in the cold. Source: geometry; standing: confirmed.
func SqueezeAt(cord, depth unit.Length, a unit.Expansion, rise unit.Kelvin) (unit.Ratio, error) {
	dd, err := SectionChange(cord, a, rise)
	if err != nil {
		return 0, err
	}
	return Squeeze(cord+dd, depth)
}

// ColdLimit is the lowest temperature at which a static ring still follows its groove.
//
//	T = TR10 - 8 K
//
// TR10 is the temperature of 10 % retraction, ISO 2921. Source: published rule (about 8 C or 15 F
// below TR10); standing: confirmed as a rule, plus or minus 5 K.
func ColdLimit(tr10 unit.Celsius) (unit.Celsius, error) {
	if err := rubberTemperature(tr10); err != nil {
		return 0, err
	}
	return tr10 - 8, nil
}

// ColdLimitMoving is the same for a moving seal or one that must hold pressure at once: TR10 itself.
// Source: published rule; standing: confirmed as a rule.
func ColdLimitMoving(tr10 unit.Celsius) (unit.Celsius, error) {
	return tr10, rubberTemperature(tr10)
}

func rubberTemperature(t unit.Celsius) error {
	return refuse.Within("the TR10 temperature", float64(t), -120, 60, "take it from the rubber's data sheet, in degrees Celsius")
}

func heat(a unit.Expansion, rise unit.Kelvin) error {
	return first(
		refuse.Within("the linear expansion", float64(a), 0, 1e-3, "rubbers have 1 to 3 e-4 per kelvin"),
		refuse.Within("the temperature change", float64(rise), -300, 300, "give the difference in kelvin"))
}

func swelling(s unit.Ratio) error {
	return refuse.Within("the volume swell", float64(s), -0.5, 2, "give it as a per cent of the volume, shrinkage with a minus")
}

func finiteRatio(what string, r unit.Ratio) error { return refuse.NotNegative(what, float64(r)) }
