package flange_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/flange"
	"seepwright/rules/unit"
)

// Rubber 3 mm at 25 %, 15 to 30 % allowed (design limits as in the table of materials).
var rubber = flange.Sheet{Thickness: 3 * mm, Squeeze: 0.25, Least: 0.15, Utmost: 0.30}

// Geometry row: 3.0 mm, 25 %, hollow 0.30 mm leaves 15 %.
func TestTheGreatestHollowLeavesJustTheLeastSqueeze(t *testing.T) {
	h, err := rubber.GreatestHollow()
	require.NoError(t, err)
	assert.InDelta(t, 0.30e-3, float64(h), 1e-12)
	c, err := flange.SqueezeOverHollow(3*mm, 0.25, h)
	require.NoError(t, err)
	assert.InDelta(t, 0.15, float64(c), 1e-12)
}

func TestTheGreatestUnevennessTouchesTheNearerLimit(t *testing.T) {
	h, err := rubber.GreatestUnevenness()
	require.NoError(t, err)
	assert.InDelta(t, 0.30e-3, float64(h), 1e-12, "5 % to the top, twice 0.15 mm")
	lo, hi, err := rubber.SqueezeLeft(h)
	require.NoError(t, err)
	assert.InDelta(t, 0.30, float64(hi), 1e-12)
	assert.GreaterOrEqual(t, float64(lo), 0.15)
	best, err := rubber.UnevennessAtBest()
	require.NoError(t, err)
	assert.InDelta(t, 0.45e-3, float64(best), 1e-12)
}

func TestAThickerGasketNeverFillsLessAndNoTorqueBeatsTheBest(t *testing.T) {
	last := unit.Length(0)
	for thick := 0.3 * mm; thick < 4*mm; thick += 0.1 * mm {
		s := rubber
		s.Thickness = thick
		h, err := s.GreatestUnevenness()
		require.NoError(t, err)
		assert.Greater(t, h, last)
		last = h
		back, err := s.LeastThickness(h)
		require.NoError(t, err)
		assert.InEpsilon(t, float64(thick), float64(back), 1e-12)
		best, err := s.UnevennessAtBest()
		require.NoError(t, err)
		for c := unit.Ratio(0); c < 0.5; c += 0.01 {
			s.Squeeze = c
			h, err := s.GreatestUnevenness()
			require.NoError(t, err)
			assert.LessOrEqual(t, float64(h), float64(best)*(1+1e-12))
			assert.GreaterOrEqual(t, float64(h), 0.0)
		}
	}
}

// ASME PCC-1:2010 App. D: 1.5 mm PTFE or fibre does not give enough to count as soft.
func TestThinSheetIsHard(t *testing.T) {
	soft, err := flange.Soft(1.5*mm, 0.20)
	require.NoError(t, err)
	assert.False(t, soft)
	soft, err = flange.Soft(4.5*mm, 0.30)
	require.NoError(t, err)
	assert.True(t, soft)
}

func TestLappingIsLimitedByTheFirstThingThatRunsOut(t *testing.T) {
	thick, err := flange.RoomByThickness(12*mm, 11.5*mm)
	require.NoError(t, err)
	pin, err := flange.RoomByMeasure("room under the dowel", 0.8*mm, 0.5*mm)
	require.NoError(t, err)
	ring, err := flange.RoomBySqueeze(2.7*mm, 3.53*mm, 0.30)
	require.NoError(t, err)
	assert.InDelta(t, 0.229e-3, float64(ring.Left), 1e-9, "2.7 - 3.53 x 0.7")
	l, err := flange.Lap(0.20*mm, 0.05*mm, thick, pin, ring)
	require.NoError(t, err)
	assert.Equal(t, "squeeze of what lies in the recess", l.Why)
	assert.InDelta(t, 0.15e-3, float64(l.Needed), 1e-12)
	assert.True(t, l.Possible)
	l, err = flange.Lap(0.40*mm, 0.05*mm, thick, pin, ring)
	require.NoError(t, err)
	assert.False(t, l.Possible)
	flat, err := flange.Lap(0.03*mm, 0.05*mm, thick)
	require.NoError(t, err)
	assert.Zero(t, flat.Needed, "flat enough: leave it alone")
}

// 500 cm3, 9 to 1, chamber 80 mm across: 0.5 mm less gives 9.33.
func TestASkimmedHeadRaisesTheCompression(t *testing.T) {
	a := unit.Area(math.Pi / 4 * 0.08 * 0.08)
	e, err := flange.CompressionAfterLapping(500e-6, 9, a, 0.5*mm)
	require.NoError(t, err)
	assert.InDelta(t, (500+62.5-2.5133)/(62.5-2.5133), float64(e), 1e-3, "by hand")
	same, err := flange.CompressionAfterLapping(500e-6, 9, a, 0)
	require.NoError(t, err)
	assert.InDelta(t, 9, float64(same), 1e-12)
	_, err = flange.CompressionAfterLapping(500e-6, 9, a, 20*mm)
	assert.ErrorContains(t, err, "leaves no chamber")
}

