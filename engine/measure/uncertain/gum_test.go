package uncertain_test

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/uncertain"
)

// endGauge is the calibration of an end gauge of 50 mm, JCGM 100:2008, annex H.1:
//
//	l = ls + d - ls (da t + a dt)
//
// ls 50.000 623 mm (u 25 nm), d 215 nm (u from 5.8, 3.9 and 6.7 nm), a 11.5e-6 per K (u 1.2e-6), t -0.1 K (u 0.41 K),
// da 0 (u 0.58e-6 per K), dt 0 K (u 0.029 K). The equation and all inputs were seen in the documentation of a public
// metrology library, there as the distributions behind them: a within 2e-6, da within 1e-6, dt within 0.05 K (uniform), t the
// mean -0.1 K (u 0.2 K) and a swing of 0.5 K (arcsine); the printed results 32 nm and 34 nm are from memory of the guide.
func endGauge(x []float64) (float64, error) {
	ls, d, a, t, da, dt := x[0], x[1], x[2], x[3], x[4], x[5]
	return ls + d - ls*(da*t+a*dt), nil
}

var endGaugeInputs = []uncertain.Value{
	{X: 50.000623e-3, U: 2 * 25e-9}, {X: 215e-9, U: 2 * math.Sqrt(5.8*5.8+3.9*3.9+6.7*6.7) * 1e-9}, {X: 11.5e-6, U: 2 * 1.2e-6},
	{X: -0.1, U: 2 * 0.41}, {X: 0, U: 2 * 0.58e-6}, {X: 0, U: 2 * 0.029},
}

// The guide prints 50.000 838 mm and a combined standard uncertainty of 32 nm (first order).
func TestTheEndGaugeOfTheGuideComesOut(t *testing.T) {
	l, err := uncertain.Propagate(endGauge, endGaugeInputs...)
	require.NoError(t, err)
	assert.InDelta(t, 50.000838e-3, l.X, 0.5e-9)
	assert.InDelta(t, 32e-9, l.U/2, 0.5e-9)
}

// Monte Carlo after JCGM 101 sees the product of two doubtful factors that first order misses; annex H.1.7 of the guide
// gives 34 nm with second-order terms. First order is a tenth low here and no more.
func TestMonteCarloAgreesWithTheGuideToSecondOrder(t *testing.T) {
	r := rand.New(rand.NewSource(101))
	n, sum, squares := 200_000, 0.0, 0.0
	x := make([]float64, len(endGaugeInputs))
	for range n {
		for i, v := range endGaugeInputs {
			x[i] = v.X + v.U/2*r.NormFloat64()
		}
		y, err := endGauge(x)
		require.NoError(t, err)
		y -= 50e-3
		sum, squares = sum+y, squares+y*y
	}
	mean := sum / float64(n)
	assert.InDelta(t, 34e-9, math.Sqrt(squares/float64(n)-mean*mean), 0.5e-9)
}

// The squeeze of a ring is nearly linear over what instruments leave open: first order and Monte Carlo agree to 1 %.
func TestFirstOrderIsEnoughForASqueeze(t *testing.T) {
	in := []uncertain.Value{{X: 3.53e-3, U: 0.05e-3}, {X: 31.04e-3, U: 0.08e-3}, {X: 25.40e-3, U: 0.05e-3}}
	squeeze := func(x []float64) (float64, error) { return 1 - (x[1]-x[2])/2/x[0], nil }
	first, err := uncertain.Propagate(squeeze, in...)
	require.NoError(t, err)
	r := rand.New(rand.NewSource(7))
	n, sum, squares := 100_000, 0.0, 0.0
	for range n {
		x := make([]float64, 3)
		for i, v := range in {
			x[i] = v.X + v.U/2*r.NormFloat64()
		}
		y, _ := squeeze(x)
		sum, squares = sum+y, squares+y*y
	}
	mean := sum / float64(n)
	assert.InEpsilon(t, math.Sqrt(squares/float64(n)-mean*mean), first.U/2, 0.01)
}

// What is known not to carry the result is not moved by itself, but still moves with its row.
func TestReadingsThatCarryNothingStillMoveWithTheirRow(t *testing.T) {
	in := []uncertain.Value{{X: 1, U: 0.2}, {X: 3, U: 0.2}, {X: 2, U: 0.2}}
	highest := func(x []float64) ([]float64, error) { return []float64{math.Max(x[0], math.Max(x[1], x[2]))}, nil }
	all, err := uncertain.Many(highest, in, []int{0, 1, 2})
	require.NoError(t, err)
	few, err := uncertain.ManyOf(highest, in, []bool{true, false, true}, []int{0, 1, 2})
	require.NoError(t, err)
	assert.InDelta(t, all[0].U, few[0].U, 1e-15)
	assert.InDelta(t, 0.2, few[0].U, 1e-12, "half of the variance shared, half its own")
	none, err := uncertain.ManyOf(highest, in, []bool{true, true, true}, []int{0, 1, 2})
	require.NoError(t, err)
	assert.InDelta(t, 2*uncertain.Shared(0.2), none[0].U, 1e-12)
	assert.InDelta(t, uncertain.Shared(0.2), uncertain.Own(0.2), 1e-15)
	assert.Zero(t, uncertain.Exact(3).U)
}
