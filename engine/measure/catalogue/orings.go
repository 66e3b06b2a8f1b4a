package catalogue

import (
	"math"

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
		{Name: "groove-width", Title: "width of the groove", Dim: unit.LengthDim, Optional: true}, swellIn, setIn, leastIn, mostIn}
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
			{"squeeze-rss-min", "least squeeze of nearly all assemblies", unit.RatioDim, "mean - sqrt(tc^2 + (tb^2 + tg^2)/4), over the cord", "root-sum-square stack", practice},
			{"squeeze-rss-max", "greatest squeeze of nearly all assemblies", unit.RatioDim, "mean + sqrt(tc^2 + (tb^2 + tg^2)/4), over the cord", "root-sum-square stack", practice},
			{"follow-up", "left-over follow-up", unit.LengthDim, "(cord - depth) (1 - set)", "definition of set, ISO 815-1", confirmed},
			{"stretch", "stretch of the ring", unit.RatioDim, "(groove - ring inside) / ring inside", "definition", confirmed},
			{"section-loss", "loss of section by stretch", unit.RatioDim, "0.56 + 0.59 X - 0.0046 X^2 above 3 %, quartic below", "empirical stretch relation of the O-ring handbooks", confirmed},
			{"squeeze-stretched", "squeeze of the stretched ring", unit.RatioDim, "as squeeze, with the thinner cord", "empirical stretch relation and ISO 3601-2", confirmed},
			{"fill", "groove fill", unit.RatioDim, "(pi/4) cord^2 (1 + swell) / (depth width)", "definition", confirmed},
			{"fill-max", "greatest groove fill over the tolerances", unit.RatioDim, "as fill, with the thickest cord and least depth", "definition", confirmed},
			{"clearance", "diametral clearance", unit.LengthDim, "bore - spigot", "geometry", confirmed},
			{"squeeze-off-centre", "least squeeze with the spigot against one side", unit.RatioDim, "(cord - depth - clearance/2) / cord", "geometry", confirmed},
		},
		Example: map[string]string{"cord": "3.53 mm", "groove-diameter": "25.40 mm", "bore-diameter": "31.04 mm", "cord-tolerance": "0.10 mm", "groove-tolerance": "0.05 mm", "bore-tolerance": "0.05 mm",
			"ring-id": "24.99 mm", "spigot-diameter": "30.94 mm", "groove-width": "4.78 mm", "set": "20 %", "least-squeeze": "10 %", "greatest-squeeze": "30 %"},
		Judges:  []Judge{atLeast("squeeze-min", "least-squeeze"), atMost("squeeze-max", "greatest-squeeze")},
		formula: oringFitFormula,
		lead: func(_ given, o *Out) string {
			return "Squeeze " + say(o.Num["squeeze"], unit.RatioDim) + ", from " + say(Num{SI: o.Num["squeeze-min"].SI}, unit.RatioDim) + " to " + say(Num{SI: o.Num["squeeze-max"].SI}, unit.RatioDim) +
				" over the tolerances; the ring can follow " + say(o.Num["follow-up"], unit.LengthDim)
		},
	}
}

func oringFitFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	cord, groove, bore := g.length("cord"), g.length("groove-diameter"), g.length("bore-diameter")
	t, e := gland.Depth(bore, groove)
	if e != nil {
		return f, e
	}
	f.num["gland-depth"] = float64(t)
	s, e := gland.Squeeze(cord, t)
	put(&f, &err, "squeeze", s, e)
	f.num["squeeze-mm"] = float64(cord - t)
	cs, gs, bs := gland.PlusMinus(cord, g.length("cord-tolerance")), gland.PlusMinus(groove, g.length("groove-tolerance")), gland.PlusMinus(bore, g.length("bore-tolerance"))
	depth, e := gland.DepthSpan(bs, gs)
	if e != nil {
		return f, e
	}
	worst, e := gland.WorstCase(cs, depth)
	put(&f, &err, "squeeze-min", worst.LeastShare, e)
	put(&f, &err, "squeeze-max", worst.GreatestShare, e)
	rss, e := gland.Statistical(cs, bs, gs)
	put(&f, &err, "squeeze-rss-min", rss.LeastShare, e)
	put(&f, &err, "squeeze-rss-max", rss.GreatestShare, e)
	follow, e := gland.FollowUp(cord, t, g.ratio("set"))
	put(&f, &err, "follow-up", follow, e)
	if g.has("ring-id") {
		stretched(g, cord, groove, t, &f, &err)
	}
	if g.has("groove-width") {
		fills(g, cs, depth, t, &f, &err)
	}
	if g.has("spigot-diameter") {
		spigot := g.length("spigot-diameter")
		off, e := gland.SqueezeHardOver(cord, groove, bore, spigot)
		put(&f, &err, "squeeze-off-centre", unit.Ratio(off/cord), e)
		f.num["clearance"] = float64(bore - spigot)
	}
	return f, err
}

// stretched adds what stretch does. A ring looser than its groove (stretch below 0) loses no section.
func stretched(g given, cord, groove, depth unit.Length, f *found, err *error) {
	x, e := gland.Stretch(g.length("ring-id"), groove)
	put(f, err, "stretch", x, e)
	loss, e := gland.SectionLoss(unit.Ratio(math.Max(0, float64(x))))
	put(f, err, "section-loss", loss, e)
	if e != nil {
		return
	}
	thin, e := gland.SectionAfterLoss(cord, loss)
	if e != nil {
		put(f, err, "squeeze-stretched", thin, e)
		return
	}
	s, e := gland.Squeeze(thin, depth)
	put(f, err, "squeeze-stretched", s, e)
}

