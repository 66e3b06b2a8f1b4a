package form

import (
	"math"

	"seepwright/rules/unit"
)

// Circle is a circle laid to points and how far they lie off it.
type Circle struct {
	X, Y      float64 // centre, metres
	R         unit.Length
	High, Low unit.Length // greatest and least deviation, outward positive
	RMS       unit.Length
}

// Roundness is the largest less the smallest distance from the centre.
func (c Circle) Roundness() unit.Length { return c.High - c.Low }

// LeastSquares fits the circle for which the sum of squared distances is least.
//
//	least sum (d_i - R)^2, d_i distance of point i from the centre, R their mean
//
// This is the geometric fit; the algebraic one (squares of x^2 + y^2 - R^2) shifts the centre on
// arcs and is used as a start only. Solved by Newton's method with step halving until the step
// is below 1e-15 of the size. Refused for fewer than 3 points or points on one line.
// Source: ISO 12181-1 (LSCI); standing: confirmed (agrees with published fits).
func LeastSquares(p []Point) (Circle, error) {
	c, err := newCloud(p)
	if err != nil {
		return Circle{}, err
	}
	at := leastSquaresCentre(c.p)
	k := around(c.p, at)
	s := unit.Length(c.scale)
	k.R, k.High, k.Low, k.RMS = k.R*s, k.High*s, k.Low*s, k.RMS*s
	k.X, k.Y = c.back(at)
	return k, nil
}

// leastSquaresCentre is the centre for points about their middle, of size near 1.
func leastSquaresCentre(q []Point) Point {
	c := algebraic(q)
	if sumSquares(q, Point{}) < sumSquares(q, c) {
		c = Point{}
	}
	return newtonCentre(q, c)
}

// around measures the points from a centre.
func around(p []Point, c Point) Circle {
	sum, lo, hi := 0.0, math.Inf(1), 0.0
	for _, q := range p {
		d := dist(q, c)
		sum += d
		lo, hi = math.Min(lo, d), math.Max(hi, d)
	}
	r := sum / float64(len(p))
	ss := 0.0
	for _, q := range p {
		e := dist(q, c) - r
		ss += e * e
	}
	return Circle{c.X, c.Y, unit.Length(r), unit.Length(hi - r), unit.Length(lo - r), unit.Length(math.Sqrt(ss / float64(len(p))))}
}

func sumSquares(p []Point, c Point) float64 {
	s := float64(around(p, c).RMS)
	return s * s
}

// algebraic is the linear fit, for points about their centroid.
func algebraic(p []Point) Point {
	var xx, xy, yy, xz, yz float64
	for _, q := range p {
		z := q.X*q.X + q.Y*q.Y
		xx += q.X * q.X
		xy += q.X * q.Y
		yy += q.Y * q.Y
		xz += q.X * z
		yz += q.Y * z
	}
	det := xx*yy - xy*xy
	if det == 0 {
		return Point{}
	}
	return Point{(xz*yy - yz*xy) / (2 * det), (yz*xx - xz*xy) / (2 * det)}
}

func newtonCentre(p []Point, c Point) Point {
	n := float64(len(p))
	best, last := sumSquares(p, c), 0
	for range 200 {
		var ux, uy, mean float64
		for _, q := range p {
			d := dist(q, c)
			mean += d / n
			if d > 0 {
				ux += (c.X - q.X) / d / n
				uy += (c.Y - q.Y) / d / n
			}
		}
		// half gradient and half Hessian of the mean squared deviation
		var gx, gy, hxx, hxy, hyy float64
		for _, q := range p {
			d := dist(q, c)
			if d == 0 {
				continue
			}
			vx, vy, e := (c.X-q.X)/d, (c.Y-q.Y)/d, d-mean
			gx += e * vx / n
			gy += e * vy / n
			hxx += ((vx-ux)*(vx-ux) + e*(1-vx*vx)/d) / n
			hxy += ((vx-ux)*(vy-uy) - e*vx*vy/d) / n
			hyy += ((vy-uy)*(vy-uy) + e*(1-vy*vy)/d) / n
		}
		det := hxx*hyy - hxy*hxy
		step := Point{-gx, -gy}
		if det > 0 && hxx+hyy > 0 {
			step = Point{-(gx*hyy - gy*hxy) / det, -(gy*hxx - gx*hxy) / det}
		}
		length := math.Hypot(step.X, step.Y)
		if length < 1e-7 { // inside the quadratic region the sum is too flat to compare
			c = Point{c.X + step.X, c.Y + step.Y}
			if last++; length < 1e-16 || last > 6 {
				break
			}
			continue
		}
		moved := false
		for range 40 {
			t := Point{c.X + step.X, c.Y + step.Y}
			if s := sumSquares(p, t); s < best {
				c, best, moved = t, s, true
				break
			}
			step = Point{step.X / 2, step.Y / 2}
		}
		if !moved {
			break
		}
	}
	return c
}

// Off is how far the centre lies from the origin of the readings.
func (c Circle) Off() unit.Length { return unit.Length(math.Hypot(c.X, c.Y)) }

// Deviation is how far a point lies outside the circle.
func (c Circle) Deviation(p Point) unit.Length { return unit.Length(dist(p, Point{c.X, c.Y})) - c.R }
