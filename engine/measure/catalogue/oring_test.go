package catalogue

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/unit"
)

// ring runs a calculation of rings on texts with units, without doubt of the readings.
func ring(t *testing.T, name string, texts map[string]string) (Out, error) {
	t.Helper()
	c, ok := ByName(name)
	require.True(t, ok, name)
	c.Example = texts
	return c.Run(example(t, c, 0))
}

// fromMaker runs a calculation with every limit that is typed taken as the maker's, on an invented page.
func fromMaker(t *testing.T, name string, texts map[string]string) Out {
	t.Helper()
	c, ok := ByName(name)
	require.True(t, ok, name)
	c.Example = texts
	in := example(t, c, 0)
	in.Maker = map[string]string{}
	for _, limit := range c.LimitInputs() {
		if texts[limit] != "" {
			in.Maker[limit] = "page 7"
		}
	}
	out, err := c.Run(in)
	require.NoError(t, err)
	return out
}

func rung(t *testing.T, name string, texts map[string]string) Out {
	t.Helper()
	o, err := ring(t, name, texts)
	require.NoError(t, err)
	return o
}

func TestRingsAgreeWithPublishedGlands(t *testing.T) {
	t.Run("MIL-G-5514F gland for a 0.139 in section, in inches: 8.5 to 15.0 %", func(t *testing.T) {
		o := rung(t, "oring-fit", map[string]string{"cord": "0.139 in", "cord-tolerance": "0.004 in", "bore-diameter": "1.679 in", "bore-tolerance": "0.001 in", "groove-diameter": "1.434 in", "groove-tolerance": "0.001 in", "duty": "moving"})
		assert.InDelta(t, 0.085, o.Num["squeeze-min"].SI, 0.001)
		assert.InDelta(t, 0.150, o.Num["squeeze-max"].SI, 0.001)
		assert.Equal(t, OK, o.Verdict, "8 and 16 % for a moving ring: %s", o.Sentence)
	})
	t.Run("the same gland is wanting in squeeze as a static one", func(t *testing.T) {
		o := rung(t, "oring-fit", map[string]string{"cord": "0.139 in", "cord-tolerance": "0.004 in", "bore-diameter": "1.679 in", "bore-tolerance": "0.001 in", "groove-diameter": "1.434 in", "groove-tolerance": "0.001 in"})
		assert.Equal(t, TooSmall, o.Verdict, o.Sentence)
	})
	t.Run("design note on a 58 x 5.3 ring: stretch 6.21 %, section 5.09, squeeze 17.4 %; above 5 % is not recommended", func(t *testing.T) {
		o := rung(t, "oring-fit", map[string]string{"cord": "5.3 mm", "ring-id": "58 mm", "groove-diameter": "61.6 mm", "bore-diameter": "70 mm"})
		assert.InDelta(t, 0.0621, o.Num["stretch"].SI, 0.0001)
		assert.InDelta(t, 5.09e-3, o.Num["cord-stretched"].SI, 0.01e-3)
		assert.InDelta(t, 0.174, o.Num["squeeze-stretched"].SI, 0.001)
		assert.Equal(t, TooLarge, o.Verdict, o.Sentence)
	})
	t.Run("face gland of the published tables: 0.139 in, 0.100 to 0.108 deep, 0.027 to 0.043 in of squeeze", func(t *testing.T) {
		o := rung(t, "oring-face-fit", map[string]string{"cord": "0.139 in", "cord-tolerance": "0.004 in", "groove-depth": "0.104 in", "depth-tolerance": "0.004 in"})
		assert.InDelta(t, 0.027/0.135, o.Num["squeeze-min"].SI, 0.001)
		assert.InDelta(t, 0.043/0.143, o.Num["squeeze-max"].SI, 0.001)
	})
}

