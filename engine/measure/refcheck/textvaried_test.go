package refcheck

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// variedRow is a row nobody has coded: other numbers, other wording, and the value by a plain
// formula written here.
type variedRow struct {
	ask, inputs string
	want        string
	unit        string
	within      string
}

func figure(x float64) string { return fmt.Sprintf("%.9g", x) }

// TestTheTextReaderComputesRowsItHasNeverSeen writes a folder of the same formats and runs it as a
// foreign folder is run.
func TestTheTextReaderComputesRowsItHasNeverSeen(t *testing.T) {
	dir := t.TempDir()
	rings, joints := variedRings(), variedJoints()
	write(t, filepath.Join(dir, "oring-checks.csv"), []string{"id", "topic", "inputs", "expected", "unit", "tolerance", "kind", "source"}, rings, func(i int, r variedRow) []string {
		return []string{fmt.Sprintf("OR-V%03d", i), r.ask, r.inputs, r.want, r.unit, r.within, "formula", "plain formula"}
	})
	write(t, filepath.Join(dir, "gasket-bolt-hose-checks.csv"), []string{"id", "area", "what", "inputs", "expected", "unit", "tolerance", "kind", "source"}, joints, func(i int, r variedRow) []string {
		// half of them stand under ids of ours, with other inputs
		id := fmt.Sprintf("GB-%03d", i+1)
		if i%2 == 1 {
			id = fmt.Sprintf("GB-V%03d", i)
		}
		return []string{id, "bolt", r.ask, r.inputs, r.want, r.unit, r.within, "D", "plain formula"}
	})
	t.Setenv("SEEPWRIGHT_REFERENCE", dir)
	sizes, list := as568(t)
	coded, texts, unread := runChecks(t, "oring-checks.csv", oringCases(sizes, list, extrusion(t)), nil, func(row map[string]string) (answer, error) {
		return ringFromText(row, tables{sizes, list, extrusion(t)})
	})
	assert.Zero(t, coded)
	assert.Zero(t, unread)
	assert.Equal(t, len(rings), texts)
	all := map[string]func() (answer, error){}
	for _, group := range []map[string]func() (answer, error){boltCases(), torqueCases(), gasketCases(), coverCases(), heatCases(), hoseCases()} {
		for id, c := range group {
			all[id] = c
		}
	}
	coded, texts, unread = runChecks(t, "gasket-bolt-hose-checks.csv", all, nil, jointFromText)
	assert.Zero(t, coded, "a row with other inputs under an id of ours is not run with our inputs")
	assert.Zero(t, unread)
	assert.Equal(t, len(joints), texts)
}

// TestWhatCannotBeReadIsCounted writes rows that no reader can answer.
func TestWhatCannotBeReadIsCounted(t *testing.T) {
	dir := t.TempDir()
	list := []variedRow{{"no_such_topic", "cs=2.62", "1", "mm", "1"}, {"squeeze_range", "cs=2.62+/-0.08; bore=45(+0.05/0)", "min 1; max 2", "mm", "1"}, {"squeeze", "cs=2,620; depth=2.1", "1", "mm", "1"}}
	write(t, filepath.Join(dir, "oring-checks.csv"), []string{"id", "topic", "inputs", "expected", "unit", "tolerance"}, list, func(i int, r variedRow) []string {
		return []string{fmt.Sprintf("X%d", i), r.ask, r.inputs, r.want, r.unit, r.within}
	})
	t.Setenv("SEEPWRIGHT_REFERENCE", dir)
	coded, texts, unread := runChecks(t, "oring-checks.csv", nil, nil, func(row map[string]string) (answer, error) { return ringFromText(row, tables{}) })
	assert.Equal(t, [3]int{0, 0, 3}, [3]int{coded, texts, unread})
}

