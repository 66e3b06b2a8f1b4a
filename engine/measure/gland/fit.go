package gland

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Gland is a ring in a groove with straight sides, every size between its limits. A size that is not known
// is left at its zero value; what needs it is then left out of the fit.
type Gland struct {
	Kind   Kind
	Cord   Span // section of the free ring
	RingID Span // inside diameter of the free ring; optional
	Outer  Span // piston: bore. Rod: bottom of the groove in the housing
	Inner  Span // piston: bottom of the groove. Rod: rod
	Depth  Span // face: depth of the groove
	Gap    Span // face: what stays open between the faces; 0 to 0 when metal to metal
	Wall   Span // face: the wall against which the ring lies; optional
	Width  Span // width of the groove; optional
}

// Fit is how the ring sits: each figure nominal, over the worst case and statistically.
type Fit struct {
	Depth         Bounds[unit.Length] // gland depth
	Squeeze       Bounds[unit.Length] // of the free cord, in length
	Share         Bounds[unit.Ratio]  // of the free cord
	Held          Bounds[unit.Ratio]  // stretch or interference, see Kind.ByOutside
	Loss          Bounds[unit.Ratio]  // loss of section
	Cord          Bounds[unit.Length] // cord in the groove
	SqueezeInside Bounds[unit.Length] // of the cord in the groove, in length
	ShareInside   Bounds[unit.Ratio]  // of the cord in the groove
	FillArea      Bounds[unit.Ratio]  // share of the cross-section, free cord
	FillVolume    Bounds[unit.Ratio]  // share of the room, by volume
	HasRing       bool                // the five figures of the held ring are there
	HasFill       bool                // FillArea is there
	HasVolume     bool                // FillVolume is there
}

// places of the sizes in a list of numbers
const (
	atCord = iota
	atRing
	atOuter
	atInner
	atDepth
	atGap
	atWall
	atWidth
	sizes
)

// Fit computes squeeze, stretch or interference, loss of section and fill over all tolerances.
//
// Worst case: each size at its worst limit together (JIS B 2406 and the usual gland tables print this
// stack). Along the stretch relation, which drops by 0.19 points at 3 %, the drop itself is looked at too.
// Statistical: see Bounds. The formulas are those of Depth, FaceDepth, SqueezeDepth, Squeeze, Held,
// FillArea and FillVolume. Refused where limits are crossed, a needed size is missing, or the parts would not
// go together at some limit of size. Standing: confirmed for the worst case, common practice for the statistical one.
func (g Gland) Fit() (Fit, error) {
	spans, err := g.spans()
	if err != nil {
		return Fit{}, err
	}
	if err := g.possible(spans); err != nil {
		return Fit{}, err
	}
	depth := func(x []float64) float64 {
		if g.Kind.Face() {
			return x[atDepth] + x[atGap]
		}
		return (x[atOuter] - x[atInner]) / 2
	}
	f := Fit{
		Depth:   over[unit.Length](depth, spans),
		Squeeze: over[unit.Length](func(x []float64) float64 { return x[atCord] - depth(x) }, spans),
		Share:   over[unit.Ratio](func(x []float64) float64 { return 1 - depth(x)/x[atCord] }, spans),
	}
	if g.Width.known() {
		f.HasFill = true
		f.FillArea = over[unit.Ratio](func(x []float64) float64 { return math.Pi / 4 * x[atCord] * x[atCord] / (depth(x) * x[atWidth]) }, spans)
	}
	if !g.RingID.known() || g.Kind.Face() && !g.Wall.known() {
		return f, nil
	}
	f.HasRing = true
	if err := g.held(&f, spans, depth); err != nil {
		return Fit{}, err
	}
	if g.Width.known() {
		f.HasVolume = true
		f.FillVolume = over[unit.Ratio](func(x []float64) float64 { return g.ringVolume(x) / g.room(x, depth(x)) }, spans)
	}
	return f, nil
}

func (s Span) known() bool { return s != Span{} }

