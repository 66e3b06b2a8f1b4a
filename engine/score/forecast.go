// Package score says what forecasts were worth once the truth is known: Brier and log scores,
// places in the ranking, differences with their standard error, and a reliability table.
// It knows nothing of leaks, and makes no forecast itself.
package score

import (
	"cmp"
	"math"
	"slices"
)

// Forecast is what was said of one case: a probability for every name that was in question.
type Forecast struct {
	Names []string           // likeliest first, ties by name
	P     map[string]float64 // as said, 0..1; of things that may be true together the sum is not 1
	share map[string]float64
}

// New makes a forecast of probabilities by name. Shares are the probabilities divided by their
// sum: a log score needs alternatives of which one is true.
func New(p map[string]float64) Forecast {
	f := Forecast{P: p, share: make(map[string]float64, len(p))}
	sum := 0.0
	for name := range p {
		f.Names = append(f.Names, name)
	}
	slices.Sort(f.Names)
	for _, name := range f.Names { // in a fixed order, so that the last bit is always the same
		sum += p[name]
	}
	for _, name := range f.Names {
		if sum > 0 {
			f.share[name] = p[name] / sum
		}
	}
	slices.SortStableFunc(f.Names, func(a, b string) int { return cmp.Compare(p[b], p[a]) })
	return f
}

// Rank is the place of a name, from 1; 0 when it was not in question.
func (f Forecast) Rank(name string) int { return slices.Index(f.Names, name) + 1 }

// Share is the part of the whole that a name was given, 0..1; 0 when it was not in question.
func (f Forecast) Share(name string) float64 { return f.share[name] }

// Floor is the least share that the log score counts: one in ten thousand. Without it one case
// that was held to be impossible would outweigh all others. Standing: estimate.
const Floor = 1e-4

// Log is the log score of one case: -ln of the share of what was true, never more than
// -ln(Floor). 0 is perfect. floored reports whether the floor was needed.
// Source: the logarithmic scoring rule, strictly proper (textbook).
func (f Forecast) Log(truth string) (score float64, floored bool) {
	s := f.share[truth]
	if s < Floor {
		return -math.Log(Floor), true
	}
	return -math.Log(s) + 0, false // + 0: no negative zero
}

// Brier is the Brier score of one case: the sum over all names of (share - outcome) squared,
// 0..2; 0 is perfect. Something true that was not in question counts with a share of 0.
// Source: the form for several alternatives, strictly proper (textbook).
func (f Forecast) Brier(truth string) float64 {
	sum := 0.0
	for _, name := range f.Names {
		d := f.share[name]
		if name == truth {
			d--
		}
		sum += d * d
	}
	if f.Rank(truth) == 0 {
		sum++
	}
	return sum
}
