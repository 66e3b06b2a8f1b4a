package catalogue

import (
	"math"

	"seepwright/engine/measure/form"
	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func bores() []Calculation { return []Calculation{localSqueeze(), boreLimit(), pushOut(), tilt()} }

// diametersOf reads a row of two-point diameters and says whether places were written as clock positions.
func diametersOf(rows []reading) ([]form.Diameter, bool, error) {
	var out []form.Diameter
	clock := false
	for _, r := range rows {
		a, c, err := angleAt(r.At)
		if err != nil {
			return nil, false, err
		}
		clock = clock || c
		out = append(out, form.Diameter{At: a, D: unit.Length(r.V)})
	}
	return out, clock, nil
}

// ovalOf lays an oval to the diameters; where only two directions were measured it takes the larger
// as the long axis, which can miss an oval that lies between them.
func ovalOf(d []form.Diameter) (gland.Oval, error) {
	s, err := form.Diameters(d)
	if err != nil {
		return gland.Oval{}, err
	}
	if o, err := form.FitOval(d); err == nil {
		return gland.Oval{Mean: o.Mean, Semi: o.Semi, Major: o.Major}, nil
	}
	return gland.Oval{Mean: (s.Largest + s.Smallest) / 2, Semi: s.HalfRange(), Major: d[s.LargestAt].At}, nil
}

func localSqueeze() Calculation {
	in := []Input{cordIn, grooveIn, {Name: "bore", Title: "bore, two-point diameters at clock positions", Dim: unit.LengthDim, Rows: true, Spread: "half-turn"}, spigotIn,
		{Name: "offset", Title: "how far the spigot sits off the middle, and towards which clock position (one reading)", Dim: unit.LengthDim, Rows: true, Optional: true}, leastIn, setIn,
		ringIDIn, {Name: "runout", Title: "run-out of groove to land, total indicator reading", Dim: unit.LengthDim, Optional: true, Default: "0 mm"},
		{Name: "clearance", Title: "diametral clearance beside the groove, where the spigot's size is not known", Dim: unit.LengthDim, Optional: true},
		{Name: "groove", Title: "bottom of the groove, two-point diameters at clock positions, where it is out of round itself", Dim: unit.LengthDim, Rows: true, Optional: true, Spread: "half-turn", On: "outside"}}
	return Calculation{
		Name: "oring-local-squeeze", Title: "Least squeeze round an oval or off-centre bore",
		About:  "Where round the clock a ring in an oval bore is squeezed least, with the spigot as it sits, or against the worst side when only its diameter is known. For a ring in the housing (rod type) give the groove of the housing as bore, the rod as groove-diameter, and the clearance between housing and rod.",
		Inputs: in,
		Outputs: []Output{
			{"least-squeeze-mm", "least squeeze in length", unit.LengthDim, "cord - [(D(a) - groove)/2 - e cos(a - b)], least over a", "geometry", confirmed},
			{"least-squeeze-here", "least squeeze", unit.RatioDim, "least squeeze in length / cord", "geometry", confirmed},
			{"greatest-squeeze-mm", "greatest squeeze in length", unit.LengthDim, "the same, greatest over a", "geometry", confirmed},
			{"ovality", "ovality of the bore", unit.LengthDim, "2 sqrt(A^2 + B^2) of D0 + A cos 2a + B sin 2a by least squares", "two-wave fit, ISO 4292 practice", confirmed},
			{"mean-bore", "mean bore", unit.LengthDim, "D0 of the same fit", "two-wave fit, ISO 4292 practice", confirmed},
			{"offset-used", "offset of the spigot used", unit.LengthDim, "as given, else clearance / 2 or (widest bore - spigot) / 2, and run-out / 2 on top", "geometry", confirmed},
			{"cord-used", "cord on the groove", unit.LengthDim, "as given, or cord (1 - loss of section) where the ring's inside diameter is known", "empirical stretch relation of the O-ring handbooks", confirmed},
			{"follow-up-here", "left-over follow-up at the least place", unit.LengthDim, "least squeeze in length (1 - set)", "definition of set, ISO 815-1", confirmed},
			{"least-at", "place of least squeeze", "", "place of the greatest local gland depth", "geometry", confirmed},
			{"widest-at", "where the bore is widest", "", "atan2(B, A) / 2", "two-wave fit, ISO 4292 practice", confirmed},
		},
		Example: map[string]string{"cord": "3.53 mm", "groove-diameter": "25.40 mm", "bore": "12:00 = 31.00 mm; 1:30 = 31.10 mm; 3:00 = 31.20 mm; 4:30 = 31.10 mm", "offset": "9:00 = 0.05 mm", "spigot-diameter": "30.90 mm", "least-squeeze": "10 %", "set": "20 %"},
		Judges:  []Judge{{Output: "least-squeeze-here", By: "least-squeeze", Ours: tabled("squeeze", always("static"), bandGuide, "least_pct")}},
		Blind:   "Two-point diameters see no three-lobed bore, and readings at one depth no taper: oring-taper-squeeze takes readings at two depths.",
		formula: localSqueezeFormula,
		lead: func(_ given, o *Out) string {
			return "Least squeeze " + o.say(o.Num["least-squeeze-mm"], unit.LengthDim) + " (" + o.say(o.Num["least-squeeze-here"], unit.RatioDim) + ") at " + o.Text["least-at"]
		},
	}
}

func localSqueezeFormula(g given) (found, error) {
	f := newFound()
	d, clock, err := diametersOf(g.rows["bore"])
	if err != nil {
		return f, err
	}
	oval, err := ovalOf(d)
	if err != nil {
		return f, err
	}
	cord, groove := g.length("cord"), gland.Round(g.length("groove-diameter"))
	if row := g.rows["groove"]; len(row) > 0 {
		dg, _, err := diametersOf(row)
		if err != nil {
			return f, err
		}
		if groove, err = ovalOf(dg); err != nil {
			return f, err
		}
	}
	if g.has("ring-id") {
		h, err := gland.Held(gland.Piston, g.length("ring-id"), cord, groove.Mean)
		if err != nil {
			return f, err
		}
		cord = h.Cord
	}
	f.num["cord-used"] = float64(cord)
	off, err := offsetOf(g, oval)
	if err != nil {
		return f, err
	}
	least, most, err := gland.SqueezeBetween(cord, groove, oval, off)
	if err != nil {
		return f, err
	}
	// A single wide or narrow place that the oval does not follow counts as it was measured, at both its ends.
	for _, r := range d {
		for _, a := range []unit.Angle{r.At, r.At + math.Pi} {
			s := cord - ((r.D-groove.At(a))/2 - off.By*unit.Length(math.Cos(float64(a-off.Towards))))
			if float64(s) < float64(least.Squeeze)-1e-9 {
				least = gland.Local{Squeeze: s, Share: unit.Ratio(s / cord), At: a}
			}
			if float64(s) > float64(most.Squeeze)+1e-9 {
				most = gland.Local{Squeeze: s, Share: unit.Ratio(s / cord), At: a}
			}
		}
	}
	f.num["least-squeeze-mm"], f.num["least-squeeze-here"] = float64(least.Squeeze), float64(least.Share)
	f.num["greatest-squeeze-mm"] = float64(most.Squeeze)
	f.num["ovality"], f.num["mean-bore"], f.num["offset-used"] = float64(2*oval.Semi), float64(oval.Mean), float64(off.By)
	f.num["follow-up-here"] = float64(least.Squeeze) * (1 - g.num["set"])
	if err := refuse.Within("the compression set", g.num["set"], 0, 1, "0 % is a new ring"); err != nil {
		return f, err
	}
	f.text["least-at"], f.text["widest-at"] = sayAngle(least.At, clock), sayAngle(oval.Major, clock)
	return f, nil
}

// offsetOf is the offset as given; else, with the spigot's size, the worst that its clearance
// allows; else none. The run-out of the groove comes on top, on the worst side.
func offsetOf(g given, oval gland.Oval) (gland.Offset, error) {
	runout, err := gland.OffsetFromRunout(g.length("runout"))
	if err != nil {
		return gland.Offset{}, err
	}
	if row := g.rows["offset"]; len(row) > 0 {
		if len(row) > 1 {
			return gland.Offset{}, refuse.Because("the offset", "has more than one reading", "give one: how far, and towards which clock position")
		}
		a, _, err := angleAt(row[0].At)
		return gland.Offset{By: unit.Length(row[0].V) + runout, Towards: a}, err
	}
	if g.has("clearance") {
		c := g.length("clearance")
		return gland.Offset{By: c/2 + runout, Towards: oval.Major + math.Pi}, refuse.NotNegative("the diametral clearance", float64(c))
	}
	if !g.has("spigot-diameter") {
		return gland.Offset{By: runout, Towards: oval.Major + math.Pi}, nil
	}
	e, err := gland.Eccentricity(oval.Mean+oval.Semi, g.length("spigot-diameter"))
	return gland.Offset{By: e + runout, Towards: oval.Major + math.Pi}, err
}

func boreLimit() Calculation {
	in := []Input{cordIn, grooveIn, boreIn, spigotIn,
		{Name: "least-squeeze", Title: "least squeeze wanted", Dim: unit.RatioDim, Optional: true, Default: "10 %"},
		{Name: "least-squeeze-mm", Title: "least squeeze wanted in length", Dim: unit.LengthDim, Optional: true, Default: "0.2 mm"}, setIn,
		{Name: "bore", Title: "bore, two-point diameters at clock positions", Dim: unit.LengthDim, Rows: true, Spread: "half-turn", Optional: true}}
	return Calculation{
		Name: "bore-limit", Title: "How oval or loose a bore may be",
		About:  "Solves for the target: the greatest ovality and the greatest clearance before the least squeeze falls below the limit (10 % or 0.2 mm, whichever is more, unless given).",
		Inputs: in,
		Outputs: []Output{
			{"squeeze-needed", "least squeeze needed", unit.LengthDim, "max(share cord, length) / (1 - set)", "10 % or 0.2 mm working floor", practice},
			{"bore-as-given", "mean bore as given", unit.LengthDim, "bore-diameter", "as given", confirmed},
			{"largest-bore", "largest local bore", unit.LengthDim, "groove + 2 (cord - squeeze needed)", "geometry", confirmed},
			{"max-ovality", "greatest ovality, spigot in the middle", unit.LengthDim, "2 (largest bore - mean bore)", "geometry", confirmed},
			{"max-ovality-off-centre", "greatest ovality, spigot against one side", unit.LengthDim, "2 [(largest bore + spigot)/2 - mean bore]", "geometry", confirmed},
			{"max-clearance", "greatest diametral clearance of a round bore, spigot against one side", unit.LengthDim, "2 (cord - squeeze needed - depth)", "geometry", confirmed},
			{"ovality", "ovality measured", unit.LengthDim, "2 sqrt(A^2 + B^2) of the two-wave fit", "two-wave fit, ISO 4292 practice", confirmed},
		},
		Example: map[string]string{"cord": "3.53 mm", "groove-diameter": "25.40 mm", "bore-diameter": "31.10 mm", "spigot-diameter": "30.90 mm", "bore": "12:00 = 31.00 mm; 2:00 = 31.15 mm; 4:00 = 31.15 mm"},
		Judges: []Judge{
			{Output: "ovality", AtMost: true, Against: []string{"max-ovality-off-centre", "max-ovality"}},
			{Output: "bore-as-given", AtMost: true, Against: []string{"largest-bore"}},
		},
		formula: boreLimitFormula,
		lead: func(_ given, o *Out) string {
			limit, which := o.Num["max-ovality"], "with the spigot in the middle"
			if l, ok := o.Num["max-ovality-off-centre"]; ok {
				limit, which = l, "with the spigot against one side"
			}
			if _, fits := o.Num["max-ovality"]; !fits {
				return "Even round this bore leaves too little squeeze: sleeve or replace it, or fit a thicker cord"
			}
			lead := "The bore may be at most " + o.say(limit, unit.LengthDim) + " oval " + which
			if limit.SI < 0 {
				lead = "With the spigot against one side even a round bore leaves too little squeeze"
			}
			if m, ok := o.Num["ovality"]; ok {
				lead += "; measured " + o.say(m, unit.LengthDim)
			}
			return lead
		},
	}
}

func boreLimitFormula(g given) (found, error) {
	f := newFound()
	cord, groove, bore := g.length("cord"), g.length("groove-diameter"), g.length("bore-diameter")
	if err := refuse.First(refuse.Within("the compression set", g.num["set"], 0, 0.95, "above 95 % the ring is done: fit a new one"),
		refuse.Within("the least squeeze wanted", g.num["least-squeeze"], 0, 0.5, "10 % is the usual floor"), refuse.NotNegative("the least squeeze wanted in length", g.num["least-squeeze-mm"])); err != nil {
		return f, err
	}
	need := unit.Length(math.Max(g.num["least-squeeze"]*float64(cord), g.num["least-squeeze-mm"]) / (1 - g.num["set"]))
	widest, err := gland.LargestBore(cord, groove, need)
	if err != nil {
		return f, err
	}
	if _, err := gland.Depth(bore, groove); err != nil {
		return f, err
	}
	f.num["squeeze-needed"], f.num["largest-bore"], f.num["bore-as-given"] = float64(need), float64(widest), float64(bore)
	if row := g.rows["bore"]; len(row) > 0 {
		d, _, err := diametersOf(row)
		if err != nil {
			return f, err
		}
		o, err := ovalOf(d)
		if err != nil {
			return f, err
		}
		f.num["ovality"] = float64(2 * o.Semi)
	}
	limit, err := gland.GreatestOvality(cord, groove, bore, need)
	if err != nil { // too large even when round: said in words, without a figure for ovality
		return f, nil
	}
	clearance, err := gland.GreatestClearance(cord, groove, bore, need)
	if err != nil {
		return f, err
	}
	f.num["max-ovality"], f.num["max-clearance"] = float64(limit), float64(clearance)
	if g.has("spigot-diameter") {
		if _, err := gland.Eccentricity(bore, g.length("spigot-diameter")); err != nil {
			return f, err
		}
		off := 2 * ((widest+g.length("spigot-diameter"))/2 - bore)
		f.num["max-ovality-off-centre"] = float64(off)
	}
	return f, nil
}

func pushOut() Calculation {
	in := []Input{{Name: "diameter", Title: "diameter on which the joint seals", Dim: unit.LengthDim}, {Name: "pressure", Title: "pressure", Dim: unit.PressureDim},
		{Name: "held", Title: "force that the retainer can hold", Dim: unit.ForceDim, Optional: true}}
	return Calculation{
		Name: "push-out", Title: "Force that pushes a plug-in pipe out",
		About:  "Nothing but the retainer holds a plug-in pipe: hold every plug and pipe mechanically before any pressure test, with nobody in line.",
		Inputs: in,
		Outputs: []Output{
			{"force", "push-out force", unit.ForceDim, "pressure (pi/4) diameter^2", "force balance", confirmed},
			{"force-per-bar", "push-out force for every bar", unit.ForceDim, "1 bar (pi/4) diameter^2", "force balance", confirmed},
		},
		Example: map[string]string{"diameter": "38 mm", "pressure": "1.5 bar", "held": "500 N"},
		Judges:  []Judge{atMost("force", "held")},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			x, e := gland.PushOut(g.length("diameter"), unit.Pressure(g.num["pressure"]))
			put(&f, &err, "force", x, e)
			x, e = gland.PushOut(g.length("diameter"), unit.Bar)
			put(&f, &err, "force-per-bar", x, e)
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "The pressure pushes with " + o.say(o.Num["force"], unit.ForceDim)
		},
	}
}

