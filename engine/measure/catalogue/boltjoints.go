package catalogue

import (
	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

var (
	torqueIn  = Input{Name: "torque", Title: "tightening torque", Dim: unit.TorqueDim}
	boltIn    = Input{Name: "bolt-diameter", Title: "bolt diameter", Dim: unit.LengthDim}
	boltsIn   = Input{Name: "bolts", Title: "number of bolts", Dim: unit.CountDim}
	nutIn     = Input{Name: "nut-factor", Title: "nut factor (0.3 dry, 0.2 zinc plated, 0.15 oiled)", Dim: unit.RatioDim, Optional: true, Default: "0.20"}
	scatterIn = Input{Name: "scatter", Title: "scatter of the load at one torque", Dim: unit.RatioDim, Optional: true, Default: "30 %"}
	pitchIn   = Input{Name: "pitch", Title: "pitch of the thread", Dim: unit.LengthDim, Optional: true}
	proofIn   = Input{Name: "proof-strength", Title: "proof strength of the bolt", Dim: unit.PressureDim, Optional: true}
	modulusIn = Input{Name: "modulus", Title: "modulus of the bolt or rod", Dim: unit.PressureDim, Optional: true, Default: "205 GPa"}
)

const shortTorque = "machine-design texts (T = K F d)"

func bolts() []Calculation { return []Calculation{boltLoad(), boltSettling()} }

func boltLoad() Calculation {
	many := boltsIn
	many.Optional, many.Default = true, "1"
	in := []Input{torqueIn, boltSizeIn, threadIn, nutWordIn, lubeIn, spreadIn, methodIn, many, pitchIn, classIn, proofIn, yieldIn}
	return Calculation{
		Name: "bolt-load", Title: "Load of a bolt from its torque",
		About:  "What a torque gives, and how far apart the bolts of one joint may lie at the same torque. Words for thread, class, lubrication and method take their figures from the tables; typed figures go before them. A generic torque is an upper limit, never the figure for a joint.",
		Inputs: in,
		Outputs: []Output{
			{"load", "bolt load", unit.ForceDim, "torque / (nut factor diameter)", shortTorque, confirmed},
			{"load-min", "least load at that torque", unit.ForceDim, "least of load (1 - scatter) and torque / (greatest nut factor diameter)", "preload criteria: 25 % oiled, 35 % dry", confirmed},
			{"load-max", "greatest load at that torque", unit.ForceDim, "greatest of load (1 + scatter) and torque / (least nut factor diameter)", "preload criteria: 25 % oiled, 35 % dry", confirmed},
			{"total-load", "load of all bolts", unit.ForceDim, "bolts load", "sum", confirmed},
			{"proof-share", "share of the proof load", unit.RatioDim, "load / (proof strength (pi/4)(d - 0.9382 P)^2)", "ISO 898-1", confirmed},
			{"stress-area", "stress area of the thread", unit.AreaDim, "by the thread, else (pi/4)(d - 0.9382 P)^2", "ISO 898-1", confirmed},
			{"bolt-stress", "stress in the thread, tension alone", unit.PressureDim, "load / stress area", "definition", confirmed},
			{"tightening-stress", "stress in the thread while it is tightened, with the twist", unit.PressureDim, "tension and twist together, friction as the nut factor says", "VDI 2230", confirmed},
			{"yield-margin", "margin to yield at the usual load", unit.RatioDim, "1 - tightening stress / yield strength", "VDI 2230", confirmed},
			{"yield-margin-min", "margin to yield of the tightest bolt", unit.RatioDim, "as the margin, at the greatest load and the friction that goes with it", "VDI 2230", confirmed},
		},
		Example: map[string]string{"torque": "20 N m", "thread": "m8", "class": "8.8", "lubrication": "zinc", "method": "torque-wrench", "bolts": "6"},
		Judges: []Judge{{Output: "proof-share", AtMost: true, Ours: fixed(0.9, "0.90 of proof for joints that stay, 0.75 for those that are undone (machine-design texts)", confirmed)},
			{Output: "yield-margin", Ours: fixed(0, "a bolt must not yield while it is tightened (VDI 2230)", confirmed)}},
		Blind:   "A torque wrench feels friction, not load: a dry, dirty or bottoming bolt reads the full torque and clamps nothing.",
		formula: boltLoadFormula,
		lead: func(_ given, o *Out) string {
			lead := "A bolt carries " + o.say(o.Num["load"], unit.ForceDim) + ", anything from " + o.say(Num{SI: o.Num["load-min"].SI}, unit.ForceDim) + " to " + o.say(Num{SI: o.Num["load-max"].SI}, unit.ForceDim)
			if p, ok := o.Num["proof-share"]; ok {
				lead += "; " + o.say(p, unit.RatioDim) + " of the proof load"
			}
			return lead
		},
	}
}

func boltLoadFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	b, err := fastenerOf(g, &f)
	if err != nil {
		return f, err
	}
	j, err := tighteningOf(g, &f, b.d, 1)
	if err != nil {
		return f, err
	}
	torque := unit.Torque(g.num["torque"])
	lo, load, hi, err := j.Load(torque)
	if err != nil {
		return f, err
	}
	f.num["load"], f.num["load-min"], f.num["load-max"], f.num["total-load"] = float64(load), float64(lo), float64(hi), float64(load)*g.num["bolts"]
	if b.area == 0 {
		return f, nil
	}
	f.num["stress-area"] = float64(b.area)
	s, e := flange.PreloadStress(load, b.area)
	put(&f, &err, "bolt-stress", s, e)
	if b.proof > 0 {
		p, e := flange.ProofLoad(b.area, b.proof)
		put(&f, &err, "proof-share", unit.Ratio(load/p), e)
	}
	if load == 0 || err != nil {
		return f, err
	}
	// twist by the friction that stands behind each load; a usual hexagon head is taken
	for _, at := range []struct {
		load           unit.Force
		stress, margin string
	}{{load, "tightening-stress", "yield-margin"}, {hi, "", "yield-margin-min"}} {
		k := unit.Ratio(float64(torque) / float64(at.load) / float64(b.d))
		mu, e := flange.FrictionOf(k, b.d, b.pitch, flange.UsualHead(b.d))
		if e != nil {
			f.note("The margin to yield with the twist is left out: %s.", e.Error())
			continue
		}
		s, e := flange.TighteningStress(at.load, b.d, b.pitch, mu)
		if e != nil {
			return f, e
		}
		if at.stress != "" {
			f.num[at.stress] = float64(s)
		}
		if b.yield > 0 {
			m, e := flange.YieldMargin(s, b.yield)
			put(&f, &err, at.margin, m, e)
		}
	}
	return f, err
}

