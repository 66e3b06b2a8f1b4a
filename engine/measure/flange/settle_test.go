package flange_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/flange"
	"seepwright/rules/unit"
)

const mNm = unit.Stiffness(1e6) // MN/m

// Published solutions to the exercises of Shigley's Mechanical Engineering Design, 9th edition, chapter 8.
func TestClampedPartsAreAsStiffAsInTheTextbook(t *testing.T) {
	steel, iron := unit.Pressure(207e9), unit.Pressure(100e9)
	for what, c := range map[string]struct {
		k    func() (unit.Stiffness, error)
		want float64
	}{
		"8-22, M12, upper frustum": {func() (unit.Stiffness, error) {
			return flange.ConeStiffness(12*mm, 18*mm, flange.Part{Thickness: 20 * mm, E: steel})
		}, 4470},
		"8-22, M12, central frustum": {func() (unit.Stiffness, error) {
			return flange.ConeStiffness(12*mm, 41.09*mm, flange.Part{Thickness: 2.5 * mm, E: iron})
		}, 52230},
		"8-22, M12, lower frustum": {func() (unit.Stiffness, error) {
			return flange.ConeStiffness(12*mm, 18*mm, flange.Part{Thickness: 22.5 * mm, E: iron})
		}, 2074},
		"8-22, M12, together": {func() (unit.Stiffness, error) {
			return flange.ClampedStiffness(12*mm, 18*mm, flange.Part{Thickness: 20 * mm, E: steel}, flange.Part{Thickness: 25 * mm, E: iron})
		}, 1379},
		"M10, together": {func() (unit.Stiffness, error) {
			return flange.ClampedStiffness(10*mm, 15*mm, flange.Part{Thickness: 20 * mm, E: steel}, flange.Part{Thickness: 25 * mm, E: 96e9})
		}, 1057},
		"8-22, M12, bolt of shank and thread": {func() (unit.Stiffness, error) {
			shank, _ := flange.Stiffness(113*unit.SquareMM, 30*mm, steel)
			thread, _ := flange.Stiffness(84.3*unit.SquareMM, 15*mm, steel)
			return flange.InLine(shank, thread)
		}, 466.8},
	} {
		k, err := c.k()
		require.NoError(t, err, what)
		assert.InEpsilon(t, c.want, float64(k/mNm), 0.005, what)
	}
	// 8-25, inches: 36.14 Mlbf/in
	k, err := flange.ConeStiffness(0.5*unit.Inch, 0.75*unit.Inch, flange.Part{Thickness: 0.4225 * unit.Inch, E: 30e6 * unit.PSI})
	require.NoError(t, err)
	assert.InEpsilon(t, 36.14e6, float64(k)/float64(unit.PoundForce)*float64(unit.Inch), 0.002)
}

func TestAConeIsTheSumOfItsSlices(t *testing.T) {
	give := 0.0
	const n = 20000
	for i := range n {
		x := (float64(i) + 0.5) / n * 0.020
		r := 0.009 + x*math.Tan(math.Pi/6)
		give += 0.020 / n / (207e9 * math.Pi * (r*r - 0.006*0.006))
	}
	k, err := flange.ConeStiffness(12*mm, 18*mm, flange.Part{Thickness: 20 * mm, E: 207e9})
	require.NoError(t, err)
	assert.InEpsilon(t, 1/give, float64(k), 0.001, "the textbook rounds tan 30 degrees")
}

func TestTheOrderOfPartsInAStackOfOneMetalDoesNotMatter(t *testing.T) {
	one, err := flange.ClampedStiffness(8*mm, 12*mm, flange.Part{Thickness: 30 * mm, E: 70e9})
	require.NoError(t, err)
	split, err := flange.ClampedStiffness(8*mm, 12*mm, flange.Part{Thickness: 4 * mm, E: 70e9}, flange.Part{Thickness: 26 * mm, E: 70e9})
	require.NoError(t, err)
	assert.InEpsilon(t, float64(one), float64(split), 1e-3)
}

// VDI 2230, guide values (from memory), Rz under 10 um: thread 3, heads 2.5, joints 1.5.
func TestEmbeddingAddsUpTheFaces(t *testing.T) {
	f, err := flange.Embedding(3e-6, 2.5e-6, 2, 1.5e-6, 1)
	require.NoError(t, err)
	assert.InDelta(t, 9.5e-6, float64(f), 1e-12)
}

