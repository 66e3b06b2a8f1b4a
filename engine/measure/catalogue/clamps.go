package catalogue

import (
	"math"

	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/hose"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func clamps() []Calculation {
	return []Calculation{clampTorque(), hoseEnd(), plugInRetainer(), hoseHold(), hoseCreep()}
}

func clampTorque() Calculation {
	in := []Input{{Name: "clamp", Title: "kind of clamp", From: "clamp-torque"}, {Name: "band-width", Title: "width of the band", Dim: unit.LengthDim, Optional: true, On: "outside", Key: true},
		{Name: "open-diameter", Title: "diameter of the clamp when open, for kinds listed by it", Dim: unit.LengthDim, Optional: true, On: "outside", Key: true},
		{Name: "hose", Title: "hose", Words: []string{"new", "used"}, Optional: true, Default: "new"},
		{Name: "torque", Title: "torque that was used, or is found", Dim: unit.TorqueDim, Optional: true}, {Name: "least-torque", Title: "least torque", Dim: unit.TorqueDim, Optional: true}, {Name: "greatest-torque", Title: "greatest torque", Dim: unit.TorqueDim, Optional: true}}
	const from = "published clamp torques: engine sheet, technical manuals, clamp makers' notes"
	return Calculation{
		Name: "clamp-torque", Title: "Torque of a hose clamp by its band",
		About: "By kind, band width, and whether the hose has been clamped before. Rubber creeps from under the band: found cold below 60 % of its " +
			"torque it is slack, and wants one re-nip, cold, after the first warm-up, never more than the figure for a used hose.",
		Inputs: in,
		Outputs: []Output{
			{"torque", "torque", unit.TorqueDim, "look-up; the middle where only limits are printed", from, confirmed},
			{"low", "least", unit.TorqueDim, "look-up", from, confirmed},
			{"high", "greatest", unit.TorqueDim, "look-up", from, confirmed},
			{"torque-found", "torque as found", unit.TorqueDim, "as given", "as given", confirmed},
			{"found-share", "torque as found over the figure", unit.RatioDim, "found / torque", "workshop check of clamps", practice},
		},
		Judges: []Judge{{Output: "found-share", Ours: fixed(float64(hose.SlackBelow), "below 60 % of its torque a clamp is slack", practice)},
			{Output: "torque-found", By: "least-torque"},
			{Output: "torque-found", AtMost: true, By: "greatest-torque", Ours: outputLimit("high", from, confirmed)}},
		Example: map[string]string{"clamp": "worm", "band-width": "12 mm", "hose": "used", "torque": "2.8 N m"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			rows, err := clampRows(g)
			if err != nil {
				return f, err
			}
			r := rows[0]
			f.take(rows, []col{{"torque", "torque_Nm", "torque", unit.TorqueDim}, {"low", "least_Nm", "least torque", unit.TorqueDim}, {"high", "most_Nm", "greatest torque", unit.TorqueDim}})
			if _, ok := r.SI("torque_Nm"); !ok {
				f.num["torque"] = (f.num["low"] + f.num["high"]) / 2
			}
			for out, head := range map[string]string{"low": "least_Nm", "high": "most_Nm"} {
				if _, ok := r.SI(head); !ok {
					f.num[out] = f.num["torque"]
				}
			}
			if g.has("torque") {
				f.num["torque-found"] = g.num["torque"]
				s, e := hose.AsFound(unit.Torque(g.num["torque"]), unit.Torque(f.num["torque"]))
				put(&f, &err, "found-share", s, e)
			}
			return f, err
		},
		lead: func(g given, o *Out) string {
			return "A " + g.word["clamp"] + " clamp on a " + g.word["hose"] + " hose takes " + o.say(o.Num["torque"], unit.TorqueDim) + ", from " + o.say(o.Num["low"], unit.TorqueDim) + " to " + o.say(o.Num["high"], unit.TorqueDim)
		},
	}
}

