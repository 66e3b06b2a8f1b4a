package rank

import (
	"errors"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAnAlternativeIsWhatANewSolverSaysOfIt(t *testing.T) {
	r := rand.New(rand.NewSource(11))
	tried := 0
	for range 300 {
		_, s := solvable(t, r)
		a := s.a
		a.Blocks = append([]Block(nil), a.Blocks...)
		a.Shared = append([]float64(nil), a.Shared...)
		for j := range a.Blocks {
			b := &a.Blocks[j]
			switch r.Intn(5) {
			case 0:
				if len(b.Findings) > 0 {
					b.Findings = b.Findings[1:]
				}
			case 1:
				b.Prior = append([]float64(nil), b.Prior...)
				for i := range b.Prior {
					b.Prior[i] = Raise(b.Prior[i], 0.5+r.Float64())
				}
			case 2:
				b.Weight *= r.Float64()
			case 3:
				b.Wet, b.Elsewhere = Unknown, b.Elsewhere*r.Float64()
			}
		}
		for i := range a.Shared {
			a.Shared[i] *= r.Float64()
		}
		want, err := SolveAssembly(a)
		got, err2 := s.Alternative(a)
		if err != nil {
			assert.Equal(t, errors.Is(err, ErrImpossible), errors.Is(err2, ErrImpossible))
			continue
		}
		require.NoError(t, err2)
		tried++
		for j := range a.Blocks {
			assert.InDelta(t, want.JointLeaks[j], got.JointLeaks[j], 1e-12)
			assert.InDelta(t, want.Elsewhere[j], got.Elsewhere[j], 1e-12)
			for i := range want.Cause[j] {
				assert.InDelta(t, want.Cause[j][i], got.Cause[j][i], 1e-12)
			}
		}
		for i := range want.Shared {
			assert.InDelta(t, want.Shared[i], got.Shared[i], 1e-12)
		}
	}
	assert.Greater(t, tried, 100)
}