// proofOf is the proof load of a metric bolt.
func proofOf(g given) (unit.Force, error) {
	a, err := flange.StressArea(g.length("bolt-diameter"), g.length("pitch"))
	if err != nil {
		return 0, err
	}
	return flange.ProofLoad(a, unit.Pressure(g.num["proof-strength"]))
}

func boltSettling() Calculation {
	in := []Input{boltSizeIn, threadIn, pitchIn, {Name: "grip-length", Title: "length of bolt that stretches (grip)", Dim: unit.LengthDim},
		{Name: "settling", Title: "how much the joint settles (left out: by the finish, else 0.01 mm)", Dim: unit.LengthDim, Optional: true},
		{Name: "finish", Title: "finish of the faces that bed in", From: "bolt-embedding", Optional: true},
		{Name: "bearing-faces", Title: "faces under heads and nuts", Dim: unit.CountDim, Optional: true, Default: "2"}, {Name: "joint-faces", Title: "joints between clamped parts, metal on metal", Dim: unit.CountDim, Optional: true, Default: "1"},
		{Name: "gasket-thickness", Title: "thickness of a gasket that creeps", Dim: unit.LengthDim, Optional: true}, {Name: "gasket-creep", Title: "share of its thickness that the gasket creeps", Dim: unit.RatioDim, Optional: true},
		{Name: "preload", Title: "bolt load at tightening", Dim: unit.ForceDim, Optional: true}, modulusIn,
		{Name: "joint-stiffness", Title: "stiffness of the clamped parts (left out: rigid)", Dim: unit.StiffnessDim, Optional: true},
		{Name: "loss-limit", Title: "share of the load that may be lost", Dim: unit.RatioDim, Optional: true}}
	return Calculation{
		Name: "bolt-settling", Title: "Bolt load lost when a joint settles",
		About:  "A short bolt is a stiff spring: a hundredth of a millimetre of paint, gasket creep or bedding takes much of its load. With rigid parts the figure is the upper bound. Guide words for the finish say how far metal faces bed in; a gasket creeps more.",
		Inputs: in,
		Outputs: []Output{
			{"bolt-stiffness", "stiffness of the bolt", unit.StiffnessDim, "modulus stress area / grip", "linear elasticity; stress area ISO 898-1", confirmed},
			{"settling-used", "settling", unit.LengthDim, "as given, or thread + heads + joints by the finish, and creep thickness", "VDI 2230, guide values", memory},
			{"loss-per-hundredth", "load lost per 0.01 mm of settling", unit.ForceDim, "0.01 mm / (1/k bolt + 1/k joint)", "linear elasticity, VDI 2230 embedding", confirmed},
			{"loss", "load lost", unit.ForceDim, "settling / (1/k bolt + 1/k joint)", "linear elasticity, VDI 2230 embedding", confirmed},
			{"loss-share", "share of the load lost", unit.RatioDim, "loss / preload", "linear elasticity, VDI 2230 embedding", confirmed},
			{"preload-left", "load left", unit.ForceDim, "preload - loss; 0 when all is gone", "linear elasticity, VDI 2230 embedding", confirmed},
			{"least-grip", "shortest grip that loses no more than the share allowed", unit.LengthDim, "modulus stress area (settling / (share preload) - 1/k joint)", "linear elasticity, VDI 2230 embedding", confirmed},
		},
		Judges:  []Judge{atMost("loss-share", "loss-limit")},
		Blind:   "Neighbours that relax when the next bolt is tightened, and a gasket that goes on creeping in the heat, come on top.",
		Example: map[string]string{"thread": "m8", "grip-length": "20 mm", "finish": "medium", "bearing-faces": "1", "preload": "15.6 kN", "gasket-thickness": "0.8 mm", "gasket-creep": "2 %", "loss-limit": "30 %"},
		formula: boltSettlingFormula,
		lead: func(_ given, o *Out) string {
			lead := "The bolt loses " + o.say(o.Num["loss"], unit.ForceDim)
			if s, ok := o.Num["loss-share"]; ok {
				lead += ", " + o.say(s, unit.RatioDim) + " of its load"
				if s.SI >= 1 {
					lead += ": it is slack"
				}
			}
			return lead + "; each 0.01 mm takes " + o.say(Num{SI: o.Num["loss-per-hundredth"].SI}, unit.ForceDim)
		},
	}
}

func boltSettlingFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	b, err := fastenerOf(g, &f)
	if err != nil {
		return f, err
	}
	if b.area == 0 {
		return f, refuse.Because("the pitch of the thread", "is not known", "give pitch, or the thread such as thread=m8")
	}
	k, err := flange.Stiffness(b.area, g.length("grip-length"), unit.Pressure(g.num["modulus"]))
	if err != nil {
		return f, err
	}
	settled, err := settlingOf(g, &f)
	if err != nil {
		return f, err
	}
	f.num["bolt-stiffness"], f.num["settling-used"] = float64(k), float64(settled)
	parts := unit.Stiffness(g.num["joint-stiffness"])
	loss, e := flange.LossBySettling(settled, k, parts)
	put(&f, &err, "loss", loss, e)
	each, e := flange.LossBySettling(0.01*unit.Millimetre, k, parts)
	put(&f, &err, "loss-per-hundredth", each, e)
	if err != nil || !g.has("preload") {
		return f, err
	}
	p := g.num["preload"]
	if e := refuse.Positive("the preload", p); e != nil {
		return f, e
	}
	f.num["loss-share"], f.num["preload-left"] = float64(loss)/p, max(0, p-float64(loss))
	if g.has("loss-limit") {
		x, e := flange.LeastGrip(settled, unit.Force(p), g.ratio("loss-limit"), b.area, unit.Pressure(g.num["modulus"]), parts)
		put(&f, &err, "least-grip", x, e)
	}
	return f, err
}

