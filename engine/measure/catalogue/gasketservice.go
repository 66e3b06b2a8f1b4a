package catalogue

import (
	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func gasketServices() []Calculation { return []Calculation{gasketService(), rubberPad()} }

func gasketService() Calculation {
	in := []Input{{Name: "gasket-outer", Title: "outside diameter of the gasket's contact", Dim: unit.LengthDim, On: "outside"}, {Name: "gasket-inner", Title: "inside diameter of the gasket's contact", Dim: unit.LengthDim, On: "outside"},
		{Name: "factors", Title: "gasket, by its row of factors m and y", From: "gasket-factors", Optional: true}, {Name: "gasket-factor", Title: "gasket factor m (left out: table)", Dim: unit.RatioDim, Optional: true},
		{Name: "seating-stress", Title: "seating stress y (left out: table)", Dim: unit.PressureDim, Optional: true},
		{Name: "pressure", Title: "greatest pressure in the joint", Dim: unit.PressureDim}, {Name: "total-load", Title: "load of all bolts together, as it is now", Dim: unit.ForceDim, Optional: true},
		{Name: "bolt-stress", Title: "stress that a bolt may carry", Dim: unit.PressureDim, Optional: true}}
	return Calculation{
		Name: "gasket-service", Title: "What pressure leaves of the load on a round gasket",
		About:  "The pressure pushes the cover off: what the bolts must carry to seat the gasket and to hold it in service, which of the two decides, what is left of the stress on the gasket, and the pressure up to which the load holds.",
		Inputs: in,
		Outputs: []Output{
			{"effective-width", "width of gasket taken to seal", unit.LengthDim, "b0 = width / 2; b = b0 up to 6 mm, else 2.52 b0^(1/2) in mm", codeLoads, confirmed},
			{"reaction-diameter", "diameter on which the gasket load acts", unit.LengthDim, "mean diameter for b0 up to 6 mm, else outer - 2 b", codeLoads, confirmed},
			{"end-force", "force of the pressure on the cover", unit.ForceDim, "(pi/4) G^2 pressure", codeLoads, confirmed},
			{"contact-load", "load that keeps the gasket tight", unit.ForceDim, "2 b pi G m pressure", codeLoads, confirmed},
			{"operating-load", "bolt load wanted in service", unit.ForceDim, "end force + contact load", codeLoads, confirmed},
			{"seating-load", "bolt load that seats the gasket", unit.ForceDim, "pi b G y", codeLoads, confirmed},
			{"load-needed", "bolt load wanted", unit.ForceDim, "larger of the two", codeLoads, confirmed},
			{"governs", "what decides", "", "the larger of the two", codeLoads, confirmed},
			{"least-bolt-area", "stress area of all bolts together", unit.AreaDim, "load wanted / stress of a bolt", codeLoads, confirmed},
			{"load-now", "load of all bolts", unit.ForceDim, "as given", "as given", confirmed},
			{"greatest-pressure", "pressure up to which this load holds", unit.PressureDim, "load / (pi G^2/4 + 2 b pi G m)", codeLoads, confirmed},
			{"stress-left", "mean stress left on the gasket under pressure", unit.PressureDim, "(load - end force) / contact area", "force balance; none of the end force given to the bolts, the cautious side", confirmed},
		},
		Judges:  []Judge{{Output: "load-now", Against: []string{"load-needed"}}},
		Blind:   "m and y size a joint, they do not promise tightness; the mean stress says nothing of the place midway between bolts (cover-bow) or over a hollow (face-limit).",
		Example: map[string]string{"gasket-outer": "210 mm", "gasket-inner": "190 mm", "factors": "rubber-hard", "pressure": "3 bar", "total-load": "20 kN", "bolt-stress": "170 MPa"},
		formula: gasketServiceFormula,
		lead: func(_ given, o *Out) string {
			s := "The bolts must carry " + o.say(o.Num["load-needed"], unit.ForceDim) + " together (" + o.Text["governs"] + ")"
			if p, ok := o.Num["greatest-pressure"]; ok {
				s += "; the load now holds up to " + o.say(p, unit.PressureDim)
			}
			return s
		},
	}
}

func gasketServiceFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	m, y, err := factorsOf(g, &f)
	if err != nil {
		return f, err
	}
	outer, inner, p := g.length("gasket-outer"), g.length("gasket-inner"), g.pressure("pressure")
	area, err := flange.RingArea(outer, inner)
	if err != nil {
		return f, err
	}
	basic := (outer - inner) / 4
	b, e := flange.EffectiveWidth(basic)
	put(&f, &err, "effective-width", b, e)
	d, e := flange.ReactionDiameter(outer, inner, basic)
	put(&f, &err, "reaction-diameter", d, e)
	if err != nil {
		return f, err
	}
	h, e := flange.PressureLoad(d, p)
	put(&f, &err, "end-force", h, e)
	hp, e := flange.ContactLoad(b, d, m, p)
	put(&f, &err, "contact-load", hp, e)
	seat, e := flange.SeatingLoad(b, d, y)
	put(&f, &err, "seating-load", seat, e)
	if err != nil {
		return f, err
	}
	need, seats, e := flange.Governing(h+hp, seat)
	put(&f, &err, "load-needed", need, e)
	f.num["operating-load"] = float64(h + hp)
	f.text["governs"] = "the pressure decides"
	if seats {
		f.text["governs"] = "seating decides"
	}
	if g.has("bolt-stress") {
		a, e := flange.LeastBoltArea(h+hp, seat, g.pressure("bolt-stress"), g.pressure("bolt-stress"))
		put(&f, &err, "least-bolt-area", a, e)
	}
	if err != nil || !g.has("total-load") {
		return f, err
	}
	w := g.force("total-load")
	f.num["load-now"] = float64(w)
	most, e := flange.GreatestPressure(w, b, d, m)
	put(&f, &err, "greatest-pressure", most, e)
	if s, e := flange.ServiceStressOnGasket(w, h, area); e == nil {
		f.num["stress-left"] = float64(s)
	} else {
		f.note("%s.", capital(e.Error()))
	}
	return f, err
}

