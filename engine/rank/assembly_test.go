package rank

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// same compares every item of two sets of numbers.
func same(t *testing.T, want, got Marginals, slack float64, what string) {
	t.Helper()
	each := func(name string, w, g []float64) {
		t.Helper()
		require.Len(t, g, len(w), "%s %s", what, name)
		for i := range w {
			assert.InDelta(t, w[i], g[i], slack, "%s %s[%d]", what, name, i)
		}
	}
	each("JointLeaks", want.JointLeaks, got.JointLeaks)
	each("Elsewhere", want.Elsewhere, got.Elsewhere)
	each("Arrives", want.Arrives, got.Arrives)
	each("Shared", want.Shared, got.Shared)
	require.Len(t, got.Cause, len(want.Cause))
	for j := range want.Cause {
		each(fmt.Sprintf("Cause[%d]", j), want.Cause[j], got.Cause[j])
	}
}

func TestRandomAssembliesAgreeWithEveryCombinationOneByOne(t *testing.T) {
	r := rand.New(rand.NewSource(4))
	solved, impossible := 0, 0
	for k := range 700 {
		m := randomModel(r)
		treated := map[CauseRef]bool{}
		var refs []CauseRef
		add := func(c CauseRef) {
			if r.Intn(2) == 0 {
				treated[c] = true
				refs = append(refs, c)
			}
		}
		for j, b := range m.a.Blocks {
			for i := 0; i <= len(b.Prior); i++ {
				add(CauseRef{j, i})
			}
		}
		for i := range m.a.Shared {
			add(CauseRef{SharedBlock, i})
		}
		z, sums, dry := m.brute(treated)
		s, err := NewSolver(m.a, 0)
		if z < 1e-12 {
			if err != nil {
				require.ErrorIs(t, err, ErrImpossible)
				impossible++
			}
			continue
		}
		what := fmt.Sprintf("assembly %d, Z %g", k, z)
		require.NoError(t, err, what)
		solved++
		slack := 1e-12 + 2e-15/z
		post := s.Posterior()
		require.True(t, post.Exact)
		assert.InDelta(t, z, math.Exp(post.LogEvidence), 1e-12, what)
		want := sums.combine(sums, func(a, _ float64) float64 { return a / z })
		same(t, want, post.Marginals, slack, what)
		p, err := s.DryIf(refs)
		require.NoError(t, err)
		assert.InDelta(t, dry/z, p, slack, what+" dry")
		if t.Failed() {
			return
		}
	}
	t.Log(solved, impossible)
	assert.Greater(t, solved, 300)
	assert.Greater(t, impossible, 20)
}
