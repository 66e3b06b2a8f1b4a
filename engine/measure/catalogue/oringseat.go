package catalogue

import (
	"seepwright/engine/measure/gland"
	"seepwright/rules/unit"
)

func ringSeats() []Calculation { return []Calculation{oringFaceSeat()} }

func oringFaceSeat() Calculation {
	in := []Input{cordIn, {Name: "ring-id", Title: "inside diameter of the free ring", Dim: unit.LengthDim}, {Name: "pressure-side", Title: "where the pressure is", Words: []string{"inside", "outside"}},
		{Name: "wall-diameter", Title: "the wall against which the pressure will push the ring: outer wall for inside pressure, inner wall for outside pressure or vacuum inside", Dim: unit.LengthDim},
		{Name: "groove-depth", Title: "depth of the groove in the face", Dim: unit.LengthDim}, {Name: "face-gap", Title: "gap that stays open between the faces", Dim: unit.LengthDim, Optional: true, Default: "0 mm"}, widthIn,
		cordTolIn, ringIDTolIn, tolIn("wall-tolerance", "tolerance of the wall's diameter, plus and minus"), tolIn("depth-tolerance", "tolerance of the groove depth, plus and minus"), widthTolIn, swellIn, leastIn, mostIn, fillIn,
		{Name: "least-hold", Title: "least interference or stretch wanted", Dim: unit.RatioDim, Optional: true}, {Name: "greatest-hold", Title: "greatest interference or stretch allowed", Dim: unit.RatioDim, Optional: true}}
	outputs := boundOutputs("hold", "interference with the outer wall, or stretch on the inner wall", unit.RatioDim, "inside pressure: (ring outside - wall) / ring outside; outside pressure: (wall - ring inside) / ring inside", "definition", confirmed, false)
	outputs = append(outputs, boundOutputs("squeeze", "squeeze", unit.RatioDim, "1 - (depth + gap) / cord in the groove", "ISO 3601-2, with the cord as the groove holds it", confirmed, true)...)
	outputs = append(outputs,
		Output{"cord-held", "cord in the groove", unit.LengthDim, "inside pressure: ring of constant volume; outside pressure: stretch relation", "torus of constant volume; empirical stretch relation of the O-ring handbooks", confirmed},
		Output{"best-wall-from", "wall from", unit.LengthDim, "the wall at which the hold is at its limit, smaller side", "definition turned round", confirmed},
		Output{"best-wall-to", "wall to", unit.LengthDim, "the wall at which the hold is at its limit, larger side", "definition turned round", confirmed},
		Output{"fill", "groove fill by volume", unit.RatioDim, "volume of the ring (1 + swell) / room of the groove", "torus over annulus", confirmed},
		Output{"fill-max", "greatest groove fill by volume over the tolerances", unit.RatioDim, "as fill, every size at its worst limit", "torus over annulus", confirmed})
	band := func(head string) func(given, found) (Figure, error) {
		return func(g given, f found) (Figure, error) {
			q, d := holdLimit(g)
			return tabled(q, always(d), "", head)(g, f)
		}
	}
	return Calculation{
		Name: "oring-face-seat", Title: "Where a ring sits in a face groove",
		About:   "A ring in a face has to lie already against the wall that pressure will push it to: its outside against the outer wall for inside pressure (0 to 3 % of interference), its inside on the inner wall for outside pressure or vacuum (0 to 5 % of stretch).",
		Inputs:  in,
		Outputs: outputs,
		Judges: []Judge{
			{Output: "hold", By: "least-hold", Ours: band("least_pct")}, {Output: "hold", AtMost: true, By: "greatest-hold", Ours: band("greatest_pct")},
			{Output: "squeeze-min", By: "least-squeeze", Ours: leastFace}, {Output: "squeeze-max", AtMost: true, By: "greatest-squeeze", Ours: mostFace}, {Output: "fill-max", AtMost: true, By: "greatest-fill", Ours: mostFill},
		},
		Example: map[string]string{"cord": "3.53 mm", "ring-id": "39.60 mm", "pressure-side": "inside", "wall-diameter": "46.00 mm", "groove-depth": "2.70 mm", "groove-width": "4.90 mm", "cord-tolerance": "0.10 mm", "ring-id-tolerance": "0.10 mm", "wall-tolerance": "0.05 mm", "depth-tolerance": "0.03 mm"},
		formula: oringFaceSeatFormula,
		lead: func(g given, o *Out) string {
			s := "Interference "
			if g.word["pressure-side"] == "outside" {
				s = "Stretch "
			}
			return s + o.say(o.Num["hold"], unit.RatioDim) + " where the pressure will push the ring, squeeze " + o.say(o.Num["squeeze"], unit.RatioDim) + overTolerances(o, "squeeze")
		},
	}
}

// holdLimit is the quantity and duty of the limit of interference or stretch.
func holdLimit(g given) (quantity, duty string) {
	if g.word["pressure-side"] == "outside" {
		return "stretch", "face-outside-pressure"
	}
	return "interference", "face-inside-pressure"
}

func oringFaceSeatFormula(g given) (found, error) {
	f := newFound()
	if err := g.tolerances(); err != nil {
		return f, err
	}
	kind := gland.FaceInside
	if g.word["pressure-side"] == "outside" {
		kind = gland.FaceOutside
	}
	gap := g.length("face-gap")
	fit, err := gland.Gland{Kind: kind, Cord: g.span("cord", "cord-tolerance"), RingID: g.span("ring-id", "ring-id-tolerance"), Depth: g.span("groove-depth", "depth-tolerance"), Gap: gland.Span{Min: gap, Max: gap},
		Wall: g.span("wall-diameter", "wall-tolerance"), Width: g.span("groove-width", "width-tolerance")}.Fit()
	if err != nil {
		return f, err
	}
	bounds(&f, "hold", fit.Held, false)
	f.bands(g, "face-static", "static")
	bounds(&f, "squeeze", fit.ShareInside, true)
	f.num["cord-held"] = float64(fit.Cord.Nominal)
	if fit.HasVolume {
		x, e := gland.FillSwollen(fit.FillVolume.Nominal, g.ratio("swell"))
		put(&f, &err, "fill", x, e)
		x, e = gland.FillSwollen(fit.FillVolume.Greatest, g.ratio("swell"))
		put(&f, &err, "fill-max", x, e)
	}
	if fit.Held.Nominal < 0 {
		f.note("The ring does not reach that wall by itself: pressure has to carry it there, and it may be nipped or leak before it arrives.")
	}
	quantity, duty := holdLimit(g)
	r, ok := limitRow(g, quantity, duty, "")
	if !ok {
		return f, err
	}
	lo, _ := r.SI("least_pct")
	hi, _ := r.SI("greatest_pct")
	if kind == gland.FaceInside {
		a, e := gland.LeastWall(g.length("ring-id"), g.length("cord"), unit.Ratio(hi))
		put(&f, &err, "best-wall-from", a, e)
		a, e = gland.LeastWall(g.length("ring-id"), g.length("cord"), unit.Ratio(lo))
		put(&f, &err, "best-wall-to", a, e)
		return f, err
	}
	a, e := gland.GreatestGroove(g.length("ring-id"), unit.Ratio(lo))
	put(&f, &err, "best-wall-from", a, e)
	a, e = gland.GreatestGroove(g.length("ring-id"), unit.Ratio(hi))
	put(&f, &err, "best-wall-to", a, e)
	return f, err
}
