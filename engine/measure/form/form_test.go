package form

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/unit"
)

// ring makes n points round a part with a few lobes and noise, from a fixed seed (invented data).
func ring(n int, seed int64) []Point {
	r := rand.New(rand.NewSource(seed))
	p := make([]Point, n)
	for i := range p {
		a := 2 * math.Pi * float64(i) / float64(n)
		rad := 0.019 + 40e-6*math.Cos(2*a+0.3) + 10e-6*math.Cos(3*a) + 5e-6*r.NormFloat64()
		p[i] = Point{rad*math.Cos(a) + 0.1e-3, rad*math.Sin(a) - 0.05e-3}
	}
	return p
}

// plate makes about n heights over a face, from a fixed seed (invented data).
func plate(n int, seed int64) []Height {
	r := rand.New(rand.NewSource(seed))
	p := make([]Height, n)
	for i := range p {
		x, y := 0.16*r.Float64(), 0.10*r.Float64()
		p[i] = Height{x, y, 0.05*(x-0.08)*(x-0.08) - 0.03*x*y + 0.01*x + 5e-6*r.NormFloat64()}
	}
	return p
}

// bruteZone tries every centre that four contacts can fix: 2-2 (two bisectors) and 3-1, 1-3.
func bruteZone(p []Point) float64 {
	best := math.Inf(1)
	h := hull(p)
	try := func(c Point) {
		if depthInside(h, c) < 0 {
			return
		}
		lo, hi := spread(p, c)
		best = math.Min(best, hi-lo)
	}
	n := len(p)
	for i := range n {
		for j := range i {
			for k := range j {
				if c, ok := through(p[i], p[j], p[k]); ok {
					try(c)
				}
			}
			for k := range n {
				for l := range k {
					u, v := sub(p[j], p[i]), sub(p[l], p[k])
					det := cross(u, v)
					if det == 0 {
						continue
					}
					m1, m2 := (p[i].X+p[j].X)/2*u.X+(p[i].Y+p[j].Y)/2*u.Y, (p[k].X+p[l].X)/2*v.X+(p[k].Y+p[l].Y)/2*v.Y
					try(Point{(m1*v.Y - m2*u.Y) / det, (u.X*m2 - v.X*m1) / det})
				}
			}
		}
	}
	return best
}

// bruteInscribed tries every centre that three contacts can fix.
func bruteInscribed(p []Point) float64 {
	best, h := 0.0, hull(p)
	for i := range p {
		for j := range i {
			for k := range j {
				if c, ok := through(p[i], p[j], p[k]); ok && depthInside(h, c) >= 0 {
					lo, _ := spread(p, c)
					best = math.Max(best, lo)
				}
			}
		}
	}
	return best
}

func TestCirclesAgreeWithTryingEveryContact(t *testing.T) {
	for seed := range int64(40) {
		for _, n := range []int{5, 7, 10} {
			p := ring(n, seed)
			if seed%2 == 1 { // rough rings have many local places
				r := rand.New(rand.NewSource(seed))
				for i := range p {
					f := 1 + 0.4*r.Float64()
					p[i] = Point{p[i].X * f, p[i].Y * f}
				}
			}
			z, err := MinimumZone(p)
			require.NoError(t, err)
			assert.InDelta(t, bruteZone(p), float64(z.Roundness()), 1e-13, "seed %d, %d points", seed, n)
			in, err := Inscribed(p)
			require.NoError(t, err)
			assert.InDelta(t, bruteInscribed(p), float64(in.R), 1e-13, "seed %d, %d points", seed, n)
			out, err := Circumscribed(p)
			require.NoError(t, err)
			lo, hi := spread(p, Point{out.X, out.Y})
			assert.LessOrEqual(t, hi, float64(out.R)*(1+1e-12))
			assert.LessOrEqual(t, lo, hi)
		}
	}
}

