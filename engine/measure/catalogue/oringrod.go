package catalogue

import (
	"seepwright/engine/measure/gland"
	"seepwright/rules/unit"
)

func ringRods() []Calculation { return []Calculation{oringRodFit(), oringPortFit()} }

func oringRodFit() Calculation {
	in := []Input{cordIn, {Name: "groove-diameter", Title: "diameter at the bottom of the groove in the housing", Dim: unit.LengthDim, On: "bore"}, {Name: "rod-diameter", Title: "rod or spigot that runs through the ring", Dim: unit.LengthDim, On: "outside"},
		cordTolIn, tolIn("groove-tolerance", "tolerance of the groove diameter, plus and minus"), tolIn("rod-tolerance", "tolerance of the rod, plus and minus"), ringIDIn, ringIDTolIn,
		{Name: "housing-diameter", Title: "bore of the housing beside the groove", Dim: unit.LengthDim, Optional: true, On: "bore"}, widthIn, widthTolIn, swellIn, setIn, dutyIn, leastIn, mostIn, fillIn,
		{Name: "least-interference", Title: "least interference of the ring's outside diameter", Dim: unit.RatioDim, Optional: true},
		{Name: "greatest-interference", Title: "greatest interference of the ring's outside diameter", Dim: unit.RatioDim, Optional: true}}
	outputs := []Output{{"gland-depth", "gland depth", unit.LengthDim, "(groove - rod) / 2", "geometry", confirmed}}
	outputs = append(outputs, boundOutputs("squeeze", "squeeze", unit.RatioDim, "(cord - depth) / cord", "ISO 3601-2", confirmed, true)...)
	outputs = append(outputs,
		Output{"squeeze-mm", "squeeze in length", unit.LengthDim, "cord - depth", "ISO 3601-2", confirmed},
		Output{"follow-up", "left-over follow-up", unit.LengthDim, "(cord - depth) (1 - set)", "definition of set, ISO 815-1", confirmed})
	outputs = append(outputs, boundOutputs("interference", "interference of the ring in its groove", unit.RatioDim, "(ring inside + 2 cord - groove) / (ring inside + 2 cord)", "definition", confirmed, false)...)
	outputs = append(outputs,
		Output{"cord-held", "cord in the groove", unit.LengthDim, "d' from d'^2 (groove - d') = cord^2 (ring inside + cord)", "torus of constant volume", confirmed},
		Output{"squeeze-held", "squeeze of the cord in the groove", unit.RatioDim, "as squeeze, with the cord in the groove", "torus of constant volume and ISO 3601-2", confirmed},
		Output{"fill", "groove fill", unit.RatioDim, "(pi/4) cord^2 (1 + swell) / (depth width)", "definition", confirmed},
		Output{"fill-max", "greatest groove fill over the tolerances", unit.RatioDim, "as fill, with the thickest cord and least depth and width", "definition", confirmed},
		Output{"clearance", "diametral clearance", unit.LengthDim, "housing - rod", "geometry", confirmed},
		Output{"squeeze-off-centre", "least squeeze with the rod against one side", unit.RatioDim, "(cord - depth - clearance/2) / cord", "geometry", confirmed})
	return Calculation{
		Name: "oring-rod-fit", Title: "Fit of an O-ring in a groove of the housing (rod type)",
		About:   "The ring lies in the housing, held by its outside diameter, and the rod goes through it: squeeze and fill over the tolerances, how the groove presses the ring together, and what is left off centre.",
		Inputs:  in,
		Outputs: outputs,
		Judges: []Judge{
			{Output: "squeeze-min", By: "least-squeeze", Ours: leastSqueeze}, {Output: "squeeze-max", AtMost: true, By: "greatest-squeeze", Ours: mostSqueeze},
			{Output: "interference", By: "least-interference", Ours: tabled("interference", always("rod"), "", "least_pct")}, {Output: "interference", AtMost: true, By: "greatest-interference", Ours: tabled("interference", always("rod"), "", "greatest_pct")},
			{Output: "fill-max", AtMost: true, By: "greatest-fill", Ours: mostFill},
			{Output: "squeeze-off-centre", Ours: someSqueeze},
		},
		Blind: "Diameters of one place each say nothing of an oval rod or groove: turn the instrument, and use oring-local-squeeze for readings round the clock.",
		Example: map[string]string{"cord": "3.53 mm", "groove-diameter": "46.00 mm", "rod-diameter": "40.40 mm", "cord-tolerance": "0.10 mm", "groove-tolerance": "0.05 mm", "rod-tolerance": "0.03 mm", "ring-id": "39.60 mm", "ring-id-tolerance": "0.30 mm",
			"housing-diameter": "40.55 mm", "groove-width": "4.80 mm", "set": "20 %"},
		formula: oringRodFormula,
		lead: func(_ given, o *Out) string {
			return "Squeeze " + o.say(o.Num["squeeze"], unit.RatioDim) + overTolerances(o, "squeeze") + "; the ring can follow " + o.say(o.Num["follow-up"], unit.LengthDim)
		},
	}
}

