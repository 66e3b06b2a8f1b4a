package rank

import (
	"errors"
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawnAssembly draws joints with switches, places not on the list, shared causes, graded answers and probabilities of 0 and 1.
func drawnAssembly(t *rapid.T) Assembly {
	return randomModel(rand.New(rand.NewSource(rapid.Int64().Draw(t, "seed")))).a
}

// eachPair calls f with each probability of two sets of marginals of the same shape.
func eachPair(a, b Marginals, f func(x, y float64)) {
	a.combine(b, func(x, y float64) float64 { f(x, y); return 0 })
}

func requireEnclosed(t *rapid.T, low, high, truth Marginals) {
	eachPair(low, truth, func(l, p float64) {
		if !(l <= p) || l < 0 {
			t.Fatalf("%v is below its lower bound %v", p, l)
		}
	})
	eachPair(high, truth, func(h, p float64) {
		if !(p <= h) || h > 1 {
			t.Fatalf("%v is above its upper bound %v", p, h)
		}
	})
}

// forced gives the solver of an assembly of which every joint with more than one open positive finding is bounded, and the exact
// one; nil if there is none or the evidence cannot be.
func forced(t *rapid.T, a Assembly) (bounded, exact *Solver) {
	exact, err := NewSolver(a, 0)
	if err != nil {
		t.Skip("evidence that cannot be")
	}
	bounded, err = NewSolver(a, 1)
	if err != nil {
		t.Fatal(err)
	}
	if bounded.post.Exact {
		return nil, nil
	}
	return bounded, exact
}

func TestBoundsOfDrawnAssembliesEncloseTheExactPosterior(t *testing.T) {
	bounds, sure := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		b, exact := forced(t, drawnAssembly(t))
		if b == nil {
			return
		}
		bounds++
		requireEnclosed(t, *b.post.Low, *b.post.High, exact.post.Marginals)
		requireEnclosed(t, *b.post.Low, *b.post.High, b.post.Marginals)
		if b.sure {
			sure++
			refs := b.a.allCauses()
			got, want := b.post.Ranking(refs), exact.post.Ranking(refs)
			for k := range min(blockTop, len(refs)) {
				if got[k].CauseRef != want[k].CauseRef {
					t.Fatalf("place %d: %v, in truth %v", k, got[k], want[k])
				}
			}
		}
	})
	assert.Positive(t, bounds)
	assert.Positive(t, sure)
}

func TestFindingsReplacedByBoundsEncloseTheExactPosteriorOfDrawnAssemblies(t *testing.T) {
	bounds := 0
	rapid.Check(t, func(t *rapid.T) {
		b, exact := forced(t, drawnAssembly(t))
		if b == nil {
			return
		}
		r, err := b.relaxFindings()
		if err != nil {
			t.Fatal(err)
		}
		bounds++
		requireEnclosed(t, r.low, r.high, exact.post.Marginals)
	})
	assert.Positive(t, bounds)
}

// A round that may look at a few sets only says little, and what it says must hold.
func TestBoundsOfASpentBudgetEncloseTheExactPosterior(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, exact := forced(t, drawnAssembly(t))
		if b == nil {
			return
		}
		upper, lower := append([]*swept(nil), b.blocks...), append([]*swept(nil), b.blocks...)
		looks := rapid.IntRange(1, 12).Draw(t, "looks")
		for j := range upper {
			if b.wide[j] {
				g := newWeighedBlock(&b.a.Blocks[j], b.compile(&b.a.Blocks[j]), b.cp.acts[j])
				g.weigh(rapid.SampledFrom([]float64{0, 1e-6, 1e-2, 1}).Draw(t, "cut"), nil, looks)
				upper[j], lower[j] = g.swept(1), g.swept(0)
			}
		}
		e, err := b.encloseBy(upper, lower)
		if err != nil {
			t.Fatal(err)
		}
		requireEnclosed(t, e.low, e.high, exact.post.Marginals)
	})
}

