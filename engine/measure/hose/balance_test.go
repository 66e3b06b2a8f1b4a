package hose_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/hose"
	"seepwright/rules/unit"
)

var plain = hose.Hold{Spigot: 38 * mm, Around: 48 * mm, Width: 12 * mm, Bands: 1, Friction: 0.3}

// Force balance by hand: pi/4 38^2 mm2 at 1.1 bar are 124.8 N; a band that grips with the same force holds just that.
func TestTheBandThatIsAskedForGripsWithTheForceOfThePressure(t *testing.T) {
	pb, err := plain.BandPressureFor(1.1*unit.Bar, 1)
	require.NoError(t, err)
	grip, err := hose.Grip(pb, plain.Spigot, plain.Width, plain.Friction)
	require.NoError(t, err)
	assert.InDelta(t, 124.8, float64(grip), 0.05)
	held, err := plain.PressureHeld(pb)
	require.NoError(t, err)
	assert.InDelta(t, 1.1e5, float64(held), 1e-6)
	tension, err := plain.TensionFor(pb)
	require.NoError(t, err)
	back, err := hose.BandPressure(tension, plain.Width, plain.Around)
	require.NoError(t, err)
	assert.InDelta(t, float64(pb), float64(back), 1e-6)
}

func TestASecondBandHalvesWhatEachMustPress(t *testing.T) {
	two := plain
	two.Bands = 2
	one, err := plain.BandPressureFor(unit.Bar, 2)
	require.NoError(t, err)
	half, err := two.BandPressureFor(unit.Bar, 2)
	require.NoError(t, err)
	assert.InDelta(t, float64(one)/2, float64(half), 1e-6)
}

// A wall of 5 mm thins by 0.064 mm over 80 K at 1.6e-4 per kelvin (definition, by hand).
func TestSqueezeGoesWithSetAndWithColdAndAClampThatFollowsGivesItBack(t *testing.T) {
	s := hose.Squeezed{Wall: 5 * mm, Pressed: 0.5 * mm, Set: 0.4, Expansion: 1.6e-4}
	left, err := s.Left(80)
	require.NoError(t, err)
	assert.InDelta(t, 0.300-0.064, left.Millimetres(), 1e-9)
	coldest, err := s.ColdestBy()
	require.NoError(t, err)
	gone, err := s.Left(min(coldest, 300))
	require.NoError(t, err)
	assert.GreaterOrEqual(t, float64(gone), -1e-12)
	follow, err := s.FollowFor(80, 0.3*mm)
	require.NoError(t, err)
	s.Follow = follow
	left, err = s.Left(80)
	require.NoError(t, err)
	assert.InDelta(t, 0.3, left.Millimetres(), 1e-9)
	last := unit.Length(math.Inf(1))
	for _, set := range []unit.Ratio{0, 0.2, 0.5, 0.8, 1} {
		left, err := hose.Squeezed{Wall: 5 * mm, Pressed: 0.5 * mm, Set: set, Expansion: 1.6e-4}.Left(40)
		require.NoError(t, err)
		assert.Less(t, float64(left), float64(last), "more set never leaves more squeeze")
		last = left
	}
}

// Shop rule: one band wants its width and 6 mm; 3 mm to the bead and 3 mm to the hose end make it up.
func TestTheLandTakesBandsAndDistances(t *testing.T) {
	one := hose.Land{Band: 12 * mm, Bands: 1, FromBead: 3 * mm, Between: 6 * mm, ToHoseEnd: 3 * mm}
	need, err := one.Least()
	require.NoError(t, err)
	assert.InDelta(t, 18, need.Millimetres(), 1e-9)
	two := one
	two.Bands = 2
	need, err = two.Least()
	require.NoError(t, err)
	assert.InDelta(t, 36, need.Millimetres(), 1e-9)
	widest, err := two.Widest(36 * mm)
	require.NoError(t, err)
	assert.InDelta(t, 12, widest.Millimetres(), 1e-9)
	widest, err = two.Widest(5 * mm)
	require.NoError(t, err)
	assert.Zero(t, float64(widest), "nothing fits on a land shorter than the distances")
}

func TestWhatCannotHoldIsRefusedByName(t *testing.T) {
	h := plain
	h.Spigot = unit.Length(math.NaN())
	_, err := h.PressureHeld(1e6)
	assert.ErrorContains(t, err, "the spigot")
	h = plain
	h.Around = 30 * mm
	_, err = h.TensionFor(1e6)
	assert.ErrorContains(t, err, "the diameter of the band")
	h = plain
	h.Bands = 0
	_, err = h.PressureHeld(1e6)
	assert.ErrorContains(t, err, "the number of bands")
	_, err = plain.BandPressureFor(unit.Pressure(math.Inf(1)), 2)
	assert.ErrorContains(t, err, "the pressure")
	_, err = plain.BandPressureFor(1e5, 0.5)
	assert.ErrorContains(t, err, "the safety")
	_, err = hose.Squeezed{Wall: 5 * mm, Pressed: 6 * mm}.Left(10)
	assert.ErrorContains(t, err, "the squeeze of the wall")
	_, err = hose.Squeezed{Wall: 5 * mm, Pressed: 1 * mm}.ColdestBy()
	assert.ErrorContains(t, err, "the expansion of the rubber")
	_, err = hose.Land{Band: 12 * mm, Bands: 1, FromBead: -1}.Least()
	assert.ErrorContains(t, err, "the distance from the bead")
	_, err = hose.TensionFromTorque(4.5, 8*mm, 0)
	assert.ErrorContains(t, err, "the nut factor")
}
