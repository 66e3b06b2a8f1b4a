package gland

import (
	"math"

	"seepwright/rules/unit"
)

// Bounds is a result over the limits of size of everything that goes into it.
//
// Least and Greatest are the worst case: every size at its worst limit together. StatLeast and
// StatGreatest hold nearly all assemblies when the parts vary independently about the middle of their
// tolerances. They lie within the worst case, and Nominal lies within both.
type Bounds[T ~float64] struct {
	Nominal, Least, Greatest, StatLeast, StatGreatest T
}

// rss adds the changes that each size makes on its own, from the middle to either limit, as root of the
// sum of squares: downwards and upwards apart, so that a bent law keeps its bend.
//
//	least = y0 - sqrt(sum of down_i^2), greatest = y0 + sqrt(sum of up_i^2)
//
// Source: root-sum-square stack, general tolerance practice; standing: common practice.
func rss(f func(x []float64) float64, spans []Span) (least, greatest float64) {
	x := make([]float64, len(spans))
	for i, s := range spans {
		x[i] = float64(s.Mid())
	}
	y0 := f(x)
	down, up := 0.0, 0.0
	for i, s := range spans {
		if s.Min == s.Max {
			continue
		}
		lo, hi := 0.0, 0.0
		for _, v := range []unit.Length{s.Min, s.Max} {
			x[i] = float64(v)
			d := f(x) - y0
			lo, hi = math.Min(lo, d), math.Max(hi, d)
		}
		x[i] = float64(s.Mid())
		down, up = math.Hypot(down, lo), math.Hypot(up, hi)
	}
	return y0 - down, y0 + up
}

// bound puts the worst case and the statistical stack of one result together. worst are the two ends; the
// nominal and the statistical ends are kept within it against rounding.
func bound[T ~float64](nominal, least, greatest, statLeast, statGreatest float64) Bounds[T] {
	least, greatest = math.Min(least, nominal), math.Max(greatest, nominal)
	return Bounds[T]{
		Nominal: T(nominal), Least: T(least), Greatest: T(greatest),
		StatLeast: T(math.Max(least, math.Min(statLeast, nominal))), StatGreatest: T(math.Min(greatest, math.Max(statGreatest, nominal))),
	}
}

// corners evaluates f with every size at one of its limits, in all combinations, and gives the ends.
func corners(f func(x []float64) float64, spans []Span) (least, greatest float64) {
	least, greatest = math.Inf(1), math.Inf(-1)
	x := make([]float64, len(spans))
	var walk func(i int)
	walk = func(i int) {
		if i == len(spans) {
			y := f(x)
			least, greatest = math.Min(least, y), math.Max(greatest, y)
			return
		}
		x[i] = float64(spans[i].Min)
		walk(i + 1)
		if spans[i].Max != spans[i].Min {
			x[i] = float64(spans[i].Max)
			walk(i + 1)
		}
	}
	walk(0)
	return least, greatest
}