// settlingOf is how far the joint settles: as typed, else by the finish of its faces, and the creep of a gasket.
func settlingOf(g given, f *found) (unit.Length, error) {
	if g.has("settling") {
		return g.length("settling"), refuse.NotNegative("the settling", g.num["settling"])
	}
	var sum unit.Length
	if g.has("finish") {
		r, err := g.row("bolt-embedding", "finish")
		if err != nil {
			return 0, err
		}
		var each [3]unit.Length
		for i, head := range []string{"thread_um", "head_um", "inner_um"} {
			x, ok := r.SI(head)
			if !ok {
				return 0, refuse.Because("the settling of the finish "+g.word["finish"], "is not published: "+r.Text("note"), "give settling as measured or as the thickness of the coat")
			}
			each[i] = unit.Length(x)
			f.cite([]string{"bedding in of the thread", "bedding in of each face under head or nut", "bedding in of each joint"}[i], r, head)
		}
		if sum, err = flange.Embedding(each[0], each[1], int(g.num["bearing-faces"]), each[2], int(g.num["joint-faces"])); err != nil {
			return 0, err
		}
	}
	if g.has("gasket-thickness") != g.has("gasket-creep") {
		return 0, refuse.Because("the creep of the gasket", "wants two figures", "give gasket-thickness and gasket-creep")
	}
	if g.has("gasket-creep") {
		x, err := flange.GasketCreep(g.length("gasket-thickness"), g.ratio("gasket-creep"))
		if err != nil {
			return 0, err
		}
		return sum + x, nil
	}
	if !g.has("finish") {
		f.note("How far the joint settles was not given: reckoned for 0.01 mm.")
		return 0.01 * unit.Millimetre, nil
	}
	return sum, nil
}

func areaOf(g given) (unit.Area, error) {
	if g.has("gasket-area") {
		if g.has("gasket-outer") || g.has("gasket-inner") {
			return 0, refuse.Because("the gasket", "has both an area and diameters", "give the area, or both diameters")
		}
		return unit.Area(g.num["gasket-area"]), refuse.Positive("the gasket area", g.num["gasket-area"])
	}
	if !g.has("gasket-outer") || !g.has("gasket-inner") {
		return 0, refuse.Because("the gasket area", "is not known", "give gasket-area, or gasket-outer and gasket-inner")
	}
	return flange.RingArea(g.length("gasket-outer"), g.length("gasket-inner"))
}

var gasketIn = []Input{
	{Name: "gasket-outer", Title: "outside diameter of the gasket's contact", Dim: unit.LengthDim, Optional: true},
	{Name: "gasket-inner", Title: "inside diameter of the gasket's contact", Dim: unit.LengthDim, Optional: true},
	{Name: "gasket-area", Title: "area of the gasket in contact, holes taken off", Dim: unit.AreaDim, Optional: true},
}

func gaskets() []Calculation { return []Calculation{gasketStress(), gasketTorque()} }

func gasketStress() Calculation {
	in := append([]Input{torqueIn, boltIn, boltsIn}, gasketIn...)
	in = append(in, nutIn, scatterIn,
		Input{Name: "least-stress", Title: "least stress that seats the gasket", Dim: unit.PressureDim, Optional: true},
		Input{Name: "greatest-stress", Title: "greatest stress the gasket stands", Dim: unit.PressureDim, Optional: true})
	return Calculation{
		Name: "gasket-stress", Title: "Stress on a gasket from the bolt torque",
		About:  "Mean stress at assembly. Midway between bolts, and on a bowed cover, it is less.",
		Inputs: in,
		Outputs: []Output{
			{"area", "gasket area", unit.AreaDim, "(pi/4)(outer^2 - inner^2)", "geometry", confirmed},
			{"stress", "gasket stress", unit.PressureDim, "bolts load / area", "definition; " + shortTorque, confirmed},
			{"stress-min", "least stress, all bolts at the low end", unit.PressureDim, "stress (1 - scatter)", "preload criteria: 25 % oiled, 35 % dry", confirmed},
			{"stress-max", "greatest stress, all bolts at the high end", unit.PressureDim, "stress (1 + scatter)", "preload criteria: 25 % oiled, 35 % dry", confirmed},
		},
		Example: map[string]string{"torque": "20 N m", "bolt-diameter": "8 mm", "bolts": "6", "gasket-outer": "120 mm", "gasket-inner": "100 mm", "least-stress": "10 MPa", "greatest-stress": "60 MPa"},
		Judges:  []Judge{atLeast("stress-min", "least-stress"), atMost("stress-max", "greatest-stress")},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			a, e := areaOf(g)
			put(&f, &err, "area", a, e)
			load, e := flange.Preload(unit.Torque(g.num["torque"]), g.length("bolt-diameter"), g.ratio("nut-factor"))
			if e != nil {
				return f, e
			}
			if err != nil {
				return f, err
			}
			s, e := flange.GasketStress(load, int(g.num["bolts"]), a)
			put(&f, &err, "stress", s, e)
			lo, hi, e := flange.Band(load*unit.Force(g.num["bolts"]), g.ratio("scatter"))
			put(&f, &err, "stress-min", float64(lo)/float64(a), e)
			put(&f, &err, "stress-max", float64(hi)/float64(a), e)
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "The gasket carries " + o.say(o.Num["stress"], unit.PressureDim) + ", from " + o.say(Num{SI: o.Num["stress-min"].SI}, unit.PressureDim) + " to " + o.say(Num{SI: o.Num["stress-max"].SI}, unit.PressureDim)
		},
	}
}

