package catalogue

import (
	"math"

	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// Inputs by which a bolt, its thread and the way of tightening are named. A figure that is typed goes before the table.
var (
	threadIn   = Input{Name: "thread", Title: "thread of the bolt", From: "bolt-thread", Optional: true}
	classIn    = Input{Name: "class", Title: "strength class on the head", From: "bolt-strength", Optional: true}
	lubeIn     = Input{Name: "lubrication", Title: "state of the thread", From: "bolt-nut-factor", Optional: true}
	methodIn   = Input{Name: "method", Title: "way of tightening", From: "bolt-scatter", Optional: true}
	nutWordIn  = Input{Name: "nut-factor", Title: "nut factor (left out: by the lubrication, else 0.20)", Dim: unit.RatioDim, Optional: true}
	spreadIn   = Input{Name: "scatter", Title: "scatter of the load at one torque (left out: by the method, else 30 %)", Dim: unit.RatioDim, Optional: true}
	yieldIn    = Input{Name: "yield-strength", Title: "yield strength of the bolt", Dim: unit.PressureDim, Optional: true}
	boltSizeIn = Input{Name: "bolt-diameter", Title: "bolt diameter (or give the thread)", Dim: unit.LengthDim, Optional: true}
)

// Figures that hold where neither a word nor a figure is given.
const (
	usualNutFactor = 0.20
	usualScatter   = 0.30
)

// fastener is a bolt as far as it is known; 0 = not known.
type fastener struct {
	d, pitch     unit.Length
	area         unit.Area
	proof, yield unit.Pressure
}

// fastenerOf is the bolt that the inputs name: typed figures first, then the tables, cited.
func fastenerOf(g given, f *found) (fastener, error) {
	b := fastener{d: g.length("bolt-diameter"), pitch: g.length("pitch"), proof: g.pressure("proof-strength"), yield: g.pressure("yield-strength")}
	if g.has("thread") {
		r, err := g.row("bolt-thread", "thread")
		if err != nil {
			return b, err
		}
		b.fromThread(g, f, r)
	}
	if b.d == 0 && !g.has("bolt-diameter") {
		return b, refuse.Because("the bolt", "is not known", "give its thread, such as thread=m8, or bolt-diameter")
	}
	err := refuse.Positive("the bolt diameter", float64(b.d))
	for _, in := range []Input{{Name: "pitch", Title: "the pitch"}, {Name: "proof-strength", Title: "the proof strength"}, {Name: "yield-strength", Title: "the yield strength"}} {
		if x, ok := g.num[in.Name]; ok {
			err = refuse.First(err, refuse.Positive(in.Title, x))
		}
	}
	if err != nil {
		return b, err
	}
	if b.area == 0 && b.pitch > 0 {
		if b.area, err = flange.StressArea(b.d, b.pitch); err != nil {
			return b, err
		}
	}
	if !g.has("class") {
		return b, nil
	}
	return b, b.fromClass(g, f)
}

func (b *fastener) fromThread(g given, f *found, r table.Row) {
	d, _ := r.SI("d_mm")
	p, _ := r.SI("pitch_mm")
	typed := false
	if g.has("bolt-diameter") {
		typed = true
		if math.Abs(g.num["bolt-diameter"]-d) > 0.03*d {
			f.note("The bolt diameter that you gave is not that of %s (%s); yours was used.", g.word["thread"], g.say(Num{SI: d}, unit.LengthDim))
		}
	} else {
		b.d = unit.Length(d)
		f.cite("diameter of the bolt", r, "d_mm")
	}
	if g.has("pitch") {
		typed = true
	} else {
		b.pitch = unit.Length(p)
	}
	if a, ok := r.SI("area_mm2"); ok && !typed {
		b.area = unit.Area(a)
		f.cite("stress area", r, "area_mm2")
	}
}

func (b *fastener) fromClass(g given, f *found) error {
	t, err := g.table("bolt-strength")
	if err != nil {
		return err
	}
	r, err := t.Find("the class "+g.word["class"], table.Is("name", g.word["class"]), table.Between("from_mm", "to_mm", float64(b.d)))
	if err != nil {
		return err
	}
	if y, ok := r.SI("yield_MPa"); ok && b.yield == 0 {
		b.yield = unit.Pressure(y)
		f.cite("least yield strength", r, "yield_MPa")
	}
	if b.proof > 0 {
		return nil
	}
	if p, ok := r.SI("proof_MPa"); ok {
		b.proof = unit.Pressure(p)
		f.cite("proof strength", r, "proof_MPa")
		return nil
	}
	share, err := boltShare(g, f, "proof-unknown")
	b.proof = b.yield * unit.Pressure(share)
	f.note("No proof strength is published for %s: a share of the yield strength stands for it.", g.word["class"])
	return err
}

// boltShare is how much of its strength a bolt is tightened to in one use.
func boltShare(g given, f *found, use string) (unit.Ratio, error) {
	t, err := g.table("bolt-preload-share")
	if err != nil {
		return 0, err
	}
	r, err := t.Find(use, table.Is("name", use))
	if err != nil {
		return 0, err
	}
	x, _ := r.SI("share_pct")
	f.cite("share of the "+r.Text("of")+", "+use, r, "share_pct")
	return unit.Ratio(x), nil
}

// tighteningOf is the nut factor with its range and the scatter of the method.
func tighteningOf(g given, f *found, d unit.Length, bolts int) (flange.Tightening, error) {
	j := flange.Tightening{Bolts: bolts, Diameter: d, K: flange.ExactNutFactor(usualNutFactor), Scatter: usualScatter}
	switch {
	case g.has("nut-factor"):
		j.K = flange.ExactNutFactor(g.ratio("nut-factor"))
	case g.has("lubrication"):
		var err error
		if j.K, err = nutFactorsOf(g, f); err != nil {
			return j, err
		}
	default:
		f.note("The state of the thread was not given: nut factor 0.20 (common practice; 0.12 with anti-seize, 0.30 dry).")
	}
	switch {
	case g.has("scatter"):
		j.Scatter = g.ratio("scatter")
	case g.has("method"):
		t, err := g.table("bolt-scatter")
		if err != nil {
			return j, err
		}
		worst := 0.0
		for _, r := range t.Where(table.Is("name", g.word["method"])) {
			x, _ := r.SI("greatest_pct")
			worst = math.Max(worst, x)
			f.cite("scatter of the load, "+r.Text("method"), r, "greatest_pct")
		}
		j.Scatter = unit.Ratio(worst)
	default:
		f.note("The way of tightening was not given: scatter 30 %%, between an oiled and a dry thread under a torque wrench.")
	}
	return j, nil
}

// nutFactorsOf spans all rows of one state of thread: the least of them for the greatest load, the greatest for the least.
func nutFactorsOf(g given, f *found) (flange.NutFactors, error) {
	t, err := g.table("bolt-nut-factor")
	if err != nil {
		return flange.NutFactors{}, err
	}
	var k flange.NutFactors
	rows := t.Where(table.Is("name", g.word["lubrication"]))
	for _, r := range rows {
		lo, okLo := r.SI("k_min_ratio")
		hi, okHi := r.SI("k_max_ratio")
		if mid, ok := r.SI("k_ratio"); ok {
			if k.Usual == 0 {
				k.Usual = unit.Ratio(mid)
			}
			f.cite("nut factor, "+r.Text("state"), r, "k_ratio")
		} else {
			f.cite("least nut factor, "+r.Text("state"), r, "k_min_ratio")
			f.cite("greatest nut factor, "+r.Text("state"), r, "k_max_ratio")
		}
		if okLo && (k.Least == 0 || unit.Ratio(lo) < k.Least) {
			k.Least = unit.Ratio(lo)
		}
		if okHi {
			k.Greatest = max(k.Greatest, unit.Ratio(hi))
		}
	}
	if len(rows) > 1 {
		f.note("The sources give nut factors from %g to %g for this thread: the greatest load is reckoned with the low one, the least with the high one.", float64(k.Least), float64(k.Greatest))
	}
	return k, nil
}
