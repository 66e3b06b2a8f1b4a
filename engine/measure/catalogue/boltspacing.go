package catalogue

import (
	"math"

	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func boltSpacings() []Calculation { return []Calculation{boltSpacing()} }

const spacingRules = "published rules for the distance between bolts (bolt-spacing)"

func boltSpacing() Calculation {
	in := []Input{{Name: "bolt-circle", Title: "diameter of the bolt circle", Dim: unit.LengthDim, Optional: true}, {Name: "bolts", Title: "number of bolts", Dim: unit.CountDim, Optional: true},
		{Name: "spacing", Title: "greatest distance between two neighbours, centre to centre", Dim: unit.LengthDim, Optional: true}, threadIn, boltSizeIn,
		{Name: "cover", Title: "kind of cover", Words: []string{"stiff", "thin"}, Optional: true, Default: "stiff"},
		{Name: "cover-thickness", Title: "thickness of the cover or flange", Dim: unit.LengthDim, Optional: true},
		{Name: "gasket-factor", Title: "gasket factor m", Dim: unit.RatioDim, Optional: true}, {Name: "factors", Title: "row of gasket factors", From: "gasket-factors", Optional: true},
		{Name: "flange-width", Title: "width of the flange", Dim: unit.LengthDim, Optional: true}, {Name: "softness", Title: "class of the gasket", Words: []string{"hard", "soft"}, Optional: true, Default: "hard"},
		{Name: "load-needed", Title: "bolt load that the joint needs", Dim: unit.ForceDim, Optional: true}, {Name: "load-per-bolt", Title: "load that one bolt may carry", Dim: unit.ForceDim, Optional: true},
		{Name: "spacing-limit", Title: "greatest distance allowed", Dim: unit.LengthDim, Optional: true}, {Name: "least-spacing", Title: "least distance allowed", Dim: unit.LengthDim, Optional: true}}
	return Calculation{
		Name: "bolt-spacing", Title: "Distance between bolts against the rules, and how many bolts it takes",
		About:  "Holds the distance between neighbours against the published rules side by side and names the strictest that fits the cover; says how many bolts the distance and the load ask for. The rules come from different trades and disagree: a cover whose bow can be worked out is judged by its bow (cover-bow).",
		Inputs: in,
		Outputs: []Output{
			{"spacing-now", "distance between neighbours", unit.LengthDim, "as given, or pi circle / bolts", "geometry", confirmed},
			{"spacing-in-diameters", "distance in bolt diameters", unit.CountDim, "distance / diameter", "geometry", confirmed},
			{"greatest-spacing", "greatest distance, strictest rule", unit.LengthDim, "least of the rules that fit", spacingRules, practice},
			{"strictest-rule", "rule that decides", "", "the rule with the least distance", spacingRules, practice},
			{"closest-spacing", "least distance by the rule of even pressure", unit.LengthDim, "3 diameters", spacingRules, memory},
			{"even-pressure-spacing", "greatest distance, even pressure on a full gasket", unit.LengthDim, "6 diameters", spacingRules, memory},
			{"cover-spacing", "greatest distance for this kind of cover", unit.LengthDim, "7 diameters stiff, 4.5 thin", spacingRules, practice},
			{"bending-spacing", "greatest distance, design notes", unit.LengthDim, "10 diameters", spacingRules, confirmed},
			{"vessel-spacing", "greatest distance, pressure-vessel practice", unit.LengthDim, "2 d + 6 t / (m + 0.5)", spacingRules, memory},
			{"moment-factor", "factor on the flange moment for a wide distance", unit.RatioDim, "[p / (2 d + t)]^(1/2), at least 1", spacingRules, memory},
			{"scope-thickness", "flange thickness from which the European method takes the pressure as even", unit.LengthDim, "p (0.10 p / b)^(1/3) hard, p (0.01 p / b)^(1/3) soft", spacingRules, memory},
			{"bolts-for-spacing", "least number of bolts for the distance", unit.CountDim, "pi circle / greatest distance, rounded up", "geometry", confirmed},
			{"bolts-for-load", "least number of bolts for the load", unit.CountDim, "load needed / load per bolt, rounded up", "sum", confirmed},
			{"bolts-needed", "least number of bolts for both", unit.CountDim, "larger of the two", "sum", confirmed},
			{"bolts-by-fours", "the same, in the custom of round flanges", unit.CountDim, "next multiple of four", "Pressure Vessel Design Manual, p. 53", confirmed},
		},
		Judges: []Judge{{Output: "spacing-now", AtMost: true, By: "spacing-limit", Against: []string{"greatest-spacing"}},
			{Output: "spacing-now", By: "least-spacing", Against: []string{"closest-spacing"}}},
		Blind:   "Ribs, thin corners and a bolt left out are not in a mean distance: measure the widest gap between two bolts.",
		Example: map[string]string{"bolt-circle": "140 mm", "bolts": "8", "thread": "m8", "cover-thickness": "10 mm", "factors": "paper", "flange-width": "25 mm", "load-needed": "26 kN", "load-per-bolt": "8 kN"},
		formula: boltSpacingFormula,
		lead: func(_ given, o *Out) string {
			greatest := "at most " + o.say(Num{SI: o.Num["greatest-spacing"].SI}, unit.LengthDim) + " by the strictest rule (" + o.Text["strictest-rule"] + ")"
			s := capital(greatest)
			if n, ok := o.Num["spacing-now"]; ok {
				s = "The bolts stand " + o.say(n, unit.LengthDim) + " apart; " + greatest
			}
			if n, ok := o.Num["bolts-needed"]; ok {
				s += "; at least " + o.say(Num{SI: n.SI}, unit.CountDim) + " bolts"
			}
			return s
		},
	}
}

func boltSpacingFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	b, err := fastenerOf(g, &f)
	if err != nil {
		return f, err
	}
	now, known, err := spacingOf(g)
	if err != nil {
		return f, err
	}
	if known {
		f.num["spacing-now"], f.num["spacing-in-diameters"] = float64(now), float64(now/b.d)
	}
	if err := spacingLimits(g, &f, b); err != nil {
		return f, err
	}
	if known && g.has("cover-thickness") {
		x, e := flange.PitchPenalty(now, b.d, g.length("cover-thickness"))
		put(&f, &err, "moment-factor", max(1, x), e)
	}
	if known && g.has("flange-width") {
		x, e := flange.LeastThicknessByScope(now, g.length("flange-width"), g.word["softness"] == "soft")
		put(&f, &err, "scope-thickness", x, e)
	}
	if err != nil {
		return f, err
	}
	return f, boltCounts(g, &f)
}

