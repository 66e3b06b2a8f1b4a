package score

import (
	"math"
	"slices"
)

// Claim is one probability that was given, and whether it came true.
type Claim struct {
	P    float64 // 0..1
	True bool
}

// Claims takes a forecast apart into one claim for each name, in the order of the ranking.
func (f Forecast) Claims(truth string) []Claim {
	out := make([]Claim, 0, len(f.Names))
	for _, name := range f.Names {
		out = append(out, Claim{f.P[name], name == truth})
	}
	return out
}

// Edges are the borders of the bins of a reliability table: tenths, and the lowest tenth
// divided further, because most causes of most cases stand there.
func Edges() []float64 {
	return []float64{0, 0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1}
}

// Bin is one row of a reliability table.
type Bin struct {
	From, To float64 // From <= P < To; the last bin takes P = To too
	N        int
	Said     float64 // mean of P
	Came     int     // how many came true
	Rate     float64 // Came / N
	SE       float64 // of Rate, if P were right and the claims independent
}

// Off is by how many standard errors the rate lies above what was said; 0 without claims.
func (b Bin) Off() float64 {
	if b.N == 0 || b.SE == 0 {
		return 0
	}
	return (b.Rate - b.Said) / b.SE
}

// Reliability is a reliability table with the Brier score of the claims taken apart:
//
//	Brier = Reliability - Resolution + Uncertainty + Inside
//
// Reliability is how far the rates lie from what was said (0 is best), Resolution how far the
// bins lie from each other (more is better), Uncertainty what a forecast of the plain mean
// would score. Inside is what the bins hide, because not all claims in a bin are equal; with
// equal claims it is 0. Source: the partition of the Brier score of 1973 with the two terms
// for bins of 2008 (standing: from memory; the sum is proven by test).
type Reliability struct {
	Bins                                                []Bin
	N                                                   int
	Brier, Reliability, Resolution, Uncertainty, Inside float64
}

// Table sorts claims into bins with these edges, which must rise from 0 to 1. A claim outside
// 0..1 counts as 0 or 1, one that is no number as 0.
func Table(claims []Claim, edges []float64) Reliability {
	r := Reliability{N: len(claims), Bins: []Bin{}}
	for i := 1; i < len(edges); i++ {
		r.Bins = append(r.Bins, Bin{From: edges[i-1], To: edges[i]})
	}
	if len(claims) == 0 || len(r.Bins) == 0 {
		return r
	}
	n := float64(len(claims))
	list := slices.Clone(claims)
	where := make([]int, len(list))
	came := 0.0
	for i := range list {
		c := &list[i]
		if !(c.P > 0) {
			c.P = 0
		}
		c.P = math.Min(c.P, 1)
		k := 0
		for k < len(r.Bins)-1 && c.P >= r.Bins[k].To {
			k++
		}
		where[i] = k
		b := &r.Bins[k]
		b.N++
		b.Said += c.P
		b.SE += c.P * (1 - c.P)
		if c.True {
			b.Came++
			came++
		}
		r.Brier += square(c.P-one(c.True)) / n
	}
	mean := came / n
	for k := range r.Bins {
		b := &r.Bins[k]
		if b.N == 0 {
			continue
		}
		of := float64(b.N)
		b.Said, b.Rate, b.SE = b.Said/of, float64(b.Came)/of, math.Sqrt(b.SE)/of
		r.Reliability += of * square(b.Said-b.Rate) / n
		r.Resolution += of * square(b.Rate-mean) / n
	}
	r.Uncertainty = mean * (1 - mean)
	for i, c := range list {
		b := r.Bins[where[i]]
		d := c.P - b.Said
		r.Inside += (d*d - 2*d*(one(c.True)-b.Rate)) / n
	}
	return r
}

func square(x float64) float64 { return x * x }

func one(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
