package form

import (
	"math"

	"seepwright/rules/unit"
)

// SquarePlane is a plane nx x + ny y + nz z = constant (unit normal, nz >= 0) with deviations
// measured square to it.
type SquarePlane struct {
	NX, NY, NZ float64
	High, Low  unit.Length
	RMS        unit.Length
}

// Flatness is the range of the deviations.
func (p SquarePlane) Flatness() unit.Length { return p.High - p.Low }

// PlaneSquareLeastSquares lays the plane for which the sum of squared distances square to it is
// least: the direction of least variance. It differs from PlaneLeastSquares by the tilt squared.
// Refused for fewer than 3 points or points on one line in plan. Source: ISO 12781-1; standing: confirmed.
func PlaneSquareLeastSquares(p []Height) (SquarePlane, error) {
	f, err := newFace(p)
	if err != nil {
		return SquarePlane{}, err
	}
	a, b := f.slopes()
	// The normal of the least squares plane along z is the start; each turn of the frame makes
	// what is left smaller by the tilt squared.
	u := upright(-a/f.size, -b/f.size)
	q := f.places()
	for range 50 {
		e1, e2 := frame(u)
		var xx, xy, yy, xz, yz, zz float64
		for _, h := range q {
			x, y, z := dot(h, e1), dot(h, e2), dot(h, u)
			xx, xy, yy, xz, yz, zz = xx+x*x, xy+x*y, yy+y*y, xz+x*z, yz+y*z, zz+z*z
		}
		// z = s x + t y in this frame, with the variance along z taken off: (C - zz) s = c
		det := (xx-zz)*(yy-zz) - xy*xy
		if det == 0 {
			break
		}
		s, t := (xz*(yy-zz)-yz*xy)/det, (yz*(xx-zz)-xz*xy)/det
		u = normal(Height{u.X - s*e1.X - t*e2.X, u.Y - s*e1.Y - t*e2.Y, u.Z - s*e1.Z - t*e2.Z})
		if math.Hypot(s, t) < 1e-16 {
			break
		}
	}
	r := make([]float64, len(q))
	for i, h := range q {
		r[i] = dot(h, u)
	}
	lo, hi, rms := limits(r)
	if hi-lo < 4*f.noise() {
		lo, hi, rms = 0, 0, 0
	}
	return SquarePlane{u.X, u.Y, u.Z, unit.Length(hi), unit.Length(lo), unit.Length(rms)}, nil
}

// FlatnessZoneSquare is the narrowest zone between two parallel planes, measured square to them.
//
// The frame is turned onto the plane found and the problem solved again until it stands still;
// among zones equally narrow along z the search starts from 16 directions, for those differ once
// measured square. The answer is the narrowest of these local ones: exact for faces whose
// unevenness is small against their size (below 2 % of it), refused above that.
// Source: ISO 12781-1 (MZPL); standing: confirmed.
func FlatnessZoneSquare(p []Height) (unit.Length, error) {
	f, err := newFace(p)
	if err != nil {
		return 0, err
	}
	start, err := PlaneSquareLeastSquares(p)
	if err != nil {
		return 0, err
	}
	if float64(start.Flatness()) > 0.02*f.size {
		return 0, because("the unevenness", "is more than 2 % of the face", "this is a shape, not a flat face; check the units of the heights")
	}
	if start.Flatness() == 0 {
		return 0, nil
	}
	q := f.places()
	best := float64(start.Flatness())
	for k := range 16 {
		a := (float64(k) + 0.37) * math.Pi / 8
		best = math.Min(best, squareFrom(q, f.size, Height{start.NX, start.NY, start.NZ}, Point{math.Cos(a), math.Sin(a)}))
	}
	return unit.Length(best), nil
}

func squareFrom(q []Height, size float64, u Height, nudge Point) float64 {
	n := len(q)
	x, y, z := make([]float64, n), make([]float64, n), make([]float64, n)
	best := math.Inf(1)
	for range 30 {
		e1, e2 := frame(u)
		for i, h := range q {
			x[i], y[i], z[i] = dot(h, e1)/size, dot(h, e2)/size, dot(h, u)
		}
		s, ok := narrowest(x, y, z, nudge)
		if !ok {
			return best
		}
		a, b := s.A/size, s.B/size
		w := s.width() / math.Sqrt(1+a*a+b*b)
		if w >= best*(1-1e-15) {
			return math.Min(best, w)
		}
		best = w
		u = normal(Height{u.X - a*e1.X - b*e2.X, u.Y - a*e1.Y - b*e2.Y, u.Z - a*e1.Z - b*e2.Z})
	}
	return best
}

// places are the points about their middle, full size.
func (f face) places() []Height {
	q := make([]Height, len(f.z))
	for i := range q {
		q[i] = Height{f.x[i] * f.size, f.y[i] * f.size, f.z[i]}
	}
	return q
}

func dot(a, b Height) float64 { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }

func upright(x, y float64) Height { return normal(Height{x, y, 1}) }

func normal(h Height) Height {
	l := math.Sqrt(dot(h, h))
	return Height{h.X / l, h.Y / l, h.Z / l}
}

// frame gives two directions square to u and to each other; u points mainly along z.
func frame(u Height) (e1, e2 Height) {
	e1 = normal(Height{u.Z, 0, -u.X})
	e2 = Height{u.Y*e1.Z - u.Z*e1.Y, u.Z*e1.X - u.X*e1.Z, u.X*e1.Y - u.Y*e1.X}
	return e1, e2
}