// spans checks the sizes and lists them; those not known stay at 0.
func (g Gland) spans() ([]Span, error) {
	out := make([]Span, sizes)
	take := func(at int, what string, s Span, needed bool) error {
		if !s.known() && !needed {
			return nil
		}
		out[at] = s
		return s.check(what)
	}
	if g.Kind < Piston || g.Kind > FaceOutside {
		return nil, because("the kind of groove", "is not one that is known", "give piston, rod, or face with inside or outside pressure")
	}
	err := first(take(atCord, "cord", g.Cord, true), take(atRing, "inside diameter of the ring", g.RingID, false), take(atWidth, "groove width", g.Width, false))
	if err != nil {
		return nil, err
	}
	if g.Kind.Face() {
		out[atGap] = g.Gap
		err = first(take(atDepth, "groove depth", g.Depth, true), take(atWall, "wall of the groove", g.Wall, false),
			notNegative("the least gap between the faces", g.Gap.Min), notNegative("the greatest gap between the faces", g.Gap.Max))
		if err == nil && g.Gap.Max < g.Gap.Min {
			err = because("the greatest gap between the faces", "is smaller than the least", "swap the two limits")
		}
		return out, err
	}
	outer, inner := "bore", "groove diameter"
	if g.Kind == Rod {
		outer, inner = "groove diameter in the housing", "rod"
	}
	return out, first(take(atOuter, outer, g.Outer, true), take(atInner, inner, g.Inner, true))
}

// possible refuses parts that would not go together at some limit of size.
func (g Gland) possible(spans []Span) error {
	if !g.Kind.Face() {
		if _, err := Depth(spans[atOuter].Min, spans[atInner].Max); err != nil {
			if g.Kind == Rod {
				return because("the rod", "is not smaller than the groove in the housing", "measure both again: the groove must leave room for the ring")
			}
			return err
		}
	}
	if w := g.Wall; g.Kind == FaceInside && w.known() && g.Width.known() && 2*g.Width.Max >= w.Min {
		return because("the groove width", "is half of the outer wall or more", "give the width of the groove, not its diameter")
	}
	return nil
}

// seat is where the ring lies: its inside diameter by stretch, its outside diameter by interference.
func (g Gland) seat() int {
	switch g.Kind {
	case Piston:
		return atInner
	case Rod:
		return atOuter
	}
	return atWall
}

func (g Gland) held(f *Fit, spans []Span, depth func([]float64) float64) error {
	var failed error
	hold := func(x []float64) Hold {
		h, err := Held(g.Kind, unit.Length(x[atRing]), unit.Length(x[atCord]), unit.Length(x[g.seat()]))
		if err != nil && failed == nil {
			failed = err
		}
		return h
	}
	grid := g.kinks(spans)
	f.Held = over[unit.Ratio](func(x []float64) float64 { return float64(hold(x).Share) }, spans)
	f.Loss = over[unit.Ratio](func(x []float64) float64 { return float64(hold(x).Loss) }, spans, grid...)
	f.Cord = over[unit.Length](func(x []float64) float64 { return float64(hold(x).Cord) }, spans, grid...)
	f.SqueezeInside = over[unit.Length](func(x []float64) float64 { return float64(hold(x).Cord) - depth(x) }, spans, grid...)
	f.ShareInside = over[unit.Ratio](func(x []float64) float64 { return 1 - depth(x)/float64(hold(x).Cord) }, spans, grid...)
	return failed
}

// kinks are further places to look at than the limits of size: where a ring held by stretch may pass the
// drop of the stretch relation at 3 %, and a walk along the groove diameter, which takes squeeze by
// thinning the ring while it gives squeeze by filling the gland. Each is a pair of ring and seat diameter.
func (g Gland) kinks(spans []Span) [][2]float64 {
	if g.Kind.ByOutside() {
		return nil
	}
	ring, seat := spans[atRing], spans[g.seat()]
	var out [][2]float64
	steps := 24
	if seat.Min == seat.Max || ring.Min > 4*spans[atCord].Max {
		// Nothing to walk along; or a larger groove always gives more squeeze than it takes: half of the growth
		// against cord / ring inside diameter times the slope of the relation, at most 1.19.
		steps = 1
	}
	for i := range steps + 1 {
		s := float64(seat.Min) + float64(seat.Max-seat.Min)*float64(i)/float64(steps)
		out = append(out, [2]float64{float64(ring.Min), s}, [2]float64{float64(ring.Max), s})
		if d1 := s / 1.03; d1 > float64(ring.Min) && d1 < float64(ring.Max) {
			out = append(out, [2]float64{d1 * (1 + 1e-12), s}, [2]float64{d1 * (1 - 1e-12), s})
		}
	}
	for _, d1 := range []float64{float64(ring.Min), float64(ring.Max)} {
		if s := d1 * 1.03; s > float64(seat.Min) && s < float64(seat.Max) {
			out = append(out, [2]float64{d1, s * (1 - 1e-12)}, [2]float64{d1, s * (1 + 1e-12)})
		}
	}
	return out
}

