package flange_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/flange"
	"seepwright/rules/unit"
)

var eightM8 = flange.Tightening{Bolts: 6, Diameter: 8 * mm, K: flange.NutFactors{Least: 0.12, Usual: 0.20, Greatest: 0.30}, Scatter: 0.25}

// M8 at 25 N m: 26, 15.6 and 10.4 kN for K 0.12, 0.20 and 0.30 (trade dossier, worked figures).
func TestTheRangeOfTheNutFactorHoldsWhereItIsWiderThanTheScatter(t *testing.T) {
	lo, mid, hi, err := eightM8.Load(25)
	require.NoError(t, err)
	assert.InDelta(t, 10.4e3, float64(lo), 50)
	assert.InDelta(t, 15.6e3, float64(mid), 50)
	assert.InDelta(t, 26.0e3, float64(hi), 50)
}

// 10 N m, M10, K 0.15 oiled, scatter 25 %: 12.50 to 20.83 kN at 25 N m (preload criteria, 2019).
func TestTheScatterHoldsWhereTheNutFactorIsKnown(t *testing.T) {
	lo, _, hi, err := flange.Tightening{Bolts: 1, Diameter: 10 * mm, K: flange.ExactNutFactor(0.15), Scatter: 0.25}.Load(25)
	require.NoError(t, err)
	assert.InDelta(t, 12.50e3, float64(lo), 5)
	assert.InDelta(t, 20.83e3, float64(hi), 5)
}

func TestTheWorstEnclosesTheUsualAndMoreTorqueNeverMeansLessLoad(t *testing.T) {
	for _, scatter := range []unit.Ratio{0, 0.1, 0.35, 0.6} {
		for _, k := range []flange.NutFactors{flange.ExactNutFactor(0.2), {Least: 0.15, Greatest: 0.25}, {Least: 0.075, Usual: 0.12, Greatest: 0.15}} {
			j := flange.Tightening{Bolts: 4, Diameter: 12 * mm, K: k, Scatter: scatter}
			var last [3]unit.Force
			for q := unit.Torque(0); q < 200; q += 10 {
				lo, mid, hi, err := j.Load(q)
				require.NoError(t, err)
				assert.LessOrEqual(t, lo, mid)
				assert.LessOrEqual(t, mid, hi)
				assert.True(t, lo >= last[0] && mid >= last[1] && hi >= last[2])
				last = [3]unit.Force{lo, mid, hi}
			}
		}
	}
}

func TestTheTorqueWindowMeetsItsOwnLimits(t *testing.T) {
	need, lost := unit.Force(60e3), unit.Force(2e3)
	q, err := eightM8.LeastTorque(need, lost)
	require.NoError(t, err)
	lo, _, _, err := eightM8.Load(q)
	require.NoError(t, err)
	assert.InEpsilon(t, float64(need/6+lost), float64(lo), 1e-12)

	most, cap, err := eightM8.GreatestTorque(flange.Cap{Why: "the bolt", Load: 15.9e3}, flange.Cap{Why: "the gasket", Load: 12e3})
	require.NoError(t, err)
	assert.Equal(t, "the gasket", cap.Why)
	_, _, hi, err := eightM8.Load(most)
	require.NoError(t, err)
	assert.InEpsilon(t, 12e3, float64(hi), 1e-12)
}

// VDI 2230 worked example, M12, mu 0.14, class 8.8: 41.9 kN uses 90 % of the yield strength of 640 MPa.
func TestTheStressOfTighteningAddsTheTwist(t *testing.T) {
	s, err := flange.TighteningStress(41.9e3, 12*mm, 1.75*mm, 0.14)
	require.NoError(t, err)
	assert.InEpsilon(t, 0.9*640e6, float64(s), 0.005)
	m, err := flange.YieldMargin(s, 640e6)
	require.NoError(t, err)
	assert.InDelta(t, 0.10, float64(m), 0.005)
	a, _ := flange.StressArea(12*mm, 1.75*mm)
	plain, _ := flange.PreloadStress(41.9e3, a)
	assert.Greater(t, float64(s), 1.1*float64(plain))
}

// M12 x 1.25, mu 0.14, 46.8 kN, 101 N m: VDI 2230:2001 table for fine threads. K = 101 / (46.8e3 x 0.012) = 0.180.
func TestFrictionAndNutFactorSayTheSame(t *testing.T) {
	head := flange.Head{Face: 16.63 * mm, Hole: 13.5 * mm}
	k, err := flange.NutFactorOf(0.14, 12*mm, 1.25*mm, head)
	require.NoError(t, err)
	assert.InDelta(t, 0.180, float64(k), 0.002)
	for mu := unit.Ratio(0.04); mu < 0.4; mu += 0.04 {
		k, err := flange.NutFactorOf(mu, 8*mm, 1.25*mm, flange.UsualHead(8*mm))
		require.NoError(t, err)
		back, err := flange.FrictionOf(k, 8*mm, 1.25*mm, flange.UsualHead(8*mm))
		require.NoError(t, err)
		assert.InDelta(t, float64(mu), float64(back), 1e-12)
	}
}

func TestSillyTighteningIsRefusedByName(t *testing.T) {
	bad := func(j flange.Tightening, q unit.Torque) error { _, _, _, err := j.Load(q); return err }
	for want, err := range map[string]error{
		"the torque":                     bad(eightM8, unit.Torque(math.NaN())),
		"the number of bolts":            bad(flange.Tightening{Bolts: 0, Diameter: 8 * mm, K: flange.ExactNutFactor(0.2)}, 10),
		"the bolt diameter":              bad(flange.Tightening{Bolts: 2, Diameter: unit.Length(math.Inf(1)), K: flange.ExactNutFactor(0.2)}, 10),
		"the scatter":                    bad(flange.Tightening{Bolts: 2, Diameter: 8 * mm, K: flange.ExactNutFactor(0.2), Scatter: -1}, 10),
		"the nut factors":                bad(flange.Tightening{Bolts: 2, Diameter: 8 * mm, K: flange.NutFactors{Least: 0.3, Usual: 0.2, Greatest: 0.25}}, 10),
		"the nut factor does not fit":    second(flange.FrictionOf(0.05, 8*mm, 2*mm, flange.UsualHead(8*mm))),
		"the upper limit":                errOf3(eightM8.GreatestTorque()),
		"what the gasket stands":         errOf3(eightM8.GreatestTorque(flange.Cap{Why: "what the gasket stands", Load: 0})),
		"the load of the joint":          second(eightM8.LeastTorque(-1, 0)),
		"the load lost by settling":      second(eightM8.LeastTorque(1, unit.Force(math.NaN()))),
		"the yield strength":             second(flange.YieldMargin(1e6, 0)),
		"the bearing face under the hea": second(flange.FrictionOf(0.2, 8*mm, 1.25*mm, flange.Head{Face: 8 * mm, Hole: 9 * mm})),
	} {
		assert.ErrorContains(t, err, want)
	}
}
