package optimum

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func value(t *testing.T, m Model, lim Limits) float64 {
	e, err := Solve(m, lim)
	require.NoError(t, err)
	return e.Value()
}

func TestPropertiesHoldOnDrawnModels(t *testing.T) {
	for seed := range uint64(30) {
		several := seed%2 == 1
		m := drawn(seed, 4, 3, 2, several)
		best := value(t, m, Limits{})
		t.Run(fmt.Sprintf("seed %d: a free check that tells nothing changes nothing", seed), func(t *testing.T) {
			more := m
			more.Checks = append(slices.Clone(m.Checks), Check{ID: "idle", False: 0.3})
			assert.InEpsilon(t, best, value(t, more, Limits{}), 1e-12)
		})
		t.Run(fmt.Sprintf("seed %d: the order of the input does not matter", seed), func(t *testing.T) {
			n := m
			n.Faults, n.Checks, n.Repairs, n.Clusters = slices.Clone(m.Faults), slices.Clone(m.Checks), slices.Clone(m.Repairs), slices.Clone(m.Clusters)
			slices.Reverse(n.Faults)
			slices.Reverse(n.Checks)
			slices.Reverse(n.Repairs)
			rng := rand.New(rand.NewPCG(seed, 1))
			rng.Shuffle(len(n.Clusters), func(i, j int) { n.Clusters[i], n.Clusters[j] = n.Clusters[j], n.Clusters[i] })
			assert.InEpsilon(t, best, value(t, n, Limits{}), 1e-12)
			a, err := Advise(m, Effort{States: -1})
			require.NoError(t, err)
			b, err := Advise(n, Effort{States: -1})
			require.NoError(t, err)
			assert.InEpsilon(t, a.Minutes, b.Minutes, 1e-9)
		})
		t.Run(fmt.Sprintf("seed %d: no policy is cheaper and the bounds enclose", seed), func(t *testing.T) {
			assert.LessOrEqual(t, best, value(t, m, Limits{NoChecks: true})+1e-9)
			assert.LessOrEqual(t, best, value(t, m, Limits{OneRepair: true})+1e-9)
			a, err := Advise(m, Effort{States: -1})
			require.NoError(t, err)
			assert.False(t, a.Exact)
			assert.LessOrEqual(t, best, a.Bounds.Upper+1e-9)
			assert.GreaterOrEqual(t, best, a.Bounds.Perfect-1e-9)
			assert.GreaterOrEqual(t, best, a.Bounds.FreeChecks-1e-9)
			assert.Positive(t, a.Bounds.FreeChecks)
			assert.GreaterOrEqual(t, a.Bounds.FreeChecks, a.Bounds.Perfect-1e-9, "who knows the fault knows more than all answers tell")
		})
		t.Run(fmt.Sprintf("seed %d: where work changes nothing both optima are the same", seed), func(t *testing.T) {
			if several {
				return // a check answers by what was there at the start in the one, by what is there now in the other
			}
			c, err := SolveChanging(m, 1_000_000)
			require.NoError(t, err)
			assert.InEpsilon(t, best, c.Value(), 1e-9)
		})
		t.Run(fmt.Sprintf("seed %d: the sum of a trade is the difference of two plans", seed), func(t *testing.T) {
			x, err := prepare(m)
			require.NoError(t, err)
			s := x.start()
			with, without := s.bunch([]int{0, 1}), s.bunch([]int{0})
			want := (without.minutes + without.after.base() - with.minutes - with.after.base()) / s.mass()
			for _, tr := range x.trades(s, without, (*state).base) {
				if tr.Repair == x.Repairs[1].ID {
					assert.InDelta(t, want, tr.Gain(), 1e-9)
					assert.Equal(t, want > 0, tr.Pays)
				}
			}
		})
	}
}

func TestAdviceSaysWhyNothingIsWorthAsking(t *testing.T) {
	m := Model{
		Faults:     []Fault{{"x", 0.9}, {"y", 0.1}},
		Checks:     []Check{{ID: "t", Walk: "round", Minutes: 500, Positive: map[string]float64{"x": 1}}},
		Repairs:    []Repair{{ID: "a", Minutes: 5, Fixes: []string{"x"}}, {ID: "b", Minutes: 5, Fixes: []string{"y"}}},
		Clusters:   []Cluster{},
		Retest:     60,
		LastResort: 1000,
	}
	a, err := Advise(m, Effort{})
	require.NoError(t, err)
	assert.Equal(t, []string{"a", "b"}, a.Do.Repairs)
	assert.InDelta(t, 70, a.Minutes, 1e-9)
	assert.Contains(t, a.Nothing, "no answer saves the minutes it costs")
	require.NotEmpty(t, a.Anyway)
	for _, tr := range a.Anyway {
		if tr.Repair == "b" { // 5 min against a tenth of 65 more
			assert.Equal(t, "b: 5 min now against 10 % of another 65 min", tr.String())
			assert.True(t, tr.Pays)
		}
	}
	m.Checks[0].Minutes = 0.1
	m.Repairs[0].Minutes = 50
	a, err = Advise(m, Effort{})
	require.NoError(t, err)
	assert.Equal(t, "t", a.Do.Check)
	assert.Empty(t, a.Nothing)
	assert.Len(t, a.Errand, 1)
	a, err = Advise(m, Effort{Trip: 1000})
	require.NoError(t, err)
	assert.Empty(t, a.Errand, "the trip costs more than the look saves")
}

func TestTheGainOfARepairInABestBatchIsExact(t *testing.T) {
	weighed := 0
	for _, r := range references(t) {
		a, err := Advise(r.model(), Effort{})
		require.NoError(t, err)
		require.True(t, a.Exact, r.ID)
		assert.InEpsilon(t, r.Answers.Optimal, a.Minutes, 1e-9, r.ID)
		for _, tr := range a.Anyway {
			weighed++
			if tr.Chosen {
				assert.GreaterOrEqual(t, tr.Gain(), -1e-9, "%s: what is in the best batch pays", r.ID)
			} else {
				assert.LessOrEqual(t, tr.Gain(), 1e-9, "%s: what is not in it does not", r.ID)
			}
		}
	}
	assert.Greater(t, weighed, 20)
}

func TestABadModelIsNamed(t *testing.T) {
	for name, m := range map[string]Model{
		"no fault":             {},
		"cluster in itself":    {Faults: []Fault{{"x", 1}}, Clusters: []Cluster{{ID: "k", Parent: "k"}}},
		"unknown fault":        {Faults: []Fault{{"x", 1}}, Repairs: []Repair{{ID: "a", Fixes: []string{"q"}}}},
		"unknown cluster":      {Faults: []Fault{{"x", 1}}, Checks: []Check{{ID: "t", Cluster: "q"}}},
		"prior above 1":        {Faults: []Fault{{"x", 2}}},
		"minutes below 0":      {Faults: []Fault{{"x", 1}}, Retest: -1},
		"refit where fixed":    {Faults: []Fault{{"x", 1}}, Refits: []Refit{{Repair: "a"}}},
		"the same fault twice": {Faults: []Fault{{"x", 0.5}, {"x", 0.5}}},
	} {
		_, err := Solve(m, Limits{})
		assert.Error(t, err, name)
	}
	_, err := Solve(drawn(1, 5, 3, 4, false), Limits{States: 3})
	assert.ErrorAs(t, err, &TooLarge{})
}
