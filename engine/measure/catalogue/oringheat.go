package catalogue

import (
	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func ringHeat() []Calculation {
	return []Calculation{oringHeat(), oringColdLimit(), rubberTemperature()}
}

var rubberIn = Input{Name: "rubber", Title: "rubber of the ring", From: "elastomers"}

func oringHeat() Calculation {
	part := func(name, title string) Input {
		return Input{Name: name, Title: title, Dim: unit.ExpansionDim, Optional: true, Default: "11.5e-6 1/K"}
	}
	in := []Input{cordIn, grooveIn, boreIn, rubberIn, {Name: "measured-at", Title: "temperature at which the sizes were measured", Dim: unit.TemperatureDim, Optional: true, Default: "20 C"},
		{Name: "coldest", Title: "coldest that the joint gets", Dim: unit.TemperatureDim}, {Name: "hottest", Title: "hottest that the joint gets", Dim: unit.TemperatureDim},
		{Name: "rubber-expansion", Title: "linear expansion of the rubber, where its data sheet gives it", Dim: unit.ExpansionDim, Optional: true},
		part("outer-expansion", "linear expansion of the part with the bore (steel unless given)"), part("inner-expansion", "linear expansion of the part with the groove (steel unless given)"),
		widthIn, swellIn, leastIn, mostIn, fillIn}
	return Calculation{
		Name: "oring-heat", Title: "Squeeze of a ring when it is cold and when it is hot",
		About:  "Ring and parts change with temperature, each by its own expansion. In the groove the ring keeps the groove's length, so that its section takes all of the change; that is the cautious figure and the one that is judged.",
		Inputs: in,
		Outputs: []Output{
			{"squeeze-now", "squeeze as measured", unit.RatioDim, "(cord - depth) / cord", "ISO 3601-2", confirmed},
			{"squeeze-cold", "squeeze at the coldest", unit.RatioDim, "as squeeze, with cord [(1 + 3 a dT)/(1 + ai dT)]^(1/2), bore (1 + ao dT), groove (1 + ai dT)", "definition of expansion, ring of the groove's length", confirmed},
			{"squeeze-cold-free", "squeeze at the coldest, ring free to shrink all round", unit.RatioDim, "as squeeze, with cord (1 + a dT)", "definition of expansion", confirmed},
			{"squeeze-hot", "squeeze at the hottest", unit.RatioDim, "as at the coldest", "definition of expansion, ring of the groove's length", confirmed},
			{"follow-cold", "what the ring has in hand at the coldest", unit.LengthDim, "cord - depth, both at the coldest", "definition of expansion, ring of the groove's length", confirmed},
			{"fill-hot", "groove fill at the hottest", unit.RatioDim, "(pi/4) cord^2 (1 + swell) / (depth width), all hot", "definition", confirmed},
			{"coldest-by-squeeze", "coldest at which the squeeze still keeps its limit", unit.TemperatureDim, "the limit solved for the temperature", "definition of expansion turned round", confirmed},
			{"expansion-used", "linear expansion of the rubber", unit.ExpansionDim, "as given, else from the table of rubbers", "elastomer property tables (elastomers)", confirmed},
			{"coldest-given", "coldest temperature", unit.TemperatureDim, "as given", "as given", confirmed},
			{"hottest-given", "hottest temperature", unit.TemperatureDim, "as given", "as given", confirmed},
		},
		Judges: []Judge{
			{Output: "squeeze-cold", By: "least-squeeze", Ours: leastSqueeze},
			{Output: "squeeze-hot", AtMost: true, By: "greatest-squeeze", Ours: mostSqueeze},
			{Output: "fill-hot", AtMost: true, By: "greatest-fill", Ours: mostFill},
			{Output: "coldest-given", Ours: rubberLimit("low_C", "coldest for")}, {Output: "hottest-given", AtMost: true, Ours: rubberLimit("high_C", "hottest for")},
		},
		Blind:   "It says nothing of stiffness: cold rubber follows slowly long before it has shrunk away, and one quick chill can open a joint that a slow one does not.",
		Example: map[string]string{"cord": "3.53 mm", "groove-diameter": "25.40 mm", "bore-diameter": "31.60 mm", "rubber": "nbr", "coldest": "-20 C", "hottest": "80 C", "groove-width": "4.80 mm", "swell": "5 %"},
		formula: oringHeatFormula,
		lead: func(g given, o *Out) string {
			return "Squeeze " + o.say(o.Num["squeeze-now"], unit.RatioDim) + " as measured, " + o.say(o.Num["squeeze-cold"], unit.RatioDim) + " at " + o.say(Num{SI: g.num["coldest"]}, unit.TemperatureDim) + " and " + o.say(o.Num["squeeze-hot"], unit.RatioDim) + " at " + o.say(Num{SI: g.num["hottest"]}, unit.TemperatureDim)
		},
	}
}

// rubberLimit is a temperature limit of the rubber chosen; heads are tried in order, for some limits are known only
// in dry heat.
func rubberLimit(head, what string) func(given, found) (Figure, error) {
	return func(g given, _ found) (Figure, error) {
		r, err := g.row("elastomers", "rubber")
		if err != nil {
			return Figure{}, nil
		}
		si, ok := r.SI(head)
		if !ok {
			return Figure{}, nil
		}
		return Figure{si, what + " " + r.Text("code") + ", " + r.Source(), r.Standing()}, nil
	}
}

// ifGiven is a quantity of the input, nil where it was left out.
func (g given) ifGiven(name string) *float64 {
	if x, ok := g.num[name]; ok {
		return &x
	}
	return nil
}

// special notes that special compounds of a rubber go further than the common ones, where the joint asks for it.
func (f *found) special(r table.Row, coldest, hottest *float64) {
	if x, ok := r.SI("low_special_C"); ok && coldest != nil {
		if low, _ := r.SI("low_C"); *coldest < low && *coldest >= x {
			f.note("Special compounds of %s go down to %s: ask for one by its data sheet.", r.Text("code"), r.Show("low_special_C"))
		}
	}
	if x, ok := r.SI("high_special_C"); ok && hottest != nil {
		if high, _ := r.SI("high_C"); *hottest > high && *hottest <= x {
			f.note("Special compounds of %s stand %s: ask for one by its data sheet.", r.Text("code"), r.Show("high_special_C"))
		}
	}
}

func oringHeatFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	r, err := g.row("elastomers", "rubber")
	if err != nil {
		return f, err
	}
	a, known := r.SI("expansion_per_K")
	if g.has("rubber-expansion") {
		a, known = g.num["rubber-expansion"], true
	} else if known {
		f.cite("linear expansion of "+r.Text("code"), r, "expansion_per_K")
	}
	if !known {
		return f, refuse.Because("the expansion of "+r.Text("code"), "is not in the table", "give rubber-expansion from its data sheet; most rubbers have 11e-5 to 23e-5 per kelvin")
	}
	f.num["expansion-used"] = a
	now, cold, hot := g.num["measured-at"], g.num["coldest"], g.num["hottest"]
	if hot < cold {
		return f, refuse.Because("the hottest temperature", "is below the coldest", "swap the two")
	}
	f.num["coldest-given"], f.num["hottest-given"] = cold, hot
	f.special(r, &cold, &hot)
	h := gland.Heated{Cord: g.length("cord"), Outer: g.length("bore-diameter"), Inner: g.length("groove-diameter"), Ring: unit.Expansion(a), OuterPart: unit.Expansion(g.num["outer-expansion"]), InnerPart: unit.Expansion(g.num["inner-expansion"]), Held: true}
	at := func(h gland.Heated, t float64) gland.Warm {
		w, e := h.At(unit.Kelvin(t - now))
		if e != nil && err == nil {
			err = e
		}
		return w
	}
	w, c, warm := at(h, now), at(h, cold), at(h, hot)
	free := h
	free.Held = false
	f.num["squeeze-now"], f.num["squeeze-cold"], f.num["squeeze-cold-free"], f.num["squeeze-hot"], f.num["follow-cold"] = float64(w.Share), float64(c.Share), float64(at(free, cold).Share), float64(warm.Share), float64(c.Squeeze)
	if err != nil {
		return f, err
	}
	if g.has("groove-width") {
		width := g.length("groove-width") * unit.Length(1+g.num["inner-expansion"]*(hot-now))
		x, e := gland.FillArea(warm.Cord, warm.Depth, width)
		if e == nil {
			x, e = gland.FillSwollen(x, g.ratio("swell"))
		}
		put(&f, &err, "fill-hot", x, e)
	}
	least, ok := g.num["least-squeeze"]
	if !ok {
		if row, found := limitRow(g, "squeeze", "static", bandGuide); found {
			least, ok = row.SI("least_pct")
		}
	}
	if ok {
		if fall, e := h.Coldest(unit.Ratio(least)); e == nil {
			f.num["coldest-by-squeeze"] = now + float64(fall)
		} else {
			f.note("%s.", e.Error())
		}
	}
	return f, err
}