// someSqueeze is the principle of MIL-G-5514G that some squeeze must remain everywhere.
func someSqueeze(g given, f found) (Figure, error) {
	return tabled("squeeze-floor", always("worst-case"), "", "least_mm")(g, f)
}

func oringRodFormula(g given) (found, error) {
	f := newFound()
	if err := g.tolerances(); err != nil {
		return f, err
	}
	cord := g.length("cord")
	fit, err := gland.Gland{Kind: gland.Rod, Cord: g.span("cord", "cord-tolerance"), RingID: g.span("ring-id", "ring-id-tolerance"), Outer: g.span("groove-diameter", "groove-tolerance"),
		Inner: g.span("rod-diameter", "rod-tolerance"), Width: g.span("groove-width", "width-tolerance")}.Fit()
	if err != nil {
		return f, err
	}
	f.num["gland-depth"], f.num["squeeze-mm"] = float64(fit.Depth.Nominal), float64(fit.Squeeze.Nominal)
	f.radialBands(g)
	bounds(&f, "squeeze", fit.Share, true)
	follow, err := gland.FollowUp(cord, fit.Depth.Nominal, g.ratio("set"))
	put(&f, &err, "follow-up", follow, err)
	if fit.HasRing {
		bounds(&f, "interference", fit.Held, false)
		f.num["cord-held"], f.num["squeeze-held"] = float64(fit.Cord.Nominal), float64(fit.ShareInside.Nominal)
		if fit.Held.Nominal < 0 {
			f.note("The ring does not reach the bottom of its groove by itself: it can slip and roll when the rod goes in.")
		}
	}
	fillFigures(g, &f, &err, fit)
	if g.has("housing-diameter") {
		c, e := gland.Eccentricity(g.length("housing-diameter"), g.length("rod-diameter"))
		put(&f, &err, "clearance", 2*c, e)
		s, e := gland.Squeeze(cord, fit.Depth.Nominal+c)
		put(&f, &err, "squeeze-off-centre", s, e)
	}
	return f, err
}

// fillFigures notes the fill with swelling, nominal and greatest.
func fillFigures(g given, f *found, err *error, fit gland.Fit) {
	if !fit.HasFill {
		return
	}
	x, e := gland.FillSwollen(fit.FillArea.Nominal, g.ratio("swell"))
	put(f, err, "fill", x, e)
	x, e = gland.FillSwollen(fit.FillArea.Greatest, g.ratio("swell"))
	put(f, err, "fill-max", x, e)
}

