package catalogue

import (
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func materials() []Calculation { return []Calculation{rubberInFluid(), cleaningBath()} }

// limitOf names, per medium of the table of fluids, the column of the table of rubbers with the heat limit.
var limitOf = map[string]string{"dry": "high_C", "water": "hot_water_C", "steam": "steam_C"}

// rowOf names the row in the table of rubbers where it is not called like the family.
var rowOf = map[string]string{"epdm": "epdm-peroxide", "silicone": "vmq"}

const tableOfFluids = "compatibility of rubbers and fluids (rubber-fluids)"

// inFluid are the grades in words, from 1.
var inFluid = []string{"first choice", "fair, or for limited heat and time", "poor", "is destroyed"}

func rubberInFluid() Calculation {
	in := []Input{{Name: "rubber", Title: "rubber of the seal", Words: []string{"nbr", "hnbr", "epdm", "silicone", "fkm", "polyurethane", "cr"}},
		{Name: "fluid", Title: "fluid, grease or wash that it meets", From: "rubber-fluids"}, {Name: "hottest", Title: "hottest that the seal gets", Dim: unit.TemperatureDim, Optional: true}}
	return Calculation{
		Name: "rubber-in-fluid", Title: "Whether a rubber stands a fluid",
		About:  "Looks up how a rubber fares in a fluid (1 first choice to 4 destroyed) and the heat up to which common compounds stand it there.",
		Inputs: in,
		Outputs: []Output{
			{"grade", "grade, 1 first choice to 4 destroyed", unit.CountDim, "row of the fluid", tableOfFluids, practice},
			{"in-words", "in words", "", "1 first choice, 2 fair, 3 poor, 4 destroyed", tableOfFluids, practice},
			{"heat-limit", "hottest, common compounds", unit.TemperatureDim, "row of the rubber: dry heat, hot water or steam, whichever the fluid is", "elastomer property tables (elastomers)", confirmed},
			{"hottest-given", "hottest temperature", unit.TemperatureDim, "as given", "as given", confirmed},
		},
		Judges:  []Judge{{Output: "hottest-given", AtMost: true, Ours: outputOf("heat-limit", "table of rubbers, elastomers")}},
		Blind:   "Compounds of one family differ widely; the data sheet of the very compound goes before this.",
		Example: map[string]string{"rubber": "epdm", "fluid": "coolant", "hottest": "95 C"},
		formula: func(g given) (found, error) {
			f := newFound()
			r, err := g.row("rubber-fluids", "fluid")
			if err != nil {
				return f, err
			}
			rubber := g.word["rubber"]
			grade, _ := r.SI(rubber + "_n")
			f.num["grade"] = grade
			if i := int(grade) - 1; i >= 0 && i < len(inFluid) {
				f.text["in-words"] = inFluid[i]
			}
			f.cite(rubber+" in "+r.Text("fluid"), r, rubber+"_n")
			if s := r.Text("note"); s != "" {
				f.note("%s.", capital(s))
			}
			if g.has("hottest") {
				f.num["hottest-given"] = g.num["hottest"]
			}
			t, err := g.table("elastomers")
			if err != nil {
				return f, err
			}
			name, other := rowOf[rubber]
			if !other {
				name = rubber
			}
			e, err := t.Find("the rubber "+rubber, table.Is("name", name))
			if err != nil {
				return f, err
			}
			if x, ok := e.SI(limitOf[r.Text("medium")]); ok {
				f.num["heat-limit"] = x
				f.cite("hottest of "+rubber+", "+r.Text("medium"), e, limitOf[r.Text("medium")])
			}
			return f, nil
		},
		lead: func(g given, o *Out) string {
			return g.word["rubber"] + " in " + g.word["fluid"] + ": " + o.Text["in-words"]
		},
	}
}

// byPractice is the limit that the row of cleaner and metal has, where it has one.
func byPractice(output string) func(given, found) (Figure, error) {
	return func(_ given, f found) (Figure, error) {
		x, ok := f.num[output]
		if !ok {
			return Figure{}, nil
		}
		return Figure{x, "table of cleaners, cleaner-metals", practice}, nil
	}
}

const tableOfCleaners = "cleaners and metals (cleaner-metals)"

func cleaningBath() Calculation {
	in := []Input{{Name: "cleaner", Title: "cleaner or descaler", Words: []string{"hydrochloric", "sulphamic", "phosphoric", "citric", "vinegar", "fluoride-brightener", "caustic", "mild-alkali", "ammonia", "bleach", "solvent"}},
		{Name: "metal", Title: "weakest metal in the bath", Words: []string{"iron", "aluminium", "copper", "cupronickel", "stainless", "zinc", "solder"}},
		{Name: "time", Title: "time in the bath", Dim: unit.TimeDim, Optional: true, Key: true},
		{Name: "strength", Title: "strength of the bath", Dim: unit.RatioDim, Optional: true},
		{Name: "bath-temperature", Title: "temperature of the bath", Dim: unit.TemperatureDim, Optional: true}}
	return Calculation{
		Name: "cleaning-bath", Title: "How long a metal may lie in a cleaner",
		About:  "Looks up the longest time, the greatest strength and the hottest bath of a cleaner for one metal. For a mixed assembly ask for each metal; the strictest row holds. No time at all means never.",
		Inputs: in,
		Outputs: []Output{
			{"longest-time", "longest time in the bath", unit.TimeDim, "row of cleaner and metal", tableOfCleaners, practice},
			{"greatest-strength", "greatest strength", unit.RatioDim, "row of cleaner and metal", tableOfCleaners, practice},
			{"hottest-bath", "hottest bath", unit.TemperatureDim, "row of cleaner and metal", tableOfCleaners, practice},
			{"time-given", "time in the bath", unit.TimeDim, "as given", "as given", confirmed},
			{"strength-given", "strength of the bath", unit.RatioDim, "as given", "as given", confirmed},
			{"bath-given", "temperature of the bath", unit.TemperatureDim, "as given", "as given", confirmed},
		},
		Judges: []Judge{
			{Output: "time-given", AtMost: true, Ours: byPractice("longest-time")},
			{Output: "strength-given", AtMost: true, Ours: byPractice("greatest-strength")},
			{Output: "bath-given", AtMost: true, Ours: byPractice("hottest-bath")},
		},
		Blind:   "Gauge the seats before and after: a bath within its time can still have opened a bore that was near its limit. Rubber and anodes come out first.",
		Example: map[string]string{"cleaner": "citric", "metal": "aluminium", "time": "20 min", "strength": "8 %", "bath-temperature": "20 C"},
		formula: func(g given) (found, error) {
			f := newFound()
			t, err := g.table("cleaner-metals")
			if err != nil {
				return f, err
			}
			r, err := t.Find(g.word["cleaner"]+" on "+g.word["metal"], table.Is("cleaner", g.word["cleaner"]), table.Is("metal", g.word["metal"]))
			if err != nil {
				return f, err
			}
			for output, head := range map[string]string{"longest-time": "longest_min", "greatest-strength": "strength_pct", "hottest-bath": "bath_C"} {
				if x, ok := r.SI(head); ok {
					f.num[output] = x
				}
			}
			f.cite("time of "+g.word["cleaner"]+" on "+g.word["metal"], r, "longest_min")
			for given, output := range map[string]string{"time": "time-given", "strength": "strength-given", "bath-temperature": "bath-given"} {
				if g.has(given) {
					f.num[output] = g.num[given]
				}
			}
			if s := r.Text("note"); s != "" {
				f.note("%s.", capital(s))
			}
			return f, nil
		},
		lead: func(g given, o *Out) string {
			if o.Num["longest-time"].SI == 0 {
				return "Never: " + g.word["cleaner"] + " on " + g.word["metal"]
			}
			return g.word["cleaner"] + " on " + g.word["metal"] + ": at most " + o.say(o.Num["longest-time"], unit.TimeDim)
		},
	}
}
