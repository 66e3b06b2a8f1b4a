package hose_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/hose"
	"seepwright/rules/unit"
)

// Force balance: 113.4 N for every bar at 38 mm; twice the pressure on two fixings is the same for each.
func TestFixingsAreAskedForTwiceTheGreatestPressure(t *testing.T) {
	f, err := hose.PerFixing(38*unit.Millimetre, unit.Bar, 2, 2)
	require.NoError(t, err)
	assert.InDelta(t, math.Pi/4*0.038*0.038*1e5, float64(f), 1e-9)
	p, err := hose.PressureFor(38*unit.Millimetre, f, 2, 2)
	require.NoError(t, err)
	assert.InDelta(t, 1e5, float64(p), 1e-6, "solved back")
}

// Geometry: a bead of 41.6 on a spigot of 38 stands 1.8 mm proud and opens a hose of 40 by 4 %.
func TestTheBeadStandsProudAndOpensTheHose(t *testing.T) {
	h, err := hose.BeadHeight(41.6*unit.Millimetre, 38*unit.Millimetre)
	require.NoError(t, err)
	assert.InDelta(t, 1.8e-3, float64(h), 1e-12)
	x, err := hose.OverBead(40*unit.Millimetre, 41.6*unit.Millimetre)
	require.NoError(t, err)
	assert.InDelta(t, 0.04, float64(x), 1e-12)
}

// Common practice: a rubber hose is stretched by 2 to 8 %; sizes solved for the band meet it exactly.
func TestSizesSolvedForTheBandOfStretchMeetIt(t *testing.T) {
	lo, hi, err := hose.SpigotFor(38*unit.Millimetre, 0.02, 0.08)
	require.NoError(t, err)
	for d, want := range map[unit.Length]float64{lo: 0.02, hi: 0.08} {
		s, err := hose.Stretch(38*unit.Millimetre, d)
		require.NoError(t, err)
		assert.InDelta(t, want, float64(s), 1e-12)
	}
	lo, hi, err = hose.BoreFor(40*unit.Millimetre, 0.02, 0.08)
	require.NoError(t, err)
	for d, want := range map[unit.Length]float64{lo: 0.08, hi: 0.02} {
		s, err := hose.Stretch(d, 40*unit.Millimetre)
		require.NoError(t, err)
		assert.InDelta(t, want, float64(s), 1e-12)
	}
}

// The wall keeps its volume: a hose that is not stretched keeps its outside.
func TestAPushedOnHoseKeepsItsRubber(t *testing.T) {
	d, err := hose.OutsideOn(38*unit.Millimetre, 5*unit.Millimetre, 38*unit.Millimetre)
	require.NoError(t, err)
	assert.InDelta(t, 48e-3, float64(d), 1e-12)
	d, err = hose.OutsideOn(38*unit.Millimetre, 5*unit.Millimetre, 40*unit.Millimetre)
	require.NoError(t, err)
	area := func(outer, inner float64) float64 { return outer*outer - inner*inner }
	assert.InDelta(t, area(48, 38), area(float64(d)*1e3, 40), 1e-9)
}

// Geometry of the band, and common practice (middle 60 % of the range, 60 % of the torque).
func TestAClampClosesByItsScrewAndIsSlackBelowSixtyPerCent(t *testing.T) {
	x, err := hose.ClosedBy(2, 3*unit.Millimetre)
	require.NoError(t, err)
	assert.InDelta(t, 6e-3/math.Pi, float64(x), 1e-12)
	n, err := hose.TurnsFor(x/2, 3*unit.Millimetre)
	require.NoError(t, err)
	assert.InDelta(t, 2, n, 1e-12)
	lo, hi, err := hose.ClampFor(47*unit.Millimetre, 20*unit.Millimetre)
	require.NoError(t, err)
	for _, least := range []unit.Length{lo, hi} {
		use, err := hose.RangeUse(least, least+20*unit.Millimetre, 47*unit.Millimetre)
		require.NoError(t, err)
		assert.Contains(t, []float64{0.2, 0.8}, math.Round(float64(use)*1e9)/1e9)
	}
	s, err := hose.AsFound(1.8, 3)
	require.NoError(t, err)
	assert.InDelta(t, float64(hose.SlackBelow), float64(s), 1e-12)
	m, err := hose.TorqueForTension(1000, 6*unit.Millimetre, 0.25)
	require.NoError(t, err)
	back, err := hose.TensionFromTorque(m, 6*unit.Millimetre, 0.25)
	require.NoError(t, err)
	assert.InDelta(t, 1000, float64(back), 1e-9)
}