// bruteFlat tries every plane pair that four contacts can fix.
func bruteFlat(p []Height) float64 {
	best := math.Inf(1)
	try := func(a, b float64) {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, q := range p {
			e := q.Z - a*q.X - b*q.Y
			lo, hi = math.Min(lo, e), math.Max(hi, e)
		}
		best = math.Min(best, hi-lo)
	}
	slope := func(u, v Height) {
		if det := u.X*v.Y - u.Y*v.X; det != 0 {
			try((u.Z*v.Y-v.Z*u.Y)/det, (u.X*v.Z-v.X*u.Z)/det)
		}
	}
	d := func(a, b Height) Height { return Height{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }
	for i := range p {
		for j := range i {
			for k := range p {
				for l := range k {
					slope(d(p[i], p[j]), d(p[k], p[l]))
				}
			}
		}
	}
	return best
}

func TestFlatnessAgreesWithTryingEveryContact(t *testing.T) {
	for seed := range int64(40) {
		p := plate(4+int(seed)%8, seed)
		z, err := FlatnessZone(p)
		require.NoError(t, err)
		assert.InDelta(t, bruteFlat(p), float64(z.Flatness), 1e-15, "seed %d", seed)
		sq, err := FlatnessZoneSquare(p)
		require.NoError(t, err)
		assert.LessOrEqual(t, float64(sq), float64(z.Flatness)*(1+1e-12), "square to the planes it is never more")
	}
}

func TestAShiftedAndTurnedSetKeepsItsForm(t *testing.T) {
	p := ring(36, 5)
	turned := make([]Point, len(p))
	for i, q := range p {
		turned[i] = Point{q.X*math.Cos(1) - q.Y*math.Sin(1) + 0.3, q.X*math.Sin(1) + q.Y*math.Cos(1) - 0.2}
	}
	a, err := MinimumZone(p)
	require.NoError(t, err)
	b, err := MinimumZone(turned)
	require.NoError(t, err)
	assert.InDelta(t, float64(a.Roundness()), float64(b.Roundness()), 1e-14)

	f := plate(30, 3)
	tilted := make([]Height, len(f))
	for i, q := range f {
		tilted[i] = Height{q.Y + 1, q.X - 2, q.Z + 0.02*q.X - 0.01*q.Y + 5}
	}
	fa, err := FlatnessZone(f)
	require.NoError(t, err)
	fb, err := FlatnessZone(tilted)
	require.NoError(t, err)
	assert.InDelta(t, float64(fa.Flatness), float64(fb.Flatness), 1e-14)
	assert.LessOrEqual(t, float64(fa.Flatness), float64(mustPlane(t, f).Flatness()), "the zone is never wider than least squares")
}

func mustPlane(t *testing.T, p []Height) Plane {
	l, err := PlaneLeastSquares(p)
	require.NoError(t, err)
	return l
}

func TestZoneWeightsCarryUncertainty(t *testing.T) {
	p := plate(20, 9)
	z, err := FlatnessZone(p)
	require.NoError(t, err)
	sum, up := 0.0, 0.0
	for _, w := range z.Weights(len(p)) {
		sum += w
		up += math.Max(w, 0)
	}
	assert.InDelta(t, 0, sum, 1e-6)
	assert.InDelta(t, 1, up, 1e-6)
}

func TestWhatCannotBeAnsweredIsRefused(t *testing.T) {
	line := []Point{{0, 0}, {1, 1}, {2, 2}, {3, 3}}
	for name, err := range map[string]error{
		"points on one line":              second(LeastSquares(line)),
		"two points":                      second(MinimumZone(line[:2])),
		"an arc of 60 degrees for a zone": second(MinimumZone(XY([]Polar{{0, 1}, {0.3, 1.01}, {0.6, 0.99}, {0.9, 1.003}}))),
		"NaN":                             second(Circumscribed([]Point{{0, 0}, {1, 0}, {math.NaN(), 1}})),
		"one diameter":                    second(Diameters([]Diameter{{0, 1}})),
		"an oval from two crossed":        second(FitOval([]Diameter{{0, 1}, {math.Pi / 2, 1}})),
		"a vee blind to 7 lobes":          second(FromVee(1e-5, 7, 90*unit.Degree)),
		"one lobe in a vee":               second(VeeFactor(1, 1)),
		"a bump instead of a face":        second(FlatnessZoneSquare([]Height{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {1, 1, 0.5}})),
		"a line with a point twice":       second(Straightedge([]LinePoint{{0, 0}, {1, 0}, {1, 0}})),
		"an odd number of steps":          second(EightLineLevels(EightLines{DiagonalNWSE: []float64{1, 2, 3}})),
	} {
		assert.Error(t, err, name)
	}
}

func second[T any](_ T, err error) error { return err }

func TestOvalSeenByEvenlySpreadDiameters(t *testing.T) {
	// reference rows: 2 crossed see 0, 3 see 0.75, 4 cos 45, 6 cos 30
	for n, want := range map[int]float64{2: 0, 3: 0.75, 4: math.Sqrt2 / 2, 6: math.Sqrt(3) / 2} {
		worst := 1.0
		for k := range 3600 {
			at := float64(k) * math.Pi / 3600
			lo, hi := 1.0, -1.0
			for i := range n {
				d := math.Cos(2 * (float64(i)*math.Pi/float64(n) - at))
				lo, hi = math.Min(lo, d), math.Max(hi, d)
			}
			worst = math.Min(worst, (hi-lo)/2)
		}
		got, err := OvalSeen(n)
		require.NoError(t, err)
		assert.InDelta(t, want, float64(got), 1e-12)
		assert.InDelta(t, worst, float64(got), 1e-3)
	}
}

func FuzzFormsNeverPanic(f *testing.F) {
	f.Add(int64(1), 5, 0.0)
	f.Add(int64(2), 3, 1e300)
	f.Fuzz(func(t *testing.T, seed int64, n int, far float64) {
		n = ((n % 20) + 20) % 20
		p, h := ring(n, seed), plate(n, seed)
		if n > 0 {
			p[0].X, h[0].Z = far, far
		}
		_, _ = MinimumZone(p)
		_, _ = Inscribed(p)
		_, _ = Circumscribed(p)
		_, _ = FlatnessZone(h)
		_, _ = FlatnessZoneSquare(h)
	})
}

// BenchmarkForm times every evaluation for a few, many and very many readings.
func BenchmarkForm(b *testing.B) {
	for _, n := range []int{12, 360, 5000} {
		p, h := ring(n, 1), plate(n, 1)
		polar := make([]Polar, n)
		line := make([]LinePoint, n)
		for i := range polar {
			polar[i] = Polar{unit.Angle(2 * math.Pi * float64(i) / float64(n)), unit.Length(p[i].X*p[i].X + p[i].Y)}
			line[i] = LinePoint{unit.Length(i), unit.Length(h[i].Z)}
		}
		run := func(name string, f func() error) {
			b.Run(fmt.Sprintf("%s/%d_points", name, n), func(b *testing.B) {
				for b.Loop() {
					if err := f(); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
		run("MinimumZone", func() error { return second(MinimumZone(p)) })
		run("Inscribed", func() error { return second(Inscribed(p)) })
		run("Circumscribed", func() error { return second(Circumscribed(p)) })
		run("LeastSquares", func() error { return second(LeastSquares(p)) })
		run("LimaconZone", func() error { return second(LimaconZone(polar)) })
		run("LimaconOutside", func() error { return second(LimaconOutside(polar)) })
		run("LimaconInside", func() error { return second(LimaconInside(polar)) })
		run("FlatnessZone", func() error { return second(FlatnessZone(h)) })
		run("FlatnessZoneSquare", func() error { return second(FlatnessZoneSquare(h)) })
		run("PlaneLeastSquares", func() error { return second(PlaneLeastSquares(h)) })
		run("PlaneSquareLeastSquares", func() error { return second(PlaneSquareLeastSquares(h)) })
		run("Straightedge", func() error { return second(Straightedge(line)) })
	}
}
