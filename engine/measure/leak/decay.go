package leak

import (
	"math"

	"seepwright/rules/unit"
)

// Decay is what a fall of pressure in a closed volume of air means.
type Decay struct {
	Raw      unit.Pressure // the fall that the gauge shows
	ByHeat   unit.Pressure // the fall that cooling alone makes
	Leaked   unit.Pressure // the fall that is leak, at the first temperature
	Leak     Throughput
	AirOfOne unit.Flow // the leak as free air at one atmosphere
}

// PressureDecay is the leak of a closed volume of air from two readings of gauge and temperature.
//
//	Q = V (P1 - P2 T1/T2) / t      absolute pressures and temperatures
//
// A leak below 0 is a warming that the thermometer did not see, and is returned. Valid for V, t > 0
// and pressures above vacuum. Source: ideal gas; the form of 40 CFR 1065.644; standing: confirmed.
func PressureDecay(volume unit.Volume, start, end unit.Pressure, over unit.Time, tStart, tEnd unit.Celsius, atmosphere unit.Pressure) (Decay, error) {
	if err := first(positive("the volume", volume), positive("the time", over), air(atmosphere), positive("the absolute pressure at the start", start+atmosphere), positive("the absolute pressure at the end", end+atmosphere),
		temperature("the temperature at the start", tStart), temperature("the temperature at the end", tEnd)); err != nil {
		return Decay{}, err
	}
	p1, p2 := float64(start+atmosphere), float64(end+atmosphere)
	t1, t2 := kelvin(tStart), kelvin(tEnd)
	d := Decay{Raw: start - end, ByHeat: unit.Pressure(p1 * (1 - t2/t1)), Leaked: unit.Pressure(p1 - p2*t1/t2)}
	d.Leak = Throughput(float64(volume) * float64(d.Leaked) / float64(over))
	d.AirOfOne = d.Leak.FreeAir()
	return d, nil
}

// SealedAir is the gauge pressure of tight air at another temperature: P2 = P1 T2/T1 (absolute).
// Source: ideal gas; standing: confirmed.
func SealedAir(gauge unit.Pressure, from, to unit.Celsius, atmosphere unit.Pressure) (unit.Pressure, error) {
	if err := first(air(atmosphere), positive("the absolute pressure", gauge+atmosphere), temperature("the temperature at the start", from), temperature("the temperature at the end", to)); err != nil {
		return 0, err
	}
	return (gauge+atmosphere)*unit.Pressure(kelvin(to)/kelvin(from)) - atmosphere, nil
}

// Sight is the least leak that an air decay test can tell from nothing.
type Sight struct {
	ByGauge      Throughput    // one readable step of the gauge
	HeatPressure unit.Pressure // what the doubt of temperature makes on the gauge
	ByHeat       Throughput
	Together     Throughput // root of the sum of squares
}

// LeastVisible is what an air test of this length can see.
//
//	Q = V dp / t; dp from temperature = P dT / T (absolute)
//
// Source: PressureDecay differentiated; standing: confirmed.
func LeastVisible(volume unit.Volume, step unit.Pressure, over unit.Time, gauge unit.Pressure, doubt unit.Kelvin, at unit.Celsius, atmosphere unit.Pressure) (Sight, error) {
	if err := first(positive("the volume", volume), notNegative("the step of the gauge", step), positive("the time", over), air(atmosphere), positive("the absolute pressure", gauge+atmosphere), notNegative("the doubt of temperature", doubt), temperature("the temperature", at)); err != nil {
		return Sight{}, err
	}
	per := float64(volume) / float64(over)
	s := Sight{ByGauge: Throughput(per * float64(step)), HeatPressure: unit.Pressure(float64(gauge+atmosphere) * float64(doubt) / kelvin(at))}
	s.ByHeat = Throughput(per * float64(s.HeatPressure))
	s.Together = Throughput(math.Hypot(float64(s.ByGauge), float64(s.ByHeat)))
	return s, nil
}

// WaterTest is the system of a water test: how much it takes in as pressure rises.
type WaterTest struct {
	Water           unit.Volume
	TrappedAir      unit.Volume // at the test pressure
	Give            unit.Volume // what hoses and rings swell by between 0 and the test pressure
	Compressibility float64     // of the liquid, 1/Pa
}

// LostFor is the liquid that a fall of pressure stands for.
//
//	V = Va (P/(P - dp) - 1) + Vw k dp + Vg dp/p      P absolute, p gauge
//
// Trapped air hides the leak: with a tenth of a litre of it in ten litres the same fall on the
// gauge means a hundred times more lost water. The give of hoses is taken as even over the pressure.
// Valid for 0 <= dp < P. Source: ideal gas at one temperature and bulk modulus; standing: confirmed.
func (w WaterTest) LostFor(gauge, fall, atmosphere unit.Pressure) (unit.Volume, error) {
	if err := first(w.check(gauge, atmosphere), notNegative("the fall of pressure", fall)); err != nil {
		return 0, err
	}
	if fall > gauge {
		return 0, because("the fall of pressure", "is more than the test pressure", "read the gauge again")
	}
	p, dp := float64(gauge+atmosphere), float64(fall)
	v := float64(w.TrappedAir)*(p/(p-dp)-1) + float64(w.Water)*w.Compressibility*dp
	if w.Give > 0 {
		v += float64(w.Give) * dp / float64(gauge)
	}
	return unit.Volume(v), nil
}

func (w WaterTest) check(gauge, atmosphere unit.Pressure) error {
	return first(notNegative("the volume of water", w.Water), notNegative("the trapped air", w.TrappedAir), notNegative("the give of hoses", w.Give), bulk(w.Compressibility), air(atmosphere), positive("the test pressure", gauge))
}
