// Package form evaluates form errors from readings: roundness by four methods, two- and
// three-point diameters, vee-blocks, flatness by least squares and minimum zone, straight-edge
// lines and levels.
// It knows no limits and no instruments; the caller compares and brings the uncertainty.
package form

import (
	"fmt"
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Point is a place in the plane, metres.
type Point struct{ X, Y float64 }

// Polar is one radius (or indicator reading) at an angle, anticlockwise positive as in
// mathematics; the direction does not matter to any result but the sign of the centre.
type Polar struct {
	At     unit.Angle
	Radius unit.Length
}

// XY turns radii into points.
func XY(readings []Polar) []Point {
	p := make([]Point, len(readings))
	for i, r := range readings {
		s, c := math.Sincos(float64(r.At))
		p[i] = Point{float64(r.Radius) * c, float64(r.Radius) * s}
	}
	return p
}

func sub(a, b Point) Point            { return Point{a.X - b.X, a.Y - b.Y} }
func cross(a, b Point) float64        { return a.X*b.Y - a.Y*b.X }
func dist(a, b Point) float64         { return math.Hypot(a.X-b.X, a.Y-b.Y) }
func finitePoint(p Point) bool        { return !math.IsNaN(p.X+p.Y) && !math.IsInf(p.X+p.Y, 0) }
func because(q, why, in string) error { return refuse.Because(q, why, in) }

func centroid(p []Point) Point {
	var c Point
	for _, q := range p {
		c.X += q.X
		c.Y += q.Y
	}
	n := float64(len(p))
	return Point{c.X / n, c.Y / n}
}

// checkCircle refuses what no circle can be laid through, and gives the size of the set.
func checkCircle(p []Point) (float64, error) {
	if len(p) < 3 {
		return 0, because("the number of readings", fmt.Sprintf("is %d, too few for a circle", len(p)), "take at least 3, better 12, evenly round")
	}
	for i, q := range p {
		if !finitePoint(q) {
			return 0, because(fmt.Sprintf("reading %d", i+1), "is not a number", "read it again")
		}
	}
	c := centroid(p)
	far, size := 0, 0.0
	for i, q := range p {
		if d := dist(q, c); d > size {
			far, size = i, d
		}
	}
	width := 0.0
	if size > 0 {
		along := sub(p[far], c)
		for _, q := range p {
			width = math.Max(width, math.Abs(cross(along, sub(q, c)))/size)
		}
	}
	if width <= 1e-9*size {
		return 0, because("the points", "lie on one line, so no circle fits", "take readings at different angles round the part")
	}
	return size, nil
}
