package score

import (
	"cmp"
	"math"
	"slices"
)

// Balance holds one name against a set of cases: how often it should have been the truth by
// what was said, and how often it was.
type Balance struct {
	Name     string
	N        int     // cases in which it was in question, or true
	Expected float64 // sum of its shares
	SD       float64 // of the count, if the shares were right: the root of the sum of p (1 - p)
	Came     float64 // cases in which it was the truth
}

// Off is by how many standard deviations a name came more often than was said: above nought it
// was said too timidly, below too boldly. What was held impossible and came is infinitely off.
// The count of a name of which less than a few cases were expected is far from normal: there one
// case alone may make 2 deviations.
func (b Balance) Off() float64 {
	switch d := b.Came - b.Expected; {
	case b.SD > 0:
		return d / b.SD
	case math.Abs(d) < 1e-9:
		return 0
	default:
		return math.Inf(int(math.Copysign(1, d)))
	}
}

// Outcome is a forecast with what came true of it. Several names of which one is the truth,
// without it being known which, each count with their part of what they were given together;
// a name that was not in question counts like the others where none of them was.
type Outcome struct {
	Forecast Forecast
	Truth    []string
}

// BalanceOf compares shares, which add up to 1 in every case, with counts, name by name in the
// order of names. The deviation is that of one truth by case; where only a group of names is
// known to hold it, the true one is smaller, so that nothing is called off too soon.
// Source: the mean and variance of a sum of independent events of unequal chances (textbook).
func BalanceOf(cases []Outcome) []Balance {
	at := map[string]*Balance{}
	get := func(name string) *Balance {
		if at[name] == nil {
			at[name] = &Balance{Name: name}
		}
		return at[name]
	}
	for _, c := range cases {
		seen := map[string]bool{}
		for _, name := range c.Forecast.Names {
			p := c.Forecast.Share(name)
			b := get(name)
			b.N++
			b.Expected += p
			b.SD += p * (1 - p)
			seen[name] = true
		}
		truth := slices.Compact(slices.Sorted(slices.Values(c.Truth)))
		sum := 0.0
		for _, name := range truth {
			sum += c.Forecast.Share(name)
		}
		for _, name := range truth {
			b := get(name)
			if !seen[name] {
				b.N++
			}
			if sum > 0 {
				b.Came += c.Forecast.Share(name) / sum
			} else {
				b.Came += 1 / float64(len(truth))
			}
		}
	}
	out := make([]Balance, 0, len(at))
	for _, b := range at {
		b.SD = math.Sqrt(b.SD)
		out = append(out, *b)
	}
	slices.SortFunc(out, func(a, b Balance) int { return cmp.Compare(a.Name, b.Name) })
	return out
}
