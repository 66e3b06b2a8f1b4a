package leak

import (
	"math"

	"seepwright/rules/unit"
)

// Compliance is how much liquid a system under water test takes in for a small rise of pressure, m3/Pa.
//
//	C = Va/P + Vw k + Vg/p      P absolute, p gauge
//
// 50 mL of trapped air at 1 bar alone make 25 mL/bar. Source: LostFor for a small fall; standing: confirmed.
func (w WaterTest) Compliance(gauge, atmosphere unit.Pressure) (float64, error) {
	if err := w.check(gauge, atmosphere); err != nil {
		return 0, err
	}
	return float64(w.TrappedAir)/float64(gauge+atmosphere) + float64(w.Water)*w.Compressibility + float64(w.Give)/float64(gauge), nil
}

// ByHeat is the change of pressure that a change of temperature alone makes in a water test.
//
//	dp = Vw b dT / C      b volume expansion of the liquid
//
// For small changes; a pump that warms the water by a tenth of a degree can hide a leak or make one up.
// Source: Compliance and the definition of expansion; standing: confirmed (trade figure: 15 L of water with
// soft hoses of 70 mL/bar make 0.04 bar for each kelvin).
func (w WaterTest) ByHeat(gauge unit.Pressure, expansion unit.Expansion, change unit.Kelvin, atmosphere unit.Pressure) (unit.Pressure, error) {
	c, err := w.Compliance(gauge, atmosphere)
	if err := first(err, volumeExpansion(expansion), span("the change of temperature", change)); err != nil {
		return 0, err
	}
	return unit.Pressure(float64(w.Water) * float64(expansion) * float64(change) / c), nil
}

// LeastSeen is the least leak of liquid that a water test of this length can tell from nothing.
//
//	Q = sqrt( V(step)^2 + (Vw b dT)^2 ) / t      V(step) see LostFor, dT doubt of the temperature
//
// Source: LostFor and the definition of expansion; standing: confirmed.
func (w WaterTest) LeastSeen(gauge, step unit.Pressure, over unit.Time, expansion unit.Expansion, doubt unit.Kelvin, atmosphere unit.Pressure) (unit.Flow, error) {
	v, err := w.blur(gauge, step, expansion, doubt, atmosphere)
	if err := first(err, positive("the time", over)); err != nil {
		return 0, err
	}
	return unit.Flow(float64(v) / float64(over)), nil
}

// TimeToSee is how long a water test must last to show a leak: LeastSeen solved for t.
func (w WaterTest) TimeToSee(wanted unit.Flow, gauge, step unit.Pressure, expansion unit.Expansion, doubt unit.Kelvin, atmosphere unit.Pressure) (unit.Time, error) {
	v, err := w.blur(gauge, step, expansion, doubt, atmosphere)
	if err := first(err, positive("the leak to be seen", wanted)); err != nil {
		return 0, err
	}
	return unit.Time(float64(v) / float64(wanted)), nil
}

// MostAir is how much air may be left in the system if a leak is to be seen in a time: LeastSeen solved for the
// trapped air. It is an error when the leak cannot be seen even without air.
func (w WaterTest) MostAir(wanted unit.Flow, over unit.Time, gauge, step unit.Pressure, expansion unit.Expansion, doubt unit.Kelvin, atmosphere unit.Pressure) (unit.Volume, error) {
	w.TrappedAir = 0
	v, err := w.LostFor(gauge, step, atmosphere)
	heat, errHeat := Cooling(w.Water, expansion, doubt)
	if err := first(err, errHeat, positive("the leak to be seen", wanted), positive("the time", over), positive("the step of the gauge", step)); err != nil {
		return 0, err
	}
	lost := float64(wanted) * float64(over)
	rest := lost*lost - float64(heat)*float64(heat)
	if rest < float64(v)*float64(v) {
		return 0, because("the leak to be seen", "is too small for this gauge in this time, even without any air", "test longer, use a finer gauge, or hold the temperature steadier")
	}
	p := float64(gauge + atmosphere)
	return unit.Volume((math.Sqrt(rest) - float64(v)) / (p/(p-float64(step)) - 1)), nil
}

// blur is the volume that the gauge and the doubt of temperature leave open.
func (w WaterTest) blur(gauge, step unit.Pressure, expansion unit.Expansion, doubt unit.Kelvin, atmosphere unit.Pressure) (unit.Volume, error) {
	v, err := w.LostFor(gauge, step, atmosphere)
	heat, errHeat := Cooling(w.Water, expansion, doubt)
	if err := first(err, errHeat, notNegative("the doubt of temperature", doubt)); err != nil {
		return 0, err
	}
	return unit.Volume(math.Hypot(float64(v), float64(heat))), nil
}

// AirTimeToSee is how long an air test must last to show a leak: LeastVisible solved for t.
func AirTimeToSee(wanted Throughput, volume unit.Volume, step unit.Pressure, gauge unit.Pressure, doubt unit.Kelvin, at unit.Celsius, atmosphere unit.Pressure) (unit.Time, error) {
	s, err := LeastVisible(volume, step, 1, gauge, doubt, at, atmosphere)
	if err := first(err, positive("the leak to be seen", wanted)); err != nil {
		return 0, err
	}
	return unit.Time(s.Together / wanted), nil
}
