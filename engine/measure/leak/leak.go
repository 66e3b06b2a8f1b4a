// Package leak computes leak rates and tests: drops, level and pressure decay, what a gauge can
// see, flow through small paths in liquid and gas, stored energy, boiling, locked-in liquid.
// It knows no fluids: viscosities, expansivities and moduli come in as arguments.
package leak

import (
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Atmosphere is the standard atmosphere (definition). Other air pressures come in as arguments.
const Atmosphere unit.Pressure = 101325

const (
	zeroCelsius = 273.15
	gravity     = 9.80665
	airGas      = 287.05 // J/(kg K), gas constant of dry air
)

// Throughput is a gas leak as pressure times volume per time, Pa m3/s, at the temperature of the gas.
type Throughput float64

// FreeAir is the volume that the throughput has at one standard atmosphere.
func (q Throughput) FreeAir() unit.Flow { return unit.Flow(float64(q) / float64(Atmosphere)) }

// FromFreeAir is the throughput of a flow of air measured at one standard atmosphere.
func FromFreeAir(f unit.Flow) Throughput { return Throughput(float64(f) * float64(Atmosphere)) }

// Moles is the throughput in moles per second at a temperature: q / (R T). Source: ideal gas; confirmed.
func (q Throughput) Moles(t unit.Celsius) float64 {
	return float64(q) / (8.31446261815324 * kelvin(t))
}

func kelvin(t unit.Celsius) float64 { return float64(t) + zeroCelsius }

func first(errs ...error) error { return refuse.First(errs...) }

func because(quantity, why, instead string) error { return refuse.Because(quantity, why, instead) }

func positive[T ~float64](what string, x T) error { return refuse.Positive(what, float64(x)) }

func notNegative[T ~float64](what string, x T) error { return refuse.NotNegative(what, float64(x)) }

func temperature(what string, t unit.Celsius) error {
	return refuse.Within(what, float64(t), -200, 1000, "give it in degrees Celsius")
}
