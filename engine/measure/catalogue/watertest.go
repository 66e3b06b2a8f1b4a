package catalogue

import (
	"seepwright/engine/measure/leak"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// waterExpansion is that of water at 20 C (university water-structure data, confirmed).
const waterExpansion unit.Expansion = 2.07e-4

func waterTest() Calculation {
	in := []Input{{Name: "wanted", Title: "leak that the test has to show", Dim: unit.FlowDim}, {Name: "system-volume", Title: "volume of the system under test", Dim: unit.VolumeDim}, {Name: "pressure", Title: "test pressure (gauge)", Dim: unit.PressureDim},
		{Name: "gauge-step", Title: "smallest change that the gauge shows", Dim: unit.PressureDim}, {Name: "trapped-air", Title: "air left in the system", Dim: unit.VolumeDim, Optional: true, Default: "0 mL"}, {Name: "give", Title: "what hoses and rings swell by at the test pressure", Dim: unit.VolumeDim, Optional: true, Default: "0 mL"},
		{Name: "temperature-doubt", Title: "doubt of the temperature over the test", Dim: unit.KelvinDim, Optional: true, Default: "0.1 K"}, {Name: "time", Title: "time of the test as planned", Dim: unit.TimeDim, Optional: true}}
	const from = "ideal gas, stiffness and expansion of water at 20 C"
	return Calculation{
		Name: "water-test", Title: "How long a water test must last, and how much air it bears",
		About: "The least leak that a gauge on a water-filled system can tell from nothing, solved for the time and for the air that may be left. Trapped air never helps. " +
			"A tenth of a kelvin looks like a leak: let part and water come to one temperature first.",
		Inputs: in,
		Outputs: []Output{
			{"least-time", "least time of the test", unit.TimeDim, "sqrt(V(step)^2 + (Vw b dT)^2) / leak", from, confirmed},
			{"takes-in", "what the system takes in for every bar", unit.VolumeDim, "Va/P + Vw k + give/p, for 1 bar", from, confirmed},
			{"by-heat", "pressure that each kelvin makes", unit.PressureDim, "Vw b / (what it takes in)", from, confirmed},
			{"planned", "time as planned", unit.TimeDim, "as given", "as given", confirmed},
			{"least-leak", "least leak that the planned time shows", unit.FlowDim, "sqrt(V(step)^2 + (Vw b dT)^2) / time", from, confirmed},
			{"most-air", "most air that may be left for the planned time", unit.VolumeDim, "the same solved for the air", from, confirmed},
		},
		Judges:  []Judge{{Output: "planned", Against: []string{"least-time"}}},
		Blind:   "A steady needle does not pass a joint: dry tissue does. The gauge tells neither where it leaks nor whether a valve, a plug or the pump is what leaks.",
		Example: map[string]string{"wanted": "3 mL/h", "system-volume": "2 L", "pressure": "1.5 bar", "gauge-step": "0.02 bar", "trapped-air": "50 mL", "give": "10 mL", "time": "30 min"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			v, air := g.num["system-volume"], g.num["trapped-air"]
			if air > v {
				return f, refuse.Because("the trapped air", "is more than the whole system", "give the air that was left when it was filled")
			}
			w := leak.WaterTest{Water: unit.Volume(v - air), TrappedAir: unit.Volume(air), Give: unit.Volume(g.num["give"]), Compressibility: waterCompressibility}
			p, step, doubt, wanted := g.pressure("pressure"), g.pressure("gauge-step"), unit.Kelvin(g.num["temperature-doubt"]), unit.Flow(g.num["wanted"])
			t, e := w.TimeToSee(wanted, p, step, waterExpansion, doubt, leak.Atmosphere)
			put(&f, &err, "least-time", t, e)
			c, e := w.Compliance(p, leak.Atmosphere)
			put(&f, &err, "takes-in", unit.Volume(c*float64(unit.Bar)), e)
			k, e := w.ByHeat(p, waterExpansion, 1, leak.Atmosphere)
			put(&f, &err, "by-heat", k, e)
			if err != nil || !g.has("time") {
				return f, err
			}
			over := unit.Time(g.num["time"])
			f.num["planned"] = g.num["time"]
			q, e := w.LeastSeen(p, step, over, waterExpansion, doubt, leak.Atmosphere)
			put(&f, &err, "least-leak", q, e)
			if err != nil {
				return f, err
			}
			most, e := w.MostAir(wanted, over, p, step, waterExpansion, doubt, leak.Atmosphere)
			switch {
			case e != nil:
				f.note("%s.", capital(e.Error()))
			case float64(most) >= v:
				f.note("In that time the leak shows whatever air is left; vent it all the same, for air throws what lets go.")
			default:
				f.num["most-air"] = float64(most)
			}
			return f, nil
		},
		lead: func(_ given, o *Out) string {
			s := "The test has to last " + hours(o.Num["least-time"])
			if a, ok := o.Num["most-air"]; ok {
				s += "; at most " + o.say(a, unit.VolumeDim) + " of air may be left in it"
			}
			return s
		},
	}
}
