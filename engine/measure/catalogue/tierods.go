package catalogue

import (
	"math"

	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func tieRods() []Calculation {
	in := []Input{
		{Name: "rod-diameter", Title: "diameter of the rod", Dim: unit.LengthDim},
		{Name: "pitch", Title: "pitch, where the rod is threaded all along", Dim: unit.LengthDim, Optional: true},
		{Name: "rod-length", Title: "clamped length", Dim: unit.LengthDim},
		{Name: "casing-expansion", Title: "expansion of the casing (left out: by its material)", Dim: unit.ExpansionDim, Optional: true},
		{Name: "rod-expansion", Title: "expansion of the rod (left out: by its material)", Dim: unit.ExpansionDim, Optional: true},
		{Name: "casing-material", Title: "material of the casing", From: "bolt-materials", Optional: true},
		{Name: "rod-material", Title: "material of the rod", From: "bolt-materials", Optional: true},
		{Name: "casing-rise", Title: "temperature rise of the casing since tightening", Dim: unit.KelvinDim},
		{Name: "rod-rise", Title: "temperature rise of the rod since tightening", Dim: unit.KelvinDim},
		{Name: "preload", Title: "rod load at tightening", Dim: unit.ForceDim, Optional: true},
		{Name: "modulus", Title: "modulus of the rod (left out: by its material, else 205 GPa)", Dim: unit.PressureDim, Optional: true},
		{Name: "load-needed", Title: "least rod load that keeps the joint tight", Dim: unit.ForceDim, Optional: true},
		{Name: "casing-stiffness", Title: "stiffness of the clamped parts (left out: rigid)", Dim: unit.StiffnessDim, Optional: true},
		{Name: "creep", Title: "how much gaskets and rings have settled", Dim: unit.LengthDim, Optional: true, Default: "0 mm"}}
	return []Calculation{{
		Name: "tie-rod-heat", Title: "Tie-rod load when casing and rod warm differently",
		About:  "A rod in the hot liquid slackens a cold casing, an aluminium casing tightens a steel rod; creep takes load for good. With rigid parts the figures are upper bounds.",
		Inputs: in,
		Outputs: []Output{
			{"mismatch", "how much longer the casing gets than the rod", unit.LengthDim, "length (casing expansion casing rise - rod expansion rod rise)", "definition", confirmed},
			{"rod-stiffness", "stiffness of the rod", unit.StiffnessDim, "modulus area / length", "linear elasticity", confirmed},
			{"load-change", "change of the rod load", unit.ForceDim, "(mismatch - creep) / (1/k rod + 1/k casing)", "compound bars", confirmed},
			{"load-after", "rod load after it", unit.ForceDim, "preload + change; 0 when slack", "compound bars", confirmed},
		},
		Judges:  []Judge{atLeast("load-after", "load-needed")},
		Blind:   "A rod is seldom at one temperature: take the mean over its length, and ask what the worst moment is, a cold start or the stop after a hot run.",
		Example: map[string]string{"rod-diameter": "10 mm", "pitch": "1.5 mm", "rod-length": "300 mm", "casing-material": "aluminium", "rod-material": "steel", "casing-rise": "40 K", "rod-rise": "60 K", "preload": "12 kN", "creep": "0.02 mm"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			d := g.num["rod-diameter"]
			area := unit.Area(math.Pi / 4 * d * d)
			if e := refuse.First(refuse.Positive("the rod diameter", d), refuse.NotNegative("the creep", g.num["creep"])); e != nil {
				return f, e
			}
			if g.has("pitch") {
				a, e := flange.StressArea(unit.Length(d), g.length("pitch"))
				if e != nil {
					return f, e
				}
				area = a
			}
			m, err := rodMetals(g, &f)
			if err != nil {
				return f, err
			}
			k, e := flange.Stiffness(area, g.length("rod-length"), m.modulus)
			put(&f, &err, "rod-stiffness", k, e)
			x, e := flange.Mismatch(g.length("rod-length"), m.casing, m.rod, unit.Kelvin(g.num["casing-rise"]), unit.Kelvin(g.num["rod-rise"]))
			put(&f, &err, "mismatch", x, e)
			if err != nil {
				return f, err
			}
			change, e := flange.LoadFromMismatch(x-g.length("creep"), k, unit.Stiffness(g.num["casing-stiffness"]))
			put(&f, &err, "load-change", change, e)
			if g.has("preload") {
				f.num["load-after"] = math.Max(0, g.num["preload"]+float64(change))
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			change := o.Num["load-change"]
			lead := "The rod gains " + o.say(change, unit.ForceDim)
			if change.SI < 0 {
				lead = "The rod loses " + o.say(Num{-change.SI, change.U}, unit.ForceDim)
			}
			if after, ok := o.Num["load-after"]; ok {
				lead += " and is left with " + o.say(after, unit.ForceDim)
				if after.SI == 0 {
					lead += ": it is slack"
				}
			}
			return lead
		},
	}}
}

// metals are expansions of casing and rod and the modulus of the rod.
type metals struct {
	casing, rod unit.Expansion
	modulus     unit.Pressure
}

// rodMetals takes typed figures first, then the table by the words for the materials.
func rodMetals(g given, f *found) (metals, error) {
	m := metals{modulus: 205e9}
	for _, side := range []string{"casing", "rod"} {
		x, typed := g.num[side+"-expansion"]
		if word := side + "-material"; g.has(word) {
			r, err := g.row("bolt-materials", word)
			if err != nil {
				return m, err
			}
			if !typed {
				x, typed = r.SI("expansion_per_K")
				f.cite("expansion of the "+side, r, "expansion_per_K")
			}
			if e, ok := r.SI("modulus_GPa"); ok && side == "rod" && !g.has("modulus") {
				m.modulus = unit.Pressure(e)
				f.cite("modulus of the rod", r, "modulus_GPa")
			}
		}
		if !typed {
			return m, refuse.Because("the expansion of the "+side, "is not known", "give "+side+"-material, such as steel, or "+side+"-expansion")
		}
		if side == "casing" {
			m.casing = unit.Expansion(x)
		} else {
			m.rod = unit.Expansion(x)
		}
	}
	if g.has("modulus") {
		m.modulus = g.pressure("modulus")
	}
	return m, nil
}
