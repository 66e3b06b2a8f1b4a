package leak

import (
	"strings"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// gasUnits gives one of each unit of gas leak in Pa m3/s.
var gasUnits = map[string]float64{
	"Pa m3/s": 1, "mbar L/s": 0.1, "atm cm3/s": 0.101325, "mL/min at 1 atm": 101325e-6 / 60, "L/min at 1 atm": 101325e-3 / 60,
	"L/h at 1 atm": 101325e-3 / 3600, "kPa L/s": 1, "torr L/s": 101325.0 / 760 * 1e-3, "bar cm3/s": 0.1,
}

// molarAt reads "mol/s at 293.15 K".
func molarAt(name string) (unit.Celsius, bool) {
	rest, ok := strings.CutPrefix(name, "mol/s at ")
	if !ok {
		return 0, false
	}
	q, err := unit.Parse(rest, unit.KelvinDim)
	return unit.Celsius(q.SI() - zeroCelsius), err == nil
}

// ThroughputIn reads a gas leak in one of its units: "Pa m3/s", "mbar L/s", "atm cm3/s",
// "mL/min at 1 atm", "L/min at 1 atm", "L/h at 1 atm", "kPa L/s", "bar cm3/s", "torr L/s",
// "mol/s at 293.15 K". Source: definitions; standing: confirmed.
func ThroughputIn(x float64, name string) (Throughput, error) {
	f, err := gasFactor(name)
	if err != nil {
		return 0, err
	}
	return Throughput(x * f), refuse.Finite("the leak", x)
}

// In gives the throughput in one of those units.
func (q Throughput) In(name string) (float64, error) {
	f, err := gasFactor(name)
	if err != nil {
		return 0, err
	}
	return float64(q) / f, nil
}

func gasFactor(name string) (float64, error) {
	if f, ok := gasUnits[name]; ok {
		return f, nil
	}
	if t, ok := molarAt(name); ok {
		return 1 / Throughput(1).Moles(t), nil
	}
	return 0, because("the unit of the gas leak", "\""+name+"\" is not known", "use Pa m3/s, mbar L/s, atm cm3/s or mL/min at 1 atm")
}
