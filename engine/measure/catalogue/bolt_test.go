package catalogue

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/unit"
)

// asked runs a calculation on texts with unit, as a person would type them.
func asked(t *testing.T, name string, texts map[string]string) (Out, error) {
	t.Helper()
	c, ok := ByName(name)
	require.True(t, ok, name)
	c.Example = texts
	in := example(t, c, 0)
	in.Solve = false
	return c.Run(in)
}

func answered(t *testing.T, name string, texts map[string]string) Out {
	t.Helper()
	out, err := asked(t, name, texts)
	require.NoError(t, err)
	return out
}

func TestWordsForABoltTakeItsFiguresFromTheTables(t *testing.T) {
	out := answered(t, "bolt-load", map[string]string{"torque": "20 N m", "thread": "m8", "class": "8.8", "lubrication": "anti-seize", "method": "torque-wrench"})
	assert.InDelta(t, 20/(0.12*0.008), out.Num["load"].SI, 1e-6, "0.12 with anti-seize, Shigley Table 8-15")
	assert.InDelta(t, 20/(0.12*0.008)/21200, out.Num["proof-share"].SI, 0.002, "proof load of M8 8.8 is 21 200 N in ISO 898-1, rounded to three figures")
	assert.InDelta(t, out.Num["load"].SI*1.28, out.Num["load-max"].SI, 1e-6, "the wider of 25 and 28 % is used")
	assert.Equal(t, TooLarge, out.Verdict)

	plain := answered(t, "bolt-load", map[string]string{"torque": "20 N m", "bolt-diameter": "8 mm"})
	assert.InDelta(t, 12500, plain.Num["load"].SI, 1e-6)
	assert.InDelta(t, 8750, plain.Num["load-min"].SI, 1e-6, "30 % where nothing is said")

	typed := answered(t, "bolt-load", map[string]string{"torque": "20 N m", "thread": "m8", "lubrication": "anti-seize", "nut-factor": "0.2", "scatter": "30 %"})
	assert.InDelta(t, 8750, typed.Num["load-min"].SI, 1e-6, "a typed figure goes before the table")
}

func TestTheClassHoldsOnlyForItsDiameters(t *testing.T) {
	small := answered(t, "bolt-load", map[string]string{"torque": "100 N m", "thread": "m16", "class": "8.8", "nut-factor": "0.2"})
	large := answered(t, "bolt-load", map[string]string{"torque": "100 N m", "thread": "m20", "class": "8.8", "nut-factor": "0.2"})
	assert.InDelta(t, 100/(0.2*0.016)/(580e6*157e-6), small.Num["proof-share"].SI, 1e-6)
	assert.InDelta(t, 100/(0.2*0.020)/(600e6*245e-6), large.Num["proof-share"].SI, 1e-6)
	_, err := asked(t, "bolt-load", map[string]string{"torque": "100 N m", "bolt-diameter": "50 mm", "class": "sae-5"})
	assert.ErrorContains(t, err, "sae-5", "out of the table is an answer of its own")
	_, err = asked(t, "bolt-load", map[string]string{"torque": "100 N m"})
	assert.ErrorContains(t, err, "thread")
}

func TestTheTorqueWindowOfAJointMeetsItsLoads(t *testing.T) {
	joint := map[string]string{"gasket": "paper", "gasket-outer": "120 mm", "gasket-inner": "100 mm", "bolts": "6", "thread": "m8", "class": "8.8", "lubrication": "oiled", "method": "torque-wrench", "pressure": "4 bar"}
	out := answered(t, "joint-torque", joint)
	load := func(torque float64) Out {
		return answered(t, "bolt-load", map[string]string{"torque": unit.Show(torque, 12) + " N m", "thread": "m8", "lubrication": "oiled", "method": "torque-wrench"})
	}
	assert.InDelta(t, out.Num["load-needed"].SI/6, load(out.Num["least-torque"].SI).Num["load-min"].SI, 0.01)
	assert.InDelta(t, out.Num["bolt-cap"].SI, load(out.Num["greatest-torque"].SI).Num["load-max"].SI, 0.01)
	assert.InDelta(t, 0.75*580e6*36.6e-6, out.Num["bolt-cap"].SI, 1e-6, "0.75 of proof, Shigley eq. 8-31")
	// b0 = 5 mm, so b = b0 and G = 110 mm; m 1.75 (ASME VIII-1 Table 2-5.1)
	assert.InDelta(t, 3801.3, out.Num["end-force"].SI, 0.1)
	assert.InDelta(t, 3801.3+2*3.14159265*0.005*0.110*1.75*4e5, out.Num["operating-load"].SI, 0.1)
	assert.Equal(t, "seating decides", out.Text["governs"])
	assert.Equal(t, OK, out.Verdict)

	joint["pressure"] = "40 bar"
	assert.Equal(t, "the pressure decides", answered(t, "joint-torque", joint).Text["governs"])

	joint["pressure"], joint["torque"], joint["torque-limit"] = "4 bar", "12 N m", "10 N m"
	out = answered(t, "joint-torque", joint)
	assert.Equal(t, TooLarge, out.Verdict, "the maker's torque goes before what the parts would stand")

	joint["gasket"] = "spiral"
	delete(joint, "torque")
	delete(joint, "torque-limit")
	assert.Equal(t, TooLarge, answered(t, "joint-torque", joint).Verdict, "six M8 cannot seat a spiral wound gasket: there is no window")
}

