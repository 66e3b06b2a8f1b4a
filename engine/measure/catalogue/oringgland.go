package catalogue

import (
	"math"
	"strings"

	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func ringGlands() []Calculation {
	return []Calculation{oringGland(), oringSurface(), oringTaperSqueeze()}
}

// glandTables are the published glands by duty.
var glandTables = map[string]string{"static": "oring-gland-static", "face": "oring-gland-face", "moving": "oring-gland-dynamic"}

// metricDuty is the name of a duty in the metric table.
var metricDuty = map[string]string{"static": "static-radial", "face": "face", "moving": "hydraulic"}

const glandFrom = "published gland tables, row of the section"

func oringGland() Calculation {
	in := []Input{cordIn, {Name: "duty", Title: "how the ring seals", Words: []string{"static", "face", "moving"}}, {Name: "gland-depth", Title: "gland depth as it is, clearance counted", Dim: unit.LengthDim, Optional: true},
		{Name: "groove-width", Title: "width of the groove as it is", Dim: unit.LengthDim, Optional: true}, {Name: "clearance", Title: "diametral clearance as it is", Dim: unit.LengthDim, Optional: true}, {Name: "runout", Title: "run-out of groove to land, total indicator reading", Dim: unit.LengthDim, Optional: true},
		{Name: "least-depth", Title: "least gland depth", Dim: unit.LengthDim, Optional: true}, {Name: "greatest-depth", Title: "greatest gland depth", Dim: unit.LengthDim, Optional: true}}
	return Calculation{
		Name: "oring-gland", Title: "Published gland for a section",
		About:  "Looks up the gland that the published tables give for a cord: depth, width, clearance and run-out. Tables in inches first; the metric table and the other sources stand beside them.",
		Inputs: in,
		Outputs: []Output{
			{"depth-from", "least gland depth", unit.LengthDim, "row of the section", "published gland tables (oring-gland-static, -face, -dynamic)", confirmed},
			{"depth-to", "greatest gland depth", unit.LengthDim, "row of the section", "published gland tables (oring-gland-static, -face, -dynamic)", confirmed},
			{"width-from", "least groove width, no back-up ring", unit.LengthDim, "row of the section", "published gland tables (oring-gland-static, -face, -dynamic)", confirmed},
			{"width-to", "greatest groove width, no back-up ring", unit.LengthDim, "row of the section", "published gland tables (oring-gland-static, -face, -dynamic)", confirmed},
			{"clearance-to", "greatest diametral clearance", unit.LengthDim, "row of the section", "published gland tables (oring-gland-static, -dynamic)", confirmed},
			{"runout-to", "greatest run-out of groove to land", unit.LengthDim, "row of the section", "published gland tables (oring-gland-static, -dynamic)", confirmed},
			{"depth-now", "gland depth as it is", unit.LengthDim, "as given", "as given", confirmed},
			{"width-now", "groove width as it is", unit.LengthDim, "as given", "as given", confirmed},
			{"clearance-now", "diametral clearance as it is", unit.LengthDim, "as given", "as given", confirmed},
			{"runout-now", "run-out as it is", unit.LengthDim, "as given", "as given", confirmed},
		},
		Judges: []Judge{
			{Output: "depth-now", By: "least-depth", Ours: outputOf("depth-from", glandFrom)}, {Output: "depth-now", AtMost: true, By: "greatest-depth", Ours: outputOf("depth-to", glandFrom)},
			{Output: "width-now", Ours: outputOf("width-from", glandFrom)}, {Output: "clearance-now", AtMost: true, Ours: outputOf("clearance-to", glandFrom)}, {Output: "runout-now", AtMost: true, Ours: outputOf("runout-to", glandFrom)},
		},
		Blind:   "A published gland is made for new parts; worn ones outside it can still seal. What decides is the squeeze that is left: oring-fit and oring-limits.",
		Example: map[string]string{"cord": "3.53 mm", "duty": "static", "gland-depth": "2.85 mm", "groove-width": "4.90 mm", "clearance": "0.12 mm", "runout": "0.05 mm"},
		formula: oringGlandFormula,
		lead: func(_ given, o *Out) string {
			return "The published gland is " + o.say(Num{SI: o.Num["depth-from"].SI}, unit.LengthDim) + " to " + o.say(Num{SI: o.Num["depth-to"].SI}, unit.LengthDim) + " deep and " + o.say(Num{SI: o.Num["width-from"].SI}, unit.LengthDim) + " to " + o.say(Num{SI: o.Num["width-to"].SI}, unit.LengthDim) + " wide"
		},
	}
}

func oringGlandFormula(g given) (found, error) {
	f := newFound()
	duty := g.word["duty"]
	cord := g.length("cord")
	if err := refuse.Positive("the cord", float64(cord)); err != nil {
		return f, err
	}
	metric, err := g.table("oring-gland-metric")
	if err != nil {
		return f, err
	}
	for _, r := range metric.Where(table.Is("name", metricDuty[duty])) {
		if cs, _ := r.SI("cs_mm"); math.Abs(cs-float64(cord)) <= 0.005e-3 {
			f.cite("metric gland depth for "+r.Show("cs_mm")+", "+r.Text("name"), r, "depth_mm")
			f.cite("metric groove width for "+r.Show("cs_mm")+", "+r.Text("name"), r, "width_mm")
		}
	}
	t, err := g.table(glandTables[duty])
	if err != nil {
		return f, err
	}
	taken := false
	for _, r := range t.Rows() {
		cs, _ := r.SI("cs_in")
		tol, ok := r.SI("cs_tol_in")
		if !ok {
			tol = 0.002 * float64(unit.Inch)
		}
		if math.Abs(cs-float64(cord)) > tol {
			continue
		}
		f.cite("least gland depth, "+r.Text("name"), r, "depth_min_in")
		f.cite("greatest gland depth, "+r.Text("name"), r, "depth_max_in")
		if taken {
			continue
		}
		taken = true
		for out, head := range map[string]string{"depth-from": "depth_min_in", "depth-to": "depth_max_in", "width-from": "width_min_in", "width-to": "width_max_in", "clearance-to": "clearance_max_in", "runout-to": "runout_max_in"} {
			if x, ok := r.SI(head); ok {
				f.num[out] = x
			}
		}
		f.note("Judged by the table of the %s for a section of %s; other tables are listed beside it.", r.Text("name"), r.Show("cs_mm"))
	}
	if !taken && len(f.cited) > 0 {
		return f, &table.Outside{Table: t, What: "a section of " + g.say(Num{SI: float64(cord)}, unit.LengthDim), Has: "it has the inch sections; the metric table has depth " + f.cited[0].Figure + ", width " + f.cited[1].Figure}
	}
	if !taken {
		return f, &table.Outside{Table: t, What: "a section of " + g.say(Num{SI: float64(cord)}, unit.LengthDim), Has: "no published gland is for a cord within its tolerance: solve the gland with oring-limits"}
	}
	for _, p := range [][2]string{{"depth-now", "gland-depth"}, {"width-now", "groove-width"}, {"clearance-now", "clearance"}, {"runout-now", "runout"}} {
		if !g.has(p[1]) {
			continue
		}
		if err := refuse.NotNegative("the "+strings.ReplaceAll(p[1], "-", " "), g.num[p[1]]); err != nil {
			return f, err
		}
		f.num[p[0]] = g.num[p[1]]
	}
	return f, nil
}

func oringSurface() Calculation {
	in := []Input{{Name: "duty", Title: "how the ring seals", Words: []string{"static", "face", "moving"}}, {Name: "surface", Title: "which surface", Words: []string{"counterface", "groove"}, Optional: true, Default: "counterface"}, {Name: "roughness", Title: "roughness Ra of the surface", Dim: unit.LengthDim, Optional: true},
		{Name: "fluid", Title: "what is sealed", Words: []string{"liquid", "gas"}, Optional: true, Default: "liquid"}, {Name: "greatest-roughness", Title: "roughest Ra allowed", Dim: unit.LengthDim, Optional: true}}
	return Calculation{
		Name: "oring-surface", Title: "Roughness that a ring can seal on",
		About:  "Roughest surface for the duty by the published tables, which differ: the strict school and the wide one are shown, and the wide one is judged. The lay must run round the joint, never across the line of the seal.",
		Inputs: in,
		Outputs: []Output{
			{"strict-roughness", "roughest Ra, strict school", unit.LengthDim, "least of the rows of the duty", "published groove pages and handbooks (oring-surface-finish)", confirmed},
			{"wide-roughness", "roughest Ra, wide school", unit.LengthDim, "greatest of the rows of the duty", "published groove pages and handbooks (oring-surface-finish)", confirmed},
			{"roughness-now", "roughness as it is", unit.LengthDim, "as given", "as given", confirmed},
		},
		Judges:  []Judge{{Output: "roughness-now", AtMost: true, By: "greatest-roughness", Ours: outputOf("wide-roughness", "the widest of the published tables, oring-surface-finish")}},
		Blind:   "A roughness is a mean: one scratch across the line of the seal leaks and hardly shows in it. A finger nail feels about 0.02 mm; look with a loupe.",
		Example: map[string]string{"duty": "static", "roughness": "1.2 um"},
		formula: oringSurfaceFormula,
		lead: func(_ given, o *Out) string {
			strict, wide := unit.FromSI(o.Num["strict-roughness"].SI, micrometre()).String(), unit.FromSI(o.Num["wide-roughness"].SI, micrometre()).String()
			if strict == wide {
				return "The roughness Ra may be " + wide
			}
			return "The roughness Ra may be " + strict + " by the strict school and " + wide + " by the wide one"
		},
	}
}

func oringSurfaceFormula(g given) (found, error) {
	f := newFound()
	t, err := g.table("oring-surface-finish")
	if err != nil {
		return f, err
	}
	duty, fluid, part := g.word["duty"], g.word["fluid"], g.word["surface"]
	strict, wide, smooth := math.Inf(1), 0.0, 0.0
	for _, r := range t.Rows() {
		x, ok := r.SI("ra_um")
		special := r.Text("fluid") // rows for gas or for liquid hold for every ring that does not move
		mine := r.Text("name") == duty && special == ""
		if duty != "moving" {
			mine = special == fluid || mine && fluid != "gas"
		}
		if !ok || !mine || r.Text("part") != "both" && r.Text("part") != part {
			continue
		}
		strict, wide = math.Min(strict, x), math.Max(wide, x)
		if lo, ok := r.SI("ra_from_um"); ok {
			smooth = math.Max(smooth, lo)
		}
		f.cite("roughest Ra, "+r.Text("surface"), r, "ra_um")
	}
	if wide == 0 {
		return f, &table.Outside{Table: t, What: "the " + part + " of a " + duty + " ring for " + fluid, Has: "for gas it has the counterface only"}
	}
	f.num["strict-roughness"], f.num["wide-roughness"] = strict, wide
	if !g.has("roughness") {
		return f, nil
	}
	x := g.num["roughness"]
	if err := refuse.NotNegative("the roughness", x); err != nil {
		return f, err
	}
	f.num["roughness-now"] = x
	if x > strict && x <= wide {
		f.note("Rougher than the strict school allows (Ra %s): the sources differ, so look harder at a joint that still leaks.", unit.FromSI(strict, micrometre()).String())
	}
	if x < smooth {
		f.note("Smoother than some sources want of a running surface (Ra %s): it holds no film and the drag rises.", unit.FromSI(smooth, micrometre()).String())
	}
	return f, nil
}

func micrometre() unit.Unit { u, _ := unit.ByName("um"); return u }

func oringTaperSqueeze() Calculation {
	row := func(name, title string) Input {
		return Input{Name: name, Title: title, Dim: unit.LengthDim, Rows: true, Spread: "half-turn", On: "bore"}
	}
	in := []Input{cordIn, grooveIn, row("top", "bore near its mouth, two-point diameters at clock positions"), row("low", "bore deeper down, two-point diameters at clock positions"),
		{Name: "top-depth", Title: "depth of the upper readings below the mouth", Dim: unit.LengthDim}, {Name: "low-depth", Title: "depth of the lower readings below the mouth", Dim: unit.LengthDim},
		{Name: "ring-depth", Title: "depth at which the ring sits", Dim: unit.LengthDim}, {Name: "ring-travel", Title: "how much deeper it may also sit", Dim: unit.LengthDim, Optional: true, Default: "0 mm"}, spigotIn,
		{Name: "runout", Title: "run-out of groove to land, total indicator reading", Dim: unit.LengthDim, Optional: true, Default: "0 mm"}, setIn,
		{Name: "least-squeeze", Title: "least squeeze wanted", Dim: unit.RatioDim, Optional: true}}
	return Calculation{
		Name: "oring-taper-squeeze", Title: "Least squeeze in a tapered, oval bore",
		About:  "Lays an oval to the readings at two depths, goes along the straight line between them to where the ring sits, and finds the least and the greatest squeeze round the clock with the spigot against its worst side and the groove running out.",
		Inputs: in,
		Outputs: []Output{
			{"least-squeeze-here", "least squeeze", unit.RatioDim, "least squeeze in length / cord", "geometry", confirmed},
			{"least-squeeze-mm", "least squeeze in length", unit.LengthDim, "cord - [(D(a, z) - groove)/2 - e cos(a - b)], least over a and z", "geometry", confirmed},
			{"greatest-squeeze-mm", "greatest squeeze in length", unit.LengthDim, "the same, greatest", "geometry", confirmed},
			{"follow-up-here", "left-over follow-up at the least place", unit.LengthDim, "least squeeze in length (1 - set)", "definition of set, ISO 815-1", confirmed},
			{"taper", "taper, change of diameter for each length of depth", unit.RatioDim, "(low mean - top mean) / (low depth - top depth)", "definition", confirmed},
			{"bore-at-ring", "mean bore at the ring", unit.LengthDim, "straight line between the two depths", "geometry", confirmed},
			{"ovality-at-ring", "ovality at the ring", unit.LengthDim, "straight line between the two waves", "geometry", confirmed},
			{"offset-used", "offset of the groove used", unit.LengthDim, "(widest bore - spigot)/2 + run-out/2", "geometry", confirmed},
			{"least-at", "place of least squeeze", "", "place of the greatest local gland depth", "geometry", confirmed},
		},
		Judges:  []Judge{{Output: "least-squeeze-here", By: "least-squeeze", Ours: tabled("squeeze", always("static"), bandGuide, "least_pct")}},
		Blind:   "The wall is taken as straight between the two depths: a step, a groove worn by the ring or a bell mouth between them is not seen. Two-point diameters see no three-lobed bore.",
		Example: map[string]string{"cord": "3.53 mm", "groove-diameter": "25.40 mm", "top": "12:00 = 31.20 mm; 1:30 = 31.25 mm; 3:00 = 31.30 mm; 4:30 = 31.25 mm", "low": "12:00 = 31.02 mm; 1:30 = 31.04 mm; 3:00 = 31.06 mm; 4:30 = 31.04 mm", "top-depth": "2 mm", "low-depth": "12 mm", "ring-depth": "6 mm", "ring-travel": "1 mm", "spigot-diameter": "30.94 mm", "runout": "0.04 mm", "set": "20 %"},
		formula: oringTaperFormula,
		lead: func(_ given, o *Out) string {
			return "Least squeeze " + o.say(o.Num["least-squeeze-mm"], unit.LengthDim) + " (" + o.say(o.Num["least-squeeze-here"], unit.RatioDim) + ") at " + o.Text["least-at"]
		},
	}
}

func oringTaperFormula(g given) (found, error) {
	f := newFound()
	clock := false
	station := func(rows, depth string) (gland.Station, error) {
		d, c, err := diametersOf(g.rows[rows])
		clock = clock || c
		if err != nil {
			return gland.Station{}, err
		}
		o, err := ovalOf(d)
		return gland.Station{Depth: g.length(depth), Bore: o}, err
	}
	top, err := station("top", "top-depth")
	if err != nil {
		return f, err
	}
	low, err := station("low", "low-depth")
	if err != nil {
		return f, err
	}
	if err := refuse.First(refuse.NotNegative("the travel of the ring", g.num["ring-travel"]), refuse.Within("the compression set", g.num["set"], 0, 1, "0 % is a new ring")); err != nil {
		return f, err
	}
	from := g.length("ring-depth")
	to := from + g.length("ring-travel")
	at, err := gland.Between(top, low, from)
	if err != nil {
		return f, err
	}
	end, err := gland.Between(top, low, to)
	if err != nil {
		return f, err
	}
	off := gland.Offset{}
	runout, err := gland.OffsetFromRunout(g.length("runout"))
	if err != nil {
		return f, err
	}
	wide := at
	if end.Mean+end.Semi > wide.Mean+wide.Semi {
		wide = end
	}
	off.By, off.Towards = runout, wide.Major+math.Pi
	if g.has("spigot-diameter") {
		if off.By, err = gland.WorstOffset(wide.Mean+wide.Semi, g.length("spigot-diameter"), g.length("runout")); err != nil {
			return f, err
		}
	}
	least, most, err := gland.SqueezeAlong(g.length("cord"), gland.Round(g.length("groove-diameter")), top, low, from, to, off)
	if err != nil {
		return f, err
	}
	taper, err := gland.Taper(top, low)
	if err != nil {
		return f, err
	}
	f.num["least-squeeze-here"], f.num["least-squeeze-mm"], f.num["greatest-squeeze-mm"] = float64(least.Share), float64(least.Squeeze), float64(most.Squeeze)
	f.num["follow-up-here"] = float64(least.Squeeze) * (1 - g.num["set"])
	f.num["taper"], f.num["bore-at-ring"], f.num["ovality-at-ring"], f.num["offset-used"] = float64(taper), float64(at.Mean), float64(2*at.Semi), float64(off.By)
	f.text["least-at"] = sayAngle(least.At, clock) + ", " + g.say(Num{SI: float64(least.Depth)}, unit.LengthDim) + " below the mouth"
	return f, nil
}
