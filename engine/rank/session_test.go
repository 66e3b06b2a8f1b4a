package rank

import (
	"fmt"
	"math"
	"math/rand"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// solvable draws random models until one has evidence of ordinary probability.
func solvable(t *testing.T, r *rand.Rand) (model, *Solver) {
	for range 1000 {
		m := randomModel(r)
		s, err := NewSolver(m.a, 0)
		if err == nil && s.Posterior().LogEvidence > -12 {
			return m, s
		}
	}
	t.Fatal("no solvable model among a thousand")
	return model{}, nil
}

func TestFactorsAreOddsWithOverOddsWithout(t *testing.T) {
	r := rand.New(rand.NewSource(5))
	compared := 0
	for k := range 150 {
		m, s := solvable(t, r)
		var groups [][]FindingRef
		var without []Assembly
		for range 3 {
			a := m.a
			a.Blocks = append([]Block(nil), a.Blocks...)
			var group []FindingRef
			for j := range a.Blocks {
				b := &a.Blocks[j]
				b.Findings = append([]Finding(nil), b.Findings...)
				for i := range b.Findings {
					if r.Intn(3) == 0 {
						group = append(group, FindingRef{j, i})
						b.Findings[i].State = Unknown
					}
				}
				if r.Intn(4) == 0 {
					group, b.Wet = append(group, FindingRef{j, WetRef}), Unknown
				}
				if r.Intn(4) == 0 {
					group, b.Leaks = append(group, FindingRef{j, LeaksRef}), Unknown
				}
			}
			if r.Intn(4) == 0 {
				group, a.Known = append(group, FindingRef{0, KnownRef}), Unknown
			}
			groups, without = append(groups, group), append(without, a)
		}
		factors, err := s.Factors(groups)
		require.NoError(t, err)
		all := s.Posterior()
		for g, a := range without {
			other, err := SolveAssembly(a)
			require.NoError(t, err)
			for j := range all.Cause {
				for i, p := range all.Cause[j] {
					q := other.Cause[j][i]
					if p < 1e-6 || p > 1-1e-6 || q < 1e-6 || q > 1-1e-6 {
						continue
					}
					compared++
					assert.InEpsilon(t, p/(1-p)/(q/(1-q)), factors[g].Cause[j][i], 1e-8, "model %d group %d cause %d.%d", k, g, j, i)
				}
				p, q := all.JointLeaks[j], other.JointLeaks[j]
				if p > 1e-6 && p < 1-1e-6 && q > 1e-6 && q < 1-1e-6 {
					assert.InEpsilon(t, p/(1-p)/(q/(1-q)), factors[g].JointLeaks[j], 1e-8)
				}
			}
		}
	}
	assert.Greater(t, compared, 200)
}

func TestFactorsOfWhatWasCertainAnywayAreOne(t *testing.T) {
	a := Assembly{Blocks: []Block{{Weight: 1, Prior: []float64{0.2, 0}, Findings: []Finding{YesNo("f", true, 0.1, []Rate{{0, 0.5}})}}}}
	f, err := FactorsOf(a, [][]FindingRef{{{0, 0}}})
	require.NoError(t, err)
	assert.Equal(t, []float64{1, 1}, f[0].Cause[0])
	_, err = FactorsOf(a, [][]FindingRef{{{0, 5}}})
	assert.ErrorContains(t, err, "finding 5")
}

func TestLookAheadIsTheSolveWithTheAnswerAndAddsUpToOne(t *testing.T) {
	r := rand.New(rand.NewSource(6))
	for k := range 150 {
		m, s := solvable(t, r)
		j := r.Intn(len(m.a.Blocks))
		n := len(m.a.Blocks[j].Prior) + 1 + len(m.a.Blocks[j].Shared)
		var answers [][]Change
		if r.Intn(2) == 0 {
			var rates []Rate
			for v := range n {
				rates = append(rates, Rate{v, chance(r)})
			}
			leak := 0.2 * r.Float64()
			answers = [][]Change{{{Block: j, Add: []Finding{YesNo("q", true, leak, rates)}}}, {{Block: j, Add: []Finding{YesNo("q", false, leak, rates)}}}}
		} else {
			var links []Grades
			for v := range n {
				d := distribution(r, 4)
				links = append(links, Grades{v, d})
			}
			base := []float64{0.1, 0.2, 0.3, 0.4}
			for seen := range base {
				f, err := Graded("g", seen, links, base)
				require.NoError(t, err)
				answers = append(answers, []Change{{Block: j, Add: []Finding{f}}})
			}
		}
		out, err := s.LookAhead(answers)
		require.NoError(t, err)
		var sum float64
		mean := s.Posterior().combine(s.Posterior().Marginals, func(float64, float64) float64 { return 0 })
		for i, o := range out {
			sum += o.P
			if o.P == 0 {
				continue
			}
			mean = mean.combine(o.Posterior.Marginals, func(a, b float64) float64 { return a + o.P*b })
			a := m.a
			a.Blocks = append([]Block(nil), a.Blocks...)
			a.Blocks[j].Findings = append(append([]Finding(nil), a.Blocks[j].Findings...), answers[i][0].Add...)
			want, err := SolveAssembly(a)
			require.NoError(t, err)
			assert.InDelta(t, math.Exp(want.LogEvidence-s.Posterior().LogEvidence), o.P, 1e-12)
			if o.P > 1e-9 {
				same(t, want.Marginals, o.Posterior.Marginals, 1e-11, fmt.Sprintf("model %d answer %d", k, i))
			}
		}
		assert.InDelta(t, 1, sum, 1e-12, "model %d", k)
		same(t, s.Posterior().Marginals, mean, 1e-12, fmt.Sprintf("model %d: the mean of the outcomes is what is believed now", k))
	}
}

func TestLookAheadOnWetAndLeaks(t *testing.T) {
	a := Assembly{
		WetMisread: 0.05, Known: Positive, Shared: []float64{0.1},
		Blocks: []Block{
			{Weight: 0.6, Prior: []float64{0.1, 0.2}, Elsewhere: 0.1, Shared: []SharedAct{{0, 0.5}}},
			{Weight: 0.2, Prior: []float64{0.3}, Elsewhere: 0.05, Above: []int{0}, RunDown: 0.5, Wet: Positive},
		},
	}
	s, err := NewSolver(a, 0)
	require.NoError(t, err)
	out, err := s.LookAhead([][]Change{
		{{Block: 0, Leaks: Positive}}, {{Block: 0, Leaks: Negative}},
		{{Block: 0, Wet: Positive}}, {{Block: 0, Wet: Negative}},
		{{Block: 1, Wet: Negative}}, {},
	})
	require.NoError(t, err)
	assert.InDelta(t, s.Posterior().JointLeaks[0], out[0].P, 1e-14)
	assert.InDelta(t, 1, out[0].P+out[1].P, 1e-14)
	assert.InDelta(t, 1, out[2].P+out[3].P, 1e-14)
	assert.Equal(t, 1.0, out[0].Posterior.JointLeaks[0])
	assert.Equal(t, 0.0, out[4].P, "it was already seen wet")
	assert.InDelta(t, 1, out[5].P, 1e-14)
}

func TestASolverMayBeAskedFromSeveralSides(t *testing.T) {
	s, err := NewSolver(pumphouse(3, 20, 5), 0)
	require.NoError(t, err)
	group := [][]FindingRef{{{0, 0}, {0, 1}}, {{1, 0}}}
	want, err := s.Factors(group)
	require.NoError(t, err)
	var wg sync.WaitGroup
	got := make([][]Factors, 4)
	for i := range got {
		wg.Add(1)
		go func() {
			defer wg.Done()
			got[i], _ = s.Factors(group)
		}()
	}
	wg.Wait()
	for i := range got {
		assert.Equal(t, want, got[i])
	}
}

func TestTheOneShotFormsAgreeWithTheSolver(t *testing.T) {
	a := pumphouse(2, 6, 3)
	s, err := NewSolver(a, 0)
	require.NoError(t, err)
	yes, no := YesNo("q", true, 0.1, []Rate{{0, 0.5}}), YesNo("q", false, 0.1, []Rate{{0, 0.5}})
	want, err := s.LookAhead([][]Change{{{Block: 1, Add: []Finding{yes}}}, {{Block: 1, Add: []Finding{no}}}})
	require.NoError(t, err)
	got, err := LookAhead(a, 1, [][]Finding{{yes}, {no}})
	require.NoError(t, err)
	assert.Equal(t, want, got)
	p, err := s.DryIf([]CauseRef{{0, 0}})
	require.NoError(t, err)
	q, err := DryIf(a, []CauseRef{{0, 0}})
	require.NoError(t, err)
	assert.Equal(t, p, q)
	_, err = LookAhead(a, 9, [][]Finding{{yes}})
	assert.ErrorContains(t, err, "joint 9")
	_, err = LookAhead(a, 0, [][]Finding{{YesNo("q", true, 0.1, []Rate{{50, 0.5}})}})
	assert.ErrorContains(t, err, "cause 50")
}

// The ladder is a short cut: it must be taken, and lead to the same place as the long way.
func TestTheLadderOfAnswersLeadsToTheSamePlace(t *testing.T) {
	a := pumphouse(2, 6, 4)
	s, err := NewSolver(a, 0)
	require.NoError(t, err)
	links := []Grades{{0, []float64{0.2, 0.3, 0.5}}, {3, []float64{0.6, 0.1, 0.3}}, {6, []float64{0.1, 0.1, 0.8}}}
	var answers [][]Change
	for seen := range 3 {
		f, err := Graded("amount", seen, links, []float64{0.05, 0.05, 0.9})
		require.NoError(t, err)
		answers = append(answers, []Change{{Block: 1, Add: []Finding{f}}})
	}
	l := &ladder{s: s, answers: answers, atMost: make([]*Outcome, 3)}
	for i, answer := range answers {
		short, ok, err := l.outcome(i)
		require.NoError(t, err)
		assert.Equal(t, i < 2, ok)
		if ok {
			long, err := s.outcome(answer)
			require.NoError(t, err)
			assert.InDelta(t, long.P, short.P, 1e-14)
			assert.InDelta(t, long.Posterior.LogEvidence, short.Posterior.LogEvidence, 1e-12)
			same(t, long.Posterior.Marginals, short.Posterior.Marginals, 1e-12, "ladder")
		}
	}
}

func TestAnAnswerThatMakesAJointTooWideSaysSo(t *testing.T) {
	a := pumphouse(2, 6, 4)
	s, err := NewSolver(a, 4)
	require.NoError(t, err)
	require.True(t, s.Posterior().Exact)
	more := denseNetwork(6, 3, 9).Findings
	out, err := s.LookAhead([][]Change{{{Block: 0, Add: more[:1]}}, {{Block: 0, Add: more}}})
	require.NoError(t, err)
	assert.True(t, out[0].Posterior.Exact, "one more is allowed")
	assert.False(t, out[1].Posterior.Exact)
}

func TestDryIfEverythingIsTreatedIsCertain(t *testing.T) {
	a := pumphouse(2, 5, 3)
	s, err := NewSolver(a, 0)
	require.NoError(t, err)
	var all []CauseRef
	before := 0.0
	for j, b := range a.Blocks {
		for i := 0; i <= len(b.Prior); i++ {
			all = append(all, CauseRef{j, i})
			p, err := s.DryIf(all)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, p, before-1e-15, "treating more never lowers it")
			before = p
		}
	}
	for k := range a.Shared {
		all = append(all, CauseRef{SharedBlock, k})
	}
	p, err := s.DryIf(all)
	require.NoError(t, err)
	assert.InDelta(t, 1, p, 1e-14)
	_, err = s.DryIf([]CauseRef{{0, 99}})
	assert.ErrorContains(t, err, "cause 99")
}