func TestARingBelongsAgainstTheWallThatPressurePushesItTo(t *testing.T) {
	base := map[string]string{"cord": "3.53 mm", "ring-id": "39.6 mm", "groove-depth": "2.7 mm"}
	with := func(side, wall string) Out {
		in := map[string]string{"pressure-side": side, "wall-diameter": wall}
		for k, v := range base {
			in[k] = v
		}
		return rung(t, "oring-face-seat", in)
	}
	// outside diameter 46.66: 0 to 3 % lies from 45.26 to 46.66
	o := with("inside", "46.0 mm")
	assert.Equal(t, OK, o.Verdict, o.Sentence)
	assert.InDelta(t, 46.66e-3*0.97, o.Num["best-wall-from"].SI, 1e-9)
	assert.InDelta(t, 46.66e-3, o.Num["best-wall-to"].SI, 1e-9)
	assert.Equal(t, TooSmall, with("inside", "47.0 mm").Verdict, "it does not reach the wall")
	assert.Equal(t, TooLarge, with("inside", "45.0 mm").Verdict, "more than 3 %")
	// outside pressure: 0 to 5 % of stretch lies from 39.6 to 41.58
	o = with("outside", "40.4 mm")
	assert.Equal(t, OK, o.Verdict, o.Sentence)
	assert.InDelta(t, 39.6e-3*1.05, o.Num["best-wall-to"].SI, 1e-9)
	assert.Equal(t, TooLarge, with("outside", "42 mm").Verdict)
	assert.Equal(t, TooSmall, with("outside", "39 mm").Verdict)
}

func TestTheStricterExtrusionTableIsNamedAndTheOthersAreShown(t *testing.T) {
	o := rung(t, "oring-extrusion", map[string]string{"hardness": "70 Shore A", "pressure": "3 MPa", "clearance": "0.36 mm"})
	assert.Equal(t, "jis-b-2406", o.Text["strictest-table"])
	assert.InDelta(t, 0.35e-3, o.Num["greatest-clearance"].SI, 1e-9)
	assert.Equal(t, TooLarge, o.Verdict, "0.406 of the other table would have let it pass")
	assert.Len(t, o.Cited, 4, "three tables that decide and the cautious one")
	assert.InDelta(t, 0.36e-3, o.Num["gap-off-centre"].SI, 1e-12, "off centre all of it is on one side")

	// seal design guide, example: 70 Shore A, 1000 psi, 0.016 in fails
	o = rung(t, "oring-extrusion", map[string]string{"hardness": "70 Shore A", "pressure": "1000 psi", "clearance": "0.016 in"})
	assert.Equal(t, TooLarge, o.Verdict)

	// O-ring handbook, section IV: silicone, half
	whole := rung(t, "oring-extrusion", map[string]string{"hardness": "70 Shore A", "pressure": "6 MPa", "clearance": "0.1 mm"})
	half := rung(t, "oring-extrusion", map[string]string{"hardness": "70 Shore A", "pressure": "6 MPa", "clearance": "0.1 mm", "rubber": "silicone"})
	assert.InDelta(t, whole.Num["greatest-clearance"].SI/2, half.Num["greatest-clearance"].SI, 1e-12)
	assert.Less(t, half.Num["greatest-pressure"].SI, whole.Num["greatest-pressure"].SI)

	o = rung(t, "oring-extrusion", map[string]string{"hardness": "60 Shore A", "pressure": "3 MPa", "clearance": "0.1 mm"})
	assert.Equal(t, "design-chapter", o.Text["strictest-table"], "the only one that has 60")

	_, err := ring(t, "oring-extrusion", map[string]string{"hardness": "70 Shore A", "pressure": "40 MPa"})
	assert.ErrorContains(t, err, "ends at")
}

func TestTheLeadInNamesTheRowItUsed(t *testing.T) {
	o := rung(t, "oring-lead-in", map[string]string{"cord": "3.40 mm", "lead-in": "2 mm"})
	assert.InDelta(t, 3.53e-3, o.Num["row-used"].SI, 1e-9)
	assert.Equal(t, TooSmall, o.Verdict)
	assert.Contains(t, o.Notes[0], "next larger one, 3.53 mm")
	_, err := ring(t, "oring-lead-in", map[string]string{"cord": "9 mm"})
	assert.ErrorContains(t, err, "outside the table")
}

