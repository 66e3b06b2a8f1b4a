package answer

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

func length(mm float64) fact.Measure { return fact.Measure{SI: mm * 1e-3, Dim: unit.LengthDim} }

func limit(mm float64) *fact.Measure { m := length(mm); return &m }

// tools are invented, with figures like those of a real table.
var tools = Instruments{
	{Head: rules.Head{ID: "micrometer", Title: "outside micrometer"}, Dim: unit.LengthDim,
		U: map[string]fact.Measure{"bore": length(0.015), "outside": length(0.01), "any": length(0.02)}},
	{Head: rules.Head{ID: "rule", Title: "steel rule"}, Dim: unit.LengthDim, U: map[string]fact.Measure{"any": length(0.5)}},
	{Head: rules.Head{ID: "odd-gauge"}, Dim: unit.LengthDim, U: map[string]fact.Measure{"face": length(0.1), "bore": length(0.2)}},
	{Head: rules.Head{ID: "torque-wrench"}, Dim: unit.TorqueDim, Share: 0.06},
	{Head: rules.Head{ID: "jar", Title: "measuring jar"}, Dim: unit.FlowDim, Share: 0.05},
}

var (
	wet    = &rules.Fact{Head: rules.Head{ID: "wet"}, Answer: fact.YesNo}
	spread = &rules.Fact{Head: rules.Head{ID: "spread"}, Answer: fact.Choice, Options: []rules.Option{
		{ID: "all-round", Title: "wet all round"}, {ID: "one-sector", Title: "wet, at one place"}}}
	when = &rules.Fact{Head: rules.Head{ID: "when"}, Answer: fact.Several, Options: []rules.Option{
		{ID: "cold", Title: "cold"}, {ID: "hot", Title: "hot"}, {ID: "at-rest", Title: "standing, after work"}}}
	bore = &rules.Fact{Head: rules.Head{ID: "bore"}, Answer: fact.Number, Dim: unit.LengthDim, Instrument: "micrometer", UsedOn: "bore",
		Least: limit(5), Most: limit(100)}
	plate    = &rules.Fact{Head: rules.Head{ID: "plate"}, Answer: fact.Number, Dim: unit.LengthDim}
	times    = &rules.Fact{Head: rules.Head{ID: "times"}, Answer: fact.Number, Dim: unit.CountDim}
	flow     = &rules.Fact{Head: rules.Head{ID: "flow"}, Answer: fact.Number, Dim: unit.FlowDim}
	heat     = &rules.Fact{Head: rules.Head{ID: "heat"}, Answer: fact.Number, Dim: unit.TemperatureDim}
	ratio    = &rules.Fact{Head: rules.Head{ID: "ratio"}, Answer: fact.Number, Dim: unit.RatioDim}
	tight    = &rules.Fact{Head: rules.Head{ID: "tight"}, Answer: fact.Number, Dim: unit.TorqueDim}
	place    = &rules.Fact{Head: rules.Head{ID: "place"}, Answer: fact.Clock}
	bores    = &rules.Fact{Head: rules.Head{ID: "bores"}, Answer: fact.Readings, Dim: unit.LengthDim, Instrument: "micrometer", UsedOn: "bore"}
	allFacts = []*rules.Fact{wet, spread, when, bore, plate, times, flow, heat, ratio, tight, place, bores}
)

