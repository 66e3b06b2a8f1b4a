package form

import "sort"

// hull is the convex hull of points, anticlockwise, without points on its edges.
func hull(p []Point) []Point {
	q := append([]Point(nil), p...)
	sort.Slice(q, func(i, j int) bool {
		if q[i].X != q[j].X {
			return q[i].X < q[j].X
		}
		return q[i].Y < q[j].Y
	})
	var h []Point
	for pass := range 2 {
		base := len(h)
		for i := range q {
			v := q[i]
			if pass == 1 {
				v = q[len(q)-1-i]
			}
			for len(h) >= base+2 && cross(sub(h[len(h)-1], h[len(h)-2]), sub(v, h[len(h)-2])) <= 0 {
				h = h[:len(h)-1]
			}
			h = append(h, v)
		}
		h = h[:len(h)-1]
	}
	return h
}

// depthInside is how far a place lies inside a hull (its least distance from the lines of the
// edges); outside it is negative.
func depthInside(h []Point, c Point) float64 {
	least := 0.0
	for i, a := range h {
		b := h[(i+1)%len(h)]
		d := cross(sub(b, a), sub(c, a)) / dist(a, b)
		if i == 0 || d < least {
			least = d
		}
	}
	return least
}
