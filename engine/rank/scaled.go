package rank

import "math"

// scaled is the number v * 2^e. Powers of two are exact, so products over hundreds of findings neither vanish nor lose digits.
type scaled struct {
	v float64
	e int
}

func (a scaled) plus(b scaled) scaled {
	switch {
	case a.v == 0:
		return b
	case b.v == 0:
		return a
	case a.e >= b.e:
		return scaled{a.v + math.Ldexp(b.v, b.e-a.e), a.e}
	}
	return scaled{math.Ldexp(a.v, a.e-b.e) + b.v, b.e}
}

// over is a/b as a plain number; 0 where b is 0.
func (a scaled) over(b scaled) float64 {
	if a.v == 0 || b.v == 0 {
		return 0
	}
	return math.Ldexp(a.v/b.v, a.e-b.e)
}

func (a scaled) times(x float64) scaled { return scaled{a.v * x, a.e}.normal() }

// normal moves the size of v into the exponent.
func (a scaled) normal() scaled {
	if a.v == 0 {
		return scaled{}
	}
	f, e := math.Frexp(a.v)
	return scaled{f, a.e + e}
}

func (a scaled) log() float64 {
	f, e := math.Frexp(a.v)
	return math.Log(f) + float64(a.e+e)*math.Ln2
}

// rescale brings the largest element of v near 1 if it has left a comfortable range, and returns the exponent taken out.
func rescale(v []float64) int {
	var most float64
	for _, x := range v {
		if x > most {
			most = x
		}
	}
	if most == 0 || (most > 0x1p-100 && most < 0x1p100) {
		return 0
	}
	_, e := math.Frexp(most)
	if e < -1000 { // the factor itself would overflow: go in two steps
		return rescaleBy(v, -500) + rescale(v)
	}
	return rescaleBy(v, e)
}

func rescaleBy(v []float64, e int) int {
	f := math.Ldexp(1, -e)
	for i := range v {
		v[i] *= f
	}
	return e
}

func clamp01(p float64) float64 { return math.Max(0, math.Min(1, p)) }