// factorsOf are m and y: typed first, then the row that is named, cited.
func factorsOf(g given, f *found) (unit.Ratio, unit.Pressure, error) {
	m, y := g.ratio("gasket-factor"), g.pressure("seating-stress")
	if g.has("factors") {
		r, err := g.row("gasket-factors", "factors")
		if err != nil {
			return 0, 0, err
		}
		mt, okM := r.SI("m_ratio")
		yt, okY := r.SI("y_MPa")
		if !g.has("gasket-factor") && okM {
			m = unit.Ratio(mt)
			f.cite("gasket factor m", r, "m_ratio")
		}
		if !g.has("seating-stress") && okY {
			y = unit.Pressure(yt)
			f.cite("seating stress y", r, "y_MPa")
		}
		if n := r.Text("note"); n != "" {
			f.note("%s: %s.", capital(r.Text("gasket")), n)
		}
		if !okM && !g.has("gasket-factor") || !okY && !g.has("seating-stress") {
			return 0, 0, refuse.Because("m and y of "+r.Text("gasket"), "are not in the table", "give gasket-factor and seating-stress from the maker's sheet")
		}
		return m, y, nil
	}
	if !g.has("gasket-factor") || !g.has("seating-stress") {
		return 0, 0, refuse.Because("the gasket", "is not known", "give factors, such as factors=paper, or gasket-factor and seating-stress")
	}
	return m, y, nil
}

const rubberText = "Engineering Design with Natural Rubber"