func TestWordsAreRead(t *testing.T) {
	tests := []struct {
		name string
		f    *rules.Fact
		text string
		want fact.Value
	}{
		{"yes", wet, "yes", fact.MakeYesNo(true)},
		{"a capital and a blank", wet, " Y ", fact.MakeYesNo(true)},
		{"no", wet, "n", fact.MakeYesNo(false)},
		{"false is no", wet, "false", fact.MakeYesNo(false)},
		{"cant-tell", wet, "cant-tell", fact.None(fact.YesNo, fact.CantTell)},
		{"can't tell in words", bore, "Can’t tell", fact.None(fact.Number, fact.CantTell)},
		{"cannot get at it", bores, "can't get at it", fact.None(fact.Readings, fact.CantGet)},
		{"an option by id", spread, "all-round", fact.MakeChoice("all-round")},
		{"an option by loose id", spread, "All round", fact.MakeChoice("all-round")},
		{"an option by title", spread, "wet, at one place", fact.MakeChoice("one-sector")},
		{"several options", when, "hot, cold", fact.MakeSeveral([]string{"cold", "hot"}, nil)},
		{"several and not", when, "hot; not cold", fact.MakeSeveral([]string{"hot"}, []string{"cold"})},
		{"a title with a comma", when, "standing, after work", fact.MakeSeveral([]string{"at-rest"}, nil)},
		{"and none of the others", when, "hot, none of the others", fact.MakeSeveral([]string{"hot"}, []string{"cold", "at-rest"})},
		{"none at all", when, "none", fact.MakeSeveral(nil, []string{"cold", "hot", "at-rest"})},
		{"the middle of an hour", place, "4:30", fact.MakeClock(4.5, "")},
		{"a bare hour", place, "4", fact.MakeClock(4, "")},
		{"o'clock", place, "4 o’clock", fact.MakeClock(4, "")},
		{"half past", place, "half past four", fact.MakeClock(4.5, "")},
		{"a quarter to one", place, "quarter to 1", fact.MakeClock(0.75, "")},
		{"the top", place, "12:00", fact.MakeClock(12, "")},
		{"past the top", place, "12:30", fact.MakeClock(0.5, "")},
		{"the bottom", place, "bottom", fact.MakeClock(6, "")},
		{"seen from a side", place, "4:30 seen from the pump end", fact.MakeClock(4.5, "pump end")},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			v, err := ReadText(tt.f, tt.text, tools)
			require.NoError(t, err)
			assert.True(t, v.Same(tt.want), "%v is not %v", v, tt.want)
		})
	}
}

func TestQuantitiesCarryTheirUncertainty(t *testing.T) {
	tests := []struct {
		name      string
		f         *rules.Fact
		text      string
		si, u     float64
		tool      string
		shownUnit string
	}{
		{"stated comes first", bore, "34.02 mm +/- 0.03", 34.02e-3, 0.03e-3, "", "mm"},
		{"stated with its unit", bore, "34.02 mm ± 30 um", 34.02e-3, 0.03e-3, "", "mm"},
		{"the unit once at the end", bore, "34.02 +/- 0.03 mm", 34.02e-3, 0.03e-3, "", "mm"},
		{"stated in per cent", bore, "50 mm +/- 1 %", 0.05, 0.5e-3, "", "mm"},
		{"stated beside an instrument", bore, "34.02 mm +/- 0.03 by rule", 34.02e-3, 0.03e-3, "rule", "mm"},
		{"stated after the instrument", bore, "34.02 mm by rule +/- 0.03 mm", 34.02e-3, 0.03e-3, "rule", "mm"},
		{"the named instrument", bore, "34 mm with a steel rule", 34e-3, 0.5e-3, "rule", "mm"},
		{"the named instrument as used here", bore, "34.02 mm by micrometer", 34.02e-3, 0.015e-3, "micrometer", "mm"},
		{"the named instrument used anywhere", plate, "34.02 mm by the micrometer", 34.02e-3, 0.02e-3, "micrometer", "mm"},
		{"the coarsest figure where none fits", plate, "34.02 mm by odd-gauge", 34.02e-3, 0.2e-3, "odd-gauge", "mm"},
		{"the usual instrument", bore, "34.02 mm", 34.02e-3, 0.015e-3, "", "mm"},
		{"inches and the usual instrument", bore, "1.39 in", 1.39 * 0.0254, 0.015e-3, "", "in"},
		{"a decimal comma", bore, "35,3 mm", 35.3e-3, 0.015e-3, "", "mm"},
		{"a share of the value", tight, "50 N m by torque-wrench", 50, 3, "torque-wrench", "N m"},
		{"a figure from a plate", plate, "40 mm", 40e-3, 0, "", "mm"},
		{"a count is exact", times, "3", 3, 0, "", "off"},
		{"a count in words", times, "twice", 2, 0, "", "off"},
		{"never is a count", times, "never", 0, 0, "", "off"},
		{"nothing in any unit", plate, "0", 0, 0, "", "mm"},
		{"a temperature with a width", heat, "176 F +/- 9 F", 80, 5, "", "F"},
		{"a temperature with kelvins", heat, "80 C +/- 2 K", 80, 2, "", "C"},
		{"a ratio with percentage points", ratio, "30 % +/- 5 %", 0.3, 0.05, "", "%"},
		{"a ratio as a number", ratio, "0.3", 0.3, 0, "", "1"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			v, err := ReadText(tt.f, tt.text, tools)
			require.NoError(t, err)
			assert.InDelta(t, tt.si, v.Num.SI, 1e-12)
			assert.InDelta(t, tt.u, v.Num.U, 1e-12)
			assert.Equal(t, tt.tool, v.Num.Instrument)
			assert.Equal(t, tt.shownUnit, v.Num.Unit)
			assert.Equal(t, tt.f.Dim, v.Num.Dim)
		})
	}
}

