package form

import (
	"fmt"
	"math"

	"seepwright/rules/unit"
)

// Height is the height of a face at a place, metres.
type Height struct{ X, Y, Z float64 }

// Plane is a plane z = A x + B y + C laid to a face, and how far the points lie off it.
type Plane struct {
	A, B, C   float64
	High, Low unit.Length
	RMS       unit.Length
}

// Flatness is the range of the deviations.
func (p Plane) Flatness() unit.Length { return p.High - p.Low }

// face checks a set of heights and brings it to a handy size: places about their middle, near 1.
type face struct {
	x, y, z []float64
	mid     Height
	size    float64
}

func newFace(p []Height) (face, error) {
	if len(p) < 3 {
		return face{}, because("the number of points", fmt.Sprintf("is %d, too few for a plane", len(p)), "take at least 4, better 9 spread over the face")
	}
	flat := make([]Point, len(p))
	var f face
	for i, h := range p {
		flat[i] = Point{h.X, h.Y}
		if !finitePoint(flat[i]) || math.IsNaN(h.Z) || math.IsInf(h.Z, 0) {
			return face{}, because(fmt.Sprintf("point %d", i+1), "is not a number", "read it again")
		}
		f.mid.Z += h.Z / float64(len(p))
	}
	size, err := checkCircle(flat)
	if err != nil {
		return face{}, because("the points", "lie on one line, so no plane is fixed", "take points over the whole face")
	}
	c := centroid(flat)
	f.mid.X, f.mid.Y, f.size = c.X, c.Y, size
	for _, h := range p {
		f.x = append(f.x, (h.X-c.X)/size)
		f.y = append(f.y, (h.Y-c.Y)/size)
		f.z = append(f.z, h.Z-f.mid.Z)
	}
	return f, nil
}

// slopes is the least squares slope of z over x and y, in the face's own size.
func (f face) slopes() (a, b float64) {
	var xx, xy, yy, xz, yz float64
	for i := range f.z {
		xx, xy, yy = xx+f.x[i]*f.x[i], xy+f.x[i]*f.y[i], yy+f.y[i]*f.y[i]
		xz, yz = xz+f.x[i]*f.z[i], yz+f.y[i]*f.z[i]
	}
	det := xx*yy - xy*xy
	return (xz*yy - yz*xy) / det, (yz*xx - xz*xy) / det
}

// tilted gives the heights off a plane through the middle with these slopes.
func (f face) tilted(a, b float64) []float64 {
	r := make([]float64, len(f.z))
	for i := range f.z {
		r[i] = f.z[i] - a*f.x[i] - b*f.y[i]
	}
	return r
}

// noise is the rounding of the heights: a face flatter than that is an exact plane.
func (f face) noise() float64 {
	top := 0.0
	for _, z := range f.z {
		top = math.Max(top, math.Abs(z))
	}
	return 8e-16 * (top + math.Abs(f.mid.Z))
}

func limits(r []float64) (lo, hi, rms float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, v := range r {
		lo, hi, rms = math.Min(lo, v), math.Max(hi, v), rms+v*v
	}
	return lo, hi, math.Sqrt(rms / float64(len(r)))
}

// PlaneLeastSquares lays the plane for which the sum of squared heights off it is least.
//
//	least sum (z_i - A x_i - B y_i - C)^2
//
// Heights are taken along z: right for readings over a plate or along an indicator.
// Refused for fewer than 3 points or points on one line. Source: ISO 12781-1 (LSPL); standing: confirmed.
func PlaneLeastSquares(p []Height) (Plane, error) {
	f, err := newFace(p)
	if err != nil {
		return Plane{}, err
	}
	a, b := f.slopes()
	lo, hi, rms := limits(f.tilted(a, b))
	if hi-lo < f.noise() {
		lo, hi, rms = 0, 0, 0
	}
	pa, pb := a/f.size, b/f.size
	return Plane{pa, pb, f.mid.Z - pa*f.mid.X - pb*f.mid.Y, unit.Length(hi), unit.Length(lo), unit.Length(rms)}, nil
}

// FlatZone is the narrowest pair of parallel planes that holds the face.
type FlatZone struct {
	A, B         float64 // slopes
	Flatness     unit.Length
	Upper, Lower []int // points that carry the upper and the lower plane
	upper, lower []contact
	Pattern      string // "3-1", "2-2", "1-3", "2-1 in line", "1-2 in line", "exact plane"
}

// Weights are the shares with which each point's height enters the flatness: those of the upper
// contacts add up to 1, those of the lower to -1. They carry the uncertainty of readings.
func (z FlatZone) Weights(n int) []float64 { return weights(n, z.upper, z.lower) }

// FlatnessZone finds the narrowest zone between two parallel planes, heights along z.
//
//	least (max r_i - min r_i), r_i = z_i - A x_i - B y_i, over all A, B
//
// Solved exactly as a linear program in its contact points (three over one, two over two crossing,
// one over three). Refused for fewer than 3 points or points on one line; three points are always
// flat. Source: ISO 12781-1 (MZPL); standing: confirmed.
func FlatnessZone(p []Height) (FlatZone, error) {
	f, err := newFace(p)
	if err != nil {
		return FlatZone{}, err
	}
	a, b := f.slopes()
	r := f.tilted(a, b)
	lo, hi, _ := limits(r)
	if hi-lo < f.noise() {
		return FlatZone{A: a / f.size, B: b / f.size, Pattern: "exact plane"}, nil
	}
	s, ok := narrowest(f.x, f.y, r, Point{0.6, 0.8})
	if !ok {
		return FlatZone{}, because("the points", "do not fix a zone", "take points over the whole face")
	}
	return FlatZone{(a + s.A) / f.size, (b + s.B) / f.size, unit.Length(s.width()), indices(s.Upper), indices(s.Lower), s.Upper, s.Lower, pattern(len(s.Upper), len(s.Lower))}, nil
}

func pattern(up, low int) string {
	s := fmt.Sprintf("%d-%d", up, low)
	if up+low == 3 {
		s += " in line"
	}
	return s
}
