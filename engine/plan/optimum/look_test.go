package optimum

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// walk is the exact cost of deciding anew by look-ahead at every step, no state solved.
func walk(s *state, depth int, memo map[string]float64) float64 {
	if s.mass() < vanish {
		return 0
	}
	k := fmt.Sprint(s.open, s.done, s.used, s.w)
	if v, ok := memo[k]; ok {
		return v
	}
	l := lookahead{wide: 4, budget: 450, never: true}
	c := l.choose(s, depth, nil)[0]
	v := s.mass() * s.x.LastResort
	switch c.kind {
	case CheckStep:
		v = s.mass()*s.checkCost(c.check) + walk(s.answer(c.check, 0), depth, memo) + walk(s.answer(c.check, 1), depth, memo)
	case RepairStep:
		v = c.bunch.minutes + walk(c.bunch.after, depth, memo)
	}
	memo[k] = v
	return v
}

func TestLookAheadStaysNearTheOptimumOnEveryReference(t *testing.T) {
	mean, worst, n := 0.0, 0.0, 0.0
	for _, r := range references(t) {
		x, err := prepare(r.model())
		require.NoError(t, err)
		got := walk(x.start(), 2, map[string]float64{})
		over := got/r.Answers.Optimal - 1
		if over > 1e-9 {
			t.Logf("%s %.2f %%", r.ID, 100*over)
		}
		assert.GreaterOrEqual(t, over, -1e-9, r.ID)
		mean, worst, n = mean+over, max(worst, over), n+1
	}
	t.Logf("mean %.3f %%, worst %.2f %%", 100*mean/n, 100*worst)
	assert.LessOrEqual(t, mean/n, 0.01)
	assert.LessOrEqual(t, worst, 0.05)
}

func TestWhatIsLeftIsSolvedExactly(t *testing.T) {
	solved := 0
	for _, r := range references(t) {
		x, err := prepare(r.model())
		require.NoError(t, err)
		if v, ok := x.start().rest(); ok {
			solved++
			assert.InEpsilon(t, r.Answers.Optimal, v, 1e-9, r.ID)
		}
	}
	assert.Positive(t, solved)
}
