package leak

import (
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func volumeExpansion(b unit.Expansion) error {
	return refuse.Within("the volume expansion of the liquid", float64(b), -1e-4, 5e-3, "water at 20 C has 2.1e-4 per kelvin, oil 7e-4")
}

func span(what string, dt unit.Kelvin) error {
	return refuse.Within(what, float64(dt), -300, 300, "give a difference in kelvin")
}

func bulk(compressibility float64) error {
	return refuse.Within("the compressibility of the liquid", compressibility, 1e-11, 1e-8, "water has 4.6e-10 per pascal")
}

func air(atmosphere unit.Pressure) error {
	return refuse.Within("the air pressure", float64(atmosphere), 3e4, 1.2e5, "it is 101.325 kPa at sea level, 90 kPa at 1000 m")
}
