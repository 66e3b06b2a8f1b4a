package leak_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/leak"
	"seepwright/rules/unit"
)

func ExampleDrip() {
	// Twenty drops a minute of 0.05 mL are 60 mL an hour.
	q, _ := leak.Drip(20, unit.Minute, 0.05*unit.Millilitre)
	fmt.Printf("%.0f mL in an hour, %.2f L in a day\n", float64(leak.In(q, unit.Hour)/unit.Millilitre), float64(leak.In(q, unit.Day)/unit.Litre))
	// Output: 60 mL in an hour, 1.44 L in a day
}

func ExampleSaturation() {
	// IAPWS: 101.418 kPa at 100 degrees Celsius.
	p, _ := leak.Saturation(100)
	fmt.Printf("%.3f kPa\n", float64(p)/1e3)
	// Output: 101.418 kPa
}

func TestBoilingUndoesSaturation(t *testing.T) {
	for _, want := range []unit.Celsius{5, 60, 100, 129, 250, 370} {
		p, err := leak.Saturation(want)
		require.NoError(t, err)
		got, err := leak.SaturationTemperature(p)
		require.NoError(t, err)
		assert.InDelta(t, float64(want), float64(got), 1e-6)
	}
}

func TestTrappedAirNeverHelpsAWaterTest(t *testing.T) {
	last := unit.Volume(0)
	for _, air := range []unit.Volume{0, 0.01e-3, 0.1e-3, 1e-3} {
		v, err := leak.WaterTest{Water: 10e-3, TrappedAir: air, Compressibility: 4.589e-10}.LostFor(1e5, 1e4, leak.Atmosphere)
		require.NoError(t, err)
		assert.Greater(t, float64(v), float64(last))
		last = v
	}
}

func TestGasUnitsGoThereAndBack(t *testing.T) {
	for _, name := range []string{"Pa m3/s", "mbar L/s", "atm cm3/s", "mL/min at 1 atm", "mol/s at 293.15 K", "torr L/s"} {
		q, err := leak.ThroughputIn(3, name)
		require.NoError(t, err, name)
		x, err := q.In(name)
		require.NoError(t, err)
		assert.InDelta(t, 3, x, 1e-12, name)
	}
	_, err := leak.ThroughputIn(1, "thimbles a fortnight")
	assert.ErrorContains(t, err, "use Pa m3/s")
}

func second[T any](_ T, err error) error { return err }

func TestWhatLiesOutsideTheDomainIsRefusedInWords(t *testing.T) {
	for name, err := range map[string]error{
		"no time":                        second(leak.Drip(3, 0, 5e-8)),
		"a negative loss":                second(leak.Loss(-1, 1)),
		"pressure below vacuum":          second(leak.PressureDecay(1e-3, -2e5, 0, 60, 20, 20, leak.Atmosphere)),
		"air pressure in bar":            second(leak.AirEnergy(1e-3, 1e5, 1, 1.4)),
		"a fall beyond the pressure":     second(leak.WaterTest{Water: 1e-3, Compressibility: 4.6e-10}.LostFor(1e5, 2e5, leak.Atmosphere)),
		"viscosity in mPa s":             second(leak.Capillary(1e-4, 1e-2, 1e5, -1)),
		"an inside-out ring face":        second(leak.RadialGap(1e-5, 0.04, 0.03, 1e5, 1e-3)),
		"water above its critical point": second(leak.Saturation(400)),
		"glycol at 90 %":                 second(leak.GlycolBoils(1e5, leak.Atmosphere, 0.9)),
		"a liquid that does not wet":     second(leak.HoldingPressure(1e-6, 0.07, 2)),
	} {
		require.Error(t, err, name)
		assert.Greater(t, len(err.Error()), 20, name)
	}
}
