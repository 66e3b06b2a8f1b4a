package catalogue

import (
	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func ringContact() []Calculation {
	return []Calculation{oringContact(), oringSwell(), oringGrooveFill()}
}

func oringContact() Calculation {
	in := []Input{cordIn, {Name: "gland-depth", Title: "gland depth (height to which the cord is squeezed)", Dim: unit.LengthDim}, {Name: "hardness", Title: "hardness of the ring", Dim: unit.HardnessDim},
		ringIDIn, {Name: "modulus", Title: "modulus of the rubber, where it is known", Dim: unit.PressureDim, Optional: true}, {Name: "fluid-pressure", Title: "pressure of the fluid behind the ring", Dim: unit.PressureDim, Optional: true, Default: "0 bar"}}
	return Calculation{
		Name: "oring-contact", Title: "Force and pressure of a squeezed ring on its walls",
		About:  "What closing a gland on its ring takes, how wide the ring touches and how hard it presses, from the hardness. Good for a comparison, not for a verdict: rubber of one hardness varies by a fifth.",
		Inputs: in,
		Outputs: []Output{
			{"squeeze", "squeeze", unit.RatioDim, "(cord - depth) / cord", "ISO 3601-2", confirmed},
			{"modulus-used", "modulus of the rubber", unit.PressureDim, "0.0981 (56 + 7.62336 S) / [0.137505 (254 - 2.54 S)] MPa; 20 to 90 Shore A, good to a fifth", "relation of 1958 for hardness and modulus of rubbers", confirmed},
			{"modulus-second", "modulus by a second relation", unit.PressureDim, "10^(0.0235 S - 0.6403) MPa; 20 to 90 Shore A", "published log relation, base 10", confirmed},
			{"line-load", "force for each length of ring", unit.LineLoadDim, "E cord (1.25 C^1.5 + 50 C^6), C up to 50 %", "load-compression relation for solid rubber rings, 1966", confirmed},
			{"closing-force", "force that closes a face on the whole ring", unit.ForceDim, "line load pi (ring inside + cord)", "line load times mean circumference", confirmed},
			{"contact-width", "width of the band on which it touches", unit.LengthDim, "2.4 C cord, C up to 50 %", "same relation as the line load", memory},
			{"contact-width-second", "the same by line contact", unit.LengthDim, "1.545 cord C^0.75, C up to 30 %", "line contact with the 1.25 C^1.5 load term", confirmed},
			{"mean-pressure", "contact pressure, mean over the band", unit.PressureDim, "line load / width", "definition", confirmed},
			{"peak-pressure", "contact pressure in the middle of the band", unit.PressureDim, "4 line load / (pi width), C up to 30 %", "line contact of a cylinder, half-elliptic pressure", confirmed},
			{"peak-under-pressure", "the same with the fluid behind the ring", unit.PressureDim, "peak + fluid pressure (Poisson's ratio one half)", "relation for squeezed rings in the literature on static sealing", memory},
		},
		Blind:   "Age, heat and set take most of this force; the relations are for new, dry rubber at room temperature.",
		Example: map[string]string{"cord": "3.53 mm", "gland-depth": "2.80 mm", "hardness": "70 Shore A", "ring-id": "24.99 mm", "fluid-pressure": "10 bar"},
		formula: oringContactFormula,
		lead: func(_ given, o *Out) string {
			s := "Squeezed " + o.say(o.Num["squeeze"], unit.RatioDim) + " the ring touches on a band " + o.say(o.Num["contact-width"], unit.LengthDim) + " wide"
			if n, ok := o.Num["peak-pressure"]; ok {
				s += " and presses with " + o.say(n, unit.PressureDim) + " in its middle"
			}
			if n, ok := o.Num["closing-force"]; ok {
				s += "; closing a face on it takes " + o.say(n, unit.ForceDim)
			}
			return s
		},
	}
}

func oringContactFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	cord := g.length("cord")
	c, err := gland.Squeeze(cord, g.length("gland-depth"))
	if err != nil {
		return f, err
	}
	f.num["squeeze"] = float64(c)
	e, err := gland.Modulus(unit.Hardness(g.num["hardness"]))
	if err != nil {
		return f, err
	}
	second, err := gland.ModulusLog(unit.Hardness(g.num["hardness"]))
	if err != nil {
		return f, err
	}
	if g.has("modulus") {
		e = g.pressure("modulus")
	}
	f.num["modulus-used"], f.num["modulus-second"] = float64(e), float64(second)
	q, err := gland.LineLoad(cord, e, c)
	if err != nil {
		return f, err
	}
	f.num["line-load"] = float64(q)
	if g.has("ring-id") {
		x, e := gland.CloseForce(q, g.length("ring-id"), cord)
		put(&f, &err, "closing-force", x, e)
	}
	b, e2 := gland.ContactWidth(cord, c)
	put(&f, &err, "contact-width", b, e2)
	if c > 0 {
		x, e := gland.ContactMean(q, b)
		put(&f, &err, "mean-pressure", x, e)
	}
	if c > 0.3 {
		f.note("Above 30 %% of squeeze the pressure is no longer near the shape of half an ellipse: no peak is given.")
	} else if c > 0 {
		x, e := gland.ContactPeak(q, b)
		put(&f, &err, "peak-pressure", x, e)
		y, e := gland.ContactUnderPressure(x, g.pressure("fluid-pressure"), 0.5)
		put(&f, &err, "peak-under-pressure", y, e)
	}
	if w, e := gland.ContactWidthLine(cord, c); e == nil {
		f.num["contact-width-second"] = float64(w)
	} else {
		f.note("Line contact: %s.", e.Error())
	}
	if c < 0.05 {
		f.note("Below 5 %% of squeeze the doubt of the sizes is most of the result.")
	}
	return f, err
}