func TestColdAndHeatAreJudgedByTheRubber(t *testing.T) {
	base := map[string]string{"cord": "3.53 mm", "groove-diameter": "25.4 mm", "bore-diameter": "31.6 mm", "rubber": "fkm", "coldest": "-30 C", "hottest": "100 C"}
	o := rung(t, "oring-heat", base)
	assert.Equal(t, TooSmall, o.Verdict, "fkm to -15 C only: %s", o.Sentence)
	base["coldest"], base["rubber"] = "-20 C", "nbr"
	o = rung(t, "oring-heat", base)
	assert.Equal(t, OK, o.Verdict, o.Sentence)
	assert.Less(t, o.Num["squeeze-cold"].SI, o.Num["squeeze-cold-free"].SI)
	base["rubber"] = "hnbr"
	_, err := ring(t, "oring-heat", base)
	assert.ErrorContains(t, err, "rubber-expansion", "the table has no expansion of it")
	base["rubber-expansion"] = "15e-5 1/K"
	rung(t, "oring-heat", base)
	base["hottest"] = "-40 C"
	_, err = ring(t, "oring-heat", base)
	assert.ErrorContains(t, err, "below the coldest")

	// published rule: TR10 = -24 C, static to -32 C, moving to -24 C
	assert.InDelta(t, -32, rung(t, "oring-cold-limit", map[string]string{"retraction-temperature": "-24 C"}).Num["cold-limit"].SI, 1e-9)
	assert.InDelta(t, -24, rung(t, "oring-cold-limit", map[string]string{"retraction-temperature": "-24 C", "duty": "moving"}).Num["cold-limit"].SI, 1e-9)

	o = rung(t, "rubber-temperature", map[string]string{"rubber": "nbr", "hottest": "90 C"})
	assert.Equal(t, OK, o.Verdict)
	o = rung(t, "rubber-temperature", map[string]string{"rubber": "nbr", "hottest": "90 C", "medium": "hot-water"})
	assert.Equal(t, TooLarge, o.Verdict, "80 C in hot water")
	_, err = ring(t, "rubber-temperature", map[string]string{"rubber": "nbr", "medium": "steam"})
	assert.ErrorContains(t, err, "not for it")
}

// Closed forms, by hand, of 3.53 in a gland 2.82 deep with 10 % wanted.
func TestSolvedLimitsOfARadialGland(t *testing.T) {
	o := rung(t, "oring-limits", map[string]string{"cord": "3.53 mm", "groove-diameter": "25.40 mm", "bore-diameter": "31.04 mm", "groove-width": "4.75 mm", "least-squeeze": "10 %", "least-squeeze-mm": "0 mm", "greatest-fill": "73.1 %"})
	mm := func(name string) float64 { return o.Num[name].SI * 1e3 }
	assert.InDelta(t, 25.40+2*3.53*0.9, mm("largest-bore"), 1e-9)
	assert.InDelta(t, 31.04-2*3.53*0.9, mm("smallest-groove"), 1e-9)
	assert.InDelta(t, 2.82/0.9, mm("thinnest-cord"), 1e-9)
	assert.InDelta(t, 3.53-0.353-2.82, mm("greatest-offset"), 1e-9)
	assert.InDelta(t, 2*(3.53-0.353-2.82), mm("greatest-clearance"), 1e-9)
	assert.InDelta(t, 4.75, mm("narrowest-groove"), 0.01, "reference row: 73.1 % full at 4.75")
	assert.InDelta(t, 1-0.353/0.71, o.Num["greatest-set"].SI, 1e-9)
	// reference row: least squeeze 0.35 mm, mean bore 31.04: ovality 1.44
	o = rung(t, "oring-limits", map[string]string{"cord": "3.53 mm", "groove-diameter": "25.40 mm", "bore-diameter": "31.04 mm", "least-squeeze": "0 %", "least-squeeze-mm": "0.35 mm"})
	assert.InDelta(t, 1.44, o.Num["greatest-ovality"].SI*1e3, 0.005)
	// a bore that is too large even when round still gets its other limits
	o = rung(t, "oring-limits", map[string]string{"cord": "3.53 mm", "groove-diameter": "25.40 mm", "bore-diameter": "32.2 mm"})
	assert.Equal(t, TooSmall, o.Verdict, o.Sentence)
	_, ok := o.Num["greatest-ovality"]
	assert.False(t, ok)
}

