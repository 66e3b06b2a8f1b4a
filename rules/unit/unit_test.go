package unit

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Exact factors: NIST SP 811 (2008), appendix B.8.
func TestFactorsArePublishedOnes(t *testing.T) {
	for _, tt := range []struct {
		text string
		si   float64
	}{
		{"1 in", 0.0254},
		{"1 ft", 0.3048},
		{"1 mil", 2.54e-5},
		{"1 uin", 2.54e-8},
		{"1 in2", 6.4516e-4},
		{"1 psi", 6.894757e3},
		{"1 ksi", 6.894757e6},
		{"1 bar", 1e5},
		{"1 m water", 9.80665e3},
		{"1 lbf", 4.448222},
		{"1 kgf", 9.80665},
		{"1 lbf ft", 1.355818},
		{"1 lbf in", 0.1129848},
		{"1 kgf m", 9.80665},
		{"1 lb", 0.4535924},
		{"1 gal", 3.785412e-3},
		{"1 quart", 9.463529e-4},
		{"1 pint", 4.731765e-4},
		{"1 imp gallon", 4.54609e-3},
		{"1 imp quart", 1.1365225e-3}, // a quarter of the gallon
		{"1 imp pint", 5.6826125e-4},  // an eighth
		{"1 fl oz", 2.957353e-5},
		{"1 rpm", 0.1047198},
		{"1 deg", 0.01745329},
		{"1 1/F", 1.8},
	} {
		q, err := Parse(tt.text, "")
		require.NoError(t, err, tt.text)
		assert.InEpsilon(t, tt.si, q.SI(), 1e-6, tt.text)
	}
}

func TestTemperaturesHaveAnOffsetAndWidthsHaveNone(t *testing.T) {
	f, ok := ByName("F")
	require.True(t, ok)
	assert.InDelta(t, 100, f.ToSI(212), 1e-9)
	assert.InDelta(t, -40, f.ToSI(-40), 1e-9)
	assert.InDelta(t, 212, f.FromSI(100), 1e-9)
	assert.InDelta(t, 5, f.Width(9), 1e-12)
	c, err := Parse("176 F", TemperatureDim)
	require.NoError(t, err)
	celsius, _ := ByName("°C")
	assert.InDelta(t, 80, c.In(celsius).Number, 1e-9)
}

func TestNumber(t *testing.T) {
	for _, tt := range []struct {
		text string
		x    float64
		rest string
	}{
		{"3.53", 3.53, ""},
		{" 35,3 mm", 35.3, " mm"},
		{".5", 0.5, ""},
		{"5.", 5, ""},
		{"-.5", -0.5, ""},
		{"+3", 3, ""},
		{"0,123", 0.123, ""},
		{"12,5", 12.5, ""},
		{"1234,5", 1234.5, ""},
		{"1/8 in", 0.125, " in"},
		{"1 1/2", 1.5, ""},
		{"-1 1/2", -1.5, ""},
		{"1   1/2in", 1.5, "in"},
		{"1 1/K", 1, " 1/K"},
		{"1/0", 1, "/0"},
		{"1.1/2", 1.1, "/2"},
		{"1e-3", 1e-3, ""},
		{"1e", 1, "e"},
		{"5 e", 5, " e"},
	} {
		x, rest, err := Number(tt.text)
		require.NoError(t, err, tt.text)
		assert.InDelta(t, tt.x, x, 1e-12, tt.text)
		assert.Equal(t, tt.rest, rest, tt.text)
	}
	for text, says := range map[string]string{
		"":          "no number",
		"mm":        "no number",
		"--3":       "no number",
		"1,234":     "write 1234 or 1.234",
		"-12,345":   "write 12345 or 12.345",
		"1.234,5":   "more than one decimal mark",
		"1,234,567": "more than one decimal mark",
		"1.2.3":     "more than one decimal mark",
		"1e400":     "not a usable number",
	} {
		_, _, err := Number(text)
		assert.ErrorContains(t, err, says, text)
	}
}

func TestSpellings(t *testing.T) {
	for symbol, names := range map[string][]string{
		"mm": {"mm", "MM", "millimetres"}, "m": {"m", "metre", "Meters"}, "um": {"µm", "μm", "micron"}, "in": {"in", "IN", "\"", "''", "inches"},
		"ft": {"ft", "'", "feet"}, "thou": {"thou", "mil", "MIL"}, "N m": {"N m", "Nm", "nm", "NM", "N  m"}, "C": {"C", "c", "°C", "°c", "deg C"},
		"F": {"F", "f", "°F"}, "L/day": {"l/d", "L/D", "l/day"}, "mL": {"ml", "ML", "cc"}, "L": {"l", "litres"}, "MPa": {"MPa", "mpa", "N/mm2"},
		"psi": {"PSI", "psig"}, "lbf ft": {"ft lb", "lb ft", "ft lbs"}, "lbf": {"lbs"}, "lb": {"lb", "LB"}, "imp gallon": {"imp gal", "Imperial Gallons"},
		"Shore A": {"shore", "IRHD"}, "%": {"per cent", "%"}, "day": {"d", "days"}, "year": {"a", "years"},
	} {
		for _, n := range names {
			u, ok := ByName(n)
			assert.True(t, ok, n)
			assert.Equal(t, symbol, u.Symbol, n)
		}
	}
	for _, n := range []string{"M", "A", "", "furlong", "234 mm", "/0"} {
		_, ok := ByName(n)
		assert.False(t, ok, n)
	}
}

