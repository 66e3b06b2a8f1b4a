package catalogue_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/catalogue"
	"seepwright/kb"
)

func rows(unitSI float64, pairs ...any) []catalogue.Row {
	var out []catalogue.Row
	for i := 0; i < len(pairs); i += 2 {
		out = append(out, catalogue.Row{At: pairs[i].(string), Num: catalogue.Num{SI: pairs[i+1].(float64) * unitSI}})
	}
	return out
}

func named(t *testing.T, name string) catalogue.Calculation {
	c, ok := catalogue.ByName(name)
	require.True(t, ok)
	return c
}

func TestAShapeHasTheWidthThatTheCalculationGives(t *testing.T) {
	in := catalogue.In{Rows: map[string][]catalogue.Row{"radii": rows(1e-3, "0 deg", 19.05, "60 deg", 19.01, "120 deg", 18.94, "180 deg", 19.05, "240 deg", 19.01, "300 deg", 18.94)}}
	c := named(t, "roundness")
	out, err := c.Run(in)
	require.NoError(t, err)
	s, err := c.Round(in)
	require.NoError(t, err)
	assert.InDelta(t, out.Num["roundness"].SI, float64(s.Width), 1e-9)
	least, most := math.Inf(1), math.Inf(-1)
	for _, p := range s.Curve {
		least, most = math.Min(least, float64(p.Radius)), math.Max(most, float64(p.Radius))
	}
	assert.InDelta(t, float64(s.Width), most-least, 1e-9)
	assert.InDelta(t, 19e-3, float64(s.Middle), 0.1e-3)
	_, ring := s.Edge(0.1)
	assert.False(t, ring)
}

func TestTheEdgeOfLostSqueezeIsWhereTheCalculationLosesIt(t *testing.T) {
	in := catalogue.In{Num: map[string]catalogue.Num{"cord": {SI: 3.53e-3}, "groove-diameter": {SI: 25.4e-3}, "spigot-diameter": {SI: 30.9e-3}, "least-squeeze": {SI: 0.1}},
		Rows: map[string][]catalogue.Row{"bore": rows(1e-3, "12:00", 31.0, "1:30", 31.1, "3:00", 31.2, "4:30", 31.1), "offset": rows(1e-3, "9:00", 0.05)}}
	c := named(t, "oring-local-squeeze")
	out, err := c.Run(in)
	require.NoError(t, err)
	s, err := c.Round(in)
	require.NoError(t, err)
	most := math.Inf(-1)
	at := 0.0
	for _, p := range s.Curve {
		if float64(p.Radius) > most {
			most, at = float64(p.Radius), float64(p.At)
		}
	}
	edge, ring := s.Edge(0)
	require.True(t, ring)
	assert.InDelta(t, out.Num["least-squeeze-mm"].SI, float64(edge)-most, 1e-9, "the widest place lies inside of no squeeze by the least squeeze")
	assert.InDelta(t, math.Pi/2, at, 0.06, "opposite to where the spigot leans")
	assert.Equal(t, "3:00", out.Text["least-at"])
}

func TestHeightsOfAFaceStandOverItsLowerPlane(t *testing.T) {
	in := catalogue.In{Num: map[string]catalogue.Num{"circle-diameter": {SI: 0.12}}, Rows: map[string][]catalogue.Row{"points": rows(1e-3, "12:00", 0.0, "1:30", 0.04, "3:00", 0.01, "4:30", -0.03, "6:00", 0.0, "7:30", 0.05, "9:00", 0.01, "10:30", -0.02)}}
	c := named(t, "flatness")
	out, err := c.Run(in)
	require.NoError(t, err)
	places, err := c.Face(in)
	require.NoError(t, err)
	least, most := math.Inf(1), 0.0
	for _, p := range places {
		least, most = math.Min(least, p.Z), math.Max(most, p.Z)
	}
	assert.Zero(t, least)
	assert.InDelta(t, out.Num["flatness"].SI, most, 1e-9)
	assert.InDelta(t, 0.06, places[0].Y, 1e-9, "12 o'clock is on top")
}

func TestHolesLieOnTheBoltCircleOrWhereTheyAreSaidToBe(t *testing.T) {
	in := catalogue.In{Num: map[string]catalogue.Num{"circle-diameter": {SI: 0.12}, "bolt-circle": {SI: 0.14}}, Rows: map[string][]catalogue.Row{"points": rows(1e-3, "12:00", 0.0, "3:00", 0.01, "6:00", 0.0, "9:00", 0.02), "holes": rows(1e-3, "3:00", 9.0, "-40,30", 9.0)}}
	c := named(t, "flatness")
	plain, err := c.Run(catalogue.In{Num: map[string]catalogue.Num{"circle-diameter": {SI: 0.12}}, Rows: map[string][]catalogue.Row{"points": in.Rows["points"]}})
	require.NoError(t, err)
	out, err := c.Run(in)
	require.NoError(t, err)
	assert.Equal(t, plain.Num, out.Num, "holes are only drawn")
	holes, err := c.Holes(in)
	require.NoError(t, err)
	require.Len(t, holes, 2)
	assert.InDelta(t, 0.07, holes[0].X, 1e-9)
	assert.InDelta(t, 0.03, holes[1].Y, 1e-9)
	assert.InDelta(t, 0.009, holes[1].Z, 1e-9)
	in.Rows["holes"] = rows(1e-3, "half past", 9.0)
	_, err = c.Run(in)
	assert.Error(t, err)
}

func TestThePressureAlongAGasketCarriesTheBolt(t *testing.T) {
	in := catalogue.In{Tables: kb.Published(), Text: map[string]string{"cover-material": "aluminium", "gasket": "fibre"},
		Num: map[string]catalogue.Num{"spacing": {SI: 0.07}, "cover-width": {SI: 0.02}, "cover-thickness": {SI: 0.008}, "gasket-width": {SI: 0.015}, "gasket-thickness": {SI: 0.001}, "bolt-load": {SI: 8000}}}
	c := named(t, "cover-bow")
	out, err := c.Run(in)
	require.NoError(t, err)
	at, p, err := c.Along(in)
	require.NoError(t, err)
	sum := 0.0
	for i := 1; i < len(at); i++ {
		sum += (at[i] - at[i-1]) * 0.07 * 0.015 * float64(p[i]+p[i-1]) / 2
	}
	assert.InDelta(t, 8000, sum, 8000*0.002)
	assert.InDelta(t, out.Num["mid-span-share"].SI, float64(p[30]/p[0]), 1e-9)
}

func TestAShapeIsRefusedWhereThereIsNone(t *testing.T) {
	_, err := named(t, "drips").Round(catalogue.In{})
	assert.Error(t, err)
	_, err = named(t, "roundness").Face(catalogue.In{})
	assert.Error(t, err)
	_, _, err = named(t, "flatness").Along(catalogue.In{})
	assert.Error(t, err)
	_, err = named(t, "roundness").Round(catalogue.In{Rows: map[string][]catalogue.Row{"radii": rows(1e-3, "half past", 1.0, "3:00", 1.0, "6:00", 1.0)}})
	assert.Error(t, err)
}
