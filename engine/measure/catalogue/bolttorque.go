package catalogue

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func boltTorques() []Calculation { return []Calculation{boltTorque(), gasketAdvice()} }

const torqueTables = "machine manuals and standards (bolt-torque)"

func boltTorque() Calculation {
	in := []Input{{Name: "thread", Title: "thread of the bolt", From: "bolt-thread"}, {Name: "class", Title: "strength class on the head", From: "bolt-strength"},
		{Name: "state", Title: "state of the thread (left out: every state)", Words: []string{"dry", "oiled", "light-oil", "lubricated", "paste", "poor-paste"}, Optional: true},
		{Name: "into", Title: "metal of the thread it goes into", Words: []string{"steel", "cast-aluminium"}, Optional: true, Default: "steel"},
		{Name: "torque", Title: "torque in use or intended", Dim: unit.TorqueDim, Optional: true}, {Name: "torque-limit", Title: "greatest torque allowed (maker's)", Dim: unit.TorqueDim, Optional: true}}
	return Calculation{
		Name: "bolt-torque", Title: "Published tightening torque of a thread and class",
		About:  "What published tables give, side by side; the lowest is the safe one. It is an upper limit from the bolt alone, never the torque of a joint: a gasket, a soft cover or a short thread may stand far less (joint-torque), and the maker's figure goes before all of them.",
		Inputs: in,
		Outputs: []Output{
			{"upper-limit", "upper limit, lowest of the published torques", unit.TorqueDim, "least of the rows that fit", torqueTables, confirmed},
			{"published-highest", "highest of the published torques", unit.TorqueDim, "greatest of the rows that fit", torqueTables, confirmed},
			{"limit-state", "state of the thread for which the upper limit holds", "", "as the row says", torqueTables, confirmed},
			{"bolt-load", "bolt load that the row gives with it", unit.ForceDim, "as the row says", torqueTables, confirmed},
			{"torque-used", "torque in use or intended", unit.TorqueDim, "as given", "as given", confirmed},
		},
		Judges:  []Judge{{Output: "torque-used", AtMost: true, By: "torque-limit", Ours: outputLimit("upper-limit", "the lowest of the published torques for this bolt, an upper limit", confirmed)}},
		Blind:   "A table knows nothing of the gasket, the cover, the length of thread engaged or of what has been smeared on the thread.",
		Example: map[string]string{"thread": "m8", "class": "a2-70", "state": "paste", "torque": "12 N m"},
		formula: boltTorqueFormula,
		lead: func(_ given, o *Out) string {
			s := "At most " + o.say(Num{SI: o.Num["upper-limit"].SI}, unit.TorqueDim) + " (" + o.Text["limit-state"] + ")"
			if x := o.Num["published-highest"].SI; x > o.Num["upper-limit"].SI {
				s += ", other tables up to " + o.say(Num{SI: x}, unit.TorqueDim)
			}
			return s + "; an upper limit of the bolt, not the torque of the joint"
		},
	}
}

func boltTorqueFormula(g given) (found, error) {
	f := newFound()
	t, err := g.table("bolt-torque")
	if err != nil {
		return f, err
	}
	conds := []table.Cond{table.Is("name", g.word["thread"]), table.Is("class", g.word["class"]), table.Is("into", g.word["into"])}
	if g.has("state") {
		conds = append(conds, table.Is("state", g.word["state"]))
	}
	rows := t.Where(conds...)
	if len(rows) == 0 {
		_, err := t.Find("the thread "+g.word["thread"]+" of class "+g.word["class"], conds...)
		return f, err
	}
	low, high := math.Inf(1), 0.0
	var least table.Row
	for _, r := range rows {
		x, ok := r.SI("torque_Nm")
		if !ok {
			continue
		}
		what := "published torque, " + r.Text("state")
		if mu := r.Show("mu_ratio"); mu != "" {
			what += ", friction " + mu
		}
		f.cite(what, r, "torque_Nm")
		if x < low {
			low, least = x, r
		}
		high = max(high, x)
	}
	f.num["upper-limit"], f.num["published-highest"], f.text["limit-state"] = low, high, least.Text("state")
	if x, ok := least.SI("preload_kN"); ok {
		f.num["bolt-load"] = x
	}
	if !g.has("state") && len(rows) > 1 {
		f.note("The state of the thread was not given: the lowest torque of all states was taken, as a slippery thread carries the most load.")
	}
	f.note(generic)
	if g.has("torque") {
		f.num["torque-used"] = g.num["torque"]
		return f, refuse.Positive("the torque", g.num["torque"])
	}
	return f, nil
}

func gasketAdvice() Calculation {
	in := []Input{{Name: "subject", Title: "what the rule is about", From: "gasket-assembly"}}
	cols := []col{{"rule", "rule", "rule", ""}, {"advice", "value", "what it asks", ""}}
	return Calculation{
		Name: "gasket-rule", Title: "Rule for fitting a gasket",
		About:   "What installation guides say on rounds, waiting, second torque, width, thickness, dressing and reuse. The maker's sheet goes before them.",
		Inputs:  in,
		Outputs: outputs("gasket-assembly", "installation guides (gasket-assembly)", confirmed, cols),
		Example: map[string]string{"subject": "ptfe"},
		formula: func(g given) (found, error) {
			f := newFound()
			t, err := g.table("gasket-assembly")
			if err != nil {
				return f, err
			}
			rows := t.Where(table.Is("name", g.word["subject"]))
			f.take(rows, cols)
			return f, nil
		},
		lead: func(_ given, o *Out) string { return o.Text["rule"] + ": " + o.Text["advice"] },
	}
}