// clampRows are the rows for a clamp: of its kind, for this band or diameter, for this hose or for any.
func clampRows(g given) ([]table.Row, error) {
	t, err := g.table("clamp-torque")
	if err != nil {
		return nil, err
	}
	conds := []table.Cond{table.Is("name", g.word["clamp"])}
	first := t.Where(conds...)[0]
	if _, ok := first.SI("band_to_mm"); ok {
		if !g.has("band-width") {
			return nil, refuse.Because("the width of the band", "is missing", "this kind is listed by it: give band-width")
		}
		conds = append(conds, table.Between("band_from_mm", "band_to_mm", g.num["band-width"]))
	} else if _, ok := first.SI("open_to_mm"); ok {
		if !g.has("open-diameter") {
			return nil, refuse.Because("the diameter of the clamp when open", "is missing", "this kind is listed by it: give open-diameter")
		}
		conds = append(conds, table.Between("open_from_mm", "open_to_mm", g.num["open-diameter"]))
	}
	if _, err := t.Find("a torque for this clamp", conds...); err != nil {
		return nil, err
	}
	rows := t.Where(append(conds, table.Is("hose", g.word["hose"]))...)
	if rows = append(rows, t.Where(append(conds, table.Is("hose", "any"))...)...); len(rows) == 0 {
		rows = t.Where(conds...)
	}
	return rows, nil
}

