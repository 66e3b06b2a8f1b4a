package archive

import (
	"cmp"
	"math"
	"slices"
)

// Spell is a time for which something held: until it failed, or until nobody looked any longer.
type Spell struct {
	Days   float64
	Failed bool // false: it still held then (censored)
}

// Step is the share that holds just after some days.
type Step struct {
	Days   float64
	AtRisk int     // how many were watched up to that day
	Failed int     // how many failed on it
	Holds  float64 // 0 to 1
	Error  float64 // standard error of Holds
}

// ProductLimit estimates which share holds how long, from spells of which some had not ended
// when they were last seen: at each failure the share falls by the failed among those still
// watched. A spell that was left at the very day of a failure counts as watched on it. The
// standard error is the sum of d / (n (n - d)) over the failures, times the share.
// Domain: days from 0; none gives no steps.
// Source: "Nonparametric Estimation from Incomplete Observations", J. American Statistical
// Association 53, 1958; the error in the form of "Statistics review 12: Survival analysis",
// Critical Care 8, 2004, which has the worked example of the test.
func ProductLimit(spells []Spell) []Step {
	list := slices.Clone(spells)
	slices.SortFunc(list, func(a, b Spell) int {
		if c := cmp.Compare(a.Days, b.Days); c != 0 || a.Failed == b.Failed {
			return c
		}
		if a.Failed {
			return -1
		}
		return 1
	})
	var out []Step
	holds, sum := 1.0, 0.0
	for i := 0; i < len(list); {
		n := len(list) - i
		d := 0
		j := i
		for ; j < len(list) && list[j].Days == list[i].Days; j++ {
			if list[j].Failed {
				d++
			}
		}
		if d > 0 {
			holds *= 1 - float64(d)/float64(n)
			err := 0.0
			if d < n {
				sum += float64(d) / (float64(n) * float64(n-d))
				err = holds * math.Sqrt(sum)
			}
			out = append(out, Step{Days: list[i].Days, AtRisk: n, Failed: d, Holds: holds, Error: err})
		}
		i = j
	}
	return out
}

// Median is the first day on which no more than half hold. There is none while more than half
// are held to hold on the last day of a failure.
func Median(steps []Step) (days float64, ok bool) {
	for _, s := range steps {
		if s.Holds <= 0.5+1e-12 {
			return s.Days, true
		}
	}
	return 0, false
}

// At is the step that stands on a day: the last one not after it.
func At(steps []Step, days float64) Step {
	out := Step{Holds: 1}
	for _, s := range steps {
		if s.Days > days {
			break
		}
		out = s
	}
	return out
}

// Limits are those between which the share lies with 95 %, never below 0 or above 1: the normal
// limits of ln(-ln share). Where nothing failed yet, or nothing holds any more, they say nothing
// (0 to 1).
// Source: "The Statistical Analysis of Failure Time Data", textbook; from memory.
func (s Step) Limits() (low, high float64) {
	if !(s.Holds > 0 && s.Holds < 1 && s.Error > 0) {
		return 0, 1
	}
	w := math.Exp(1.959964 * s.Error / (s.Holds * -math.Log(s.Holds)))
	return math.Pow(s.Holds, w), math.Pow(s.Holds, 1/w)
}

// watched is how many of the spells were still watched behind a day.
func watched(spells []Spell, days float64) int {
	n := 0
	for _, s := range spells {
		if s.Days > days {
			n++
		}
	}
	return n
}
