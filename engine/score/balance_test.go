package score

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestExpectedCountsAreSumsOfSharesAgainstHandWork(t *testing.T) {
	f := New(map[string]float64{"a": 0.6, "b": 0.4, "c": 0.2}) // shares 1/2, 1/3, 1/6
	got := BalanceOf([]Outcome{{f, []string{"a"}}, {f, []string{"c"}}, {New(map[string]float64{"a": 0.8, "b": 0.2}), []string{"a"}}})
	require.Len(t, got, 3)
	a, b, c := got[0], got[1], got[2]
	assert.Equal(t, []string{"a", "b", "c"}, []string{a.Name, b.Name, c.Name})
	assert.Equal(t, []int{3, 3, 2}, []int{a.N, b.N, c.N})
	assert.InDelta(t, 1.8, a.Expected, 1e-12)
	assert.InDelta(t, math.Sqrt(0.25+0.25+0.16), a.SD, 1e-12)
	assert.InDelta(t, 0.2/math.Sqrt(0.66), a.Off(), 1e-12)
	assert.Negative(t, b.Off())
	assert.InDelta(t, (1-1./3)/math.Sqrt(2*5./36), c.Off(), 1e-12)
}

func TestATruthKnownOnlyAsAGroupIsSharedOut(t *testing.T) {
	f := New(map[string]float64{"a": 0.6, "b": 0.2, "c": 0.2})
	got := BalanceOf([]Outcome{{f, []string{"b", "a", "a"}}})
	assert.InDelta(t, 0.75, got[0].Came, 1e-12)
	assert.InDelta(t, 0.25, got[1].Came, 1e-12)
	assert.Zero(t, got[2].Came)
}

func TestWhatWasNeverInQuestionIsInfinitelyTooTimid(t *testing.T) {
	f := New(map[string]float64{"a": 1})
	got := BalanceOf([]Outcome{{f, []string{"x", "y"}}})
	require.Len(t, got, 3)
	assert.True(t, math.IsInf(got[0].Off(), -1), "certain, and did not come")
	assert.True(t, math.IsInf(got[1].Off(), 1))
	assert.Equal(t, 0.5, got[1].Came)
	assert.Equal(t, 1, got[1].N)
	assert.Zero(t, BalanceOf([]Outcome{{f, []string{"a"}}})[0].Off())
	assert.Empty(t, BalanceOf(nil))
}

// Forecasts that are right are off by more than 2 deviations about as seldom as chance makes
// them, and a name that is said half as often as it comes is found out.
func TestHonestSharesBalance(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 9))
	var honest, shy []Outcome
	for range 4000 {
		p := map[string]float64{"a": 0.05 + r.Float64(), "b": 0.05 + r.Float64(), "c": 0.05 + r.Float64(), "d": 0.05 + r.Float64()}
		f := New(p)
		u, truth := r.Float64(), ""
		for _, name := range f.Names {
			if truth = name; u < f.Share(name) {
				break
			}
			u -= f.Share(name)
		}
		honest = append(honest, Outcome{f, []string{truth}})
		p["a"] /= 2
		shy = append(shy, Outcome{New(p), []string{truth}})
	}
	sum := 0.0
	for _, b := range BalanceOf(honest) {
		assert.Less(t, math.Abs(b.Off()), 4.0, b.Name)
		sum += b.Expected - b.Came
	}
	assert.InDelta(t, 0, sum, 1e-9, "both add up to the number of cases")
	assert.Greater(t, BalanceOf(shy)[0].Off(), 4.0)
}
