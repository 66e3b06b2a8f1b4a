package form

import "math"

// held is the answer of the straightened problem about the middle of a square: distances replaced
// by their tangents, and the weights of the contacts that carry it.
type held struct {
	value float64 // least value of the straightened problem
	step  Point   // where it lies from the middle
	// of the weighted sum of distances at the middle: value, first, second and third derivatives
	sum                    float64
	slope                  Point
	bxx, bxy, byy          float64
	txxx, txxy, txyy, tyyy float64
	contacts               int
}

// straightened solves the linear program of the points listed for a square.
func (s *search) straightened(q *square) (held, bool) {
	var x, y, z []float64
	g := func(list []int32) {
		x, y, z = x[:0], y[:0], z[:0]
		for _, i := range list {
			v := s.slope(q.at, i)
			x, y, z = append(x, -v.X), append(y, -v.Y), append(z, dist(s.p[i], q.at))
		}
	}
	var h held
	if !s.ring {
		g(q.near)
		base := q.lo
		for k := range z {
			z[k] -= base
		}
		r, a, b, on, ok := oneSided(x, y, z, false)
		if !ok {
			return h, false
		}
		h.value, h.step = -(r + base), Point{a, b}
		h.carry(s, q.at, on, q.near, -1)
		return h, h.contacts > 0
	}
	list := union(q.far, q.near)
	g(list)
	base := (q.lo + q.hi) / 2
	for k := range z {
		z[k] -= base
	}
	t, ok := narrowest(x, y, z, Point{0.6, 0.8})
	if !ok {
		return h, false
	}
	h.value, h.step = t.width(), Point{t.A, t.B}
	h.carry(s, q.at, t.Upper, list, 1)
	up := h.contacts
	h.carry(s, q.at, t.Lower, list, -1)
	return h, up > 0 && h.contacts > up
}

// carry adds contacts with their weights, which are made to add up to one.
func (h *held) carry(s *search, c Point, on []contact, list []int32, sign float64) {
	total := 0.0
	for _, k := range on {
		total += k.Weight
	}
	for _, k := range on {
		i := list[k.Index]
		w, d, g := sign*k.Weight/total, dist(s.p[i], c), s.slope(c, i)
		h.sum += w * d
		h.slope.X, h.slope.Y = h.slope.X+w*g.X, h.slope.Y+w*g.Y
		xx, xy, yy := 1-g.X*g.X, -g.X*g.Y, 1-g.Y*g.Y
		h.bxx, h.bxy, h.byy = h.bxx+w*xx/d, h.bxy+w*xy/d, h.byy+w*yy/d
		v := w / (d * d)
		h.txxx, h.txxy = h.txxx-3*v*g.X*xx, h.txxy-v*(g.Y*xx+2*g.X*xy)
		h.txyy, h.tyyy = h.txyy-v*(g.X*yy+2*g.Y*xy), h.tyyy-3*v*g.Y*yy
		h.contacts++
	}
}

// bound is a value that is not undercut anywhere within reach of the middle of the square: the
// weighted sum of distances lies below the value everywhere, and is followed to its fourth derivative
// (of a distance d at most 3 / d^3; the weights add up to 2).
func (h held) bound(q *square, reach float64) float64 {
	mean, half := (h.bxx+h.byy)/2, math.Hypot((h.bxx-h.byy)/2, h.bxy)
	least := math.Min(0, mean-half)
	third := math.Sqrt(h.txxx*h.txxx + 3*h.txxy*h.txxy + 3*h.txyy*h.txyy + h.tyyy*h.tyyy)
	d := q.lo - reach
	r2 := reach * reach
	return h.sum - math.Hypot(h.slope.X, h.slope.Y)*reach + least*r2/2 - third*r2*reach/6 - r2*r2/(4*d*d*d)
}

// union joins two rising lists.
func union(a, b []int32) []int32 {
	out := make([]int32, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		switch {
		case a[0] < b[0]:
			out, a = append(out, a[0]), a[1:]
		case a[0] > b[0]:
			out, b = append(out, b[0]), b[1:]
		default:
			out, a, b = append(out, a[0]), a[1:], b[1:]
		}
	}
	return append(append(out, a...), b...)
}
