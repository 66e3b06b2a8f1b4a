package gland_test

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/gland"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// gapTables reads the published extrusion tables that decide.
func gapTables(t *testing.T) []gland.GapTable {
	tab := published(t, "oring-extrusion-gap")
	var out []gland.GapTable
	for _, name := range tab.Choices() {
		g := gland.GapTable{Name: name}
		for _, r := range tab.Where(table.Is("name", name), table.Is("role", "decides")) {
			h, _ := r.SI("hardness_ShoreA")
			from, _ := r.SI("p_from_MPa")
			to, _ := r.SI("p_to_MPa")
			g.Bands = append(g.Bands, gland.Band{Hardness: unit.Hardness(h), From: unit.Pressure(from), To: unit.Pressure(to), Gap: length(t, r, "gap_mm")})
		}
		if len(g.Bands) > 0 {
			out = append(out, g)
		}
	}
	require.Len(t, out, 3)
	return out
}

func TestTheStricterTableIsNamed(t *testing.T) {
	tables := gapTables(t)
	for _, tc := range []struct {
		name     string
		hardness unit.Hardness
		mpa      float64
		gap      float64
		table    string
		row      unit.Hardness
	}{
		// limits of diametral clearance 0.406 up to 3.45 MPa; JIS B 2406 0.35 up to 4.0
		{"low pressure: JIS is stricter", 70, 3, 0.35, "jis-b-2406", 70},
		// 0.254 against 0.30 of JIS and 0.25 of the metric table
		{"5 MPa: the metric table is stricter by rounding", 70, 5, 0.25, "metric-table", 70},
		{"12 MPa: JIS is stricter", 90, 12, 0.30, "jis-b-2406", 90},
		{"80 Shore A stands in one table only", 80, 5, 0.50, "metric-table", 80},
		{"75 is judged by the 70 row", 75, 5, 0.25, "metric-table", 70},
		{"95 is judged by the 90 row", 95, 22, 0.17, "jis-b-2406", 90},
		{"no pressure", 70, 0, 0.35, "jis-b-2406", 70},
	} {
		t.Run(tc.name, func(t *testing.T) {
			a, all, err := gland.StrictestGap(tables, tc.hardness, unit.Pressure(tc.mpa*1e6))
			require.NoError(t, err)
			assert.Equal(t, tc.table, a.Table)
			assert.Equal(t, tc.row, a.Hardness)
			assert.InDelta(t, tc.gap, a.Gap.Millimetres(), 1e-9)
			assert.Len(t, all, 3)
			for _, o := range all {
				if o.Err == nil {
					assert.LessOrEqual(t, a.Gap, o.Gap)
				}
			}
		})
	}
	_, all, err := gland.StrictestGap(tables, 70, 30e6)
	require.ErrorContains(t, err, "ends at 25 MPa")
	assert.Len(t, all, 3)
	_, _, err = gland.StrictestGap(tables, 60, 1e6)
	require.ErrorContains(t, err, "softest")
	_, _, err = gland.StrictestGap(nil, 70, 1e6)
	require.ErrorContains(t, err, "empty")
	_, _, err = gland.StrictestGap(tables, 70, unit.Pressure(math.NaN()))
	require.Error(t, err)
}

func TestTheLargestPressureIsTheTableReadBackwards(t *testing.T) {
	tables := gapTables(t)
	a, all, err := gland.StrictestPressure(tables, 70, 0.2*mm)
	require.NoError(t, err)
	// 0.2 mm: up to 6.89 (inch), 6.86 (metric), 6.30 (JIS)
	assert.Equal(t, "jis-b-2406", a.Table)
	assert.InDelta(t, 6.30, float64(a.Pressure)/1e6, 1e-9)
	assert.Len(t, all, 3)
	r := rand.New(rand.NewSource(31))
	for range 300 {
		c := unit.Length(0.45*r.Float64()) * mm
		for _, h := range []unit.Hardness{70, 80, 90} {
			a, _, err := gland.StrictestPressure(tables, h, c)
			if err != nil {
				assert.ErrorContains(t, err, "any pressure")
				continue
			}
			at, _, err := gland.StrictestGap(tables, h, a.Pressure)
			require.NoError(t, err)
			assert.LessOrEqual(t, float64(c), float64(at.Gap)+1e-12, "at that pressure the clearance is still allowed")
			// a little more pressure: the clearance is no longer allowed, or that table ends there
			for _, tab := range tables {
				if tab.Name == a.Table {
					g, err := gland.GreatestGap(tab.Bands, a.Hardness, a.Pressure+1)
					assert.True(t, err != nil || g < c)
				}
			}
		}
	}
	_, _, err = gland.StrictestPressure(tables, 70, 0.5*mm)
	require.ErrorContains(t, err, "any pressure")
	_, _, err = gland.StrictestPressure(tables, 70, -1*mm)
	require.Error(t, err)
	_, _, err = gland.StrictestPressure(tables, 50, 0.1*mm)
	require.Error(t, err)
}