func TestNoSpellingMeansTwoUnits(t *testing.T) {
	seen := map[string]string{}
	for _, u := range units {
		for _, n := range append(strings.Split(u.names, "|"), u.Symbol) {
			if n == "" {
				continue
			}
			assert.Empty(t, seen[n], "%q is already a spelling", n)
			seen[n] = u.Symbol
		}
	}
}

func TestParseWantsTheRightDimension(t *testing.T) {
	for _, tt := range []struct {
		text string
		want Dimension
		si   float64
		unit string
	}{
		{"1.39 in", LengthDim, 1.39 * 0.0254, "in"},
		{"0.3", RatioDim, 0.3, "1"},
		{"30 %", RatioDim, 0.3, "%"},
		{"3", CountDim, 3, "off"},
		{"70", HardnessDim, 70, "Shore A"},
		{"20 C", KelvinDim, 20, "K"},
		{"18 F", KelvinDim, 10, "K"},
		{"10 lb", ForceDim, 44.482216152605, "lbf"},
		{"10 lbs", MassDim, 4.5359237, "lb"},
		{"3 N/mm", LineLoadDim, 3000, "N/mm"},
		{"30 psi", "", 206842.71879504, "psi"},
	} {
		q, err := Parse(tt.text, tt.want)
		require.NoError(t, err, tt.text)
		assert.InEpsilon(t, tt.si, q.SI(), 1e-9, tt.text)
		assert.Equal(t, tt.unit, q.Unit.Symbol, tt.text)
		if tt.want != "" {
			assert.Equal(t, tt.want, q.Unit.Dim, tt.text)
		}
	}
	for _, tt := range []struct {
		text string
		want Dimension
		says string
	}{
		{"3 bar", LengthDim, "bar is a pressure, but a length is wanted here (mm, m, cm"},
		{"3 deg", TemperatureDim, "deg is an angle, but a temperature is wanted here (C, F)"},
		{"3", LengthDim, "a number without a unit: give a unit, such as mm"},
		{"3", "", "a number without a unit"},
		{"3 furlongs", AreaDim, `no unit is called "furlongs"; for an area use mm2`},
		{"mm", LengthDim, "no number found"},
	} {
		_, err := Parse(tt.text, tt.want)
		var bad *BadQuantity
		require.ErrorAs(t, err, &bad, tt.text)
		assert.Contains(t, bad.Error(), tt.says)
	}
}

func TestShow(t *testing.T) {
	for x, want := range map[float64]string{0: "0", 3.53: "3.53", 1.0 / 3: "0.333333", 100: "100", 1e6: "1000000", -40: "-40", 12345678: "12345678", 1e-5: "1e-05"} {
		assert.Equal(t, want, Show(x, 6))
	}
	for text, want := range map[string]string{"35,3 mm": "35.3 mm", "30 %": "30 %", "3 off": "3", "0.3 1": "0.3"} {
		q, err := Parse(text, "")
		require.NoError(t, err)
		assert.Equal(t, want, q.String())
	}
}

func TestEveryDimensionHasAStandardUnit(t *testing.T) {
	all := Dimensions()
	assert.True(t, slices.IsSorted(all))
	for _, d := range all {
		assert.True(t, Known(d))
		assert.Equal(t, Standard(d).Symbol, Names(d)[0])
		q, err := Parse("2 "+Standard(d).Symbol, d)
		require.NoError(t, err, d)
		assert.Equal(t, d, q.Unit.Dim)
	}
	assert.False(t, Known("taste"))
	assert.Equal(t, "an angle", AngleDim.Named())
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"1.39 in", "35,3 mm", "1,234 mm", "1 1/2 in", "-40 F", "3", "5 1/K", "1e308 ft", "2 imp gal", "1/0 mm", "0x1p3 mm", "½ in"} {
		f.Add(s, "length")
	}
	f.Add("20 C", "temperature-difference")
	f.Add("3 N/mm", "line-load")
	f.Fuzz(func(t *testing.T, text, dim string) {
		want := Dimension(dim)
		q, err := Parse(text, want)
		if err != nil {
			return
		}
		if math.IsNaN(q.Number) || math.IsInf(q.Number, 0) {
			t.Fatalf("%q is read as %v", text, q.Number)
		}
		if want != "" && q.Unit.Dim != want {
			t.Fatalf("%q is a %s, not a %s", text, q.Unit.Dim, want)
		}
		again, err := Parse(q.String(), q.Unit.Dim)
		if err != nil {
			t.Fatalf("%q is shown as %q, which does not read: %v", text, q, err)
		}
		if math.Abs(again.Number-q.Number) > 1e-5*math.Abs(q.Number) || again.Unit.Symbol != q.Unit.Symbol {
			t.Fatalf("%q is shown as %q, which reads as %v", text, q, again)
		}
	})
}