func fills(g given, cord, depth gland.Span, mid unit.Length, f *found, err *error) {
	width := g.length("groove-width")
	fill, e := gland.FillArea(cord.Mid(), mid, width)
	if e == nil {
		fill, e = gland.FillSwollen(fill, g.ratio("swell"))
	}
	put(f, err, "fill", fill, e)
	most, e := gland.FillMaxMaterial(cord, depth, gland.PlusMinus(width, 0))
	if e == nil {
		most, e = gland.FillSwollen(most, g.ratio("swell"))
	}
	put(f, err, "fill-max", most, e)
}

func oringFaceFit() Calculation {
	in := []Input{cordIn, {Name: "groove-depth", Title: "depth of the groove in the face", Dim: unit.LengthDim},
		{Name: "face-gap", Title: "gap that stays open between the faces", Dim: unit.LengthDim, Optional: true, Default: "0 mm"},
		{Name: "groove-width", Title: "width of the groove", Dim: unit.LengthDim, Optional: true}, swellIn, setIn, leastIn, mostIn}
	return Calculation{
		Name: "oring-face-fit", Title: "Fit of an O-ring in a face groove",
		About:  "Squeeze of a ring between two faces, and what a gap that stays open between them takes away.",
		Inputs: in,
		Outputs: []Output{
			{"squeeze", "squeeze", unit.RatioDim, "(cord - groove depth - gap) / cord", "ISO 3601-2", confirmed},
			{"squeeze-mm", "squeeze in length", unit.LengthDim, "cord - groove depth - gap", "ISO 3601-2", confirmed},
			{"follow-up", "left-over follow-up", unit.LengthDim, "(cord - groove depth - gap) (1 - set)", "definition of set, ISO 815-1", confirmed},
			{"fill", "groove fill", unit.RatioDim, "(pi/4) cord^2 (1 + swell) / ((groove depth + gap) width)", "definition", confirmed},
		},
		Example: map[string]string{"cord": "3.53 mm", "groove-depth": "2.70 mm", "face-gap": "0.10 mm", "groove-width": "4.80 mm", "least-squeeze": "15 %", "greatest-squeeze": "35 %"},
		Judges:  []Judge{atLeast("squeeze", "least-squeeze"), atMost("squeeze", "greatest-squeeze")},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			cord := g.length("cord")
			t, e := gland.FaceDepth(g.length("groove-depth"), g.length("face-gap"))
			if e != nil {
				return f, e
			}
			s, e := gland.Squeeze(cord, t)
			put(&f, &err, "squeeze", s, e)
			f.num["squeeze-mm"] = float64(cord - t)
			follow, e := gland.FollowUp(cord, t, g.ratio("set"))
			put(&f, &err, "follow-up", follow, e)
			if g.has("groove-width") {
				fill, e := gland.FillArea(cord, t, g.length("groove-width"))
				if e == nil {
					fill, e = gland.FillSwollen(fill, g.ratio("swell"))
				}
				put(&f, &err, "fill", fill, e)
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "Squeeze " + say(o.Num["squeeze"], unit.RatioDim) + "; the ring can follow " + say(o.Num["follow-up"], unit.LengthDim)
		},
	}
}

func oringSet() Calculation {
	in := []Input{{Name: "new-height", Title: "height (cord) of the new ring", Dim: unit.LengthDim}, {Name: "squeezed-height", Title: "height while squeezed (gland depth)", Dim: unit.LengthDim},
		{Name: "height-now", Title: "height of the old ring after an hour free", Dim: unit.LengthDim}, {Name: "limit", Title: "greatest set allowed", Dim: unit.RatioDim, Optional: true, Default: "80 %"}}
	return Calculation{
		Name: "oring-set", Title: "Compression set of an old ring",
		About:  "How much of its squeeze a ring has kept as a flat, and how far it can still follow its walls.",
		Inputs: in,
		Outputs: []Output{
			{"set", "compression set", unit.RatioDim, "(new - now) / (new - squeezed)", "ISO 815-1, ASTM D395 method B", confirmed},
			{"squeeze-new", "squeeze when new", unit.RatioDim, "(new - squeezed) / new", "ISO 3601-2", confirmed},
			{"squeeze-left", "squeeze if refitted", unit.RatioDim, "(now - squeezed) / now", "definition", confirmed},
			{"follow-up", "left-over follow-up", unit.LengthDim, "now - squeezed", "definition", confirmed},
		},
		Example: map[string]string{"new-height": "3.53 mm", "squeezed-height": "2.70 mm", "height-now": "3.00 mm"},
		Judges:  []Judge{atMost("set", "limit")},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			fresh, squeezed, now := g.length("new-height"), g.length("squeezed-height"), g.length("height-now")
			set, e := gland.CompressionSet(fresh, squeezed, now)
			put(&f, &err, "set", set, e)
			s, e := gland.Squeeze(fresh, squeezed)
			put(&f, &err, "squeeze-new", s, e)
			left, e := gland.Squeeze(now, squeezed)
			put(&f, &err, "squeeze-left", left, e)
			f.num["follow-up"] = float64(now - squeezed)
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "Set " + say(o.Num["set"], unit.RatioDim) + "; the ring can still follow " + say(o.Num["follow-up"], unit.LengthDim)
		},
	}
}
