package form

import (
	"math"
	"sort"

	"seepwright/rules/unit"
)

// Touching is a circle that touches the points from outside or from inside, and the spread of
// the points about its centre.
type Touching struct {
	X, Y      float64
	R         unit.Length
	Roundness unit.Length // largest less smallest distance from this centre
	At        []int       // readings it touches
}

// Circumscribed is the smallest circle round all points.
//
// Found by growing a set of at most three support points: the farthest point outside joins, and
// the smallest circle of the four is taken; the radius grows with every step, so the end is exact.
// Source: ISO 12181-1 (MCCI); standing: confirmed. Right for shafts and spigots.
func Circumscribed(p []Point) (Touching, error) {
	if _, err := checkCircle(p); err != nil {
		return Touching{}, err
	}
	mid := centroid(p)
	support := []int{farthest(p, mid)}
	c, r := p[support[0]], 0.0
	for range 10 * len(p) {
		f := farthest(p, c)
		if dist(p[f], c) <= r*(1+1e-15) {
			break
		}
		next, cc, rr := smallest(p, append(support, f))
		if rr <= r {
			break
		}
		support, c, r = next, cc, rr
	}
	lo, hi := spread(p, c)
	sort.Ints(support)
	return Touching{c.X, c.Y, unit.Length(hi), unit.Length(hi - lo), support}, nil
}

func farthest(p []Point, c Point) int {
	best, d := 0, -1.0
	for i, q := range p {
		if e := dist(q, c); e > d {
			best, d = i, e
		}
	}
	return best
}

// smallest is the smallest circle round at most four points, by trying pairs and triples.
func smallest(p []Point, set []int) ([]int, Point, float64) {
	best, at, r := []int(nil), Point{}, math.Inf(1)
	try := func(use []int, c Point) {
		rad := dist(p[use[0]], c)
		if rad >= r {
			return
		}
		for _, i := range set {
			if dist(p[i], c) > rad*(1+1e-13) {
				return
			}
		}
		best, at, r = append([]int(nil), use...), c, rad
	}
	for i := range set {
		for j := range i {
			a, b := p[set[j]], p[set[i]]
			try([]int{set[j], set[i]}, Point{(a.X + b.X) / 2, (a.Y + b.Y) / 2})
			for k := range j {
				if c, ok := through(p[set[k]], a, b); ok {
					try([]int{set[k], set[j], set[i]}, c)
				}
			}
		}
	}
	return best, at, r
}

// through is the centre of the circle through three points.
func through(a, b, c Point) (Point, bool) {
	u, v := sub(b, a), sub(c, a)
	det := 2 * cross(u, v)
	if det == 0 {
		return Point{}, false
	}
	uu, vv := u.X*u.X+u.Y*u.Y, v.X*v.X+v.Y*v.Y
	return Point{a.X + (v.Y*uu-u.Y*vv)/det, a.Y + (u.X*vv-v.X*uu)/det}, true
}

// Inscribed is the largest circle that holds no point inside and has its centre inside the hull
// of the points.
//
// Each step solves the linearised problem exactly; because a distance is a convex function of the
// centre the true least distance is never below the linearised one, so every step climbs. A
// search by halving squares over the whole hull proves that no other centre does better. Refused
// for fewer than 3 points, points on one line, and arcs.
// Source: ISO 12181-1 (MICI); standing: confirmed. Right for bores.
func Inscribed(p []Point) (Touching, error) {
	fit, err := LeastSquares(p)
	if err != nil {
		return Touching{}, err
	}
	h := hull(p)
	s := search{hull: h, slope: 1, stop: 1e-6,
		value: func(c Point) float64 { lo, _ := spread(p, c); return -lo },
		polish: func(c Point) (Point, float64, bool) {
			c, ok := emptyNear(p, c)
			lo, _ := spread(p, c)
			return c, -lo, ok && depthInside(h, c) >= 0
		},
	}
	c, _, ok := s.run(Point{fit.X, fit.Y}, 20000)
	if !ok {
		return Touching{}, because("the readings", "cover too short an arc for an inscribed circle", "take readings all round the part")
	}
	lo, hi := spread(p, c)
	var at []int
	for i, q := range p {
		if dist(q, c) <= lo*(1+1e-12) {
			at = append(at, i)
		}
	}
	return Touching{c.X, c.Y, unit.Length(lo), unit.Length(hi - lo), at}, nil
}

// emptyNear climbs from a centre to the local largest empty circle.
func emptyNear(p []Point, c Point) (Point, bool) {
	n := len(p)
	x, y, d := make([]float64, n), make([]float64, n), make([]float64, n)
	for range 60 {
		lo, _ := spread(p, c)
		if lo == 0 {
			return c, false
		}
		for i, q := range p {
			e := dist(q, c)
			x[i], y[i], d[i] = (q.X-c.X)/e, (q.Y-c.Y)/e, e-lo
		}
		_, a, b, ok := oneSided(x, y, d, false)
		if !ok {
			return c, false
		}
		t := Point{c.X + a, c.Y + b}
		now, _ := spread(p, t)
		if now <= lo {
			return c, true
		}
		c = t
		if math.Hypot(a, b) <= 1e-15*lo {
			break
		}
	}
	return c, true
}
