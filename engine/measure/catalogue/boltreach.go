package catalogue

import (
	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func boltReaches() []Calculation { return []Calculation{boltReach(), clampedParts(), nutSpring()} }

// isNamed asks for a row by its word.
func isNamed(word string) table.Cond { return table.Is("name", word) }

// freeDepth is how many threads should stay free below the end of a bolt in a blind hole.
const freeDepth = 2

func boltReach() Calculation {
	in := []Input{{Name: "length", Title: "length of the bolt under its head", Dim: unit.LengthDim, On: "outside"}, {Name: "between", Title: "what lies between head and tapped part: washer, cover, squeezed gasket", Dim: unit.LengthDim, On: "outside"},
		{Name: "depth", Title: "depth of the thread from the face of the tapped part", Dim: unit.LengthDim}, {Name: "counterbore", Title: "depth of plain hole before the thread begins", Dim: unit.LengthDim, Optional: true, Default: "0 mm"},
		{Name: "thread", Title: "thread of the bolt", From: "bolt-thread"}, {Name: "hole", Title: "metal of the tapped hole", From: "bolt-engagement", Optional: true},
		{Name: "shear-strength", Title: "shear strength of that metal, about 0.6 of its tensile strength", Dim: unit.PressureDim, Optional: true}, {Name: "bolt-load", Title: "greatest load of the bolt", Dim: unit.ForceDim, Optional: true},
		{Name: "class", Title: "strength class on the head", From: "bolt-strength", Optional: true}}
	const strip = "FED-STD-H28 and Machinery's Handbook, basic sizes"
	return Calculation{
		Name: "bolt-reach", Title: "Does the bolt bottom, and is it in far enough",
		About:  "A bolt that is too long stops on the bottom of its hole and never clamps, though the wrench clicks; one that is too short pulls the thread. After lapping, with a thinner gasket or without its washer a bolt reaches deeper than before.",
		Inputs: in,
		Outputs: []Output{
			{"engaged", "length of thread engaged", unit.LengthDim, "length - between - counterbore", "geometry", confirmed},
			{"free-depth", "free depth below the bolt", unit.LengthDim, "depth - (length - between)", "geometry", confirmed},
			{"least-free", "free depth wanted", unit.LengthDim, "2 threads", "common practice, two to three threads", practice},
			{"least-engaged", "least length engaged, by the metal of the hole", unit.LengthDim, "times diameter; the longer where sources differ", "small-engine workshop manual; bolting note", confirmed},
			{"longest-bolt", "longest bolt for this hole", unit.LengthDim, "between + depth - free depth wanted", "geometry", confirmed},
			{"shortest-bolt", "shortest bolt for this hole", unit.LengthDim, "between + counterbore + least length engaged", "geometry", confirmed},
			{"strip-load", "load at which the hole strips", unit.ForceDim, "(7/8) pi d engaged shear strength", strip, confirmed},
			{"bolt-load-now", "greatest load of the bolt", unit.ForceDim, "as given", "as given", confirmed},
			{"engaged-for-bolt", "length engaged at which the bolt breaks before the hole strips", unit.LengthDim, "tensile strength stress area / ((7/8) pi d shear strength)", strip, confirmed},
		},
		Judges: []Judge{{Output: "free-depth", Against: []string{"least-free"}}, {Output: "engaged", Against: []string{"least-engaged"}},
			{Output: "bolt-load-now", AtMost: true, Against: []string{"strip-load"}}},
		Blind:   "Worn, drilled-over or corroded threads hold less; swarf, sealant or coolant in a blind hole makes it shallower, and a trapped liquid can crack the boss. Feel the depth with a wire in each hole.",
		Example: map[string]string{"length": "30 mm", "between": "13 mm", "depth": "22 mm", "counterbore": "1 mm", "thread": "m8", "hole": "aluminium", "shear-strength": "130 MPa", "bolt-load": "15 kN", "class": "8.8"},
		formula: boltReachFormula,
		lead: func(_ given, o *Out) string {
			if n := o.Num["free-depth"]; n.SI < 0 {
				return "The bolt bottoms: it is " + o.say(Num{-n.SI, n.U}, unit.LengthDim) + " too long and cannot clamp"
			}
			if n := o.Num["engaged"]; n.SI <= 0 {
				return "The bolt does not reach the thread"
			}
			return o.say(o.Num["engaged"], unit.LengthDim) + " of thread is engaged and " + o.say(o.Num["free-depth"], unit.LengthDim) + " is free below the bolt"
		},
	}
}

func boltReachFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	b, err := fastenerOf(g, &f)
	if err != nil {
		return f, err
	}
	engaged, free, err := flange.EngagementLeft(g.length("length"), g.length("between"), g.length("counterbore"), g.length("depth"))
	if err != nil {
		return f, err
	}
	least := freeDepth * b.pitch
	f.num["engaged"], f.num["free-depth"], f.num["least-free"] = float64(engaged), float64(free), float64(least)
	f.num["longest-bolt"] = float64(g.length("between") + g.length("depth") - least)
	if g.has("hole") {
		want, err := engagementOf(g, &f, b.d)
		if err != nil {
			return f, err
		}
		f.num["least-engaged"] = float64(want)
		f.num["shortest-bolt"] = float64(g.length("between") + g.length("counterbore") + want)
		if f.num["shortest-bolt"] > f.num["longest-bolt"] {
			f.note("No bolt length serves: the hole is too shallow for the thread that this metal needs. An insert, a deeper thread or a through bolt.")
		}
	}
	if !g.has("shear-strength") {
		return f, nil
	}
	shear := g.pressure("shear-strength")
	if g.has("bolt-load") {
		f.num["bolt-load-now"] = g.num["bolt-load"]
		err = refuse.NotNegative("the bolt load", g.num["bolt-load"])
	}
	if in := min(engaged, g.length("depth")-g.length("counterbore")); in > 0 {
		load, e := flange.StripLoad(b.d, b.pitch, in, shear)
		put(&f, &err, "strip-load", load, e)
	} else {
		f.num["strip-load"] = 0
	}
	if g.has("class") {
		rm, e := tensileOf(g, &f, b.d)
		if e != nil {
			return f, e
		}
		l, e := flange.EngagementForLoad(unit.Force(float64(rm)*float64(b.area)), b.d, b.pitch, shear)
		put(&f, &err, "engaged-for-bolt", l, e)
	}
	return f, err
}

