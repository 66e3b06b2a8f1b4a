package flange

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Torque is the tightening torque for a wanted load by the short form.
//
//	T = K F d      K nut factor, d nominal diameter
//
// Valid for 0.05 <= K <= 0.6. The nut factor decides: dry 0.3, zinc 0.2, oiled 0.15 to 0.18; the load
// at one torque scatters by 25 to 35 % (see Band). Source: machine-design texts; standing: confirmed.
func Torque(f unit.Force, d unit.Length, k unit.Ratio) (unit.Torque, error) {
	if err := first(notNegative("the bolt load", f), positive("the bolt diameter", d), nutFactor(k)); err != nil {
		return 0, err
	}
	return unit.Torque(float64(k) * float64(f) * float64(d)), nil
}

// Preload is the load that a torque gives: F = T / (K d). See Torque.
func Preload(t unit.Torque, d unit.Length, k unit.Ratio) (unit.Force, error) {
	if err := first(notNegative("the torque", t), positive("the bolt diameter", d), nutFactor(k)); err != nil {
		return 0, err
	}
	return unit.Force(float64(t) / (float64(k) * float64(d))), nil
}

func nutFactor(k unit.Ratio) error {
	return refuse.Within("the nut factor", float64(k), 0.05, 0.6, "0.3 is plain and dry, 0.2 zinc plated, 0.15 oiled")
}

// Band is the least and the greatest load for a method of tightening.
//
//	F_min = (1 - g) F, F_max = (1 + g) F      g scatter of the method
//
// Valid for 0 <= g < 1: by torque 0.35 dry, 0.25 oiled; by feel 0.35. Source: preload criteria as
// tabulated in a failure-analysis journal, 2019; standing: confirmed.
func Band(f unit.Force, scatter unit.Ratio) (least, greatest unit.Force, err error) {
	if err := first(notNegative("the bolt load", f), refuse.Within("the scatter", float64(scatter), 0, 0.95, "by torque wrench 25 % oiled, 35 % dry")); err != nil {
		return 0, 0, err
	}
	s := unit.Force(scatter)
	return f * (1 - s), f * (1 + s), nil
}

// Scatter turns a tightening factor (greatest over least load) into plus and minus about the middle.
//
//	g = (a - 1) / (a + 1)
//
// Valid for a >= 1. Source: VDI 2230; standing: confirmed (arithmetic).
func Scatter(factor unit.Ratio) (unit.Ratio, error) {
	if err := tighteningFactor(factor); err != nil {
		return 0, err
	}
	return (factor - 1) / (factor + 1), nil
}

// LeastFromFactor is the least load when the greatest is known.
//
//	F_min = F_max / a
//
// Source: VDI 2230, tightening factor; standing: confirmed.
func LeastFromFactor(greatest unit.Force, factor unit.Ratio) (unit.Force, error) {
	if err := first(notNegative("the greatest load", greatest), tighteningFactor(factor)); err != nil {
		return 0, err
	}
	return greatest / unit.Force(factor), nil
}

func tighteningFactor(a unit.Ratio) error {
	return refuse.Within("the tightening factor", float64(a), 1, 10, "it is the greatest load over the least, 1.4 to 1.8 for a torque wrench")
}

// Head is the bearing ring under a bolt head or nut: outer diameter of the face and the hole.
type Head struct{ Face, Hole unit.Length }

// TorqueLong is the tightening torque with thread and head friction apart.
//
//	T = F [ 0.16 P + 0.58 d2 mu + mu (dw + dh) / 4 ],  d2 = d - 0.6495 P
//
// One friction value for thread and head. Valid for 0.02 <= mu <= 0.5, dw > dh >= d. Source: VDI 2230;
// standing: confirmed (eleven published figures within 0.4 %).
func TorqueLong(f unit.Force, d, pitch unit.Length, mu unit.Ratio, head Head) (unit.Torque, error) {
	if err := first(notNegative("the bolt load", f), thread(d, pitch), friction(mu), head.check(d)); err != nil {
		return 0, err
	}
	d2 := d - 0.6495*pitch
	arm := 0.16*float64(pitch) + 0.58*float64(d2)*float64(mu) + float64(mu)*float64(head.Face+head.Hole)/4
	return unit.Torque(float64(f) * arm), nil
}

// AssemblyPreload is the load at which tension and twist together reach a share of yield.
//
//	F = A0 n Rp / sqrt(1 + 3 [ 1.5 (d2/d0) (P/(pi d2) + 1.155 mu) ]^2),  d0 = (d2 + d3)/2, d3 = d - 1.2269 P
//
// n = 0.9 by custom. Valid for 0.02 <= mu <= 0.5, 0 < n <= 1. Source: VDI 2230; standing: confirmed.
func AssemblyPreload(d, pitch unit.Length, yield unit.Pressure, share, mu unit.Ratio) (unit.Force, error) {
	if err := first(thread(d, pitch), positive("the yield strength", yield), friction(mu), refuse.Within("the share of yield", float64(share), 0.01, 1, "0.9 is the custom")); err != nil {
		return 0, err
	}
	p, dd := float64(pitch), float64(d)
	d2, d3 := dd-0.6495*p, dd-1.2269*p
	d0 := (d2 + d3) / 2
	twist := 1.5 * d2 / d0 * (p/(math.Pi*d2) + 1.155*float64(mu))
	return unit.Force(math.Pi / 4 * d0 * d0 * float64(share) * float64(yield) / math.Sqrt(1+3*twist*twist)), nil
}

func friction(mu unit.Ratio) error {
	return refuse.Within("the friction", float64(mu), 0.02, 0.5, "0.10 to 0.14 is oiled steel, 0.2 dry")
}
