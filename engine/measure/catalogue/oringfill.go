package catalogue

import (
	"seepwright/engine/measure/gland"
	"seepwright/rules/unit"
)

func oringGrooveFill() Calculation {
	in := []Input{cordIn, cordTolIn, {Name: "gland-depth", Title: "gland depth", Dim: unit.LengthDim}, tolIn("depth-tolerance", "tolerance of the gland depth, plus and minus"), {Name: "groove-width", Title: "width at the bottom of the groove", Dim: unit.LengthDim}, widthTolIn,
		{Name: "corner-radius", Title: "radius in the corners of the groove", Dim: unit.LengthDim, Optional: true, Default: "0 mm"}, {Name: "side-slope", Title: "slope of each side of the groove, outwards", Dim: unit.AngleDim, Optional: true, Default: "0 deg"}, swellIn,
		{Name: "groove-diameter", Title: "diameter at the bottom of the groove", Dim: unit.LengthDim, Optional: true}, {Name: "spigot-diameter", Title: "land beside the groove", Dim: unit.LengthDim, Optional: true}, fillIn,
		{Name: "least-inside", Title: "least share of the section inside the groove", Dim: unit.RatioDim, Optional: true}}
	return Calculation{
		Name: "oring-groove-fill", Title: "How full a groove is, its shape counted",
		About:  "Fill of a groove with straight or slightly sloping sides and round corners, over the tolerances and with swelling, and how much of the section lies inside the groove. A dovetail is another groove and is refused.",
		Inputs: in,
		Outputs: []Output{
			{"groove-area", "cross-section of the groove", unit.AreaDim, "w t + t^2 tan b - 2 (1 - pi/4) r^2", "geometry", confirmed},
			{"fill", "groove fill", unit.RatioDim, "(pi/4) cord^2 (1 + swell) / cross-section", "definition", confirmed},
			{"fill-max", "greatest groove fill over the tolerances", unit.RatioDim, "as fill, with the thickest cord and least depth and width", "definition", confirmed},
			{"fill-min", "least groove fill over the tolerances", unit.RatioDim, "as fill, with the thinnest cord and greatest depth and width", "definition", confirmed},
			{"inside", "share of the section inside the groove", unit.RatioDim, "|land - groove| / (2 cord)", "seal design guide, dimensional considerations", confirmed},
		},
		Judges: []Judge{
			{Output: "fill-max", AtMost: true, By: "greatest-fill", Ours: mostFill},
			{Output: "inside", By: "least-inside", Ours: tabled("section-in-groove", always("any"), "", "least_pct")},
		},
		Example: map[string]string{"cord": "3.53 mm", "cord-tolerance": "0.10 mm", "gland-depth": "2.82 mm", "depth-tolerance": "0.03 mm", "groove-width": "4.75 mm", "width-tolerance": "0.06 mm", "corner-radius": "0.4 mm", "side-slope": "2 deg", "swell": "5 %", "groove-diameter": "25.40 mm", "spigot-diameter": "30.90 mm"},
		formula: func(g given) (found, error) {
			f := newFound()
			err := g.tolerances()
			fill := func(output string, cord, depth, width unit.Length) unit.Area {
				a, e := gland.GrooveArea(width, depth, g.length("corner-radius"), unit.Angle(g.num["side-slope"]))
				x, e2 := gland.FillOf(cord, a)
				if e == nil {
					e = e2
				}
				if e == nil {
					x, e = gland.FillSwollen(x, g.ratio("swell"))
				}
				put(&f, &err, output, x, e)
				return a
			}
			cord, depth, width := g.span("cord", "cord-tolerance"), g.span("gland-depth", "depth-tolerance"), g.span("groove-width", "width-tolerance")
			f.num["groove-area"] = float64(fill("fill", cord.Mid(), depth.Mid(), width.Mid()))
			fill("fill-max", cord.Max, depth.Min, width.Min)
			fill("fill-min", cord.Min, depth.Max, width.Max)
			if g.has("groove-diameter") && g.has("spigot-diameter") {
				x, e := gland.SectionInGroove(g.length("cord"), g.length("spigot-diameter"), g.length("groove-diameter"))
				put(&f, &err, "inside", x, e)
			}
			return f, err
		},
		lead: func(_ given, o *Out) string { return "The groove is " + o.say(o.Num["fill"], unit.RatioDim) + " full" },
	}
}
