package gland_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/gland"
	"seepwright/rules/unit"
)

// a nitrile ring (11.2e-5 per kelvin, table of rubbers) in a gland 3.10 deep
var nitrile = gland.Heated{Cord: 3.53 * mm, Outer: 31.6 * mm, Inner: 25.4 * mm, Ring: 11.2e-5}

func TestHeatOnRingAloneAgreesWithTheSimpleLaw(t *testing.T) {
	// reference row: 3.53 in 3.10, -50 K, 11.69 % against 12.18 % warm
	w, err := nitrile.At(-50)
	require.NoError(t, err)
	assert.InDelta(t, 11.69, w.Share.Percent(), 0.02)
	simple, err := gland.SqueezeAt(3.53*mm, 3.10*mm, 11.2e-5, -50)
	require.NoError(t, err)
	assert.InDelta(t, float64(simple), float64(w.Share), 1e-12)
	warm, err := nitrile.At(0)
	require.NoError(t, err)
	assert.InDelta(t, 12.18, warm.Share.Percent(), 0.01)
}

func TestPartsMoveWithTheirOwnExpansion(t *testing.T) {
	h := nitrile
	h.OuterPart, h.InnerPart = 23e-6, 11.5e-6 // aluminium round steel
	w, err := h.At(80)
	require.NoError(t, err)
	// by hand: (31.6 (1 + 23e-6 80) - 25.4 (1 + 11.5e-6 80)) / 2 = (31.658144 - 25.423368) / 2
	assert.InDelta(t, 3.117388, w.Depth.Millimetres(), 1e-6)
	assert.InDelta(t, 3.53*(1+11.2e-5*80), w.Cord.Millimetres(), 1e-9)
}

func TestAHeldRingTakesAllShrinkageIntoItsSection(t *testing.T) {
	// 80 K colder: section of a ring held lengthwise shrinks 1.5 a dT, 1.3 % for nitrile
	h := nitrile
	h.Held = true
	w, err := h.At(-80)
	require.NoError(t, err)
	assert.InDelta(t, 1.3, 100*(1-w.Cord.Millimetres()/3.53), 0.06)
	free, err := nitrile.At(-80)
	require.NoError(t, err)
	assert.Less(t, w.Share, free.Share, "the cautious one in the cold")
}

func TestTheColdestTemperatureMeetsTheLimit(t *testing.T) {
	for _, held := range []bool{false, true} {
		h := nitrile
		h.Held, h.OuterPart, h.InnerPart = held, 11.5e-6, 11.5e-6
		fall, err := h.Coldest(0.115)
		require.NoError(t, err)
		assert.Negative(t, float64(fall))
		w, err := h.At(fall)
		require.NoError(t, err)
		assert.InDelta(t, 0.115, float64(w.Share), 1e-9)
	}
	_, err := nitrile.Coldest(0.2)
	assert.ErrorContains(t, err, "before any cooling")
	_, err = nitrile.Coldest(0.01)
	assert.ErrorContains(t, err, "300 degrees")
}

func TestHeatOutsideTheDomainIsRefused(t *testing.T) {
	for name, change := range map[string]func(*gland.Heated) unit.Kelvin{
		"a cord of 0":          func(h *gland.Heated) unit.Kelvin { h.Cord = 0; return 10 },
		"400 K":                func(*gland.Heated) unit.Kelvin { return 400 },
		"NaN":                  func(*gland.Heated) unit.Kelvin { return unit.Kelvin(math.NaN()) },
		"an expansion of 1":    func(h *gland.Heated) unit.Kelvin { h.OuterPart = 1; return 10 },
		"parts that collide":   func(h *gland.Heated) unit.Kelvin { h.Inner = 31.7 * mm; return 10 },
		"rubber to nothing":    func(h *gland.Heated) unit.Kelvin { h.Ring, h.Held = 1e-3, true; h.InnerPart = 0; return -300 * 1.2 },
		"a negative expansion": func(h *gland.Heated) unit.Kelvin { h.Ring = -1e-4; return 10 },
	} {
		h := nitrile
		rise := change(&h)
		_, err := h.At(rise)
		require.Error(t, err, name)
		assert.Greater(t, len(err.Error()), 20, name)
	}
	_, err := nitrile.Coldest(-1)
	assert.Error(t, err)
}

func TestContactPressure(t *testing.T) {
	// design note: cord 2.0, 70 Shore A, 25 %: 1.86 N/mm; width 2.4 x 0.25 x 2.0 = 1.2 mm, so 1.55 MPa mean and 1.97 MPa peak, by hand
	e, err := gland.Modulus(70)
	require.NoError(t, err)
	q, err := gland.LineLoad(2*mm, e, 0.25)
	require.NoError(t, err)
	b, err := gland.ContactWidth(2*mm, 0.25)
	require.NoError(t, err)
	mean, err := gland.ContactMean(q, b)
	require.NoError(t, err)
	peak, err := gland.ContactPeak(q, b)
	require.NoError(t, err)
	assert.InDelta(t, 1.55, float64(mean)/1e6, 0.02)
	assert.InDelta(t, 1.97, float64(peak)/1e6, 0.03)
	under, err := gland.ContactUnderPressure(peak, 10*unit.Megapascal, 0.5)
	require.NoError(t, err)
	assert.InDelta(t, float64(peak)+10e6, float64(under), 1, "rubber hands the whole pressure on")
	assert.Greater(t, under, 10*unit.Megapascal)
	for name, err := range map[string]error{
		"no width":          second(gland.ContactPeak(q, 0)),
		"a negative load":   second(gland.ContactMean(-1, b)),
		"a NaN":             second(gland.ContactUnderPressure(unit.Pressure(math.NaN()), 1, 0.5)),
		"a metal's Poisson": second(gland.ContactUnderPressure(peak, 1, 0.3)),
		"suction":           second(gland.ContactUnderPressure(peak, -1, 0.5)),
	} {
		assert.Error(t, err, name)
	}
}
