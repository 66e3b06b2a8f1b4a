package flange_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/flange"
	"seepwright/rules/unit"
)

// ASME VIII-1 App. 2 worked sheet, 96 inch water flange, rubber of 75 Shore or more (public): H 313149 kgf,
// Hp 23042, Wm2 32397. Operation governs.
func TestInTheWaterFlangeOperationGoverns(t *testing.T) {
	const kgf = unit.Force(9.80665)
	w, seats, err := flange.Governing((313149+23042)*kgf, 32397*kgf)
	require.NoError(t, err)
	assert.False(t, seats)
	assert.InEpsilon(t, float64(336191*kgf), float64(w), 1e-9)
	const p = unit.Pressure(5 * 98066.5)
	back, err := flange.GreatestPressure(w, 25.98*mm, 2824.59*mm, 1)
	require.NoError(t, err)
	assert.InEpsilon(t, float64(p), float64(back), 0.001, "the sheet used 0.785 for pi/4")
	left, err := flange.FactorLeft(w, 25.98*mm, 2824.59*mm, p)
	require.NoError(t, err)
	assert.InDelta(t, 1, float64(left), 0.01, "the load that the rule asks leaves just the gasket's own m")
}

// Ring joint closure of the Pressure Vessel Design Manual, procedure 2-10: seating 968816 lbf, end force 3790610 lbf.
func TestASmallPressureLeavesSeatingToGovern(t *testing.T) {
	_, seats, err := flange.Governing(100e3, 968816)
	require.NoError(t, err)
	assert.True(t, seats)
	a, err := flange.LeastBoltArea(3790610*unit.PoundForce, 968816*unit.PoundForce, 172e6, 172e6)
	require.NoError(t, err)
	assert.InEpsilon(t, 3790610*4.4482216152605/172e6, float64(a), 1e-12)
}

func TestPressureTakesStressOffTheGasketUntilItLifts(t *testing.T) {
	last := math.Inf(1)
	for _, h := range []unit.Force{0, 5e3, 20e3, 49e3} {
		s, err := flange.ServiceStressOnGasket(50e3, h, 3456*unit.SquareMM)
		require.NoError(t, err)
		assert.Less(t, float64(s), last)
		last = float64(s)
	}
	_, err := flange.ServiceStressOnGasket(50e3, 50e3, 3456*unit.SquareMM)
	assert.ErrorContains(t, err, "lifts the cover")
	_, err = flange.FactorLeft(1e3, 5*mm, 200*mm, 3e5)
	assert.ErrorContains(t, err, "lifts the cover")
}

// Exercise of Shigley's Mechanical Engineering Design: 10 bolts share what 1500 psi does on 4.25 in, 2128 lbf each.
func TestTheNumberOfBoltsIsRoundedUp(t *testing.T) {
	h, err := flange.PressureLoad(4.25*unit.Inch, 1500*unit.PSI)
	require.NoError(t, err)
	n, err := flange.BoltsForLoad(h, 2128*unit.PoundForce)
	require.NoError(t, err)
	assert.Equal(t, 10, n)
	n, err = flange.BoltsForLoad(h, 2100*unit.PoundForce)
	require.NoError(t, err)
	assert.Equal(t, 11, n)
	n, err = flange.BoltsForPitch(120*mm, 62.4*mm)
	require.NoError(t, err)
	assert.Equal(t, 7, n, "377 mm of circle at 62.4 mm")
	n, err = flange.ByFours(n)
	require.NoError(t, err)
	assert.Equal(t, 8, n)
	p, err := flange.Pitch(120*mm, 6)
	require.NoError(t, err)
	assert.InDelta(t, 62.83e-3, float64(p), 1e-5)
}

func TestTheEuropeanScopeAsksAThickerFlangeForAHardGasket(t *testing.T) {
	soft, err := flange.LeastThicknessByScope(80*mm, 40*mm, true)
	require.NoError(t, err)
	hard, err := flange.LeastThicknessByScope(80*mm, 40*mm, false)
	require.NoError(t, err)
	assert.InEpsilon(t, 80e-3*math.Cbrt(0.02), float64(soft), 1e-12)
	assert.Greater(t, float64(hard), float64(soft))
}

func TestSillyServiceIsRefusedByName(t *testing.T) {
	nan := unit.Force(math.NaN())
	for want, err := range map[string]error{
		"the operating load":                  errOf3(flange.Governing(nan, 1)),
		"the bolt stress allowed in service":  second(flange.LeastBoltArea(1, 1, 0, 1)),
		"the gasket area":                     second(flange.ServiceStressOnGasket(2, 1, 0)),
		"the pressure is 0":                   second(flange.FactorLeft(1, 5*mm, 200*mm, 0)),
		"the effective width":                 second(flange.GreatestPressure(1, 0, 200*mm, 1)),
		"the load of one bolt":                second(flange.BoltsForLoad(1, 0)),
		"the bolt circle":                     second(flange.BoltsForPitch(-1, 1)),
		"the number of bolts is 1e+12":        second(flange.BoltsForLoad(1e12, 1)),
		"the flange width":                    second(flange.LeastThicknessByScope(1, 0, true)),
		"the number of bolts is below 1":      second(flange.ByFours(0)),
		"the bolt circle is -0.1":             second(flange.Pitch(-0.1, 2)),
		"the bolt load is -1":                 second(flange.GreatestPressure(-1, 5*mm, 200*mm, 1)),
		"the end force":                       second(flange.ServiceStressOnGasket(2, -1, 1)),
		"the bolt stress allowed at assembly": second(flange.LeastBoltArea(1, 1, 1, unit.Pressure(math.Inf(1)))),
	} {
		assert.ErrorContains(t, err, want)
	}
}
