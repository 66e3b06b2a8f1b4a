package catalogue

import (
	"math"

	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func ringLimits() []Calculation { return []Calculation{oringLimits(), oringFaceLimits()} }

// needed is the least squeeze in length that a ring needs to have left: share or length, whichever is more,
// with the set already taken off.
func needed(g given) (unit.Length, error) {
	if err := refuse.First(refuse.Within("the compression set", g.num["set"], 0, 0.95, "above 95 % the ring is done: fit a new one"),
		refuse.Within("the least squeeze wanted", g.num["least-squeeze"], 0, 0.5, "10 % is the usual floor"), refuse.NotNegative("the least squeeze wanted in length", g.num["least-squeeze-mm"])); err != nil {
		return 0, err
	}
	return unit.Length(math.Max(g.num["least-squeeze"]*g.num["cord"], g.num["least-squeeze-mm"]) / (1 - g.num["set"])), nil
}

var (
	floorIn   = Input{Name: "least-squeeze", Title: "least squeeze wanted", Dim: unit.RatioDim, Optional: true, Default: "10 %"}
	floorMMIn = Input{Name: "least-squeeze-mm", Title: "least squeeze wanted in length", Dim: unit.LengthDim, Optional: true, Default: "0.2 mm"}
	ceilingIn = Input{Name: "greatest-squeeze", Title: "greatest squeeze allowed", Dim: unit.RatioDim, Optional: true, Default: "30 %"}
	fullIn    = Input{Name: "greatest-fill", Title: "greatest groove fill allowed", Dim: unit.RatioDim, Optional: true, Default: "85 %"}
)

const floorSource = "10 % or 0.2 mm working floor"

func oringLimits() Calculation {
	in := []Input{cordIn, grooveIn, boreIn, spigotIn, widthIn, ringIDIn, setIn, swellIn, floorIn, floorMMIn, ceilingIn, fullIn,
		{Name: "greatest-stretch", Title: "greatest stretch allowed", Dim: unit.RatioDim, Optional: true, Default: "5 %"},
		{Name: "hardness", Title: "hardness of the ring", Dim: unit.HardnessDim, Optional: true}, {Name: "pressure", Title: "greatest pressure", Dim: unit.PressureDim, Optional: true}}
	return Calculation{
		Name: "oring-limits", Title: "How far each size of a radial gland may go",
		About:  "Solves every limit on these parts: largest bore, smallest and largest groove, thinnest and thickest cord, greatest ovality, offset, clearance and set, narrowest groove, and the pressure that the clearance can stand. One number to reach for each.",
		Inputs: in,
		Outputs: []Output{
			{"squeeze-needed", "least squeeze needed", unit.LengthDim, "max(share cord, length) / (1 - set)", floorSource, practice},
			{"squeeze-now", "squeeze as it is, in length", unit.LengthDim, "cord - (bore - groove)/2", "ISO 3601-2", confirmed},
			{"squeeze-spare", "squeeze to spare", unit.LengthDim, "squeeze as it is - squeeze needed", floorSource, practice},
			{"largest-bore", "largest local bore", unit.LengthDim, "groove + 2 (cord - squeeze needed)", "geometry", confirmed},
			{"smallest-bore", "smallest local bore", unit.LengthDim, "groove + 2 cord (1 - greatest squeeze)", "geometry", confirmed},
			{"smallest-groove", "smallest groove diameter", unit.LengthDim, "bore - 2 (cord - squeeze needed)", "geometry", confirmed},
			{"largest-groove", "largest groove diameter", unit.LengthDim, "bore - 2 cord (1 - greatest squeeze), and ring inside (1 + greatest stretch) where that is less", "geometry and definition of stretch", confirmed},
			{"thinnest-cord", "thinnest cord", unit.LengthDim, "max[depth / (1 - share/(1 - set)), depth + length/(1 - set)]", "definition of squeeze turned round", confirmed},
			{"thickest-cord", "thickest cord", unit.LengthDim, "least of depth / (1 - greatest squeeze) and [4 depth width fill / (pi (1 + swell))]^(1/2)", "definitions of squeeze and fill turned round", confirmed},
			{"greatest-ovality", "greatest ovality of the bore, spigot in the middle", unit.LengthDim, "2 (largest bore - bore)", "geometry", confirmed},
			{"greatest-ovality-off-centre", "greatest ovality of the bore, spigot against one side", unit.LengthDim, "2 [(largest bore + spigot)/2 - bore]", "geometry", confirmed},
			{"greatest-offset", "greatest offset of the spigot in a round bore", unit.LengthDim, "cord - squeeze needed - depth", "geometry", confirmed},
			{"greatest-clearance", "greatest diametral clearance in a round bore, for the squeeze", unit.LengthDim, "2 (cord - squeeze needed - depth)", "geometry", confirmed},
			{"clearance-for-pressure", "greatest diametral clearance for the pressure", unit.LengthDim, "strictest published table at this hardness and pressure", "published tables of extrusion gaps (oring-extrusion-gap)", confirmed},
			{"pressure-for-clearance", "greatest pressure for the clearance as it is", unit.PressureDim, "strictest published table, read backwards", "published tables of extrusion gaps (oring-extrusion-gap)", confirmed},
			{"greatest-set", "compression set at which the least squeeze is reached", unit.RatioDim, "1 - max(share cord, length) / squeeze as it is", "definition of set turned round", confirmed},
			{"narrowest-groove", "narrowest groove", unit.LengthDim, "(pi/4) cord^2 (1 + swell) / (depth greatest fill)", "definition of fill turned round", confirmed},
		},
		Judges:  []Judge{{Output: "squeeze-spare", Ours: fixed(0, "the least squeeze wanted, as given or "+floorSource+", and the set", practice)}},
		Blind:   "Each limit holds with all other sizes left as they are; two sizes that each use up their margin together break it.",
		Example: map[string]string{"cord": "3.53 mm", "groove-diameter": "25.40 mm", "bore-diameter": "31.04 mm", "spigot-diameter": "30.94 mm", "groove-width": "4.78 mm", "ring-id": "24.99 mm", "set": "20 %", "hardness": "70 Shore A", "pressure": "60 bar"},
		formula: oringLimitsFormula,
		lead: func(_ given, o *Out) string {
			s := "The bore may be at most " + o.say(Num{SI: o.Num["largest-bore"].SI}, unit.LengthDim) + " anywhere, the cord at least " + o.say(Num{SI: o.Num["thinnest-cord"].SI}, unit.LengthDim)
			if n, ok := o.Num["greatest-ovality"]; ok {
				s += ", the bore at most " + o.say(Num{SI: n.SI}, unit.LengthDim) + " oval"
			}
			return s + "; squeeze to spare " + o.say(o.Num["squeeze-spare"], unit.LengthDim) + " (it is " + o.say(Num{SI: o.Num["squeeze-now"].SI}, unit.LengthDim) + ", needed are " + o.say(Num{SI: o.Num["squeeze-needed"].SI}, unit.LengthDim) + ")"
		},
	}
}

func oringLimitsFormula(g given) (found, error) {
	f, err := newFound(), error(nil)
	cord, groove, bore := g.length("cord"), g.length("groove-diameter"), g.length("bore-diameter")
	need, err := needed(g)
	if err != nil {
		return f, err
	}
	depth, err := gland.Depth(bore, groove)
	if err != nil {
		return f, err
	}
	widest, err := gland.LargestBore(cord, groove, need)
	if err != nil {
		return f, err
	}
	f.num["squeeze-needed"], f.num["squeeze-now"], f.num["squeeze-spare"], f.num["largest-bore"] = float64(need), float64(cord-depth), float64(cord-depth-need), float64(widest)
	most := cord * unit.Length(g.num["greatest-squeeze"])
	x, e := gland.LargestBore(cord, groove, most)
	put(&f, &err, "smallest-bore", x, e)
	x, e = gland.SmallestInner(cord, bore, need)
	put(&f, &err, "smallest-groove", x, e)
	x, e = gland.SmallestInner(cord, bore, most)
	if g.has("ring-id") && e == nil {
		var y unit.Length
		y, e = gland.GreatestGroove(g.length("ring-id"), g.ratio("greatest-stretch"))
		x = min(x, y)
	}
	put(&f, &err, "largest-groove", x, e)
	thin, e := gland.LeastCord(depth, unit.Ratio(g.num["least-squeeze"]/(1-g.num["set"])))
	put(&f, &err, "thinnest-cord", max(thin, depth+unit.Length(g.num["least-squeeze-mm"]/(1-g.num["set"]))), e)
	thick, byFill, e := gland.GreatestCord(depth, g.length("groove-width"), g.ratio("greatest-squeeze"), g.ratio("greatest-fill"), g.ratio("swell"))
	put(&f, &err, "thickest-cord", thick, e)
	if byFill {
		f.note("The thickest cord is set by the fill of the groove, not by the squeeze.")
	}
	if err != nil {
		return f, err
	}
	if o, e := gland.GreatestOvality(cord, groove, bore, need); e == nil { // else too loose when round: the verdict says so
		f.num["greatest-ovality"] = float64(o)
		f.num["greatest-offset"], f.num["greatest-clearance"] = float64(cord-depth-need), 2*float64(cord-depth-need)
	}
	if cord > depth {
		floor := unit.Length(math.Max(g.num["least-squeeze"]*float64(cord), g.num["least-squeeze-mm"]))
		if set, e := gland.GreatestSet(cord, depth, floor); e == nil {
			f.num["greatest-set"] = float64(set)
		}
	}
	if g.has("groove-width") {
		w, e := gland.NarrowestGroove(cord, depth, g.ratio("swell"), g.ratio("greatest-fill"))
		put(&f, &err, "narrowest-groove", w, e)
	}
	return f, refuse.First(err, offCentreLimits(g, &f, widest))
}

// offCentreLimits adds what hangs on the spigot: ovality with it hard over, and extrusion.
func offCentreLimits(g given, f *found, widest unit.Length) error {
	bore := g.length("bore-diameter")
	c, known, err := clearanceOf(g)
	if err != nil {
		return err
	}
	if known {
		if o := 2 * ((widest+bore-c)/2 - bore); o >= 0 {
			f.num["greatest-ovality-off-centre"] = float64(o)
		} else {
			f.note("With the spigot against one side even a round bore of this size leaves too little squeeze: the clearance is %s too large.", g.say(Num{SI: -float64(o)}, unit.LengthDim))
		}
	}
	if !g.has("hardness") {
		return nil
	}
	tables, tab, err := gapTables(g, "decides")
	if err != nil {
		return err
	}
	h := unit.Hardness(g.num["hardness"])
	if g.has("pressure") {
		a, _, e := gland.StrictestGap(tables, h, g.pressure("pressure"))
		if e != nil {
			f.note("%s.", e.Error())
		} else {
			f.num["clearance-for-pressure"] = float64(a.Gap)
			citeGap(f, tab, a, g.pressure("pressure"))
		}
	}
	if known {
		a, _, e := gland.StrictestPressure(tables, h, c)
		if e != nil {
			f.note("%s.", e.Error())
		} else {
			f.num["pressure-for-clearance"] = float64(a.Pressure)
			f.note("For the clearance as it is the table %s is the strictest.", a.Table)
		}
	}
	return nil
}

func oringFaceLimits() Calculation {
	in := []Input{cordIn, {Name: "groove-depth", Title: "depth of the groove in the face", Dim: unit.LengthDim}, {Name: "face-gap", Title: "gap that stays open between the faces", Dim: unit.LengthDim, Optional: true, Default: "0 mm"},
		widthIn, setIn, swellIn, floorIn, floorMMIn, ceilingIn, fullIn}
	return Calculation{
		Name: "oring-face-limits", Title: "How far each size of a face gland may go",
		About:  "Solves every limit on these parts: deepest and shallowest groove, greatest gap between the faces, thinnest and thickest cord, narrowest groove, and how much may be skimmed off the face.",
		Inputs: in,
		Outputs: []Output{
			{"squeeze-needed", "least squeeze needed", unit.LengthDim, "max(share cord, length) / (1 - set)", floorSource, practice},
			{"squeeze-now", "squeeze as it is, in length", unit.LengthDim, "cord - groove depth - gap", "ISO 3601-2", confirmed},
			{"squeeze-spare", "squeeze to spare", unit.LengthDim, "squeeze as it is - squeeze needed", floorSource, practice},
			{"deepest-groove", "deepest groove", unit.LengthDim, "cord - squeeze needed - gap", "definition of squeeze turned round", confirmed},
			{"shallowest-groove", "shallowest groove", unit.LengthDim, "cord (1 - greatest squeeze) - gap", "definition of squeeze turned round", confirmed},
			{"greatest-gap", "greatest gap between the faces", unit.LengthDim, "cord - squeeze needed - groove depth", "definition of squeeze turned round", confirmed},
			{"most-skimmed", "most that may be taken off the face with the groove", unit.LengthDim, "groove depth - shallowest groove", "definition of squeeze turned round", confirmed},
			{"thinnest-cord", "thinnest cord", unit.LengthDim, "max[depth / (1 - share/(1 - set)), depth + length/(1 - set)]", "definition of squeeze turned round", confirmed},
			{"thickest-cord", "thickest cord", unit.LengthDim, "least of depth / (1 - greatest squeeze) and [4 depth width fill / (pi (1 + swell))]^(1/2)", "definitions of squeeze and fill turned round", confirmed},
			{"narrowest-groove", "narrowest groove", unit.LengthDim, "(pi/4) cord^2 (1 + swell) / (depth greatest fill)", "definition of fill turned round", confirmed},
		},
		Judges:  []Judge{{Output: "squeeze-spare", Ours: fixed(0, "the least squeeze wanted, as given or "+floorSource+", and the set", practice)}},
		Blind:   "The gap between the faces is seldom the same all round: take the largest feeler that enters anywhere.",
		Example: map[string]string{"cord": "3.53 mm", "groove-depth": "2.70 mm", "face-gap": "0.05 mm", "groove-width": "4.80 mm", "set": "20 %"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			cord, groove, gap := g.length("cord"), g.length("groove-depth"), g.length("face-gap")
			need, err := needed(g)
			if err != nil {
				return f, err
			}
			depth, err := gland.FaceDepth(groove, gap)
			if err != nil {
				return f, err
			}
			f.num["squeeze-needed"], f.num["squeeze-now"], f.num["squeeze-spare"] = float64(need), float64(cord-depth), float64(cord-depth-need)
			share := unit.Ratio(need / cord)
			x, e := gland.DeepestGroove(cord, gap, share)
			put(&f, &err, "deepest-groove", x, e)
			low, e := gland.ShallowestGroove(cord, gap, g.ratio("greatest-squeeze"))
			put(&f, &err, "shallowest-groove", low, e)
			if err != nil {
				return f, err
			}
			f.num["most-skimmed"] = max(0, float64(groove-low))
			if x, e := gland.GreatestFaceGap(cord, groove, share); e == nil {
				f.num["greatest-gap"] = float64(x)
			} else {
				f.note("%s.", e.Error())
			}
			thin, e := gland.LeastCord(depth, unit.Ratio(g.num["least-squeeze"]/(1-g.num["set"])))
			put(&f, &err, "thinnest-cord", max(thin, depth+unit.Length(g.num["least-squeeze-mm"]/(1-g.num["set"]))), e)
			thick, _, e := gland.GreatestCord(depth, g.length("groove-width"), g.ratio("greatest-squeeze"), g.ratio("greatest-fill"), g.ratio("swell"))
			put(&f, &err, "thickest-cord", thick, e)
			if g.has("groove-width") {
				w, e := gland.NarrowestGroove(cord, depth, g.ratio("swell"), g.ratio("greatest-fill"))
				put(&f, &err, "narrowest-groove", w, e)
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			s := "The groove may be at most " + o.say(Num{SI: o.Num["deepest-groove"].SI}, unit.LengthDim) + " deep"
			if n, ok := o.Num["greatest-gap"]; ok {
				s += " or the faces " + o.say(Num{SI: n.SI}, unit.LengthDim) + " apart"
			}
			return s + "; squeeze to spare " + o.say(o.Num["squeeze-spare"], unit.LengthDim) + " (it is " + o.say(Num{SI: o.Num["squeeze-now"].SI}, unit.LengthDim) + ", needed are " + o.say(Num{SI: o.Num["squeeze-needed"].SI}, unit.LengthDim) + ")"
		},
	}
}
