package catalogue

import (
	"seepwright/engine/measure/form"
	"seepwright/engine/measure/hose"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func hoses() []Calculation { return []Calculation{clampRange(), hoseFit()} }

func clampRange() Calculation {
	in := []Input{{Name: "clamp-min", Title: "smallest diameter stamped on the clamp", Dim: unit.LengthDim}, {Name: "clamp-max", Title: "largest diameter stamped on the clamp", Dim: unit.LengthDim},
		{Name: "hose-od", Title: "outside of the hose on its spigot", Dim: unit.LengthDim}}
	return Calculation{
		Name: "clamp-range", Title: "Where in its range a clamp works",
		About:  "A band is round in the middle 60 % of its range; near its ends it leaves a gap or a kink under the housing.",
		Inputs: in,
		Outputs: []Output{
			{"position", "place in the range (0 % closed, 100 % open)", unit.RatioDim, "(hose outside - smallest) / (largest - smallest)", "definition", confirmed},
			{"best-low", "lower end of the middle 60 %", unit.LengthDim, "smallest + 0.2 range", "middle 60 %", practice},
			{"best-high", "upper end of the middle 60 %", unit.LengthDim, "largest - 0.2 range", "middle 60 %", practice},
		},
		Example: map[string]string{"clamp-min": "40 mm", "clamp-max": "60 mm", "hose-od": "47 mm"},
		Judges: []Judge{
			{Output: "position", Ours: fixed(0.2, "middle 60 % of the range", practice)},
			{Output: "position", AtMost: true, Ours: fixed(0.8, "middle 60 % of the range", practice)},
		},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			x, e := hose.RangeUse(g.length("clamp-min"), g.length("clamp-max"), g.length("hose-od"))
			put(&f, &err, "position", x, e)
			lo, hi, e := hose.BestRange(g.length("clamp-min"), g.length("clamp-max"))
			put(&f, &err, "best-low", lo, e)
			put(&f, &err, "best-high", hi, e)
			return f, err
		},
		lead: func(_ given, o *Out) string {
			p := o.Num["position"]
			lead := "The clamp works at " + o.say(p, unit.RatioDim) + " of its range"
			if p.SI < 0 || p.SI > 1 {
				lead = "The clamp does not fit this hose"
			}
			return lead
		},
	}
}

func hoseFit() Calculation {
	opt := func(name, title string, dim unit.Dimension, def string) Input {
		return Input{Name: name, Title: title, Dim: dim, Optional: true, Default: def}
	}
	in := []Input{{Name: "hose-id", Title: "bore of the hose", Dim: unit.LengthDim}, {Name: "spigot-diameter", Title: "outside of the spigot", Dim: unit.LengthDim},
		{Name: "spigot", Title: "spigot, two-point diameters at clock positions", Dim: unit.LengthDim, Rows: true, Spread: "half-turn", Optional: true},
		opt("pressure", "pressure", unit.PressureDim, ""), opt("wall", "wall of the hose", unit.LengthDim, ""), opt("band-tension", "tension in the band", unit.ForceDim, ""), opt("band-width", "width of the band", unit.LengthDim, ""),
		opt("friction", "friction of the rubber on the spigot", unit.RatioDim, "0.3"), opt("least-stretch", "least stretch wanted", unit.RatioDim, "2 %"), opt("greatest-stretch", "greatest stretch allowed", unit.RatioDim, "8 %")}
	return Calculation{
		Name: "hose-fit", Title: "Fit of a hose on its spigot",
		About:  "Stretch of the hose, how round the spigot must be, the force that blows it off, and what the band holds at most.",
		Inputs: in,
		Outputs: []Output{
			{"stretch", "stretch of the hose", unit.RatioDim, "(spigot - hose bore) / hose bore", "geometry; 2 to 8 % common practice", confirmed},
			{"interference", "interference", unit.LengthDim, "spigot - hose bore", "geometry", confirmed},
			{"roundness-limit", "greatest ovality of the spigot", unit.LengthDim, "least of 0.3 mm and 1 % of the spigot", "trade rule", practice},
			{"out-of-round", "ovality of the spigot measured", unit.LengthDim, "2 sqrt(A^2 + B^2) of the two-wave fit; range where only two directions were measured", "two-wave fit, ISO 4292 practice", confirmed},
			{"blow-off", "force that blows the hose off", unit.ForceDim, "pressure (pi/4) spigot^2", "force balance", confirmed},
			{"band-pressure", "mean pressure of the band", unit.PressureDim, "2 tension / (width (spigot + 2 wall))", "hoop balance, upper bound", confirmed},
			{"grip", "grip of the band, at most", unit.ForceDim, "friction band pressure pi spigot width", "friction balance, upper bound", confirmed},
		},
		Example: map[string]string{"hose-id": "38 mm", "spigot-diameter": "39.2 mm", "spigot": "12:00 = 39.30 mm; 2:00 = 39.15 mm; 4:00 = 39.20 mm", "pressure": "1.1 bar", "wall": "5 mm", "band-tension": "1000 N", "band-width": "12 mm"},
		Judges: []Judge{atLeast("stretch", "least-stretch"), atMost("stretch", "greatest-stretch"),
			{Output: "out-of-round", AtMost: true, Against: []string{"roundness-limit"}}},
		formula: hoseFitFormula,
		lead: func(_ given, o *Out) string {
			s := o.Num["stretch"]
			lead := "The spigot stretches the hose by " + o.say(s, unit.RatioDim)
			if s.SI < 0 {
				lead = "The hose is loose on its spigot by " + o.say(Num{-o.Num["interference"].SI, o.Num["interference"].U}, unit.LengthDim)
			}
			if m, ok := o.Num["out-of-round"]; ok {
				lead += "; the spigot is oval by " + o.say(m, unit.LengthDim)
			}
			return lead
		},
	}
}

func hoseFitFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	bore, spigot := g.length("hose-id"), g.length("spigot-diameter")
	s, e := hose.Stretch(bore, spigot)
	put(&f, &err, "stretch", s, e)
	f.num["interference"] = float64(spigot - bore)
	limit, e := hose.RoundnessLimit(spigot)
	put(&f, &err, "roundness-limit", limit, e)
	if row := g.rows["spigot"]; len(row) > 0 {
		d, _, e := diametersOf(row)
		if e != nil {
			return f, e
		}
		if _, e := form.Diameters(d); e != nil {
			return f, e
		}
		o, e := ovalOf(d)
		put(&f, &err, "out-of-round", 2*o.Semi, e)
	}
	if g.has("pressure") {
		b, e := hose.BlowOff(spigot, unit.Pressure(g.num["pressure"]))
		put(&f, &err, "blow-off", b, e)
	}
	if g.has("wall") && g.has("band-tension") && g.has("band-width") {
		if e := refuse.Positive("the hose wall", g.num["wall"]); e != nil {
			return f, e
		}
		p, e := hose.BandPressure(unit.Force(g.num["band-tension"]), g.length("band-width"), spigot+2*g.length("wall"))
		put(&f, &err, "band-pressure", p, e)
		grip, e := hose.Grip(p, spigot, g.length("band-width"), g.ratio("friction"))
		put(&f, &err, "grip", grip, e)
	}
	return f, err
}
