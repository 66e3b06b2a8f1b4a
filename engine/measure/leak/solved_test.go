package leak_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/leak"
	"seepwright/rules/unit"
)

const water20 leak.Viscosity = 1.0016e-3 // IAPWS 2008 at 20 C

func TestPathsSolvedForAFlowPassIt(t *testing.T) {
	q := unit.Flow(5e-6 / 3600)
	d, err := leak.HoleFor(q, 8*unit.Millimetre, 3*unit.Bar, water20)
	require.NoError(t, err)
	back, err := leak.Capillary(d, 8*unit.Millimetre, 3*unit.Bar, water20)
	require.NoError(t, err)
	assert.InEpsilon(t, float64(q), float64(back), 1e-9)
	h, err := leak.GapFor(q, 10*unit.Millimetre, 8*unit.Millimetre, 3*unit.Bar, water20)
	require.NoError(t, err)
	back, err = leak.Slot(h, 10*unit.Millimetre, 8*unit.Millimetre, 3*unit.Bar, water20)
	require.NoError(t, err)
	assert.InEpsilon(t, float64(q), float64(back), 1e-9)
}

func TestGasAndLiquidThroughOnePathUndoEachOther(t *testing.T) {
	q := leak.FromFreeAir(4e-6 / 60)
	l, err := leak.LiquidFromGas(q, unit.Bar, leak.Atmosphere, unit.Bar, 18.13e-6, water20)
	require.NoError(t, err)
	back, err := leak.GasFromLiquid(l, unit.Bar, unit.Bar, leak.Atmosphere, water20, 18.13e-6)
	require.NoError(t, err)
	assert.InEpsilon(t, float64(q), float64(back), 1e-9)
}

// Leak-testing handbook: 100 kPa of excess clears a hole of 1.46 um radius in water (0.073 N/m).
func TestSurfaceTensionHoldsASmallHole(t *testing.T) {
	d, err := leak.HeldHole(unit.Bar, 0.073, 0)
	require.NoError(t, err)
	assert.InDelta(t, 2*1.46e-6, float64(d), 0.01e-6)
}

// ASME PCC-2 article 501, as quoted: 20 m for each cube root of a kilogram of explosive, at least 30 m.
func TestNobodyStandsNearAnAirTest(t *testing.T) {
	near, err := leak.StandOff(1000)
	require.NoError(t, err)
	assert.InDelta(t, 30, float64(near), 1e-9)
	e := unit.Energy(27 * 4266920)
	far, err := leak.StandOff(e)
	require.NoError(t, err)
	assert.InDelta(t, 60, float64(far), 1e-6)
}

// ISO 2533: 89.87 kPa at 1000 m. IAPWS: water boils at 99.974 C under 101.325 kPa.
func TestAirGetsThinnerAndTheCapSolvedForHolds(t *testing.T) {
	p, err := leak.AirAt(1000)
	require.NoError(t, err)
	assert.InDelta(t, 89.87e3, float64(p), 10)
	c, err := leak.CapFor(110, leak.Atmosphere, 0)
	require.NoError(t, err)
	b, err := leak.WaterBoils(c, leak.Atmosphere)
	require.NoError(t, err)
	assert.InDelta(t, 110, float64(b), 1e-6)
	c, err = leak.CapFor(90, leak.Atmosphere, 0)
	require.NoError(t, err)
	assert.Zero(t, float64(c), "it does not boil open")
}

// IAPWS 2008: water 1.0016 mPa s at 20 C, 0.7972 at 30, 0.6527 at 40.
func TestViscosityBetweenTwoRowsIsThatOfTheRowBetween(t *testing.T) {
	m, err := leak.ViscosityBetween(20, 1.0016e-3, 40, 0.6527e-3, 30)
	require.NoError(t, err)
	assert.InEpsilon(t, 0.7972e-3, float64(m), 0.01)
	_, err = leak.ViscosityBetween(20, 1.0016e-3, 40, 0.6527e-3, 50)
	assert.Error(t, err)
}

func TestLevelsAndTimes(t *testing.T) {
	v, err := leak.LevelFall(0.1, 3*unit.Millimetre)
	require.NoError(t, err)
	assert.InDelta(t, 0.3e-3, float64(v), 1e-12)
	// university water-structure data: 0.207e-3 per kelvin at 20 C, so 10 L move by 2 mL a kelvin
	v, err = leak.Cooling(10e-3, 0.207e-3, 1)
	require.NoError(t, err)
	assert.InDelta(t, 2.07e-6, float64(v), 1e-9)
	q, err := leak.Net(2e-6, 3e-6)
	require.NoError(t, err)
	assert.Zero(t, float64(q), "pumped out faster than it comes")
	at, err := leak.TimeTo(1e-3, 0)
	require.NoError(t, err)
	assert.True(t, math.IsInf(float64(at), 1))
	at, err = leak.TimeTo(1e-3, 1e-6)
	require.NoError(t, err)
	assert.InDelta(t, 1000, float64(at), 1e-9)
}

// From memory: law of the drop weight; a 4 mm edge gives about 0.06 mL of water.
func TestADropFromASmallEdgeIsAboutATwentiethOfAMillilitre(t *testing.T) {
	v, err := leak.DropFrom(4*unit.Millimetre, 0.0728, 998, 0.65)
	require.NoError(t, err)
	assert.InDelta(t, 0.061e-6, float64(v), 0.002e-6)
}

func TestATestThatLastsAsLongAsSolvedShowsTheLeak(t *testing.T) {
	wanted := leak.FromFreeAir(5e-6 / 60)
	at, err := leak.AirTimeToSee(wanted, 5e-3, 1000, unit.Bar, 0.5, 20, leak.Atmosphere)
	require.NoError(t, err)
	s, err := leak.LeastVisible(5e-3, 1000, at, unit.Bar, 0.5, 20, leak.Atmosphere)
	require.NoError(t, err)
	assert.InEpsilon(t, float64(wanted), float64(s.Together), 1e-9)
}