func TestBoundsOfAnAssemblyEncloseTheTruth(t *testing.T) {
	for seed := range 6 {
		a := pumphouse(3, 10, 8+seed%2)
		exact, err := SolveAssembly(a)
		require.NoError(t, err)
		for _, width := range []int{7, 5, 3} {
			s, err := NewSolver(a, width)
			require.NoError(t, err)
			post := s.Posterior()
			require.False(t, post.Exact)
			within := func(p, low, high float64) float64 {
				assert.True(t, low <= p && p <= high, "width %d: %v <= %v <= %v", width, low, p, high)
				return 0
			}
			post.Low.combine(exact.Marginals, func(l, p float64) float64 { return within(p, l, 1) })
			post.High.combine(exact.Marginals, func(h, p float64) float64 { return within(p, 0, h) })
			post.Low.combine(post.Marginals, func(l, p float64) float64 { return within(p, l, 1) })
			out, err := s.LookAhead([][]Change{
				{{Block: 0, Add: []Finding{YesNo("q", true, 0.1, []Rate{{0, 0.5}, {1, 0.9}})}}},
				{{Block: 0, Add: []Finding{YesNo("q", false, 0.1, []Rate{{0, 0.5}, {1, 0.9}})}}},
			})
			require.NoError(t, err)
			assert.InDelta(t, 1, out[0].P+out[1].P, 1e-12)
			assert.False(t, out[0].Posterior.Exact)
		}
	}
}

