package catalogue

import (
	"seepwright/engine/measure/gland"
	"seepwright/rules/unit"
)

// Inputs that several calculations share.
var (
	cordIn   = Input{Name: "cord", Title: "cord (section) of the ring", Dim: unit.LengthDim, On: "outside"}
	grooveIn = Input{Name: "groove-diameter", Title: "diameter at the bottom of the groove", Dim: unit.LengthDim, On: "outside"}
	boreIn   = Input{Name: "bore-diameter", Title: "bore", Dim: unit.LengthDim, On: "bore"}
	spigotIn = Input{Name: "spigot-diameter", Title: "land or spigot beside the groove", Dim: unit.LengthDim, Optional: true, On: "outside"}
	setIn    = Input{Name: "set", Title: "compression set of the ring", Dim: unit.RatioDim, Optional: true, Default: "0 %"}
	swellIn  = Input{Name: "swell", Title: "swelling of the ring by volume", Dim: unit.RatioDim, Optional: true, Default: "0 %"}
	leastIn  = Input{Name: "least-squeeze", Title: "least squeeze wanted", Dim: unit.RatioDim, Optional: true}
	mostIn   = Input{Name: "greatest-squeeze", Title: "greatest squeeze allowed", Dim: unit.RatioDim, Optional: true}
)

const (
	confirmed = "confirmed"
	practice  = "common practice"
	memory    = "from memory"
	estimate  = "estimate"
)

func orings() []Calculation { return []Calculation{oringFit(), oringFaceFit(), oringSet()} }