func gasketTorque() Calculation {
	in := append([]Input{{Name: "wanted-stress", Title: "wanted gasket stress", Dim: unit.PressureDim}, boltIn, boltsIn}, gasketIn...)
	in = append(in, nutIn, Input{Name: "greatest-stress", Title: "greatest stress the gasket stands", Dim: unit.PressureDim, Optional: true}, pitchIn, proofIn)
	return Calculation{
		Name: "gasket-torque", Title: "Torque for a wanted gasket stress",
		About:  "An estimate for a joint without a maker's figure. The lower of the gasket's and the bolt's own limit caps it; the maker's torque always comes first.",
		Inputs: in,
		Outputs: []Output{
			{"area", "gasket area", unit.AreaDim, "(pi/4)(outer^2 - inner^2)", "geometry", confirmed},
			{"load-per-bolt", "load per bolt", unit.ForceDim, "stress area / bolts", "definition", confirmed},
			{"torque", "torque", unit.TorqueDim, "nut factor diameter stress area / bolts", shortTorque, confirmed},
			{"torque-limit", "upper limit of the torque", unit.TorqueDim, "lower of: torque for the greatest gasket stress; nut factor diameter 0.75 proof load", shortTorque + "; 0.75 proof for joints that are undone", confirmed},
		},
		Example: map[string]string{"wanted-stress": "10 MPa", "bolt-diameter": "8 mm", "bolts": "6", "gasket-outer": "120 mm", "gasket-inner": "100 mm", "greatest-stress": "40 MPa", "pitch": "1.25 mm", "proof-strength": "580 MPa"},
		Judges:  []Judge{{Output: "torque", AtMost: true, Against: []string{"torque-limit"}}},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			a, e := areaOf(g)
			if e != nil {
				return f, e
			}
			n, d, k := int(g.num["bolts"]), g.length("bolt-diameter"), g.ratio("nut-factor")
			f.num["area"] = float64(a)
			t, e := flange.TorqueForStress(unit.Pressure(g.num["wanted-stress"]), a, n, d, k)
			put(&f, &err, "torque", t, e)
			load, e := flange.PerBolt(unit.Force(g.num["wanted-stress"]*float64(a)), n)
			put(&f, &err, "load-per-bolt", load, e)
			var caps []unit.Torque
			if g.has("greatest-stress") {
				c, e := flange.TorqueForStress(unit.Pressure(g.num["greatest-stress"]), a, n, d, k)
				if e != nil {
					return f, e
				}
				caps = append(caps, c)
			}
			if g.has("pitch") && g.has("proof-strength") {
				p, e := proofOf(g)
				if e != nil {
					return f, e
				}
				c, e := flange.Torque(0.75*p, d, k)
				if e != nil {
					return f, e
				}
				caps = append(caps, c)
			}
			for i, c := range caps {
				if i == 0 || float64(c) < f.num["torque-limit"] {
					f.num["torque-limit"] = float64(c)
				}
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			lead := "About " + o.say(o.Num["torque"], unit.TorqueDim) + " a bolt"
			if l, ok := o.Num["torque-limit"]; ok {
				lead += ", never above " + o.say(Num{SI: l.SI}, unit.TorqueDim)
			}
			return lead
		},
	}
}
