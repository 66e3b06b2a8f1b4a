package catalogue

import (
	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func coverBows() []Calculation { return []Calculation{coverBow()} }

const beamOnGasket = "beam on elastic foundation with equal loads, derived and checked by integration"

func coverBow() Calculation {
	in := []Input{{Name: "spacing", Title: "distance between two bolts, centre to centre", Dim: unit.LengthDim}, {Name: "cover-width", Title: "width of the rim of the cover", Dim: unit.LengthDim}, {Name: "cover-thickness", Title: "thickness of the rim of the cover", Dim: unit.LengthDim},
		{Name: "cover-material", Title: "material of the cover", From: "bolt-materials", Optional: true}, {Name: "cover-modulus", Title: "modulus of the cover", Dim: unit.PressureDim, Optional: true},
		{Name: "gasket-width", Title: "width of the gasket", Dim: unit.LengthDim}, {Name: "gasket-thickness", Title: "thickness of the gasket", Dim: unit.LengthDim},
		{Name: "gasket", Title: "material of the gasket", From: "gasket-materials", Optional: true}, {Name: "gasket-modulus", Title: "modulus of the gasket in compression", Dim: unit.PressureDim, Optional: true},
		{Name: "bolt-load", Title: "load of one bolt", Dim: unit.ForceDim, Optional: true}, {Name: "share-wanted", Title: "share of the pressure wanted midway", Dim: unit.RatioDim, Optional: true, Default: "50 %"},
		{Name: "gap-limit", Title: "greatest gap allowed midway", Dim: unit.LengthDim, Optional: true}}
	return Calculation{
		Name: "cover-bow", Title: "Bow of a cover between its bolts",
		About:  "A cover is a beam on a springy gasket: pulled down at the bolts it bows up between them. Gives the share of pressure that is left midway, the bow, the gap once the gasket has lifted, and solves the widest distance and the thinnest cover. The other face is taken as stiff.",
		Inputs: in,
		Outputs: []Output{
			{"mid-span-share", "pressure midway over that at the bolt", unit.RatioDim, "(C s + S c) / (C S + c s), u = stiffness number distance / 2", beamOnGasket, confirmed},
			{"lift-spacing", "distance at which the gasket lifts midway", unit.LengthDim, "4.730 / stiffness number", beamOnGasket, confirmed},
			{"greatest-spacing", "greatest distance for the share wanted", unit.LengthDim, "pressure share turned round", beamOnGasket, confirmed},
			{"least-thickness", "thinnest cover for the share wanted", unit.LengthDim, "[3 k / (E w l^4)]^(1/3)", beamOnGasket, confirmed},
			{"squeeze-at-bolt", "squeeze of the gasket at a bolt", unit.LengthDim, "F l / (2 k) (S C + s c) / (S^2 + s^2)", beamOnGasket, confirmed},
			{"squeeze-midway", "squeeze of the gasket midway, below 0 it has lifted", unit.LengthDim, "F l / (2 k) (C s + S c) / (S^2 + s^2)", beamOnGasket, confirmed},
			{"bow", "bow between bolts", unit.LengthDim, "squeeze at a bolt - squeeze midway", beamOnGasket, confirmed},
			{"gap", "least gap that opens midway", unit.LengthDim, "- squeeze midway, 0 while it presses", beamOnGasket, confirmed},
		},
		Judges: []Judge{
			{Output: "mid-span-share", Ours: func(g given, _ found) (Figure, error) {
				return Figure{g.num["share-wanted"], "the share wanted midway (50 % unless you gave another)", estimate}, nil
			}},
			atMost("gap", "gap-limit"),
		},
		Blind:   "Sheet stiffens as it is squeezed and a stop or dowel carries load; a straight edge on the cover along the bolts shows the real bow.",
		Example: map[string]string{"spacing": "70 mm", "cover-width": "20 mm", "cover-thickness": "8 mm", "cover-material": "aluminium", "gasket": "fibre", "gasket-width": "15 mm", "gasket-thickness": "1 mm", "bolt-load": "8 kN"},
		formula: coverBowFormula,
		lead: func(_ given, o *Out) string {
			s := "Midway between the bolts " + o.say(o.Num["mid-span-share"], unit.RatioDim) + " of the pressure at the bolt is left"
			if o.Num["mid-span-share"].SI <= 0 {
				s = "The gasket lifts midway between the bolts"
			}
			if b, ok := o.Num["bow"]; ok {
				s += "; bow " + o.say(b, unit.LengthDim)
			}
			if b := o.Num["gap"]; b.SI > 0 {
				s += ", gap at least " + o.say(b, unit.LengthDim)
			}
			return s + "; it lifts from " + o.say(Num{SI: o.Num["lift-spacing"].SI}, unit.LengthDim) + " apart"
		},
	}
}

// moduli are those of cover and gasket: typed first, then by their words.
func moduli(g given, f *found) (cover, gasket unit.Pressure, err error) {
	look := func(typed, tab, word, head, what string) (unit.Pressure, error) {
		if g.has(typed) {
			return g.pressure(typed), nil
		}
		if !g.has(word) {
			return 0, refuse.Because(what, "is not known", "give "+word+" or "+typed)
		}
		r, err := g.row(tab, word)
		if err != nil {
			return 0, err
		}
		x, ok := r.SI(head)
		if !ok {
			return 0, refuse.Because(what+" of "+g.word[word], "is not in the table", "give "+typed)
		}
		f.cite(what, r, head)
		return unit.Pressure(x), nil
	}
	if cover, err = look("cover-modulus", "bolt-materials", "cover-material", "modulus_GPa", "the modulus of the cover"); err != nil {
		return 0, 0, err
	}
	gasket, err = look("gasket-modulus", "gasket-materials", "gasket", "modulus_MPa", "the modulus of the gasket")
	return cover, gasket, err
}

func coverBowFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	e, eg, err := moduli(g, &f)
	if err != nil {
		return f, err
	}
	c := flange.Cover{Width: g.length("cover-width"), Thickness: g.length("cover-thickness"), E: e, GasketE: eg, GasketWidth: g.length("gasket-width"), GasketThickness: g.length("gasket-thickness")}
	l, err := c.Lambda()
	if err != nil {
		return f, err
	}
	p := g.length("spacing")
	if err := refuse.Positive("the distance between bolts", float64(p)); err != nil {
		return f, err
	}
	r, e1 := flange.PressureRatio(l * float64(p) / 2)
	put(&f, &err, "mid-span-share", r, e1)
	lift, e1 := flange.LiftPitch(l)
	put(&f, &err, "lift-spacing", lift, e1)
	widest, e1 := c.PitchForRatio(g.ratio("share-wanted"))
	put(&f, &err, "greatest-spacing", widest, e1)
	thin, e1 := c.ThicknessForRatio(p, g.ratio("share-wanted"))
	put(&f, &err, "least-thickness", thin, e1)
	if g.has("bolt-load") {
		b, e1 := c.Between(g.force("bolt-load"), p)
		if e1 != nil {
			return f, e1
		}
		f.num["squeeze-at-bolt"], f.num["squeeze-midway"], f.num["bow"], f.num["gap"] = float64(b.AtBolt), float64(b.MidSpan), float64(b.Dip), float64(b.Gap)
		if b.AtBolt > 0.4*c.GasketThickness {
			f.note("At the bolt the gasket would be squeezed by more than 40 %%: it stiffens or fails before that, the figures are outside what a spring can say.")
		}
	}
	return f, err
}