func TestAGasketThatIsNotRoundWantsTheAreaUnderPressure(t *testing.T) {
	joint := map[string]string{"gasket": "cork-rubber", "gasket-area": "2000 mm2", "bolts": "6", "thread": "m6", "pressure": "1 bar"}
	_, err := asked(t, "joint-torque", joint)
	assert.ErrorContains(t, err, "sealed-area")
	joint["sealed-area"] = "8000 mm2"
	assert.InDelta(t, 800, answered(t, "joint-torque", joint).Num["end-force"].SI, 1e-6)
}

func TestBoltsAreSpacedByTheStrictestRule(t *testing.T) {
	out := answered(t, "bolt-spacing", map[string]string{"bolt-circle": "140 mm", "thread": "m8", "cover-thickness": "10 mm", "factors": "fibre-0.8", "cover": "stiff"})
	assert.InDelta(t, 0.016+0.06/4, out.Num["vessel-spacing"].SI, 1e-9, "2 d + 6 t / (m + 0.5) with m 3.5")
	assert.InDelta(t, 0.031, out.Num["greatest-spacing"].SI, 1e-9)
	assert.InDelta(t, 15, out.Num["bolts-for-spacing"].SI, 0, "pi 140 / 31 = 14.2")
	assert.InDelta(t, 16, out.Num["bolts-by-fours"].SI, 0)
	_, err := asked(t, "bolt-spacing", map[string]string{"bolt-circle": "140 mm", "bolts": "0", "thread": "m8"})
	assert.ErrorContains(t, err, "bolts")
}

func TestACoverBowsUntilItLifts(t *testing.T) {
	cover := map[string]string{"spacing": "50 mm", "cover-width": "20 mm", "cover-thickness": "8 mm", "cover-material": "aluminium", "gasket": "fibre", "gasket-width": "15 mm", "gasket-thickness": "1 mm", "bolt-load": "8 kN"}
	out := answered(t, "cover-bow", cover)
	assert.Positive(t, out.Num["mid-span-share"].SI)
	assert.Zero(t, out.Num["gap"].SI)
	cover["spacing"] = unit.Show(out.Num["lift-spacing"].SI*1000, 12) + " mm"
	assert.InDelta(t, 0, answered(t, "cover-bow", cover).Num["mid-span-share"].SI, 1e-6, "lambda L = 4.730")
	cover["spacing"] = unit.Show(out.Num["greatest-spacing"].SI*1000, 12) + " mm"
	assert.InDelta(t, 0.5, answered(t, "cover-bow", cover).Num["mid-span-share"].SI, 1e-6)
}

func TestAFinishBedsInByItsGuideValues(t *testing.T) {
	out := answered(t, "bolt-settling", map[string]string{"thread": "m8", "grip-length": "20 mm", "finish": "medium", "preload": "15.6 kN"})
	assert.InDelta(t, 11e-6, out.Num["settling-used"].SI, 1e-12, "VDI 2230: thread 3, two faces of 3, one joint of 2 um")
	assert.InDelta(t, 1.1*out.Num["loss-per-hundredth"].SI, out.Num["loss"].SI, 1e-6)
	_, err := asked(t, "bolt-settling", map[string]string{"thread": "m8", "grip-length": "20 mm", "finish": "painted"})
	assert.ErrorContains(t, err, "mask the faces")
}

func TestMaterialsOfATieRodAndTypedExpansionsAgree(t *testing.T) {
	rod := map[string]string{"rod-diameter": "10 mm", "rod-length": "300 mm", "casing-material": "aluminium", "rod-material": "steel", "casing-rise": "40 K", "rod-rise": "60 K"}
	words := answered(t, "tie-rod-heat", rod)
	assert.InDelta(t, 0.3*(22.5e-6*40-11.5e-6*60), words.Num["mismatch"].SI, 1e-12)
	rod["casing-expansion"] = "23e-6 1/K"
	assert.InDelta(t, 0.3*(23e-6*40-11.5e-6*60), answered(t, "tie-rod-heat", rod).Num["mismatch"].SI, 1e-12)
	delete(rod, "rod-material")
	_, err := asked(t, "tie-rod-heat", rod)
	assert.ErrorContains(t, err, "rod-material")
}

