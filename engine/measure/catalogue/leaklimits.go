package catalogue

import (
	"math"

	"seepwright/engine/measure/leak"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func leakLimits() []Calculation {
	return []Calculation{leakClass(), timeToLimit(), leakTest(), capNeeded()}
}

func leakClass() Calculation {
	in := []Input{{Name: "flow", Title: "leak", Dim: unit.FlowDim}, {Name: "scheme", Title: "classes of", Words: []string{"iso", "army"}, Optional: true, Default: "iso"}}
	return Calculation{
		Name: "leak-class", Title: "Class of a leak",
		About:  "The classes go by what the eye sees; the rates beside them are estimates. Fuel, gas, brakes and drinking water have no harmless class.",
		Inputs: in,
		Outputs: []Output{
			{"class", "class", "", "look-up by rate", "ISO/TR 11340, Table 1; army manuals", estimate},
			{"seen", "what one sees", "", "look-up", "ISO/TR 11340, Table 1; army manuals", confirmed},
			{"action", "what to do", "", "look-up", "workshop habit", practice},
			{"drops-a-minute", "drops of 0.05 mL a minute", unit.CountDim, "leak 1 min / 0.05 mL", dropSource, confirmed},
			{"per-day", "loss in a day", unit.VolumeDim, "leak 24 h", arithmetic, confirmed},
		},
		Example: map[string]string{"flow": "12 mL/h"},
		formula: func(g given) (found, error) {
			f := newFound()
			q := g.num["flow"]
			if err := refuse.Positive("the leak", q); err != nil {
				return f, err
			}
			t, err := g.table("leak-classes")
			if err != nil {
				return f, err
			}
			r, err := t.Find("a class for this leak", table.Is("scheme", g.word["scheme"]), table.Between("from_mLh", "to_mLh", q))
			for _, c := range t.Where(table.Is("scheme", g.word["scheme"]), table.Between("from_mLh", "to_mLh", q)) {
				if c.Text("from_mLh") != "" { // the first classes have no rate at all
					r, err = c, nil
				}
			}
			if err != nil {
				return f, err
			}
			f.text["class"], f.text["seen"], f.text["action"] = r.Text("name"), r.Text("seen"), r.Text("action")
			f.num["drops-a-minute"], f.num["per-day"] = q*60/0.05e-6, q*86400
			f.cite("what one sees", r, "seen")
			return f, nil
		},
		lead: func(_ given, o *Out) string {
			return "Class " + o.Text["class"] + ": " + o.Text["seen"] + "; " + o.Text["action"]
		},
	}
}

func timeToLimit() Calculation {
	in := []Input{{Name: "flow", Title: "leak", Dim: unit.FlowDim}, {Name: "spread", Title: "how many times more or less the leak may be", Dim: unit.RatioDim, Optional: true, Default: "2"},
		{Name: "margin", Title: "volume that may still be lost, or that the bilge or sump still takes", Dim: unit.VolumeDim, Optional: true},
		{Name: "area", Title: "free surface of the vessel", Dim: unit.AreaDim, Optional: true}, {Name: "height", Title: "height to the limit", Dim: unit.LengthDim, Optional: true},
		{Name: "taken", Title: "what is pumped out or topped up meanwhile", Dim: unit.FlowDim, Optional: true, Default: "0 mL/h"}, {Name: "least-time", Title: "time it has to last", Dim: unit.TimeDim, Optional: true}}
	return Calculation{
		Name: "time-to-limit", Title: "Time until the header, sump or bilge is at its limit",
		About:  "How long a leak may run before the level is at its mark, with the spread of the estimate; look at half of the shortest time.",
		Inputs: in,
		Outputs: []Output{
			{"volume", "volume to the limit", unit.VolumeDim, "as given, or area height", "geometry", confirmed},
			{"time", "time to the limit", unit.TimeDim, "volume / (leak - taken)", arithmetic, confirmed},
			{"shortest", "shortest likely time", unit.TimeDim, "volume / (spread leak - taken)", arithmetic, practice},
			{"longest", "longest likely time", unit.TimeDim, "volume / (leak / spread - taken)", arithmetic, practice},
			{"look-every", "look at least every", unit.TimeDim, "half the shortest time", "workshop habit", practice},
		},
		Judges:  []Judge{{Output: "shortest", By: "least-time"}},
		Example: map[string]string{"flow": "30 mL/h", "margin": "1.5 L", "least-time": "10 h"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			v := g.num["margin"]
			switch both := g.has("area") && g.has("height"); {
			case g.has("margin") == both:
				return f, refuse.Because("the way to the limit", "must be given once", "give margin, or area and height")
			case both:
				v = g.num["area"] * g.num["height"]
			}
			if e := refuse.First(refuse.Positive("the volume to the limit", v), refuse.Within("the spread", g.num["spread"], 1, 100, "2 is usual for counted drops")); e != nil {
				return f, e
			}
			f.num["volume"] = v
			for out, times := range map[string]float64{"time": 1, "shortest": g.num["spread"], "longest": 1 / g.num["spread"]} {
				q, e := leak.Net(unit.Flow(g.num["flow"]*times), unit.Flow(g.num["taken"]))
				if e != nil {
					return f, e
				}
				t, e := leak.TimeTo(unit.Volume(v), q)
				if e != nil {
					return f, e
				}
				if math.IsInf(float64(t), 1) {
					f.note("With the %s leak the limit is never reached.", map[string]string{"time": "estimated", "shortest": "greatest likely", "longest": "least likely"}[out])
					continue
				}
				f.num[out] = float64(t)
			}
			if s, ok := f.num["shortest"]; ok {
				f.num["look-every"] = s / 2
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			if t, ok := o.Num["time"]; ok {
				return "It lasts about " + hours(t) + ", no less than " + hours(o.Num["shortest"]) + "; look every " + hours(o.Num["look-every"])
			}
			return "With this leak the limit is never reached"
		},
	}
}

// hours writes a time in the unit that suits its length.
func hours(n Num) string {
	name := "min"
	switch {
	case n.SI >= 3*86400:
		name = "day"
	case n.SI >= 2*3600:
		name = "h"
	}
	u, _ := unit.ByName(name)
	s := unit.Show(u.FromSI(n.SI), 2) + " " + name
	if name == "day" {
		s += "s"
	}
	return s
}

func leakTest() Calculation {
	in := []Input{{Name: "test", Title: "test", From: "leak-tests"}, {Name: "fall", Title: "fall of the pressure that was read", Dim: unit.PressureDim, Optional: true}, {Name: "fall-limit", Title: "greatest fall allowed", Dim: unit.PressureDim, Optional: true}}
	cols := []col{{"part", "part", "part", ""}, {"medium", "medium", "medium", ""}, {"pressure", "pressure_kPa", "test pressure (gauge)", unit.PressureDim}, {"hold", "hold_min", "hold for", unit.TimeDim}, {"greatest-fall", "fall_kPa", "greatest fall", unit.PressureDim}, {"accept", "accept", "counts as good", ""}}
	var list []Output
	for _, o := range outputs("leak-tests", "service and technical manuals, see the row", confirmed, cols) {
		if o.Name == "part" || o.Name == "medium" || o.Name == "accept" || o.Name == "pressure" || o.Name == "hold" || o.Name == "greatest-fall" {
			list = append(list, o)
		}
	}
	return Calculation{
		Name: "leak-test", Title: "Usual leak tests: pressure, time, what counts as good",
		About:   "Never above the part's own working pressure or the mark on its cap; every plug and plug-in pipe mechanically held; never air for a strength test.",
		Inputs:  in,
		Outputs: append(list, Output{"fall-read", "fall that was read", unit.PressureDim, "as given", "as given", confirmed}),
		Judges:  []Judge{{Output: "fall-read", AtMost: true, By: "fall-limit", Ours: outputLimit("greatest-fall", "the test as published", confirmed)}},
		Example: map[string]string{"test": "coolant-car", "fall": "0.08 bar"},
		formula: func(g given) (found, error) {
			f := newFound()
			r, err := g.row("leak-tests", "test")
			if err != nil {
				return f, err
			}
			f.take([]table.Row{r}, cols)
			if g.has("fall") {
				f.num["fall-read"] = g.num["fall"]
				return f, refuse.NotNegative("the fall", g.num["fall"])
			}
			return f, nil
		},
		lead: func(_ given, o *Out) string { return capital(o.Text["part"]) + ": " + o.Text["accept"] },
	}
}

func capNeeded() Calculation {
	in := []Input{{Name: "hottest", Title: "hottest that the liquid gets", Dim: unit.TemperatureDim}, {Name: "glycol", Title: "ethylene glycol by volume", Dim: unit.RatioDim, Optional: true, Default: "0 %"}, {Name: "air-pressure", Title: "pressure of the outside air", Dim: unit.PressureDim, Optional: true, Default: "101.325 kPa"},
		{Name: "cap", Title: "pressure of the cap that is fitted (gauge)", Dim: unit.PressureDim, Optional: true}}
	return Calculation{
		Name: "cap-needed", Title: "Cap pressure that keeps a circuit from boiling",
		About:  "The boiling point solved for the cap. Boiling throws out liquid that is then taken for a leak.",
		Inputs: in,
		Outputs: []Output{
			{"cap-least", "least cap pressure (gauge)", unit.PressureDim, "saturation pressure times the water's share of molecules, less the outside air", "IAPWS saturation equation; ideal mixture for glycol, good to 1.5 K", estimate},
			{"cap-fitted", "pressure of the cap that is fitted", unit.PressureDim, "as given", "as given", confirmed},
		},
		Judges:  []Judge{{Output: "cap-fitted", Against: []string{"cap-least"}}},
		Example: map[string]string{"hottest": "108 C", "glycol": "50 %", "cap": "0.9 bar"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			p, e := leak.CapFor(unit.Celsius(g.num["hottest"]), g.pressure("air-pressure"), g.ratio("glycol"))
			put(&f, &err, "cap-least", p, e)
			if g.has("cap") {
				f.num["cap-fitted"] = g.num["cap"]
				if e := refuse.NotNegative("the cap", g.num["cap"]); e != nil {
					return f, e
				}
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			if o.Num["cap-least"].SI <= 0 {
				return "It does not boil open"
			}
			return "It needs a cap of " + o.say(o.Num["cap-least"], unit.PressureDim) + " not to boil"
		},
	}
}