func TestClearanceRules(t *testing.T) {
	// O-ring handbook section IV: silicone 0.010 in becomes 0.005 in
	s, err := gland.SiliconeGap(0.010 * unit.Inch)
	require.NoError(t, err)
	assert.InDelta(t, 0.005, float64(s/unit.Inch), 1e-12)
	w, err := gland.SwellingBoreGap(0.4 * mm)
	require.NoError(t, err)
	assert.InDelta(t, 0.3, w.Millimetres(), 1e-12)
	g, err := gland.LocalGap(0.3*mm, 0.15*mm)
	require.NoError(t, err)
	assert.InDelta(t, 0.3, g.Millimetres(), 1e-12, "hard over, all of the clearance lies on one side")
	_, err = gland.LocalGap(0.3*mm, 0.2*mm)
	assert.Error(t, err)
	_, err = gland.SwellingBoreGap(0)
	assert.Error(t, err)
}

func TestLeadInTakesTheNextLargerRowAndNamesIt(t *testing.T) {
	tab := published(t, "oring-chamfer")
	var rows []gland.LeadIn
	for _, r := range tab.Where(table.Is("name", "housing-tables")) {
		static, _ := r.SI("static_mm")
		moving, _ := r.SI("moving_mm")
		rows = append(rows, gland.LeadIn{Cord: length(t, r, "cs_mm"), Static: unit.Length(static), Moving: unit.Length(moving)})
	}
	for _, tc := range []struct {
		name       string
		cord       float64
		moving     bool
		want, from float64
	}{
		{"printed: 3.53 static", 3.53, false, 2.5, 3.53},
		{"printed: 3.53 moving", 3.53, true, 1.8, 3.53},
		{"between 3.53 and 3.55", 3.54, false, 2.5, 3.55},
		{"1.80 is not printed for moving: 1.90 is", 1.80, true, 1.2, 1.90},
		{"1.60 is not printed for static: 1.78 is", 1.60, false, 1.5, 1.78},
	} {
		t.Run(tc.name, func(t *testing.T) {
			l, row, err := gland.LeastLeadIn(rows, unit.Length(tc.cord)*mm, tc.moving)
			require.NoError(t, err)
			assert.InDelta(t, tc.want, l.Millimetres(), 1e-9)
			assert.InDelta(t, tc.from, row.Cord.Millimetres(), 1e-9)
		})
	}
	for name, tc := range map[string]struct {
		cord   float64
		moving bool
	}{"7.5 moving": {7.5, true}, "5.5 static": {5.5, false}, "0.5": {0.5, true}, "nothing": {0, true}, "NaN": {math.NaN(), false}} {
		_, _, err := gland.LeastLeadIn(rows, unit.Length(tc.cord)*mm, tc.moving)
		require.Error(t, err, name)
	}
	_, _, err := gland.LeastLeadIn(nil, 3*mm, false)
	require.ErrorContains(t, err, "empty")
	// geometry: ring 32.4 over a bore of 31.04 and 15 degrees: 0.68 / tan 15 = 2.54, by hand
	l, err := gland.LeadInNeeded(32.4*mm, 31.04*mm, 15*unit.Degree)
	require.NoError(t, err)
	assert.InDelta(t, 2.538, l.Millimetres(), 0.001)
	_, err = gland.LeadInNeeded(31*mm, 31.04*mm, 15*unit.Degree)
	assert.Error(t, err)
	_, err = gland.LeadInNeeded(32*mm, 31.04*mm, 1*unit.Degree)
	assert.Error(t, err)
}