func rubberPad() Calculation {
	in := []Input{{Name: "hardness", Title: "hardness of the rubber", Dim: unit.HardnessDim}, {Name: "gasket-width", Title: "width of the gasket", Dim: unit.LengthDim, On: "outside"}, {Name: "gasket-thickness", Title: "free thickness of the gasket", Dim: unit.LengthDim, On: "outside"},
		{Name: "squeeze", Title: "squeeze of its thickness", Dim: unit.RatioDim, Optional: true, Default: "15 %"}, {Name: "gasket-area", Title: "area of the gasket in contact, holes taken off", Dim: unit.AreaDim, Optional: true},
		{Name: "bolts", Title: "number of bolts", Dim: unit.CountDim, Optional: true}, {Name: "greatest-stress", Title: "greatest stress it stands", Dim: unit.PressureDim, Optional: true}}
	return Calculation{
		Name: "rubber-pad", Title: "Stiffness of a flat rubber gasket, and the load of its squeeze",
		About:  "Rubber does not give, it flows sideways: a wide thin strip is many times stiffer than a narrow one of the same rubber. Gives the modulus that cover-bow asks for, and the load a bolt must bring for a squeeze. Take it as a guide from half to double.",
		Inputs: in,
		Outputs: []Output{
			{"shape", "shape factor", unit.CountDim, "width / (2 thickness)", rubberText, confirmed},
			{"gasket-modulus", "modulus of the gasket in compression", unit.PressureDim, "(4/3) E0 (1 + k shape^2)", rubberText, memory},
			{"stress", "stress at that squeeze", unit.PressureDim, "modulus squeeze", rubberText + "; linear, to about 15 %", memory},
			{"total-load", "load of all bolts", unit.ForceDim, "stress area", "definition", confirmed},
			{"load-per-bolt", "load of one bolt", unit.ForceDim, "total / bolts", "definition", confirmed},
		},
		Judges: []Judge{{Output: "stress", AtMost: true, By: "greatest-stress", Ours: func(g given, _ found) (Figure, error) {
			t, err := g.table("gasket-materials")
			if err != nil {
				return Figure{}, err
			}
			rows := t.Where(isNamed("rubber"))
			if len(rows) == 0 {
				return Figure{}, nil
			}
			x, _ := rows[0].SI("crush_MPa")
			return Figure{x, "greatest stress of solid rubber sheet (engineers forum, 1500 psi)", memory}, nil
		}}},
		Blind:   "The faces are taken to hold the rubber: an oily or greased face lets it slide out, and it is then softer and creeps.",
		Example: map[string]string{"hardness": "60 Shore A", "gasket-width": "10 mm", "gasket-thickness": "3 mm", "squeeze": "15 %", "gasket-area": "3000 mm2", "bolts": "6"},
		formula: rubberPadFormula,
		lead: func(_ given, o *Out) string {
			s := "The strip is as stiff as " + o.say(Num{SI: o.Num["gasket-modulus"].SI}, unit.PressureDim) + "; that squeeze takes " + o.say(Num{SI: o.Num["stress"].SI}, unit.PressureDim)
			if l, ok := o.Num["load-per-bolt"]; ok {
				s += ", " + o.say(Num{SI: l.SI}, unit.ForceDim) + " a bolt"
			}
			return s
		},
	}
}

func rubberPadFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	t, err := g.table("gasket-rubber")
	if err != nil {
		return f, err
	}
	e0, err := t.Linear("hardness_ShoreA", "modulus_MPa", g.num["hardness"])
	if err != nil {
		return f, err
	}
	k, err := t.Linear("hardness_ShoreA", "k_ratio", g.num["hardness"])
	if err != nil {
		return f, err
	}
	f.note("Modulus E0 %s and factor k %.2f by the hardness, from memory of %s.", g.say(Num{SI: e0}, unit.PressureDim), k, rubberText)
	sq := g.num["squeeze"]
	if err := refuse.Within("the squeeze", sq, 0, 0.4, "15 to 30 % is usual, 40 % the end"); err != nil {
		return f, err
	}
	if sq > 0.15+1e-9 {
		f.note("Above 15 %% of squeeze rubber stiffens: the real stress is higher than this.")
	}
	w, th := g.length("gasket-width"), g.length("gasket-thickness")
	ec, e := flange.StripModulus(unit.Pressure(e0), unit.Ratio(k), w, th)
	put(&f, &err, "gasket-modulus", ec, e)
	if err != nil {
		return f, err
	}
	f.num["shape"], f.num["stress"] = float64(w/(2*th)), float64(ec)*sq
	if g.has("gasket-area") {
		total := f.num["stress"] * g.num["gasket-area"]
		f.num["total-load"] = total
		err = refuse.Positive("the gasket area", g.num["gasket-area"])
		if g.has("bolts") && err == nil {
			one, e := flange.PerBolt(unit.Force(total), int(g.num["bolts"]))
			put(&f, &err, "load-per-bolt", one, e)
		}
	}
	return f, err
}