func oringFit() Calculation {
	tol := func(name, title string) Input {
		return Input{Name: name, Title: title, Dim: unit.LengthDim, Optional: true, Default: "0 mm"}
	}
	in := []Input{cordIn, grooveIn, boreIn, tol("cord-tolerance", "tolerance of the cord, plus and minus"), tol("groove-tolerance", "tolerance of the groove diameter, plus and minus"), tol("bore-tolerance", "tolerance of the bore, plus and minus"),
		{Name: "ring-id", Title: "inside diameter of the free ring", Dim: unit.LengthDim, Optional: true}, spigotIn,
		{Name: "groove-width", Title: "width of the groove", Dim: unit.LengthDim, Optional: true}, swellIn, setIn, leastIn, mostIn,
		ringIDTolIn, widthTolIn, dutyIn, fillIn, {Name: "least-stretch", Title: "least stretch wanted", Dim: unit.RatioDim, Optional: true}, {Name: "greatest-stretch", Title: "greatest stretch allowed", Dim: unit.RatioDim, Optional: true}}
	return Calculation{
		Name: "oring-fit", Title: "Fit of an O-ring in an outside groove",
		About:  "Squeeze of a ring on a spigot, plug or piston, with the range that tolerances allow, its stretch, how full the groove is, and how far the ring can follow.",
		Inputs: in,
		Outputs: []Output{
			{"gland-depth", "gland depth", unit.LengthDim, "(bore - groove) / 2", "geometry", confirmed},
			{"squeeze", "squeeze", unit.RatioDim, "(cord - depth) / cord", "ISO 3601-2", confirmed},
			{"squeeze-mm", "squeeze in length", unit.LengthDim, "cord - depth", "ISO 3601-2", confirmed},
			{"squeeze-min", "least squeeze over the tolerances", unit.RatioDim, "(least cord - greatest depth) / least cord", "worst-case stack, JIS B 2406", confirmed},
			{"squeeze-max", "greatest squeeze over the tolerances", unit.RatioDim, "(greatest cord - least depth) / greatest cord", "worst-case stack, JIS B 2406", confirmed},
			{"squeeze-rss-min", "least squeeze of nearly all assemblies", unit.RatioDim, "nominal - root of the sum of squares of what each tolerance takes; in length sqrt(tc^2 + (tb^2 + tg^2)/4)", "root-sum-square stack", practice},
			{"squeeze-rss-max", "greatest squeeze of nearly all assemblies", unit.RatioDim, "nominal + root of the sum of squares of what each tolerance gives; in length sqrt(tc^2 + (tb^2 + tg^2)/4)", "root-sum-square stack", practice},
			{"follow-up", "left-over follow-up", unit.LengthDim, "(cord - depth) (1 - set)", "definition of set, ISO 815-1", confirmed},
			{"stretch", "stretch of the ring", unit.RatioDim, "(groove - ring inside) / ring inside", "definition", confirmed},
			{"section-loss", "loss of section by stretch", unit.RatioDim, "0.56 + 0.59 X - 0.0046 X^2 above 3 %, quartic below", "empirical stretch relation of the O-ring handbooks", confirmed},
			{"squeeze-stretched", "squeeze of the stretched ring", unit.RatioDim, "as squeeze, with the thinner cord", "empirical stretch relation and ISO 3601-2", confirmed},
			{"squeeze-stretched-min", "least squeeze of the stretched ring over the tolerances", unit.RatioDim, "as squeeze-stretched, every size at its worst limit, the ring's inside diameter too", "empirical stretch relation; worst-case stack, JIS B 2406", confirmed},
			{"squeeze-stretched-max", "greatest squeeze of the stretched ring over the tolerances", unit.RatioDim, "as squeeze-stretched, every size at its worst limit, the ring's inside diameter too", "empirical stretch relation; worst-case stack, JIS B 2406", confirmed},
			{"squeeze-stretched-rss-min", "least squeeze of nearly all assemblies, ring stretched", unit.RatioDim, "nominal - root of the sum of squares of what each tolerance takes", "root-sum-square stack", practice},
			{"squeeze-stretched-rss-max", "greatest squeeze of nearly all assemblies, ring stretched", unit.RatioDim, "nominal + root of the sum of squares of what each tolerance gives", "root-sum-square stack", practice},
			{"stretch-min", "least stretch over the tolerances", unit.RatioDim, "as stretch, every size at its worst limit", "definition", confirmed},
			{"stretch-max", "greatest stretch over the tolerances", unit.RatioDim, "as stretch, every size at its worst limit", "definition", confirmed},
			{"cord-stretched", "cord on the groove", unit.LengthDim, "cord (1 - loss of section)", "empirical stretch relation of the O-ring handbooks", confirmed},
			{"fill", "groove fill", unit.RatioDim, "(pi/4) cord^2 (1 + swell) / (depth width)", "definition", confirmed},
			{"fill-max", "greatest groove fill over the tolerances", unit.RatioDim, "as fill, with the thickest cord and least depth and width", "definition", confirmed},
			{"fill-volume", "groove fill by volume", unit.RatioDim, "volume of the ring (1 + swell) / [(pi/4) (bore^2 - groove^2) width]", "torus over annulus", confirmed},
			{"clearance", "diametral clearance", unit.LengthDim, "bore - spigot", "geometry", confirmed},
			{"squeeze-off-centre", "least squeeze with the spigot against one side", unit.RatioDim, "(cord - depth - clearance/2) / cord", "geometry", confirmed},
		},
		Example: map[string]string{"cord": "3.53 mm", "groove-diameter": "25.40 mm", "bore-diameter": "31.04 mm", "cord-tolerance": "0.10 mm", "groove-tolerance": "0.05 mm", "bore-tolerance": "0.05 mm",
			"ring-id": "24.99 mm", "ring-id-tolerance": "0.25 mm", "spigot-diameter": "30.94 mm", "groove-width": "4.78 mm", "set": "20 %", "least-squeeze": "10 %", "greatest-squeeze": "30 %"},
		Judges: []Judge{
			{Output: "squeeze-min", By: "least-squeeze", Ours: leastSqueeze}, {Output: "squeeze-max", AtMost: true, By: "greatest-squeeze", Ours: mostSqueeze},
			{Output: "squeeze-stretched-min", By: "least-squeeze", Ours: leastSqueeze}, {Output: "squeeze-off-centre", Ours: someSqueeze},
			{Output: "stretch", By: "least-stretch", Ours: tabled("stretch", always("general"), "", "least_pct")}, {Output: "stretch", AtMost: true, By: "greatest-stretch", Ours: tabled("stretch", always("piston"), "", "greatest_pct")},
			{Output: "fill-max", AtMost: true, By: "greatest-fill", Ours: mostFill},
		},
		Blind:   "One diameter of each part says nothing of an oval or tapered bore: use oring-local-squeeze with readings round the clock, oring-taper-squeeze with readings at two depths.",
		formula: oringFitFormula,
		lead: func(_ given, o *Out) string {
			return "Squeeze " + o.say(o.Num["squeeze"], unit.RatioDim) + overTolerances(o, "squeeze") + "; the ring can follow " + o.say(o.Num["follow-up"], unit.LengthDim)
		},
	}
}

