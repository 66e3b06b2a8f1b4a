package catalogue

import (
	"math"

	"seepwright/engine/measure/leak"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

var dropIn = Input{Name: "drop-size", Title: "size of a drop (water 0.05 mL, oil 0.033 mL)", Dim: unit.VolumeDim, Optional: true, Default: "0.05 mL"}

const (
	arithmetic = "arithmetic"
	dropSource = "reference pages on drop sizes: 0.05 mL, 0.03 to 0.08 from a small edge"
)

func drips() []Calculation { return []Calculation{dripRate(), leakRate(), levelFall()} }

func dripRate() Calculation {
	in := []Input{{Name: "drops", Title: "drops counted", Dim: unit.CountDim}, {Name: "time", Title: "time of counting", Dim: unit.TimeDim, Optional: true, Default: "1 min"}, dropIn,
		{Name: "drop-low", Title: "smallest likely drop", Dim: unit.VolumeDim, Optional: true, Default: "0.03 mL"}, {Name: "drop-high", Title: "largest likely drop", Dim: unit.VolumeDim, Optional: true, Default: "0.08 mL"}}
	return Calculation{
		Name: "drips", Title: "Leak rate from counted drops",
		About:  "Drops differ: the spread of their size is larger than any error of counting.",
		Inputs: in,
		Outputs: []Output{
			{"flow", "leak", unit.FlowDim, "drops drop size / time", dropSource, confirmed},
			{"flow-low", "leak with small drops", unit.FlowDim, "drops smallest drop / time", dropSource, practice},
			{"flow-high", "leak with large drops", unit.FlowDim, "drops largest drop / time", dropSource, practice},
			{"per-day", "loss in a day", unit.VolumeDim, "leak 24 h", arithmetic, confirmed},
			{"per-year", "loss in a year", unit.VolumeDim, "leak 365 days", arithmetic, confirmed},
		},
		Example: map[string]string{"drops": "20", "time": "1 min"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			for _, k := range [][2]string{{"flow", "drop-size"}, {"flow-low", "drop-low"}, {"flow-high", "drop-high"}} {
				q, e := leak.Drip(g.num["drops"], unit.Time(g.num["time"]), unit.Volume(g.num[k[1]]))
				put(&f, &err, k[0], q, e)
			}
			f.num["per-day"] = float64(leak.In(unit.Flow(f.num["flow"]), unit.Day))
			f.num["per-year"] = float64(leak.In(unit.Flow(f.num["flow"]), leak.Year))
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "About " + o.say(o.Num["flow"], unit.FlowDim) + ", from " + o.say(Num{SI: o.Num["flow-low"].SI}, unit.FlowDim) + " to " + o.say(Num{SI: o.Num["flow-high"].SI}, unit.FlowDim)
		},
	}
}

func leakRate() Calculation {
	in := []Input{{Name: "volume", Title: "volume lost", Dim: unit.VolumeDim}, {Name: "time", Title: "in what time", Dim: unit.TimeDim}, dropIn}
	return Calculation{
		Name: "leak-rate", Title: "Leak rate from a homely amount",
		About:  "A cup in 45 minutes, two litres a day, a top-up every week: as a flow and as drops.",
		Inputs: in,
		Outputs: []Output{
			{"flow", "leak", unit.FlowDim, "volume / time", arithmetic, confirmed},
			{"drops-per-minute", "drops a minute", unit.CountDim, "leak 1 min / drop size", dropSource, confirmed},
			{"per-day", "loss in a day", unit.VolumeDim, "leak 24 h", arithmetic, confirmed},
		},
		Example: map[string]string{"volume": "1 cup", "time": "45 min"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			q, e := leak.Loss(unit.Volume(g.num["volume"]), unit.Time(g.num["time"]))
			put(&f, &err, "flow", q, e)
			if e != nil {
				return f, e
			}
			n, e := leak.DropsIn(q, unit.Minute, unit.Volume(g.num["drop-size"]))
			put(&f, &err, "drops-per-minute", n, e)
			f.num["per-day"] = float64(leak.In(q, unit.Day))
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return o.say(o.Num["flow"], unit.FlowDim) + ", that is about " + o.say(Num{SI: o.Num["drops-per-minute"].SI}, unit.CountDim) + " drops a minute"
		},
	}
}

func levelFall() Calculation {
	in := []Input{{Name: "fall", Title: "fall of the level", Dim: unit.LengthDim}, {Name: "time", Title: "in what time", Dim: unit.TimeDim},
		{Name: "tank-area", Title: "free surface of the tank", Dim: unit.AreaDim, Optional: true}, {Name: "tank-diameter", Title: "diameter of a round tank", Dim: unit.LengthDim, Optional: true},
		{Name: "cooling", Title: "how much the liquid cooled meanwhile", Dim: unit.KelvinDim, Optional: true, Default: "0 K"}, {Name: "tank-volume", Title: "volume of liquid that cooled", Dim: unit.VolumeDim, Optional: true},
		{Name: "liquid-expansion", Title: "volume expansion of the liquid", Dim: unit.ExpansionDim, Optional: true, Default: "0.00021 1/K"}}
	return Calculation{
		Name: "level-fall", Title: "Leak rate from a falling level",
		About:  "Surface times fall; liquid that cools shrinks and looks like a loss, so that share is taken off where the volume is known.",
		Inputs: in,
		Outputs: []Output{
			{"area", "free surface", unit.AreaDim, "as given, or (pi/4) diameter^2", "geometry", confirmed},
			{"lost", "volume lost", unit.VolumeDim, "area fall - shrinkage by cooling", "geometry", confirmed},
			{"flow", "leak", unit.FlowDim, "lost / time", arithmetic, confirmed},
			{"from-cooling", "shrinkage by cooling", unit.VolumeDim, "volume expansion cooling", "definition of expansion; water at 20 C", confirmed},
			{"drops-per-minute", "drops a minute of 0.05 mL", unit.CountDim, "leak 1 min / 0.05 mL", dropSource, confirmed},
		},
		Example: map[string]string{"fall": "3 mm", "time": "6 h", "tank-diameter": "400 mm", "cooling": "2 K", "tank-volume": "60 L"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			if g.has("tank-area") == g.has("tank-diameter") {
				return f, refuse.Because("the surface of the tank", "must be given once", "give tank-area, or tank-diameter for a round one")
			}
			area := g.num["tank-area"]
			if g.has("tank-diameter") {
				d := g.num["tank-diameter"]
				if e := refuse.Positive("the diameter of the tank", d); e != nil {
					return f, e
				}
				area = math.Pi / 4 * d * d
			}
			v, e := leak.LevelFall(unit.Area(area), g.length("fall"))
			if e != nil {
				return f, e
			}
			f.num["area"] = area
			if g.has("tank-volume") {
				c, e := leak.Cooling(unit.Volume(g.num["tank-volume"]), unit.Expansion(g.num["liquid-expansion"]), unit.Kelvin(g.num["cooling"]))
				put(&f, &err, "from-cooling", c, e)
				v -= c
			}
			t := g.num["time"]
			if e := refuse.Positive("the time", t); e != nil {
				return f, e
			}
			f.num["lost"], f.num["flow"] = float64(v), float64(v)/t
			f.num["drops-per-minute"] = float64(v) / t * 60 / 0.05e-6
			return f, err
		},
		lead: func(_ given, o *Out) string {
			if o.Num["lost"].SI < 0 {
				return "Cooling alone accounts for the fall: no leak is shown"
			}
			return "Lost " + o.say(o.Num["lost"], unit.VolumeDim) + ", that is " + o.say(o.Num["flow"], unit.FlowDim)
		},
	}
}
