package form

import (
	"fmt"
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Limacon is a reference curve r = R + A cos t + B sin t laid to indicator readings.
type Limacon struct {
	R, A, B   unit.Length
	High, Low unit.Length // greatest and least reading off the curve, outward positive
	RMS       unit.Length
}

// Off is how far the part sat off the middle of the turning.
func (l Limacon) Off() unit.Length { return unit.Length(math.Hypot(float64(l.A), float64(l.B))) }

// Roundness is the range of readings about the curve.
func (l Limacon) Roundness() unit.Length { return l.High - l.Low }

// LimaconLeastSquares takes the set-up error out of indicator readings by least squares.
//
//	least sum (r_i - R - A cos t_i - B sin t_i)^2
//
// To first order only: 2 mm off centre on a 20 mm radius adds 0.05 mm of false ovality. Keep the
// offset below 1 % of the radius. Refused for fewer than 3 different angles.
// Source: ISO 4291 annex F form, general angles; standing: confirmed.
func LimaconLeastSquares(readings []Polar) (Limacon, error) {
	x, y, z, err := dial(readings)
	if err != nil {
		return Limacon{}, err
	}
	n := float64(len(z))
	var sx, sy, sz float64
	for i := range z {
		sx, sy, sz = sx+x[i]/n, sy+y[i]/n, sz+z[i]/n
	}
	var xx, xy, yy, xz, yz float64
	for i := range z {
		u, v, w := x[i]-sx, y[i]-sy, z[i]-sz
		xx, xy, yy, xz, yz = xx+u*u, xy+u*v, yy+v*v, xz+u*w, yz+v*w
	}
	det := xx*yy - xy*xy
	a, b := (xz*yy-yz*xy)/det, (yz*xx-xz*xy)/det
	return laid(x, y, z, sz-a*sx-b*sy, a, b), nil
}

// LimaconZone is the narrowest band r = R + A cos t + B sin t that holds every reading, exact.
// R is the middle of the band. Source: ISO 12181-1 minimum zone in linear form; standing: confirmed.
func LimaconZone(readings []Polar) (Limacon, error) {
	x, y, z, err := dial(readings)
	if err != nil {
		return Limacon{}, err
	}
	mean := 0.0
	for _, v := range z {
		mean += v / float64(len(z))
	}
	c := make([]float64, len(z))
	for i, v := range z {
		c[i] = v - mean
	}
	s, ok := narrowest(x, y, c, Point{0.6, 0.8})
	if !ok {
		return Limacon{}, because("the angles", "leave the band open", "take readings all round")
	}
	return laid(x, y, z, mean+(s.High+s.Low)/2, s.A, s.B), nil
}

// LimaconOutside is the least curve that no reading passes (shafts); LimaconInside the greatest
// that no reading falls below (bores). Refused where the readings leave half a turn or more open.
// Source: ISO 4291, annex F; standing: confirmed.
func LimaconOutside(readings []Polar) (Limacon, error) { return limaconSide(readings, true) }

// LimaconInside: see LimaconOutside.
func LimaconInside(readings []Polar) (Limacon, error) { return limaconSide(readings, false) }

func limaconSide(readings []Polar, outside bool) (Limacon, error) {
	x, y, z, err := dial(readings)
	if err != nil {
		return Limacon{}, err
	}
	_, a, b, _, ok := oneSided(x, y, z, outside)
	if !ok {
		return Limacon{}, because("the readings", "leave half a turn or more open", "take readings all round")
	}
	l := laid(x, y, z, 0, a, b)
	r := l.Low
	if outside {
		r = l.High
	}
	return Limacon{R: r, A: l.A, B: l.B, High: l.High - r, Low: l.Low - r, RMS: laid(x, y, z, float64(r), a, b).RMS}, nil
}

func laid(x, y, z []float64, r, a, b float64) Limacon {
	lo, hi, ss := math.Inf(1), math.Inf(-1), 0.0
	for i := range z {
		e := z[i] - r - a*x[i] - b*y[i]
		lo, hi, ss = math.Min(lo, e), math.Max(hi, e), ss+e*e
	}
	return Limacon{unit.Length(r), unit.Length(a), unit.Length(b), unit.Length(hi), unit.Length(lo), unit.Length(math.Sqrt(ss / float64(len(z))))}
}

func dial(readings []Polar) (x, y, z []float64, err error) {
	n := len(readings)
	p := make([]Point, n)
	x, y, z = make([]float64, n), make([]float64, n), make([]float64, n)
	for i, r := range readings {
		if err := refuse.First(refuse.Finite(fmt.Sprintf("the angle of reading %d", i+1), float64(r.At)), refuse.Finite(fmt.Sprintf("reading %d", i+1), float64(r.Radius))); err != nil {
			return nil, nil, nil, err
		}
		s, c := math.Sincos(float64(r.At))
		p[i] = Point{c, s}
		x[i], y[i], z[i] = c, s, float64(r.Radius)
	}
	if _, err := checkCircle(p); err != nil {
		return nil, nil, nil, because("the readings", "lie at fewer than 3 different angles", "take at least 3, better 12, evenly round")
	}
	return x, y, z, nil
}

// At is the radius of the curve at an angle.
func (l Limacon) At(a unit.Angle) unit.Length {
	s, c := math.Sincos(float64(a))
	return l.R + l.A*unit.Length(c) + l.B*unit.Length(s)
}