func TestHomelyAmountsAreComputedWithTheirSpread(t *testing.T) {
	const drop = 0.05 // mL
	tests := []struct {
		text   string
		mLPerH float64
		spread float64
	}{
		{"a drop a second", drop * 3600, 0.4},
		{"2 drops a minute", drop * 120, 0.4},
		{"60 drops/min", drop * 3600, 0.4},
		{"1 drop every 10 s", drop * 360, 0.4},
		{"two drops every three seconds", drop * 2400, 0.4},
		{"a drop every 10s", drop * 360, 0.4},
		{"a couple of drops a day", drop * 2 / 24, 0.5},
		{"about 3 drops per minute", drop * 180, 0.5},
		{"a cup in 45 minutes", 320, 0.2},
		{"a cup of water in 2 h", 120, 0.2},
		{"half a cup an hour", 120, 0.2},
		{"1 1/2 cups a day", 15, 0.2},
		{"3/4 cup/h", 180, 0.2},
		{"two litres a day", 2000.0 / 24, 0.1},
		{"2 L/day", 2000.0 / 24, 0.1},
		{"5 mL/h", 5, 0.1},
		{"a quarter of a litre a day", 250.0 / 24, 0.1},
		{"a quart a week", 946.352946 / 168, 0.1},
		{"an imp pint a day", 568.26125 / 24, 0.1},
		{"a gallon weekly", 3785.411784 / 168, 0.1},
		{"none", 0, 0},
	}
	for _, tt := range tests {
		t.Run(tt.text, func(t *testing.T) {
			v, err := ReadText(flow, tt.text, tools)
			require.NoError(t, err)
			want := tt.mLPerH * 1e-6 / 3600
			assert.InDelta(t, want, v.Num.SI, 1e-5*want)
			assert.InDelta(t, tt.spread*want, v.Num.U, 0.06*tt.spread*want, "two digits of it are kept")
			assert.Equal(t, unit.FlowDim, v.Num.Dim)
		})
	}
	litre, err := ReadText(&rules.Fact{Answer: fact.Number, Dim: unit.VolumeDim}, "half a litre", nil)
	require.NoError(t, err)
	assert.InDelta(t, 0.5e-3, litre.Num.SI, 1e-12)
	jar := *flow
	jar.Instrument = "jar"
	v, err := ReadText(&jar, "100 mL/h", tools)
	require.NoError(t, err)
	assert.InDelta(t, 0.05, v.Num.U/v.Num.SI, 1e-9, "the usual instrument")
	v, err = ReadText(&jar, "a drop a second", tools)
	require.NoError(t, err)
	assert.InDelta(t, 0.4, v.Num.U/v.Num.SI, 1e-9, "a drop is a drop")
	v, err = ReadText(flow, "100 mL/h by measuring jar", tools)
	require.NoError(t, err)
	assert.InDelta(t, 0.05, v.Num.U/v.Num.SI, 1e-9, "the named instrument")
	v, err = ReadText(flow, "two litres a day +/- 5 %", tools)
	require.NoError(t, err)
	assert.InDelta(t, 0.05, v.Num.U/v.Num.SI, 1e-9, "stated")
}

