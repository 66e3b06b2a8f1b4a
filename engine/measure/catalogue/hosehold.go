package catalogue

import (
	"math"

	"seepwright/engine/measure/hose"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func hoseHold() Calculation {
	in := []Input{{Name: "hose-id", Title: "bore of the hose", Dim: unit.LengthDim, On: "bore"}, {Name: "wall", Title: "wall of the free hose", Dim: unit.LengthDim, On: "outside"}, {Name: "spigot-diameter", Title: "outside of the spigot", Dim: unit.LengthDim, On: "outside"},
		{Name: "band-width", Title: "width of one band", Dim: unit.LengthDim, On: "outside"}, {Name: "bands", Title: "bands that sit wholly on the spigot", Dim: unit.CountDim, Optional: true, Default: "1"}, {Name: "pressure", Title: "greatest pressure in the hose", Dim: unit.PressureDim},
		{Name: "safety", Title: "how many times that pressure it shall hold", Dim: unit.RatioDim, Optional: true, Default: "2"}, {Name: "friction", Title: "friction of the rubber on the spigot", Dim: unit.RatioDim, Optional: true, Default: "0.3"},
		{Name: "screw", Title: "outside of the clamp's screw", Dim: unit.LengthDim, Optional: true, On: "outside"}, {Name: "nut-factor", Title: "nut factor of the screw (0.2 greased, 0.4 dry and rusty)", Dim: unit.RatioDim, Optional: true, Default: "0.3"},
		{Name: "torque", Title: "torque on the clamp", Dim: unit.TorqueDim, Optional: true}}
	const screws = "torque law of screws (machine-design texts), nut factor of a worm screw badly known"
	return Calculation{
		Name: "hose-hold", Title: "Clamp that holds a hose against its pressure",
		About: "Pull-off force of the pressure, and the band pressure, tension and torque that balance it by friction alone, as where the spigot has " +
			"no bead or the hose has slid past it. The maker's torque is the limit: where more than that is needed, make a bead or a second band.",
		Inputs: in,
		Outputs: []Output{
			{"around", "outside of the hose on its spigot", unit.LengthDim, "sqrt(spigot^2 + (bore + 2 wall)^2 - bore^2)", "rubber keeps its volume", confirmed},
			{"pull-off", "force that pushes the hose off", unit.ForceDim, "pressure (pi/4) spigot^2", "force balance", confirmed},
			{"band-pressure-needed", "band pressure needed", unit.PressureDim, "safety pressure spigot / (4 bands friction width)", "grip = pull-off, force balance", confirmed},
			{"tension-needed", "tension needed in each band", unit.ForceDim, "band pressure width around / 2", "hoop balance", confirmed},
			{"torque-needed", "torque needed on each clamp", unit.TorqueDim, "nut factor screw tension", screws, estimate},
			{"band-pressure", "band pressure that the torque gives", unit.PressureDim, "2 torque / (nut factor screw width around)", screws, estimate},
			{"holds-to", "pressure at which it slides off", unit.PressureDim, "4 bands friction band pressure width / spigot", screws, estimate},
			{"wanted", "pressure that it shall hold", unit.PressureDim, "safety pressure", "peaks of pressure, twice common practice", practice},
		},
		Judges: []Judge{{Output: "holds-to", Against: []string{"wanted"}}},
		Blind: "The tension is known to a factor of two at best: friction in the screw and along the band, and the rubber sets. Friction and band pressure are taken as even all round, an upper bound. " +
			"A bead holds far more; a wet or greased spigot far less.",
		Example: map[string]string{"hose-id": "38 mm", "wall": "5 mm", "spigot-diameter": "39.2 mm", "band-width": "12 mm", "pressure": "1.1 bar", "screw": "7 mm", "torque": "4.5 N m"},
		formula: hoseHoldFormula,
		lead: func(_ given, o *Out) string {
			s := "The pressure pulls with " + o.say(o.Num["pull-off"], unit.ForceDim) + "; each band needs a tension of " + o.say(o.Num["tension-needed"], unit.ForceDim)
			if t, ok := o.Num["torque-needed"]; ok {
				s += ", about " + o.say(t, unit.TorqueDim) + " on its screw"
			}
			return s
		},
	}
}

func hoseHoldFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	n := g.num["bands"]
	if n != math.Trunc(n) {
		return f, refuse.Because("the number of bands", "is not a whole number", "count the bands that sit wholly on the spigot")
	}
	around, e := hose.OutsideOn(g.length("hose-id"), g.length("wall"), g.length("spigot-diameter"))
	put(&f, &err, "around", around, e)
	pull, e := hose.BlowOff(g.length("spigot-diameter"), g.pressure("pressure"))
	put(&f, &err, "pull-off", pull, e)
	h := hose.Hold{Spigot: g.length("spigot-diameter"), Around: around, Width: g.length("band-width"), Bands: int(n), Friction: g.ratio("friction")}
	need, e := h.BandPressureFor(g.pressure("pressure"), g.num["safety"])
	put(&f, &err, "band-pressure-needed", need, e)
	tension, e := h.TensionFor(need)
	put(&f, &err, "tension-needed", tension, e)
	f.num["wanted"] = g.num["safety"] * g.num["pressure"]
	if err != nil {
		return f, err
	}
	if !g.has("screw") {
		if g.has("torque") {
			return f, refuse.Because("the outside of the clamp's screw", "is missing", "give screw, without it a torque says nothing about the tension")
		}
		return f, nil
	}
	torque, e := hose.TorqueForTension(tension, g.length("screw"), g.ratio("nut-factor"))
	put(&f, &err, "torque-needed", torque, e)
	if g.has("torque") {
		t, e := hose.TensionFromTorque(unit.Torque(g.num["torque"]), g.length("screw"), g.ratio("nut-factor"))
		if e != nil {
			return f, e
		}
		p, e := hose.BandPressure(t, h.Width, around)
		put(&f, &err, "band-pressure", p, e)
		held, e := h.PressureHeld(p)
		put(&f, &err, "holds-to", held, e)
		f.note("The pressure at which it slides off is an upper bound for new rubber, dry and without creep: never a reason to go above the working pressure of the parts.")
	}
	return f, err
}

