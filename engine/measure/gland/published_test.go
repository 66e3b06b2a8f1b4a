package gland_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/gland"
	"seepwright/rules/unit"
)

// formula is one exported formula on bare numbers (lengths in mm, ratios and SI else), with a worked value.
type formula struct {
	name   string // what the value is and who printed it
	in     []float64
	want   float64
	within float64
	f      func(x []float64) (float64, error)
}

func l(x float64) unit.Length { return unit.Length(x) * mm }

func inMM(v unit.Length, err error) (float64, error)   { return v.Millimetres(), err }
func inShare(v unit.Ratio, err error) (float64, error) { return float64(v), err }

var formulas = []formula{
	{"squeeze 0.70 of cord 3.0 in 2.3: O-ring lexicon page", []float64{3.0, 2.3}, 0.70, 0.005, func(x []float64) (float64, error) { return inMM(gland.SqueezeDepth(l(x[0]), l(x[1]))) }},
	{"squeeze 25 % of cord 2.0 at 1.5: article on compression", []float64{2.0, 1.5}, 0.25, 1e-9, func(x []float64) (float64, error) { return inShare(gland.Squeeze(l(x[0]), l(x[1]))) }},
	{"gland depth of a rod gland 46.00 / 40.40: geometry", []float64{46, 40.4}, 2.80, 0.002, func(x []float64) (float64, error) { return inMM(gland.Depth(l(x[0]), l(x[1]))) }},
	{"face depth with a gap: geometry", []float64{2.7, 0.1}, 2.80, 1e-9, func(x []float64) (float64, error) { return inMM(gland.FaceDepth(l(x[0]), l(x[1]))) }},
	{"stretch 6.21 % of a 58 mm ring on 61.6: design note", []float64{58, 61.6}, 0.0621, 0.0001, func(x []float64) (float64, error) { return inShare(gland.Stretch(l(x[0]), l(x[1]))) }},
	{"section loss 4.04 % at 6.21 %: the same note", []float64{0.0621}, 0.0404, 0.0002, func(x []float64) (float64, error) { return inShare(gland.SectionLoss(unit.Ratio(x[0]))) }},
	{"section 5.09 after 4.04 %: the same note", []float64{5.3, 0.0404}, 5.09, 0.01, func(x []float64) (float64, error) { return inMM(gland.SectionAfterLoss(l(x[0]), unit.Ratio(x[1]))) }},
	{"half of the stretch: published rule of thumb", []float64{0.04}, 0.02, 1e-12, func(x []float64) (float64, error) { return inShare(gland.SectionLossRule(unit.Ratio(x[0]))) }},
	{"5 % on a ring of 0.984 in: 1.0332 in", []float64{0.984 * 25.4, 0.05}, 1.0332 * 25.4, 0.005, func(x []float64) (float64, error) { return inMM(gland.GreatestGroove(l(x[0]), unit.Ratio(x[1]))) }},
	{"torus of constant volume 24.99 x 3.53 on 26.00: 3.4725", []float64{24.99, 3.53, 26}, 3.4725, 0.0005, func(x []float64) (float64, error) { return inMM(gland.StretchedSection(l(x[0]), l(x[1]), l(x[2]))) }},
	{"outside diameter of -214: 1.262 in", []float64{0.984 * 25.4, 0.139 * 25.4}, 1.262 * 25.4, 0.01, func(x []float64) (float64, error) { return inMM(gland.OutsideDiameter(l(x[0]), l(x[1]))) }},
	{"class B tolerance at 80 mm: 0.69, ISO 3601-1 annex", []float64{80}, 0.69, 0.006, func(x []float64) (float64, error) { return inMM(gland.ClassBTolerance(l(x[0]))) }},
	{"fill 73.1 % of 3.53 in 2.82 x 4.75", []float64{3.53, 2.82, 4.75}, 0.731, 0.001, func(x []float64) (float64, error) { return inShare(gland.FillArea(l(x[0]), l(x[1]), l(x[2]))) }},
	{"fill by volume 73.4 %", []float64{24.99, 3.53, 25.40, 31.04, 4.78}, 0.734, 0.001, func(x []float64) (float64, error) {
		return inShare(gland.FillVolume(l(x[0]), l(x[1]), l(x[2]), l(x[3]), l(x[4])))
	}},
	{"fill at maximum material 77.3 %", []float64{3.43, 3.63, 2.819, 2.87, 4.75, 5}, 0.773, 0.001, func(x []float64) (float64, error) {
		return inShare(gland.FillMaxMaterial(gland.Span{Min: l(x[0]), Max: l(x[1])}, gland.Span{Min: l(x[2]), Max: l(x[3])}, gland.Span{Min: l(x[4]), Max: l(x[5])}))
	}},
	{"73.1 % with 15 % swell: 84.0 %", []float64{0.731, 0.15}, 0.840, 0.001, func(x []float64) (float64, error) {
		return inShare(gland.FillSwollen(unit.Ratio(x[0]), unit.Ratio(x[1])))
	}},
	{"3.53 with 20 % swell: 3.751", []float64{3.53, 0.20}, 3.751, 0.002, func(x []float64) (float64, error) { return inMM(gland.SwollenSection(l(x[0]), unit.Ratio(x[1]))) }},
	{"16e-5 per kelvin over 80 K: 3.84 % of volume", []float64{16e-5, 80}, 0.0384, 1e-4, func(x []float64) (float64, error) {
		return inShare(gland.VolumeGrowth(unit.Expansion(x[0]), unit.Kelvin(x[1])))
	}},
	{"3.53, 16e-5, 80 K: 0.0452", []float64{3.53, 16e-5, 80}, 0.0452, 5e-4, func(x []float64) (float64, error) {
		return inMM(gland.SectionChange(l(x[0]), unit.Expansion(x[1]), unit.Kelvin(x[2])))
	}},
	{"3.53 in 3.10, 50 K colder: 11.69 %", []float64{3.53, 3.10, 11.2e-5, -50}, 0.1169, 2e-4, func(x []float64) (float64, error) {
		return inShare(gland.SqueezeAt(l(x[0]), l(x[1]), unit.Expansion(x[2]), unit.Kelvin(x[3])))
	}},
	{"TR10 -24 C, static: -32 C, published rule", []float64{-24}, -32, 1, func(x []float64) (float64, error) {
		c, err := gland.ColdLimit(unit.Celsius(x[0]))
		return float64(c), err
	}},
	{"TR10 -24 C, moving: -24 C, published rule", []float64{-24}, -24, 1, func(x []float64) (float64, error) {
		c, err := gland.ColdLimitMoving(unit.Celsius(x[0]))
		return float64(c), err
	}},
	{"set 50 %: 3.53, 2.65, 3.09, ISO 815 form", []float64{3.53, 2.65, 3.09}, 0.50, 0.001, func(x []float64) (float64, error) {
		return inShare(gland.CompressionSet(l(x[0]), l(x[1]), l(x[2])))
	}},
	{"height after 50 % set: 3.115", []float64{3.53, 2.70, 0.5}, 3.115, 0.002, func(x []float64) (float64, error) {
		return inMM(gland.HeightAfterSet(l(x[0]), l(x[1]), unit.Ratio(x[2])))
	}},
	{"squeeze if refitted at 85 % set: 4.4 %", []float64{3.53, 2.70, 0.85}, 0.044, 0.001, func(x []float64) (float64, error) {
		return inShare(gland.SqueezeAfterSet(l(x[0]), l(x[1]), unit.Ratio(x[2])))
	}},
	{"follow-up 0.71 at 20 %: by hand", []float64{3.53, 2.824, 0}, 0.706, 0.001, func(x []float64) (float64, error) {
		return inMM(gland.FollowUp(l(x[0]), l(x[1]), unit.Ratio(x[2])))
	}},
	{"modulus 5.52 MPa at 70 Shore A: relation of 1958", []float64{70}, 5.52e6, 0.066e6, func(x []float64) (float64, error) {
		p, err := gland.Modulus(unit.Hardness(x[0]))
		return float64(p), err
	}},
	{"modulus 3.43 MPa at 50 Shore A: log relation", []float64{50}, 3.43e6, 0.02e6, func(x []float64) (float64, error) {
		p, err := gland.ModulusLog(unit.Hardness(x[0]))
		return float64(p), err
	}},
	{"line load 2.241 N/mm at 20 %: relation of 1966", []float64{3.53, 5.52e6, 0.2}, 2241, 10, func(x []float64) (float64, error) {
		q, err := gland.LineLoad(l(x[0]), unit.Pressure(x[1]), unit.Ratio(x[2]))
		return float64(q), err
	}},
	{"closing force 294 N of 24.99 x 3.53 at 25 %", []float64{3283, 24.99, 3.53}, 294, 2, func(x []float64) (float64, error) {
		q, err := gland.CloseForce(unit.LineLoad(x[0]), l(x[1]), l(x[2]))
		return float64(q), err
	}},
	{"contact width 1.69 at 20 %: from memory", []float64{3.53, 0.2}, 1.69, 0.01, func(x []float64) (float64, error) { return inMM(gland.ContactWidth(l(x[0]), unit.Ratio(x[1]))) }},
	{"contact width 1.63 by line contact", []float64{3.53, 0.2}, 1.63, 0.02, func(x []float64) (float64, error) { return inMM(gland.ContactWidthLine(l(x[0]), unit.Ratio(x[1]))) }},
	{"push-out 113 N a bar at 38 mm: force balance", []float64{38, 1e5}, 113, 0.5, func(x []float64) (float64, error) {
		f, err := gland.PushOut(l(x[0]), unit.Pressure(x[1]))
		return float64(f), err
	}},
	{"0.3 mm over 20 mm leans 0.86 degrees: by hand", []float64{0.3, 20}, 0.86 * math.Pi / 180, 1e-4, func(x []float64) (float64, error) {
		a, err := gland.Tilt(l(x[0]), l(x[1]))
		return float64(a), err
	}},
	{"which is 4.5 mm at 300 mm: by hand", []float64{0.3, 20, 300}, 4.5, 1e-9, func(x []float64) (float64, error) { return inMM(gland.Sideways(l(x[0]), l(x[1]), l(x[2]))) }},
	{"hard over in 31.04 with a spigot of 30.94: 18.7 % of 3.53", []float64{3.53, 25.40, 31.04, 30.94}, 0.187 * 3.53, 0.004, func(x []float64) (float64, error) {
		return inMM(gland.SqueezeHardOver(l(x[0]), l(x[1]), l(x[2]), l(x[3])))
	}},
	{"offset 0.05 of a run-out of 0.10: definition", []float64{0.10}, 0.05, 1e-9, func(x []float64) (float64, error) { return inMM(gland.OffsetFromRunout(l(x[0]))) }},
	{"ovality 1.44 that leaves 0.35", []float64{3.53, 25.40, 31.04, 0.35}, 1.44, 0.01, func(x []float64) (float64, error) {
		return inMM(gland.GreatestOvality(l(x[0]), l(x[1]), l(x[2]), l(x[3])))
	}},
	{"silicone, half of 0.010 in: O-ring handbook, section IV", []float64{0.254}, 0.127, 1e-9, func(x []float64) (float64, error) { return inMM(gland.SiliconeGap(l(x[0]))) }},
}

func TestEachFormulaGivesItsPublishedValue(t *testing.T) {
	for _, c := range formulas {
		got, err := c.f(c.in)
		require.NoError(t, err, c.name)
		assert.InDelta(t, c.want, got, c.within, c.name)
	}
}

func TestWhatIsNotANumberIsRefusedInEveryPlace(t *testing.T) {
	for _, c := range formulas {
		for i := range c.in {
			for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
				x := append([]float64(nil), c.in...)
				x[i] = bad
				_, err := c.f(x)
				require.Error(t, err, "%s: place %d is %g", c.name, i, bad)
				assert.Greater(t, len(err.Error()), 15, c.name)
			}
		}
	}
}