func TestSwellIsFoundFromTwoCords(t *testing.T) {
	// reference row: 3.53 with 20 % swell is 3.751
	o := rung(t, "oring-swell", map[string]string{"cord": "3.751 mm", "dry-cord": "3.53 mm", "gland-depth": "2.82 mm", "groove-width": "4.75 mm"})
	assert.InDelta(t, 0.20, o.Num["swell-used"].SI, 0.001)
	assert.Equal(t, OK, o.Verdict, o.Sentence)
	o = rung(t, "oring-swell", map[string]string{"cord": "3.751 mm", "dry-cord": "3.53 mm", "gland-depth": "2.82 mm", "groove-width": "4.75 mm", "duty": "moving"})
	assert.Equal(t, TooLarge, o.Verdict, "15 % is the limit of a moving ring")
	o = rung(t, "oring-swell", map[string]string{"cord": "3.53 mm", "swell": "-5 %", "gland-depth": "2.82 mm", "groove-width": "4.75 mm"})
	assert.Equal(t, TooLarge, o.Verdict, "shrinks by more than 3 %: %s", o.Sentence)
}

func TestPublishedGlandsAreLookedUpWithinTheTolerance(t *testing.T) {
	o := rung(t, "oring-gland", map[string]string{"cord": "3.5 mm", "duty": "face", "gland-depth": "2.9 mm"})
	assert.InDelta(t, 0.100*25.4, o.Num["depth-from"].SI*1e3, 1e-9)
	assert.InDelta(t, 0.108*25.4, o.Num["depth-to"].SI*1e3, 1e-9)
	assert.Equal(t, TooLarge, o.Verdict)
	_, err := ring(t, "oring-gland", map[string]string{"cord": "5.0 mm", "duty": "static"})
	assert.ErrorContains(t, err, "metric table has depth 4 mm", "a metric section is an answer of its own")
	_, err = ring(t, "oring-gland", map[string]string{"cord": "9 mm", "duty": "static"})
	assert.ErrorContains(t, err, "no published gland")
}

func TestSurfaceSchoolsStandSideBySide(t *testing.T) {
	o := rung(t, "oring-surface", map[string]string{"duty": "static", "roughness": "1.2 um"})
	assert.InDelta(t, 0.8e-6, o.Num["strict-roughness"].SI, 1e-12)
	assert.InDelta(t, 1.6e-6, o.Num["wide-roughness"].SI, 1e-12)
	assert.Equal(t, OK, o.Verdict)
	assert.NotEmpty(t, o.Notes)
	o = rung(t, "oring-surface", map[string]string{"duty": "static", "fluid": "gas", "roughness": "0.6 um"})
	assert.Equal(t, TooLarge, o.Verdict, "0.4 for gas: %s", o.Sentence)
}

func TestTheTaperedBoreIsReadAtTheRing(t *testing.T) {
	texts := map[string]string{"cord": "3.53 mm", "groove-diameter": "25.4 mm", "top": "12:00 = 31.30 mm; 3:00 = 31.30 mm; 6:00 = 31.30 mm", "low": "12:00 = 31.10 mm; 3:00 = 31.10 mm; 6:00 = 31.10 mm", "top-depth": "2 mm", "low-depth": "12 mm", "ring-depth": "7 mm"}
	o := rung(t, "oring-taper-squeeze", texts)
	assert.InDelta(t, 31.2e-3, o.Num["bore-at-ring"].SI, 1e-9)
	assert.InDelta(t, 0.63e-3, o.Num["least-squeeze-mm"].SI, 1e-8, "3.53 - (31.20 - 25.40)/2")
	texts["ring-depth"] = "13 mm"
	_, err := ring(t, "oring-taper-squeeze", texts)
	assert.ErrorContains(t, err, "outside the measured depths")
}