func (g Gland) ringVolume(x []float64) float64 {
	return math.Pi * math.Pi / 4 * x[atCord] * x[atCord] * (x[atRing] + x[atCord])
}

func (g Gland) room(x []float64, depth float64) float64 {
	switch g.Kind {
	case FaceInside:
		return math.Pi * x[atWidth] * (x[atWall] - x[atWidth]) * depth
	case FaceOutside:
		return math.Pi * x[atWidth] * (x[atWall] + x[atWidth]) * depth
	}
	return math.Pi / 4 * (x[atOuter]*x[atOuter] - x[atInner]*x[atInner]) * x[atWidth]
}

// over gives one result with its worst case and its statistical range. more are further pairs of ring and
// seat diameter at which the other sizes are tried at their limits.
func over[T ~float64](f func(x []float64) float64, spans []Span, more ...[2]float64) Bounds[T] {
	x := make([]float64, len(spans))
	for i, s := range spans {
		x[i] = float64(s.Mid())
	}
	nominal := f(x)
	least, greatest := corners(f, spans)
	for _, p := range more {
		fixed := append([]Span(nil), spans...)
		fixed[atRing] = Span{unit.Length(p[0]), unit.Length(p[0])}
		at := atInner
		if spans[atWall].known() {
			at = atWall
		}
		fixed[at] = Span{unit.Length(p[1]), unit.Length(p[1])}
		lo, hi := corners(f, fixed)
		least, greatest = math.Min(least, lo), math.Max(greatest, hi)
	}
	statLeast, statGreatest := rss(f, spans)
	return bound[T](nominal, least, greatest, statLeast, statGreatest)
}

// GrooveArea is the cross-section of a groove with straight sides.
//
//	A = w t + t^2 tan(b) - 2 (1 - pi/4) r^2      w width at the bottom, t depth, b slope of each side, r corner radius
//
// Valid for a slope from 0 to 5 degrees (MIL-G-5514G allows no more) and 0 <= r <= min(t, w/2). A dovetail
// is refused: its sides lean the other way. Source: geometry; standing: confirmed.
func GrooveArea(width, depth, radius unit.Length, slope unit.Angle) (unit.Area, error) {
	err := first(positive("the groove width", width), positive("the gland depth", depth), notNegative("the corner radius", radius),
		refuse.Within("the slope of the groove's sides", float64(slope/unit.Degree), 0, 5, "straight sides slope by 0 to 5 degrees; a dovetail or a V is another groove"))
	if err != nil {
		return 0, err
	}
	if radius > depth || 2*radius > width {
		return 0, because("the corner radius", "does not fit into the groove", "give at most the depth and half the width")
	}
	t, r := float64(depth), float64(radius)
	return unit.Area(float64(width)*t + t*t*math.Tan(float64(slope)) - 2*(1-math.Pi/4)*r*r), nil
}

// FillOf is the share of a groove's cross-section that the ring takes, the shape of the groove counted.
//
//	F = (pi/4) d^2 / A      A from GrooveArea
//
// Source: definition; standing: confirmed.
func FillOf(cord unit.Length, area unit.Area) (unit.Ratio, error) {
	if err := first(positive("the cord", cord), refuse.Positive("the cross-section of the groove", float64(area))); err != nil {
		return 0, err
	}
	return unit.Ratio(math.Pi / 4 * float64(cord*cord) / float64(area)), nil
}

// SectionInGroove is the share of the cord that lies inside the groove, below the land beside it.
//
//	S = |land - groove| / (2 d)      piston: land larger than groove; rod: smaller
//
// 75 % guards against rolling out. Valid for positive sizes. Source: seal design guide, dimensional
// considerations (table oring-limits); standing: confirmed.
func SectionInGroove(cord, land, groove unit.Length) (unit.Ratio, error) {
	if err := first(positive("the cord", cord), positive("the land beside the groove", land), positive("the groove diameter", groove)); err != nil {
		return 0, err
	}
	return unit.Ratio(math.Abs(float64(land-groove)) / 2 / float64(cord)), nil
}
