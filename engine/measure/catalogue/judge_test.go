package catalogue

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/unit"
)

// fit runs oring-fit on invented sizes with an uncertainty on every length.
func fit(t *testing.T, u float64, more map[string]Num, change func(*In)) Out {
	t.Helper()
	c, ok := ByName("oring-fit")
	require.True(t, ok)
	in := In{Num: map[string]Num{"cord": {3.53e-3, u}, "groove-diameter": {25.40e-3, u}, "bore-diameter": {31.04e-3, u}, "least-squeeze": {SI: 0.10}, "greatest-squeeze": {SI: 0.30}}, Solve: true}
	for k, v := range more {
		in.Num[k] = v
	}
	if change != nil {
		change(&in)
	}
	out, err := c.Run(in)
	require.NoError(t, err)
	return out
}

func target(t *testing.T, o Out, input string) Target {
	t.Helper()
	for _, x := range o.Targets {
		if x.Input == input {
			return x
		}
	}
	require.Fail(t, "no target for "+input)
	return Target{}
}

// The closed forms follow from (d - t)/d = limit with t = (D - dg)/2.
func TestTargetsAgreeWithTheClosedForm(t *testing.T) {
	o := fit(t, 0, nil, nil)
	d, D, dg := 3.53e-3, 31.04e-3, 25.40e-3
	bore := target(t, o, "bore-diameter")
	assert.InDelta(t, dg+2*d*0.9, bore.Greatest.SI, 1e-12, "10 % squeeze is left")
	assert.InDelta(t, dg+2*d*0.7, bore.Least.SI, 1e-12, "30 % squeeze at most")
	groove := target(t, o, "groove-diameter")
	assert.InDelta(t, D-2*d*0.9, groove.Least.SI, 1e-12)
	assert.InDelta(t, D-2*d*0.7, groove.Greatest.SI, 1e-12)
	cord := target(t, o, "cord")
	assert.InDelta(t, (D-dg)/2/0.9, cord.Least.SI, 1e-12)
	assert.InDelta(t, (D-dg)/2/0.7, cord.Greatest.SI, 1e-12)
	assert.Equal(t, cord.Least.SI, cord.Least.Reads, "exact sizes need no guard")
}

func TestABrokenLimitIsSolvedForTheWayBack(t *testing.T) {
	o := fit(t, 0, map[string]Num{"bore-diameter": {SI: 32.0e-3}}, nil)
	assert.Equal(t, TooSmall, o.Verdict)
	bore := target(t, o, "bore-diameter")
	assert.InDelta(t, 25.40e-3+2*3.53e-3*0.9, bore.Greatest.SI, 1e-12)
	assert.InDelta(t, 25.40e-3+2*3.53e-3*0.7, bore.Least.SI, 1e-12, "and not so small that the other limit breaks")
	assert.InDelta(t, 3.3e-3/0.9, target(t, o, "cord").Least.SI, 1e-12)
}

func TestADoubtfulReadingHasToBeBetterThanTheLimit(t *testing.T) {
	o := fit(t, 0.02e-3, nil, nil)
	bore := target(t, o, "bore-diameter")
	assert.Less(t, bore.Greatest.Reads, bore.Greatest.SI)
	// the margin at that reading is the doubt of the squeeze
	doubt := o.Limits[0].Doubt
	squeeze := 1 - (bore.Greatest.Reads-25.40e-3)/2/3.53e-3
	assert.InDelta(t, doubt, squeeze-0.10, 1e-9)
}

func TestTheMakersFigureWinsAndOursIsOnlyACheck(t *testing.T) {
	c, _ := ByName("hose-fit")
	in := In{Num: map[string]Num{"hose-id": {SI: 38e-3}, "spigot-diameter": {SI: 39.2e-3}, "least-stretch": {SI: 0.01}}, Maker: map[string]string{"least-stretch": "page 12"}}
	out, err := c.Run(in)
	require.NoError(t, err)
	assert.Equal(t, OK, out.Verdict)
	assert.Equal(t, "the maker's figure, page 12", out.Limits[0].From)
	in.Maker = map[string]string{"hose-id": "page 12"}
	_, err = c.Run(in)
	assert.ErrorContains(t, err, "is not a limit of this calculation: a page belongs to one of least-stretch, greatest-stretch")
}