func TestContactAgreesWithTheDesignNote(t *testing.T) {
	// cord 2.0, 70 Shore A, 25 %: 1.86 N/mm
	o := rung(t, "oring-contact", map[string]string{"cord": "2.0 mm", "gland-depth": "1.5 mm", "hardness": "70 Shore A"})
	assert.InDelta(t, 1860, o.Num["line-load"].SI, 20)
	assert.Greater(t, o.Num["peak-pressure"].SI, o.Num["mean-pressure"].SI)
	_, err := ring(t, "oring-contact", map[string]string{"cord": "2.0 mm", "gland-depth": "0.9 mm", "hardness": "70 Shore A"})
	assert.ErrorContains(t, err, "0 to 50 %")
	_, err = ring(t, "oring-contact", map[string]string{"cord": "2.0 mm", "gland-depth": "1.5 mm", "hardness": "95 Shore A"})
	assert.ErrorContains(t, err, "20 to 90")
}

// Every size of every calculation of rings, made nonsense one at a time, is refused or leaves no figure that is not a number.
func TestNonsenseSizesAreRefusedByName(t *testing.T) {
	for _, list := range []func() []Calculation{orings, ringRods, ringSeats, ringGaps, ringHeat, ringContact, ringLimits, ringGlands} {
		for _, c := range list() {
			for _, d := range c.Inputs {
				if d.Dim != unit.LengthDim || d.Rows {
					continue
				}
				for _, bad := range []float64{math.NaN(), math.Inf(1), -1e-3} {
					in := example(t, c, 0)
					in.Solve = false
					in.Num[d.Name] = Num{SI: bad}
					o, err := c.Run(in)
					for k, v := range o.Num {
						assert.False(t, math.IsNaN(v.SI) || math.IsInf(v.SI, 0), "%s with %s = %g: %s", c.Name, d.Name, bad, k)
					}
					if err == nil && (bad != -1e-3 || !c.isLimit(d.Name)) {
						t.Errorf("%s lets %s = %g pass: %s", c.Name, d.Name, bad, o.Sentence)
					}
				}
			}
		}
	}
}

func TestLocalSqueezeCountsStretchRunoutAndAnOvalGroove(t *testing.T) {
	texts := map[string]string{"cord": "3.53 mm", "groove-diameter": "25.40 mm", "bore": "12:00 = 31.00 mm; 1:30 = 31.10 mm; 3:00 = 31.20 mm; 4:30 = 31.10 mm"}
	plain := rung(t, "oring-local-squeeze", texts)
	assert.InDelta(t, 0.630e-3, plain.Num["least-squeeze-mm"].SI, 1e-8, "reference row: oval bore, concentric")
	texts["runout"] = "0.10 mm"
	out := rung(t, "oring-local-squeeze", texts)
	assert.InDelta(t, 0.580e-3, out.Num["least-squeeze-mm"].SI, 1e-8, "half of the run-out, on the worst side")
	texts["groove"] = "12:00 = 25.50 mm; 1:30 = 25.40 mm; 3:00 = 25.30 mm; 4:30 = 25.40 mm"
	assert.InDelta(t, 0.530e-3, rung(t, "oring-local-squeeze", texts).Num["least-squeeze-mm"].SI, 1e-8, "crossed ovals add up")
	delete(texts, "groove")
	delete(texts, "runout")
	texts["ring-id"] = "24.99 mm"
	thin := rung(t, "oring-local-squeeze", texts)
	fit := rung(t, "oring-fit", map[string]string{"cord": "3.53 mm", "groove-diameter": "25.40 mm", "bore-diameter": "31.2 mm", "ring-id": "24.99 mm"})
	assert.InDelta(t, fit.Num["cord-stretched"].SI, thin.Num["cord-used"].SI, 1e-15)
	assert.InDelta(t, fit.Num["cord-stretched"].SI-2.9e-3, thin.Num["least-squeeze-mm"].SI, 1e-8)
}

