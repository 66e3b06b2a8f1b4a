package uncertain_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/uncertain"
)

func TestALinearLawPropagatesAsRootOfSquares(t *testing.T) {
	// y = (a - b) / 2 with U 0.02 and 0.01: U = sqrt(0.01^2 + 0.005^2), by hand (GUM 5.1.2)
	y, err := uncertain.Propagate(func(x []float64) (float64, error) { return (x[0] - x[1]) / 2, nil }, uncertain.Value{X: 31, U: 0.02}, uncertain.Value{X: 25, U: 0.01})
	require.NoError(t, err)
	assert.InDelta(t, 3, y.X, 1e-12)
	assert.InDelta(t, math.Hypot(0.01, 0.005), y.U, 1e-12)
}

func TestAFoldDoesNotLookExact(t *testing.T) {
	y, err := uncertain.Propagate(func(x []float64) (float64, error) { return math.Abs(x[0] - x[1]), nil }, uncertain.Value{X: 1, U: 0.1}, uncertain.Value{X: 1, U: 0.1})
	require.NoError(t, err)
	assert.InDelta(t, 0.1*math.Sqrt2, y.U, 1e-12)
}

func TestOneSideOfADomainIsEnoughAndNoneIsRefused(t *testing.T) {
	root := func(x []float64) (float64, error) {
		if x[0] < 0 {
			return 0, errors.New("below nought")
		}
		return x[0], nil
	}
	y, err := uncertain.Propagate(root, uncertain.Value{X: 0, U: 0.2})
	require.NoError(t, err)
	assert.InDelta(t, 0.2, y.U, 1e-12)
	_, err = uncertain.Propagate(func(x []float64) (float64, error) {
		if x[0] != 1 {
			return 0, errors.New("nowhere else")
		}
		return 1, nil
	}, uncertain.Value{X: 1, U: 0.2})
	assert.Error(t, err)
	_, err = uncertain.Propagate(root, uncertain.Value{X: 1, U: -1})
	assert.Error(t, err)
}

func TestARowSharesItsSystematicHalf(t *testing.T) {
	row := []uncertain.Value{{X: 10, U: 0.02}, {X: 10, U: 0.02}, {X: 10, U: 0.02}, {X: 10, U: 0.02}}
	mean := uncertain.Mean(row)
	assert.InDelta(t, 0.02*math.Sqrt(0.5+0.5/4), mean.U, 1e-12, "half the variance is shared, the other half averages")
	diff := func(x []float64) ([]float64, error) { return []float64{x[0] - x[1]}, nil }
	y, err := uncertain.Many(diff, row[:2], []int{0, 1})
	require.NoError(t, err)
	assert.InDelta(t, 0.02, y[0].U, 1e-12, "what both share cancels in a difference")
	assert.InDelta(t, y[0].U, uncertain.Row([]float64{1, -1}, []float64{0.02, 0.02}), 1e-12)
}

func TestAnExactReadingOnTheLimitConforms(t *testing.T) {
	assert.Equal(t, uncertain.Conforms, uncertain.Below(0.05, 0, 0.05))
	assert.Equal(t, uncertain.DoesNotConform, uncertain.Below(0.0501, 0, 0.05))
	assert.Equal(t, uncertain.NotProven, uncertain.Above(0.11, 0.02, 0.10))
	assert.Equal(t, uncertain.Conforms, uncertain.Above(0.13, 0.02, 0.10))
	assert.Equal(t, uncertain.DoesNotConform, uncertain.Above(0.07, 0.02, 0.10))
}
