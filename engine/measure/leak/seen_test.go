package leak_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/leak"
	"seepwright/rules/unit"
)

const (
	waterStiff  = 4.589e-10
	waterGrowth = unit.Expansion(2.07e-4)
)

func wet(air, give float64) leak.WaterTest {
	return leak.WaterTest{Water: 10e-3, TrappedAir: unit.Volume(air), Give: unit.Volume(give), Compressibility: waterStiff}
}

// Trade figures, recomputed: 50 mL of air at 1 bar are 25 mL for every bar; 15 L of water in soft hoses of 70 mL/bar make
// 0.04 bar for every kelvin.
func TestHowSoftASystemIsAndWhatWarmthMakesOfIt(t *testing.T) {
	c, err := leak.WaterTest{TrappedAir: 50e-6, Compressibility: waterStiff}.Compliance(1e5, leak.Atmosphere)
	require.NoError(t, err)
	assert.InDelta(t, 25e-6, c*1e5, 0.3e-6)
	p, err := leak.WaterTest{Water: 15e-3, Give: 70e-6, Compressibility: waterStiff}.ByHeat(1e5, waterGrowth, 1, leak.Atmosphere)
	require.NoError(t, err)
	assert.InDelta(t, 0.04e5, float64(p), 0.005e5)
}

// In a rigid vessel without air the two ways agree: 4.5 bar for every kelvin at 20 C.
func TestAFullRigidVesselIsTheLimitOfTheWaterTest(t *testing.T) {
	p, err := wet(0, 0).ByHeat(1e5, waterGrowth, 1, leak.Atmosphere)
	require.NoError(t, err)
	rigid, err := leak.LockedRigid(waterGrowth, waterStiff, 1)
	require.NoError(t, err)
	assert.InDelta(t, float64(rigid), float64(p), 1e-3)
}

func TestALongerWaterTestNeverSeesLessAndAirNeverHelps(t *testing.T) {
	const step = unit.Pressure(2e3)
	for _, air := range []float64{0, 1e-5, 1e-4, 1e-3} {
		last := unit.Flow(math.Inf(1))
		for _, over := range []unit.Time{60, 600, 3600, 86400} {
			q, err := wet(air, 2e-5).LeastSeen(1e5, step, over, waterGrowth, 0.1, leak.Atmosphere)
			require.NoError(t, err)
			assert.Less(t, float64(q), float64(last))
			more, err := wet(air+1e-4, 2e-5).LeastSeen(1e5, step, over, waterGrowth, 0.1, leak.Atmosphere)
			require.NoError(t, err)
			assert.Greater(t, float64(more), float64(q))
			back, err := wet(air, 2e-5).TimeToSee(q, 1e5, step, waterGrowth, 0.1, leak.Atmosphere)
			require.NoError(t, err)
			assert.InEpsilon(t, float64(over), float64(back), 1e-9)
			last = q
		}
	}
}

func TestALongerAirTestNeverSeesLess(t *testing.T) {
	last := math.Inf(1)
	for _, over := range []unit.Time{60, 600, 3600} {
		s, err := leak.LeastVisible(5e-3, 1e3, over, 1e5, 0.5, 20, leak.Atmosphere)
		require.NoError(t, err)
		assert.Less(t, float64(s.Together), last)
		last = float64(s.Together)
	}
}

func TestTheMostAirThatMayBeLeftJustShowsTheLeak(t *testing.T) {
	air, err := wet(0, 2e-5).MostAir(3e-6/3600*10, 1800, 1e5, 2e3, waterGrowth, 0.001, leak.Atmosphere)
	require.NoError(t, err)
	require.Positive(t, float64(air))
	q, err := wet(float64(air), 2e-5).LeastSeen(1e5, 2e3, 1800, waterGrowth, 0.001, leak.Atmosphere)
	require.NoError(t, err)
	assert.InEpsilon(t, 3e-6/3600*10, float64(q), 1e-9)
	_, err = wet(0, 1e-3).MostAir(1e-12, 60, 1e5, 2e3, waterGrowth, 0.1, leak.Atmosphere)
	assert.ErrorContains(t, err, "too small for this gauge")
}

func TestAWaterTestRefusesByName(t *testing.T) {
	nan := math.NaN()
	for want, err := range map[string]error{
		"the test pressure":           second(wet(0, 0).Compliance(0, leak.Atmosphere)),
		"the trapped air":             second(wet(nan, 0).Compliance(1e5, leak.Atmosphere)),
		"the leak to be seen":         second(wet(0, 0).TimeToSee(0, 1e5, 1e3, waterGrowth, 0.1, leak.Atmosphere)),
		"the time":                    second(wet(0, 0).LeastSeen(1e5, 1e3, -1, waterGrowth, 0.1, leak.Atmosphere)),
		"the doubt of temperature":    second(wet(0, 0).LeastSeen(1e5, 1e3, 60, waterGrowth, -0.1, leak.Atmosphere)),
		"the step of the gauge":       second(wet(0, 0).MostAir(1e-9, 60, 1e5, 0, waterGrowth, 0, leak.Atmosphere)),
		"the change of temperature":   second(wet(0, 0).ByHeat(1e5, waterGrowth, unit.Kelvin(nan), leak.Atmosphere)),
		"the volume expansion of the": second(wet(0, 0).ByHeat(1e5, 1, 1, leak.Atmosphere)),
	} {
		assert.ErrorContains(t, err, want)
	}
}
