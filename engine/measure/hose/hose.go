// Package hose computes a rubber hose clamped on a spigot: stretch and the sizes in band, the bead and the
// land behind it, how a clamp stands in its range, what torque and tension hold against pressure, and what
// creep and cold take away again.
// It knows no clamp types and no tables: torques, limits and sizes come in as arguments.
package hose

import "seepwright/engine/measure/refuse"

func first(errs ...error) error { return refuse.First(errs...) }

func positive[T ~float64](what string, x T) error { return refuse.Positive(what, float64(x)) }

func notNegative[T ~float64](what string, x T) error { return refuse.NotNegative(what, float64(x)) }