func TestSolvedLimitsMeetTheirLimits(t *testing.T) {
	r := rand.New(rand.NewSource(33))
	for range 200 {
		depth := unit.Length(1+5*r.Float64()) * mm
		c := unit.Ratio(0.05 + 0.3*r.Float64())
		d, err := gland.LeastCord(depth, c)
		require.NoError(t, err)
		s, err := gland.Squeeze(d, depth)
		require.NoError(t, err)
		assert.InDelta(t, float64(c), float64(s), 1e-12)

		h, err := gland.DeepestGroove(d, 0.05*mm, c)
		require.NoError(t, err)
		assert.InDelta(t, float64(depth), float64(h+0.05*mm), 1e-12)
		g, err := gland.GreatestFaceGap(d, h, c)
		require.NoError(t, err)
		assert.InDelta(t, 0.05, g.Millimetres(), 1e-9)

		w, err := gland.NarrowestGroove(d, depth, 0.1, 0.85)
		require.NoError(t, err)
		f, err := gland.FillArea(d, depth, w)
		require.NoError(t, err)
		f, err = gland.FillSwollen(f, 0.1)
		require.NoError(t, err)
		assert.InDelta(t, 0.85, float64(f), 1e-12)

		most, byFill, err := gland.GreatestCord(depth, w, 0.4, 0.85, 0.1)
		require.NoError(t, err)
		assert.True(t, byFill)
		assert.InDelta(t, float64(d), float64(most), 1e-12)
		_, byFill, err = gland.GreatestCord(depth, 0, c, 0, 0)
		require.NoError(t, err)
		assert.False(t, byFill)

		inner, err := gland.SmallestInner(d, 40*mm, d-depth)
		require.NoError(t, err)
		t2, err := gland.Depth(40*mm, inner)
		require.NoError(t, err)
		assert.InDelta(t, float64(depth), float64(t2), 1e-12)

		e, err := gland.GreatestOffset(d, inner, 40*mm, (d-depth)/2)
		require.NoError(t, err)
		least, _, err := gland.SqueezeAround(d, inner, gland.Round(40*mm), gland.Offset{By: e})
		require.NoError(t, err)
		assert.InDelta(t, float64((d-depth)/2), float64(least.Squeeze), 1e-12)

		set, err := gland.GreatestSet(d, depth, (d-depth)/4)
		require.NoError(t, err)
		assert.InDelta(t, 0.75, float64(set), 1e-12)
		follow, err := gland.FollowUp(d, depth, set)
		require.NoError(t, err)
		assert.InDelta(t, float64((d-depth)/4), float64(follow), 1e-12)
	}
	// reference row: 3.53 in 2.82 x 4.75 is 73.1 % full, 84.0 % with 15 % swell
	swell, err := gland.GreatestSwell(0.731, 0.840)
	require.NoError(t, err)
	assert.InDelta(t, 15, swell.Percent(), 0.2)
	shallow, err := gland.ShallowestGroove(3.53*mm, 0, 0.3)
	require.NoError(t, err)
	assert.InDelta(t, 2.471, shallow.Millimetres(), 1e-9)
}

func TestSolvedLimitsRefuseInWords(t *testing.T) {
	nan := unit.Length(math.NaN())
	_, _, noFill := gland.GreatestCord(2*mm, 4*mm, 0.3, 0, 0)
	for name, err := range map[string]error{
		"no depth":                      second(gland.LeastCord(0, 0.1)),
		"a squeeze of 60 %":             second(gland.LeastCord(2*mm, 0.6)),
		"a fill of 0":                   noFill,
		"a gap that takes the gland":    second(gland.DeepestGroove(2*mm, 2*mm, 0.1)),
		"a cord that is not a number":   second(gland.ShallowestGroove(nan, 0, 0.3)),
		"a groove too deep when shut":   second(gland.GreatestFaceGap(3.53*mm, 3.4*mm, 0.1)),
		"a squeeze as thick as the rod": second(gland.SmallestInner(3*mm, 30*mm, 3*mm)),
		"a cord thicker than the bore":  second(gland.SmallestInner(30*mm, 30*mm, 1*mm)),
		"a loose ring to be offset":     second(gland.GreatestOffset(2*mm, 25*mm, 31*mm, 0.3*mm)),
		"a fill of 200 %":               second(gland.NarrowestGroove(3*mm, 2*mm, 0, 2)),
		"an empty groove":               second(gland.GreatestSwell(0, 0.9)),
		"a follow-up beyond new":        second(gland.GreatestSet(3*mm, 2.5*mm, 1*mm)),
		"a negative follow-up":          second(gland.GreatestSet(3*mm, 2.5*mm, -1*mm)),
	} {
		require.Error(t, err, name)
		assert.Greater(t, len(err.Error()), 20, name)
	}
}