func TestWhatSettlesATooCloseCallIsTheCheapestThatDoes(t *testing.T) {
	tools := []Tool{
		{Title: "vernier", Dim: unit.LengthDim, Cost: 1, U: map[string]float64{"any": 0.05e-3}},
		{Title: "micrometer", Dim: unit.LengthDim, Cost: 2, U: map[string]float64{"any": 0.005e-3}},
		{Title: "laboratory", Dim: unit.LengthDim, Cost: 9, U: map[string]float64{"any": 0.001e-3}},
	}
	close := map[string]Num{"bore-diameter": {31.70e-3, 0.05e-3}}
	o := fit(t, 0.05e-3, close, func(in *In) { in.Tools = tools })
	require.Equal(t, CannotSay, o.Verdict)
	assert.Contains(t, o.Settle, "measure again with: micrometer")
	onIt := map[string]Num{"bore-diameter": {25.40e-3 + 2*3.53e-3*0.9, 0.05e-3}}
	o = fit(t, 0.05e-3, onIt, func(in *In) { in.Tools = tools })
	assert.Contains(t, o.Settle, "too near to the limit")
}

func TestAVerdictStandsFirstInTheSentence(t *testing.T) {
	assert.Contains(t, fit(t, 0, nil, nil).Sentence, "Good: squeeze ")
	assert.Contains(t, fit(t, 0, map[string]Num{"bore-diameter": {SI: 32.0e-3}}, nil).Sentence, "Not good: squeeze ")
	assert.Contains(t, fit(t, 0.4e-3, nil, nil).Sentence, "Cannot say: squeeze ")
}

// crossing must find what a plain formula gives, and say so when nothing is crossed.
func TestCrossingIsFoundOrReportedAbsent(t *testing.T) {
	line := func(x float64) (float64, bool) { return 2 - x, true }
	x, ok := crossing(line, 1, 1, true, 0)
	require.True(t, ok)
	assert.InDelta(t, 2, x, 1e-14)
	assert.GreaterOrEqual(t, 2-x, 0.0, "the limit is still kept at the place named")
	_, ok = crossing(line, 1, -1, true, 0)
	assert.False(t, ok)
	ends := func(x float64) (float64, bool) { return 1.99 - x, x < 2 }
	x, ok = crossing(ends, 1, 1.0/3, true, 0)
	require.True(t, ok, "just before the end of the domain")
	assert.InDelta(t, 1.99, x, 1e-12)
	_, ok = crossing(func(float64) (float64, bool) { return math.NaN(), false }, 1, 1, true, 0)
	assert.False(t, ok)
}

func BenchmarkRunWithTargets(b *testing.B) {
	c, _ := ByName("oring-fit")
	in := In{Num: map[string]Num{"cord": {3.53e-3, 1e-5}, "groove-diameter": {25.40e-3, 1e-5}, "bore-diameter": {31.04e-3, 1e-5}, "least-squeeze": {SI: 0.10}, "greatest-squeeze": {SI: 0.30}}, Solve: true}
	for b.Loop() {
		if _, err := c.Run(in); err != nil {
			b.Fatal(err)
		}
	}
}

// A bore that is judged against what it may be at most: the target has to be that size, with exact readings too.
func TestALimitSolvedOnThePartsMovesAlongWithThem(t *testing.T) {
	c, ok := ByName("bore-limit")
	require.True(t, ok)
	out, err := c.Run(In{Num: map[string]Num{"cord": {SI: 3.53e-3}, "groove-diameter": {SI: 32.4e-3}, "bore-diameter": {SI: 38.1e-3}}, Tables: builtIn{}, Solve: true})
	require.NoError(t, err)
	largest := 32.4e-3 + 2*0.9*3.53e-3
	assert.InDelta(t, largest, target(t, out, "bore-diameter").Greatest.SI, 1e-12)
	assert.InDelta(t, 38.1e-3-2*0.9*3.53e-3, target(t, out, "groove-diameter").Least.SI, 1e-12, "a smaller groove lets the ring out of the bore")
}
