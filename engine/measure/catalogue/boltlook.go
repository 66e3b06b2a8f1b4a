package catalogue

import (
	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func boltLooks() []Calculation { return []Calculation{boltOrder(), threadEngagement(), faceFinish()} }

func boltOrder() Calculation {
	in := []Input{{Name: "bolts", Title: "number of bolts, or long-cover", From: "bolt-order"}, {Name: "torque", Title: "final torque, for the torque of each round", Dim: unit.TorqueDim, Optional: true}}
	var rounds []Output
	for _, r := range [][2]string{{"first-round", "torque of the first round"}, {"second-round", "torque of the second round"}, {"last-round", "torque of the third round, and round the circle"}} {
		rounds = append(rounds, Output{r[0], r[1], unit.TorqueDim, "share of the final torque", "sheet-gasket and bolting sheets (bolt-rounds)", confirmed})
	}
	return Calculation{
		Name: "bolt-order", Title: "Order of tightening",
		About:   "Numbered clockwise. In three rounds, 30, 60 and 100 per cent, then round the circle until none moves; the gasket's own rule for tightening again goes first.",
		Inputs:  in,
		Outputs: append(outputs("bolt-order", "ASME PCC-1 legacy cross pattern; common practice", memory, []col{{"order", "order", "order of tightening", ""}}), rounds...),
		Example: map[string]string{"bolts": "8", "torque": "18 N m"},
		formula: func(g given) (found, error) {
			f := newFound()
			r, err := g.row("bolt-order", "bolts")
			if err != nil {
				return f, err
			}
			f.take([]table.Row{r}, []col{{"order", "order", "order of tightening", ""}})
			if t, err := g.table("bolt-rounds"); err == nil {
				for _, r := range t.Rows() {
					f.note("%s (%s).", capital(roundWords(r)), whence(r))
				}
			}
			if g.has("torque") {
				return f, roundTorques(g, &f)
			}
			return f, nil
		},
		lead: func(g given, o *Out) string { return "Tighten " + o.Text["order"] },
	}
}

// roundTorques are the torques of the rounds by the usual scheme.
func roundTorques(g given, f *found) error {
	t, err := g.table("bolt-rounds")
	if err != nil {
		return err
	}
	r, err := t.Find("the usual scheme of rounds", table.Is("name", "usual"))
	if err != nil {
		return err
	}
	for i, head := range []string{"round1_pct", "round2_pct", "round3_pct"} {
		x, _ := r.SI(head)
		f.num[[]string{"first-round", "second-round", "last-round"}[i]] = x * g.num["torque"]
		f.cite("share of the final torque, round "+string(rune('1'+i)), r, head)
	}
	return refuse.Positive("the torque", g.num["torque"])
}

// roundWords puts a row of the table of rounds into words, whatever columns it has.
func roundWords(r table.Row) string {
	s := ""
	for _, h := range r.Table().Heads() {
		if v := r.Show(h); v != "" && h != "name" && h != "source" && h != "standing" {
			if s != "" {
				s += "; "
			}
			s += v
		}
	}
	return s
}

func threadEngagement() Calculation {
	in := []Input{{Name: "hole", Title: "metal of the tapped hole", From: "bolt-engagement"}, {Name: "bolt-diameter", Title: "bolt diameter", Dim: unit.LengthDim, On: "outside"}, {Name: "engaged", Title: "length of thread engaged", Dim: unit.LengthDim, Optional: true, On: "outside"}}
	return Calculation{
		Name: "thread-engagement", Title: "Thread engaged in a tapped hole",
		About:  "Steel bolts in soft metal strip the hole, not the bolt. A bolt that bottoms never clamps: feel the depth of the hole before fitting.",
		Inputs: in,
		Outputs: []Output{
			{"least-engaged", "least length engaged", unit.LengthDim, "times diameter, by the metal of the hole; the longer where sources differ", "small-engine workshop manual; bolting note", confirmed},
			{"engaged-now", "length engaged", unit.LengthDim, "as given", "as given", confirmed},
		},
		Judges:  []Judge{{Output: "engaged-now", Against: []string{"least-engaged"}}},
		Example: map[string]string{"hole": "aluminium", "bolt-diameter": "8 mm", "engaged": "14 mm"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			t, e := g.table("bolt-engagement")
			if e != nil {
				return f, e
			}
			most := 0.0
			var row table.Row
			for _, r := range t.Where(table.Is("name", g.word["hole"])) {
				if x, ok := r.SI("least_ratio"); ok && x > most {
					most, row = x, r
				}
			}
			if most > 0 {
				f.cite("diameters engaged", row, "least_ratio")
			}
			l, e := flange.LeastEngagement(g.length("bolt-diameter"), unit.Ratio(most))
			put(&f, &err, "least-engaged", l, e)
			if g.has("engaged") {
				f.num["engaged-now"] = g.num["engaged"]
				if e := refuse.NotNegative("the length engaged", g.num["engaged"]); e != nil {
					return f, e
				}
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "At least " + o.say(o.Num["least-engaged"], unit.LengthDim) + " of thread"
		},
	}
}

func faceFinish() Calculation {
	in := []Input{{Name: "gasket", Title: "gasket or face", From: "gasket-finish"}, {Name: "roughness", Title: "roughness Ra of the face", Dim: unit.LengthDim, Optional: true, On: "face"}}
	return Calculation{
		Name: "face-finish", Title: "Roughness of a gasket face",
		About:  "Too smooth lets sheet creep out, too rough leaves paths; marks that run across the gasket leak whatever the roughness.",
		Inputs: in,
		Outputs: []Output{
			{"low", "least roughness Ra", unit.LengthDim, "look-up", "trade articles and installation sheets, see the row", confirmed},
			{"high", "greatest roughness Ra", unit.LengthDim, "look-up", "trade articles and installation sheets, see the row", confirmed},
			{"roughness-now", "roughness Ra of the face", unit.LengthDim, "as given", "as given", confirmed},
		},
		Judges: []Judge{{Output: "roughness-now", Ours: outputLimit("low", "published finish for this gasket", confirmed)},
			{Output: "roughness-now", AtMost: true, Ours: outputLimit("high", "published finish for this gasket", confirmed)}},
		Example: map[string]string{"gasket": "sheet", "roughness": "4 um"},
		formula: func(g given) (found, error) {
			f := newFound()
			r, err := g.row("gasket-finish", "gasket")
			if err != nil {
				return f, err
			}
			f.take([]table.Row{r}, []col{{"low", "ra_from_um", "least roughness Ra", unit.LengthDim}, {"high", "ra_to_um", "greatest roughness Ra", unit.LengthDim}})
			for _, k := range []string{"low", "high"} {
				if f.num[k] == 0 {
					delete(f.num, k)
				}
			}
			if g.has("roughness") {
				f.num["roughness-now"] = g.num["roughness"]
				return f, refuse.NotNegative("the roughness", g.num["roughness"])
			}
			return f, nil
		},
		lead: func(_ given, o *Out) string {
			s := "Ra"
			if x, ok := o.Num["low"]; ok {
				s += " from " + o.say(x, unit.LengthDim)
			}
			if x, ok := o.Num["high"]; ok {
				s += " to " + o.say(x, unit.LengthDim)
			}
			return s + " is wanted"
		},
	}
}
