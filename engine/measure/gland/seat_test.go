package gland_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/gland"
	"seepwright/rules/unit"
)

func TestARingHeldByItsOutsideKeepsItsVolume(t *testing.T) {
	for _, wall := range []unit.Length{45, 45.9, 46.66, 47, 48} {
		d, err := gland.HeldSection(39.6*mm, 3.53*mm, wall*mm)
		require.NoError(t, err)
		before := 3.53 * 3.53 * (39.6 + 3.53)
		after := d.Millimetres() * d.Millimetres() * (float64(wall) - d.Millimetres())
		assert.InDelta(t, before, after, 1e-9, "wall %v", wall)
		assert.Equal(t, wall < 46.66, d > 3.53*mm*(1+1e-12), "thicker only when it is pressed together")
	}
}

func TestTheSeatFollowsThePressure(t *testing.T) {
	// ring 39.6 x 3.53, outside diameter 46.66
	in, err := gland.Held(gland.FaceInside, 39.6*mm, 3.53*mm, 46*mm)
	require.NoError(t, err)
	assert.True(t, in.ByOutside)
	assert.InDelta(t, (46.66-46)/46.66, float64(in.Share), 1e-9)
	out, err := gland.Held(gland.FaceOutside, 39.6*mm, 3.53*mm, 40.4*mm)
	require.NoError(t, err)
	assert.False(t, out.ByOutside)
	assert.InDelta(t, 2.0202, out.Share.Percent(), 1e-3)
	loss, err := gland.SectionLoss(out.Share)
	require.NoError(t, err)
	assert.Equal(t, loss, out.Loss)
	loose, err := gland.Held(gland.FaceOutside, 39.6*mm, 3.53*mm, 39*mm)
	require.NoError(t, err)
	assert.Negative(t, float64(loose.Share))
	assert.Zero(t, float64(loose.Loss))
	assert.InDelta(t, 3.53e-3, float64(loose.Cord), 1e-15)
}

func TestTheLeastWallMeetsTheLimit(t *testing.T) {
	for _, limit := range []unit.Ratio{0, 0.02, 0.03} {
		wall, err := gland.LeastWall(39.6*mm, 3.53*mm, limit)
		require.NoError(t, err)
		i, err := gland.Interference(39.6*mm, 3.53*mm, wall)
		require.NoError(t, err)
		assert.InDelta(t, float64(limit), float64(i), 1e-12)
	}
}

func TestSeatsOutsideTheDomainAreRefused(t *testing.T) {
	for name, err := range map[string]error{
		"no wall":                      second(gland.Interference(39.6*mm, 3.53*mm, 0)),
		"no ring":                      second(gland.Interference(0, 3.53*mm, 46*mm)),
		"an interference of 15 %":      second(gland.HeldSection(39.6*mm, 3.53*mm, 39.6*mm)),
		"a limit of 20 %":              second(gland.LeastWall(39.6*mm, 3.53*mm, 0.2)),
		"a wall that is not a number":  second(gland.Held(gland.Rod, 39.6*mm, 3.53*mm, unit.Length(math.NaN()))),
		"a groove that is not a seat":  second(gland.Held(gland.Piston, 39.6*mm, 3.53*mm, -40*mm)),
		"a ring stretched by 30 %":     second(gland.Held(gland.Piston, 30*mm, 3.53*mm, 39*mm)),
		"a hole that closes":           second(gland.HeldSection(0.1*mm, 3.53*mm, 7.1*mm*0.93)),
		"kinds have names":             nil,
		"a cord that is infinite here": second(gland.Held(gland.FaceInside, 30*mm, unit.Length(math.Inf(1)), 39*mm)),
	} {
		if name == "kinds have names" {
			for k := gland.Piston; k <= gland.FaceOutside+1; k++ {
				assert.NotEmpty(t, k.String())
			}
			continue
		}
		require.Error(t, err, name)
		assert.Greater(t, len(err.Error()), 20, name)
	}
}

func TestTheRingOfAPortIsSqueezedIntoItsCorner(t *testing.T) {
	// A metric port of 22 x 1.5 as remembered: cone 23.8 wide at the face, 15 degrees, 2.4 deep, shank 19.7, ring 19.3 x 2.2.
	// By hand: X = 2.07 %, d' = 2.161; r = 10.931, z = 1.081; wall there 11.610; (11.610 - 10.931) cos 15 = 0.657; room 1.737.
	f, err := gland.Boss{Mouth: 23.8 * mm, Angle: 15 * unit.Degree, Depth: 2.4 * mm, Shank: 19.7 * mm}.Fit(19.3*mm, 2.2*mm)
	require.NoError(t, err)
	assert.InDelta(t, 2.0725, f.Stretch.Percent(), 1e-3)
	assert.InDelta(t, 2.161, f.Cord.Millimetres(), 0.001)
	assert.InDelta(t, 1.737, f.Room.Millimetres(), 0.001)
	assert.InDelta(t, 19.6, f.Share.Percent(), 0.1)
	// the volume below the flat, by adding up a thousand discs
	sum := 0.0
	for i := range 1000 {
		z := 2.4 * (float64(i) + 0.5) / 1000
		r := 11.9 - z*math.Tan(15*math.Pi/180)
		sum += math.Pi * (r*r - 9.85*9.85) * 2.4 / 1000
	}
	assert.InDelta(t, math.Pi*math.Pi/4*2.2*2.2*(19.3+2.2)/sum, float64(f.Fill), 1e-5)
	// a counterbore squeezes straight across: (D - ds)/2
	f, err = gland.Boss{Mouth: 23.4 * mm, Depth: 2.4 * mm, Shank: 19.7 * mm}.Fit(19.7*mm, 2.2*mm)
	require.NoError(t, err)
	s, err := gland.Squeeze(2.2*mm, 1.85*mm)
	require.NoError(t, err)
	assert.InDelta(t, float64(s), float64(f.Share), 1e-12)
	wide, err := gland.Boss{Mouth: 23.5 * mm, Depth: 2.4 * mm, Shank: 19.7 * mm}.Fit(19.7*mm, 2.2*mm)
	require.NoError(t, err)
	assert.Less(t, wide.Share, f.Share, "a wider port never squeezes more")
	for name, b := range map[string]gland.Boss{
		"no mouth":         {Angle: 15 * unit.Degree, Depth: 2.4 * mm, Shank: 19.7 * mm},
		"a flat cone":      {Mouth: 23.8 * mm, Angle: 60 * unit.Degree, Depth: 2.4 * mm, Shank: 19.7 * mm},
		"a shallow cone":   {Mouth: 23.8 * mm, Angle: 15 * unit.Degree, Depth: 0.5 * mm, Shank: 19.7 * mm},
		"a shank too wide": {Mouth: 23.8 * mm, Angle: 15 * unit.Degree, Depth: 2.4 * mm, Shank: 23.7 * mm},
		"a NaN":            {Mouth: 23.8 * mm, Angle: unit.Angle(math.NaN()), Depth: 2.4 * mm, Shank: 19.7 * mm},
	} {
		_, err := b.Fit(19.3*mm, 2.2*mm)
		require.Error(t, err, name)
		assert.Greater(t, len(err.Error()), 20, name)
	}
}
