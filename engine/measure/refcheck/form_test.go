package refcheck

import (
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/form"
	"seepwright/rules/unit"
)

// set is one file of form/.
type set struct {
	ID, Group string
	Scale     float64
	Data      json.RawMessage
	Lines     []struct {
		Name   string
		Points [][]float64
	}
	LeafSet []float64 `json:"leaf_set"`
	Vee     float64   `json:"v_angle_deg"`
	Lobes   int
	Foot    float64 `json:"foot_spacing_inch"`
	Expect  map[string]any
}

// table reads the rows of numbers; what is not a number becomes NaN, for the measure packages
// to refuse in their own words.
func (s set) table(t *testing.T) [][]float64 {
	var raw [][]any
	require.NoError(t, json.Unmarshal(s.Data, &raw))
	out := make([][]float64, len(raw))
	for i, r := range raw {
		for _, v := range r {
			x, ok := v.(float64)
			if !ok {
				x = math.NaN()
			}
			out[i] = append(out[i], x)
		}
	}
	return out
}

// known groups and how each is evaluated; the result has the keys of expect, in the units of the file.
var groups = map[string]func(t *testing.T, s set) (map[string]any, error){
	"circle_polar":       circlePolar,
	"circle_xy":          circleXY,
	"circle_dial":        circleDial,
	"two_point":          twoPoint,
	"three_point_bore":   threePoint,
	"v_block":            vBlock,
	"flat_xyz":           flatXYZ,
	"straightedge_lines": straightedgeLines,
	"eight_line_levels":  eightLines,
}

// notAnswers are keys of expect that are no answer of a right method.
var notAnswers = map[string]bool{"algebraic_trap": true, "note": true}

func TestEveryFormSetAgreesWithItsFile(t *testing.T) {
	dir, own := reference()
	files, err := filepath.Glob(filepath.Join(dir, "form", "*.json"))
	require.NoError(t, err)
	if len(files) == 0 && !own {
		t.Skip("no form sets in the folder that SEEPWRIGHT_REFERENCE names")
	}
	sort.Strings(files)
	done, numbers, ties := 0, 0, 0
	for _, f := range files {
		if filepath.Base(f) == "leak-cases.json" {
			continue
		}
		var s set
		readJSON(t, f, &s)
		done++
		if s.Scale == 0 {
			s.Scale = 1 // the levels name no size; their steps are near 1
		}
		t.Run(s.ID+" "+s.Group, func(t *testing.T) {
			run, ok := groups[s.Group]
			require.True(t, ok, "no evaluation for group %q", s.Group)
			got, err := run(t, s)
			if s.Expect["refuse"] == true {
				require.Error(t, err)
				assert.Greater(t, len(strings.Fields(err.Error())), 4, "a refusal is said in words: %v", err)
				return
			}
			require.NoError(t, err)
			ties += settleTies(t, s, got)
			numbers += compare(t, "", s.Expect, got, s.Scale)
		})
	}
	require.Positive(t, done)
	t.Logf("form sets checked: %d, answers compared: %d, equally good places of contact: %d", done, numbers, ties)
}

// settleTies accepts another place of contact only where it is proved to be equally good: about the
// file's centre the circle or ring has the same size, or the file's contacts touch it too, or the
// file itself calls the slopes of a zone not unique. The size of circle or zone is always compared.
func settleTies(t *testing.T, s set, got map[string]any) int {
	n := 0
	for _, k := range []string{"mzc", "mcc", "mic"} {
		want, _ := s.Expect[k].(map[string]any)
		mine, _ := got[k].(map[string]any)
		if want == nil || mine == nil || fmt.Sprint(want["contacts"], want["contacts_outer"], want["contacts_inner"]) == fmt.Sprint(mine["contacts"], mine["contacts_outer"], mine["contacts_inner"]) {
			continue
		}
		if touches(t, s, k, want, mine) {
			n++
			for _, key := range []string{"cx", "cy", "contacts", "contacts_outer", "contacts_inner", "contact_pattern"} {
				if v, ok := want[key]; ok {
					mine[key] = v
				}
			}
		}
	}
	if want, _ := s.Expect["mz_vertical"].(map[string]any); want != nil && want["a"] == nil && want["b"] == nil {
		mine := got["mz_vertical"].(map[string]any)
		if fmt.Sprint(mine["contact_pattern"]) != fmt.Sprint(want["contact_pattern"]) {
			n++
			for _, k := range []string{"upper", "lower", "contact_pattern"} {
				mine[k] = want[k]
			}
		}
	}
	return n
}

