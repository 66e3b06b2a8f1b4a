package catalogue

import (
	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func lapOff() Calculation {
	in := []Input{{Name: "flatness", Title: "unevenness of the face, peak to valley", Dim: unit.LengthDim, On: "face"}, {Name: "permitted", Title: "flatness that will do", Dim: unit.LengthDim, Optional: true, Default: "0 mm"},
		{Name: "stock-limit", Title: "most that may come off in all, since new (maker's)", Dim: unit.LengthDim, Optional: true}, {Name: "removed-before", Title: "what has come off before", Dim: unit.LengthDim, Optional: true, Default: "0 mm"},
		{Name: "thickness", Title: "thickness or height of the part now", Dim: unit.LengthDim, Optional: true}, {Name: "least-thickness", Title: "least thickness or height (maker's)", Dim: unit.LengthDim, Optional: true},
		{Name: "recess-depth", Title: "depth of a recess in the face for a ring or gasket", Dim: unit.LengthDim, Optional: true}, {Name: "ring-height", Title: "free height of what lies in it", Dim: unit.LengthDim, Optional: true}, {Name: "greatest-squeeze", Title: "greatest squeeze it stands", Dim: unit.RatioDim, Optional: true, Default: "30 %"},
		{Name: "clearance", Title: "clearance that shrinks with the face: pin, bolt end, impeller, valve", Dim: unit.LengthDim, Optional: true}, {Name: "least-clearance", Title: "least of that clearance", Dim: unit.LengthDim, Optional: true},
		{Name: "part", Title: "kind of part, for the published figures", From: "face-stock", Optional: true}}
	return Calculation{
		Name: "lap-off", Title: "How much may be lapped off a face, and what is left",
		About:  "How much must come off until the face is flat enough, and how much may: by the maker's figure first, then by the thickness, the recess and the clearances of this part, whichever runs out first. Lap on plate glass with abrasive paper, marked with ink, a little at a time; on a head count the clearance of valve to piston, and take the same off ends that close on one another.",
		Inputs: in,
		Outputs: []Output{
			{"needed", "what must come off", unit.LengthDim, "unevenness - flatness that will do, at least 0", "geometry", confirmed},
			{"clean-up", "what comes off until the deepest hollow is gone", unit.LengthDim, "flatness", "geometry", confirmed},
			{"may", "what may still come off", unit.LengthDim, "least of the rooms", "geometry", confirmed},
			{"set-by", "what runs out first", "", "the least of the rooms", "geometry", confirmed},
			{"left", "what may come off another time", unit.LengthDim, "may - needed", "geometry", confirmed},
			{"removed-in-all", "what has come off in all afterwards", unit.LengthDim, "removed before + needed", "sum", confirmed},
			{"thickness-left", "thickness or height afterwards", unit.LengthDim, "thickness - needed", "sum", confirmed},
		},
		Judges:  []Judge{{Output: "removed-in-all", AtMost: true, By: "stock-limit"}, {Output: "needed", AtMost: true, Against: []string{"may"}}},
		Blind:   "Lapping that rocks or follows the bow takes off more than it needs: measure the thickness at four places before and after. Hardened skins, gear end float and sealing lips behind the face are not in the sum.",
		Example: map[string]string{"flatness": "0.12 mm", "permitted": "0.05 mm", "stock-limit": "0.20 mm", "removed-before": "0.05 mm", "thickness": "12.10 mm", "least-thickness": "11.80 mm", "recess-depth": "2.70 mm", "ring-height": "3.53 mm", "clearance": "0.60 mm", "least-clearance": "0.30 mm", "part": "cover"},
		formula: lapOffFormula,
		lead: func(_ given, o *Out) string {
			if o.Num["needed"].SI == 0 {
				return "It is flat enough as it is"
			}
			return "At least " + o.say(o.Num["needed"], unit.LengthDim) + " must come off and " + o.say(Num{SI: o.Num["may"].SI}, unit.LengthDim) + " may (" + o.Text["set-by"] + " runs out first), " + o.say(Num{SI: max(0, o.Num["left"].SI)}, unit.LengthDim) + " is left for another time"
		},
	}
}

func lapOffFormula(g given) (found, error) {
	f := newFound()
	for _, in := range []struct{ name, title string }{{"removed-before", "what has come off before"}, {"stock-limit", "the most that may come off"}} {
		if x, ok := g.num[in.name]; ok {
			if err := refuse.NotNegative(in.title, x); err != nil {
				return f, err
			}
		}
	}
	rooms, err := roomsOf(g)
	if err != nil {
		return f, err
	}
	l, err := flange.Lap(g.length("flatness"), g.length("permitted"), rooms...)
	if err != nil {
		return f, err
	}
	f.num["needed"], f.num["clean-up"], f.num["may"], f.num["left"] = float64(l.Needed), float64(l.CleanUp), max(0, float64(l.May)), float64(l.May-l.Needed)
	f.num["removed-in-all"], f.text["set-by"] = g.num["removed-before"]+float64(l.Needed), l.Why
	if l.May < 0 {
		f.note("%s has run out already, by %s.", capital(l.Why), g.say(Num{SI: -float64(l.May)}, unit.LengthDim))
	}
	if !l.Possible {
		f.note("Lapping cannot save this part: a thicker gasket that takes up the unevenness (face-limit), or another part.")
	}
	if g.has("thickness") {
		f.num["thickness-left"] = g.num["thickness"] - float64(l.Needed)
	}
	if !g.has("stock-limit") {
		f.note("Without the maker's figure take off no more than the bow itself.")
	}
	return f, stockRows(g, &f)
}

// roomsOf are all that the person knows of what may run out; both halves of a pair are asked.
func roomsOf(g given) ([]flange.Room, error) {
	var rooms []flange.Room
	pair := func(a, b string) (bool, error) {
		if g.has(a) && g.has(b) {
			return true, nil
		}
		if g.has(b) || g.has(a) && a != "thickness" {
			return false, refuse.Because("the pair "+a+" and "+b, "has only one figure", "give both or neither")
		}
		return false, nil
	}
	if g.has("stock-limit") {
		rooms = append(rooms, flange.Room{Why: "the maker's stock", Left: g.length("stock-limit") - g.length("removed-before")})
	}
	add := func(room flange.Room, err error) error {
		rooms = append(rooms, room)
		return err
	}
	for _, kind := range []struct {
		a, b string
		room func() (flange.Room, error)
	}{
		{"thickness", "least-thickness", func() (flange.Room, error) {
			return flange.RoomByThickness(g.length("thickness"), g.length("least-thickness"))
		}},
		{"recess-depth", "ring-height", func() (flange.Room, error) {
			return flange.RoomBySqueeze(g.length("recess-depth"), g.length("ring-height"), g.ratio("greatest-squeeze"))
		}},
		{"clearance", "least-clearance", func() (flange.Room, error) {
			return flange.RoomByMeasure("clearance", g.length("clearance"), g.length("least-clearance"))
		}},
	} {
		ok, err := pair(kind.a, kind.b)
		if ok {
			err = add(kind.room())
		}
		if err != nil {
			return nil, err
		}
	}
	return rooms, nil
}

// stockRows shows what makers allow on parts of this kind; none of them is a rule for another part.
func stockRows(g given, f *found) error {
	if !g.has("part") {
		return nil
	}
	t, err := g.table("face-stock")
	if err != nil {
		return err
	}
	for _, r := range t.Where(table.Is("name", g.word["part"])) {
		switch {
		case r.Show("removed_mm") != "":
			f.cite("greatest stock removal, "+r.Text("part"), r, "removed_mm")
		case r.Show("height_least_mm") != "":
			f.cite("least height, "+r.Text("part"), r, "height_least_mm")
		}
		if n := r.Text("note"); n != "" {
			f.note("%s: %s.", capital(r.Text("part")), n)
		}
	}
	f.note("Each published figure is one engine's: none is a rule for another part.")
	return nil
}
