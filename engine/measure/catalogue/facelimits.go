package catalogue

import (
	"math"

	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func faceLimits() []Calculation { return []Calculation{faceLimit(), faceDefect(), lapOff()} }

// Inputs that tell how thick a gasket is and how far it is squeezed.
var sheetIn = []Input{
	{Name: "gasket", Title: "material of the gasket", From: "gasket-materials", Optional: true},
	{Name: "thickness", Title: "free thickness of the gasket", Dim: unit.LengthDim, Optional: true, On: "outside"},
	{Name: "squeeze", Title: "squeeze of the gasket (left out: middle of its range)", Dim: unit.RatioDim, Optional: true},
	{Name: "least-squeeze", Title: "least squeeze that seals (left out: by the material)", Dim: unit.RatioDim, Optional: true},
	{Name: "greatest-squeeze", Title: "greatest squeeze it stands (left out: by the material)", Dim: unit.RatioDim, Optional: true},
}

const (
	flatnessTables = "workshop manuals and flange standards (face-flatness)"
	squeezeRoom    = "geometry of thickness and squeeze; squeeze by gasket-materials"
)

// sheetOf is the gasket between stiff faces; known is false where its thickness or its squeeze is not.
func sheetOf(g given, f *found) (s flange.Sheet, known bool, err error) {
	if !g.has("thickness") {
		return s, false, nil
	}
	s.Thickness, s.Least, s.Utmost = g.length("thickness"), g.ratio("least-squeeze"), g.ratio("greatest-squeeze")
	low, high := g.has("least-squeeze"), g.has("greatest-squeeze")
	if err := refuse.Positive("the gasket thickness", float64(s.Thickness)); err != nil {
		return s, false, err
	}
	if g.has("gasket") {
		r, err := g.row("gasket-materials", "gasket")
		if err != nil {
			return s, false, err
		}
		if x, ok := r.SI("squeeze_min_pct"); ok && !low {
			s.Least, low = unit.Ratio(x), true
			f.cite("least squeeze of the gasket", r, "squeeze_min_pct")
		}
		if x, ok := r.SI("squeeze_max_pct"); ok && !high {
			s.Utmost, high = unit.Ratio(x), true
			f.cite("greatest squeeze of the gasket", r, "squeeze_max_pct")
		}
	}
	if !low || !high {
		f.note("The squeeze of this gasket is not known: give gasket, or least-squeeze and greatest-squeeze, to have the limit solved.")
		return s, false, nil
	}
	s.Squeeze = (s.Least + s.Utmost) / 2
	if g.has("squeeze") {
		s.Squeeze = g.ratio("squeeze")
	} else {
		f.note("The squeeze is taken as half way between least and greatest, the best that a torque can do.")
	}
	_, err = s.UnevennessAtBest() // checks the sheet
	return s, true, err
}

// softness is the class of the gasket: as given, else by how far it gives. "" = not known.
func softness(g given, f *found, s flange.Sheet, known bool) (string, error) {
	if g.has("gasket-kind") || !known {
		return g.word["gasket-kind"], nil
	}
	soft, err := flange.Soft(s.Thickness, s.Squeeze)
	if soft {
		return "soft", err
	}
	f.note("The gasket gives less than 1.0 mm when it is tightened: it counts as hard.")
	return "hard", err
}

func faceLimit() Calculation {
	in := append([]Input{{Name: "face", Title: "face or joint", From: "face-flatness", Optional: true}, {Name: "state", Title: "whether the face is in service or reworked", Words: []string{"service", "new"}, Optional: true, Default: "service"},
		{Name: "gasket-kind", Title: "class of the gasket (left out: by thickness and squeeze)", Words: []string{"hard", "soft"}, Optional: true}}, sheetIn...)
	in = append(in, Input{Name: "flatness", Title: "unevenness measured, peak to valley, both faces together", Dim: unit.LengthDim, Optional: true, On: "face"},
		Input{Name: "limit", Title: "greatest unevenness allowed (maker's)", Dim: unit.LengthDim, Optional: true})
	return Calculation{
		Name: "face-limit", Title: "How uneven a face may be for this gasket",
		About:  "Puts the published limits for the kind of face side by side and names the strictest, and solves from thickness and squeeze what the gasket can take up: the stricter of the two holds, the maker's figure goes before both.",
		Inputs: in,
		Outputs: []Output{
			{"permitted", "permitted unevenness", unit.LengthDim, "stricter of published limit and what the gasket takes up", flatnessTables + "; " + squeezeRoom, practice},
			{"decided-by", "what decides", "", "the stricter of the two", flatnessTables + "; " + squeezeRoom, practice},
			{"tabled", "strictest published limit over all", unit.LengthDim, "least of the rows that fit", flatnessTables, confirmed},
			{"strictest-row", "row that is the strictest", "", "the row with the least limit", flatnessTables, confirmed},
			{"loosest-limit", "published limit over all, loosest row", unit.LengthDim, "greatest of the rows that fit", flatnessTables, confirmed},
			{"local-limit", "published limit along a short stretch", unit.LengthDim, "least of the rows that name a length", flatnessTables, confirmed},
			{"local-length", "length of that stretch", unit.LengthDim, "as the row says", flatnessTables, confirmed},
			{"takes-up", "unevenness that this gasket takes up", unit.LengthDim, "2 thickness min(squeeze - least, greatest - squeeze)", squeezeRoom, memory},
			{"takes-up-at-best", "the most that any torque can take up with it", unit.LengthDim, "thickness (greatest - least)", squeezeRoom, memory},
			{"hollow-limit", "depth of one local hollow that it fills", unit.LengthDim, "thickness (squeeze - least)", squeezeRoom, memory},
			{"flatness-now", "flatness", unit.LengthDim, "as given", "as given", confirmed},
			{"squeeze-least", "least squeeze round the joint", unit.RatioDim, "squeeze - unevenness / (2 thickness)", squeezeRoom, confirmed},
			{"squeeze-greatest", "greatest squeeze round the joint", unit.RatioDim, "squeeze + unevenness / (2 thickness)", squeezeRoom, confirmed},
			{"least-thickness", "thinnest gasket of this material that takes it up", unit.LengthDim, "unevenness / (2 min(squeeze - least, greatest - squeeze))", squeezeRoom, memory},
		},
		Judges:  []Judge{{Output: "flatness-now", AtMost: true, By: "limit", Against: []string{"permitted"}}},
		Blind:   "A straight edge along a few lines misses a twist and a hollow between them; a thin cover pulls flat at its bolts and bows up between them (cover-bow).",
		Example: map[string]string{"face": "paper-cover", "gasket": "paper", "thickness": "0.8 mm", "flatness": "0.08 mm"},
		formula: faceLimitFormula,
		lead: func(_ given, o *Out) string {
			at := "at most " + o.say(Num{SI: o.Num["permitted"].SI}, unit.LengthDim) + " of unevenness is permitted (" + o.Text["decided-by"] + ")"
			if n, ok := o.Num["flatness-now"]; ok {
				return "The face is " + o.say(n, unit.LengthDim) + " uneven; " + at
			}
			return capital(at)
		},
	}
}

func faceLimitFormula(g given) (found, error) {
	f := newFound()
	s, known, err := sheetOf(g, &f)
	if err != nil {
		return f, err
	}
	permitted := math.Inf(1)
	if g.has("face") {
		class, err := softness(g, &f, s, known)
		if err != nil {
			return f, err
		}
		if err := publishedFlatness(g, &f, class); err != nil {
			return f, err
		}
		if x, ok := f.num["tabled"]; ok {
			permitted, f.text["decided-by"] = x, "published limit: "+f.text["strictest-row"]
		}
	}
	if known {
		if err := solvedFlatness(g, &f, s); err != nil {
			return f, err
		}
		if x := f.num["takes-up"]; x < permitted {
			permitted, f.text["decided-by"] = x, "what this gasket takes up"
		}
	}
	if math.IsInf(permitted, 1) {
		return f, refuse.Because("the permitted unevenness", "is not known", "give face, such as paper-cover, or the gasket with its thickness")
	}
	f.num["permitted"] = permitted
	if g.has("flatness") {
		f.num["flatness-now"] = g.num["flatness"]
		return f, refuse.NotNegative("the unevenness", g.num["flatness"])
	}
	return f, nil
}

// solvedFlatness is what the gasket takes up, and what is left of its squeeze over the unevenness measured.
func solvedFlatness(g given, f *found, s flange.Sheet) error {
	var err error
	x, e := s.GreatestUnevenness()
	put(f, &err, "takes-up", x, e)
	x, e = s.UnevennessAtBest()
	put(f, &err, "takes-up-at-best", x, e)
	x, e = s.GreatestHollow()
	put(f, &err, "hollow-limit", x, e)
	if err != nil || !g.has("flatness") {
		return err
	}
	lo, hi, e := s.SqueezeLeft(g.length("flatness"))
	put(f, &err, "squeeze-least", lo, e)
	put(f, &err, "squeeze-greatest", hi, e)
	if x, e := s.LeastThickness(g.length("flatness")); e == nil {
		f.num["least-thickness"] = float64(x)
	} else {
		f.note("%s.", capital(e.Error()))
	}
	return err
}

// publishedFlatness reads the rows of one kind of face. Rows along a short stretch stand apart: they say nothing over all.
func publishedFlatness(g given, f *found, class string) error {
	t, err := g.table("face-flatness")
	if err != nil {
		return err
	}
	rows := t.Where(table.Is("name", g.word["face"]))
	var fit []table.Row
	for _, r := range rows {
		if c := r.Text("class"); c == "" || class == "" || c == class {
			fit = append(fit, r)
		}
	}
	if len(fit) == 0 {
		f.note("The published limits for %s are not for a %s gasket; they stand here all the same.", g.word["face"], class)
		fit = rows
	}
	least, greatest, local := math.Inf(1), 0.0, math.Inf(1)
	for _, r := range fit {
		head := "limit_mm"
		if _, ok := r.SI("new_mm"); ok && g.word["state"] == "new" {
			head = "new_mm"
		}
		x, ok := r.SI(head)
		if !ok {
			head = "new_mm"
			if x, ok = r.SI(head); !ok {
				continue
			}
			f.note("%s: only a limit for a new or reworked face is published.", capital(r.Text("joint")))
		}
		f.cite("flatness, "+r.Text("joint"), r, head)
		if long, ok := r.SI("along_mm"); ok {
			if x < local {
				local, f.num["local-limit"], f.num["local-length"] = x, x, long
			}
			continue
		}
		if x < least {
			least, f.num["tabled"], f.text["strictest-row"] = x, x, r.Text("joint")
		}
		greatest = max(greatest, x)
	}
	if greatest > 0 {
		f.num["loosest-limit"] = greatest
	}
	if greatest > least {
		f.note("The published limits run from %s to %s: the strictest is the safe one.", g.say(Num{SI: least}, unit.LengthDim), g.say(Num{SI: greatest}, unit.LengthDim))
	}
	return nil
}
