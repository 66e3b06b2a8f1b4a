package catalogue

import (
	"math"

	"seepwright/engine/measure/leak"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func leakPaths() []Calculation {
	return []Calculation{airToLiquid(), testTime(), waterTest(), lockedLiquid()}
}

// fluidWords are the liquids of the table of fluids.
var fluidWords = []string{"water", "glycol-30", "glycol-50", "propylene-50", "oil-vg22", "oil-vg32", "oil-vg46", "oil-vg68", "oil-vg100"}

// fluidAt reads a property of a fluid at a temperature, between the rows of its table.
func fluidAt(g given, fluid, head string, at float64) (float64, error) {
	t, err := g.table("fluid-properties")
	if err != nil {
		return 0, err
	}
	return t.Linear("at_C", head, at, table.Is("name", fluid))
}

// viscosityAt reads a viscosity between the rows of the table by the exponential law, for a straight line reads far too
// high for oil.
func viscosityAt(g given, fluid string, at float64) (leak.Viscosity, error) {
	t, err := g.table("fluid-properties")
	if err != nil {
		return 0, err
	}
	if _, err := t.Linear("at_C", "viscosity_mPas", at, table.Is("name", fluid)); err != nil {
		return 0, err // outside the table, in its words
	}
	var below, above table.Row
	lo, hi := math.Inf(-1), math.Inf(1)
	for _, r := range t.Where(table.Is("name", fluid)) {
		c, ok := r.SI("at_C")
		if _, has := r.SI("viscosity_mPas"); !ok || !has {
			continue
		}
		if c <= at && c > lo {
			lo, below = c, r
		}
		if c >= at && c < hi {
			hi, above = c, r
		}
	}
	m1, _ := below.SI("viscosity_mPas")
	if lo == hi {
		return leak.Viscosity(m1), nil
	}
	m2, _ := above.SI("viscosity_mPas")
	return leak.ViscosityBetween(unit.Celsius(lo), leak.Viscosity(m1), unit.Celsius(hi), leak.Viscosity(m2), unit.Celsius(at))
}

func airToLiquid() Calculation {
	in := []Input{{Name: "air-leak", Title: "air leak found in the test (free air)", Dim: unit.FlowDim}, {Name: "test-pressure", Title: "pressure of the air test (gauge)", Dim: unit.PressureDim},
		{Name: "fluid", Title: "liquid in service", Words: fluidWords}, {Name: "pressure", Title: "pressure in service (gauge)", Dim: unit.PressureDim}, {Name: "temperature", Title: "temperature in service", Dim: unit.TemperatureDim, Optional: true, Default: "20 C"},
		{Name: "limit", Title: "greatest leak of liquid allowed", Dim: unit.FlowDim, Optional: true}}
	return Calculation{
		Name: "air-to-liquid", Title: "Liquid leak to expect from an air leak",
		About:  "The same path passes far less liquid than air, and hot thin liquid more than cold. Laminar flow with the expansion of the gas counted; the plain ratio of viscosities reads high.",
		Inputs: in,
		Outputs: []Output{
			{"liquid-leak", "leak of liquid to expect", unit.FlowDim, "q 2 mg p / (ml (P1^2 - P2^2)), q in Pa m3/s", "laminar capillary, gas over liquid", confirmed},
			{"air-over-liquid", "how many times the liquid the air was, by volume", unit.CountDim, "free air / liquid", "laminar capillary, gas over liquid", confirmed},
			{"viscosity", "viscosity of the liquid", unit.ViscosityDim, "look-up, between rows by the exponential law", "IAPWS 2008 and handbook tables (fluid-properties)", confirmed},
			{"drops-a-minute", "drops of 0.05 mL a minute", unit.CountDim, "leak 1 min / 0.05 mL", dropSource, confirmed},
		},
		Judges:  []Judge{atMost("liquid-leak", "limit")},
		Blind:   "A hole below about a micrometre is held shut by surface tension, and dirt shuts it too: then nothing drips where air passed. A jet is not laminar: above a litre of air a minute take it as an upper figure.",
		Example: map[string]string{"air-leak": "4 mL/min", "test-pressure": "1 bar", "fluid": "water", "pressure": "1 bar", "temperature": "80 C", "limit": "10 mL/h"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			liquid, e := viscosityAt(g, g.word["fluid"], g.num["temperature"])
			if e != nil {
				return f, e
			}
			air, e := viscosityAt(g, "air", 20)
			if e != nil {
				return f, e
			}
			q, e := leak.LiquidFromGas(leak.FromFreeAir(unit.Flow(g.num["air-leak"])), g.pressure("test-pressure"), leak.Atmosphere, g.pressure("pressure"), air, liquid)
			put(&f, &err, "liquid-leak", q, e)
			f.num["viscosity"] = float64(liquid)
			f.num["drops-a-minute"] = float64(q) * 60 / 0.05e-6
			if q > 0 {
				f.num["air-over-liquid"] = g.num["air-leak"] / float64(q)
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "Expect about " + o.say(o.Num["liquid-leak"], unit.FlowDim) + " of liquid"
		},
	}
}

func testTime() Calculation {
	in := []Input{{Name: "wanted", Title: "leak that the test has to show (free air)", Dim: unit.FlowDim}, {Name: "system-volume", Title: "volume of the system under test", Dim: unit.VolumeDim}, {Name: "pressure", Title: "test pressure (gauge)", Dim: unit.PressureDim},
		{Name: "gauge-step", Title: "smallest change that the gauge shows", Dim: unit.PressureDim}, {Name: "temperature-doubt", Title: "doubt of the temperature over the test", Dim: unit.KelvinDim, Optional: true, Default: "0.5 K"},
		{Name: "time", Title: "time of the test as planned", Dim: unit.TimeDim, Optional: true}}
	return Calculation{
		Name: "test-time", Title: "How long an air test must last",
		About:  "The least leak that a gauge can see, solved for the time. A doubt of one kelvin at 1 bar looks like 0.7 kPa, however good the gauge.",
		Inputs: in,
		Outputs: []Output{
			{"least-time", "least time of the test", unit.TimeDim, "V sqrt(step^2 + (P dT/T)^2) / leak", "ideal gas", confirmed},
			{"planned", "time as planned", unit.TimeDim, "as given", "as given", confirmed},
		},
		Judges:  []Judge{{Output: "planned", Against: []string{"least-time"}}},
		Example: map[string]string{"wanted": "5 mL/min", "system-volume": "5 L", "pressure": "1 bar", "gauge-step": "0.01 bar", "time": "30 min"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			t, e := leak.AirTimeToSee(leak.FromFreeAir(unit.Flow(g.num["wanted"])), unit.Volume(g.num["system-volume"]), g.pressure("gauge-step"), g.pressure("pressure"), unit.Kelvin(g.num["temperature-doubt"]), 20, leak.Atmosphere)
			put(&f, &err, "least-time", t, e)
			if g.has("time") {
				f.num["planned"] = g.num["time"]
				if e := refuse.Positive("the time", g.num["time"]); e != nil {
					return f, e
				}
			}
			return f, err
		},
		lead: func(_ given, o *Out) string { return "The test has to last " + hours(o.Num["least-time"]) },
	}
}

func lockedLiquid() Calculation {
	in := []Input{{Name: "fluid", Title: "liquid locked in", Words: []string{"water"}}, {Name: "temperature", Title: "temperature when it is locked in", Dim: unit.TemperatureDim}, {Name: "rise", Title: "how much it warms", Dim: unit.KelvinDim},
		{Name: "allowed", Title: "greatest pressure allowed", Dim: unit.PressureDim, Optional: true}}
	return Calculation{
		Name: "locked-liquid", Title: "Pressure of liquid locked in and warmed",
		About:  "A vessel full of liquid, without air, bursts from a few degrees of sun: never shut both valves of a full part. A rigid vessel; hoses and thin tubes give way a little and stay below it.",
		Inputs: in,
		Outputs: []Output{
			{"pressure-rise", "rise of pressure, rigid vessel", unit.PressureDim, "expansion bulk modulus rise, both in the middle of the rise", "definition; university water-structure data", confirmed},
			{"per-kelvin", "rise for each kelvin", unit.PressureDim, "the same over the rise", "definition", confirmed},
		},
		Judges:  []Judge{atMost("pressure-rise", "allowed")},
		Example: map[string]string{"fluid": "water", "temperature": "20 C", "rise": "5 K", "allowed": "10 bar"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			if e := refuse.Positive("the rise", g.num["rise"]); e != nil {
				return f, e
			}
			mid := g.num["temperature"] + g.num["rise"]/2
			a, e := fluidAt(g, g.word["fluid"], "expansion_per_K", mid)
			if e != nil {
				return f, e
			}
			bulk, e := fluidAt(g, g.word["fluid"], "bulk_GPa", mid)
			if e != nil {
				return f, e
			}
			p, e := leak.LockedRigid(unit.Expansion(a), 1/bulk, unit.Kelvin(g.num["rise"]))
			put(&f, &err, "pressure-rise", p, e)
			f.num["per-kelvin"] = float64(p) / g.num["rise"]
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "The pressure rises by " + o.say(o.Num["pressure-rise"], unit.PressureDim)
		},
	}
}
