package catalogue

import (
	"math"

	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func faceLimits() []Calculation {
	return []Calculation{faceLimit(), faceDefect(), lapOff()}
}

func faceLimit() Calculation {
	in := []Input{{Name: "face", Title: "kind of face", From: "face-flatness"}, {Name: "flatness", Title: "flatness measured", Dim: unit.LengthDim, Optional: true, On: "face"},
		{Name: "gasket", Title: "gasket", From: "gasket-materials", Optional: true}, {Name: "thickness", Title: "free thickness of the gasket", Dim: unit.LengthDim, Optional: true, On: "outside"},
		{Name: "squeeze", Title: "squeeze that the bolts give it", Dim: unit.RatioDim, Optional: true}, {Name: "limit", Title: "greatest flatness deviation allowed", Dim: unit.LengthDim, Optional: true}}
	return Calculation{
		Name: "face-limit", Title: "How flat a face has to be for this gasket",
		About:  "The published limits for such a face side by side, the strictest used and named; and what this gasket can take up: unevenness beyond its spare squeeze leaks at the low place.",
		Inputs: in,
		Outputs: []Output{
			{"tabled", "strictest published limit", unit.LengthDim, "least of the rows for this kind of face", "workshop manuals and ASME PCC-1 App. D, see the rows", confirmed},
			{"takes-up", "unevenness that this gasket takes up", unit.LengthDim, "2 t min(C - Cmin, Cmax - C)", "geometry; squeeze limits of the material", confirmed},
			{"takes-up-at-best", "the most that any torque takes up with it", unit.LengthDim, "t (Cmax - Cmin)", "geometry; squeeze limits of the material", confirmed},
			{"least-thickness", "gasket thickness that would take up the face as measured", unit.LengthDim, "h / (2 min(C - Cmin, Cmax - C))", "the same solved", confirmed},
			{"flatness-now", "flatness measured", unit.LengthDim, "as given", "as given", confirmed},
		},
		Judges: []Judge{{Output: "flatness-now", AtMost: true, By: "limit", Ours: outputLimit("tabled", "strictest published limit for such a face", confirmed)},
			{Output: "flatness-now", AtMost: true, Against: []string{"takes-up"}}},
		Example: map[string]string{"face": "paper-cover", "flatness": "0.08 mm", "gasket": "paper", "thickness": "0.8 mm", "squeeze": "17 %"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			t, e := g.table("face-flatness")
			if e != nil {
				return f, e
			}
			least := math.Inf(1)
			for _, r := range t.Where(table.Is("name", g.word["face"])) {
				x, ok := r.SI("limit_mm")
				if !ok {
					if x, ok = r.SI("new_mm"); !ok {
						continue
					}
				}
				over := ""
				if l := r.Show("along_mm"); l != "" {
					over = " over " + l
				}
				f.note("%s: %s%s (%s).", capital(r.Text("joint")), g.say(Num{SI: x}, unit.LengthDim), over, whence(r))
				least = math.Min(least, x)
			}
			if !math.IsInf(least, 1) {
				f.num["tabled"] = least
			}
			if g.has("gasket") && g.has("thickness") {
				if e := takesUp(g, &f); e != nil {
					return f, e
				}
			}
			if g.has("flatness") {
				f.num["flatness-now"] = g.num["flatness"]
				if e := refuse.NotNegative("the flatness", g.num["flatness"]); e != nil {
					return f, e
				}
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			s := ""
			if x, ok := o.Num["tabled"]; ok {
				s = "The strictest published limit is " + o.say(x, unit.LengthDim)
			}
			if x, ok := o.Num["takes-up"]; ok {
				if s != "" {
					s += "; "
				}
				s += "this gasket takes up " + o.say(x, unit.LengthDim)
			}
			return s
		},
	}
}

// takesUp adds what a gasket can take up of an uneven face.
func takesUp(g given, f *found) error {
	r, err := g.row("gasket-materials", "gasket")
	if err != nil {
		return err
	}
	lo, okL := r.SI("squeeze_min_pct")
	hi, okH := r.SI("squeeze_max_pct")
	if !okL || !okH {
		f.note("The table has no squeeze for this gasket.")
		return nil
	}
	f.cite("least squeeze", r, "squeeze_min_pct")
	f.cite("greatest squeeze", r, "squeeze_max_pct")
	c := (lo + hi) / 2
	if g.has("squeeze") {
		c = g.num["squeeze"]
	}
	s := flange.Sheet{Thickness: g.length("thickness"), Squeeze: unit.Ratio(c), Least: unit.Ratio(lo), Utmost: unit.Ratio(hi)}
	h, err := s.GreatestUnevenness()
	if err != nil {
		return err
	}
	best, err := s.UnevennessAtBest()
	if err != nil {
		return err
	}
	f.num["takes-up"], f.num["takes-up-at-best"] = float64(h), float64(best)
	if g.has("flatness") && h > 0 {
		t, err := s.LeastThickness(g.length("flatness"))
		if err != nil {
			return err
		}
		f.num["least-thickness"] = float64(t)
	}
	return nil
}

func faceDefect() Calculation {
	in := []Input{{Name: "gasket-kind", Title: "kind of gasket (soft: gives more than 1 mm)", Words: []string{"hard", "soft"}}, {Name: "gasket-width", Title: "width of the gasket across the face", Dim: unit.LengthDim, On: "face"},
		{Name: "span", Title: "how far the mark runs across the gasket", Dim: unit.LengthDim, On: "face"}, {Name: "depth", Title: "depth of the mark", Dim: unit.LengthDim, On: "face"}, {Name: "limit", Title: "greatest depth allowed", Dim: unit.LengthDim, Optional: true}}
	return Calculation{
		Name: "face-defect", Title: "Scratch, pit or dent in a gasket face",
		About:  "The further a mark runs across the gasket, the shallower it may be; one that runs right across leaks at any depth.",
		Inputs: in,
		Outputs: []Output{
			{"span-share", "share of the gasket that the mark crosses", unit.RatioDim, "span / width", "ASME PCC-1 App. D", confirmed},
			{"greatest-depth", "greatest depth for that span", unit.LengthDim, "look-up", "ASME PCC-1 App. D Table D-2M (limits from memory)", memory},
			{"depth-now", "depth of the mark", unit.LengthDim, "as given", "as given", confirmed},
		},
		Judges:  []Judge{{Output: "depth-now", AtMost: true, By: "limit", Ours: outputLimit("greatest-depth", "ASME PCC-1 App. D Table D-2M", memory)}},
		Example: map[string]string{"gasket-kind": "soft", "gasket-width": "12 mm", "span": "4 mm", "depth": "0.3 mm"},
		formula: func(g given) (found, error) {
			f := newFound()
			w, span := g.num["gasket-width"], g.num["span"]
			if err := refuse.First(refuse.Positive("the width of the gasket", w), refuse.NotNegative("the span of the mark", span), refuse.NotNegative("the depth of the mark", g.num["depth"])); err != nil {
				return f, err
			}
			share := span / w
			f.num["span-share"], f.num["depth-now"] = share, g.num["depth"]
			t, err := g.table("face-defect")
			if err != nil {
				return f, err
			}
			r, err := t.Find("a mark over that share", table.Is("name", g.word["gasket-kind"]), table.Between("span_from_ratio", "span_to_ratio", math.Min(share, 1)))
			if err != nil {
				return f, err
			}
			f.num["greatest-depth"], _ = r.SI("depth_mm")
			f.cite("greatest depth", r, "depth_mm")
			return f, nil
		},
		lead: func(_ given, o *Out) string {
			if o.Num["greatest-depth"].SI == 0 {
				return "The mark crosses " + o.say(o.Num["span-share"], unit.RatioDim) + " of the gasket: no depth is allowed"
			}
			return "The mark crosses " + o.say(o.Num["span-share"], unit.RatioDim) + " of the gasket and is " + o.say(o.Num["depth-now"], unit.LengthDim) + " deep"
		},
	}
}

func lapOff() Calculation {
	opt := func(name, title, on string) Input {
		return Input{Name: name, Title: title, Dim: unit.LengthDim, Optional: true, On: on}
	}
	in := []Input{{Name: "flatness", Title: "flatness measured", Dim: unit.LengthDim, On: "face"}, {Name: "permitted", Title: "flatness wanted", Dim: unit.LengthDim},
		opt("thickness", "thickness or height of the part now", "outside"), opt("least-thickness", "least that it must keep (the maker's figure)", ""), opt("clearance", "clearance that shrinks with the face (pin, bolt end, valve) now", ""), opt("least-clearance", "least clearance wanted", "")}
	return Calculation{
		Name: "lap-off", Title: "How much may be lapped off a face",
		About: "What has to come off to be flat enough, what may come off before something becomes too small, and whether the part can be saved. Only the maker knows " +
			"the least thickness. Lap on plate glass with abrasive paper, marked with ink, a little at a time; on a head count valve to piston clearance, and take the same off ends that close on one another.",
		Inputs: in,
		Outputs: []Output{
			{"needed", "has to come off", unit.LengthDim, "flatness - permitted, not below 0", "geometry", confirmed},
			{"clean-up", "comes off to clean it up all over", unit.LengthDim, "flatness", "geometry", confirmed},
			{"may", "may come off", unit.LengthDim, "least of what thickness and clearance leave", "geometry", confirmed},
			{"set-by", "what sets it", "", "the least", "geometry", confirmed},
			{"left", "left over when it is flat enough", unit.LengthDim, "may - needed", "geometry", confirmed},
		},
		Judges:  []Judge{{Output: "needed", AtMost: true, Against: []string{"may"}}},
		Example: map[string]string{"flatness": "0.18 mm", "permitted": "0.05 mm", "thickness": "9.80 mm", "least-thickness": "9.50 mm", "clearance": "1.2 mm", "least-clearance": "1.0 mm"},
		formula: func(g given) (found, error) {
			f := newFound()
			var rooms []flange.Room
			if g.has("thickness") && g.has("least-thickness") {
				r, err := flange.RoomByThickness(g.length("thickness"), g.length("least-thickness"))
				if err != nil {
					return f, err
				}
				rooms = append(rooms, r)
			}
			if g.has("clearance") && g.has("least-clearance") {
				r, err := flange.RoomByMeasure("clearance", g.length("clearance"), g.length("least-clearance"))
				if err != nil {
					return f, err
				}
				rooms = append(rooms, r)
			}
			if t, err := g.table("face-stock"); err == nil {
				lo, hi := math.Inf(1), 0.0
				for _, r := range t.Where(table.Is("name", "head")) {
					if x, ok := r.SI("removed_mm"); ok {
						lo, hi = math.Min(lo, x), math.Max(hi, x)
					}
				}
				f.note("Workshop manuals allow %s to %s in all, each for its own cylinder head only (table face-stock); none of these is yours.", g.say(Num{SI: lo}, unit.LengthDim), g.say(Num{SI: hi}, unit.LengthDim))
			}
			l, err := flange.Lap(g.length("flatness"), g.length("permitted"), rooms...)
			if err != nil {
				return f, err
			}
			f.num["needed"], f.num["clean-up"], f.num["may"] = float64(l.Needed), float64(l.CleanUp), float64(l.May)
			f.num["left"] = float64(l.May - l.Needed)
			f.text["set-by"] = l.Why
			return f, nil
		},
		lead: func(_ given, o *Out) string {
			if o.Num["needed"].SI == 0 {
				return "It is flat enough as it is"
			}
			return o.say(o.Num["needed"], unit.LengthDim) + " has to come off, " + o.say(o.Num["may"], unit.LengthDim) + " may (" + o.Text["set-by"] + ")"
		},
	}
}