func TestTheCordSolvedForIsTheThinnestCord(t *testing.T) {
	o := rung(t, "oring-limits", map[string]string{"cord": "3.53 mm", "groove-diameter": "25.40 mm", "bore-diameter": "31.04 mm", "set": "60 %"})
	assert.Equal(t, TooSmall, o.Verdict, o.Sentence)
	assert.InDelta(t, 2.82e-3/0.75, o.Num["thinnest-cord"].SI, 1e-9, "10 % after 60 % set is 25 % when new")
	assert.InDelta(t, o.Num["thinnest-cord"].SI, target(t, o, "cord").Least.SI, 1e-9)
	assert.InDelta(t, o.Num["largest-bore"].SI, target(t, o, "bore-diameter").Greatest.SI, 1e-9)
	assert.InDelta(t, o.Num["smallest-groove"].SI, target(t, o, "groove-diameter").Least.SI, 1e-9)
	f := rung(t, "oring-face-limits", map[string]string{"cord": "3.53 mm", "groove-depth": "2.70 mm", "groove-width": "4.8 mm", "face-gap": "0 mm"})
	assert.InDelta(t, f.Num["deepest-groove"].SI, target(t, f, "groove-depth").Greatest.SI, 1e-9)
	assert.InDelta(t, f.Num["greatest-gap"].SI, target(t, f, "face-gap").Greatest.SI, 1e-9)
}

func TestTheShapeOfTheGrooveChangesItsFill(t *testing.T) {
	square := map[string]string{"cord": "3.53 mm", "gland-depth": "2.82 mm", "groove-width": "4.75 mm"}
	o := rung(t, "oring-groove-fill", square)
	assert.InDelta(t, 0.731, o.Num["fill"].SI, 0.001, "reference row: 73.1 %")
	square["corner-radius"] = "0.8 mm"
	assert.Greater(t, rung(t, "oring-groove-fill", square).Num["fill"].SI, o.Num["fill"].SI)
	square["side-slope"] = "24 deg"
	_, err := ring(t, "oring-groove-fill", square)
	assert.ErrorContains(t, err, "dovetail")
	// maximum material of the reference rows: 3.63, 2.819, 4.750, 77.3 %
	o = rung(t, "oring-groove-fill", map[string]string{"cord": "3.53 mm", "cord-tolerance": "0.10 mm", "gland-depth": "2.8445 mm", "depth-tolerance": "0.0255 mm", "groove-width": "4.8135 mm", "width-tolerance": "0.0635 mm"})
	assert.InDelta(t, 0.773, o.Num["fill-max"].SI, 0.001)
}

func TestARodGlandIsReadRoundTheClockToo(t *testing.T) {
	// groove of the housing 46.00 to 46.10, rod 40.40, clearance 0.10: widest depth 2.85, 0.05 off
	o := rung(t, "oring-local-squeeze", map[string]string{"cord": "3.53 mm", "groove-diameter": "40.40 mm", "bore": "12:00 = 46.00 mm; 1:30 = 46.05 mm; 3:00 = 46.10 mm; 4:30 = 46.05 mm", "clearance": "0.10 mm"})
	assert.InDelta(t, 0.63e-3, o.Num["least-squeeze-mm"].SI, 1e-8)
}