func TestAnswersAtABoundedJointAreWeighedAsTheExactOnes(t *testing.T) {
	compared := 0
	for seed := range int64(12) {
		a := pumphouse(2, 8, 7)
		r := rand.New(rand.NewSource(seed))
		b, err := NewSolver(a, 4)
		require.NoError(t, err)
		exact, err := NewSolver(a, 0)
		require.NoError(t, err)
		var rates []Rate
		for v := range 10 {
			rates = append(rates, Rate{v, r.Float64()})
		}
		question := [][]Change{{{Block: 1, Add: []Finding{YesNo("q", true, 0.1, rates)}}}, {{Block: 1, Add: []Finding{YesNo("q", false, 0.1, rates)}}}}
		got, err := b.LookAhead(question)
		require.NoError(t, err)
		want, err := exact.LookAhead(question)
		require.NoError(t, err)
		assert.InDelta(t, 1, got[0].P+got[1].P, 1e-12)
		for k := range got {
			alone, err := b.outcome(question[k])
			require.NoError(t, err)
			assert.InDelta(t, alone.P, got[k].P, 1e-9, "the ladder and the answer by itself")
			assert.InDelta(t, want[k].P, got[k].P, 1e-3)
			assert.False(t, got[k].Posterior.Exact)
			eachPair(want[k].Posterior.Marginals, got[k].Posterior.Marginals, func(x, y float64) {
				compared++
				assert.InDelta(t, x, y, 3e-3)
			})
		}
		treated := []CauseRef{{0, 0}, {1, 1}, {1, 2}, {0, 8}, {1, 8}, {SharedBlock, 0}}
		p, err := b.DryIf(treated)
		require.NoError(t, err)
		q, err := exact.DryIf(treated)
		require.NoError(t, err)
		assert.InDelta(t, q, p, 1e-3)
		group := [][]FindingRef{{{1, 0}}, {{0, 3}}}
		f, err := b.Factors(group)
		require.NoError(t, err)
		g, err := exact.Factors(group)
		require.NoError(t, err)
		for k := range f {
			for i, x := range g[k].Cause[1] {
				if p := exact.post.Cause[1][i]; p > 0.01 && p < 0.99 {
					assert.InDelta(t, math.Log(x), math.Log(f[k].Cause[1][i]), 0.05)
				}
			}
		}
	}
	assert.Greater(t, compared, 500)
}

func TestManyPositiveFindingsOfADenseJointStandInOrder(t *testing.T) {
	for _, positives := range []int{18, 24, 30} {
		s, err := NewSolver(pumphouse(1, 38, positives), 0)
		require.NoError(t, err)
		assert.False(t, s.post.Exact)
		assert.True(t, s.sure, "%d positives", positives)
		eachPair(*s.post.Low, *s.post.High, func(l, h float64) { assert.Less(t, h-l, 0.02) })
		_, err = s.Pair(CauseRef{0, 0}, CauseRef{0, 1})
		assert.True(t, errors.Is(err, ErrTooWide))
	}
}

// Many causes that are likely together are beyond weighing sets, and bounds of single findings take over.
func TestManyLikelyCausesAreBoundedByReplacingFindings(t *testing.T) {
	n := overlapping(12, 6, 4, 0)
	for i := range n.Prior {
		n.Prior[i] = 0.5
	}
	r := rand.New(rand.NewSource(1))
	for range 6 { // findings that tie the groups together
		var rates []Rate
		for i := range n.Prior {
			rates = append(rates, Rate{i, 0.02 * r.Float64()})
		}
		n.Findings = append(n.Findings, YesNo("", true, 0.9, rates))
	}
	a := Assembly{Known: Positive, Blocks: []Block{{Weight: 1, Prior: n.Prior, Findings: n.Findings}}}
	exact, err := NewSolver(a, 0)
	require.NoError(t, err)
	require.True(t, exact.post.Exact)
	b, err := NewSolver(a, 6)
	require.NoError(t, err)
	assert.NotNil(t, b.relaxed[0])
	width := 0.0
	eachPair(*b.post.Low, exact.post.Marginals, func(l, p float64) { assert.LessOrEqual(t, l, p) })
	eachPair(*b.post.High, exact.post.Marginals, func(h, p float64) { assert.GreaterOrEqual(t, h, p) })
	eachPair(*b.post.Low, *b.post.High, func(l, h float64) { width = max(width, h-l) })
	assert.Less(t, width, 0.5)
}