func oringSwell() Calculation {
	in := []Input{cordIn, {Name: "gland-depth", Title: "gland depth", Dim: unit.LengthDim}, {Name: "groove-width", Title: "width of the groove", Dim: unit.LengthDim},
		{Name: "swell", Title: "change of volume in the fluid, shrinkage with a minus", Dim: unit.RatioDim, Optional: true, Default: "0 %"},
		{Name: "dry-cord", Title: "cord of a new, dry ring of the same size, where only the swollen ring is at hand", Dim: unit.LengthDim, Optional: true}, dutyIn, fillIn,
		{Name: "greatest-swell", Title: "greatest swell allowed", Dim: unit.RatioDim, Optional: true}, {Name: "greatest-shrinkage", Title: "greatest shrinkage allowed", Dim: unit.RatioDim, Optional: true}}
	shrink := func(g given, f found) (Figure, error) { // the shrinkage allowed is a change below 0
		return tabled("shrinkage", always("any"), "", "greatest_pct")(g, f)
	}
	return Calculation{
		Name: "oring-swell", Title: "What swelling or shrinking does to a ring in its groove",
		About:  "Section, squeeze and fill after the rubber has taken up fluid or lost its plasticiser, and how much swell the groove has room for. With the cord of a new ring the swell is worked out from the two cords.",
		Inputs: in,
		Outputs: []Output{
			{"swell-used", "change of volume", unit.RatioDim, "as given, or (cord / dry cord)^3 - 1", "geometry", confirmed},
			{"shrinkage", "shrinkage", unit.RatioDim, "the change of volume where it is below 0", "definition", confirmed},
			{"section", "cord in the fluid", unit.LengthDim, "cord (1 + swell)^(1/3); as measured when a dry cord was given", "geometry", confirmed},
			{"squeeze", "squeeze in the fluid", unit.RatioDim, "(section - depth) / section", "ISO 3601-2", confirmed},
			{"squeeze-dry", "squeeze when dry", unit.RatioDim, "(cord - depth) / cord", "ISO 3601-2", confirmed},
			{"fill", "groove fill in the fluid", unit.RatioDim, "(pi/4) cord^2 (1 + swell) / (depth width)", "definition", confirmed},
			{"room-for-swell", "swell that the groove has room for", unit.RatioDim, "greatest fill / fill when dry - 1", "definition turned round", confirmed},
			{"narrowest-groove", "narrowest groove for this swell", unit.LengthDim, "(pi/4) cord^2 (1 + swell) / (depth greatest fill)", "definition turned round", confirmed},
		},
		Judges: []Judge{
			{Output: "swell-used", AtMost: true, By: "greatest-swell", Ours: tabled("swell", dutyOf, "", "greatest_pct")},
			{Output: "shrinkage", AtMost: true, By: "greatest-shrinkage", Ours: shrink},
			{Output: "fill", AtMost: true, By: "greatest-fill", Ours: mostFill},
		},
		Example: map[string]string{"cord": "3.53 mm", "gland-depth": "2.82 mm", "groove-width": "4.75 mm", "swell": "15 %"},
		formula: oringSwellFormula,
		lead: func(_ given, o *Out) string {
			return "Changed by " + o.say(o.Num["swell-used"], unit.RatioDim) + " in volume the cord is " + o.say(o.Num["section"], unit.LengthDim) + " and the groove " + o.say(o.Num["fill"], unit.RatioDim) + " full"
		},
	}
}

func oringSwellFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	cord, depth, width, swell := g.length("cord"), g.length("gland-depth"), g.length("groove-width"), g.ratio("swell")
	wet := unit.Length(0)
	if g.has("dry-cord") {
		dry := g.length("dry-cord")
		if err := refuse.Positive("the cord of a new ring", float64(dry)); err != nil {
			return f, err
		}
		r := float64(cord / dry)
		wet, cord, swell = cord, dry, unit.Ratio(r*r*r-1)
	}
	x, e := gland.SwollenSection(cord, swell)
	if wet > 0 {
		x = wet
	}
	put(&f, &err, "section", x, e)
	if e != nil {
		return f, e
	}
	f.num["swell-used"], f.num["shrinkage"] = float64(swell), max(0, -float64(swell))
	s, e := gland.Squeeze(x, depth)
	put(&f, &err, "squeeze", s, e)
	s, e = gland.Squeeze(cord, depth)
	put(&f, &err, "squeeze-dry", s, e)
	dry, e := gland.FillArea(cord, depth, width)
	if e != nil {
		return f, e
	}
	fill, e := gland.FillSwollen(dry, swell)
	put(&f, &err, "fill", fill, e)
	most, ok := g.num["greatest-fill"]
	if !ok {
		if r, found := limitRow(g, "fill-worst-case", "any", ""); found {
			most, ok = r.SI("greatest_pct")
		}
	}
	if ok {
		room, e := gland.GreatestSwell(dry, unit.Ratio(most))
		put(&f, &err, "room-for-swell", room, e)
		w, e := gland.NarrowestGroove(cord, depth, swell, unit.Ratio(most))
		put(&f, &err, "narrowest-groove", w, e)
	}
	return f, err
}