func oringColdLimit() Calculation {
	in := []Input{{Name: "retraction-temperature", Title: "temperature of 10 % retraction (TR10) of the rubber", Dim: unit.TemperatureDim}, {Name: "coldest", Title: "coldest that the joint gets", Dim: unit.TemperatureDim, Optional: true}, dutyIn}
	return Calculation{
		Name: "oring-cold-limit", Title: "Coldest that a rubber still seals",
		About:  "From the temperature of 10 % retraction in the rubber's data sheet (ISO 2921): a static ring seals to about 8 C below it, a moving one, or one that must hold pressure at once, down to it.",
		Inputs: in,
		Outputs: []Output{
			{"cold-limit", "coldest for this duty", unit.TemperatureDim, "TR10 - 8 K when static, TR10 when moving", "published rule (about 8 C or 15 F below TR10), plus or minus 5 K", confirmed},
			{"coldest-given", "coldest temperature", unit.TemperatureDim, "as given", "as given", confirmed},
		},
		Judges:  []Judge{{Output: "coldest-given", Against: []string{"cold-limit"}}},
		Blind:   "A rule, good to 5 degrees; pressure and fluids that soften the rubber move it.",
		Example: map[string]string{"retraction-temperature": "-24 C", "coldest": "-20 C"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			limit := gland.ColdLimit
			if g.word["duty"] == "moving" {
				limit = gland.ColdLimitMoving
			}
			x, e := limit(unit.Celsius(g.num["retraction-temperature"]))
			put(&f, &err, "cold-limit", x, e)
			if g.has("coldest") {
				f.num["coldest-given"] = g.num["coldest"]
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "Seals down to " + o.say(o.Num["cold-limit"], unit.TemperatureDim)
		},
	}
}

func rubberTemperature() Calculation {
	in := []Input{rubberIn, {Name: "coldest", Title: "coldest that the ring gets", Dim: unit.TemperatureDim, Optional: true}, {Name: "hottest", Title: "hottest that the ring gets", Dim: unit.TemperatureDim, Optional: true},
		{Name: "medium", Title: "what the ring stands in", Words: []string{"dry", "hot-water", "steam"}, Optional: true, Default: "dry"}}
	heads := map[string]string{"dry": "high_C", "hot-water": "hot_water_C", "steam": "steam_C"}
	words := map[string]string{"hot-water": "hot_water", "steam": "steam"}
	return Calculation{
		Name: "rubber-temperature", Title: "Temperatures that a rubber stands",
		About:  "Looks up the common compounds of a rubber: coldest, hottest, and hottest in water or steam. The compound's own data sheet goes before it.",
		Inputs: in,
		Outputs: []Output{
			{"low-limit", "coldest, common compounds", unit.TemperatureDim, "row of the rubber", "elastomer property tables (elastomers)", confirmed},
			{"high-limit", "hottest in this medium, common compounds", unit.TemperatureDim, "row of the rubber", "elastomer property tables (elastomers)", confirmed},
			{"coldest-given", "coldest temperature", unit.TemperatureDim, "as given", "as given", confirmed},
			{"hottest-given", "hottest temperature", unit.TemperatureDim, "as given", "as given", confirmed},
		},
		Judges:  []Judge{{Output: "coldest-given", Ours: outputOf("low-limit", "table of rubbers, elastomers")}, {Output: "hottest-given", AtMost: true, Ours: outputOf("high-limit", "table of rubbers, elastomers")}},
		Blind:   "Temperature is one thing, the fluid another: a rubber within its limits still fails in a fluid that it does not stand.",
		Example: map[string]string{"rubber": "epdm-peroxide", "coldest": "-10 C", "hottest": "95 C", "medium": "hot-water"},
		formula: func(g given) (found, error) {
			f := newFound()
			r, err := g.row("elastomers", "rubber")
			if err != nil {
				return f, err
			}
			medium := g.word["medium"]
			take := func(output, head, what string) bool {
				x, ok := r.SI(head)
				if ok {
					f.num[output] = x
					f.cite(what+" of "+r.Text("code"), r, head)
				}
				return ok
			}
			take("low-limit", "low_C", "coldest")
			if !take("high-limit", heads[medium], "hottest, "+medium) {
				why := r.Text(words[medium])
				if why == "" {
					why = "no figure is known"
				}
				return f, &table.Outside{Table: r.Table(), What: r.Text("code") + " in " + medium, Has: why}
			}
			for _, k := range []string{"coldest", "hottest"} {
				if g.has(k) {
					f.num[k+"-given"] = g.num[k]
				}
			}
			if medium == "dry" {
				f.special(r, g.ifGiven("coldest"), g.ifGiven("hottest"))
			} else {
				f.special(r, g.ifGiven("coldest"), nil)
			}
			if s := r.Text("other_ranges"); s != "" {
				f.note("Other sources give for %s, in %s.", r.Text("code"), s)
			}
			if s := r.Text("note"); s != "" {
				f.note("%s: %s.", r.Text("code"), s)
			}
			return f, nil
		},
		lead: func(g given, o *Out) string {
			return "Common compounds of " + g.word["rubber"] + " stand " + o.say(o.Num["low-limit"], unit.TemperatureDim) + " to " + o.say(o.Num["high-limit"], unit.TemperatureDim) + " (" + g.word["medium"] + ")"
		},
	}
}