func TestTheLeastGripLosesJustTheShareThatIsAllowed(t *testing.T) {
	a, err := flange.StressArea(8*mm, 1.25*mm)
	require.NoError(t, err)
	for _, parts := range []unit.Stiffness{0, 300e6} {
		l, err := flange.LeastGrip(0.02*mm, 15.6e3, 0.25, a, 205e9, parts)
		require.NoError(t, err)
		k, err := flange.Stiffness(a, l, 205e9)
		require.NoError(t, err)
		loss, err := flange.LossBySettling(0.02*mm, k, parts)
		require.NoError(t, err)
		assert.InEpsilon(t, 0.25*15.6e3, float64(loss), 1e-9)
	}
	none, err := flange.LeastGrip(0.001*mm, 15.6e3, 0.25, a, 205e9, 20e6)
	require.NoError(t, err)
	assert.Zero(t, none, "soft parts: any length will do")
}

func TestARodMayWarmUntilItHasLostWhatItCanSpare(t *testing.T) {
	kr := unit.Stiffness(40e6)
	dt, err := flange.RodRiseForChange(-6e3, 300*mm, 23e-6, 11.5e-6, 20, kr, 0)
	require.NoError(t, err)
	x, err := flange.Mismatch(300*mm, 23e-6, 11.5e-6, 20, dt)
	require.NoError(t, err)
	f, err := flange.LoadFromMismatch(x, kr, 0)
	require.NoError(t, err)
	assert.InEpsilon(t, -6e3, float64(f), 1e-9)
}

func TestTheSpringUnderTheNutKeepsTheLossDown(t *testing.T) {
	x, rod := 0.10*mm, unit.Stiffness(40e6)
	ks, err := flange.SpringForLoss(x, 2e3, rod, 0)
	require.NoError(t, err)
	k, err := flange.InLine(rod, ks)
	require.NoError(t, err)
	f, err := flange.LossBySettling(x, k, 0)
	require.NoError(t, err)
	assert.InEpsilon(t, 2e3, float64(f), 1e-9)
	_, err = flange.SpringForLoss(x, 5e3, rod, 0)
	assert.ErrorContains(t, err, "no spring washers are needed")
}

func TestTheLeastPreloadDoesNotCountOnGains(t *testing.T) {
	f, err := flange.LeastPreload(5e3, -2e3, 3e3, -0.5e3)
	require.NoError(t, err)
	assert.Equal(t, unit.Force(7.5e3), f)
}

func TestSillySettlingIsRefusedByName(t *testing.T) {
	nan := unit.Length(math.NaN())
	for want, err := range map[string]error{
		"the bedding in of the thread":   second(flange.Embedding(nan, 0, 1, 0, 1)),
		"the number of faces":            second(flange.Embedding(1e-6, 0, -1, 0, 1)),
		"the share that may be lost":     second(flange.LeastGrip(1e-5, 1e3, 0, 1e-5, 2e11, 0)),
		"the springs":                    second(flange.InLine()),
		"a stiffness":                    second(flange.InLine(1, 0)),
		"the part's modulus":             second(flange.ConeStiffness(8*mm, 12*mm, flange.Part{Thickness: 10 * mm, E: 70})),
		"the bearing face":               second(flange.ConeStiffness(8*mm, 8*mm, flange.Part{Thickness: 10 * mm, E: 70e9})),
		"the clamped parts":              second(flange.ClampedStiffness(8*mm, 12*mm)),
		"the part's thickness":           second(flange.ClampedStiffness(8*mm, 12*mm, flange.Part{Thickness: nan, E: 70e9})),
		"the rod's expansion is 0":       second(flange.RodRiseForChange(1, 1, 1e-5, 0, 1, 1, 0)),
		"the change of length":           second(flange.SpringForLoss(0, 1, 1, 0)),
		"the needed load":                second(flange.LeastPreload(-1)),
		"a change of load":               second(flange.LeastPreload(1, unit.Force(math.Inf(-1)))),
		"the share of the thickness":     second(flange.GasketCreep(1*mm, 2)),
		"the change of load is not a nu": second(flange.RodRiseForChange(unit.Force(math.NaN()), 1, 1e-5, 1e-5, 1, 1, 0)),
	} {
		assert.ErrorContains(t, err, want)
	}
}
