package rank

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// drawSign draws the answer of a sign given which variables are true.
func drawSign(r *rand.Rand, s sign, on func(v int) bool) sign {
	if !s.graded {
		s.state = Positive
		if p := s.probability(on); r.Float64() >= p {
			s.state = Negative
		}
		return s
	}
	highest := len(s.base) - 1
	draw := func(p []float64) {
		u := r.Float64()
		for i, x := range p {
			if u -= x; u < 0 {
				highest = min(highest, i)
				return
			}
		}
	}
	draw(s.base)
	for v := range 64 {
		if d, ok := s.dist[v]; ok && on(v) {
			draw(d)
		}
	}
	s.seen = highest
	return s
}

// Cases are drawn from the model itself, so what is said with a probability must come true that often. The draw follows the
// words of the model, not the code of the solver.
func TestWhatIsSaidWithAProbabilityComesTrueThatOften(t *testing.T) {
	r := rand.New(rand.NewSource(7))
	const tenths = 10
	var said, cameTrue, variance [tenths]float64
	pairs := 0
	var brier, expected, brierVariance float64
	note := func(p float64, happened bool) {
		o := 0.0
		if happened {
			o = 1
		}
		k := min(tenths-1, int(p*tenths))
		said[k] += p
		cameTrue[k] += o
		variance[k] += p * (1 - p)
		brier += (p - o) * (p - o)
		expected += p * (1 - p)
		brierVariance += p * (1 - p) * (1 - 2*p) * (1 - 2*p)
		pairs++
	}
	plain := func() float64 { return 0.02 + 0.5*r.Float64() }
	for range 4000 {
		a := Assembly{WetMisread: 0.05, Known: Positive, Shared: []float64{plain()}}
		signs := make([][]sign, 2)
		for j := range signs {
			b := Block{Weight: plain(), Elsewhere: 0.2 * plain(), RunDown: 0.5, Shared: []SharedAct{{0, plain()}}}
			if j == 1 {
				b.Above = []int{0}
			}
			for range 3 {
				b.Prior = append(b.Prior, plain())
			}
			for range 4 {
				s := sign{leak: 0.05 * r.Float64(), q: map[int]float64{}, dist: map[int][]float64{}}
				if s.graded = r.Intn(3) == 0; s.graded {
					s.base = []float64{0.02, 0.08, 0.9}
				}
				for v := range 5 {
					if s.graded {
						s.dist[v] = distribution(r, 3)
					} else if r.Intn(2) == 0 {
						s.q[v] = r.Float64()
					}
				}
				signs[j] = append(signs[j], s)
			}
			a.Blocks = append(a.Blocks, b)
		}
		// The truth, drawn anew until liquid is seen somewhere.
		var leaks, arrives [2]bool
		var causes [2]int
		var shared bool
		var acts [2]bool
		for !leaks[0] && !leaks[1] && !arrives[0] && !arrives[1] {
			shared = r.Float64() < a.Shared[0]
			for j, b := range a.Blocks {
				causes[j] = 0
				if r.Float64() < b.Weight {
					for causes[j] == 0 {
						for i, p := range b.Prior {
							if r.Float64() < p {
								causes[j] |= 1 << i
							}
						}
					}
				}
				acts[j] = shared && r.Float64() < b.Shared[0].Acts
				leaks[j] = causes[j] != 0 || acts[j]
				arrives[j] = r.Float64() < b.Elsewhere
				if j == 1 && leaks[0] && r.Float64() < b.RunDown {
					arrives[j] = true
				}
			}
		}
		for j := range a.Blocks {
			b := &a.Blocks[j]
			for _, s := range signs[j] {
				f := drawSign(r, s, func(v int) bool {
					switch v {
					case 3:
						return arrives[j]
					case 4:
						return acts[j]
					}
					return causes[j]>>v&1 == 1
				}).finding()
				b.Findings = append(b.Findings, f)
			}
			wet := (leaks[j] || arrives[j]) != (r.Float64() < a.WetMisread)
			b.Wet = Negative
			if wet {
				b.Wet = Positive
			}
		}
		post, err := SolveAssembly(a)
		require.NoError(t, err)
		note(post.Shared[0], shared)
		for j := range a.Blocks {
			for i, p := range post.Cause[j] {
				note(p, causes[j]>>i&1 == 1)
			}
			note(post.JointLeaks[j], leaks[j])
			note(post.Arrives[j], arrives[j])
		}
	}
	require.GreaterOrEqual(t, pairs, 10_000)
	for k := range said {
		t.Logf("tenth %d: said %.1f, came true %.0f, standard error %.1f", k, said[k], cameTrue[k], math.Sqrt(variance[k]))
		assert.InDelta(t, said[k], cameTrue[k], 3*math.Sqrt(variance[k]), "tenth %d", k)
	}
	assert.InDelta(t, expected, brier, 4*math.Sqrt(brierVariance), "mean square error is what exact probabilities give")
}
