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

// greatestHold is the stretch beyond which no ring is looked at: the relation of the section loss ends there.
const greatestHold = 0.25

// fit works out a ring in a gland. ok is false where it has no business there: stretched or pressed together by
// more than 25 %, thicker than twice the gland, or thinner than half of it. Hold and squeeze are those of
//
//	stretch X = (dg - d1)/d1; interference I = (d2 - dg)/d2; d' = d (1 - R(X)); C = (d' - t)/d'; F = (pi/4) d^2/(t w)
//
// with t the gland depth, w its width, R the section loss (gland.SectionLoss; none for a ring that is loose or
// held by its outside diameter). Over the tolerances: d' from the thinnest most stretched to the thickest least
// stretched, t from deepest to shallowest. Source: ISO 3601-2 and worst-case stack of JIS B 2406; standing: confirmed.
func fit(r Ring, p Place, b Bands) (f Fit, ok bool) {
	f = Fit{Ring: r, Depth: p.depth()}
	hold := func(dID, dCord, dGroove unit.Length) float64 {
		groove := p.Groove.At + dGroove
		if p.Kind.outer() {
			od := r.ID + dID + 2*(r.Cord+dCord)
			return float64((od - groove) / od)
		}
		return float64((groove - r.ID - dID) / (r.ID + dID))
	}
	x := hold(0, 0, 0)
	f.Hold = unit.Ratio(x)
	least, greatest := hold(r.IDTol, r.CordTol, -p.Groove.Tol), hold(-r.IDTol, -r.CordTol, p.Groove.Tol)
	if p.Kind.outer() {
		least, greatest = greatest, least
	}
	f.HoldLeast, f.HoldGreatest = unit.Ratio(least), unit.Ratio(greatest)
	if f.Depth <= 0 {
		f.Score = far + float64(f.Depth) // still falls as it gets worse
		return f, false
	}
	ok = math.Abs(x) <= greatestHold && r.Cord <= 2*f.Depth && r.Cord >= f.Depth/2
	f.Loss = p.loss(x)
	f.Fitted = r.Cord * unit.Length(1-f.Loss)
	f.Squeeze = unit.Ratio((f.Fitted - f.Depth) / f.Fitted)
	tol := p.depthTol()
	thin, thick := (r.Cord-r.CordTol)*unit.Length(1-p.loss(greatest)), (r.Cord+r.CordTol)*unit.Length(1-p.loss(least))
	f.LeastLength = thin - f.Depth - tol
	f.SqueezeLeast, f.SqueezeGreatest = unit.Ratio(f.LeastLength/thin), unit.Ratio((thick-f.Depth+tol)/thick)
	if p.Width.At > 0 {
		area := func(cord, depth, width unit.Length) unit.Ratio {
			return unit.Ratio(math.Pi / 4 * float64(cord*cord/(depth*width)))
		}
		f.Fill = area(r.Cord, f.Depth, p.Width.At)
		f.FillWorst = area(r.Cord+r.CordTol, f.Depth-tol, p.Width.At-p.Width.Tol)
	}
	f.Score = max(f.score(p, b), far)
	return f, ok
}

// far is the score of a ring that cannot sit in a gland.
const far = -1e6

// loss is the section lost at stretch x; only stretch costs section.
func (p Place) loss(x float64) unit.Ratio {
	if p.Kind.outer() || x <= 0 {
		return 0
	}
	l, err := gland.SectionLoss(unit.Ratio(min(x, greatestHold)))
	if err != nil {
		return 0
	}
	return l
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
	aim := float64(b.Squeeze.aim()) * float64(f.Cord)
	return float64(f.LeastLength-b.Floor) / math.Max(aim-float64(b.Floor), 0.25*aim)
}

func (f Fit) worstFillMargin(b Bands) float64 {
	return float64((b.FillWorst - f.FillWorst) / (b.FillWorst - b.Fill.aim()))
}

// judge writes the margins out.
func (f *Fit) judge(p Place, b Bands) {
	in := func(of Measure, x unit.Ratio, l Limits) {
		f.Margins = append(f.Margins, Margin{of, float64(x), float64(l.Least), float64(l.Greatest), l.margin(x)})
	}
	f.Margins = nil
	in(Squeeze, f.Squeeze, b.Squeeze)
	in(p.holdName(), f.Hold, b.Hold)
	f.Margins = append(f.Margins, Margin{LeastSqueeze, float64(f.LeastLength), float64(b.Floor), math.Inf(1), f.floorMargin(b)})
	if p.Width.At > 0 {
		in(Fill, f.Fill, b.Fill)
		if b.FillWorst > 0 {
			f.Margins = append(f.Margins, Margin{GreatestFill, float64(f.FillWorst), math.Inf(-1), float64(b.FillWorst), f.worstFillMargin(b)})
		}
	}
}

func (p Place) holdName() Measure {
	if p.Kind.outer() {
		return Interference
	}
	return Stretch
}
