package catalogue

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Force balance by hand: 38 mm at 1.1 bar are 124.8 N; friction 0.3 on a 12 mm band wants 2 p D / (4 m w).
func TestTheClampThatIsAskedForHoldsWhatWasWanted(t *testing.T) {
	num := map[string]float64{"hose-id": 0.037, "wall": 0.005, "spigot-diameter": 0.038, "band-width": 0.012, "pressure": 1.1e5, "screw": 0.007}
	o := run(t, "hose-hold", num, nil)
	assert.InDelta(t, 124.8, o.Num["pull-off"].SI, 0.05)
	assert.InDelta(t, 2*1.1e5*0.038/(4*0.3*0.012), o.Num["band-pressure-needed"].SI, 1)
	num["torque"] = o.Num["torque-needed"].SI * 1.001
	o = run(t, "hose-hold", num, nil)
	assert.InEpsilon(t, 2.2e5*1.001, o.Num["holds-to"].SI, 1e-9)
	assert.Equal(t, OK, o.Verdict)
	num["torque"] *= 0.5
	assert.Equal(t, TooSmall, run(t, "hose-hold", num, nil).Verdict)
}

func TestATorqueWithoutItsScrewIsRefused(t *testing.T) {
	c, _ := ByName("hose-hold")
	_, err := c.Run(In{Num: map[string]Num{"hose-id": {SI: 0.037}, "wall": {SI: 0.005}, "spigot-diameter": {SI: 0.038}, "band-width": {SI: 0.012}, "pressure": {SI: 1e5}, "torque": {SI: 4}}, Tables: builtIn{}})
	assert.ErrorContains(t, err, "screw")
}

// A wall of 5 mm shrinks by 0.064 mm over 80 K at 1.6e-4 per kelvin (definition).
func TestColdOpensAGapUnderAClampThatDoesNotFollow(t *testing.T) {
	num := map[string]float64{"wall": 0.005, "squeeze": 0.3e-3, "set": 0.9, "fall": 80}
	o := run(t, "hose-creep", num, nil)
	assert.InDelta(t, 0.064e-3, o.Num["shrinks"].SI, 1e-12)
	assert.Equal(t, TooSmall, o.Verdict)
	num["follow"] = o.Num["follow-needed"].SI
	o = run(t, "hose-creep", num, nil)
	assert.InDelta(t, 0.15e-3, o.Num["left"].SI, 1e-12)
	assert.Equal(t, OK, o.Verdict)
}

func TestAWaterTestAsLongAsSolvedShowsTheLeak(t *testing.T) {
	num := map[string]float64{"wanted": 30e-6 / 3600, "system-volume": 2e-3, "pressure": 1.5e5, "gauge-step": 2e3, "trapped-air": 50e-6}
	num["time"] = run(t, "water-test", num, nil).Num["least-time"].SI
	o := run(t, "water-test", num, nil)
	require.InEpsilon(t, num["wanted"], o.Num["least-leak"].SI, 1e-9)
	more := num["time"]
	num["trapped-air"] = 200e-6
	assert.Greater(t, run(t, "water-test", num, nil).Num["least-time"].SI, more, "trapped air never helps")
	num["wanted"] = 1e-12
	o = run(t, "water-test", num, nil)
	_, has := o.Num["most-air"]
	assert.False(t, has)
	assert.Contains(t, o.Notes[0], "too small for this gauge")
}

// The source names 22 mm and no size between 18 and 22: the nearest row is not taken in silence.
func TestAnOliveSizeThatIsNotListedIsSaidToBeOutside(t *testing.T) {
	c, _ := ByName("olive-turns")
	for d, listed := range map[float64]bool{0.018: true, 0.020: false, 0.022: true, 0.025: false, 0.028: true} {
		_, err := c.Run(In{Num: map[string]Num{"tube-diameter": {SI: d}}, Text: map[string]string{"tube": "copper-half-hard"}, Tables: builtIn{}})
		assert.Equal(t, listed, err == nil, "%g m", d)
	}
}
