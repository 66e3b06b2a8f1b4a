package catalogue

import (
	"math"
	"strings"

	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func ringGaps() []Calculation { return []Calculation{oringExtrusion(), oringLeadIn()} }

func oringExtrusion() Calculation {
	in := []Input{{Name: "hardness", Title: "hardness of the ring", Dim: unit.HardnessDim}, {Name: "pressure", Title: "greatest pressure, peaks counted", Dim: unit.PressureDim},
		{Name: "clearance", Title: "diametral clearance", Dim: unit.LengthDim, Optional: true}, {Name: "bore-diameter", Title: "bore", Dim: unit.LengthDim, Optional: true, On: "bore"}, spigotIn,
		{Name: "rubber", Title: "rubber of the ring", Words: []string{"any", "silicone"}, Optional: true, Default: "any"}, {Name: "bore-swells", Title: "whether pressure widens the bore", Words: []string{"no", "yes"}, Optional: true, Default: "no"},
		{Name: "clearance-limit", Title: "greatest diametral clearance allowed", Dim: unit.LengthDim, Optional: true}}
	return Calculation{
		Name: "oring-extrusion", Title: "Clearance that a ring can stand without being pushed out",
		About:  "Holds the diametral clearance against the published tables for pressure and hardness, takes the strictest of them and names it, and says what pressure this clearance can stand. The clearance is on the diameter: off centre all of it lies on one side, and the tables allow for that.",
		Inputs: in,
		Outputs: []Output{
			{"greatest-clearance", "greatest diametral clearance, strictest table", unit.LengthDim, "least of the tables at this hardness and pressure; half for silicone, three quarters where the bore swells", "published tables of extrusion gaps (oring-extrusion-gap)", confirmed},
			{"strictest-table", "table that decides", "", "the table with the least clearance", "published tables of extrusion gaps (oring-extrusion-gap)", confirmed},
			{"clearance-used", "diametral clearance", unit.LengthDim, "as given, or bore - spigot", "geometry", confirmed},
			{"gap-off-centre", "gap on one side with the spigot against the other", unit.LengthDim, "the whole diametral clearance", "geometry", confirmed},
			{"gap-centred", "gap all round with the spigot in the middle", unit.LengthDim, "clearance / 2", "geometry", confirmed},
			{"greatest-pressure", "greatest pressure for this clearance, strictest table", unit.PressureDim, "end of the last pressure band whose clearance is enough", "published tables of extrusion gaps (oring-extrusion-gap), read backwards", confirmed},
			{"cautious-clearance", "clearance of the one far stricter chapter", unit.LengthDim, "as the strictest table", "O-ring design chapter, table of diametral clearance by hardness", confirmed},
		},
		Judges: []Judge{{Output: "clearance-used", AtMost: true, By: "clearance-limit", Ours: func(_ given, f found) (Figure, error) {
			return Figure{f.num["greatest-clearance"], "the strictest of the published tables, " + f.text["strictest-table"], confirmed}, nil
		}}},
		Blind:   "The tables hold at room temperature for a steady pressure; hot rubber, pulses and parts that breathe want less. With a back-up ring they do not apply.",
		Example: map[string]string{"hardness": "70 Shore A", "pressure": "60 bar", "bore-diameter": "31.04 mm", "spigot-diameter": "30.94 mm"},
		formula: oringExtrusionFormula,
		lead: func(g given, o *Out) string {
			at := o.say(Num{SI: g.num["hardness"]}, unit.HardnessDim) + " at " + o.say(Num{SI: g.num["pressure"]}, unit.PressureDim)
			if c, ok := o.Num["clearance-used"]; ok {
				return "Clearance " + o.say(c, unit.LengthDim) + " on the diameter, all of it on one side off centre, for " + at + " (" + o.Text["strictest-table"] + " is the strictest)"
			}
			return "At most " + o.say(o.Num["greatest-clearance"], unit.LengthDim) + " on the diameter for " + at + " (" + o.Text["strictest-table"] + " is the strictest)"
		},
	}
}

func oringExtrusionFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	tables, tab, err := gapTables(g, "decides")
	if err != nil {
		return f, err
	}
	careful, _, err := gapTables(g, "cautious")
	if err != nil {
		return f, err
	}
	h, p := unit.Hardness(g.num["hardness"]), g.pressure("pressure")
	best, all, err := gland.StrictestGap(tables, h, p)
	if err != nil { // softer than the tables that decide: the cautious one may hold it
		var e error
		if best, all, e = gland.StrictestGap(careful, h, p); e != nil || len(careful) == 0 {
			return f, err
		}
		f.note("None of the tables that decide holds %g Shore A; the cautious chapter does.", float64(h))
	}
	factor := 1.0
	if g.word["rubber"] == "silicone" {
		factor /= 2
		f.note("Silicone tears easily: half of the tabulated clearance (O-ring handbook, section IV).")
	}
	if g.word["bore-swells"] == "yes" {
		factor *= 0.75
		f.note("Pressure widens the bore: three quarters of the tabulated clearance (O-ring design notes).")
	}
	f.num["greatest-clearance"], f.text["strictest-table"] = float64(best.Gap)*factor, best.Table
	for _, a := range all {
		citeGap(&f, tab, a, p)
	}
	if best.Hardness != h {
		f.note("No table has a row for %g Shore A: the next softer one, %g, was used.", float64(h), float64(best.Hardness))
	}
	if a, _, e := gland.StrictestGap(careful, h, p); e == nil {
		f.num["cautious-clearance"] = float64(a.Gap) * factor
		citeGap(&f, tab, a, p)
	} else if len(careful) > 0 {
		f.note("The cautious chapter has no figure for this: %s.", strings.TrimSuffix(e.Error(), "."))
	}
	c, known, e := clearanceOf(g)
	if e != nil || !known {
		return f, e
	}
	f.num["clearance-used"], f.num["gap-off-centre"], f.num["gap-centred"] = float64(c), float64(c), float64(c)/2
	from := tables
	if best.Table != "" && len(careful) > 0 && best.Table == careful[0].Name {
		from = careful
	}
	if a, _, e := gland.StrictestPressure(from, h, c/unit.Length(factor)); e == nil {
		f.num["greatest-pressure"] = float64(a.Pressure)
	} else {
		f.note("%s.", e.Error())
	}
	if x, ok := f.num["cautious-clearance"]; ok && float64(c) > x && float64(c) <= f.num["greatest-clearance"] {
		f.note("One published chapter is far stricter than the others and would allow only %s here: with pulses, heat or parts that breathe, go by it.", g.say(Num{SI: x}, unit.LengthDim))
	}
	return f, nil
}