// Worked example of a published handbook chapter on threaded fasteners: 10.9, 10 x 1.5, 69.6 kN, 130 MPa in aluminium
// 310, 9.968 and 9.206 mm: 21.6 mm.
func TestTheEngagementInAluminiumIsThatOfTheHandbook(t *testing.T) {
	a, err := flange.NutThreadArea(9.968*mm, 9.206*mm, 1.5*mm, 1*mm)
	require.NoError(t, err)
	assert.InEpsilon(t, 21.6e-3, 69600/(130e6*float64(a)/1e-3), 0.003)
	l, err := flange.EngagementForLoad(69600, 10*mm, 1.5*mm, 130e6)
	require.NoError(t, err)
	assert.Less(t, float64(l), 21.6e-3, "basic sizes bear on more thread than the worst ones")
	f, err := flange.StripLoad(10*mm, 1.5*mm, l, 130e6)
	require.NoError(t, err)
	assert.InEpsilon(t, 69600, float64(f), 1e-12)
}

func TestTheBasicThreadShearsOnSevenEighthsAndThreeQuarters(t *testing.T) {
	nut, err := flange.NutThreadArea(8*mm, (8-0.6495*1.25)*mm, 1.25*mm, 10*mm)
	require.NoError(t, err)
	assert.InEpsilon(t, 7.0/8*math.Pi*0.008*0.010, float64(nut), 1e-3)
	minor := unit.Length(8-1.0825*1.25) * mm
	bolt, err := flange.BoltThreadArea(minor, (8-0.6495*1.25)*mm, 1.25*mm, 10*mm)
	require.NoError(t, err)
	assert.InEpsilon(t, 3.0/4*math.Pi*float64(minor)*0.010, float64(bolt), 1e-3)
}

func TestABoltThatIsTooLongBottoms(t *testing.T) {
	engaged, free, err := flange.EngagementLeft(30*mm, 12*mm, 1*mm, 16*mm)
	require.NoError(t, err)
	assert.InDelta(t, 17e-3, float64(engaged), 1e-12)
	assert.InDelta(t, -2e-3, float64(free), 1e-12, "it meets the bottom 2 mm before it clamps")
}

func TestSillyFacesAreRefusedByName(t *testing.T) {
	upside := rubber
	upside.Least = 0.4
	stuck := rubber
	stuck.Squeeze = 0.3
	for want, err := range map[string]error{
		"the gasket thickness":          second(flange.Sheet{Squeeze: 0.2, Least: 0.1, Utmost: 0.3}.GreatestHollow()),
		"the least squeeze":             second(upside.GreatestUnevenness()),
		"the squeeze lies outside":      second(stuck.LeastThickness(0.1 * mm)),
		"the unevenness":                errOf3(rubber.SqueezeLeft(-1)),
		"the gasket stress":             second(flange.SqueezeAt(-1, 1e8)),
		"the width in thicknesses":      second(flange.LeastWidth(1*mm, 0)),
		"the permitted flatness":        second(flange.Lap(0, unit.Length(math.NaN()))),
		"how much may come off":         second(flange.Lap(0, 0)),
		"the depth of the recess":       second(flange.RoomBySqueeze(0, 1*mm, 0.3)),
		"the thickness now":             second(flange.RoomByThickness(unit.Length(math.Inf(1)), 0)),
		"room under the dowel":          second(flange.RoomByMeasure("room under the dowel", unit.Length(math.NaN()), 0)),
		"the compression ratio":         second(flange.CompressionAfterLapping(1e-3, 1, 1e-3, 0)),
		"the shear strength":            second(flange.StripLoad(8*mm, 1.25*mm, 10*mm, 0)),
		"the pitch diameter of the hol": second(flange.NutThreadArea(8*mm, 9*mm, 1.25*mm, 1)),
		"the minor diameter of the hol": second(flange.BoltThreadArea(9*mm, 8*mm, 1.25*mm, 1)),
		"the engaged length":            second(flange.LeastEngagement(8*mm, 9)),
		"the length under the head":     errOf3(flange.EngagementLeft(0, 1, 1, 1)),
		"the squeeze is -0.1":           second(flange.Soft(1*mm, -0.1)),
	} {
		assert.ErrorContains(t, err, want)
	}
	sq, err := flange.SqueezeAt(20e6, 483e6)
	require.NoError(t, err)
	assert.InDelta(t, 0.0414, float64(sq), 1e-4)
	w, err := flange.LeastWidth(1.5*mm, 5)
	require.NoError(t, err)
	assert.InDelta(t, 7.5e-3, float64(w), 1e-12)
	l, err := flange.LeastEngagement(8*mm, 2)
	require.NoError(t, err)
	assert.Equal(t, 16*mm, l)
}