func TestJointsAboveEachOtherInACircleAreAnError(t *testing.T) {
	_, err := SolveAssembly(Assembly{Blocks: []Block{
		{Weight: 1, Prior: []float64{0.1}, Above: []int{1}}, {Weight: 1, Prior: []float64{0.1}, Above: []int{0}},
	}})
	assert.ErrorIs(t, err, ErrCycle)
}

func TestAssemblyInputOutOfDomainIsNamed(t *testing.T) {
	cases := map[string]Assembly{
		"Blocks[0] (tie rod).Weight": {Blocks: []Block{{ID: "tie rod", Weight: 2}}},
		"Blocks[0].Above":            {Blocks: []Block{{Above: []int{3}}}},
		"Blocks[0].Shared":           {Blocks: []Block{{Shared: []SharedAct{{0, 0.5}}}}},
		"Shared[0]":                  {Shared: []float64{-1}},
		"WetMisread":                 {WetMisread: math.NaN()},
		"Blocks[0].Findings[0]":      {Blocks: []Block{{Findings: []Finding{YesNo("", true, 0, []Rate{{1, 1}})}}}},
	}
	for where, a := range cases {
		t.Run(where, func(t *testing.T) {
			_, err := SolveAssembly(a)
			var input *InputError
			require.ErrorAs(t, err, &input)
			assert.Contains(t, err.Error(), where)
		})
	}
}

func TestOneJointKnownToLeakKeepsTheRatioOfItsShares(t *testing.T) {
	shares := []float64{0.4, 0.3, 0.2, 0.1}
	for _, faults := range []float64{1.0, 1.1, 1.3, 1.5} {
		priors, reached, err := ScalePriors(shares, faults)
		require.NoError(t, err)
		assert.InDelta(t, faults, reached, 1e-8)
		post, err := SolveAssembly(Assembly{Blocks: []Block{{Weight: 1, Prior: priors}}, Known: Positive})
		require.NoError(t, err)
		for i, p := range post.Cause[0] {
			assert.InDelta(t, faults*shares[i], p, 1e-8)
		}
		assert.Equal(t, 1.0, post.JointLeaks[0])
	}
}
