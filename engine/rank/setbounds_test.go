package rank

import (
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func enclosed(t *testing.T, exact, post Posterior, what string) {
	t.Helper()
	assert.LessOrEqual(t, post.LogLow, exact.LogEvidence+1e-9, what)
	assert.GreaterOrEqual(t, post.LogHigh, exact.LogEvidence-1e-9, what)
	for i, p := range exact.P {
		assert.True(t, post.Low[i] <= p && p <= post.High[i], "%s cause %d: %v not in %v to %v", what, i, p, post.Low[i], post.High[i])
		assert.True(t, post.Low[i] <= post.P[i] && post.P[i] <= post.High[i], what)
	}
}

func TestSetsWeighedOneByOneEncloseTheTruth(t *testing.T) {
	for seed := range int64(30) {
		n := denseNetwork(4+int(seed)%18, 3+int(seed)%9, 300+seed)
		exact, err := Solve(n)
		require.NoError(t, err)
		for _, budget := range []int{10, 300, 3_000, 30_000} {
			post, _, err := SolveTop(n, len(n.Prior), budget)
			require.NoError(t, err)
			enclosed(t, exact, post, "dense")
		}
	}
}

func TestSetsWeighedOneByOneEncloseTheTruthAtTheExtremes(t *testing.T) {
	r := rand.New(rand.NewSource(15))
	said := 0
	for range 600 {
		n := Network{}
		for range 1 + r.Intn(7) {
			n.Prior = append(n.Prior, chance(r))
		}
		for range r.Intn(9) {
			n.Findings = append(n.Findings, randomSign(r, len(n.Prior)).finding())
		}
		exact, err := Solve(n)
		if err != nil {
			continue
		}
		post, certain, err := SolveTop(n, 3, 20_000)
		require.NoError(t, err)
		enclosed(t, exact, post, "extreme")
		require.False(t, t.Failed())
		if certain {
			said++
		}
	}
	assert.Greater(t, said, 100)
}

func TestTheOrderThatIsSaidToBeCertainIsThatOfTheTruth(t *testing.T) {
	certainly := 0
	for seed := range int64(10) {
		n := denseNetwork(20, 11, 400+seed)
		exact, err := Solve(n)
		require.NoError(t, err)
		post, certain, err := SolveTop(n, 5, 1_000_000)
		require.NoError(t, err)
		enclosed(t, exact, post, "dense")
		if certain {
			certainly++
			want := Marginals{Cause: [][]float64{exact.P}, Elsewhere: []float64{0}}
			got := Marginals{Cause: [][]float64{post.P}, Elsewhere: []float64{0}}
			var refs []CauseRef
			for i := range n.Prior {
				refs = append(refs, CauseRef{0, i})
			}
			for k := range 5 {
				assert.Equal(t, want.Ranking(refs)[k].CauseRef, got.Ranking(refs)[k].CauseRef)
			}
		}
	}
	t.Log(certainly)
	assert.Greater(t, certainly, 5)
}