func oringPortFit() Calculation {
	in := []Input{cordIn, {Name: "ring-id", Title: "inside diameter of the free ring", Dim: unit.LengthDim}, {Name: "mouth-diameter", Title: "largest diameter of the cone at the port's face", Dim: unit.LengthDim, On: "bore"},
		{Name: "cone-angle", Title: "angle of the cone's wall to the axis", Dim: unit.AngleDim, Optional: true, Default: "15 deg"}, {Name: "cone-depth", Title: "depth of the cone below the face", Dim: unit.LengthDim},
		{Name: "shank-diameter", Title: "shank of the fitting below its hex, on which the ring sits", Dim: unit.LengthDim, On: "outside"}, setIn, swellIn, dutyIn, leastIn, mostIn, fillIn}
	return Calculation{
		Name: "oring-port-fit", Title: "Fit of an O-ring in a straight-thread port",
		About:  "The flat of the hex pushes the ring into the corner between the fitting's shank and the cone of the port; the flat has to lie metal to metal.",
		Inputs: in,
		Outputs: []Output{
			{"squeeze", "squeeze across the corner", unit.RatioDim, "1 - room / cord on the shank, room = d'/2 + [(mouth/2 - d'/2 tan b) - (shank + d')/2] cos b", "geometry", confirmed},
			{"squeeze-mm", "squeeze in length", unit.LengthDim, "cord on the shank - room", "geometry", confirmed},
			{"room", "room across the corner", unit.LengthDim, "d'/2 + [(mouth/2 - d'/2 tan b) - (shank + d')/2] cos b", "geometry", confirmed},
			{"stretch", "stretch of the ring on the shank", unit.RatioDim, "(shank - ring inside) / ring inside", "definition", confirmed},
			{"section-loss", "loss of section by stretch", unit.RatioDim, "0.56 + 0.59 X - 0.0046 X^2 above 3 %, quartic below", "empirical stretch relation of the O-ring handbooks", confirmed},
			{"follow-up", "left-over follow-up", unit.LengthDim, "squeeze in length (1 - set)", "definition of set, ISO 815-1", confirmed},
			{"fill", "fill of the room below the flat", unit.RatioDim, "volume of the ring (1 + swell) / (cone - shank)", "geometry", confirmed},
		},
		Judges: []Judge{
			{Output: "squeeze", By: "least-squeeze", Ours: leastSqueeze}, {Output: "squeeze", AtMost: true, By: "greatest-squeeze", Ours: mostSqueeze}, atMost("fill", "greatest-fill"),
		},
		Blind:   "It takes the flat as lying on the port's face: a feeler that enters there means that the ring has that much less squeeze, or that a thread bottoms. Below the cone many ports have room to spare, so that a fill a little over 90 % need not be a fault.",
		Example: map[string]string{"cord": "2.20 mm", "ring-id": "19.30 mm", "mouth-diameter": "23.80 mm", "cone-angle": "15 deg", "cone-depth": "2.40 mm", "shank-diameter": "19.70 mm"},
		formula: func(g given) (found, error) {
			f := newFound()
			b, err := gland.Boss{Mouth: g.length("mouth-diameter"), Angle: unit.Angle(g.num["cone-angle"]), Depth: g.length("cone-depth"), Shank: g.length("shank-diameter")}.Fit(g.length("ring-id"), g.length("cord"))
			if err != nil {
				return f, err
			}
			f.num["squeeze"], f.num["squeeze-mm"], f.num["room"] = float64(b.Share), float64(b.Squeeze), float64(b.Room)
			f.num["stretch"], f.num["section-loss"] = float64(b.Stretch), float64(b.Loss)
			follow, err := gland.FollowUp(b.Cord, b.Room, g.ratio("set"))
			put(&f, &err, "follow-up", follow, err)
			fill, e := gland.FillSwollen(b.Fill, g.ratio("swell"))
			put(&f, &err, "fill", fill, e)
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "Squeeze " + o.say(o.Num["squeeze"], unit.RatioDim) + " in the corner of the port; the ring can follow " + o.say(o.Num["follow-up"], unit.LengthDim)
		},
	}
}
