package gland

import (
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Short names that keep the formulas readable.
func first(errs ...error) error { return refuse.First(errs...) }

func because(quantity, why, instead string) error { return refuse.Because(quantity, why, instead) }

func notNegative(what string, l unit.Length) error { return refuse.NotNegative(what, float64(l)) }
