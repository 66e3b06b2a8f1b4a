package form

import (
	"math"

	"seepwright/rules/unit"
)

// Zone is the narrowest ring between two concentric circles that holds every point.
type Zone struct {
	X, Y         float64 // common centre, metres
	Outer, Inner unit.Length
	OuterAt      []int // readings that touch the outer circle
	InnerAt      []int
	outer, inner []contact
	width        float64
}

// Roundness is the difference of the radii.
func (z Zone) Roundness() unit.Length { return unit.Length(z.width) }

// Weights are the shares with which each reading's distance from the centre enters the roundness:
// those of the outer contacts add up to 1, those of the inner to -1. They carry the uncertainty of
// readings; see uncertain.Row.
func (z Zone) Weights(n int) []float64 { return weights(n, z.outer, z.inner) }

// MinimumZone finds the two concentric circles with the smallest difference of radii that hold
// every point, the centre anywhere inside the points.
//
//	least (max d_i - min d_i) over all centres
//
// Each step solves the problem with distances straightened about the last centre exactly (a linear
// program in its contact points), which meets the true four contacts quadratically; a search by
// halving squares over the whole hull then proves that no other centre does better (see search).
// Accurate to about 1e-14 of the size. Refused for fewer than 3 points, points on one line, and arcs
// whose narrowest ring has its centre outside the points.
// Source: ISO 12181-1 (MZCI), ISO 6318; standing: confirmed.
func MinimumZone(p []Point) (Zone, error) {
	c, err := newCloud(p)
	if err != nil {
		return Zone{}, err
	}
	s := search{p: c.p, hull: c.hull, ring: true}
	at, ok := s.run(leastSquaresCentre(c.p))
	if !ok {
		return Zone{}, because("the readings", "cover too short an arc for a zone: no ring about a centre among them is held by its contacts", "take readings all round the part")
	}
	v, _ := zoneNear(c.p, at)
	z := Zone{Outer: unit.Length(v.hi * c.scale), Inner: unit.Length(v.lo * c.scale), outer: v.on.Upper, inner: v.on.Lower,
		OuterAt: indices(v.on.Upper), InnerAt: indices(v.on.Lower), width: (v.hi - v.lo) * c.scale}
	z.X, z.Y = c.back(v.at)
	return z, nil
}

// valley is the bottom that was reached from a place, the distances there and the contacts.
type valley struct {
	at     Point
	lo, hi float64
	on     strip
}

// zoneNear climbs down from a centre to the local narrowest zone.
func zoneNear(p []Point, c Point) (valley, bool) {
	n := len(p)
	x, y, z := make([]float64, n), make([]float64, n), make([]float64, n)
	v := valley{at: c}
	v.lo, v.hi = spread(p, c)
	settled := false
	for range 60 {
		for i, q := range p {
			d := dist(q, v.at)
			if d == 0 {
				return v, false
			}
			x[i], y[i], z[i] = (q.X-v.at.X)/d, (q.Y-v.at.Y)/d, d-(v.lo+v.hi)/2
		}
		s, ok := narrowest(x, y, z, Point{0.6, 0.8})
		if !ok {
			return v, false
		}
		v.on = s
		step := Point{s.A, s.B}
		size := math.Hypot(step.X, step.Y)
		if size <= 1e-15 {
			settled = true
			break
		}
		moved := false
		for range 30 {
			t := Point{v.at.X + step.X, v.at.Y + step.Y}
			if lo, hi := spread(p, t); hi-lo < v.hi-v.lo {
				v.at, v.lo, v.hi, moved = t, lo, hi, true
				break
			}
			step = Point{step.X / 2, step.Y / 2}
		}
		if !moved {
			settled = size < 1e-6
			break
		}
	}
	return v, settled || math.Hypot(v.on.A, v.on.B) < 1e-9
}

func indices(c []contact) []int {
	var out []int
	for _, v := range c {
		out = append(out, v.Index)
	}
	return out
}

func weights(n int, up, low []contact) []float64 {
	w := make([]float64, n)
	for _, c := range up {
		w[c.Index] += c.Weight
	}
	for _, c := range low {
		w[c.Index] -= c.Weight
	}
	return w
}