func TestRowsAreRead(t *testing.T) {
	for _, tt := range []struct {
		name, text string
		mm         []float64
		at         []string
		u          float64
	}{
		{"parted by semicolons with a unit each", "12.03 mm; 12.01 mm", []float64{12.03, 12.01}, []string{"", ""}, 0.015},
		{"with the unit once", "12.03; 12.01; 12.05 mm", []float64{12.03, 12.01, 12.05}, []string{"", "", ""}, 0.015},
		{"with commas", "12.03, 12.01 mm", []float64{12.03, 12.01}, []string{"", ""}, 0.015},
		{"with decimal commas", "12,03, 12,01 mm", []float64{12.03, 12.01}, []string{"", ""}, 0.015},
		{"with blanks", "12.03 12.01 12.05 mm", []float64{12.03, 12.01, 12.05}, []string{"", "", ""}, 0.015},
		{"with one instrument for all", "12.03; 12.01 mm by rule", []float64{12.03, 12.01}, []string{"", ""}, 0.5},
		{"with one uncertainty for all", "12.03 mm; 12.01 mm +/- 0.04 mm", []float64{12.03, 12.01}, []string{"", ""}, 0.04},
		{"with places", "3:00 12.03 mm; 6 o'clock 12.01 mm; 90 deg: 12 mm", []float64{12.03, 12.01, 12}, []string{"3:00", "6 o'clock", "90 deg"}, 0.015},
	} {
		t.Run(tt.name, func(t *testing.T) {
			v, err := ReadText(bores, tt.text, tools)
			require.NoError(t, err)
			require.Len(t, v.Rows, len(tt.mm))
			for i, r := range v.Rows {
				assert.InDelta(t, tt.mm[i]*1e-3, r.SI, 1e-12)
				assert.InDelta(t, tt.u*1e-3, r.U, 1e-12)
				assert.Equal(t, tt.at[i], r.At)
			}
		})
	}
}