func hoseEnd() Calculation {
	opt := func(name, title string) Input {
		return Input{Name: name, Title: title, Dim: unit.LengthDim, Optional: true, On: "outside"}
	}
	in := []Input{{Name: "spigot-diameter", Title: "outside of the spigot", Dim: unit.LengthDim, On: "outside"}, opt("bead-diameter", "outside of the bead"), opt("push-on", "how far the hose is pushed on past the bead"),
		opt("clamp-to-end", "edge of the clamp to the end of the hose"), opt("clamp-to-bead", "edge of the clamp to the bead"), {Name: "hose-id", Title: "bore of the hose", Dim: unit.LengthDim, Optional: true, On: "bore"}}
	return Calculation{
		Name: "hose-end", Title: "Bead, push-on depth and clamp place",
		About:  "The clamp sits on the plain land behind the bead, never on the bead, and not over the end of the spigot: there it squeezes the hose off.",
		Inputs: in,
		Outputs: []Output{
			{"bead-height", "height of the bead, on radius", unit.LengthDim, "(bead - spigot) / 2", "geometry", confirmed},
			{"over-bead", "stretch of the hose going over the bead", unit.RatioDim, "(bead - hose bore) / hose bore", "geometry", confirmed},
			{"pushed-on", "push-on depth", unit.LengthDim, "as given", "as given", confirmed},
			{"to-end", "clamp to the end of the hose", unit.LengthDim, "as given", "as given", confirmed},
			{"to-bead", "clamp to the bead", unit.LengthDim, "as given", "as given", confirmed},
		},
		Judges: []Judge{
			{Output: "bead-height", Ours: bySize("bead-height", "least_mm")}, {Output: "bead-height", AtMost: true, Ours: bySize("bead-height", "greatest_mm")},
			{Output: "pushed-on", Ours: bySize("insertion", "least_mm")},
			{Output: "to-end", Ours: fixed(6e-3, "6 mm (marine press and clamp leaflet); a passenger-car manual has 3 mm: the stricter is used", confirmed)},
			{Output: "to-bead", Ours: tableLimit("hose-fit", "clamp-to-bead", "least_mm")}, {Output: "to-bead", AtMost: true, Ours: tableLimit("hose-fit", "clamp-to-bead", "greatest_mm")},
		},
		Example: map[string]string{"spigot-diameter": "38 mm", "bead-diameter": "41.6 mm", "push-on": "32 mm", "clamp-to-end": "7 mm", "clamp-to-bead": "3 mm", "hose-id": "37.5 mm"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			if e := refuse.Positive("the spigot", g.num["spigot-diameter"]); e != nil {
				return f, e
			}
			if g.has("bead-diameter") {
				h, e := hose.BeadHeight(g.length("bead-diameter"), g.length("spigot-diameter"))
				put(&f, &err, "bead-height", h, e)
				if g.has("hose-id") {
					x, e := hose.OverBead(g.length("hose-id"), g.length("bead-diameter"))
					put(&f, &err, "over-bead", x, e)
				}
			}
			for in, out := range map[string]string{"push-on": "pushed-on", "clamp-to-end": "to-end", "clamp-to-bead": "to-bead"} {
				if g.has(in) {
					f.num[out] = g.num[in]
					if e := refuse.NotNegative("the "+in, g.num[in]); e != nil {
						return f, e
					}
				}
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			if h, ok := o.Num["bead-height"]; ok {
				return "The bead stands " + o.say(h, unit.LengthDim) + " proud"
			}
			return "The end of the hose"
		},
	}
}

// bySize is a limit of hose-fit by the size of the spigot.
func bySize(name, head string) func(given, found) (Figure, error) {
	return func(g given, _ found) (Figure, error) {
		t, err := g.table("hose-fit")
		if err != nil {
			return Figure{}, err
		}
		rows := t.Where(table.Is("name", name), table.Between("bore_from_mm", "bore_to_mm", g.num["spigot-diameter"]))
		if len(rows) == 0 {
			return Figure{}, nil
		}
		return figure(rows[0], head), nil
	}
}

func plugInRetainer() Calculation {
	in := []Input{{Name: "diameter", Title: "diameter on which the joint seals", Dim: unit.LengthDim, On: "bore"}, {Name: "pressure", Title: "greatest pressure", Dim: unit.PressureDim}, {Name: "retainer", Title: "what holds it", From: "fitting-retainers"},
		{Name: "fixings", Title: "screws or clips that carry", Dim: unit.CountDim, Optional: true}, {Name: "each", Title: "what one of them carries", Dim: unit.ForceDim, Optional: true}}
	return Calculation{
		Name: "plug-in-retainer", Title: "What holds a plug-in pipe or plug against pressure",
		About:  "113 N for every bar at 38 mm, and nothing but the retainer takes it: the friction of the ring or of sealant is never counted. A rusted-away plate lets the pipe walk out.",
		Inputs: in,
		Outputs: []Output{
			{"thrust", "thrust", unit.ForceDim, "pressure (pi/4) diameter^2", "force balance", confirmed},
			{"each-needs", "what each fixing has to carry, with twice the pressure", unit.ForceDim, "2 thrust / fixings", "force balance; twice the greatest pressure common practice", practice},
			{"holds-to", "pressure that the fixings hold", unit.PressureDim, "the same solved for the pressure", "force balance", confirmed},
		},
		Judges:  []Judge{{Output: "each-needs", AtMost: true, By: "each"}},
		Example: map[string]string{"diameter": "38 mm", "pressure": "1.5 bar", "retainer": "plate-screws", "fixings": "2", "each": "800 N"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			thrust, e := gland.PushOut(g.length("diameter"), g.pressure("pressure"))
			put(&f, &err, "thrust", thrust, e)
			r, e := g.row("fitting-retainers", "retainer")
			if e != nil {
				return f, e
			}
			if r.Text("counts") != "yes" {
				return f, refuse.Because(r.Text("retainer"), "is never counted as holding anything", r.Text("note"))
			}
			n, _ := r.SI("fixings_n")
			if g.has("fixings") {
				n = g.num["fixings"]
			}
			if n != math.Trunc(n) || n < 1 {
				return f, refuse.Because("the number of fixings", "is not a whole number above 0", "count the screws or clips that carry")
			}
			safety, _ := r.SI("safety_ratio")
			each, e := hose.PerFixing(g.length("diameter"), g.pressure("pressure"), safety, int(n))
			put(&f, &err, "each-needs", each, e)
			if g.has("each") {
				p, e := hose.PressureFor(g.length("diameter"), g.force("each"), safety, int(n))
				put(&f, &err, "holds-to", p, e)
			}
			if note := r.Text("note"); note != "" {
				f.note("%s.", capital(note))
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "The pressure pushes with " + o.say(o.Num["thrust"], unit.ForceDim) + "; each fixing has to carry " + o.say(o.Num["each-needs"], unit.ForceDim)
		},
	}
}
