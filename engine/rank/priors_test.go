package rank

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestScaledPriorsOfTwoEqualCausesFollowTheFormula(t *testing.T) {
	// 2p / (1 - (1-p)^2) = 2 / (2 - p) = f gives p = 2 - 2/f.
	p, reached, err := ScalePriors([]float64{5, 5}, 1.25)
	require.NoError(t, err)
	assert.InDelta(t, 0.4, p[0], 1e-12)
	assert.InDelta(t, 0.4, p[1], 1e-12)
	assert.InDelta(t, 1.25, reached, 1e-12)
}

func TestScaledPriorsStopAtTheNearestThatCanBeHad(t *testing.T) {
	p, reached, err := ScalePriors([]float64{0.98, 0.01, 0.01}, 1.5)
	require.NoError(t, err)
	assert.Less(t, p[0], 1.0)
	assert.InDelta(t, 1+0.02/0.98, reached, 1e-5)
	p, reached, err = ScalePriors([]float64{1}, 1.3)
	require.NoError(t, err)
	assert.Less(t, p[0], 1.0)
	assert.InDelta(t, 1, reached, 1e-12)
	p, reached, err = ScalePriors([]float64{0.5, 0, 0.5}, 0.5)
	require.NoError(t, err)
	assert.Equal(t, 0.0, p[1])
	assert.InDelta(t, 1, reached, 1e-8)
}

func TestScaledSwitches(t *testing.T) {
	cases := map[string]struct {
		weights []float64
		joints  float64
		want    float64 // expected joints given one leaks
	}{
		"one disturbed among five":      {[]float64{1, 0.15, 0.15, 0.15, 0.15}, 1.2, 1.2},
		"all alike":                     {[]float64{0.15, 0.15, 0.15}, 1.2, 1.2},
		"more joints than there are":    {[]float64{1, 0.15}, 3, 2},
		"one joint alone is sure":       {[]float64{0.15}, 1.2, 1},
		"an excluded joint stays out":   {[]float64{0.15, 0}, 1.2, 1},
		"two, one a hundred times less": {[]float64{1, 0.01}, 1.2, 1.2},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			got, err := ScaleSwitches(c.weights, c.joints)
			require.NoError(t, err)
			assert.InDelta(t, c.want, expectedGivenSome(got), 1e-9)
			for i, w := range got {
				assert.True(t, w >= 0 && w <= 1)
				assert.Equal(t, c.weights[i] == 0, w == 0)
			}
			if len(c.weights) == 1 {
				assert.Equal(t, 1.0, got[0])
			}
		})
	}
}

func TestScalingNeedsSomethingToScale(t *testing.T) {
	_, _, err := ScalePriors([]float64{0, 0}, 1.5)
	assert.ErrorContains(t, err, "all shares are 0")
	_, _, err = ScalePriors([]float64{1, math.NaN()}, 1.5)
	assert.ErrorContains(t, err, "share 1")
	_, _, err = ScalePriors([]float64{1}, -1)
	assert.Error(t, err)
	_, err = ScaleSwitches(nil, 1.2)
	assert.ErrorContains(t, err, "all weights are 0")
	_, err = ScaleSwitches([]float64{-1}, 1.2)
	assert.ErrorContains(t, err, "weight 0")
	_, err = ScaleSwitches([]float64{1}, math.NaN())
	assert.Error(t, err)
}

func TestRaiseMultipliesOdds(t *testing.T) {
	assert.InDelta(t, 2.0/3, Raise(0.5, 2), 1e-15)
	assert.InDelta(t, 0.2, Raise(1.0/3, 0.5), 1e-15)
	assert.Equal(t, 0.0, Raise(0, 20))
	assert.Equal(t, 1.0, Raise(1, 0.05))
	assert.Equal(t, 0.0, Raise(0.5, 0))
	assert.Equal(t, 1.0, Raise(0.5, math.Inf(1)))
}

func TestContextIsKeptWithinItsLimits(t *testing.T) {
	assert.Equal(t, 0.05, ClampContext(0.001))
	assert.Equal(t, 20.0, ClampContext(64))
	assert.Equal(t, 6.0, ClampContext(6))
}

func TestAtLeastOneDoesNotCancel(t *testing.T) {
	assert.InEpsilon(t, 2e-18, atLeastOne([]float64{1e-18, 1e-18}), 1e-12)
	assert.Equal(t, 1.0, atLeastOne([]float64{0.2, 1}))
	assert.Equal(t, 0.0, atLeastOne(nil))
}
