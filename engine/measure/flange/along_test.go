package flange_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/flange"
	"seepwright/rules/unit"
)

// The beam on its bed: the fourth derivative is -4 times the pressure in units of its stiffness number; the beam lies level at
// the bolt and in mid-span.
func TestThePressureBetweenBoltsIsThatOfABeamOnItsBed(t *testing.T) {
	for _, u := range []float64{0.3, 1, 2, 3.5} {
		at := func(x float64) float64 {
			r, err := flange.PressureAlong(u, unit.Ratio(x))
			require.NoError(t, err)
			return float64(r)
		}
		mid, err := flange.PressureRatio(u)
		require.NoError(t, err)
		assert.InDelta(t, float64(mid), at(0), 1e-12)
		assert.InDelta(t, 1, at(1), 1e-12)
		assert.InDelta(t, at(0.4), at(-0.4), 1e-12)
		assert.InDelta(t, 0, (at(1)-at(1-1e-6))/1e-6, 1e-4, "level at the bolt")
		h := 0.02
		fourth := (at(0.5+2*h) - 4*at(0.5+h) + 6*at(0.5) - 4*at(0.5-h) + at(0.5-2*h)) / math.Pow(h, 4)
		assert.InDelta(t, -4*math.Pow(u, 4)*at(0.5), fourth, 0.02*math.Pow(u, 4)+1e-6)
	}
	for _, bad := range [][2]float64{{0, 0}, {math.NaN(), 0}, {1, 1.1}, {1, math.NaN()}, {30, 0}} {
		_, err := flange.PressureAlong(bad[0], unit.Ratio(bad[1]))
		assert.Error(t, err)
	}
}
