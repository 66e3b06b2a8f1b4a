package catalogue

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// mostReadings is how many repeated readings are worth proposing.
const mostReadings = 10

// settle names the cheapest instrument, and the number of repeated readings, that would settle a call which is too
// close, if the readings come out the same.
func (c Calculation) settle(g given, list flat, base found, in In) string {
	var ways []string
	tools := slices.Clone(in.Tools)
	slices.SortStableFunc(tools, func(a, b Tool) int { return cmp.Or(cmp.Compare(a.Cost, b.Cost), cmp.Compare(a.Title, b.Title)) })
	for _, t := range tools {
		if c.settled(g, list, in, func(d Input, x, u float64) float64 {
			if d.Dim != t.Dim {
				return u
			}
			best, ok := t.suits(d.On)
			if !ok {
				return u
			}
			return math.Min(u, math.Max(best, t.Share*math.Abs(x)))
		}) {
			ways = append(ways, "measure again with: "+t.Title)
			break
		}
	}
	for n := 2; n <= mostReadings; n++ {
		// Half of the variance is the instrument's own and stays; the other half is averaged.
		if c.settled(g, list, in, func(_ Input, _, u float64) float64 { return u * math.Sqrt((1+1/float64(n))/2) }) {
			ways = append(ways, fmt.Sprintf("take the mean of %d readings of each", n))
			break
		}
	}
	if len(ways) == 0 {
		return "no instrument listed and no number of readings would settle it: the result lies too near to the limit"
	}
	return strings.Join(ways, "; or ")
}

// suits gives the uncertainty of a tool on a surface. One that is made for certain surfaces (a feeler for gaps in a
// face) is not proposed for others.
func (t Tool) suits(on string) (u float64, ok bool) {
	if u, ok = t.U[on]; ok {
		return u, true
	}
	u, ok = t.U["any"]
	return u, ok && (on == "" || len(t.U) == 1)
}

// settled reports whether every limit can be called when the uncertainties of the inputs are changed.
func (c Calculation) settled(g given, list flat, in In, change func(d Input, x, u float64) float64) bool {
	l := list
	l.values = slices.Clone(list.values)
	for i := range l.values {
		if d := c.input(l.names[i]); !c.isLimit(d.Name) {
			l.values[i].U = change(d, l.values[i].X, l.values[i].U)
		}
	}
	f, values, names, err := c.evaluate(g, l)
	if err != nil {
		return false
	}
	num := map[string]Num{}
	for i, k := range names {
		num[k] = Num{values[i].X, values[i].U}
	}
	limits, err := c.limits(g, f, num, in)
	return err == nil && together(limits) != CannotSay
}
