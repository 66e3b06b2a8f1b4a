package refcheck

import (
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/ringsize"
	"seepwright/rules/unit"
)

const (
	mmU = unit.Millimetre
	inU = unit.Inch
	pct = unit.Percent
)

func TestEveryOringRowAgreesWithItsFile(t *testing.T) {
	sizes, rings := as568(t)
	cases := oringCases(sizes, rings, extrusion(t))
	runChecks(t, "oring-checks.csv", cases, map[string]string{
		"OR-S104": "a statement in words (swell makes up for set), no figure to compute",
	}, func(row map[string]string) (answer, error) {
		return ringFromText(row, tables{sizes, rings, extrusion(t)})
	})
}

// squeezeMM gives greatest and least squeeze in length, in that order; leastFirst turns them round.
func squeezeMM(cord, depth gland.Span, leastFirst bool) func() (answer, error) {
	return func() (answer, error) {
		r, err := gland.WorstCase(cord, depth)
		if leastFirst {
			return several(err, float64(r.Least), float64(r.Greatest))
		}
		return several(err, float64(r.Greatest), float64(r.Least))
	}
}

func squeezeShare(cord, depth gland.Span, leastFirst bool) func() (answer, error) {
	return func() (answer, error) {
		r, err := gland.WorstCase(cord, depth)
		if leastFirst {
			return several(err, float64(r.LeastShare), float64(r.GreatestShare))
		}
		return several(err, float64(r.GreatestShare), float64(r.LeastShare))
	}
}

// jis is the gland of a bore with +0.1 and a groove with -0.1 mm.
func jis(bore, groove float64) gland.Span {
	d, err := gland.DepthSpan(gland.Span{Min: unit.Length(bore) * mmU, Max: unit.Length(bore+0.1) * mmU}, gland.Span{Min: unit.Length(groove-0.1) * mmU, Max: unit.Length(groove) * mmU})
	if err != nil {
		panic(err)
	}
	return d
}

func inch(lo, hi unit.Length) gland.Span { return gland.Span{Min: lo * inU, Max: hi * inU} }

func as568(t *testing.T) (map[string]ringsize.Ring, []ringsize.Ring) {
	dir, _ := reference()
	path := filepath.Join(dir, "oring-as568.csv")
	if !exists(path) {
		path = filepath.Join(builtIn, "oring-as568.csv")
	}
	num := func(s string) unit.Length {
		x, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return unit.Length(x) * inU
	}
	byName, list := map[string]ringsize.Ring{}, []ringsize.Ring(nil)
	for _, r := range rows(t, path) {
		s := ringsize.Ring{Table: "AS568", Listed: true, Name: r["dash"], ID: num(r["id_in"]), IDTol: num(r["id_tol_in"]), Cord: num(r["cs_in"]), CordTol: num(r["cs_tol_in"])}
		byName[s.Name] = s
		list = append(list, s)
	}
	return byName, list
}

// extrusion reads the published tables of extrusion gaps by their key.
func extrusion(t *testing.T) map[string][]gland.Band {
	dir, _ := reference()
	path := filepath.Join(dir, "oring-extrusion-gap.csv")
	if !exists(path) {
		path = filepath.Join(builtIn, "oring-extrusion-gap.csv")
	}
	out := map[string][]gland.Band{}
	for _, r := range rows(t, path) {
		num := func(k string) float64 {
			x, err := strconv.ParseFloat(r[k], 64)
			require.NoError(t, err)
			return x
		}
		out[r["source"]] = append(out[r["source"]], gland.Band{Hardness: unit.Hardness(num("hardness_shore_a")), From: unit.Pressure(num("p_from_MPa") * 1e6), To: unit.Pressure(num("p_to_MPa") * 1e6), Gap: unit.Length(num("gap_max_mm")) * mmU})
	}
	return out
}

func gap(table []gland.Band, shore unit.Hardness, mpa float64) func() (answer, error) {
	return func() (answer, error) { return one(gland.GreatestGap(table, shore, unit.Pressure(mpa*1e6))) }
}

// identify answers with the dash number of the most likely ring below nought, as it is written, and the difference
// in mm. The rings are measured with a caliper.
func identify(rings []ringsize.Ring, id, cord float64) func() (answer, error) {
	return func() (answer, error) {
		f, err := ringsize.Identify(ringsize.Sizes{Rings: rings}, []ringsize.Reading{
			{Of: ringsize.Inside, At: unit.Length(id) * mmU, U: 0.1 * mmU}, {Of: ringsize.Section, At: unit.Length(cord) * mmU, U: 0.1 * mmU}}, ringsize.Used{})
		if err != nil {
			return answer{}, err
		}
		first := f.Candidates[0]
		n, err := strconv.Atoi(first.Name)
		a := answer{si: []float64{-float64(n), first.ByID.Millimetres()}}
		if !first.New {
			a.word = "outside the new-ring tolerance"
		}
		return a, err
	}
}
