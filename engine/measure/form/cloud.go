package form

import "math"

// cloud is a set of points brought to a handy place and size without rounding: moved so that the
// middle is near the origin, and scaled by a power of two so that the farthest lies near 1. A bore
// far from the origin of its coordinates loses no figure that way.
type cloud struct {
	p     []Point
	hull  []Point
	mid   Point
	scale float64 // length of 1, metres
}

// newCloud refuses what no circle can be laid through.
func newCloud(p []Point) (cloud, error) {
	size, err := checkCircle(p)
	if err != nil {
		return cloud{}, err
	}
	_, e := math.Frexp(size)
	c := cloud{mid: centroid(p), scale: math.Ldexp(1, e), p: make([]Point, len(p))}
	for i, q := range p {
		c.p[i] = Point{(q.X - c.mid.X) / c.scale, (q.Y - c.mid.Y) / c.scale}
	}
	c.hull = hull(c.p)
	return c, nil
}

// back is the place of a point of the cloud in the coordinates of the readings.
func (c cloud) back(q Point) (x, y float64) {
	return c.mid.X + q.X*c.scale, c.mid.Y + q.Y*c.scale
}

// spread is the least and the greatest distance from a place.
func spread(p []Point, c Point) (lo, hi float64) {
	lo = math.Inf(1)
	for _, q := range p {
		x, y := q.X-c.X, q.Y-c.Y
		d := x*x + y*y
		lo, hi = min(lo, d), max(hi, d)
	}
	return math.Sqrt(lo), math.Sqrt(hi)
}