func TestMistakesSayWhatAndWhatToDo(t *testing.T) {
	many := strings.Repeat("1 mm; ", 600)
	tests := []struct {
		name string
		f    *rules.Fact
		text string
		code string
		says string
	}{
		{"nothing", wet, "  ", EmptyAnswer, "nothing was answered"},
		{"neither yes nor no", wet, "perhaps", BadAnswer, "write yes or no"},
		{"an option that is nearly right", spread, "al-round", UnknownOption, `did you mean "all-round"?`},
		{"an option that is nothing like", spread, "xyzzy", UnknownOption, "one of all-round, one-sector"},
		{"seen and not seen", when, "hot, not hot", BothWays, "leave it in one"},
		{"an empty row of options", when, ", ;", EmptyAnswer, "the list is empty"},
		{"no unit", bore, "34", BadQuantity, "give a unit, such as mm"},
		{"a wrong dimension", bore, "3 bar", WrongDimension, "bar is a pressure, but a length is wanted here"},
		{"an unknown unit", bore, "3 furlongs", BadQuantity, `no unit is called "furlongs"`},
		{"a thousand or a decimal comma", bore, "1,234 mm", BadQuantity, "write 1234 or 1.234"},
		{"less than nothing", bore, "-3 mm", BadQuantity, "less than nothing"},
		{"not a number", bore, "NaN mm", BadQuantity, "no number found"},
		{"infinite", bore, "1e400 mm", BadQuantity, "usable number"},
		{"infinite in SI", tight, "1e308 kgf m", BadQuantity, "usable number"},
		{"half a thing", times, "2.5", BadQuantity, "no whole number"},
		{"no uncertainty after the sign", bore, "34 mm +/-", BadQuantity, "is no uncertainty"},
		{"an uncertainty of another kind", bore, "34 mm +/- 2 bar", BadQuantity, "is no uncertainty"},
		{"an uncertainty below nothing", bore, "34 mm +/- -2 mm", BadQuantity, "is no uncertainty"},
		{"an instrument that is nearly right", bore, "34 mm by micrometre", UnknownTool, `did you mean "micrometer"?`},
		{"an instrument for something else", bore, "34 mm by torque-wrench", WrongTool, "measures a torque"},
		{"a flow without a time", flow, "a cup", BadQuantity, "a cup in 45 minutes"},
		{"a length for a flow", flow, "2 mm", WrongDimension, "a flow is wanted here"},
		{"an hour that no clock has", place, "16:30", BadAnswer, "1 to 12"},
		{"a minute that no clock has", place, "4:75", BadAnswer, "1 to 12"},
		{"no clock position", place, "left a bit", BadAnswer, "is no clock position"},
		{"no readings", bores, " ; ", EmptyAnswer, "no readings"},
		{"a reading that is none", bores, "12 mm; oops; 13 mm", BadQuantity, "reading 2 (oops)"},
		{"too long", bores, many + many, BadAnswer, "longer than"},
		{"a fact that cannot be answered", &rules.Fact{Head: rules.Head{ID: "odd"}}, "yes", BadAnswer, "no answer type"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := ReadText(tt.f, tt.text, tools)
			var m *Mistake
			require.ErrorAs(t, err, &m)
			assert.Equal(t, tt.code, m.Code)
			assert.Contains(t, m.Error(), tt.says)
		})
	}
}

func TestAnImplausibleValueIsReturnedAndQuestioned(t *testing.T) {
	v, err := ReadText(bore, "340 mm", tools)
	var odd *Implausible
	require.ErrorAs(t, err, &odd)
	assert.InDelta(t, 0.34, v.Num.SI, 1e-12)
	assert.True(t, v.Same(odd.Value))
	assert.Equal(t, "5 mm to 100 mm", odd.Expected)
	_, err = ReadText(bore, "0.1 in", tools)
	require.ErrorAs(t, err, &odd)
	assert.Contains(t, odd.Expected, "in", "the limits come in the unit of the answer")
	_, found := Read(bore, rules.AnswerText{Scalar: "340 mm", Place: source.Place{File: "a.yaml", Line: 3, Col: 5}}, tools)
	require.Len(t, found, 1)
	assert.Equal(t, ImplausibleCode, found[0].Code)
	assert.Equal(t, "a.yaml:3:5", found[0].Place.String())
	below := *bore
	below.Least = limit(-1)
	v, err = ReadText(&below, "-0.5 mm", tools)
	require.NoError(t, err, "a fact that may lie below nothing says so by its least value")
	assert.InDelta(t, -0.5e-3, v.Num.SI, 1e-12)
}

func TestAnswersOfAFile(t *testing.T) {
	v, found := Read(when, rules.AnswerText{Is: []string{"hot"}, Not: []string{"cold"}}, tools)
	require.Empty(t, found)
	assert.True(t, v.Same(fact.MakeSeveral([]string{"hot"}, []string{"cold"})))
	v, found = Read(when, rules.AnswerText{List: []string{"hot", "cold"}}, tools)
	require.Empty(t, found)
	assert.Equal(t, []string{"cold", "hot"}, v.Is)
	v, found = Read(bores, rules.AnswerText{List: []string{"12.03", "12.01"}, At: []string{"3:00", "6:00"}, Unit: "mm"}, tools)
	require.Empty(t, found)
	assert.Equal(t, "3:00 12.03 mm; 6:00 12.01 mm", v.String())
	_, found = Read(bores, rules.AnswerText{List: []string{}}, tools)
	require.Len(t, found, 1)
	assert.Equal(t, EmptyAnswer, found[0].Code)
	_, found = Read(bore, rules.AnswerText{List: []string{"1 mm", "2 mm"}}, tools)
	require.Len(t, found, 1)
	assert.Contains(t, found[0].What, "takes one answer")
	_, found = Read(wet, rules.AnswerText{Is: []string{"yes"}}, tools)
	require.Len(t, found, 1)
	assert.Equal(t, "write yes or no", found[0].Hint)
}

