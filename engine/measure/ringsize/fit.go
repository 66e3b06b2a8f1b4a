package ringsize

import (
	"math"

	"seepwright/engine/measure/gland"
	"seepwright/rules/unit"
)

// Measure names one thing that is judged of a ring in a gland.
type Measure string

// What is judged, in the order in which margins are listed.
const (
	Squeeze      Measure = "squeeze"
	Stretch      Measure = "stretch"
	Interference Measure = "interference"
	Fill         Measure = "fill"
	LeastSqueeze Measure = "least squeeze over the tolerances"
	GreatestFill Measure = "greatest fill over the tolerances"
)

// Margin is one figure of a fit against its limits. Margin is 1 at the value aimed at, 0 at the limit, below 0
// outside. Least squeeze is in metres, the others are shares; a side without a limit is infinite.
type Margin struct {
	Of              Measure
	Value           float64
	Least, Greatest float64
	Margin          float64
}

// Fit is a ring in a gland.
type Fit struct {
	Ring
	Depth                   unit.Length
	Hold                    unit.Ratio  // stretch, or interference of the outside diameter
	HoldLeast, HoldGreatest unit.Ratio  // with all tolerances against it
	Loss                    unit.Ratio  // section lost by stretch
	Fitted                  unit.Length // section that is left
	Squeeze                 unit.Ratio
	SqueezeLeast            unit.Ratio // with all tolerances against it
	SqueezeGreatest         unit.Ratio
	LeastLength             unit.Length // least squeeze in length; below 0 a gap
	Fill, FillWorst         unit.Ratio  // 0 when the width is not known
	Margins                 []Margin
	Score                   float64 // the least of the margins; 0 and above fits
}

// Worst is the margin that decides the score.
func (f Fit) Worst() Margin {
	worst := f.Margins[0]
	for _, m := range f.Margins[1:] {
		if m.Margin < worst.Margin {
			worst = m
		}
	}
	return worst
}

// The hold beyond which no ring is looked at: there the relations of the section end.
const (
	greatestStretch      unit.Ratio = 0.25
	greatestInterference unit.Ratio = 0.10
)

// far is the score of a ring that cannot sit in a gland.
const far = -1e6

// fit works out a ring in a gland. ok is false where it has no business there: held beyond what the relations of
// its section cover, thicker than twice the gland, or thinner than half of it. Everything is made of the formulas
// of package gland: Held, Squeeze, WorstCase, FillArea and FillMaxMaterial. Over the tolerances the section in the
// groove runs from the thinnest on the largest seat to the thickest on the smallest.
func fit(r Ring, p Place, b Bands) (f Fit, ok bool) {
	f = Fit{Ring: r, Depth: p.depth(), Score: far}
	if f.Depth <= 0 {
		f.Score += float64(f.Depth) // still falls as it gets worse
		return f, false
	}
	if !p.holds(r) {
		return f, false
	}
	sit := func(sign unit.Length) (gland.Hold, error) {
		return gland.Held(p.Kind, r.ID-sign*r.IDTol, r.Cord-sign*r.CordTol, p.Groove.At+sign*p.Groove.Tol)
	}
	mid, err := sit(0)
	thin, errThin := sit(1)
	thick, errThick := sit(-1)
	if err != nil || errThin != nil || errThick != nil {
		return f, false
	}
	f.Hold, f.HoldLeast, f.HoldGreatest = mid.Share, min(thin.Share, thick.Share), max(thin.Share, thick.Share)
	f.Loss, f.Fitted = mid.Loss, mid.Cord
	depth := gland.PlusMinus(f.Depth, p.depthTol())
	f.Squeeze, err = gland.Squeeze(f.Fitted, f.Depth)
	worst, errWorst := gland.WorstCase(gland.Span{Min: thin.Cord, Max: thick.Cord}, depth)
	if err != nil || errWorst != nil {
		return f, false
	}
	f.LeastLength, f.SqueezeLeast, f.SqueezeGreatest = worst.Least, worst.LeastShare, worst.GreatestShare
	if p.Width.At > 0 {
		f.Fill, err = gland.FillArea(r.Cord, f.Depth, p.Width.At)
		f.FillWorst, errWorst = gland.FillMaxMaterial(gland.PlusMinus(r.Cord, r.CordTol), depth, gland.PlusMinus(p.Width.At, p.Width.Tol))
		if err != nil || errWorst != nil {
			return f, false
		}
	}
	f.Score = max(f.score(p, b), far)
	return f, r.Cord <= 2*f.Depth && r.Cord >= f.Depth/2
}

// holds says whether a ring is held within what the relations of its section cover.
func (p Place) holds(r Ring) bool {
	if r.anyID() {
		return false
	}
	if p.Kind.ByOutside() {
		i, err := gland.Interference(r.ID, r.Cord, p.Groove.At)
		return err == nil && i <= greatestInterference && -i <= greatestInterference
	}
	x, err := gland.Stretch(r.ID, p.Groove.At)
	return err == nil && x <= greatestStretch && -x <= greatestStretch
}

func (f Fit) score(p Place, b Bands) float64 {
	s := min(b.Squeeze.margin(f.Squeeze), b.Hold.margin(f.Hold), f.floorMargin(b))
	if p.Width.At > 0 {
		s = min(s, b.Fill.margin(f.Fill))
		if b.FillWorst > 0 {
			s = min(s, f.worstFillMargin(b))
		}
	}
	return s
}

// floorMargin is 1 where the squeeze aimed at is left over the tolerances, 0 at the floor.
func (f Fit) floorMargin(b Bands) float64 {
	aim := float64(b.Squeeze.Target()) * float64(f.Cord)
	return float64(f.LeastLength-b.Floor) / math.Max(aim-float64(b.Floor), 0.25*aim)
}

func (f Fit) worstFillMargin(b Bands) float64 {
	return float64((b.FillWorst - f.FillWorst) / (b.FillWorst - b.Fill.Target()))
}

// judge writes the margins out.
func (f *Fit) judge(p Place, b Bands) {
	in := func(of Measure, x unit.Ratio, l Limits) {
		f.Margins = append(f.Margins, Margin{of, float64(x), float64(l.Least), float64(l.Greatest), l.margin(x)})
	}
	f.Margins = nil
	in(Squeeze, f.Squeeze, b.Squeeze)
	in(holdName(p.Kind), f.Hold, b.Hold)
	f.Margins = append(f.Margins, Margin{LeastSqueeze, float64(f.LeastLength), float64(b.Floor), math.Inf(1), f.floorMargin(b)})
	if p.Width.At > 0 {
		in(Fill, f.Fill, b.Fill)
		if b.FillWorst > 0 {
			f.Margins = append(f.Margins, Margin{GreatestFill, float64(f.FillWorst), math.Inf(-1), float64(b.FillWorst), f.worstFillMargin(b)})
		}
	}
}

func holdName(k gland.Kind) Measure {
	if k.ByOutside() {
		return Interference
	}
	return Stretch
}
