package catalogue

import (
	"strings"

	"seepwright/engine/measure/fitting"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func fitThreads() []Calculation {
	return []Calculation{taperThread(), parallelThread(), whichThread(), pipeTorque(), portTorque()}
}

const taperNorms = "ASME B1.20.1 and ISO 7-1 (public size tables)"

func taperThread() Calculation {
	in := []Input{{Name: "thread", Title: "taper thread", From: "fitting-taper-threads"},
		turnsMadeIn,
		{Name: "thread-length", Title: "whole length of the male thread", Dim: unit.LengthDim, Optional: true, On: "outside"}}
	cols := []col{{"outside", "outside_mm", "outside of the pipe", unit.LengthDim}, {"pitch", "pitch_mm", "pitch", unit.LengthDim}, {"hand-tight-length", "hand_mm", "thread in by hand", unit.LengthDim},
		{"hand-tight-turns", "hand_turns", "turns by hand", unit.CountDim}, {"least-turns", "wrench_least_turns", "least turns past hand-tight", unit.CountDim},
		{"greatest-turns", "wrench_greatest_turns", "greatest turns past hand-tight", unit.CountDim}, {"flank", "flank_deg", "flank angle", unit.AngleDim}}
	return Calculation{
		Name: "taper-thread", Title: "Taper pipe thread: hand-tight and wrench turns",
		About: "What a taper thread wants: how far it goes in by hand, and how many turns the wrench adds. The two families " +
			"(55 and 60 degrees) nearly fit each other and never seal. Turning on for a leak splits the female part.",
		Inputs: in,
		Outputs: append(outputs("fitting-taper-threads", taperNorms, confirmed, cols),
			Output{"turns", "turns past hand-tight", unit.CountDim, "as given", "as given", confirmed},
			Output{"travel", "how far those turns go in", unit.LengthDim, "turns pitch", "taper of ISO 7-1 and ASME B1.20.1", confirmed},
			Output{"interference", "interference on diameter that they make", unit.LengthDim, "turns pitch / 16", "taper of ISO 7-1 and ASME B1.20.1", confirmed},
			Output{"showing", "thread that still shows", unit.LengthDim, "thread length - hand-tight length - travel", "ASME B1.20.1", confirmed}),
		Judges: []Judge{{Output: "turns", Ours: outputLimit("least-turns", "turns past hand-tight, table of the thread", confirmed)},
			{Output: "turns", AtMost: true, Ours: outputLimit("greatest-turns", "turns past hand-tight, table of the thread", confirmed)},
			{Output: "showing", Ours: fixed(0, "a thread that has run in to its end is not tight", practice)}},
		Example: map[string]string{"thread": "npt-1/2", "turns-made": "3", "thread-length": "16 mm"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			r, err := g.row("fitting-taper-threads", "thread")
			if err != nil {
				return f, err
			}
			f.take([]table.Row{r}, cols)
			if !g.has("turns-made") {
				return f, nil
			}
			f.num["turns"] = g.num["turns-made"]
			w, e := fitting.MakeUp(g.num["turns-made"], unit.Length(f.num["pitch"]))
			put(&f, &err, "travel", w.Travel, e)
			put(&f, &err, "interference", w.Interference, e)
			if g.has("thread-length") {
				x, e := fitting.Exposed(g.length("thread-length"), unit.Length(f.num["hand-tight-length"]), g.num["turns-made"], unit.Length(f.num["pitch"]))
				put(&f, &err, "showing", x, e)
			}
			return f, err
		},
		lead: func(g given, o *Out) string {
			s := strings.ToUpper(g.word["thread"]) + " goes in " + o.say(o.Num["hand-tight-turns"], unit.CountDim) + " turns by hand, then " + o.say(o.Num["least-turns"], unit.CountDim)
			if hi := o.Num["greatest-turns"]; hi.SI > o.Num["least-turns"].SI {
				s += " to " + o.say(hi, unit.CountDim)
			}
			return s + " with the wrench"
		},
	}
}

func parallelThread() Calculation {
	in := []Input{{Name: "thread", Title: "parallel pipe thread", From: "fitting-parallel-threads"}}
	cols := []col{{"outside", "outside_mm", "outside of the thread", unit.LengthDim}, {"pitch", "pitch_mm", "pitch", unit.LengthDim}, {"threads-per-inch", "threads_per_inch_n", "threads to the inch", unit.CountDim}, {"flank", "flank_deg", "flank angle", unit.AngleDim}}
	return Calculation{
		Name: "parallel-thread", Title: "Parallel pipe thread: sizes",
		About:   "A parallel thread does not seal by itself: a washer, a ring or a cone does. Tape on it only hides that it is missing.",
		Inputs:  in,
		Outputs: outputs("fitting-parallel-threads", "ISO 228-1, sizes as ISO 7-1 (public size table)", confirmed, cols),
		Example: map[string]string{"thread": "g-1/2"},
		formula: func(g given) (found, error) {
			f := newFound()
			r, err := g.row("fitting-parallel-threads", "thread")
			if err == nil {
				f.take([]table.Row{r}, cols)
			}
			return f, err
		},
		lead: func(g given, o *Out) string {
			return strings.ToUpper(g.word["thread"]) + " is " + o.say(o.Num["outside"], unit.LengthDim) + " outside with " + o.say(o.Num["threads-per-inch"], unit.CountDim) + " threads to the inch"
		},
	}
}

func whichThread() Calculation {
	in := []Input{{Name: "outside", Title: "outside of the male thread", Dim: unit.LengthDim, On: "outside"}, {Name: "pitch", Title: "pitch (measure ten threads and divide)", Dim: unit.LengthDim, On: "outside"}}
	return Calculation{
		Name: "which-thread", Title: "Which pipe thread is this?",
		About: "Ranks the taper and parallel pipe threads by how well outside and pitch agree with what was measured. Never only " +
			"one: 55 and 60 degree threads of one size are told apart by a thread gauge, not by a calliper.",
		Inputs: in,
		Outputs: []Output{
			{"likely", "likely threads, the best first", "", "off = sqrt(((D - d)/u(D))^2 + ((P - p)/u(P))^2)", "least squares; sizes: " + taperNorms, confirmed},
			{"best-off", "how far the best lies off, in standard deviations", unit.CountDim, "as above", "least squares", confirmed},
		},
		Judges:  []Judge{{Output: "best-off", AtMost: true, Ours: fixed(3, "three standard deviations", practice)}},
		Blind:   "The flank angle: 55 or 60 degrees shows only under a thread gauge. A taper thread grows by 0.6 mm in 10 mm; measure in its middle.",
		Example: map[string]string{"outside": "20.9 mm", "pitch": "1.81 mm"},
		formula: func(g given) (found, error) {
			f := newFound()
			var among []fitting.Thread
			for _, name := range []string{"fitting-taper-threads", "fitting-parallel-threads"} {
				t, err := g.table(name)
				if err != nil {
					return f, err
				}
				for _, r := range t.Rows() {
					d, okD := r.SI("outside_mm")
					p, okP := r.SI("pitch_mm")
					a, _ := r.SI("flank_deg")
					if okD && okP {
						among = append(among, fitting.Thread{Name: r.Text("name"), Major: unit.Length(d), Pitch: unit.Length(p), Flank: unit.Angle(a)})
					}
				}
			}
			// A taper makes the outside itself doubtful by 0.3 mm, a worn crest the pitch by 0.02 mm.
			list, err := fitting.WhichThread(g.length("outside"), 0.3*unit.Millimetre, g.length("pitch"), 0.02*unit.Millimetre, among)
			if err != nil {
				return f, err
			}
			var names []string
			for i, l := range list {
				if i >= 4 || i >= 2 && l.Off > 4 {
					break
				}
				names = append(names, l.Name)
			}
			f.text["likely"], f.num["best-off"] = strings.Join(names, ", "), list[0].Off
			f.note("The outside is taken as doubtful by 0.3 mm (taper, wear) and the pitch by 0.02 mm (estimate).")
			return f, nil
		},
		lead: func(_ given, o *Out) string { return "Most likely " + o.Text["likely"] + ", in this order" },
	}
}

func pipeTorque() Calculation {
	in := []Input{{Name: "size", Title: "size of the taper pipe thread", From: "fitting-pipe-torque"}, {Name: "where", Title: "what it is screwed into", Words: []string{"fitting", "plug-in-casting"}, Optional: true, Default: "fitting"},
		{Name: "metal", Title: "metal of the fitting", Words: []string{"steel", "brass"}, Optional: true, Default: "steel"}, {Name: "torque", Title: "torque that was used", Dim: unit.TorqueDim, Optional: true},
		{Name: "torque-limit", Title: "greatest torque", Dim: unit.TorqueDim, Optional: true}}
	return Calculation{
		Name: "pipe-torque", Title: "Torque and turns of taper pipe fittings",
		About:  "Upper limits, never a target: a taper thread is made up by turns, and the maker's figure goes before these.",
		Inputs: in,
		Outputs: []Output{
			{"greatest-torque", "greatest torque", unit.TorqueDim, "look-up, 70 % for brass", "machine manual: hydraulic taper threads; diesel engine manual: plugs in castings", confirmed},
			{"least-turns", "least turns past finger-tight", unit.CountDim, "look-up", "machine manual: hydraulic taper threads of carbon steel", confirmed},
			{"greatest-turns", "greatest turns past finger-tight", unit.CountDim, "look-up", "machine manual: hydraulic taper threads of carbon steel", confirmed},
			{"torque-used", "torque that was used", unit.TorqueDim, "as given", "as given", confirmed},
		},
		Judges:  []Judge{{Output: "torque-used", AtMost: true, By: "torque-limit", Ours: outputLimit("greatest-torque", "published greatest torque of this size", confirmed)}},
		Example: map[string]string{"size": "1/2", "metal": "brass", "torque": "40 N m"},
		formula: func(g given) (found, error) {
			f := newFound()
			t, err := g.table("fitting-pipe-torque")
			if err != nil {
				return f, err
			}
			r, err := t.Find("a pipe thread "+g.word["size"], table.Is("name", g.word["size"]), table.Is("where", g.word["where"]))
			if err != nil {
				return f, err
			}
			f.take([]table.Row{r}, []col{{"least-turns", "least_turns", "least turns past finger-tight", unit.CountDim}, {"greatest-turns", "greatest_turns", "greatest turns past finger-tight", unit.CountDim}})
			if m, ok := r.SI("greatest_Nm"); ok {
				f.cite("greatest torque in steel", r, "greatest_Nm")
				if share, has := r.SI("brass_ratio"); has && g.word["metal"] == "brass" {
					m *= share
				}
				f.num["greatest-torque"] = m
			}
			if g.has("torque") {
				if err := refuse.NotNegative("the torque", g.num["torque"]); err != nil {
					return f, err
				}
				f.num["torque-used"] = g.num["torque"]
			}
			return f, nil
		},
		lead: func(_ given, o *Out) string {
			if m, ok := o.Num["greatest-torque"]; ok {
				return "Never above " + o.say(m, unit.TorqueDim)
			}
			return o.say(o.Num["least-turns"], unit.CountDim) + " to " + o.say(o.Num["greatest-turns"], unit.CountDim) + " turns past finger-tight"
		},
	}
}

func portTorque() Calculation {
	in := []Input{{Name: "thread", Title: "thread of the port", From: "fitting-ports"}, {Name: "into", Title: "metal of the port", Words: []string{"steel", "iron-or-steel", "soft-metal", "aluminium", "bronze"}, Optional: true, Default: "steel"},
		{Name: "torque", Title: "torque that was used", Dim: unit.TorqueDim, Optional: true}, {Name: "least-torque", Title: "least torque", Dim: unit.TorqueDim, Optional: true}, {Name: "greatest-torque", Title: "greatest torque", Dim: unit.TorqueDim, Optional: true}}
	const from = "diesel workshop manual: straight-thread O-ring ports"
	return Calculation{
		Name: "port-torque", Title: "Torque of straight-thread ports with an O-ring",
		About:  "The ring seals, the torque only holds: more of it does not stop a leak. Halved in aluminium and other soft metal.",
		Inputs: in,
		Outputs: []Output{
			{"torque", "torque", unit.TorqueDim, "look-up, half in soft metal", from, confirmed},
			{"low", "least", unit.TorqueDim, "look-up, half in soft metal", from, confirmed},
			{"high", "greatest", unit.TorqueDim, "look-up, half in soft metal", from, confirmed},
			{"torque-used", "torque that was used", unit.TorqueDim, "as given", "as given", confirmed},
		},
		Judges: []Judge{{Output: "torque-used", By: "least-torque", Ours: outputLimit("low", from, confirmed)},
			{Output: "torque-used", AtMost: true, By: "greatest-torque", Ours: outputLimit("high", from, confirmed)}},
		Example: map[string]string{"thread": "9/16-18", "into": "soft-metal", "torque": "22 N m"},
		formula: func(g given) (found, error) {
			f := newFound()
			r, err := g.row("fitting-ports", "thread")
			if err != nil {
				return f, err
			}
			share := 1.0
			if s, ok := r.SI("soft_ratio"); ok && !strings.HasSuffix(g.word["into"], "steel") {
				share = s
			}
			for out, head := range map[string]string{"torque": "torque_Nm", "low": "least_Nm", "high": "greatest_Nm"} {
				if x, ok := r.SI(head); ok {
					f.num[out] = x * share
				}
			}
			f.cite("torque, steel in steel", r, "torque_Nm")
			if g.has("torque") {
				if err := refuse.NotNegative("the torque", g.num["torque"]); err != nil {
					return f, err
				}
				f.num["torque-used"] = g.num["torque"]
			}
			return f, nil
		},
		lead: func(_ given, o *Out) string {
			return "It takes " + o.say(o.Num["torque"], unit.TorqueDim) + ", from " + o.say(o.Num["low"], unit.TorqueDim) + " to " + o.say(o.Num["high"], unit.TorqueDim)
		},
	}
}
