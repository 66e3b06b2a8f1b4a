package catalogue

import (
	"strings"

	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func jointTorques() []Calculation { return []Calculation{jointTorque()} }

const codeLoads = "ASME BPVC Section VIII Division 1, Appendix 2"

// generic is said with every torque that does not come from the maker.
const generic = "A torque from a table or a formula is an upper limit, never the torque of a joint: the maker's figure goes before it, and the gasket's own limit caps it."

func jointTorque() Calculation {
	in := []Input{{Name: "gasket", Title: "material of the gasket", From: "gasket-materials", Optional: true}, {Name: "factors", Title: "row of gasket factors m and y (left out: by the material)", From: "gasket-factors", Optional: true},
		{Name: "gasket-thickness", Title: "thickness of the gasket", Dim: unit.LengthDim, Optional: true}}
	in = append(in, gasketIn...)
	in = append(in, Input{Name: "sealed-area", Title: "area on which the pressure stands, where the gasket is not round", Dim: unit.AreaDim, Optional: true},
		boltsIn, threadIn, boltSizeIn, pitchIn, classIn, proofIn, yieldIn, lubeIn, nutWordIn, methodIn, spreadIn,
		Input{Name: "pressure", Title: "greatest pressure in the joint", Dim: unit.PressureDim, Optional: true, Default: "0 bar"},
		Input{Name: "least-stress", Title: "least stress that seats the gasket (left out: table)", Dim: unit.PressureDim, Optional: true},
		Input{Name: "greatest-stress", Title: "greatest stress the gasket stands (left out: table)", Dim: unit.PressureDim, Optional: true},
		Input{Name: "gasket-factor", Title: "gasket factor m (left out: table)", Dim: unit.RatioDim, Optional: true},
		Input{Name: "early-loss", Title: "share of the load lost soon after tightening (left out: table)", Dim: unit.RatioDim, Optional: true},
		Input{Name: "torque", Title: "torque in use or intended", Dim: unit.TorqueDim, Optional: true},
		Input{Name: "torque-limit", Title: "greatest torque allowed (maker's)", Dim: unit.TorqueDim, Optional: true},
		Input{Name: "torque-wanted", Title: "least torque asked (maker's)", Dim: unit.TorqueDim, Optional: true})
	return Calculation{
		Name: "joint-torque", Title: "Least and most torque for this gasket on these parts",
		About:  "The least torque at which even the slackest bolt seats the gasket and holds it against the pressure, and the most at which neither the tightest bolt nor the gasket is overloaded. Between the two lies the window; no window means other bolts, another gasket or a better way of tightening. " + generic,
		Inputs: in,
		Outputs: []Output{
			{"area", "gasket area", unit.AreaDim, "(pi/4)(outer^2 - inner^2), or as given", "geometry", confirmed},
			{"end-force", "force of the pressure on the cover", unit.ForceDim, "(pi/4) G^2 pressure, G the reaction diameter; sealed area pressure where not round", codeLoads, confirmed},
			{"operating-load", "bolt load wanted in service", unit.ForceDim, "end force + 2 b pi G m pressure", codeLoads, confirmed},
			{"seating-load", "bolt load that seats the gasket", unit.ForceDim, "larger of pi b G y and least stress area", codeLoads + "; gasket tables", confirmed},
			{"load-needed", "bolt load wanted at tightening", unit.ForceDim, "larger of seating load and operating load / (1 - early loss)", codeLoads, confirmed},
			{"governs", "what decides the least torque", "", "the larger of the two loads", codeLoads, confirmed},
			{"least-torque", "least torque, slackest bolt", unit.TorqueDim, "load needed / bolts, over the least load per torque", shortTorque + "; preload criteria", confirmed},
			{"greatest-torque", "most torque, tightest bolt", unit.TorqueDim, "stricter of bolt and gasket, over the greatest load per torque", shortTorque + "; 0.75 proof for joints that are undone", confirmed},
			{"limited-by", "what caps the torque", "", "the lower of the two loads", "machine-design texts; gasket tables", confirmed},
			{"bolt-cap", "load that a bolt may carry", unit.ForceDim, "0.75 proof strength stress area", "machine-design texts", confirmed},
			{"gasket-cap", "load of a bolt at which the gasket is crushed", unit.ForceDim, "greatest stress area / bolts", "definition", confirmed},
			{"torque-used", "torque in use or intended", unit.TorqueDim, "as given", "as given", confirmed},
		},
		Judges: []Judge{
			{Output: "least-torque", AtMost: true, By: "torque-limit", Against: []string{"greatest-torque"}},
			{Output: "torque-used", By: "torque-wanted", Against: []string{"least-torque"}},
			{Output: "torque-used", AtMost: true, By: "torque-limit", Against: []string{"greatest-torque"}},
		},
		Blind:   "The stress is the mean one: midway between bolts and over a hollow it is less (cover-bow, face-limit). m and y size a joint, they do not promise tightness.",
		Example: map[string]string{"gasket": "paper", "gasket-outer": "120 mm", "gasket-inner": "100 mm", "gasket-thickness": "0.8 mm", "bolts": "6", "thread": "m8", "class": "8.8", "lubrication": "oiled", "method": "torque-wrench", "pressure": "4 bar", "torque": "18 N m"},
		formula: jointTorqueFormula,
		lead: func(_ given, o *Out) string {
			s := "At least " + o.say(Num{SI: o.Num["least-torque"].SI}, unit.TorqueDim) + " a bolt (" + o.Text["governs"] + ")"
			if l, ok := o.Num["greatest-torque"]; ok {
				s += ", at most " + o.say(Num{SI: l.SI}, unit.TorqueDim) + " (" + o.Text["limited-by"] + ")"
			}
			return s + "; an upper limit and a floor, not the torque of the joint"
		},
	}
}

// codeRows are the rows of gasket factors that stand for a material where the person names none.
var codeRows = map[string]string{"rubber": "rubber-soft", "cork-rubber": "rubber-soft", "paper": "paper", "graphite": "graphite", "spiral": "spiral-stainless", "aluminium-washer": "flat-aluminium", "copper-washer": "flat-copper"}

// codeRow names the row of gasket factors: the one asked for, else by material, sheet by its thickness.
func codeRow(g given, f *found) string {
	if w := g.word["factors"]; w != "" {
		return w
	}
	if g.word["gasket"] != "fibre" {
		return codeRows[g.word["gasket"]]
	}
	f.note("The gasket factors of fibre sheet are those of the old asbestos sheet: the maker's figures for modern sheet go before them.")
	switch t := g.length("gasket-thickness").Millimetres(); {
	case !g.has("gasket-thickness"):
		f.note("Without its thickness the sheet is taken as 1.6 mm thick.")
	case t < 1.6-1e-6:
		return "fibre-0.8"
	case t >= 3.2-1e-6:
		return "fibre-3.2"
	}
	return "fibre-1.6"
}

// gasketNeeds are the figures of a gasket: seating, crushing, m, y, early loss. 0 = not known.
type gasketNeeds struct {
	seat, crush, y unit.Pressure
	m, loss        unit.Ratio
}

func gasketNeedsOf(g given, f *found) (gasketNeeds, error) {
	n := gasketNeeds{seat: g.pressure("least-stress"), crush: g.pressure("greatest-stress"), m: g.ratio("gasket-factor"), loss: g.ratio("early-loss")}
	if err := refuse.First(refuse.NotNegative("the least stress", float64(n.seat)), refuse.NotNegative("the greatest stress", float64(n.crush)), refuse.NotNegative("the gasket factor m", float64(n.m)),
		refuse.Within("the early loss", float64(n.loss), 0, 0.9, "10 to 25 % is usual")); err != nil {
		return n, err
	}
	if g.has("gasket") {
		r, err := g.row("gasket-materials", "gasket")
		if err != nil {
			return n, err
		}
		take := func(input, head, what string) float64 {
			x, ok := r.SI(head)
			if !ok || g.has(input) {
				return g.num[input]
			}
			f.cite(what, r, head)
			return x
		}
		n.seat = unit.Pressure(take("least-stress", "seat_MPa", "least stress that seats the gasket"))
		n.crush = unit.Pressure(take("greatest-stress", "crush_MPa", "greatest stress the gasket stands"))
		n.loss = unit.Ratio(take("early-loss", "loss_max_pct", "load lost in the first hours, greatest"))
		if w := r.Text("retorque"); w != "" {
			f.note("%s.", capital(w))
		}
	}
	if row := codeRow(g, f); row != "" {
		t, err := g.table("gasket-factors")
		if err != nil {
			return n, err
		}
		r, err := t.Find("the gasket factors "+row, table.Is("name", row))
		if err != nil {
			return n, err
		}
		if m, ok := r.SI("m_ratio"); ok && !g.has("gasket-factor") {
			n.m = unit.Ratio(m)
			f.cite("gasket factor m, "+row, r, "m_ratio")
		}
		if y, ok := r.SI("y_MPa"); ok && !g.has("least-stress") {
			n.y = unit.Pressure(y)
			f.cite("seating stress y, "+row, r, "y_MPa")
		}
	} else if !g.has("gasket-factor") && g.num["pressure"] > 0 {
		f.note("No gasket factor m is known: only the end force counts in service. Give gasket-factor or factors.")
	}
	if n.crush > 0 && n.seat > n.crush {
		return n, refuse.Because("the least stress", "is above the greatest", "swap them or read the sheet again")
	}
	return n, nil
}

// jointLoads are end force, operating load and the larger of the two ways to reckon seating.
func jointLoads(g given, f *found, area unit.Area, n gasketNeeds) error {
	p, err := g.pressure("pressure"), error(nil)
	if err := refuse.NotNegative("the pressure", float64(p)); err != nil {
		return err
	}
	var h, op, seat unit.Force
	if g.has("gasket-area") {
		if p > 0 && !g.has("sealed-area") {
			return refuse.Because("the area under pressure", "is not known", "give sealed-area, or gasket-outer and gasket-inner")
		}
		if err := refuse.NotNegative("the sealed area", g.num["sealed-area"]); err != nil {
			return err
		}
		// a gasket of any shape: its whole width presses, half of it by the code's narrow ring
		h = unit.Force(float64(p) * g.num["sealed-area"])
		op = h + unit.Force(float64(n.m)*float64(p)*float64(area))
		seat = unit.Force(float64(n.y) * float64(area) / 2)
	} else {
		outer, inner := g.length("gasket-outer"), g.length("gasket-inner")
		basic := (outer - inner) / 4
		b, e := flange.EffectiveWidth(basic)
		put(f, &err, "end-force", b, e)
		d, e := flange.ReactionDiameter(outer, inner, basic)
		put(f, &err, "end-force", d, e)
		if err != nil {
			return err
		}
		h, e = flange.PressureLoad(d, p)
		put(f, &err, "end-force", h, e)
		op, e = flange.OperatingLoad(b, d, n.m, p)
		put(f, &err, "operating-load", op, e)
		seat, e = flange.SeatingLoad(b, d, n.y)
		put(f, &err, "seating-load", seat, e)
	}
	f.num["end-force"], f.num["operating-load"] = float64(h), float64(op)
	f.num["seating-load"] = max(float64(seat), float64(n.seat)*float64(area))
	return err
}

func jointTorqueFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	area, err := areaOf(g)
	if err != nil {
		return f, err
	}
	n, err := gasketNeedsOf(g, &f)
	if err != nil {
		return f, err
	}
	if err = jointLoads(g, &f, area, n); err != nil {
		return f, err
	}
	b, err := fastenerOf(g, &f)
	if err != nil {
		return f, err
	}
	bolts := int(g.num["bolts"])
	j, err := tighteningOf(g, &f, b.d, bolts)
	if err != nil {
		return f, err
	}
	need, seats, err := flange.Governing(unit.Force(f.num["operating-load"]/(1-float64(n.loss))), unit.Force(f.num["seating-load"]))
	if err != nil {
		return f, err
	}
	f.num["area"], f.num["load-needed"] = float64(area), float64(need)
	f.text["governs"] = "the pressure decides"
	if seats {
		f.text["governs"] = "seating decides"
	}
	if need == 0 {
		return f, refuse.Because("the load that the joint needs", "comes out as nothing", "name the gasket, or give least-stress or a pressure")
	}
	least, e := j.LeastTorque(need, 0)
	put(&f, &err, "least-torque", least, e)
	if e != nil {
		return f, e
	}
	if err := jointCaps(g, &f, b, j, area, n); err != nil {
		return f, err
	}
	f.note(generic)
	if g.has("torque") {
		f.num["torque-used"] = g.num["torque"]
		if most, ok := f.num["greatest-torque"]; ok && g.has("torque-limit") && g.num["torque"] > most {
			f.note("By our reckoning %s is the most here (%s): unless the limit that you gave is the maker's for this joint and this gasket, stay below that.", g.say(Num{SI: most}, unit.TorqueDim), f.text["limited-by"])
		}
		err = refuse.First(err, refuse.Positive("the torque", g.num["torque"]))
	}
	return f, err
}

