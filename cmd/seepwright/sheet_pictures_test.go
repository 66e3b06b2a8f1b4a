package main

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/picture"
)

func TestAPlaceOfAClockIsReadInDegrees(t *testing.T) {
	for at, want := range map[string]float64{"12:00": 0, "1:30": 45, "3:00": 90, "11:59": 359.5, "4:00 seen from front": 120, "0:30": 15} {
		got, ok := clockDegrees(at)
		require.True(t, ok, at)
		assert.InDelta(t, want, got, 1e-9, at)
	}
	for _, at := range []string{"", "45 deg", "13:00", "-1:00", "3", "3:60", "3:x", "40,30"} {
		_, ok := clockDegrees(at)
		assert.False(t, ok, at)
	}
}

// The sizes of the demo: cord 3.53, groove floor 32.40, bore 38.12 and land 37.395 mm.
func TestTheGlandOfTheDemoIsDrawnFromItsSizes(t *testing.T) {
	w, r := demoAt(t, 3)
	g, ok := w.gland("water-in", picture.About{})
	require.True(t, ok)
	require.Len(t, g.Sections, 2)
	assert.InDelta(t, 3.53, g.Sections[0].Cord, 1e-9)
	assert.InDelta(t, (38.12-32.40)/2, g.Sections[0].Depth, 1e-6)
	assert.InDelta(t, (38.12-37.395)/2, g.Sections[0].Gap, 1e-6)
	assert.InDelta(t, g.Sections[0].Depth+g.Sections[0].Gap, g.Sections[1].Depth, 1e-9)
	assert.InDelta(t, 2*g.Sections[0].Gap, g.Sections[1].Gap, 1e-9)
	_, ok = w.gland("hose-in", picture.About{})
	assert.False(t, ok, "a hose has no gland")
	list := w.rounds(r.Joints[0], picture.About{}, g)
	require.Len(t, list, 1, "of two spigot readings no profile is drawn")
	p := list[0].(picture.Roundness)
	require.Len(t, p.Profile, 8)
	assert.InDelta(t, 0.01, p.Zone, 1e-9)
	assert.InDelta(t, 38.12/2, p.Radius, 1e-9)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, x := range p.Profile {
		lo, hi = min(lo, x.Off), max(hi, x.Off)
	}
	assert.InDelta(t, -lo, hi, 1e-9, "measured from the middle of the ring")
	squeeze := 1 - (p.Radius+p.Lost.Off-32.40/2)/3.53
	assert.InDelta(t, 0.10, squeeze, 1e-9, "where the squeeze just meets its limit")
}

func TestAPictureIsDrawnOfEachThingThatIsKnownAndOfNothingElse(t *testing.T) {
	titles := func(stage int) (out []string) {
		w, r := demoAt(t, stage)
		for _, p := range w.pictures(r, "") {
			out = append(out, p.Title)
			require.NotEmpty(t, p.Rows)
			require.NotEmpty(t, p.Desc)
		}
		return out
	}
	assert.Len(t, titles(1), 3, "where, ranking, minutes")
	assert.Len(t, titles(3), 5, "and the gland and the bore")
	assert.Len(t, titles(5), 2, "what is dry has no ranking")
}