func hoseCreep() Calculation {
	in := []Input{{Name: "wall", Title: "wall of the hose on its spigot", Dim: unit.LengthDim, On: "outside"}, {Name: "squeeze", Title: "how much thinner the wall is under the band when new", Dim: unit.LengthDim, On: "outside"}, {Name: "set", Title: "share of the squeeze that stays (compression set)", Dim: unit.RatioDim},
		{Name: "fall", Title: "fall of temperature from working heat to the coldest", Dim: unit.KelvinDim}, {Name: "follow", Title: "how far the clamp follows, in radius (0 for a plain screw clamp)", Dim: unit.LengthDim, Optional: true, Default: "0 mm"},
		{Name: "expansion", Title: "expansion of the rubber", Dim: unit.ExpansionDim, Optional: true, Default: "0.00016 1/K"}, {Name: "least-left", Title: "least squeeze that must be left", Dim: unit.LengthDim, Optional: true}}
	return Calculation{
		Name: "hose-creep", Title: "Squeeze left under a clamp in the cold",
		About: "The cold leak: rubber sets in the heat and shrinks in the cold, and a plain screw clamp does not follow. One re-nip, cold, after the first full heat " +
			"cycle, to the figure for a used hose; where that is not enough a clamp that follows.",
		Inputs: in,
		Outputs: []Output{
			{"left", "squeeze left in the cold", unit.LengthDim, "squeeze (1 - set) + follow - wall expansion fall", "definition of compression set and expansion; rubber as a spring without memory", estimate},
			{"shrinks", "how much the wall shrinks", unit.LengthDim, "wall expansion fall", "definition; expansion of rubber from memory", confirmed},
			{"greatest-fall", "fall of temperature at which nothing is left", unit.KelvinDim, "(squeeze (1 - set) + follow) / (wall expansion)", "the same solved for the fall", estimate},
			{"follow-needed", "how far the clamp must follow to keep half of the new squeeze", unit.LengthDim, "squeeze / 2 - left without following, 0 at least", "the same solved for the follow-up; half of the squeeze common practice", estimate},
		},
		Judges:  []Judge{{Output: "left", By: "least-left", Ours: fixed(0, "below nought there is a gap under the band", confirmed)}},
		Blind:   "Friction, ageing and a hose that stays soft under the band edge: a squeeze worked out to be there can still weep along a pitted spigot.",
		Example: map[string]string{"wall": "5 mm", "squeeze": "0.5 mm", "set": "60 %", "fall": "90 K"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			s := hose.Squeezed{Wall: g.length("wall"), Pressed: g.length("squeeze"), Set: g.ratio("set"), Expansion: unit.Expansion(g.num["expansion"]), Follow: g.length("follow")}
			fall := unit.Kelvin(g.num["fall"])
			left, e := s.Left(fall)
			put(&f, &err, "left", left, e)
			x, e := hose.WallShrink(s.Wall, s.Expansion, fall)
			put(&f, &err, "shrinks", x, e)
			t, e := s.ColdestBy()
			put(&f, &err, "greatest-fall", t, e)
			need, e := s.FollowFor(fall, s.Pressed/2)
			put(&f, &err, "follow-needed", need, e)
			return f, err
		},
		lead: func(_ given, o *Out) string {
			if l := o.Num["left"]; l.SI < 0 {
				return "In the cold a gap of " + o.say(Num{-l.SI, l.U}, unit.LengthDim) + " opens under the band"
			}
			return "In the cold " + o.say(o.Num["left"], unit.LengthDim) + " of squeeze is left"
		},
	}
}
