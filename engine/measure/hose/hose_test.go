package hose_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/hose"
	"seepwright/rules/unit"
)

const mm = unit.Millimetre

func ExampleBlowOff() {
	// Spigot 38 mm at 1.1 bar, force balance by hand.
	f, _ := hose.BlowOff(38*mm, 1.1*unit.Bar)
	fmt.Printf("%.1f N\n", float64(f))
	// Output: 124.8 N
}

func ExampleBestRange() {
	// A 40 to 60 mm clamp is round from 44 to 56 mm (middle 60 %).
	lo, hi, _ := hose.BestRange(40*mm, 60*mm)
	fmt.Printf("%.0f to %.0f mm\n", lo.Millimetres(), hi.Millimetres())
	// Output: 44 to 56 mm
}

func TestASmallSpigotHasTheStricterRoundnessLimit(t *testing.T) {
	for spigot, want := range map[unit.Length]unit.Length{10 * mm: 0.1 * mm, 30 * mm: 0.3 * mm, 60 * mm: 0.3 * mm} {
		got, err := hose.RoundnessLimit(spigot)
		require.NoError(t, err)
		assert.InDelta(t, float64(want), float64(got), 1e-12)
	}
}

func TestWhatLiesOutsideTheDomainIsRefused(t *testing.T) {
	_, err := hose.RangeUse(60*mm, 40*mm, 50*mm)
	assert.ErrorContains(t, err, "smaller figure first")
	_, err = hose.Stretch(0, 40*mm)
	assert.Error(t, err)
	_, err = hose.Grip(1e6, 40*mm, 12*mm, 3)
	assert.Error(t, err)
	_, err = hose.CoilGap(2, 1*mm, 0)
	assert.Error(t, err)
	x, err := hose.RangeUse(40*mm, 60*mm, 65*mm)
	require.NoError(t, err)
	assert.Greater(t, float64(x), 1.0, "a clamp that is too small says so instead of being clamped to 100 %")
}