// touches says whether the circle or ring about the file's centre has the size found here, and
// whether the file's contacts lie on it.
func touches(t *testing.T, s set, kind string, want, mine map[string]any) bool {
	p := points(t, s)
	d := func(i int) float64 { return math.Hypot(p[i].X*1e3-number(want["cx"]), p[i].Y*1e3-number(want["cy"])) }
	lo, hi := math.Inf(1), 0.0
	for i := range p {
		lo, hi = math.Min(lo, d(i)), math.Max(hi, d(i))
	}
	on := func(key string, r float64) bool {
		list, _ := want[key].([]any)
		for _, i := range list {
			if !formClose(d(int(number(i))), r, s.Scale) {
				return false
			}
		}
		return true
	}
	switch kind {
	case "mzc":
		return formClose(hi-lo, number(mine["roundness"]), s.Scale) && on("contacts_outer", hi) && on("contacts_inner", lo)
	case "mcc":
		return formClose(hi, number(mine["r"]), s.Scale) && on("contacts", hi)
	}
	return formClose(lo, number(mine["r"]), s.Scale) && on("contacts", lo)
}

func points(t *testing.T, s set) []form.Point {
	if s.Group == "circle_polar" {
		return form.XY(polar(s.table(t)))
	}
	var p []form.Point
	for _, r := range s.table(t) {
		p = append(p, form.Point{X: r[0] * 1e-3, Y: r[1] * 1e-3})
	}
	return p
}

// compare walks what the file expects; every answer that is not null must be there and agree.
func compare(t *testing.T, path string, want map[string]any, got map[string]any, scale float64) int {
	n := 0
	for k, w := range want {
		if w == nil || notAnswers[k] {
			continue
		}
		g, ok := got[k]
		if !assert.True(t, ok, "%s%s is not computed", path, k) {
			continue
		}
		n += compareOne(t, path+k, w, g, scale)
	}
	return n
}

func compareOne(t *testing.T, path string, want, got any, scale float64) int {
	switch w := want.(type) {
	case map[string]any:
		return compare(t, path+".", w, got.(map[string]any), scale)
	case []any:
		g := got.([]any)
		if !assert.Len(t, g, len(w), "%s: want %v, got %v", path, w, g) {
			return 1
		}
		n := 0
		for i := range w {
			n += compareOne(t, fmt.Sprintf("%s[%d]", path, i), w[i], g[i], scale)
		}
		return n
	case float64:
		g := number(got)
		assert.True(t, formClose(g, w, scale), "%s: want %.15g, got %.15g", path, w, g)
		return 1
	case nil:
		return 0
	}
	assert.Equal(t, want, got, path)
	return 1
}

func number(v any) float64 {
	switch x := v.(type) {
	case float64:
		return x
	case int:
		return float64(x)
	}
	return math.NaN()
}

func mm(l unit.Length) float64 { return l.Millimetres() }

func ints(in []int) []any {
	out := make([]any, len(in))
	for i, v := range in {
		out[i] = v
	}
	return out
}

func fourCircles(p []form.Point) (map[string]any, error) {
	lsc, err := form.LeastSquares(p)
	if err != nil {
		return nil, err
	}
	out := map[string]any{"lsc": map[string]any{"cx": lsc.X * 1e3, "cy": lsc.Y * 1e3, "r": mm(lsc.R), "dev_max": mm(lsc.High), "dev_min": mm(lsc.Low), "roundness": mm(lsc.Roundness()), "rms": mm(lsc.RMS)}}
	if z, err := form.MinimumZone(p); err == nil {
		out["mzc"] = map[string]any{"cx": z.X * 1e3, "cy": z.Y * 1e3, "r_out": mm(z.Outer), "r_in": mm(z.Inner), "roundness": mm(z.Roundness()),
			"contacts_outer": ints(z.OuterAt), "contacts_inner": ints(z.InnerAt), "contact_pattern": fmt.Sprintf("%d-%d", len(z.OuterAt), len(z.InnerAt))}
	}
	for name, f := range map[string]func([]form.Point) (form.Touching, error){"mcc": form.Circumscribed, "mic": form.Inscribed} {
		if c, err := f(p); err == nil {
			out[name] = map[string]any{"cx": c.X * 1e3, "cy": c.Y * 1e3, "r": mm(c.R), "roundness": mm(c.Roundness), "contacts": ints(c.At)}
		}
	}
	return out, nil
}

func polar(rows [][]float64) []form.Polar {
	var p []form.Polar
	for _, r := range rows {
		p = append(p, form.Polar{At: unit.Angle(r[0]) * unit.Degree, Radius: unit.Length(r[1]) * unit.Millimetre})
	}
	return p
}