func TestTheMakersLeastSqueezeHoldsForTheStretchedRingToo(t *testing.T) {
	texts := map[string]string{"cord": "3.53 mm", "groove-diameter": "25.40 mm", "bore-diameter": "31.85 mm", "ring-id": "24.99 mm", "least-squeeze": "5 %"}
	o := fromMaker(t, "oring-fit", texts)
	assert.Equal(t, OK, o.Verdict, "8.6 and 7.3 %%: %s", o.Sentence)
	o = rung(t, "oring-fit", texts)
	assert.Equal(t, TooSmall, o.Verdict, "a figure of the person's own does not loosen ours")
	assert.Contains(t, o.Limits[0].From, "is looser")
	delete(texts, "least-squeeze")
	assert.Equal(t, TooSmall, rung(t, "oring-fit", texts).Verdict, "10 %% is ours")
}

func TestARodFitIsHeldByItsOutside(t *testing.T) {
	// reference row: groove 46.00, rod 40.40, depth 2.80
	o := rung(t, "oring-rod-fit", map[string]string{"cord": "3.53 mm", "groove-diameter": "46.00 mm", "rod-diameter": "40.40 mm", "ring-id": "39.60 mm"})
	assert.InDelta(t, 2.80e-3, o.Num["gland-depth"].SI, 1e-9)
	assert.InDelta(t, 0.66/46.66, o.Num["interference"].SI, 1e-9, "(39.60 + 7.06 - 46.00) / 46.66")
	assert.Equal(t, OK, o.Verdict, o.Sentence)
	o = rung(t, "oring-rod-fit", map[string]string{"cord": "3.53 mm", "groove-diameter": "46.00 mm", "rod-diameter": "40.40 mm", "ring-id": "38.50 mm"})
	assert.Equal(t, TooSmall, o.Verdict, "it hangs loose in its groove")
	assert.NotEmpty(t, o.Notes)
	o = rung(t, "oring-rod-fit", map[string]string{"cord": "3.53 mm", "groove-diameter": "46.00 mm", "rod-diameter": "40.40 mm", "ring-id": "41.00 mm"})
	assert.Equal(t, TooLarge, o.Verdict, "more than 2 %% buckles")
}

func TestSpecialCompoundsAreNamedWhereTheCommonOnesEnd(t *testing.T) {
	o := rung(t, "rubber-temperature", map[string]string{"rubber": "fkm", "coldest": "-30 C"})
	assert.Equal(t, TooSmall, o.Verdict)
	assert.Contains(t, strings.Join(o.Notes, " "), "Special compounds of FKM go down to -35 C")
}

// A gland made to a published table must not be called bad by the limits that hold when the person gives none.
func TestPublishedGlandsAreNotAccused(t *testing.T) {
	inch := func(x float64) string { return unit.Show(x/float64(unit.Inch), 9) + " in" }
	seen := 0
	for name, calc := range map[string]string{"oring-gland-static": "oring-fit", "oring-gland-face": "oring-face-fit", "oring-gland-dynamic": "oring-fit"} {
		tab, err := builtIn{}.Table(name)
		require.NoError(t, err)
		for _, r := range tab.Rows() {
			v := func(head string) float64 { x, _ := r.SI(head); return x }
			if r.Text("note") != "" {
				continue // 0.020 in, whose tolerance is misprinted
			}
			lo, hi := v("depth_min_in"), v("depth_max_in")
			texts := map[string]string{"cord": inch(v("cs_in")), "cord-tolerance": inch(v("cs_tol_in"))}
			if calc == "oring-face-fit" {
				texts["groove-depth"], texts["depth-tolerance"] = inch((lo+hi)/2), inch((hi-lo)/2)
			} else {
				groove := 10 * v("cs_in")
				texts["groove-diameter"], texts["bore-diameter"], texts["bore-tolerance"] = inch(groove), inch(groove+lo+hi), inch(hi-lo)
			}
			if name == "oring-gland-dynamic" {
				texts["duty"] = "moving"
			}
			o := rung(t, calc, texts)
			assert.Equal(t, OK, o.Verdict, "%s line %d: %s", name, r.Line(), o.Sentence)
			seen++
		}
	}
	assert.Equal(t, 46, seen)
}