func TestTheStrictestLimitOfAFaceIsNamed(t *testing.T) {
	head := answered(t, "face-limit", map[string]string{"face": "head", "flatness": "0.10 mm"})
	assert.InDelta(t, 0.02e-3, head.Num["permitted"].SI, 1e-12)
	assert.Contains(t, head.Text["strictest-row"], "coach diesel")
	assert.Equal(t, TooLarge, head.Verdict)
	cover := answered(t, "face-limit", map[string]string{"face": "paper-cover", "gasket": "paper", "thickness": "0.5 mm", "flatness": "0.08 mm"})
	assert.InDelta(t, 2*0.5e-3*0.075, cover.Num["permitted"].SI, 1e-12, "10 to 25 % of squeeze, half way between")
	assert.Equal(t, TooLarge, cover.Verdict, "within the published limit, but this gasket cannot take it up")
	own := fromMaker(t, "face-limit", map[string]string{"face": "paper-cover", "gasket": "paper", "thickness": "0.5 mm", "flatness": "0.08 mm", "limit": "0.10 mm"})
	assert.Equal(t, OK, own.Verdict, "the maker's figure goes before ours")
	_, err := asked(t, "face-limit", map[string]string{"flatness": "0.08 mm"})
	assert.ErrorContains(t, err, "face")
}

func TestAMarkIsHeldToTheTableAndToTheGasket(t *testing.T) {
	mark := map[string]string{"span": "3 mm", "gasket-width": "10 mm", "depth": "0.3 mm", "gasket-kind": "soft"}
	assert.InDelta(t, 0.76e-3, answered(t, "face-defect", mark).Num["permitted-depth"].SI, 1e-12, "ASME PCC-1 Table D-2M, a quarter to a half")
	mark["gasket"], mark["thickness"] = "cork-rubber", "2 mm"
	out := answered(t, "face-defect", mark)
	assert.InDelta(t, 2e-3*0.125, out.Num["permitted-depth"].SI, 1e-12)
	assert.Equal(t, TooLarge, out.Verdict)
	mark["span"], mark["depth"] = "12 mm", "0.01 mm"
	assert.Equal(t, TooLarge, answered(t, "face-defect", mark).Verdict, "right across is not allowed at any depth")
}

func TestTheMakersStockGoesFirst(t *testing.T) {
	part := map[string]string{"flatness": "0.12 mm", "permitted": "0.05 mm", "thickness": "12.10 mm", "least-thickness": "11.80 mm"}
	out := answered(t, "lap-off", part)
	assert.InDelta(t, 0.30e-3, out.Num["may"].SI, 1e-12)
	assert.Equal(t, OK, out.Verdict)
	part["stock-limit"], part["removed-before"] = "0.10 mm", "0.05 mm"
	out = answered(t, "lap-off", part)
	assert.Equal(t, "the maker's stock", out.Text["set-by"])
	assert.Equal(t, TooLarge, out.Verdict, "0.05 came off before, 0.07 is needed, 0.10 is allowed in all")
	part["recess-depth"] = "2.7 mm"
	_, err := asked(t, "lap-off", part)
	assert.ErrorContains(t, err, "ring-height")
}

func TestAPublishedTorqueIsAnUpperLimit(t *testing.T) {
	out := answered(t, "bolt-torque", map[string]string{"thread": "m8", "class": "8.8", "torque": "24 N m"})
	assert.InDelta(t, 22, out.Num["upper-limit"].SI, 1e-9, "the lowest of 22 lubricated, 25 and 28 dry")
	assert.Equal(t, TooLarge, out.Verdict)
	assert.Contains(t, out.Sentence, "not the torque of the joint")
	_, err := asked(t, "bolt-torque", map[string]string{"thread": "m20", "class": "4.6"})
	assert.ErrorContains(t, err, "4.6")
	rounds := answered(t, "bolt-order", map[string]string{"bolts": "6", "torque": "20 N m"})
	assert.InDelta(t, 6, rounds.Num["first-round"].SI, 1e-9)
	assert.InDelta(t, 12, rounds.Num["second-round"].SI, 1e-9)
}

func TestEveryFigureFromATableIsCited(t *testing.T) {
	for _, name := range []string{"bolt-load", "joint-torque", "bolt-spacing", "cover-bow", "bolt-settling", "tie-rod-heat", "face-limit", "face-defect", "lap-off", "bolt-torque", "bolt-order", "gasket-rule"} {
		c, ok := ByName(name)
		require.True(t, ok, name)
		out, err := c.Run(example(t, c, 0))
		require.NoError(t, err, name)
		if name != "lap-off" { // a cover has no published figure, only a remark
			assert.NotEmpty(t, out.Cited, name)
		}
		for _, cited := range out.Cited {
			assert.NotEmpty(t, cited.Source, name+" "+cited.What)
			assert.NotEmpty(t, cited.Figure, name+" "+cited.What)
		}
	}
}

func TestALooseLimitDoesNotHideThatTheGasketIsCrushed(t *testing.T) {
	out := answered(t, "joint-torque", map[string]string{"gasket": "cork-rubber", "gasket-outer": "5 in", "gasket-inner": "4 in", "bolts": "6", "thread": "m6", "class": "8.8", "torque": "9 N m", "torque-limit": "10 N m"})
	assert.Equal(t, "what the gasket stands", out.Text["limited-by"])
	assert.Less(t, out.Num["greatest-torque"].SI, 9.0)
	require.NotEmpty(t, out.Notes)
	assert.Contains(t, out.Notes[len(out.Notes)-1], "the maker's for this joint")
}
