package form

import (
	"fmt"
	"math"
	"sort"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// LinePoint is the height of a face at a distance along a line, metres.
type LinePoint struct{ S, Height unit.Length }

// Line is what a straight-edge and three reference lines show along one line of a face.
type Line struct {
	Gap           unit.Length // largest gap under a straight-edge that rests on the high points
	GapAt         int         // index of the point under it
	Rests         []int       // corner points of the upper hull, on which the straight-edge can rest
	EndLine       unit.Length // straightness about the line through the two ends
	LeastSquares  unit.Length // about the least squares line
	NarrowestZone unit.Length // about the narrowest zone
}

// Straightedge evaluates heights along one line.
//
// The straight-edge rests on the upper hull of the heights. On a crowned face it rocks on the crown
// and shows no gap at all: a gap of 0 does not prove a face flat. Points are sorted along the line;
// two points at one place are refused, so are fewer than 3.
// Source: geometry; ISO 12780-1 for the reference lines; standing: confirmed.
func Straightedge(points []LinePoint) (Line, error) {
	if len(points) < 3 {
		return Line{}, because("the number of points on the line", fmt.Sprintf("is %d", len(points)), "take at least 3: both ends and the middle")
	}
	order := make([]int, len(points))
	for i, p := range points {
		order[i] = i
		if err := refuse.First(refuse.Finite(fmt.Sprintf("the place of point %d", i+1), float64(p.S)), refuse.Finite(fmt.Sprintf("the height of point %d", i+1), float64(p.Height))); err != nil {
			return Line{}, err
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return points[order[i]].S < points[order[j]].S })
	p := make([]Point, len(points))
	for i, k := range order {
		p[i] = Point{float64(points[k].S), float64(points[k].Height)}
		if i > 0 && p[i].X == p[i-1].X {
			return Line{}, because("two points", "lie at the same place along the line", "leave one out")
		}
	}
	up, low := chain(p, 1), chain(p, -1)
	l := Line{EndLine: unit.Length(about(p, p[0], p[len(p)-1])), LeastSquares: unit.Length(aboutLeastSquares(p))}
	noise := 1e-14 * size(p)
	l.GapAt = order[0]
	for i, g := range under(p, up) {
		if g > float64(l.Gap)+noise {
			l.Gap, l.GapAt = unit.Length(g), order[i]
		}
	}
	for _, i := range up {
		l.Rests = append(l.Rests, order[i])
	}
	sort.Ints(l.Rests)
	l.NarrowestZone = unit.Length(thickness(p, up, low))
	return l, nil
}

// size is the greatest height met, for the rounding of differences.
func size(p []Point) float64 {
	top := 0.0
	for _, q := range p {
		top = math.Max(top, math.Abs(q.Y))
	}
	return top
}

// chain is the upper (side = 1) or lower hull of points sorted along x, as indices. Points on
// its edges, within the rounding of the heights, are left out.
func chain(p []Point, side float64) []int {
	var h []int
	slack := -1e-14 * size(p) * (p[len(p)-1].X - p[0].X)
	for i := range p {
		for len(h) >= 2 && side*cross(sub(p[h[len(h)-1]], p[h[len(h)-2]]), sub(p[i], p[h[len(h)-2]])) >= slack {
			h = h[:len(h)-1]
		}
		h = append(h, i)
	}
	return h
}

// under is how far each point lies below (upper hull) or above (lower hull, negative) a chain.
func under(p []Point, h []int) []float64 {
	g := make([]float64, len(p))
	k := 0
	for i := range p {
		for k+1 < len(h)-1 && p[i].X > p[h[k+1]].X {
			k++
		}
		a, b := p[h[k]], p[h[min(k+1, len(h)-1)]]
		if i == h[k] || i == h[k+1] {
			continue
		}
		g[i] = a.Y + (b.Y-a.Y)*(p[i].X-a.X)/(b.X-a.X) - p[i].Y
	}
	return g
}

// thickness is the greatest height between the two hulls: the narrowest zone along the height.
func thickness(p []Point, up, low []int) float64 {
	most := 0.0
	fromUp, fromLow := under(p, up), under(p, low)
	for i := range p {
		most = math.Max(most, fromUp[i]-fromLow[i])
	}
	return most
}

func about(p []Point, a, b Point) float64 {
	slope := (b.Y - a.Y) / (b.X - a.X)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range p {
		e := q.Y - a.Y - slope*(q.X-a.X)
		lo, hi = math.Min(lo, e), math.Max(hi, e)
	}
	return hi - lo
}

func aboutLeastSquares(p []Point) float64 {
	c := centroid(p)
	var xx, xy float64
	for _, q := range p {
		xx += (q.X - c.X) * (q.X - c.X)
		xy += (q.X - c.X) * (q.Y - c.Y)
	}
	return about(p, c, Point{c.X + 1, c.Y + xy/xx})
}

// Leaf is the thickest leaf of a feeler set that enters a gap, and the next one, which does not.
// ok is false where none enters; last is true where even the thickest does.
func Leaf(gap unit.Length, set []unit.Length) (enters unit.Length, ok bool, next unit.Length, last bool) {
	leaves := append([]unit.Length(nil), set...)
	sort.Slice(leaves, func(i, j int) bool { return leaves[i] < leaves[j] })
	last = true
	for _, l := range leaves {
		if float64(l) <= float64(gap)*(1+1e-12) {
			enters, ok = l, true
			continue
		}
		return enters, ok, l, false
	}
	return enters, ok, 0, true
}

// CrownGap is the gap at the far end of a straight-edge that lies on a crowned face.
//
//	g = h (1 - x)^2      h height of the crown over its ends (parabola), x place of touch, -1 to 1
//
// In the middle (x = 0) both ends show h; with one end pressed down (x = -1) the far end shows 4 h.
// Refused outside -1 to 1. Source: geometry of a parabola and its tangent; standing: confirmed.
func CrownGap(height unit.Length, touch unit.Ratio) (unit.Length, error) {
	if err := refuse.First(refuse.NotNegative("the height of the crown", float64(height)), refuse.Within("the place of touch", float64(touch), -1, 1, "-1 and 1 are the ends, 0 the middle")); err != nil {
		return 0, err
	}
	x := unit.Length(1 - touch)
	return height * x * x, nil
}
