package catalogue

import (
	"math"

	"seepwright/rules/unit"
)

// Target is what one size must be, all others left as they are, for the limits to be met.
type Target struct {
	Input, Title    string
	Dim             unit.Dimension
	Now             float64 // SI, as given
	Least, Greatest *Bound  // nil = no bound on that side
}

// Bound is one side of a target.
type Bound struct {
	SI float64 // where the limit is met exactly
	// Reads is what the size has to read so that the limit is proven, with the doubt of all readings as they
	// are; equal to SI when there is none.
	Reads float64
	By    string // the output whose limit it is
}

// steps are the shares of a size by which it is moved to look for the place where a limit is met.
var steps = []float64{0.0005, 0.001, 0.002, 0.004, 0.007, 0.01, 0.015, 0.02, 0.03, 0.045, 0.065, 0.09, 0.12, 0.16, 0.22, 0.3, 0.4, 0.55, 0.75, 0.95, 1.3, 2, 3, 5, 9}

// targets solves every given size for every limit.
func (c Calculation) targets(g given, in In, limits []Limit) []Target {
	var out []Target
	for _, d := range c.Inputs {
		now, ok := g.num[d.Name]
		if _, typed := in.Num[d.Name]; !typed || !ok || d.Rows || d.Key || c.isLimit(d.Name) {
			continue
		}
		t := Target{Input: d.Name, Title: d.Title, Dim: d.Dim, Now: now}
		for _, l := range limits {
			c.solve(g, l, &t)
		}
		if t.Least != nil || t.Greatest != nil {
			out = append(out, t)
		}
	}
	return out
}

// solve finds where moving one size meets one limit, on both sides, and tightens the target by it.
func (c Calculation) solve(g given, l Limit, t *Target) {
	margin := func(x float64) (float64, bool) { return c.margin(g, l, t.Input, x) }
	now, ok := margin(t.Now)
	if !ok {
		return
	}
	scale := c.scale(g, t)
	good := now >= 0
	for _, sign := range []float64{-1, 1} {
		x, ok := crossing(margin, t.Now, sign*scale, good, 0)
		if !ok {
			continue
		}
		// What keeps the limit on the near side of a crossing is bounded there; what breaks it has to go beyond.
		least := (sign < 0) == good
		reads := x
		if l.Doubt > 0 {
			inward := scale
			if !least {
				inward = -scale
			}
			if reads, ok = crossing(margin, x, inward, false, l.Doubt); !ok {
				reads = math.NaN()
			}
		}
		t.tighten(least, &Bound{SI: x, Reads: reads, By: l.Output})
	}
}

// tighten keeps the stricter of two bounds on one side.
func (t *Target) tighten(least bool, b *Bound) {
	switch {
	case least && (t.Least == nil || b.SI > t.Least.SI):
		t.Least = b
	case !least && (t.Greatest == nil || b.SI < t.Greatest.SI):
		t.Greatest = b
	}
}

// margin is how far the limit is kept when one size is moved. A limit that is itself solved moves along.
func (c Calculation) margin(g given, l Limit, input string, x float64) (float64, bool) {
	moved := given{map[string]float64{}, g.rows, g.word, g.tables, g.notes, g.shown}
	for k, v := range g.num {
		moved.num[k] = v
	}
	moved.num[input] = x
	f, err := c.formula(moved)
	if err != nil {
		return 0, false
	}
	y, ok := f.num[l.Output]
	limit := l.SI
	if l.solved != "" { // a limit solved on these parts moves along
		at, there := f.num[l.solved]
		limit, ok = at, ok && there
	}
	if !ok || math.IsNaN(y) || math.IsInf(y, 0) {
		return 0, false
	}
	if l.AtMost {
		return limit - y, true
	}
	return y - limit, true
}

// scale is the size by which steps are measured: the size itself, or the largest of its kind where it is nought.
func (c Calculation) scale(g given, t *Target) float64 {
	if t.Now != 0 {
		return math.Abs(t.Now)
	}
	if t.Dim == unit.RatioDim {
		return 1
	}
	s := 0.0
	for _, d := range c.Inputs {
		if d.Dim == t.Dim {
			s = math.Max(s, math.Abs(g.num[d.Name]))
		}
	}
	return s
}

// crossing walks away from start in steps of scale until the margin crosses the level, and closes in on the place.
// from says on which side of the level the start lies. ok is false when nothing is crossed within the domain.
func crossing(margin func(float64) (float64, bool), start, scale float64, from bool, level float64) (float64, bool) {
	last := start
	for _, s := range steps {
		x := start + s*scale
		m, ok := margin(x)
		if !ok {
			// The domain ends somewhere before x: look closer to its end.
			in, out := last, x
			for range 12 {
				mid := (in + out) / 2
				mm, ok := margin(mid)
				if !ok {
					out = mid
					continue
				}
				if (mm >= level) != from {
					return bisect(margin, in, mid, from, level)
				}
				in = mid
			}
			return 0, false
		}
		if (m >= level) != from {
			return bisect(margin, last, x, from, level)
		}
		last = x
	}
	return 0, false
}

// bisect closes in on the place between a (still on the side of the start) and b, to the last digit that counts.
func bisect(margin func(float64) (float64, bool), a, b float64, from bool, level float64) (float64, bool) {
	for range 80 {
		mid := (a + b) / 2
		if mid == a || mid == b {
			break
		}
		m, ok := margin(mid)
		if ok && (m >= level) == from {
			a = mid
		} else {
			b = mid
		}
	}
	if from { // the limit is still kept at a
		return a, true
	}
	return b, true
}

// Guarded reports whether the reading has to be better than the limit, for the instruments can be off.
func (t Target) Guarded() bool {
	return t.Least != nil && t.Least.Reads != t.Least.SI || t.Greatest != nil && t.Greatest.Reads != t.Greatest.SI
}

// Broken reports whether the bounds exclude each other: no value of this size alone meets all limits.
func (t Target) Broken() bool {
	return t.Least != nil && t.Greatest != nil && t.Least.SI > t.Greatest.SI
}