func oringFitFormula(g given) (found, error) {
	f := newFound()
	if err := g.tolerances(); err != nil {
		return f, err
	}
	cord, groove, bore := g.length("cord"), g.length("groove-diameter"), g.length("bore-diameter")
	fit, err := gland.Gland{Kind: gland.Piston, Cord: g.span("cord", "cord-tolerance"), RingID: g.span("ring-id", "ring-id-tolerance"), Outer: g.span("bore-diameter", "bore-tolerance"),
		Inner: g.span("groove-diameter", "groove-tolerance"), Width: g.span("groove-width", "width-tolerance")}.Fit()
	if err != nil {
		return f, err
	}
	f.num["gland-depth"], f.num["squeeze-mm"] = float64(fit.Depth.Nominal), float64(fit.Squeeze.Nominal)
	f.radialBands(g)
	bounds(&f, "squeeze", fit.Share, true)
	follow, err := gland.FollowUp(cord, fit.Depth.Nominal, g.ratio("set"))
	put(&f, &err, "follow-up", follow, err)
	if fit.HasRing {
		bounds(&f, "stretch", fit.Held, false)
		bounds(&f, "squeeze-stretched", fit.ShareInside, true)
		f.num["section-loss"], f.num["cord-stretched"] = float64(fit.Loss.Nominal), float64(fit.Cord.Nominal)
	}
	fillFigures(g, &f, &err, fit)
	if fit.HasVolume {
		x, e := gland.FillSwollen(fit.FillVolume.Nominal, g.ratio("swell"))
		put(&f, &err, "fill-volume", x, e)
	}
	if g.has("spigot-diameter") {
		spigot := g.length("spigot-diameter")
		off, e := gland.SqueezeHardOver(cord, groove, bore, spigot)
		put(&f, &err, "squeeze-off-centre", unit.Ratio(off/cord), e)
		f.num["clearance"] = float64(bore - spigot)
	}
	return f, err
}

func oringFaceFit() Calculation {
	in := []Input{cordIn, {Name: "groove-depth", Title: "depth of the groove in the face", Dim: unit.LengthDim},
		{Name: "face-gap", Title: "gap that stays open between the faces", Dim: unit.LengthDim, Optional: true, Default: "0 mm"},
		{Name: "groove-width", Title: "width of the groove", Dim: unit.LengthDim, Optional: true}, swellIn, setIn, leastIn, mostIn,
		cordTolIn, tolIn("depth-tolerance", "tolerance of the groove depth, plus and minus"), widthTolIn, fillIn}
	return Calculation{
		Name: "oring-face-fit", Title: "Fit of an O-ring in a face groove",
		About:  "Squeeze of a ring between two faces, and what a gap that stays open between them takes away.",
		Inputs: in,
		Outputs: []Output{
			{"squeeze", "squeeze", unit.RatioDim, "(cord - groove depth - gap) / cord", "ISO 3601-2", confirmed},
			{"squeeze-mm", "squeeze in length", unit.LengthDim, "cord - groove depth - gap", "ISO 3601-2", confirmed},
			{"squeeze-min", "least squeeze over the tolerances", unit.RatioDim, "(least cord - greatest depth - gap) / least cord", "worst-case stack, JIS B 2406", confirmed},
			{"squeeze-max", "greatest squeeze over the tolerances", unit.RatioDim, "(greatest cord - least depth - gap) / greatest cord", "worst-case stack, JIS B 2406", confirmed},
			{"squeeze-rss-min", "least squeeze of nearly all assemblies", unit.RatioDim, "nominal - root of the sum of squares of what each tolerance takes", "root-sum-square stack", practice},
			{"squeeze-rss-max", "greatest squeeze of nearly all assemblies", unit.RatioDim, "nominal + root of the sum of squares of what each tolerance gives", "root-sum-square stack", practice},
			{"follow-up", "left-over follow-up", unit.LengthDim, "(cord - groove depth - gap) (1 - set)", "definition of set, ISO 815-1", confirmed},
			{"fill", "groove fill", unit.RatioDim, "(pi/4) cord^2 (1 + swell) / ((groove depth + gap) width)", "definition", confirmed},
			{"fill-max", "greatest groove fill over the tolerances", unit.RatioDim, "as fill, with the thickest cord and least depth and width", "definition", confirmed},
		},
		Example: map[string]string{"cord": "3.53 mm", "cord-tolerance": "0.10 mm", "depth-tolerance": "0.03 mm", "groove-depth": "2.70 mm", "face-gap": "0.10 mm", "groove-width": "4.80 mm", "least-squeeze": "15 %", "greatest-squeeze": "35 %"},
		Judges: []Judge{
			{Output: "squeeze-min", By: "least-squeeze", Ours: leastFace}, {Output: "squeeze-max", AtMost: true, By: "greatest-squeeze", Ours: mostFace},
			{Output: "fill-max", AtMost: true, By: "greatest-fill", Ours: mostFill},
		},
		Blind: "It says nothing of where the ring sits in its groove: oring-face-seat does, for pressure inside or outside.",
		formula: func(g given) (found, error) {
			f := newFound()
			if err := g.tolerances(); err != nil {
				return f, err
			}
			gap := g.length("face-gap")
			fit, err := gland.Gland{Kind: gland.FaceInside, Cord: g.span("cord", "cord-tolerance"), Depth: g.span("groove-depth", "depth-tolerance"), Gap: gland.Span{Min: gap, Max: gap}, Width: g.span("groove-width", "width-tolerance")}.Fit()
			if err != nil {
				return f, err
			}
			f.bands(g, "face-static", "static")
			bounds(&f, "squeeze", fit.Share, true)
			f.num["squeeze-mm"] = float64(fit.Squeeze.Nominal)
			follow, err := gland.FollowUp(g.length("cord"), fit.Depth.Nominal, g.ratio("set"))
			put(&f, &err, "follow-up", follow, err)
			fillFigures(g, &f, &err, fit)
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "Squeeze " + o.say(o.Num["squeeze"], unit.RatioDim) + overTolerances(o, "squeeze") + "; the ring can follow " + o.say(o.Num["follow-up"], unit.LengthDim)
		},
	}
}

