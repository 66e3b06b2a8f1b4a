package fitting_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/fitting"
	"seepwright/rules/unit"
)

const mm = unit.Millimetre

// ASME B1.20.1, 1/2 NPT: pitch 1.814 mm, 8.13 mm in by hand; three turns more go in 5.44 mm and wedge it by 0.34 mm.
func TestThreeTurnsOfHalfInchPipe(t *testing.T) {
	w, err := fitting.MakeUp(3, 1.814*mm)
	require.NoError(t, err)
	assert.InDelta(t, 5.442e-3, float64(w.Travel), 1e-9)
	assert.InDelta(t, 5.442e-3/16, float64(w.Interference), 1e-9)
	e, err := fitting.Exposed(16*mm, 8.13*mm, 3, 1.814*mm)
	require.NoError(t, err)
	assert.InDelta(t, (16-8.13-5.442)*1e-3, float64(e), 1e-9)
	e, err = fitting.Exposed(12*mm, 8.13*mm, 3, 1.814*mm)
	require.NoError(t, err)
	assert.Negative(t, float64(e), "it runs out of thread before it is tight")
}

// ISO 7-1 and ASME B1.20.1: R 1/2 is 20.955 mm, NPT 1/2 21.34 mm, both at 14 to the inch.
func TestTheNearestThreadStandsFirstAndItsLookAlikeSecond(t *testing.T) {
	among := []fitting.Thread{{Name: "npt", Major: 21.34 * mm, Pitch: 1.814 * mm}, {Name: "r", Major: 20.955 * mm, Pitch: 1.814 * mm}, {Name: "far", Major: 26.4 * mm, Pitch: 1.814 * mm}}
	list, err := fitting.WhichThread(21.0*mm, 0.3*mm, 1.81*mm, 0.02*mm, among)
	require.NoError(t, err)
	assert.Equal(t, []string{"r", "npt", "far"}, []string{list[0].Name, list[1].Name, list[2].Name})
	assert.Less(t, list[1].Off, 2.0, "the look-alike agrees as well: a thread gauge has to decide")
	assert.Greater(t, list[2].Off, 3.0)
}

// Seal makers' sheets: offset 0.08 and run-out 0.12 together are at the limit of 0.20 mm.
func TestALipFollowsOffsetAndRunOut(t *testing.T) {
	w, err := fitting.Follow(0.16*mm, 0.12*mm)
	require.NoError(t, err)
	assert.InDelta(t, 0.08e-3, float64(w.Offset), 1e-12)
	assert.InDelta(t, 0.20e-3, float64(w.Sum), 1e-12)
}

// Common practice: thin cups have 0.1 to 0.2 mm of interference.
func TestAHoleSolvedForAPlugHasTheInterference(t *testing.T) {
	lo, hi, err := fitting.HoleFor(40*mm, 0.1*mm, 0.2*mm)
	require.NoError(t, err)
	for d, want := range map[unit.Length]float64{lo: 0.2e-3, hi: 0.1e-3} {
		x, err := fitting.Interference(40*mm, d)
		require.NoError(t, err)
		assert.InDelta(t, want, float64(x), 1e-12)
	}
}

// Geometry: a 5 mm bore takes 19.6 mm2 of an M10 (58.0 mm2, ISO 898-1), two 3 mm holes another 3 x (8.16 - 5).
func TestAHollowBoltCarriesLess(t *testing.T) {
	a, err := fitting.HollowArea(58.0*unit.SquareMM, 8.16*mm, 5*mm, 3*mm, 2)
	require.NoError(t, err)
	assert.InDelta(t, 58.0-19.635-3*(8.16-5), float64(a)*1e6, 1e-3)
	_, err = fitting.HollowArea(58.0*unit.SquareMM, 8.16*mm, 9*mm, 3*mm, 2)
	assert.Error(t, err)
}