// clearanceOf is the clearance as given, or from bore and spigot.
func clearanceOf(g given) (unit.Length, bool, error) {
	if g.has("clearance") {
		return g.length("clearance"), true, refuse.NotNegative("the diametral clearance", g.num["clearance"])
	}
	if !g.has("bore-diameter") || !g.has("spigot-diameter") {
		return 0, false, nil
	}
	e, err := gland.Eccentricity(g.length("bore-diameter"), g.length("spigot-diameter"))
	return 2 * e, true, err
}

// citeGap cites the row from which one table answered.
func citeGap(f *found, t *table.Table, a gland.GapAnswer, p unit.Pressure) {
	if a.Err != nil {
		return
	}
	for _, r := range t.Where(table.Is("name", a.Table), table.Equal("hardness_ShoreA", float64(a.Hardness)), table.Between("p_from_MPa", "p_to_MPa", float64(p))) {
		f.cite("greatest diametral clearance, "+a.Table, r, "gap_mm")
	}
}

func oringLeadIn() Calculation {
	in := []Input{cordIn, dutyIn, {Name: "lead-in", Title: "length of the lead-in as it is", Dim: unit.LengthDim, Optional: true}, {Name: "lead-in-angle", Title: "angle of the lead-in to the axis", Dim: unit.AngleDim, Optional: true, Default: "15 deg"},
		{Name: "groove-diameter", Title: "diameter at the bottom of the groove", Dim: unit.LengthDim, Optional: true}, {Name: "bore-diameter", Title: "bore", Dim: unit.LengthDim, Optional: true, On: "bore"},
		{Name: "least-lead-in", Title: "least length of the lead-in", Dim: unit.LengthDim, Optional: true}}
	return Calculation{
		Name: "oring-lead-in", Title: "Lead-in that a ring needs to enter unhurt",
		About:  "The least length of the chamfer from published tables, and from the sizes: where the mouth is as wide as the ring on its groove, the ring meets no edge.",
		Inputs: in,
		Outputs: []Output{
			{"tabled-lead-in", "least lead-in, published tables", unit.LengthDim, "row of the cord, else of the next larger one", "published groove tables (oring-chamfer)", confirmed},
			{"row-used", "cord of the row that was used", unit.LengthDim, "the cord, else the next larger one", "published groove tables (oring-chamfer)", confirmed},
			{"cautious-lead-in", "least lead-in, the stricter chapter", unit.LengthDim, "row of the cord, else of the next larger one", "O-ring design chapter, table of installation chamfers", confirmed},
			{"lead-in-needed", "lead-in at which this ring meets no edge", unit.LengthDim, "(groove + 2 cord - bore) / (2 tan angle)", "geometry", confirmed},
			{"lead-in-now", "lead-in as it is", unit.LengthDim, "as given", "as given", confirmed},
		},
		Judges:  []Judge{{Output: "lead-in-now", By: "least-lead-in", Ours: outputOf("tabled-lead-in", "published groove tables, oring-chamfer")}},
		Blind:   "A length says nothing of the edge: a lead-in that ends in a sharp corner or a burr cuts the ring just as well.",
		Example: map[string]string{"cord": "3.53 mm", "lead-in": "2.6 mm", "groove-diameter": "25.40 mm", "bore-diameter": "31.04 mm"},
		formula: oringLeadInFormula,
		lead: func(_ given, o *Out) string {
			s := "The lead-in wants to be at least " + o.say(Num{SI: o.Num["tabled-lead-in"].SI}, unit.LengthDim) + " long at 15 to 20 degrees"
			if n, ok := o.Num["lead-in-now"]; ok {
				s += "; it is " + o.say(n, unit.LengthDim)
			}
			return s
		},
	}
}

func oringLeadInFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	t, err := g.table("oring-chamfer")
	if err != nil {
		return f, err
	}
	moving, head := g.word["duty"] == "moving", "static_mm"
	if moving {
		head = "moving_mm"
	}
	look := func(name string) (unit.Length, gland.LeadIn, error) {
		var rows []gland.LeadIn
		for _, r := range t.Where(table.Is("name", name)) {
			cs, _ := r.SI("cs_mm")
			static, _ := r.SI("static_mm")
			move, _ := r.SI("moving_mm")
			rows = append(rows, gland.LeadIn{Cord: unit.Length(cs), Static: unit.Length(static), Moving: unit.Length(move)})
		}
		return gland.LeastLeadIn(rows, g.length("cord"), moving)
	}
	cite := func(name string, row gland.LeadIn) {
		for _, r := range t.Where(table.Is("name", name), table.Equal("cs_mm", float64(row.Cord))) {
			f.cite("least lead-in for a cord of "+r.Show("cs_mm"), r, head)
		}
	}
	used := "housing-tables"
	l, row, err := look(used)
	if err != nil { // beyond the housing tables: the chapter reaches further for static rings
		why := err
		used = "design-chapter"
		if l, row, err = look(used); err != nil {
			return f, why
		}
		f.note("%s; the design chapter has it.", why.Error())
	}
	f.num["tabled-lead-in"], f.num["row-used"] = float64(l), float64(row.Cord)
	if used == "housing-tables" {
		cite(used, row)
	}
	if math.Abs(float64(row.Cord-g.length("cord"))) > 1e-8 {
		f.note("The table has no row for this cord: the next larger one, %s, was used.", g.say(Num{SI: float64(row.Cord)}, unit.LengthDim))
	}
	if l, row, e := look("design-chapter"); e == nil {
		f.num["cautious-lead-in"] = float64(l)
		cite("design-chapter", row)
		f.note("The tables differ: a design chapter wants %s for a cord of %s, static or moving.", g.say(Num{SI: float64(l)}, unit.LengthDim), g.say(Num{SI: float64(row.Cord)}, unit.LengthDim))
	}
	if g.has("groove-diameter") && g.has("bore-diameter") {
		x, e := gland.LeadInNeeded(g.length("groove-diameter")+2*g.length("cord"), g.length("bore-diameter"), unit.Angle(g.num["lead-in-angle"]))
		put(&f, &err, "lead-in-needed", x, e)
	}
	if g.has("lead-in") {
		f.num["lead-in-now"] = g.num["lead-in"]
		err = refuse.First(err, refuse.NotNegative("the lead-in", g.num["lead-in"]))
	}
	return f, err
}