// engagementOf is the length engaged by the metal of the hole; where sources differ the longer.
func engagementOf(g given, f *found, d unit.Length) (unit.Length, error) {
	t, err := g.table("bolt-engagement")
	if err != nil {
		return 0, err
	}
	most, at := 0.0, -1
	rows := t.Where(isNamed(g.word["hole"]))
	for i, r := range rows {
		if x, ok := r.SI("least_ratio"); ok && x > most {
			most, at = x, i
		}
	}
	if at >= 0 {
		f.cite("diameters engaged", rows[at], "least_ratio")
	}
	return flange.LeastEngagement(d, unit.Ratio(most))
}

// tensileOf is the least tensile strength of the class.
func tensileOf(g given, f *found, d unit.Length) (unit.Pressure, error) {
	t, err := g.table("bolt-strength")
	if err != nil {
		return 0, err
	}
	r, err := t.Find("the class "+g.word["class"], isNamed(g.word["class"]), table.Between("from_mm", "to_mm", float64(d)))
	if err != nil {
		return 0, err
	}
	x, _ := r.SI("rm_MPa")
	f.cite("least tensile strength", r, "rm_MPa")
	return unit.Pressure(x), nil
}

func clampedParts() Calculation {
	in := []Input{{Name: "bolt-diameter", Title: "bolt diameter", Dim: unit.LengthDim, On: "outside"}, {Name: "face-diameter", Title: "outside diameter of the bearing face of head or washer", Dim: unit.LengthDim, On: "outside"},
		{Name: "first-thickness", Title: "thickness of the first clamped part", Dim: unit.LengthDim, On: "outside"}, {Name: "first-material", Title: "its material", From: "bolt-materials"},
		{Name: "second-thickness", Title: "thickness of the second part, or of thread that counts as clamped (half a diameter in a tapped hole)", Dim: unit.LengthDim, Optional: true, On: "outside"}, {Name: "second-material", Title: "its material", From: "bolt-materials", Optional: true}}
	const cones = "Shigley's Mechanical Engineering Design, eq. 8-20, cones of 30 degrees"
	return Calculation{
		Name: "clamped-parts", Title: "Stiffness of the parts that a bolt clamps",
		About:  "The metal under a bolt head as cones that meet half way: the figure that bolt-settling takes as joint-stiffness. A narrow rim is softer than its cone; a gasket in between is softer by far and goes in line with it.",
		Inputs: in,
		Outputs: []Output{
			{"joint-stiffness", "stiffness of the clamped parts", unit.StiffnessDim, "1 / sum(1/k), k = 0.5774 pi E d / ln[(1.155 t + D - d)(D + d) / ((1.155 t + D + d)(D - d))]", cones, confirmed},
			{"grip", "length that the bolt stretches over", unit.LengthDim, "sum of the thicknesses", "geometry", confirmed},
		},
		Example: map[string]string{"bolt-diameter": "12 mm", "face-diameter": "18 mm", "first-thickness": "20 mm", "first-material": "steel", "second-thickness": "25 mm", "second-material": "cast-iron"},
		formula: func(g given) (found, error) {
			f := newFound()
			var parts []flange.Part
			grip := 0.0
			for _, n := range []string{"first", "second"} {
				if !g.has(n + "-thickness") {
					if g.has(n + "-material") {
						return f, refuse.Because("the thickness of the "+n+" part", "is missing", "give "+n+"-thickness with its material")
					}
					continue
				}
				if !g.has(n + "-material") {
					return f, refuse.Because("the material of the "+n+" part", "is missing", "give "+n+"-material, such as steel")
				}
				r, err := g.row("bolt-materials", n+"-material")
				if err != nil {
					return f, err
				}
				e, ok := r.SI("modulus_GPa")
				if !ok {
					return f, refuse.Because("the modulus of "+r.Text("material"), "is not in the table", "a bolt does not clamp such a part for long")
				}
				f.cite("modulus of the "+n+" part", r, "modulus_GPa")
				parts = append(parts, flange.Part{Thickness: g.length(n + "-thickness"), E: unit.Pressure(e)})
				grip += g.num[n+"-thickness"]
			}
			k, err := flange.ClampedStiffness(g.length("bolt-diameter"), g.length("face-diameter"), parts...)
			f.num["joint-stiffness"], f.num["grip"] = float64(k), grip
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "The clamped parts give " + o.say(o.Num["joint-stiffness"], unit.StiffnessDim)
		},
	}
}

