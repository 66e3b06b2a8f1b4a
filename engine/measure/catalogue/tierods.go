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
		{Name: "casing-expansion", Title: "expansion of the casing", Dim: unit.ExpansionDim},
		{Name: "rod-expansion", Title: "expansion of the rod", Dim: unit.ExpansionDim},
		{Name: "casing-rise", Title: "temperature rise of the casing since tightening", Dim: unit.KelvinDim},
		{Name: "rod-rise", Title: "temperature rise of the rod since tightening", Dim: unit.KelvinDim},
		{Name: "preload", Title: "rod load at tightening", Dim: unit.ForceDim, Optional: true}, modulusIn,
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
		Example: map[string]string{"rod-diameter": "10 mm", "pitch": "1.5 mm", "rod-length": "300 mm", "casing-expansion": "23e-6 1/K", "rod-expansion": "11.5e-6 1/K", "casing-rise": "40 K", "rod-rise": "60 K", "preload": "12 kN", "creep": "0.02 mm"},
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
			k, e := flange.Stiffness(area, g.length("rod-length"), unit.Pressure(g.num["modulus"]))
			put(&f, &err, "rod-stiffness", k, e)
			x, e := flange.Mismatch(g.length("rod-length"), unit.Expansion(g.num["casing-expansion"]), unit.Expansion(g.num["rod-expansion"]), unit.Kelvin(g.num["casing-rise"]), unit.Kelvin(g.num["rod-rise"]))
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
