package flange_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/flange"
	"seepwright/rules/unit"
)

const mm = unit.Millimetre

func ExampleStressArea() {
	// ISO 898-1 prints 36.6 mm2 for M8.
	a, _ := flange.StressArea(8*mm, 1.25*mm)
	fmt.Printf("%.1f mm2\n", float64(a/unit.SquareMM))
	// Output: 36.6 mm2
}

func ExampleLossBySettling() {
	// An M8 of 20 mm grip stretches 0.04 mm at 15.6 kN; a gasket that creeps 0.02 mm takes about half.
	a, _ := flange.StressArea(8*mm, 1.25*mm)
	k, _ := flange.Stiffness(a, 20*mm, 205e9)
	loss, _ := flange.LossBySettling(0.02*mm, k, 0)
	fmt.Printf("%.1f kN\n", float64(loss/unit.Kilonewton))
	// Output: 7.5 kN
}

func ExampleTorqueForStress() {
	// 10 MPa on a ring 120/100 mm, six M8, zinc plated.
	a, _ := flange.RingArea(120*mm, 100*mm)
	t, _ := flange.TorqueForStress(10*unit.Megapascal, a, 6, 8*mm, 0.20)
	fmt.Printf("%.1f N m\n", float64(t))
	// Output: 9.2 N m
}

func TestTorqueAndPreloadUndoEachOther(t *testing.T) {
	for _, f := range []unit.Force{100, 5e3, 4e4} {
		torque, err := flange.Torque(f, 10*mm, 0.17)
		require.NoError(t, err)
		back, err := flange.Preload(torque, 10*mm, 0.17)
		require.NoError(t, err)
		assert.InEpsilon(t, float64(f), float64(back), 1e-12)
	}
}

func TestMidSpanPressureFallsToNoughtAtTheLiftPitch(t *testing.T) {
	l, err := flange.LiftPitch(35.97)
	require.NoError(t, err)
	r, err := flange.PressureRatio(35.97 * float64(l) / 2)
	require.NoError(t, err)
	assert.InDelta(t, 0, float64(r), 1e-12)
	last := 2.0
	for u := 0.1; u < 2.3; u += 0.1 {
		r, err := flange.PressureRatio(u)
		require.NoError(t, err)
		assert.Less(t, float64(r), last, "a wider pitch never presses more in mid-span")
		last = float64(r)
	}
}

func TestALongRodLosesLessThanAShortBolt(t *testing.T) {
	a, err := flange.StressArea(8*mm, 1.25*mm)
	require.NoError(t, err)
	last := math.Inf(1)
	for _, grip := range []unit.Length{10 * mm, 20 * mm, 40 * mm, 300 * mm} {
		k, err := flange.Stiffness(a, grip, 205e9)
		require.NoError(t, err)
		soft, err := flange.LossBySettling(0.01*mm, k, 300e6)
		require.NoError(t, err)
		rigid, err := flange.LossBySettling(0.01*mm, k, 0)
		require.NoError(t, err)
		assert.Less(t, float64(soft), float64(rigid), "rigid parts are the upper bound")
		assert.Less(t, float64(rigid), last)
		last = float64(rigid)
	}
}

func TestAHotRodInAColdCasingSlackens(t *testing.T) {
	x, err := flange.Mismatch(300*mm, 11.5e-6, 11.5e-6, 10, 60)
	require.NoError(t, err)
	assert.InDelta(t, -0.1725e-3, float64(x), 1e-12, "300 x 11.5e-6 x 50, by hand")
	f, err := flange.LoadFromMismatch(x, 4e7, 0)
	require.NoError(t, err)
	assert.InDelta(t, -6900, float64(f), 1e-6)
}

func second[T any](_ T, err error) error { return err }

func TestWhatLiesOutsideTheDomainIsRefusedInWords(t *testing.T) {
	for name, err := range map[string]error{
		"a pitch as wide as the bolt":   second(flange.StressArea(8*mm, 8*mm)),
		"a nut factor of 2":             second(flange.Torque(1e4, 8*mm, 2)),
		"a torque below 0":              second(flange.Preload(-1, 8*mm, 0.2)),
		"a tightening factor below 1":   second(flange.Scatter(0.5)),
		"no bolts":                      second(flange.PerBolt(1e3, 0)),
		"an inside-out gasket":          second(flange.RingArea(100*mm, 120*mm)),
		"a modulus in the wrong unit":   second(flange.Stiffness(1e-4, 20*mm, 205)),
		"an opened joint":               second(flange.ServiceStress(0.2, 1e4, 1e3, 1e-4)),
		"a sheet that does not give":    errOf3(flange.Compressibility(1*mm, 1*mm, 1*mm)),
		"an empty table of marks":       second(flange.DefectDepth(nil, 10*mm, 1*mm)),
		"a head smaller than its hole":  second(flange.TorqueLong(1e4, 8*mm, 1.25*mm, 0.12, flange.Head{Face: 8 * mm, Hole: 9 * mm})),
		"a casing that grows no faster": second(flange.RiseForStress(1e6, 1e-4, 1e-4, 2e11, 1e11, 2e-5, 1e-5)),
		"one measured load":             errOf3(flange.Spread([]unit.Force{1})),
		"Poisson's ratio of 1":          second(flange.PlateDish(50*mm, 6*mm, 70e9, 1, 1e5)),
	} {
		require.Error(t, err, name)
		assert.Greater(t, len(err.Error()), 20, name)
	}
}

func errOf3[A, B any](_ A, _ B, err error) error { return err }

func TestADiscIsARingWithoutAHole(t *testing.T) {
	ring, err := flange.RingArea(80*unit.Millimetre, 40*unit.Millimetre)
	require.NoError(t, err)
	assert.InDelta(t, float64(flange.Disc(80*unit.Millimetre)-flange.Disc(40*unit.Millimetre)), float64(ring), 1e-15)
}
