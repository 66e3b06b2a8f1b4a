package catalogue

import (
	"seepwright/engine/measure/fitting"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func fitTubes() []Calculation {
	return []Calculation{oliveTurns(), flareTurns(), cuttingRing(), tubeRolling(), solderJoint()}
}

// turnsMadeIn are the turns that a person has made, held against a table.
var turnsMadeIn = Input{Name: "turns-made", Title: "turns made past hand-tight", Dim: unit.CountDim, Optional: true, Parted: true}

func oliveTurns() Calculation {
	in := []Input{{Name: "tube", Title: "tube", Words: []string{"copper-half-hard", "copper-hard", "copper-soft", "plastic", "steel", "twin-ring"}}, {Name: "tube-diameter", Title: "outside of the tube", Dim: unit.LengthDim, On: "outside", Key: true}, turnsMadeIn}
	const from = "technical manual of a compression fitting to EN 1254-2; instrument tube practice for two rings"
	return Calculation{
		Name: "olive-turns", Title: "Compression fitting (olive): turns past hand-tight",
		About:  "Turned too little it weeps, too far the olive waists the tube and no turn helps again: then a new olive, further along. Copper and plastic that gives wants its liner.",
		Inputs: in,
		Outputs: []Output{
			{"least-turns", "least turns", unit.CountDim, "look-up by tube and diameter", from, confirmed},
			{"greatest-turns", "greatest turns", unit.CountDim, "look-up by tube and diameter", from, confirmed},
			{"liner", "liner wanted", "", "look-up", from, confirmed},
			{"torque", "torque instead, copper", unit.TorqueDim, "look-up by diameter", "technical manual of a compression fitting to EN 1254-2", confirmed},
			{"turns", "turns made", unit.CountDim, "as given", "as given", confirmed},
		},
		Judges: []Judge{{Output: "turns", Ours: outputLimit("least-turns", from, confirmed)}, {Output: "turns", AtMost: true, Ours: func(_ given, f found) (Figure, error) {
			hi, ok := f.num["greatest-turns"]
			if !ok {
				return Figure{}, nil
			}
			return Figure{hi + 0.25, "a quarter turn more where it weeps, no further", practice}, nil
		}}},
		Example: map[string]string{"tube": "copper-half-hard", "tube-diameter": "15 mm", "turns-made": "1.25"},
		formula: func(g given) (found, error) {
			f := newFound()
			t, err := g.table("fitting-olive")
			if err != nil {
				return f, err
			}
			d := g.num["tube-diameter"]
			conds := []table.Cond{table.Is("name", g.word["tube"]), table.Between("tube_from_mm", "tube_to_mm", d)}
			r, err := t.Find("an olive for this tube", conds...)
			if err != nil {
				return f, err
			}
			f.take([]table.Row{r}, []col{{"least-turns", "least_turns", "least turns", unit.CountDim}, {"greatest-turns", "greatest_turns", "greatest turns", unit.CountDim}, {"liner", "liner", "liner wanted", ""}})
			if tt, err := g.table("fitting-olive-torque"); err == nil {
				if r, err := tt.Find("a torque", table.Is("name", "copper"), table.Between("tube_from_mm", "tube_to_mm", d)); err == nil && g.word["tube"] == "copper-half-hard" {
					f.take([]table.Row{r}, []col{{"torque", "torque_Nm", "torque instead", unit.TorqueDim}})
				}
			}
			return f, made(g, &f)
		},
		lead: func(_ given, o *Out) string { return turnsWanted(o) + " past hand-tight" },
	}
}

// made puts out the turns that were made.
func made(g given, f *found) error {
	if !g.has("turns-made") {
		return nil
	}
	f.num["turns"] = g.num["turns-made"]
	return refuse.NotNegative("the turns made", g.num["turns-made"])
}

func turnsWanted(o *Out) string {
	lo, hi := o.Num["least-turns"], o.Num["greatest-turns"]
	if hi.SI > lo.SI {
		return "It wants " + o.say(lo, unit.CountDim) + " to " + o.say(hi, unit.CountDim) + " turns"
	}
	return "It wants " + o.say(lo, unit.CountDim) + " turns"
}

func flareTurns() Calculation {
	in := []Input{{Name: "tube", Title: "outside of the tube, inch size", From: "fitting-flare"}, {Name: "torque", Title: "torque that was used", Dim: unit.TorqueDim, Optional: true}, {Name: "torque-limit", Title: "greatest torque", Dim: unit.TorqueDim, Optional: true}}
	cols := []col{{"torque", "torque_Nm", "torque", unit.TorqueDim}, {"flats", "flats_n", "flats of the nut", unit.CountDim}, {"turn", "turn_deg", "turn", unit.AngleDim}, {"counted-from", "counted_from", "counted from", ""}, {"when", "when", "holds for", ""}}
	return Calculation{
		Name: "flare-turns", Title: "Flared tube nut (37 degrees): flats or torque",
		About:  "Cone on cone, lubricated. A flare that is cracked, thin or off-centre is not mended by torque; the nut must run on freely by hand.",
		Inputs: in,
		Outputs: append(outputs("fitting-flare", "two machine manuals agree", confirmed, cols),
			Output{"torque-used", "torque that was used", unit.TorqueDim, "as given", "as given", confirmed}),
		Judges:  []Judge{{Output: "torque-used", AtMost: true, By: "torque-limit", Ours: outputLimit("torque", "two machine manuals agree", confirmed)}},
		Example: map[string]string{"tube": "1/2", "torque": "44 N m"},
		formula: func(g given) (found, error) {
			f := newFound()
			r, err := g.row("fitting-flare", "tube")
			if err != nil {
				return f, err
			}
			f.take([]table.Row{r}, cols)
			if g.has("torque") {
				f.num["torque-used"] = g.num["torque"]
				return f, refuse.NotNegative("the torque", g.num["torque"])
			}
			return f, nil
		},
		lead: func(_ given, o *Out) string {
			s := ""
			if t, ok := o.Num["torque"]; ok {
				s = o.say(t, unit.TorqueDim) + ", or "
			}
			return s + o.say(o.Num["flats"], unit.CountDim) + " flats (" + o.say(o.Num["turn"], unit.AngleDim) + ") from " + o.Text["counted-from"]
		},
	}
}

func cuttingRing() Calculation {
	in := []Input{{Name: "step", Title: "what is being done", From: "fitting-cutting-ring"}}
	cols := []col{{"turns", "make_turns", "turns", unit.CountDim}, {"turn", "turn_deg", "turn", unit.AngleDim}, {"counted-from", "counted_from", "counted from", ""}}
	return Calculation{
		Name: "cutting-ring", Title: "Cutting ring (24 degrees): turns",
		About:   "The ring must have cut in and shown a collar all round before it seals. Above 7 bar of hydraulic pressure this is work for licensed people.",
		Inputs:  in,
		Outputs: outputs("fitting-cutting-ring", "hydraulic fitting chart; workshop habit for reassembly", confirmed, cols),
		Example: map[string]string{"step": "reassembly"},
		formula: func(g given) (found, error) {
			f := newFound()
			r, err := g.row("fitting-cutting-ring", "step")
			if err == nil {
				f.take([]table.Row{r}, cols)
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return o.say(o.Num["turns"], unit.CountDim) + " turns from " + o.Text["counted-from"]
		},
	}
}

func tubeRolling() Calculation {
	in := []Input{{Name: "tube", Title: "tube and plate", From: "fitting-tube-joints"}, {Name: "bore-before", Title: "bore of the tube before rolling", Dim: unit.LengthDim, On: "bore"}, {Name: "bore-rolled", Title: "bore after rolling", Dim: unit.LengthDim, On: "bore"},
		{Name: "hole", Title: "hole in the tube plate", Dim: unit.LengthDim, On: "bore"}, {Name: "tube-outside", Title: "outside of the tube before rolling", Dim: unit.LengthDim, On: "outside"}, {Name: "wall", Title: "wall of the tube", Dim: unit.LengthDim, On: "outside"}}
	return Calculation{
		Name: "tube-rolling", Title: "Rolled tube end: thinning of the wall",
		About:  "How much of the wall the rolling took after the tube touched its hole. Too little leaks, too much cracks the tube or stretches the plate and loosens its neighbours.",
		Inputs: in,
		Outputs: []Output{
			{"thinning", "thinning of the wall past contact", unit.RatioDim, "(rolled bore - bore before - (hole - tube outside)) / (2 wall)", "Basic Principles of Tube Expanding", confirmed},
			{"least", "least wanted", unit.RatioDim, "look-up", "Basic Principles of Tube Expanding and a second guide", confirmed},
			{"most", "greatest allowed", unit.RatioDim, "look-up", "Basic Principles of Tube Expanding and a second guide", confirmed},
		},
		Judges:  []Judge{{Output: "thinning", Ours: outputLimit("least", "published thinning of this pair", confirmed)}, {Output: "thinning", AtMost: true, Ours: outputLimit("most", "published thinning of this pair", confirmed)}},
		Example: map[string]string{"tube": "soft-copper", "bore-before": "13.60 mm", "bore-rolled": "14.02 mm", "hole": "16.15 mm", "tube-outside": "16.00 mm", "wall": "1.2 mm"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			if err := refuse.First(refuse.Positive("the bore before rolling", g.num["bore-before"]), refuse.Positive("the bore after rolling", g.num["bore-rolled"]), refuse.Positive("the hole", g.num["hole"]), refuse.Positive("the outside of the tube", g.num["tube-outside"])); err != nil {
				return f, err
			}
			if g.num["hole"] < g.num["tube-outside"] {
				return f, refuse.Because("the hole", "is smaller than the tube", "measure both again")
			}
			x, e := fitting.WallReduction(g.length("bore-rolled")-g.length("bore-before")-(g.length("hole")-g.length("tube-outside")), g.length("wall"))
			put(&f, &err, "thinning", x, e)
			r, e := g.row("fitting-tube-joints", "tube")
			if e != nil {
				return f, e
			}
			f.take([]table.Row{r}, []col{{"least", "least_pct", "least thinning", unit.RatioDim}, {"most", "greatest_pct", "greatest thinning", unit.RatioDim}})
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "The wall is thinned by " + o.say(o.Num["thinning"], unit.RatioDim)
		},
	}
}

func solderJoint() Calculation {
	in := []Input{{Name: "tube-outside", Title: "outside of the tube", Dim: unit.LengthDim, On: "outside"}, {Name: "cup-bore", Title: "bore of the cup", Dim: unit.LengthDim, On: "bore"}, {Name: "cup-depth", Title: "depth of the cup", Dim: unit.LengthDim},
		{Name: "wire", Title: "diameter of the solder wire", Dim: unit.LengthDim, Optional: true, Default: "3.175 mm"},
		{Name: "greatest-gap", Title: "greatest clearance", Dim: unit.LengthDim, Optional: true}, {Name: "least-gap", Title: "least clearance", Dim: unit.LengthDim, Optional: true}}
	return Calculation{
		Name: "solder-joint", Title: "Soldered tube joint: gap and solder wanted",
		About:  "Solder is drawn into a narrow gap only. A half-filled joint passes a pressure test and fails later. Soft solder holds to 121 C, hard solder to 177 C; drinking water wants lead-free.",
		Inputs: in,
		Outputs: []Output{
			{"gap", "clearance on diameter", unit.LengthDim, "cup bore - tube outside", "geometry", confirmed},
			{"wire-length", "solder wire for a full joint", unit.LengthDim, "pi D L c/2 over the section of the wire", "copper data sheet: its table is reproduced by this formula", confirmed},
		},
		Judges: []Judge{{Output: "gap", By: "least-gap", Ours: fixed(0.05e-3, "capillary gap 0.05 to 0.13 mm best, 0.25 mm usable (copper data sheet)", memory)},
			{Output: "gap", AtMost: true, By: "greatest-gap", Ours: fixed(0.25e-3, "capillary gap 0.05 to 0.13 mm best, 0.25 mm usable (copper data sheet)", memory)}},
		Example: map[string]string{"tube-outside": "22.22 mm", "cup-bore": "22.33 mm", "cup-depth": "23 mm"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			gap := g.length("cup-bore") - g.length("tube-outside")
			if gap <= 0 {
				return f, refuse.Because("the cup", "is not larger than the tube", "measure both again")
			}
			f.num["gap"] = float64(gap)
			l, e := fitting.SolderWire(g.length("tube-outside"), g.length("cup-depth"), gap, g.length("wire"))
			put(&f, &err, "wire-length", l, e)
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "The gap is " + o.say(o.Num["gap"], unit.LengthDim) + " on the diameter and takes " + o.say(o.Num["wire-length"], unit.LengthDim) + " of wire"
		},
	}
}
