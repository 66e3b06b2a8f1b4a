package form

import (
	"math"

	"seepwright/rules/unit"
)

// Zone is the narrowest ring between two concentric circles that holds every point.
type Zone struct {
	X, Y         float64 // common centre, metres
	Outer, Inner unit.Length
	OuterAt      []int // readings that touch the outer circle
	InnerAt      []int
}

// Roundness is the difference of the radii.
func (z Zone) Roundness() unit.Length { return z.Outer - z.Inner }

// MinimumZone finds the two concentric circles with the smallest difference of radii that hold
// every point, the centre anywhere inside the points.
//
//	least (max d_i - min d_i) over all centres
//
// Each step solves the problem with distances linearised about the last centre exactly (a linear
// program in its contact points), which meets the true four contacts quadratically; a search by
// halving squares over the whole hull then proves that no other centre does better (a distance
// changes by at most the way moved). Accurate to about 1e-13 of the size. Refused for fewer than
// 3 points, points on one line, and arcs whose narrowest ring has its centre outside the points.
// Source: ISO 12181-1 (MZCI), ISO 6318; standing: confirmed.
func MinimumZone(p []Point) (Zone, error) {
	fit, err := LeastSquares(p)
	if err != nil {
		return Zone{}, err
	}
	h := hull(p)
	s := search{hull: h, slope: 2, stop: 1e-6,
		value: func(c Point) float64 { lo, hi := spread(p, c); return hi - lo },
		polish: func(c Point) (Point, float64, bool) {
			z, ok := zoneNear(p, c)
			at := Point{z.X, z.Y}
			return at, float64(z.Roundness()), ok && depthInside(h, at) >= 0
		},
	}
	c, _, ok := s.run(Point{fit.X, fit.Y}, 20000)
	if !ok {
		return Zone{}, because("the readings", "cover too short an arc for a zone", "take readings all round the part")
	}
	z, _ := zoneNear(p, c)
	return z, nil
}

func spread(p []Point, c Point) (lo, hi float64) {
	lo = math.Inf(1)
	for _, q := range p {
		d := dist(q, c)
		lo, hi = math.Min(lo, d), math.Max(hi, d)
	}
	return lo, hi
}

// zoneNear climbs down from a centre to the local narrowest zone.
func zoneNear(p []Point, c Point) (Zone, bool) {
	n := len(p)
	x, y, z := make([]float64, n), make([]float64, n), make([]float64, n)
	lo, hi := spread(p, c)
	best := hi - lo
	var last strip
	settled := false
	for range 60 {
		mean := 0.0
		for i, q := range p {
			d := dist(q, c)
			if d == 0 {
				return Zone{}, false
			}
			x[i], y[i], z[i] = (q.X-c.X)/d, (q.Y-c.Y)/d, d
			mean += d / float64(n)
		}
		for i := range z {
			z[i] -= mean
		}
		s, ok := narrowest(x, y, z, Point{0.6, 0.8})
		if !ok {
			return Zone{}, false
		}
		last = s
		step := Point{s.A, s.B}
		size := math.Hypot(step.X, step.Y)
		if size <= 1e-15*mean {
			settled = true
			break
		}
		moved := false
		for range 30 {
			t := Point{c.X + step.X, c.Y + step.Y}
			lo, hi := spread(p, t)
			if hi-lo < best {
				c, best, moved = t, hi-lo, true
				break
			}
			step = Point{step.X / 2, step.Y / 2}
		}
		if !moved {
			settled = size < 1e-6*mean
			break
		}
	}
	lo, hi = spread(p, c)
	return Zone{c.X, c.Y, unit.Length(hi), unit.Length(lo), indices(last.Upper), indices(last.Lower)}, settled || size0(last)
}

func size0(s strip) bool { return math.Hypot(s.A, s.B) < 1e-9 }

func indices(c []contact) []int {
	var out []int
	for _, v := range c {
		out = append(out, v.Index)
	}
	return out
}