func write(t *testing.T, path string, head []string, list []variedRow, line func(int, variedRow) []string) {
	t.Helper()
	f, err := os.Create(path)
	require.NoError(t, err)
	w := csv.NewWriter(f)
	require.NoError(t, w.Write(head))
	for i, r := range list {
		require.NoError(t, w.Write(line(i, r)))
	}
	w.Flush()
	require.NoError(t, w.Error())
	require.NoError(t, f.Close())
}

// lossOf is the published relation of section lost to stretch, both in per cent.
func lossOf(x float64) float64 {
	if x > 3 {
		return 0.56 + 0.59*x - 0.0046*x*x
	}
	return -0.005 + 1.19*x - 0.19*x*x - 0.001*x*x*x + 0.008*x*x*x*x
}

func variedRings() []variedRow {
	cs, tol, bore, groove := 2.62, 0.08, 45.0, 40.6
	least, most := cs-tol-(bore+0.05-(groove-0.06))/2, cs+tol-(bore-groove)/2
	depth, width := 2.10, 3.60
	fill := 100 * math.Pi * cs * cs / 4 / (depth * width)
	lineLoad := func(d, e, c float64) float64 {
		return math.Pi * d * e * (1.25*math.Pow(c, 1.5) + 50*math.Pow(c, 6)) / math.Pi
	}
	young := func(s float64) float64 { return 0.0981 * (56 + 7.62336*s) / (0.137505 * (254 - 2.54*s)) }
	id, id2 := 19.3, 20.1
	torus := func() float64 { // d2e^2 (dg + d2e) = cs^2 (id + cs), solved by halving
		lo, hi := 0.0, cs
		for range 100 {
			m := (lo + hi) / 2
			if m*m*(id2+m) < cs*cs*(id+cs) {
				lo = m
			} else {
				hi = m
			}
		}
		return lo
	}()
	return []variedRow{
		{"squeeze", "cord=2.62mm; groove_depth=2.10mm (cover seal)", figure(0.52), "mm", "1e-6"},
		{"squeeze_pct", "section 2.62 mm, gland depth 2.10 mm", figure(100 * 0.52 / 2.62), "%", "1e-6"},
		{"squeeze_pct", "cs=0.103in; bore=1.250in; groove_dia=1.080in", figure(100 * (0.103 - 0.085) / 0.103), "%", "1e-6"},
		{"squeeze_range", "cs=2.62+/-0.08; shaft_groove=40.6(0/-0.06); bore=45(+0.05/0)", fmt.Sprintf("max %s; min %s", figure(most), figure(least)), "mm", "1e-6"},
		{"squeeze_range", "bore=45..45.05 mm; groove=40.54..40.6 mm; cs=2.62 ± 0.08 mm", fmt.Sprintf("min %s; max %s", figure(least), figure(most)), "mm", "1e-6"},
		{"squeeze_range_pct", "cs=2.62+/-0.08; shaft_groove=40.6 (0/-0.06) mm; bore=45 (+0.05/0) mm", fmt.Sprintf("max %s; min %s", figure(100*most/(cs+tol)), figure(100*least/(cs-tol))), "%", "1e-6"},
		{"squeeze_range", "cs=0.210+/-0.005in; gland_depth=0.171 to 0.174in", "min 0.031; max 0.044", "in", "1e-6"},
		{"squeeze_range", "cs=5.33+/-0.13 mm; gland_depth=4.30(+0.05/-0.05)", "min 0.85; max 1.21", "mm", "1e-6"},
		{"gland_depth_range", "bore=2.003-2.005 in; groove=1.758-1.760 in", "min 0.1215; max 0.1235", "in", "1e-6"},
		{"gland_depth_range", "rod=30(0/-0.03); groove_dia=34.4(+0.08/0)", fmt.Sprintf("min %s; max %s", figure(2.2), figure(2.255)), "mm", "1e-6"},
		{"squeeze_pct_mean", "cs=0.139in; gland_depth_mean=0.112in", figure(100 * 0.027 / 0.139), "%", "1e-6"},
		{"stretch_pct", "id=42.5mm; groove_dia=44.0mm", figure(100 * 1.5 / 42.5), "%", "1e-6"},
		{"section_loss_pct", "stretch=2.5%", figure(lossOf(2.5)), "%", "2e-2"},
		{"section_loss_pct", "stretch=12 %", figure(lossOf(12)), "%", "1e-6"},
		{"section_after_stretch", "cs=2.62mm; section_loss=3.1%", figure(2.62 * (1 - 0.031)), "mm", "1e-6"},
		{"squeeze_pct_after_stretch", "cs_after=2.55mm; radial_gap=2.1mm (bore 44.8, groove 40.6)", figure(100 * 0.45 / 2.55), "%", "1e-6"},
		{"section_constant_volume", "id=19.3; cs=2.62; groove_dia=20.1", figure(torus), "mm", "1e-6"},
		{"section_rule_of_thumb_pct", "stretch=3%", "1.5", "%", "1e-6"},
		{"stretch_limit_groove_dia", "id=1.234in; max stretch 4%", figure(1.234 * 1.04), "in", "1e-6"},
		{"iso3601_class_b_id_tol", "id=42 mm", figure(0.009*math.Pow(42, 0.95) + 0.11), "mm", "1e-6"},
		{"gland_fill_area_pct", "cs=2.62; depth=2.10; width=3.60", figure(fill), "%", "1e-6"},
		{"gland_fill_with_swell_pct", "cs=2.62; depth=2.10; width=3.60; swell=12% vol", figure(1.12 * fill), "%", "1e-6"},
		{"gland_fill_volume_pct", "id=19.3; cs=2.62; groove_dia=20.1; bore=24.3; width=3.6", figure(100 * math.Pi * math.Pi / 4 * cs * cs * (id + cs) / (math.Pi / 4 * (24.3*24.3 - 20.1*20.1) * 3.6)), "%", "1e-6"},
		{"gland_fill_max_material_pct", "cs=2.70 (max); depth=2.05 (min); width=3.55 (min)", figure(100 * math.Pi * 2.7 * 2.7 / 4 / (2.05 * 3.55)), "%", "1e-6"},
		{"thermal_volume_growth_pct", "cte_linear=18e-5/C; dT=60C", figure(3 * 18e-5 * 60 * 100), "%", "1e-6"},
		{"thermal_section_change_mm", "cs=2.62; cte=18e-5/C; dT=-40C", figure(-2.62 * 18e-5 * 40), "mm", "1e-6"},
		{"squeeze_pct_cold", "cs=2.62; depth=2.20; nitrile cte=12e-5/C; dT=-45C; metal unchanged", figure(100 * (1 - 2.20/(2.62*(1-12e-5*45)))), "%", "1e-3"},
		{"squeeze_pct_cold", "cs=2.62; depth=2.20; cte=12e-5/C; from 20C to -25C", figure(100 * (1 - 2.20/(2.62*(1-12e-5*45)))), "%", "1e-3"},
		{"thermal_volume_growth_pct", "cte_linear=16e-5/C; dT=144F", "3.84", "%", "1e-6"},
		{"min_cs_for_squeeze", "gland depth=2.10; least squeeze 15 %", figure(2.10 / 0.85), "mm", "1e-6"},
		{"max_depth_for_squeeze", "cs=2.62; gap between faces=0.05; least squeeze 15 %", figure(2.62*0.85 - 0.05), "mm", "1e-6"},
		{"min_width_for_fill", "cs=2.62; depth=2.10; fill 85 %; swell=10 %", figure(math.Pi / 4 * 2.62 * 2.62 * 1.1 / (2.10 * 0.85)), "mm", "1e-6"},
		{"od_interference_pct", "id=30; cs=2.62; wall=34.9", figure(100 * (35.24 - 34.9) / 35.24), "%", "1e-6"},
		{"swollen_section_mm", "cs=2.62; volume swell=14%", figure(2.62 * math.Cbrt(1.14)), "mm", "1e-6"},
		{"cte_conversion", "7.0e-5 per F", "12.6", "1e-5/C", "1e-6"},
		{"compression_set_pct", "t0=2.62; ts=2.00; t1=2.40", figure(100 * 0.22 / 0.62), "%", "1e-6"},
		{"height_after_set", "t0=2.62; ts=2.00; set=40%", figure(2.62 - 0.4*0.62), "mm", "1e-6"},
		{"residual_squeeze_pct_refit", "t0=2.62; gland=2.10; set=30%", figure(100 * 0.7 * 0.52 / (2.62 - 0.3*0.52)), "%", "1e-6"},
		{"youngs_modulus_from_shore_a", "shore_a=65", figure(young(65)), "MPa", "1e-3"},
		{"youngs_modulus_from_shore_a_log", "shore_a=60; log10(E)=0.0235*S-0.6403", figure(math.Pow(10, 0.0235*60-0.6403)), "MPa", "1e-3"},
		{"line_load", "cord=2.62mm; E=4.0MPa; squeeze=18%", figure(lineLoad(2.62, 4, 0.18)), "N/mm", "1e-6"},
		{"contact_width", "cord=2.62; squeeze=18%; b=2.4*C*d", figure(2.4 * 0.18 * 2.62), "mm", "1e-6"},
		{"min_squeeze_eccentric", "cs=2.62; gland_depth_mean=2.10; axis_offset=0.08", figure(2.62 - 2.18), "mm", "1e-4"},
		{"min_squeeze_oval_bore", "cs=2.62; groove=40.60; bore 44.80 x 44.96; concentric", figure(2.62 - (44.96-40.6)/2), "mm", "1e-4"},
		{"min_squeeze_oval_and_eccentric", "cs=2.62; groove=40.60; bore 44.80 x 44.96; axis_offset=0.04 along the long axis", figure(2.62 - (44.96-40.6)/2 - 0.04), "mm", "1e-4"},
		{"min_squeeze_pct_piston_on_one_side", "cs=2.62; groove=40.60; bore=44.80; spigot=44.72", figure(100 * (2.62 - 2.10 - 0.04) / 2.62), "%", "1e-3"},
		{"axis_offset_from_tir", "tir=0.07mm", "0.035", "mm", "1e-6"},
		{"max_ovality_for_min_squeeze", "cs=2.62; groove=40.60; mean bore=44.80; concentric; local squeeze must stay >=0.30mm", figure(2 * (40.6 + 2*2.32 - 44.8)), "mm (Dmax-Dmin)", "1e-4"},
		{"extrusion_gap_max_diametral", "shore_a=90; p=8.0MPa; table E1", "0.508", "mm", "1e-6"},
		{"extrusion_gap_max_diametral", "shore_a=70; p=12.0MPa (JIS table)", "0.07", "mm", "1e-6"},
		{"extrusion_verdict", "shore_a=90; p=1200psi; diametral clearance=0.012in", "pass", "-", "-"},
		{"silicone_clearance", "tabulated diametral clearance=0.016in; silicone ring", "0.008", "in", "1e-6"},
		{"low_temp_static_limit", "TR10=-30C", "-38", "C", "1"},
		{"rod_gland_depth", "groove_dia=34.40; rod=30.00", "2.2", "mm", "1e-6"},
		{"squeeze_pct_face_with_standoff", "cs=2.62; groove_depth=2.05; gap between faces=0.08", figure(100 * (2.62 - 2.13) / 2.62), "%", "1e-6"},
		{"as568_od", "dash=112", figure(0.487 + 2*0.103), "in", "1e-6"},
		{"identify_dash", "measured id=21.9mm; cs=3.55mm", "-212; id differs +0.08 mm; inside the new-ring tolerance", "-", "0.011"},
	}
}