// spacingOf is the distance as given, or along the bolt circle.
func spacingOf(g given) (unit.Length, bool, error) {
	if g.has("spacing") {
		return g.length("spacing"), true, refuse.Positive("the distance between bolts", g.num["spacing"])
	}
	if !g.has("bolt-circle") || !g.has("bolts") {
		return 0, false, nil
	}
	p, err := flange.Pitch(g.length("bolt-circle"), int(g.num["bolts"]))
	return p, true, err
}

// spacingLimits puts the rules side by side and takes the strictest that fits the cover.
func spacingLimits(g given, f *found, b fastener) error {
	t, err := g.table("bolt-spacing")
	if err != nil {
		return err
	}
	least := math.Inf(1)
	note := func(output, said string, x float64) {
		f.num[output] = x
		if x < least {
			least, f.text["strictest-rule"] = x, said
		}
	}
	for _, rule := range []struct{ output, name string }{{"even-pressure-spacing", "even-pressure"}, {"cover-spacing", g.word["cover"] + "-cover"}, {"bending-spacing", "spanner-room"}} {
		r, err := t.Find("the rule "+rule.name, table.Is("name", rule.name))
		if err != nil {
			return err
		}
		x, _ := r.SI("greatest_d_ratio")
		note(rule.output, r.Text("rule"), x*float64(b.d))
		f.cite("greatest distance in diameters, "+r.Text("rule"), r, "greatest_d_ratio")
		if lo, ok := r.SI("least_d_ratio"); ok && rule.name == "even-pressure" {
			f.num["closest-spacing"] = lo * float64(b.d)
			f.cite("least distance in diameters, "+r.Text("rule"), r, "least_d_ratio")
		}
	}
	m, known := g.num["gasket-factor"]
	if !known && g.has("factors") {
		r, err := g.row("gasket-factors", "factors")
		if err != nil {
			return err
		}
		if m, known = r.SI("m_ratio"); known {
			f.cite("gasket factor m", r, "m_ratio")
		}
	}
	if known && g.has("cover-thickness") {
		x, err := flange.GreatestPitch(b.d, g.length("cover-thickness"), unit.Ratio(m))
		if err != nil {
			return err
		}
		r, err := t.Find("the rule vessel", table.Is("name", "vessel"))
		if err != nil {
			return err
		}
		f.cite(r.Text("rule"), r, "formula")
		note("vessel-spacing", r.Text("rule"), float64(x))
	}
	f.num["greatest-spacing"] = least
	f.note("The rules disagree; the strictest that fits was taken. Design notes ask at least 5 diameters for the spanner, other texts 3.")
	return nil
}

// boltCounts is the least number of bolts by distance and by load.
func boltCounts(g given, f *found) error {
	need := 0
	if g.has("bolt-circle") {
		limit := unit.Length(f.num["greatest-spacing"])
		if g.has("spacing-limit") {
			limit = g.length("spacing-limit")
		}
		n, err := flange.BoltsForPitch(g.length("bolt-circle"), limit)
		if err != nil {
			return err
		}
		f.num["bolts-for-spacing"], need = float64(n), n
	}
	if g.has("load-needed") && g.has("load-per-bolt") {
		n, err := flange.BoltsForLoad(g.force("load-needed"), g.force("load-per-bolt"))
		if err != nil {
			return err
		}
		f.num["bolts-for-load"], need = float64(n), max(need, n)
	}
	if need == 0 {
		return nil
	}
	n, err := flange.ByFours(need)
	f.num["bolts-needed"], f.num["bolts-by-fours"] = float64(need), float64(n)
	return err
}
