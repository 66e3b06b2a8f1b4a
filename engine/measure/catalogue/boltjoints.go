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
	pitch := pitchIn
	pitch.Optional = false
	in := []Input{boltIn, pitch, {Name: "grip-length", Title: "length of bolt that stretches (grip)", Dim: unit.LengthDim},
		{Name: "settling", Title: "how much the joint settles", Dim: unit.LengthDim, Optional: true, Default: "0.01 mm"},
		{Name: "preload", Title: "bolt load at tightening", Dim: unit.ForceDim, Optional: true}, modulusIn,
		{Name: "joint-stiffness", Title: "stiffness of the clamped parts (left out: rigid)", Dim: unit.StiffnessDim, Optional: true}}
	return Calculation{
		Name: "bolt-settling", Title: "Bolt load lost when a joint settles",
		About:  "A short bolt is a stiff spring: a hundredth of a millimetre of paint, gasket creep or bedding takes much of its load. With rigid parts the figure is the upper bound.",
		Inputs: in,
		Outputs: []Output{
			{"bolt-stiffness", "stiffness of the bolt", unit.StiffnessDim, "modulus stress area / grip", "linear elasticity; stress area ISO 898-1", confirmed},
			{"loss", "load lost", unit.ForceDim, "settling / (1/k bolt + 1/k joint)", "linear elasticity, VDI 2230 embedding", confirmed},
			{"loss-share", "share of the load lost", unit.RatioDim, "loss / preload", "linear elasticity, VDI 2230 embedding", confirmed},
			{"preload-left", "load left", unit.ForceDim, "preload - loss; 0 when all is gone", "linear elasticity, VDI 2230 embedding", confirmed},
		},
		Example: map[string]string{"bolt-diameter": "8 mm", "pitch": "1.25 mm", "grip-length": "20 mm", "settling": "0.02 mm", "preload": "15.6 kN"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			a, e := flange.StressArea(g.length("bolt-diameter"), g.length("pitch"))
			if e != nil {
				return f, e
			}
			k, e := flange.Stiffness(a, g.length("grip-length"), unit.Pressure(g.num["modulus"]))
			put(&f, &err, "bolt-stiffness", k, e)
			if e != nil {
				return f, e
			}
			loss, e := flange.LossBySettling(g.length("settling"), k, unit.Stiffness(g.num["joint-stiffness"]))
			put(&f, &err, "loss", loss, e)
			if g.has("preload") {
				p := g.num["preload"]
				if e := refuse.Positive("the preload", p); e != nil {
					return f, e
				}
				f.num["loss-share"], f.num["preload-left"] = float64(loss)/p, max(0, p-float64(loss))
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			lead := "The bolt loses " + say(o.Num["loss"], unit.ForceDim)
			if s, ok := o.Num["loss-share"]; ok {
				lead += ", " + say(s, unit.RatioDim) + " of its load"
				if s.SI >= 1 {
					lead += ": it is slack"
				}
			}
			return lead
		},
	}
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
			return "The gasket carries " + say(o.Num["stress"], unit.PressureDim) + ", from " + say(Num{SI: o.Num["stress-min"].SI}, unit.PressureDim) + " to " + say(Num{SI: o.Num["stress-max"].SI}, unit.PressureDim)
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
			lead := "About " + say(o.Num["torque"], unit.TorqueDim) + " a bolt"
			if l, ok := o.Num["torque-limit"]; ok {
				lead += ", never above " + say(Num{SI: l.SI}, unit.TorqueDim)
			}
			return lead
		},
	}
}
