package flange

import (
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func expansion(what string, a unit.Expansion) error {
	return refuse.Within(what, float64(a), 0, 1e-3, "metals have 10 to 25 e-6 per kelvin")
}

func rise(what string, dt unit.Kelvin) error {
	return refuse.Within(what, float64(dt), -300, 1000, "give the difference from the temperature at tightening")
}