func tilt() Calculation {
	in := []Input{{Name: "clearance", Title: "diametral clearance", Dim: unit.LengthDim}, {Name: "engagement", Title: "engaged length", Dim: unit.LengthDim}, {Name: "reach", Title: "length from the joint to the far end", Dim: unit.LengthDim, Optional: true}}
	return Calculation{
		Name: "tilt", Title: "How far a spigot can lean in its bore",
		About:  "A leaning spigot takes squeeze from one side of its ring; the far end of the pipe shows it.",
		Inputs: in,
		Outputs: []Output{
			{"tilt", "tilt", unit.AngleDim, "arctan(clearance / engagement)", "geometry", confirmed},
			{"sideways", "movement of the far end", unit.LengthDim, "reach clearance / engagement", "geometry", confirmed},
		},
		Example: map[string]string{"clearance": "0.3 mm", "engagement": "20 mm", "reach": "300 mm"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			a, e := gland.Tilt(g.length("clearance"), g.length("engagement"))
			put(&f, &err, "tilt", a, e)
			if g.has("reach") {
				x, e := gland.Sideways(g.length("clearance"), g.length("engagement"), g.length("reach"))
				put(&f, &err, "sideways", x, e)
			}
			return f, err
		},
		lead: func(_ given, o *Out) string { return "It can lean by " + o.say(o.Num["tilt"], unit.AngleDim) },
	}
}
