// Package uncertain carries measuring uncertainty through a calculation and compares the
// result with a limit.
// It knows no instruments: the caller says how far each reading may be off.
package uncertain

import (
	"math"

	"seepwright/engine/measure/refuse"
)

// Value is a number with its expanded uncertainty U (coverage factor k = 2, about 95 %),
// both in the same SI unit. U = 0 means "taken as exact".
type Value struct{ X, U float64 }

// Exact is a value without uncertainty.
func Exact(x float64) Value { return Value{X: x} }

// Propagate evaluates f and carries the uncertainty of independent inputs to the result.
//
// Law: U(y)^2 = sum of (c_i U_i)^2 (GUM, JCGM 100:2008, 5.1.2), with c_i U_i taken as half
// the change of y between x_i - u_i and x_i + u_i (u = U/2), the numerical form allowed by
// JCGM 100:2008, 5.1.3 note 2, doubled to k = 2. Reason for the numerical form: a person who
// adds a formula need not derive it, and a step as wide as the uncertainty itself sees the
// bend of the curve that a derivative misses. Where one of the two ends lies outside the
// domain of f the other end alone is used; where both do, f is refused.
// Standing: confirmed (a published method); first order only, not for results near a fold.
func Propagate(f func(x []float64) (float64, error), in ...Value) (Value, error) {
	x := make([]float64, len(in))
	for i, v := range in {
		if err := check(v); err != nil {
			return Value{}, err
		}
		x[i] = v.X
	}
	y, err := f(x)
	if err != nil {
		return Value{}, err
	}
	sum := 0.0
	for i, v := range in {
		if v.U == 0 {
			continue
		}
		c, err := change(f, x, i, v.U/2, y)
		if err != nil {
			return Value{}, err
		}
		sum += c * c
	}
	return Value{X: y, U: 2 * math.Sqrt(sum)}, nil
}

// change is the effect on y of one standard uncertainty u of input i.
func change(f func([]float64) (float64, error), x []float64, i int, u, y float64) (float64, error) {
	at := x[i]
	x[i] = at + u
	up, errUp := f(x)
	x[i] = at - u
	down, errDown := f(x)
	x[i] = at
	switch {
	case errUp == nil && errDown == nil:
		return (up - down) / 2, nil
	case errUp == nil:
		return up - y, nil
	case errDown == nil:
		return y - down, nil
	}
	return 0, errUp
}

func check(v Value) error {
	return refuse.First(refuse.Finite("a reading", v.X), refuse.NotNegative("the uncertainty of a reading", v.U))
}
