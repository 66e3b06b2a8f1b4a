package gland_test

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/gland"
	"seepwright/rules/unit"
)

func TestBothPartsMayBeOval(t *testing.T) {
	// reference rows: oval bore 31.00 x 31.20 round groove 25.40, cord 3.53: 0.630; 0.05 off along the long axis: 0.580
	for _, tc := range []struct {
		name string
		off  unit.Length
		want float64
	}{{"in the middle", 0, 0.630}, {"off along the long axis", 0.05, 0.580}} {
		least, _, err := gland.SqueezeBetween(3.53*mm, gland.Round(25.4*mm), gland.Oval{Mean: 31.1 * mm, Semi: 0.1 * mm}, gland.Offset{By: tc.off * mm, Towards: math.Pi})
		require.NoError(t, err)
		assert.InDelta(t, tc.want, least.Squeeze.Millimetres(), 1e-9, tc.name)
	}
	// ovals that lie alike leave an even gap; crossed they add up
	oval := gland.Oval{Mean: 25.4 * mm, Semi: 0.1 * mm}
	least, most, err := gland.SqueezeBetween(3.53*mm, oval, gland.Oval{Mean: 31.04 * mm, Semi: 0.1 * mm}, gland.Offset{})
	require.NoError(t, err)
	assert.InDelta(t, float64(least.Squeeze), float64(most.Squeeze), 1e-12)
	least, most, err = gland.SqueezeBetween(3.53*mm, oval, gland.Oval{Mean: 31.04 * mm, Semi: 0.1 * mm, Major: math.Pi / 2}, gland.Offset{})
	require.NoError(t, err)
	assert.InDelta(t, 0.2, (most.Squeeze - least.Squeeze).Millimetres(), 1e-9)
	assert.InDelta(t, math.Pi/2, float64(least.At), 1e-6)
}

func TestALocalSqueezeOfTwoOvalsAgreesWithAFineWalk(t *testing.T) {
	r := rand.New(rand.NewSource(21))
	oval := func(mean unit.Length) gland.Oval {
		return gland.Oval{Mean: mean, Semi: unit.Length(0.2*r.Float64()) * mm, Major: unit.Angle(math.Pi * r.Float64())}
	}
	for range 60 {
		inner, outer := oval(25.4*mm), oval(31.2*mm)
		off := gland.Offset{By: unit.Length(0.2*r.Float64()) * mm, Towards: unit.Angle(2 * math.Pi * r.Float64())}
		least, most, err := gland.SqueezeBetween(3.53*mm, inner, outer, off)
		require.NoError(t, err)
		lo, hi := math.Inf(1), math.Inf(-1)
		at := func(o gland.Oval, a float64) float64 {
			return float64(o.Mean) + float64(o.Semi)*math.Cos(2*(a-float64(o.Major)))
		}
		for i := range 20000 {
			a := 2 * math.Pi * float64(i) / 20000
			s := 3.53e-3 - ((at(outer, a)-at(inner, a))/2 - float64(off.By)*math.Cos(a-float64(off.Towards)))
			lo, hi = math.Min(lo, s), math.Max(hi, s)
		}
		assert.InDelta(t, lo, float64(least.Squeeze), 1e-10)
		assert.InDelta(t, hi, float64(most.Squeeze), 1e-10)
	}
}

func TestATaperedBoreIsReadBetweenItsStationsOnly(t *testing.T) {
	top, low := gland.Station{Depth: 2 * mm, Bore: gland.Round(31.30 * mm)}, gland.Station{Depth: 12 * mm, Bore: gland.Round(31.10 * mm)}
	bore, err := gland.Between(low, top, 7*mm)
	require.NoError(t, err)
	assert.InDelta(t, 31.20, bore.Mean.Millimetres(), 1e-9)
	taper, err := gland.Taper(top, low)
	require.NoError(t, err)
	assert.InDelta(t, -0.02, float64(taper), 1e-12)
	_, err = gland.Between(top, low, 13*mm)
	assert.ErrorContains(t, err, "outside the measured depths")
	_, err = gland.Between(top, top, 2*mm)
	assert.ErrorContains(t, err, "the same")
	_, err = gland.Taper(top, top)
	assert.Error(t, err)

	// an oval that turns with depth is round half way where the two waves cancel
	a := gland.Station{Depth: 1 * mm, Bore: gland.Oval{Mean: 31 * mm, Semi: 0.1 * mm}}
	b := gland.Station{Depth: 3 * mm, Bore: gland.Oval{Mean: 31 * mm, Semi: 0.1 * mm, Major: math.Pi / 2}}
	mid, err := gland.Between(a, b, 2*mm)
	require.NoError(t, err)
	assert.InDelta(t, 0, float64(mid.Semi), 1e-12)

	least, most, err := gland.SqueezeAlong(3.53*mm, gland.Round(25.4*mm), top, low, 4*mm, 10*mm, gland.Offset{By: 0.05 * mm})
	require.NoError(t, err)
	// widest at 4 mm: 31.26, so (31.26 - 25.40)/2 + 0.05 off: 3.53 - 2.98; narrowest at 10 mm: 31.14: 3.53 - 2.82
	assert.InDelta(t, 0.55, least.Squeeze.Millimetres(), 1e-9)
	assert.InDelta(t, 4, least.Depth.Millimetres(), 1e-12)
	assert.InDelta(t, 0.71, most.Squeeze.Millimetres(), 1e-9)
	assert.InDelta(t, 10, most.Depth.Millimetres(), 1e-12)
	for _, z := range []unit.Length{4, 5, 6, 7, 8, 9, 10} {
		bore, err := gland.Between(top, low, z*mm)
		require.NoError(t, err)
		lo, hi, err := gland.SqueezeBetween(3.53*mm, gland.Round(25.4*mm), bore, gland.Offset{By: 0.05 * mm})
		require.NoError(t, err)
		assert.GreaterOrEqual(t, float64(lo.Squeeze), float64(least.Squeeze)-1e-15)
		assert.LessOrEqual(t, float64(hi.Squeeze), float64(most.Squeeze)+1e-15)
	}
	_, _, err = gland.SqueezeAlong(3.53*mm, gland.Round(25.4*mm), top, low, 1*mm, 10*mm, gland.Offset{})
	assert.Error(t, err)
}

func TestTheWorstOffsetAddsRunoutToClearance(t *testing.T) {
	// reference rows: bore 31.04, spigot 30.94 gives 0.05; a run-out of 0.10 gives another 0.05
	e, err := gland.WorstOffset(31.04*mm, 30.94*mm, 0.10*mm)
	require.NoError(t, err)
	assert.InDelta(t, 0.10, e.Millimetres(), 1e-9)
	_, err = gland.WorstOffset(31.04*mm, 31.5*mm, 0)
	assert.Error(t, err)
	_, err = gland.WorstOffset(31.04*mm, 30.94*mm, -1*mm)
	assert.Error(t, err)
}
