package leak

import (
	"math"

	"seepwright/rules/unit"
)

// TimeTo is how long a leak takes to use up a margin, or to fill a sump: t = V / Q.
// V what may still be lost or taken in, Q leak less what is topped up or pumped out. A leak of 0 never gets
// there: the time is +Inf. Source: arithmetic; standing: confirmed.
func TimeTo(margin unit.Volume, q unit.Flow) (unit.Time, error) {
	if err := first(notNegative("the margin", margin), notNegative("the leak", q)); err != nil {
		return 0, err
	}
	if q == 0 {
		return unit.Time(math.Inf(1)), nil
	}
	return unit.Time(float64(margin) / float64(q)), nil
}

// Net is a leak less what is pumped out or topped up, never below 0.
// Source: arithmetic; standing: confirmed.
func Net(q, taken unit.Flow) (unit.Flow, error) {
	if err := first(notNegative("the leak", q), notNegative("what is taken out", taken)); err != nil {
		return 0, err
	}
	return max(0, q-taken), nil
}
