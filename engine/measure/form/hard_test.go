package form

import (
	"math"
	"math/big"
	"math/rand"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func bf(x float64) *big.Float { return new(big.Float).SetPrec(300).SetFloat64(x) }

// bisectCross is the centre equally far from a and b and from c and d, with 300 bits.
func bisectCross(a, b, c, d Point) (Point, bool) {
	op := func() *big.Float { return new(big.Float).SetPrec(300) }
	row := func(a, b Point) (*big.Float, *big.Float, *big.Float) {
		ux := op().Sub(bf(b.X), bf(a.X))
		uy := op().Sub(bf(b.Y), bf(a.Y))
		sx := op().Add(bf(b.X), bf(a.X))
		sy := op().Add(bf(b.Y), bf(a.Y))
		m := op().Add(op().Mul(ux, sx), op().Mul(uy, sy))
		m.Quo(m, bf(2))
		return ux, uy, m
	}
	u1, v1, m1 := row(a, b)
	u2, v2, m2 := row(c, d)
	det := op().Sub(op().Mul(u1, v2), op().Mul(v1, u2))
	if det.Sign() == 0 {
		return Point{}, false
	}
	x := op().Quo(op().Sub(op().Mul(m1, v2), op().Mul(v1, m2)), det)
	y := op().Quo(op().Sub(op().Mul(u1, m2), op().Mul(m1, u2)), det)
	fx, _ := x.Float64()
	fy, _ := y.Float64()
	return Point{fx, fy}, true
}

// exactContacts tries every centre that two pairs of points fix: the narrowest zone that is least
// all round, and the largest empty circle that is held by its contacts, strictly and just.
func exactContacts(p []Point) (zone, held, weak float64) {
	zone = math.Inf(1)
	h, n := hull(p), len(p)
	lowest := func(c Point, v float64) bool {
		for k := range 90 {
			a := 2 * math.Pi * float64(k) / 90
			if lo, hi := spread(p, Point{c.X + 1e-6*math.Cos(a), c.Y + 1e-6*math.Sin(a)}); hi-lo < v-1e-15 {
				return false
			}
		}
		return true
	}
	try := func(c Point) {
		if depthInside(h, c) < 0 {
			return
		}
		lo, hi := spread(p, c)
		if hi-lo < zone && lowest(c, hi-lo) {
			zone = hi - lo
		}
		if lo > held && openSide(p, c, lo) < math.Pi-1e-9 {
			held = lo
		}
		if lo > weak && openSide(p, c, lo) < math.Pi+1e-9 {
			weak = lo
		}
	}
	var pairs [][2]int
	for i := range n {
		for j := range i {
			pairs = append(pairs, [2]int{j, i})
		}
	}
	for a := range pairs {
		for b := range a {
			if c, ok := bisectCross(p[pairs[a][0]], p[pairs[a][1]], p[pairs[b][0]], p[pairs[b][1]]); ok {
				try(c)
			}
		}
	}
	return zone, held, weak
}

// hardCircle makes a nasty set of a kind (invented data).
func hardCircle(kind string, r *rand.Rand) []Point {
	n := 4 + r.Intn(8)
	rad := func(a float64) float64 { return 0.02 }
	angle := func(i int) float64 { return 2 * math.Pi * float64(i) / float64(n) }
	round := func(x, q float64) float64 { return math.Round(x/q) * q }
	var off Point
	scale := 1.0
	switch kind {
	case "noise":
		rad = func(float64) float64 { return 0.02 + 2e-5*r.NormFloat64() }
	case "exactround":
	case "exactround far":
		off = Point{3, -7}
	case "far":
		rad = func(float64) float64 { return 0.02 + 2e-5*r.NormFloat64() }
		off = Point{1000 * r.Float64(), -1000 * r.Float64()}
	case "rounded":
		rad = func(float64) float64 { return round(0.02+2e-5*r.NormFloat64(), 1e-5) }
	case "dup":
		rad = func(float64) float64 { return round(0.02+2e-5*r.NormFloat64(), 1e-5) }
		angle = func(i int) float64 { return 2 * math.Pi * float64(i/2) / float64((n+1)/2) }
		n = max(n, 6)
	case "oval":
		rad = func(a float64) float64 { return 0.02 + 1e-4*math.Cos(2*a) }
	case "lobes":
		k := float64(2 + r.Intn(6))
		rad = func(a float64) float64 { return 0.02 + 1e-4*math.Cos(k*a) }
	case "rough":
		rad = func(float64) float64 { return 0.02 * (1 + 0.5*r.Float64()) }
	case "wild":
		rad = func(float64) float64 { return 0.02 * math.Sqrt(r.Float64()) }
		angle = func(int) float64 { return 2 * math.Pi * r.Float64() }
	case "grid":
		p := make([]Point, n)
		for i := range p {
			p[i] = Point{float64(r.Intn(7)), float64(r.Intn(7))}
		}
		return p
	case "arc":
		w := (190 + 150*r.Float64()) * math.Pi / 180
		rad = func(float64) float64 { return 0.02 + 2e-5*r.NormFloat64() }
		angle = func(i int) float64 { return w * float64(i) / float64(n-1) }
	case "tiny":
		rad = func(float64) float64 { return 0.02 + 1e-10*r.NormFloat64() }
	case "small":
		rad = func(float64) float64 { return 0.02 + 2e-5*r.NormFloat64() }
		scale = 1e-6
	case "big":
		rad = func(float64) float64 { return 0.02 + 2e-5*r.NormFloat64() }
		scale = 1e6
	case "random angles":
		rad = func(float64) float64 { return 0.02 + 2e-5*r.NormFloat64() }
		angle = func(int) float64 { return 2 * math.Pi * r.Float64() }
	case "thin ellipse":
		p := make([]Point, n)
		for i := range p {
			a := 2 * math.Pi * r.Float64()
			p[i] = Point{0.02 * math.Cos(a), 0.001 * math.Sin(a)}
		}
		return p
	case "alternating":
		n = 2 * (2 + r.Intn(4))
		k := -1.0
		rad = func(float64) float64 { k = -k; return 0.02 + 1e-4*k }
	case "dent":
		rad = func(a float64) float64 {
			if a == 0 {
				return 0.02 - 1e-3*r.Float64()
			}
			return 0.02 + 1e-6*r.NormFloat64()
		}
	case "burr":
		rad = func(a float64) float64 {
			if a == 0 {
				return 0.02 + 5e-3*r.Float64()
			}
			return 0.02 + 1e-6*r.NormFloat64()
		}
	case "eccentric":
		rad = func(float64) float64 { return 0.02 + 2e-5*r.NormFloat64() }
		off = Point{0.015, 0.003}
	}
	p := make([]Point, n)
	for i := range p {
		a := angle(i)
		d := rad(a)
		p[i] = Point{scale * (d*math.Cos(a) + off.X), scale * (d*math.Sin(a) + off.Y)}
	}
	return p
}

var hardKinds = []string{"noise", "exactround", "exactround far", "far", "rounded", "dup", "oval", "lobes", "rough", "wild", "grid", "arc", "tiny", "small", "big", "random angles", "thin ellipse", "alternating", "dent", "burr", "eccentric"}

// TestHardCirclesAgreeWithExactContacts compares with every centre that contacts can fix, computed
// with 300 bits, on shapes that are nasty to a search.
func TestHardCirclesAgreeWithExactContacts(t *testing.T) {
	for _, kind := range hardKinds {
		t.Run(kind, func(t *testing.T) {
			for seed := range int64(12) {
				p := hardCircle(kind, rand.New(rand.NewSource(seed)))
				cl, err := newCloud(p)
				if err != nil {
					continue
				}
				zone, held, weak := exactContacts(cl.p)
				tol := func(x float64) float64 { return 1e-9*x + 1e-12 }
				z, err := MinimumZone(p)
				if assert.Equal(t, math.IsInf(zone, 1), err != nil, "seed %d: %v", seed, err) && err == nil {
					assert.InDelta(t, zone, float64(z.Roundness())/cl.scale, tol(zone), "seed %d", seed)
				}
				in, err := Inscribed(p)
				if held > 0 {
					require.NoError(t, err, "seed %d", seed)
				}
				if err == nil { // a circle between two opposite contacts may or may not be held
					assert.GreaterOrEqual(t, float64(in.R)/cl.scale, held-tol(held), "seed %d", seed)
					assert.LessOrEqual(t, float64(in.R)/cl.scale, weak+tol(weak), "seed %d", seed)
				}
				out, err := Circumscribed(p)
				require.NoError(t, err)
				assert.InDelta(t, exactOuter(cl.p), float64(out.R)/cl.scale, tol(1), "seed %d", seed)
			}
		})
	}
}

// exactOuter is the smallest circle round the points, by every pair and triple.
func exactOuter(p []Point) float64 {
	best := math.Inf(1)
	try := func(c Point) {
		_, hi := spread(p, c)
		best = math.Min(best, hi)
	}
	for i := range p {
		for j := range i {
			try(Point{(p[i].X + p[j].X) / 2, (p[i].Y + p[j].Y) / 2})
			for k := range j {
				if c, ok := bisectCross(p[i], p[j], p[i], p[k]); ok {
					try(c)
				}
			}
		}
	}
	return best
}

// openSide is the widest angle at c without a nearest point.
func openSide(p []Point, c Point, lo float64) float64 {
	var a []float64
	for _, q := range p {
		if dist(q, c) < lo*(1+1e-12) {
			a = append(a, math.Atan2(q.Y-c.Y, q.X-c.X))
		}
	}
	slices.Sort(a)
	widest := 0.0
	for i := range a {
		next := a[0] + 2*math.Pi
		if i+1 < len(a) {
			next = a[i+1]
		}
		widest = math.Max(widest, next-a[i])
	}
	return widest
}
