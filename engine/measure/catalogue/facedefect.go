package catalogue

import (
	"slices"

	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

const markTable = "ASME PCC-1 App. D (face-defect)"

func faceDefect() Calculation {
	in := append([]Input{{Name: "span", Title: "how far the mark runs across the seal, inside to outside", Dim: unit.LengthDim, On: "face"}, {Name: "gasket-width", Title: "width of the gasket across the face", Dim: unit.LengthDim, On: "face"},
		{Name: "gasket-kind", Title: "class of the gasket (left out: by thickness and squeeze)", Words: []string{"hard", "soft"}, Optional: true}}, sheetIn...)
	in = append(in, Input{Name: "depth", Title: "depth of the mark", Dim: unit.LengthDim, Optional: true, On: "face"}, Input{Name: "limit", Title: "greatest depth allowed (maker's)", Dim: unit.LengthDim, Optional: true})
	return Calculation{
		Name: "face-defect", Title: "How deep a mark in a sealing face may be",
		About:  "The depth allowed by how far the mark runs across the seal, from the published table and from what this gasket can fill: the stricter of the two holds. Marks that join up count as one; a scratch right across is never allowed.",
		Inputs: in,
		Outputs: []Output{
			{"span-share", "share of the gasket width that the mark crosses", unit.RatioDim, "span / width", "geometry", confirmed},
			{"permitted-depth", "permitted depth, 0 = none at any depth", unit.LengthDim, "stricter of table and gasket", markTable + "; " + squeezeRoom, memory},
			{"decided-by", "what decides", "", "the stricter of the two", markTable + "; " + squeezeRoom, memory},
			{"greatest-depth", "depth by the table", unit.LengthDim, "row of the share of the width", markTable, memory},
			{"gasket-depth", "depth that this gasket fills", unit.LengthDim, "thickness (squeeze - least squeeze)", squeezeRoom, memory},
			{"depth-now", "depth of the mark", unit.LengthDim, "as given", "as given", confirmed},
		},
		Judges:  []Judge{{Output: "depth-now", AtMost: true, By: "limit", Against: []string{"permitted-depth"}}},
		Blind:   "A feeler or a fingernail judges depth badly: a nail catches from about 0.02 mm on (estimate). A mark narrower than the gasket is thick is bridged rather than filled.",
		Example: map[string]string{"span": "3 mm", "gasket-width": "10 mm", "gasket": "paper", "thickness": "0.8 mm", "depth": "0.04 mm"},
		formula: faceDefectFormula,
		lead: func(_ given, o *Out) string {
			s := "The mark crosses " + o.say(o.Num["span-share"], unit.RatioDim) + " of the gasket: "
			if o.Num["permitted-depth"].SI == 0 {
				return s + "no depth is permitted (" + o.Text["decided-by"] + ")"
			}
			return s + "at most " + o.say(Num{SI: o.Num["permitted-depth"].SI}, unit.LengthDim) + " of depth is permitted (" + o.Text["decided-by"] + ")"
		},
	}
}

func faceDefectFormula(g given) (found, error) {
	f := newFound()
	s, known, err := sheetOf(g, &f)
	if err != nil {
		return f, err
	}
	class, err := softness(g, &f, s, known)
	if err != nil {
		return f, err
	}
	if class == "" {
		class = "hard"
		f.note("The class of the gasket was not given: taken as hard, the stricter one.")
	}
	span, width := g.length("span"), g.length("gasket-width")
	if err := refuse.First(refuse.Positive("the radial span of the mark", float64(span)), refuse.Positive("the gasket width", float64(width))); err != nil {
		return f, err
	}
	t, err := g.table("face-defect")
	if err != nil {
		return f, err
	}
	var limits []flange.DefectLimit
	rows := t.Where(table.Is("name", class))
	for _, r := range rows {
		upTo, _ := r.SI("span_to_ratio")
		depth, _ := r.SI("depth_mm")
		limits = append(limits, flange.DefectLimit{UpTo: unit.Ratio(upTo), Depth: unit.Length(depth)})
	}
	depth, err := flange.DefectDepth(limits, width, span)
	if err != nil {
		return f, err
	}
	f.num["span-share"], f.num["greatest-depth"] = float64(span/width), float64(depth)
	if i := slices.IndexFunc(limits, func(l flange.DefectLimit) bool { return unit.Ratio(span/width) <= l.UpTo }); i >= 0 {
		f.cite("greatest depth of a mark, "+class+" gasket", rows[i], "depth_mm")
	} else {
		f.note("The mark is longer than the gasket is wide: a path right across, not allowed at any depth.")
	}
	f.text["decided-by"] = "table for a " + class + " gasket"
	if known {
		x, err := s.GreatestHollow()
		if err != nil {
			return f, err
		}
		f.num["gasket-depth"] = float64(x)
		if x < depth {
			depth, f.text["decided-by"] = x, "what this gasket fills"
			f.note("The table is written for pipe flanges with wide gaskets; this gasket fills less, and the stricter holds.")
		}
	} else {
		f.note("The table is written for pipe flanges with wide gaskets. A thin gasket fills far less: give gasket and thickness to have that reckoned as well.")
	}
	f.num["permitted-depth"] = float64(depth)
	if g.has("depth") {
		f.num["depth-now"] = g.num["depth"]
		return f, refuse.NotNegative("the depth of the mark", g.num["depth"])
	}
	return f, nil
}
