package catalogue

import (
	"math"

	"seepwright/engine/measure/fitting"
	"seepwright/engine/measure/leak"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func fitSeals() []Calculation {
	return []Calculation{shaftSeal(), faceSealLeak(), corePlug(), sealingWasher(), pressureCap()}
}

const shaftSheets = "seal makers' sheets to DIN 3760 and ISO 6194-1"

func shaftSeal() Calculation {
	opt := func(name, title string, dim unit.Dimension, on string) Input {
		return Input{Name: name, Title: title, Dim: dim, Optional: true, On: on}
	}
	in := []Input{{Name: "shaft-diameter", Title: "shaft under the lip", Dim: unit.LengthDim, On: "outside"}, {Name: "speed", Title: "speed of the shaft", Dim: unit.AngularDim},
		opt("roughness", "roughness Ra under the lip", unit.LengthDim, "face"), opt("dial-round-bore", "dial carried round in the bore by the shaft, from side to side", unit.LengthDim, "bore"),
		opt("run-out", "run-out of the turning shaft, full reading", unit.LengthDim, "outside"), opt("groove-depth", "groove worn by the old lip", unit.LengthDim, "outside"), opt("pressure", "pressure on the lip", unit.PressureDim, "")}
	return Calculation{
		Name: "shaft-seal", Title: "Shaft under a lip seal: finish, run-out, offset",
		About:  "What killed the last seal is usually the shaft, not the seal: a groove, a shaft off the middle of its bore, run-out, a finish too rough or too smooth, pressure.",
		Inputs: in,
		Outputs: []Output{
			{"lip-speed", "speed at the lip", unit.SpeedDim, "pi D n", "definition", confirmed},
			{"finish", "roughness Ra", unit.LengthDim, "as given", "as given", confirmed},
			{"offset", "shaft off the middle of the bore", unit.LengthDim, "(greatest - least) / 2 of a dial carried round in the bore", "definition", confirmed},
			{"runs-out", "run-out, full reading", unit.LengthDim, "as given", "as given", confirmed},
			{"to-follow", "what the lip has to follow", unit.LengthDim, "offset + run-out", shaftSheets, confirmed},
			{"worn", "groove worn by the old lip", unit.LengthDim, "as given", "as given", confirmed},
			{"lip-pressure", "pressure on the lip", unit.PressureDim, "as given", "as given", confirmed},
		},
		Judges: []Judge{
			{Output: "finish", Ours: tableLimit("fitting-shaft-seal", "finish", "least_um")}, {Output: "finish", AtMost: true, Ours: tableLimit("fitting-shaft-seal", "finish", "greatest_um")},
			{Output: "offset", AtMost: true, Ours: tableLimit("fitting-shaft-seal", "offset", "greatest_mm")}, {Output: "runs-out", AtMost: true, Ours: tableLimit("fitting-shaft-seal", "run-out", "greatest_mm")},
			{Output: "to-follow", AtMost: true, Ours: tableLimit("fitting-shaft-seal", "sum", "greatest_mm")}, {Output: "worn", AtMost: true, Ours: tableLimit("fitting-shaft-seal", "groove", "greatest_mm")},
			{Output: "lip-pressure", AtMost: true, Ours: tableLimit("fitting-shaft-seal", "pressure", "least_kPa")},
		},
		Blind:   "Lead of the grinding (a twist that pumps) and hardness: a thread laid round the turning shaft that wanders shows lead; 45 HRC is wanted at least.",
		Example: map[string]string{"shaft-diameter": "40 mm", "speed": "1450 rpm", "roughness": "0.5 um", "dial-round-bore": "0.10 mm", "run-out": "0.06 mm", "groove-depth": "0.02 mm", "pressure": "0.2 bar"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			v, e := fitting.LipSpeed(g.length("shaft-diameter"), g.num["speed"]/(2*math.Pi))
			put(&f, &err, "lip-speed", v, e)
			for in, out := range map[string]string{"roughness": "finish", "groove-depth": "worn", "pressure": "lip-pressure"} {
				if g.has(in) {
					f.num[out] = g.num[in]
					if e := refuse.NotNegative("the "+in, g.num[in]); e != nil {
						return f, e
					}
				}
			}
			if g.has("dial-round-bore") || g.has("run-out") {
				w, e := fitting.Follow(g.length("dial-round-bore"), g.length("run-out"))
				put(&f, &err, "to-follow", w.Sum, e)
				if g.has("dial-round-bore") {
					f.num["offset"] = float64(w.Offset)
				}
				if g.has("run-out") {
					f.num["runs-out"] = float64(w.RunOut)
				}
			}
			return f, err
		},
		lead: func(_ given, o *Out) string { return "The lip runs at " + o.say(o.Num["lip-speed"], unit.SpeedDim) },
	}
}

func faceSealLeak() Calculation {
	in := []Input{{Name: "drops", Title: "drops counted", Dim: unit.CountDim}, {Name: "time", Title: "time of counting", Dim: unit.TimeDim, Optional: true, Default: "1 min"}, dropIn,
		{Name: "limit", Title: "greatest leak allowed", Dim: unit.FlowDim, Optional: true}}
	return Calculation{
		Name: "face-seal-leak", Title: "Leak of a face seal: what is normal",
		About:  "Every face seal passes a little: the film between its faces is what keeps them alive. The weep hole is never plugged; oil from it means the bearing's seal has gone.",
		Inputs: in,
		Outputs: []Output{
			{"flow", "leak", unit.FlowDim, "drops drop size / time", dropSource, confirmed},
			{"drops-a-minute", "drops a minute", unit.CountDim, "drops / time", arithmetic, confirmed},
		},
		Judges:  []Judge{{Output: "flow", AtMost: true, By: "limit", Ours: tableLimit("fitting-face-seal", "refinery", "limit_mLh")}},
		Example: map[string]string{"drops": "4", "time": "5 min"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			q, e := leak.Drip(g.num["drops"], unit.Time(g.num["time"]), unit.Volume(g.num["drop-size"]))
			put(&f, &err, "flow", q, e)
			f.num["drops-a-minute"] = g.num["drops"] / g.num["time"] * 60
			if t, e := g.table("fitting-face-seal"); e == nil {
				for _, name := range []string{"pump-normal", "pump-fault", "after-storage"} {
					if r, e := t.Find(name, table.Is("name", name)); e == nil {
						f.note("%s: %s%s (%s).", capital(r.Text("what")), r.Text("verdict"), bracketed(r.Text("note")), r.Source())
					}
				}
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "It passes " + o.say(o.Num["flow"], unit.FlowDim) + ", " + o.say(o.Num["drops-a-minute"], unit.CountDim) + " drops a minute"
		},
	}
}

func bracketed(s string) string {
	if s == "" {
		return ""
	}
	return ", " + s
}

func corePlug() Calculation {
	in := []Input{{Name: "plug", Title: "kind of plug", Words: []string{"cup-thin", "solid"}}, {Name: "plug-diameter", Title: "plug", Dim: unit.LengthDim, On: "outside"}, {Name: "hole", Title: "hole", Dim: unit.LengthDim, On: "bore"},
		{Name: "least-interference", Title: "least interference", Dim: unit.LengthDim, Optional: true}, {Name: "greatest-interference", Title: "greatest interference", Dim: unit.LengthDim, Optional: true}}
	limit := func(head string) func(given, found) (Figure, error) {
		return func(g given, _ found) (Figure, error) {
			r, err := g.row("fitting-core-plugs", "plug")
			if err != nil {
				return Figure{}, err
			}
			return figure(r, head), nil
		}
	}
	return Calculation{
		Name: "core-plug", Title: "Core plug: interference",
		About:   "The skirt's interference seals, sealant only fills marks. Drive it just below the chamfer: flush leaves part of the skirt unsupported. Never work on one with the circuit hot or under pressure.",
		Inputs:  in,
		Outputs: []Output{{"interference", "interference", unit.LengthDim, "plug - hole", "definition", confirmed}},
		Judges: []Judge{{Output: "interference", By: "least-interference", Ours: limit("least_mm")},
			{Output: "interference", AtMost: true, By: "greatest-interference", Ours: limit("greatest_mm")}},
		Blind:   "One diameter each way does not see an oval hole: measure hole and plug at four places (seepwright measure ovality).",
		Example: map[string]string{"plug": "cup-thin", "plug-diameter": "40.15 mm", "hole": "40.00 mm"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			x, e := fitting.Interference(g.length("plug-diameter"), g.length("hole"))
			put(&f, &err, "interference", x, e)
			return f, err
		},
		lead: func(_ given, o *Out) string {
			if x := o.Num["interference"]; x.SI < 0 {
				return "The plug is loose by " + o.say(Num{-x.SI, x.U}, unit.LengthDim)
			}
			return "The plug is larger than its hole by " + o.say(o.Num["interference"], unit.LengthDim)
		},
	}
}

func sealingWasher() Calculation {
	opt := func(name, title string, dim unit.Dimension, on string) Input {
		return Input{Name: name, Title: title, Dim: dim, Optional: true, On: on}
	}
	in := []Input{{Name: "washer-bore", Title: "bore of the washer", Dim: unit.LengthDim, On: "bore"}, {Name: "thread-outside", Title: "outside of the thread", Dim: unit.LengthDim, On: "outside"},
		opt("face-out-of-square", "spot face out of square across the head (feeler)", unit.LengthDim, "face"), {Name: "spare-turns", Title: "free turns of thread when tight", Dim: unit.CountDim, Optional: true, Parted: true}}
	return Calculation{
		Name: "sealing-washer", Title: "Banjo, drain plug and bonded washers",
		About:  "A new washer each side every time. Copper may be softened (dull red, quenched), aluminium not. A bolt that bottoms before its washer is squeezed leaks whatever the torque.",
		Inputs: in,
		Outputs: []Output{
			{"bore-over-thread", "washer bore over the thread", unit.LengthDim, "washer bore - thread outside", "geometry", confirmed},
			{"out-of-square", "spot face out of square", unit.LengthDim, "as given", "as given", confirmed},
			{"spare", "free turns of thread", unit.CountDim, "as given", "as given", confirmed},
			{"crush-turn", "turn after contact, soft crush washer", unit.CountDim, "look-up", "mechanics' notes", memory},
		},
		Judges: []Judge{{Output: "bore-over-thread", AtMost: true, Ours: tableLimit("fitting-washers", "bore-over-thread", "greatest_mm")},
			{Output: "out-of-square", AtMost: true, Ours: tableLimit("fitting-washers", "face-square", "greatest_mm")},
			{Output: "spare", Ours: tableLimit("fitting-washers", "spare-thread", "ratio_least_ratio")}},
		Example: map[string]string{"washer-bore": "14.3 mm", "thread-outside": "13.9 mm", "face-out-of-square": "0.04 mm", "spare-turns": "3"},
		formula: func(g given) (found, error) {
			f := newFound()
			if err := refuse.First(refuse.Positive("the bore of the washer", g.num["washer-bore"]), refuse.Positive("the outside of the thread", g.num["thread-outside"])); err != nil {
				return f, err
			}
			if g.num["washer-bore"] < g.num["thread-outside"] {
				return f, refuse.Because("the washer", "is smaller than its thread", "measure both again")
			}
			f.num["bore-over-thread"] = g.num["washer-bore"] - g.num["thread-outside"]
			for in, out := range map[string]string{"face-out-of-square": "out-of-square", "spare-turns": "spare"} {
				if g.has(in) {
					f.num[out] = g.num[in]
					if err := refuse.NotNegative("the "+in, g.num[in]); err != nil {
						return f, err
					}
				}
			}
			t, err := g.table("fitting-washers")
			if err != nil {
				return f, err
			}
			r, err := t.Find("a crush washer", table.Is("name", "crush"))
			if err == nil {
				f.num["crush-turn"], _ = r.SI("crush_turns")
				f.cite("turn after contact, soft crush washer", r, "crush_turns")
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "The washer is wider than its thread by " + o.say(o.Num["bore-over-thread"], unit.LengthDim)
		},
	}
}

func pressureCap() Calculation {
	in := []Input{{Name: "opens-at", Title: "pressure at which the cap opens on the tester (gauge)", Dim: unit.PressureDim}, {Name: "marked", Title: "pressure marked on the cap", Dim: unit.PressureDim},
		{Name: "least", Title: "least opening pressure", Dim: unit.PressureDim, Optional: true}, {Name: "greatest", Title: "greatest opening pressure", Dim: unit.PressureDim, Optional: true}}
	return Calculation{
		Name: "pressure-cap", Title: "Pressure cap on the tester",
		About:   "Cold, seal wetted, full figure for 5 to 10 seconds. A cap that holds on the tester and leaks on its neck has a dented or dirty neck. Never open a hot circuit.",
		Inputs:  in,
		Outputs: []Output{{"opening-share", "opening pressure over the mark", unit.RatioDim, "opens at / marked", "definition", confirmed}, {"opening", "opening pressure", unit.PressureDim, "as given", "as given", confirmed}},
		Judges: []Judge{
			{Output: "opening", By: "least"}, {Output: "opening", AtMost: true, By: "greatest"}},
		Example: map[string]string{"opens-at": "0.95 bar", "marked": "1.1 bar", "least": "0.83 bar", "greatest": "1.23 bar"},
		formula: func(g given) (found, error) {
			f := newFound()
			if err := refuse.First(refuse.NotNegative("the opening pressure", g.num["opens-at"]), refuse.Positive("the mark", g.num["marked"])); err != nil {
				return f, err
			}
			f.num["opening-share"], f.num["opening"] = g.num["opens-at"]/g.num["marked"], g.num["opens-at"]
			if t, err := g.table("fitting-pressure-caps"); err == nil {
				for _, r := range t.Rows() {
					if r.Text("open_from_kPa") != "" {
						f.note("A service manual has: opens from %s to %s%s.", r.Show("open_from_kPa"), r.Show("open_to_kPa"), limitWords(r))
					}
				}
			}
			return f, nil
		},
		lead: func(_ given, o *Out) string {
			return "The cap opens at " + o.say(o.Num["opening"], unit.PressureDim) + ", " + o.say(o.Num["opening-share"], unit.RatioDim) + " of its mark"
		},
	}
}

func limitWords(r table.Row) string {
	if r.Text("limit_kPa") == "" {
		return ""
	}
	return ", to be replaced below " + r.Show("limit_kPa")
}
