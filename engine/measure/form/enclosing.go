package form

import (
	"math"
	"slices"

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

// mostGrowths ends a search that rounding keeps from ending; a few dozen are usual.
const mostGrowths = 1000

// Circumscribed is the smallest circle round all points.
//
// Found by growing a set of at most three support points: the farthest point outside joins, and
// the smallest circle of the four is taken; the radius grows with every step until none is outside.
// Source: ISO 12181-1 (MCCI); standing: confirmed. Right for shafts and spigots.
func Circumscribed(p []Point) (Touching, error) {
	cl, err := newCloud(p)
	if err != nil {
		return Touching{}, err
	}
	q := cl.p
	// Near a diameter the radius grows by the square of what stands out, too little to be seen in
	// floating point: what is kept is the centre from which the farthest reading is nearest.
	set := []int{farthest(q, Point{})}
	at, r := q[set[0]], 0.0
	c, hi, support := at, math.Inf(1), set
	for range mostGrowths {
		f := farthest(q, at)
		d := dist(q[f], at)
		if d < hi {
			c, hi, support = at, d, set
		}
		if d <= r*(1+1e-15) || slices.Contains(set, f) {
			break
		}
		set, at, r = smallest(q, append(slices.Clone(set), f))
	}
	t := cl.touching(c)
	support = slices.Clone(support)
	slices.Sort(support)
	t.R, t.At = unit.Length(hi*cl.scale), support
	return t, nil
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

// smallest is the smallest circle round at most four points, by trying pairs and triples: of the
// centres these fix, the one from which the farthest of the four is nearest.
func smallest(p []Point, set []int) ([]int, Point, float64) {
	best, at, r := []int(nil), Point{}, math.Inf(1)
	try := func(use []int, c Point) {
		far := 0.0
		for _, i := range set {
			far = math.Max(far, dist(p[i], c))
		}
		if far < r {
			best, at, r = append([]int(nil), use...), c, far
		}
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

// Inscribed is the largest circle that holds no point inside, has its centre inside the hull of the
// points and is held by its contacts.
//
// Each step solves the straightened problem exactly; because a distance is a convex function of the
// centre the true least distance is never below the straightened one, so every step climbs. A
// search by halving squares over the whole hull proves that no other centre does better. Refused
// for fewer than 3 points, points on one line, and arcs.
// Source: ISO 12181-1 (MICI); standing: confirmed. Right for bores.
func Inscribed(p []Point) (Touching, error) {
	c, err := newCloud(p)
	if err != nil {
		return Touching{}, err
	}
	s := search{p: c.p, hull: c.hull}
	at, ok := s.run(leastSquaresCentre(c.p))
	if !ok {
		return Touching{}, because("the readings", "cover too short an arc for an inscribed circle: none is held by its contacts", "take readings all round the part")
	}
	t := c.touching(at)
	lo, _ := spread(c.p, at)
	t.R = unit.Length(lo * c.scale)
	for i, q := range c.p {
		if dist(q, at) <= lo*(1+1e-12) {
			t.At = append(t.At, i)
		}
	}
	return t, nil
}

// touching is a circle about a place of the cloud, without its radius.
func (c cloud) touching(at Point) Touching {
	lo, hi := spread(c.p, at)
	t := Touching{Roundness: unit.Length((hi - lo) * c.scale)}
	t.X, t.Y = c.back(at)
	return t
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
		_, a, b, _, ok := oneSided(x, y, d, false)
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
