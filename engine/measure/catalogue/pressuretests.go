package catalogue

import (
	"seepwright/engine/measure/leak"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// waterCompressibility and waterBulk are those of water at 20 C (university water-structure data,
// confirmed); the second is the rounded figure of stored-energy tables.
const (
	waterCompressibility = 4.589e-10
	waterBulk            = 2.18e9 * unit.Pressure(1)
)

func tests() []Calculation {
	return []Calculation{pressureDrop(), airDecay(), airEnergy(), boilingPoint()}
}

func pressureDrop() Calculation {
	in := []Input{{Name: "system-volume", Title: "volume of the system under test", Dim: unit.VolumeDim}, {Name: "pressure", Title: "test pressure (gauge)", Dim: unit.PressureDim}, {Name: "time", Title: "time of the test", Dim: unit.TimeDim},
		{Name: "gauge-step", Title: "smallest change that the gauge shows", Dim: unit.PressureDim}, {Name: "trapped-air", Title: "air left in a water-filled system", Dim: unit.VolumeDim, Optional: true, Default: "0 mL"},
		{Name: "give", Title: "what hoses and rings swell by at the test pressure", Dim: unit.VolumeDim, Optional: true, Default: "0 mL"}, {Name: "temperature-doubt", Title: "doubt of the temperature over the test", Dim: unit.KelvinDim, Optional: true, Default: "0.5 K"}}
	return Calculation{
		Name: "pressure-drop", Title: "What a pressure gauge can see",
		About:  "The least leak that moves the needle by one step: filled with water (trapped air and soft hoses hide leaks) and filled with air (a change of temperature looks like one).",
		Inputs: in,
		Outputs: []Output{
			{"water-lost", "water lost for one step of the gauge", unit.VolumeDim, "Va (P/(P - dp) - 1) + Vw k dp + give dp/p", "ideal gas and bulk modulus of water", confirmed},
			{"least-water-leak", "least leak seen, filled with water", unit.FlowDim, "water lost / time", "ideal gas and bulk modulus of water", confirmed},
			{"least-water-drops", "the same in drops of 0.05 mL a minute", unit.CountDim, "least leak 1 min / 0.05 mL", dropSource, confirmed},
			{"least-air-leak", "least leak seen, filled with air (free air)", unit.FlowDim, "V sqrt(step^2 + (P dT/T)^2) / time, at one atmosphere", "ideal gas", confirmed},
			{"from-temperature", "what the doubt of temperature looks like (free air)", unit.FlowDim, "V P dT/T / time, at one atmosphere, T 20 C", "ideal gas", confirmed},
		},
		Example: map[string]string{"system-volume": "10 L", "pressure": "1 bar", "time": "10 min", "gauge-step": "0.02 bar", "trapped-air": "0.1 L", "give": "20 mL"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			v, air, t := g.num["system-volume"], g.num["trapped-air"], g.num["time"]
			if air > v {
				return f, refuse.Because("the trapped air", "is more than the whole system", "give the air that was left when it was filled")
			}
			if e := refuse.Positive("the time", t); e != nil {
				return f, e
			}
			w := leak.WaterTest{Water: unit.Volume(v - air), TrappedAir: unit.Volume(air), Give: unit.Volume(g.num["give"]), Compressibility: waterCompressibility}
			lost, e := w.LostFor(unit.Pressure(g.num["pressure"]), unit.Pressure(g.num["gauge-step"]), leak.Atmosphere)
			put(&f, &err, "water-lost", lost, e)
			f.num["least-water-leak"], f.num["least-water-drops"] = float64(lost)/t, float64(lost)/t*60/0.05e-6
			s, e := leak.LeastVisible(unit.Volume(v), unit.Pressure(g.num["gauge-step"]), unit.Time(t), unit.Pressure(g.num["pressure"]), unit.Kelvin(g.num["temperature-doubt"]), 20, leak.Atmosphere)
			put(&f, &err, "least-air-leak", s.Together.FreeAir(), e)
			put(&f, &err, "from-temperature", s.ByHeat.FreeAir(), e)
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "A step of the gauge stands for " + o.say(o.Num["water-lost"], unit.VolumeDim) + " of water: leaks below " + o.say(o.Num["least-water-leak"], unit.FlowDim) + " do not show in that time"
		},
	}
}

func airDecay() Calculation {
	temp := func(name, title string) Input {
		return Input{Name: name, Title: title, Dim: unit.TemperatureDim, Optional: true, Default: "20 C"}
	}
	in := []Input{{Name: "system-volume", Title: "volume of the system under test", Dim: unit.VolumeDim}, {Name: "pressure-start", Title: "pressure at the start (gauge)", Dim: unit.PressureDim}, {Name: "pressure-end", Title: "pressure at the end (gauge)", Dim: unit.PressureDim},
		{Name: "time", Title: "time of the test", Dim: unit.TimeDim}, temp("temperature-start", "temperature at the start"), temp("temperature-end", "temperature at the end")}
	return Calculation{
		Name: "air-decay", Title: "Air leak from a falling pressure",
		About:  "Only for a low-pressure leak test within the part's own working pressure; never air for a strength test. Corrects for a change of temperature.",
		Inputs: in,
		Outputs: []Output{
			{"corrected-drop", "fall of pressure that is leak", unit.PressureDim, "P1 - P2 T1/T2, absolute", "ideal gas; form of 40 CFR 1065.644", confirmed},
			{"air-leak", "leak as free air at one atmosphere", unit.FlowDim, "V (P1 - P2 T1/T2) / (time 101 325 Pa)", "ideal gas; form of 40 CFR 1065.644", confirmed},
		},
		Example: map[string]string{"system-volume": "5 L", "pressure-start": "1.00 bar", "pressure-end": "0.97 bar", "time": "10 min", "temperature-start": "20 C", "temperature-end": "18 C"},
		formula: func(g given) (found, error) {
			d, e := leak.PressureDecay(unit.Volume(g.num["system-volume"]), unit.Pressure(g.num["pressure-start"]), unit.Pressure(g.num["pressure-end"]), unit.Time(g.num["time"]), unit.Celsius(g.num["temperature-start"]), unit.Celsius(g.num["temperature-end"]), leak.Atmosphere)
			f := newFound()
			f.num["corrected-drop"], f.num["air-leak"] = float64(d.Leaked), float64(d.AirOfOne)
			return f, e
		},
		lead: func(_ given, o *Out) string {
			l := o.Num["air-leak"]
			lead := "The leak passes " + o.say(l, unit.FlowDim) + " of free air"
			if l.SI <= l.U {
				lead = "No leak is proved: the fall is within what gauge and thermometer can be off"
			}
			return lead
		},
	}
}

func airEnergy() Calculation {
	in := []Input{{Name: "volume", Title: "volume under pressure", Dim: unit.VolumeDim}, {Name: "pressure", Title: "pressure (gauge)", Dim: unit.PressureDim}, {Name: "limit", Title: "greatest energy allowed", Dim: unit.EnergyDim, Optional: true}}
	return Calculation{
		Name: "air-energy", Title: "Energy stored in an air test",
		About:  "Why a strength test is done with water: air stores thousands of times more and throws what lets go. Never air for a strength test; hold every plug mechanically.",
		Inputs: in,
		Outputs: []Output{
			{"air-energy", "energy of the air", unit.EnergyDim, "2.5 P V [1 - (Pa/P)^(1/3.5)], P absolute", "ASME PCC-2 article 501 form", confirmed},
			{"water-energy", "energy if filled with water", unit.EnergyDim, "V p^2 / (2 K), K 2.18 GPa", "linear elasticity", confirmed},
			{"times", "air over water", unit.RatioDim, "air energy / water energy", arithmetic, confirmed},
			{"lift", "height to which it would throw one kilogram", unit.LengthDim, "air energy / (1 kg g)", "energy balance", confirmed},
		},
		Judges:  []Judge{atMost("air-energy", "limit")},
		Example: map[string]string{"volume": "5 L", "pressure": "1 bar"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			v, p := unit.Volume(g.num["volume"]), unit.Pressure(g.num["pressure"])
			if e := refuse.Positive("the pressure", float64(p)); e != nil {
				return f, e
			}
			a, e := leak.AirEnergy(v, p, leak.Atmosphere, 1.4)
			put(&f, &err, "air-energy", a, e)
			w, e := leak.LiquidEnergy(v, p, waterBulk)
			put(&f, &err, "water-energy", w, e)
			f.num["times"], f.num["lift"] = float64(a/w), float64(leak.ThrowHeight(a))
			return f, err
		},
		lead: func(g given, o *Out) string {
			height, _ := unit.ByName("m")
			return "The air stores " + o.say(o.Num["air-energy"], unit.EnergyDim) + ", enough to throw one kilogram " + unit.Show(height.FromSI(o.Num["lift"].SI), 2) + " m high"
		},
	}
}

func boilingPoint() Calculation {
	in := []Input{{Name: "cap-pressure", Title: "pressure of the cap (gauge)", Dim: unit.PressureDim}, {Name: "air-pressure", Title: "pressure of the outside air", Dim: unit.PressureDim, Optional: true, Default: "101.325 kPa"}, {Name: "glycol", Title: "ethylene glycol by volume", Dim: unit.RatioDim, Optional: true, Default: "0 %"}}
	return Calculation{
		Name: "boiling-point", Title: "Boiling point under a pressure cap",
		About:  "Hot liquid under a cap is above its open boiling point: it flashes into steam the moment the pressure goes. Never open it hot.",
		Inputs: in,
		Outputs: []Output{
			{"boils-at", "boiling point", unit.TemperatureDim, "saturation of water at (cap + air) / water share of molecules", "IAPWS saturation equation; ideal mixture for glycol, good to 1.5 K", estimate},
		},
		Example: map[string]string{"cap-pressure": "1 bar", "glycol": "50 %"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			t, e := leak.GlycolBoils(unit.Pressure(g.num["cap-pressure"]), unit.Pressure(g.num["air-pressure"]), g.ratio("glycol"))
			put(&f, &err, "boils-at", t, e)
			return f, err
		},
		lead: func(_ given, o *Out) string { return "It boils at " + o.say(o.Num["boils-at"], unit.TemperatureDim) },
	}
}
