package learn

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules"
)

// The worked example of the method: 5 % worth 20 cases, 3 of 4 seen.
func TestFivePerCentWorthTwentyCasesAndThreeOfFourIsSeventeen(t *testing.T) {
	p, err := Update(0.05, 20, 3, 4)
	require.NoError(t, err)
	assert.InDelta(t, 4./24, p, 1e-15)
	assert.InDelta(t, 0.167, p, 5e-4)
}

func TestWhatIsNoCountIsRefused(t *testing.T) {
	for _, x := range [][4]float64{{0.05, 0, 1, 1}, {1.2, 20, 1, 1}, {0.1, 20, 2, 1}, {-0.1, 20, 0, 1}, {0.1, 20, -1, 1}} {
		_, err := Update(x[0], x[1], x[2], x[3])
		assert.Error(t, err, "%v", x)
	}
}

func knowledge(shares ...float64) *rules.Knowledge {
	k := &rules.Knowledge{Joints: []*rules.Joint{{Head: rules.Head{ID: "stub"}}}}
	for i, p := range shares {
		k.Causes = append(k.Causes, &rules.Cause{Head: rules.Head{ID: string(rune('a' + i))}, For: "stub", Share: rules.PerHistory{rules.AfterRefit: p, rules.LongService: p}})
	}
	return k
}

func one(cause string, weight float64) Outcome {
	return Outcome{Kind: "stub", History: rules.AfterRefit, Causes: map[string]float64{cause: 1}, Weight: weight}
}

func TestSharesStayOneWholeAndMoveTowardsWhatWasSeen(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		k := knowledge(0.5, 0.3, 0.15, 0.05)
		var list []Outcome
		for range 1 + r.IntN(30) {
			list = append(list, one(string(rune('a'+r.IntN(4))), 1+float64(r.IntN(3))))
		}
		g, err := Learn(k, list, 1+99*r.Float64())
		require.NoError(t, err)
		require.Len(t, g, 1)
		sum := 0.0
		for _, x := range g[0].Rows {
			sum += x.After
			seen := x.Count / g[0].N
			require.True(t, min(x.Before, seen)-1e-12 <= x.After && x.After <= max(x.Before, seen)+1e-12, "%+v", x)
		}
		require.InDelta(t, 1, sum, 1e-12)
		// one by one, each prior worth one case more, comes to the same as all at once
		a, err := Update(0.3, 20, 0, 1)
		require.NoError(t, err)
		b, err := Update(a, 21, 1, 1)
		require.NoError(t, err)
		both, err := Update(0.3, 20, 1, 2)
		require.NoError(t, err)
		require.InDelta(t, both, b, 1e-15)
	}
}

func TestCausesTreatedTogetherCountWithTheirShareAndUnlistedOnesMoveNothing(t *testing.T) {
	k := knowledge(0.5, 0.5)
	g, err := Learn(k, []Outcome{{Kind: "stub", History: rules.AfterRefit, Causes: map[string]float64{"a": 0.7, "b": 0.2}, Weight: 1}, one(NotListed, 2)}, 20)
	require.NoError(t, err)
	assert.InDelta(t, 0.9, g[0].N, 1e-12)
	assert.Equal(t, 2.0, g[0].NotListed)
	assert.Equal(t, "a", g[0].Rows[0].Cause.ID)
	assert.InDelta(t, 10.7/20.9, g[0].Rows[0].After, 1e-12)
	assert.InDelta(t, 10.2/20.9, g[0].Rows[1].After, 1e-12)
}

func TestWeightsOfAnOverlayAreFirstBroughtToOneWhole(t *testing.T) {
	g, err := Learn(knowledge(0.9, 0.9), []Outcome{one("a", 4)}, 20)
	require.NoError(t, err)
	assert.InDelta(t, 0.5, g[0].Rows[0].Before, 1e-12)
	assert.InDelta(t, 14./24, g[0].Rows[0].After, 1e-12)
	assert.Equal(t, float64(Worth), WorthOf(knowledge(1)))
}
