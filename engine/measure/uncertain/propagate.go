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

// Propagate evaluates f and carries the uncertainty of independent inputs to the result; see Many.
func Propagate(f func(x []float64) (float64, error), in ...Value) (Value, error) {
	out, err := Many(func(x []float64) ([]float64, error) {
		y, err := f(x)
		return []float64{y}, err
	}, in)
	if err != nil {
		return Value{}, err
	}
	return out[0], nil
}

// Many evaluates a function of several results and carries the uncertainty of its inputs to each.
// Inputs are independent, but for the rows named: the readings of one row (indices into in) share
// the systematic half of their uncertainty (see Shared).
//
// Law: U(y)^2 = sum of (c_i U_i)^2 (GUM, JCGM 100:2008, 5.1.2), where c_i u_i is taken as the
// larger change of y between x_i and x_i + u_i or x_i - u_i (u = U/2), near the numerical form that
// JCGM 100:2008, 5.1.3 note 2 allows, doubled to k = 2. Reasons for the numerical form: a person who
// adds a formula need not derive it, and a step as wide as the uncertainty itself sees the bend of
// the curve that a derivative misses. Reason for the larger change: an ovality, a flatness or a
// largest gap is never below 0, so that round readings sit on a fold where the two changes cancel
// and the doubt would come out as none. Where one end lies outside the domain of f the other end
// alone is used; where both do, f is refused. A result that is NaN is absent and stays so.
// Standing: confirmed (the law), common practice (the step).
func Many(f func(x []float64) ([]float64, error), in []Value, rows ...[]int) ([]Value, error) {
	return ManyOf(f, in, nil, rows...)
}

// ManyOf is Many for long rows: inputs for which still is true are not moved one by one, because the caller
// knows that they do not carry the result (the readings that touch neither circle of a zone, say). They
// still move together with their row.
// Source: as Many; standing: confirmed.
func ManyOf(f func(x []float64) ([]float64, error), in []Value, still []bool, rows ...[]int) ([]Value, error) {
	x := make([]float64, len(in))
	inRow := make([]bool, len(in))
	for i, v := range in {
		if err := check(v); err != nil {
			return nil, err
		}
		x[i] = v.X
	}
	base, err := f(x)
	if err != nil {
		return nil, err
	}
	sum := make([]float64, len(base))
	add := func(step []float64) error {
		c, err := change(f, x, step, base)
		for k := range c {
			sum[k] += c[k] * c[k]
		}
		return err
	}
	for _, row := range rows {
		shared := make([]float64, len(in))
		for _, i := range row {
			inRow[i] = true
			shared[i] = Shared(in[i].U)
		}
		if err := add(shared); err != nil {
			return nil, err
		}
	}
	for i, v := range in {
		if v.U == 0 || still != nil && still[i] {
			continue
		}
		step := make([]float64, len(in))
		step[i] = v.U / 2
		if inRow[i] {
			step[i] = Own(v.U)
		}
		if err := add(step); err != nil {
			return nil, err
		}
	}
	out := make([]Value, len(base))
	for k := range base {
		out[k] = Value{X: base[k], U: 2 * math.Sqrt(sum[k])}
	}
	return out, nil
}

// change is the effect on each result of moving the inputs by one step of standard uncertainty.
func change(f func([]float64) ([]float64, error), x, step, base []float64) ([]float64, error) {
	moved := false
	at := func(sign float64) ([]float64, error) {
		t := make([]float64, len(x))
		for i := range x {
			t[i] = x[i] + sign*step[i]
			moved = moved || step[i] != 0
		}
		if !moved {
			return base, nil
		}
		return f(t)
	}
	up, errUp := at(1)
	down, errDown := at(-1)
	if errUp != nil && errDown != nil {
		return nil, errUp
	}
	c := make([]float64, len(base))
	for k := range base {
		for _, y := range [][]float64{up, down} {
			if len(y) == len(base) && !math.IsNaN(y[k]) && !math.IsNaN(base[k]) {
				c[k] = math.Max(c[k], math.Abs(y[k]-base[k]))
			}
		}
	}
	return c, nil
}

func check(v Value) error {
	return refuse.First(refuse.Finite("a reading", v.X), refuse.NotNegative("the uncertainty of a reading", v.U))
}