// jointCaps finds the torque that neither the tightest bolt nor the gasket would pass.
func jointCaps(g given, f *found, b fastener, j flange.Tightening, area unit.Area, n gasketNeeds) error {
	var caps []flange.Cap
	if b.area > 0 && b.proof > 0 {
		share, whole, use := unit.Ratio(0), b.proof, "undone-again"
		if strings.HasPrefix(g.word["class"], "a2-") && b.yield > 0 && !g.has("proof-strength") {
			whole, use = b.yield, "stainless"
		}
		share, err := boltShare(g, f, use)
		if err != nil {
			return err
		}
		load, err := flange.ProofLoad(b.area, whole)
		if err != nil {
			return err
		}
		load *= unit.Force(share)
		f.num["bolt-cap"] = float64(load)
		caps = append(caps, flange.Cap{Why: "what the bolt stands", Load: load})
	} else {
		f.note("What the bolt stands is not known: give its thread and class.")
	}
	if n.crush > 0 {
		load := unit.Force(float64(n.crush) * float64(area) / float64(j.Bolts))
		f.num["gasket-cap"] = float64(load)
		caps = append(caps, flange.Cap{Why: "what the gasket stands", Load: load})
	} else {
		f.note("What the gasket stands is not known: give greatest-stress from its sheet.")
	}
	if len(caps) == 0 {
		return nil
	}
	most, low, err := j.GreatestTorque(caps...)
	if err != nil {
		return err
	}
	f.num["greatest-torque"], f.text["limited-by"] = float64(most), low.Why
	return nil
}