func circlePolar(t *testing.T, s set) (map[string]any, error) {
	p := polar(s.table(t))
	out, err := fourCircles(form.XY(p))
	if err != nil {
		return nil, err
	}
	if _, ok := s.Expect["limacon"]; ok {
		l, err := limacon(p)
		if err != nil {
			return nil, err
		}
		out["limacon"] = l
	}
	return out, nil
}

func circleXY(t *testing.T, s set) (map[string]any, error) {
	return fourCircles(points(t, s))
}

func circleDial(t *testing.T, s set) (map[string]any, error) {
	l, err := limacon(polar(s.table(t)))
	return map[string]any{"limacon": l}, err
}

func limacon(p []form.Polar) (map[string]any, error) {
	ls, err := form.LimaconLeastSquares(p)
	if err != nil {
		return nil, err
	}
	z, err := form.LimaconZone(p)
	if err != nil {
		return nil, err
	}
	out := map[string]any{
		"lsc": map[string]any{"r": mm(ls.R), "a": mm(ls.A), "b": mm(ls.B), "ecc": mm(ls.Off()), "dev_max": mm(ls.High), "dev_min": mm(ls.Low), "roundness": mm(ls.Roundness()), "rms": mm(ls.RMS)},
		"mzc": map[string]any{"roundness": mm(z.Roundness()), "a": mm(z.A), "b": mm(z.B), "r_out": mm(z.R + z.High), "r_in": mm(z.R + z.Low)},
	}
	for name, f := range map[string]func([]form.Polar) (form.Limacon, error){"mcc": form.LimaconOutside, "mic": form.LimaconInside} {
		if l, err := f(p); err == nil {
			out[name] = map[string]any{"r": mm(l.R), "a": mm(l.A), "b": mm(l.B), "roundness": mm(l.Roundness())}
		}
	}
	return out, nil
}

func diameters(t *testing.T, s set) []form.Diameter {
	var d []form.Diameter
	for _, r := range s.table(t) {
		d = append(d, form.Diameter{At: unit.Angle(r[0]) * unit.Degree, D: unit.Length(r[1]) * unit.Millimetre})
	}
	return d
}

func threePoint(t *testing.T, s set) (map[string]any, error) {
	d, err := form.Diameters(diameters(t, s))
	return map[string]any{"d_max": mm(d.Largest), "d_min": mm(d.Smallest), "d_mean": mm(d.Mean), "d_range": mm(d.Range()), "half_range": mm(d.HalfRange())}, err
}

func twoPoint(t *testing.T, s set) (map[string]any, error) {
	out, err := threePoint(t, s)
	if err != nil {
		return nil, err
	}
	if _, ok := s.Expect["oval_fit"]; ok {
		o, err := form.FitOval(diameters(t, s))
		if err != nil {
			return nil, err
		}
		deg := float64(o.Major / unit.Degree)
		out["oval_fit"] = map[string]any{"d_mean": mm(o.Mean), "d_semi_amplitude": mm(o.Semi), "ovality_dmax_minus_dmin": mm(o.Ovality()), "major_axis_deg": deg, "residual_range": mm(o.Residual)}
		if want, ok := s.Expect["oval_fit"].(map[string]any)["major_axis_deg"].(float64); ok && math.Abs(deg-want) > 179 {
			out["oval_fit"].(map[string]any)["major_axis_deg"] = deg - 180 // the same axis
		}
	}
	return out, nil
}

func vBlock(t *testing.T, s set) (map[string]any, error) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, r := range s.table(t) {
		lo, hi = math.Min(lo, r[1]), math.Max(hi, r[1])
	}
	vee := unit.Angle(s.Vee) * unit.Degree
	f, err := form.VeeFactor(s.Lobes, vee)
	if err != nil {
		return nil, err
	}
	out := map[string]any{"total_indicator_reading": hi - lo, "factor": float64(f)}
	if e, err := form.FromVee(unit.Length(hi-lo)*unit.Millimetre, s.Lobes, vee); err == nil {
		out["roundness_estimate"] = mm(e)
	}
	return out, nil
}