func TestReadGivenNamesUnknownFacts(t *testing.T) {
	k := &rules.Knowledge{Facts: allFacts, Instruments: tools}
	got, found := ReadGiven(k, map[string]rules.AnswerText{
		"wet":  {Scalar: "yes"},
		"boer": {Scalar: "30 mm", Place: source.Place{File: "a.yaml", Line: 2, Col: 1}},
		"bore": {Scalar: "30 bar", Place: source.Place{File: "a.yaml", Line: 1, Col: 1}},
	})
	assert.Len(t, got, 1)
	require.Len(t, found, 2)
	assert.Equal(t, WrongDimension, found[0].Code)
	assert.Contains(t, found[1].Hint, `"bore"`)
}

func TestWhatIsWrittenReadsBackTheSame(t *testing.T) {
	for f, texts := range map[*rules.Fact][]string{
		wet:    {"yes", "no", "cant-tell", "cant-get-at"},
		spread: {"all-round"},
		when:   {"hot", "hot, not cold", "none"},
		bore:   {"1.39 in", "35,3 mm", "34.02 mm +/- 0.02", "34.02 mm by rule", "2 1/2 in", "1389 thou", "34.02 mm +/- 0.3 %"},
		plate:  {"40 mm", "0", "1e-7 m", "3333333.3 um"},
		times:  {"3", "never", "3 +/- 1"},
		flow:   {"a drop a second", "a cup in 45 minutes", "two litres a day", "a quart a week", "5 mL/h", "none"},
		heat:   {"176 F", "-40 F +/- 3 K", "90 C"},
		ratio:  {"30 %", "0.3", "33.3 % +/- 1/3 %"},
		tight:  {"50 N m by torque-wrench", "37 lbf ft by torque-wrench"},
		place:  {"4:30", "12:30", "12", "7:10 seen from the pump end"},
		bores:  {"12.03; 12.01 mm by rule", "3:00 12.03 mm; far side: 0.4737 in"},
	} {
		for _, text := range texts {
			t.Run(f.ID+" "+text, func(t *testing.T) {
				v, err := ReadText(f, text, tools)
				require.NoError(t, err)
				again, found := Read(f, Write(v), tools)
				require.Empty(t, found)
				assert.True(t, v.Same(again), "%+v was written as %+v and read as %+v", v, Write(v), again)
			})
		}
	}
}

func FuzzReadText(f *testing.F) {
	for _, s := range []string{"yes", "hot, not cold", "none", "1.39 in", "34.02 mm +/- 0.02 by rule", "a drop a second", "a cup in 45 minutes",
		"half past four seen from front", "3:00 12.03 mm; 12.01", "12.03 12.01 12.05 mm by micrometer", "1 1/2 cups a day", "-40 F", "1/0 mm", "+/- ± by", "1e308 ft"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, q := range allFacts {
			v, err := ReadText(q, text, tools)
			var odd *Implausible
			if err != nil && !errors.As(err, &odd) {
				var m *Mistake
				if !errors.As(err, &m) || m.What == "" {
					t.Fatalf("%s %q: an error of another kind: %v", q.ID, text, err)
				}
				continue
			}
			if !utf8.ValidString(text) {
				continue
			}
			again, found := Read(q, Write(v), tools)
			for _, x := range found {
				if x.Code != ImplausibleCode {
					t.Fatalf("%s %q: written as %+v, which does not read: %v", q.ID, text, Write(v), x)
				}
			}
			if !v.Same(again) {
				t.Fatalf("%s %q: %+v was written as %+v and read as %+v", q.ID, text, v, Write(v), again)
			}
		}
	})
}