func nutSpring() Calculation {
	in := []Input{{Name: "settling", Title: "how much the joint settles, or the casing shrinks from the rod", Dim: unit.LengthDim}, {Name: "loss-allowed", Title: "load that may be lost by it", Dim: unit.ForceDim},
		{Name: "rod-stiffness", Title: "stiffness of the bolt or rod (tie-rod-heat and bolt-settling give it)", Dim: unit.StiffnessDim}, {Name: "joint-stiffness", Title: "stiffness of the clamped parts (left out: rigid)", Dim: unit.StiffnessDim, Optional: true}}
	return Calculation{
		Name: "nut-spring", Title: "Spring washers that keep the load of a short bolt or a rod",
		About:  "A spring under the nut makes a stiff bolt soft: the same settling then takes less of its load. Spring and bolt carry the same load, so the stack must stand all of it without going flat.",
		Inputs: in,
		Outputs: []Output{
			{"loss-without", "load lost without a spring", unit.ForceDim, "settling / (1/k rod + 1/k joint)", "linear elasticity", confirmed},
			{"spring-stiffness", "stiffest spring that will do", unit.StiffnessDim, "1 / (settling / loss allowed - 1/k rod - 1/k joint)", "springs in line", confirmed},
		},
		Example: map[string]string{"settling": "0.10 mm", "loss-allowed": "2 kN", "rod-stiffness": "40 kN/mm"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			x, rod, parts := g.length("settling"), unit.Stiffness(g.num["rod-stiffness"]), unit.Stiffness(g.num["joint-stiffness"])
			loss, e := flange.LossBySettling(x, rod, parts)
			put(&f, &err, "loss-without", loss, e)
			k, e := flange.SpringForLoss(x, g.force("loss-allowed"), rod, parts)
			put(&f, &err, "spring-stiffness", k, e)
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "Without a spring " + o.say(o.Num["loss-without"], unit.ForceDim) + " is lost; a stack of at most " + o.say(o.Num["spring-stiffness"], unit.StiffnessDim) + " keeps within the loss allowed"
		},
	}
}