func flatXYZ(t *testing.T, s set) (map[string]any, error) {
	var p []form.Height
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, r := range s.table(t) {
		p = append(p, form.Height{X: r[0] * 1e-3, Y: r[1] * 1e-3, Z: r[2] * 1e-3})
		lo, hi = math.Min(lo, r[2]), math.Max(hi, r[2])
	}
	ls, err := form.PlaneLeastSquares(p)
	if err != nil {
		return nil, err
	}
	sq, err := form.PlaneSquareLeastSquares(p)
	if err != nil {
		return nil, err
	}
	mz, err := form.FlatnessZone(p)
	if err != nil {
		return nil, err
	}
	mo, err := form.FlatnessZoneSquare(p)
	if err != nil {
		return nil, err
	}
	return map[string]any{
		"ls_vertical":   map[string]any{"a": ls.A, "b": ls.B, "c": ls.C * 1e3, "dev_max": mm(ls.High), "dev_min": mm(ls.Low), "flatness": mm(ls.Flatness()), "rms": mm(ls.RMS)},
		"ls_orthogonal": map[string]any{"nx": sq.NX, "ny": sq.NY, "nz": sq.NZ, "dev_max": mm(sq.High), "dev_min": mm(sq.Low), "flatness": mm(sq.Flatness()), "rms": mm(sq.RMS)},
		"mz_vertical":   map[string]any{"flatness": mm(mz.Flatness), "a": mz.A, "b": mz.B, "upper": ints(mz.Upper), "lower": ints(mz.Lower), "contact_pattern": mz.Pattern},
		"mz_orthogonal": map[string]any{"flatness": mm(mo)},
		"raw_range":     hi - lo,
	}, nil
}

func straightedgeLines(_ *testing.T, s set) (map[string]any, error) {
	var leaves []unit.Length
	for _, l := range s.LeafSet {
		leaves = append(leaves, unit.Length(l)*unit.Millimetre)
	}
	var lines []any
	var face []form.Height
	largest := 0.0
	for _, l := range s.Lines {
		var p []form.LinePoint
		for _, r := range l.Points {
			p = append(p, form.LinePoint{S: unit.Length(r[0]) * unit.Millimetre, Height: unit.Length(r[1]) * unit.Millimetre})
			if h := (form.Height{X: r[2] * 1e-3, Y: r[3] * 1e-3, Z: r[1] * 1e-3}); !slices.Contains(face, h) { // lines cross: a place counts once
				face = append(face, h)
			}
		}
		got, err := form.Straightedge(p)
		if err != nil {
			return nil, err
		}
		m := map[string]any{"name": l.Name, "max_gap": mm(got.Gap), "at_index": got.GapAt, "contacts": ints(got.Rests),
			"end_line_straightness": mm(got.EndLine), "ls_straightness": mm(got.LeastSquares), "mz_straightness": mm(got.NarrowestZone)}
		enters, ok, next, all := form.Leaf(got.Gap, leaves)
		if ok {
			m["leaf_that_enters"] = mm(enters)
		}
		if !all {
			m["next_leaf"] = mm(next)
		}
		lines = append(lines, m)
		largest = math.Max(largest, mm(got.Gap))
	}
	mz, err := form.FlatnessZone(face)
	if err != nil {
		return nil, err
	}
	ls, err := form.PlaneLeastSquares(face)
	if err != nil {
		return nil, err
	}
	return map[string]any{"lines": lines, "largest_gap": largest, "surface_mz_flatness": mm(mz.Flatness), "surface_ls_flatness": mm(ls.Flatness())}, nil
}

func eightLines(t *testing.T, s set) (map[string]any, error) {
	var d map[string][]float64
	require.NoError(t, json.Unmarshal(s.Data, &d))
	h, err := form.EightLineLevels(form.EightLines{
		DiagonalNWSE: d["diagonal_NW_SE"], DiagonalNESW: d["diagonal_NE_SW"], NorthEW: d["north_E_to_W"], SouthEW: d["south_E_to_W"],
		EastNS: d["east_N_to_S"], WestNS: d["west_N_to_S"], CentreEW: d["centre_E_to_W"], CentreNS: d["centre_N_to_S"],
	})
	if err != nil {
		return nil, err
	}
	row := func(v []float64) []any {
		out := make([]any, len(v))
		for i, x := range v {
			out[i] = x
		}
		return out
	}
	step := form.TiltStep(unit.Length(s.Foot)*unit.Inch, unit.Degree/3600)
	return map[string]any{
		"heights_above_lowest_arcsec_steps": map[string]any{
			"diagonal_NW_SE": row(h.DiagonalNWSE), "diagonal_NE_SW": row(h.DiagonalNESW), "north_E_to_W": row(h.NorthEW), "south_E_to_W": row(h.SouthEW),
			"east_N_to_S": row(h.EastNS), "west_N_to_S": row(h.WestNS), "centre_E_to_W": row(h.CentreEW), "centre_N_to_S": row(h.CentreNS)},
		"closure_error_arcsec_steps": map[string]any{"centre_E_to_W": h.ClosureEW, "centre_N_to_S": h.ClosureNS},
		"flatness_arcsec_steps":      h.Flatness,
		"flatness_micrometre":        h.Flatness * float64(step) * 1e6,
		"flatness_micro_inch":        h.Flatness * float64(step/unit.Inch) * 1e6,
	}, nil
}