func oringSet() Calculation {
	in := []Input{{Name: "new-height", Title: "height (cord) of the new ring", Dim: unit.LengthDim}, {Name: "squeezed-height", Title: "height while squeezed (gland depth)", Dim: unit.LengthDim},
		{Name: "height-now", Title: "height of the old ring after an hour free", Dim: unit.LengthDim}, {Name: "follow-needed", Title: "follow-up that the joint needs", Dim: unit.LengthDim, Optional: true}, {Name: "limit", Title: "greatest set allowed", Dim: unit.RatioDim, Optional: true, Default: "80 %"}}
	return Calculation{
		Name: "oring-set", Title: "Compression set of an old ring",
		About:  "How much of its squeeze a ring has kept as a flat, and how far it can still follow its walls.",
		Inputs: in,
		Outputs: []Output{
			{"set", "compression set", unit.RatioDim, "(new - now) / (new - squeezed)", "ISO 815-1, ASTM D395 method B", confirmed},
			{"squeeze-new", "squeeze when new", unit.RatioDim, "(new - squeezed) / new", "ISO 3601-2", confirmed},
			{"squeeze-left", "squeeze if refitted", unit.RatioDim, "(now - squeezed) / now", "definition", confirmed},
			{"follow-up", "left-over follow-up", unit.LengthDim, "now - squeezed", "definition", confirmed},
			{"follow-new", "follow-up of a new ring", unit.LengthDim, "new - squeezed", "definition", confirmed},
			{"greatest-set", "set at which the ring follows only as far as needed", unit.RatioDim, "1 - needed / (new - squeezed)", "definition turned round", confirmed},
		},
		Example: map[string]string{"new-height": "3.53 mm", "squeezed-height": "2.70 mm", "height-now": "3.00 mm", "follow-needed": "0.15 mm"},
		Judges:  []Judge{{Output: "set", AtMost: true, By: "limit", Against: []string{"greatest-set"}}, atLeast("follow-up", "follow-needed")},
		Blind:   "A ring that has been lying free for days comes back further than one just taken out; measure the flat, not the diameter across the mould line.",
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			fresh, squeezed, now := g.length("new-height"), g.length("squeezed-height"), g.length("height-now")
			set, e := gland.CompressionSet(fresh, squeezed, now)
			put(&f, &err, "set", set, e)
			s, e := gland.Squeeze(fresh, squeezed)
			put(&f, &err, "squeeze-new", s, e)
			left, e := gland.Squeeze(now, squeezed)
			put(&f, &err, "squeeze-left", left, e)
			f.num["follow-up"], f.num["follow-new"] = float64(now-squeezed), float64(fresh-squeezed)
			if g.has("follow-needed") {
				most, e := gland.GreatestSet(fresh, squeezed, g.length("follow-needed"))
				put(&f, &err, "greatest-set", most, e)
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "Set " + o.say(o.Num["set"], unit.RatioDim) + "; the ring can still follow " + o.say(o.Num["follow-up"], unit.LengthDim)
		},
	}
}
