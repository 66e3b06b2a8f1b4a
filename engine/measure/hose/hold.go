package hose

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// BlowOff is the force with which pressure pushes the hose off its spigot.
//
//	F = p pi D^2 / 4      D spigot outside
//
// Valid for p >= 0. Source: force balance; standing: confirmed.
func BlowOff(spigot unit.Length, p unit.Pressure) (unit.Force, error) {
	if err := first(positive("the spigot", spigot), refuse.NotNegative("the pressure", float64(p))); err != nil {
		return 0, err
	}
	return unit.Force(float64(p) * math.Pi / 4 * float64(spigot*spigot)), nil
}

// BandPressure is the mean pressure of a band on the hose under it.
//
//	p = 2 T / (w D)      T tension in the band, w its width, D diameter of the band
//
// An upper bound: friction eats tension away from the screw. Source: hoop balance; standing: confirmed.
func BandPressure(tension unit.Force, width, diameter unit.Length) (unit.Pressure, error) {
	if err := first(refuse.NotNegative("the band tension", float64(tension)), positive("the band width", width), positive("the diameter of the band", diameter)); err != nil {
		return 0, err
	}
	return unit.Pressure(2 * float64(tension) / float64(width*diameter)), nil
}

// Grip is the force that the band holds against pulling off.
//
//	F = m p pi D w      m friction of rubber on the spigot, p pressure on it, D spigot
//
// An upper bound, with the band's pressure reaching the spigot undiminished. Valid for 0 <= m <= 1.5.
// Source: friction balance; standing: confirmed as a bound.
func Grip(p unit.Pressure, spigot, width unit.Length, friction unit.Ratio) (unit.Force, error) {
	if err := first(refuse.NotNegative("the band pressure", float64(p)), positive("the spigot", spigot), positive("the band width", width), refuse.Within("the friction", float64(friction), 0, 1.5, "wet rubber has about 0.3, dry 0.7")); err != nil {
		return 0, err
	}
	return unit.Force(float64(friction) * float64(p) * math.Pi * float64(spigot*width)), nil
}

// TensionFromTorque is the tension that a screw puts into the band.
//
//	T = M / (K d)      M torque, K nut factor, d outside of the screw
//
// The nut factor of a worm screw is badly known: 0.2 greased to 0.4 dry and rusty, and the band loses more
// on its way round. Source: torque law of screws (machine-design texts); standing: estimate for worm clamps.
func TensionFromTorque(torque unit.Torque, screw unit.Length, nut unit.Ratio) (unit.Force, error) {
	if err := first(notNegative("the torque", torque), positive("the screw", screw), nutFactor(nut)); err != nil {
		return 0, err
	}
	return unit.Force(float64(torque) / (float64(nut) * float64(screw))), nil
}

// TorqueForTension is TensionFromTorque solved for the torque: M = K d T.
// Source: as TensionFromTorque; standing: estimate for worm clamps.
func TorqueForTension(tension unit.Force, screw unit.Length, nut unit.Ratio) (unit.Torque, error) {
	if err := first(notNegative("the band tension", tension), positive("the screw", screw), nutFactor(nut)); err != nil {
		return 0, err
	}
	return unit.Torque(float64(nut) * float64(screw) * float64(tension)), nil
}

// Hold is a hose that nothing but its bands keeps on the spigot: no bead, or one that has been passed.
type Hold struct {
	Spigot   unit.Length
	Around   unit.Length // diameter of the band: outside of the hose on its spigot
	Width    unit.Length // of one band
	Bands    int
	Friction unit.Ratio // of rubber on the spigot
}

func (h Hold) check() error {
	if err := first(positive("the spigot", h.Spigot), positive("the diameter of the band", h.Around), positive("the band width", h.Width), refuse.Within("the friction", float64(h.Friction), 0.01, 1.5, "wet rubber has about 0.3, dry 0.7")); err != nil {
		return err
	}
	if h.Around < h.Spigot {
		return refuse.Because("the diameter of the band", "is below the spigot", "give the outside of the hose on its spigot")
	}
	if h.Bands < 1 || h.Bands > 4 {
		return refuse.Because("the number of bands", "is not 1 to 4", "count the bands that sit wholly on the spigot")
	}
	return nil
}

// PressureHeld is the pressure in the hose at which it slides off.
//
//	p = n 4 m pb w / D      pb pressure of each band on the spigot, n bands, m friction, D spigot
//
// An upper bound, see Grip. Source: Grip = BlowOff; standing: confirmed as a bound.
func (h Hold) PressureHeld(bandPressure unit.Pressure) (unit.Pressure, error) {
	if err := first(h.check(), notNegative("the band pressure", bandPressure)); err != nil {
		return 0, err
	}
	return unit.Pressure(4*float64(h.Bands)*float64(h.Friction)) * bandPressure * unit.Pressure(h.Width/h.Spigot), nil
}

// BandPressureFor is the pressure that each band has to press with, so that hose and spigot stay together
// at a pressure in the hose, with a margin.
//
//	pb = s p D / (4 n m w)      s safety, p pressure in the hose
//
// Source: PressureHeld solved; standing: confirmed as a bound.
func (h Hold) BandPressureFor(p unit.Pressure, safety float64) (unit.Pressure, error) {
	if err := first(h.check(), notNegative("the pressure", p), margin(safety)); err != nil {
		return 0, err
	}
	return unit.Pressure(safety) * p * unit.Pressure(float64(h.Spigot/h.Width)/(4*float64(h.Bands)*float64(h.Friction))), nil
}

// TensionFor is the tension in each band that gives this pressure on the spigot: T = pb w Da / 2.
// Source: BandPressure solved; standing: confirmed.
func (h Hold) TensionFor(bandPressure unit.Pressure) (unit.Force, error) {
	if err := first(h.check(), notNegative("the band pressure", bandPressure)); err != nil {
		return 0, err
	}
	return unit.Force(float64(bandPressure) * float64(h.Width*h.Around) / 2), nil
}

// PerFixing is what each screw or clip that retains a plugged-in pipe has to carry.
//
//	F = s p pi D^2 / (4 n)      s share of peaks over the working pressure, n fixings that carry
//
// The friction of an O-ring or of sealant is never counted. Trade rule: two fixings, twice the greatest
// pressure. Source: force balance, confirmed; the rule common practice.
func PerFixing(d unit.Length, p unit.Pressure, safety float64, fixings int) (unit.Force, error) {
	f, err := BlowOff(d, p)
	if err := first(err, margin(safety)); err != nil {
		return 0, err
	}
	if fixings < 1 {
		return 0, refuse.Because("the number of fixings", "is below 1", "a plugged-in pipe without a retainer walks out: count screws, clips or plates")
	}
	return f * unit.Force(safety) / unit.Force(fixings), nil
}

// PressureFor is the greatest pressure at which the fixings still hold: PerFixing solved.
// Source: force balance; standing: confirmed.
func PressureFor(d unit.Length, each unit.Force, safety float64, fixings int) (unit.Pressure, error) {
	one, err := PerFixing(d, unit.Bar, safety, fixings)
	if err := first(err, positive("what one fixing carries", each)); err != nil {
		return 0, err
	}
	return unit.Bar * unit.Pressure(each/one), nil
}

func nutFactor(k unit.Ratio) error {
	return refuse.Within("the nut factor", float64(k), 0.05, 1, "0.2 greased, 0.3 as found, 0.4 dry and rusty")
}

func margin(safety float64) error {
	return refuse.Within("the safety", safety, 1, 10, "2 is usual for peaks of pressure")
}
