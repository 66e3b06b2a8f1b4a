package gland_test

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/gland"
	"seepwright/rules/unit"
)

func exactly(l unit.Length) gland.Span { return gland.Span{Min: l, Max: l} }

func TestTheFitRepeatsPublishedGlands(t *testing.T) {
	t.Run("JIS B 2406 groove table part 4: section 5.7 +/- 0.13, shaft groove 150 (0/-0.1), bore 160 (+0.1/0)", func(t *testing.T) {
		f, err := gland.Gland{Kind: gland.Piston, Cord: gland.PlusMinus(5.7*mm, 0.13*mm), Outer: gland.Span{Min: 160 * mm, Max: 160.1 * mm}, Inner: gland.Span{Min: 149.9 * mm, Max: 150 * mm}}.Fit()
		require.NoError(t, err)
		assert.InDelta(t, 0.47, f.Squeeze.Least.Millimetres(), 0.006)
		assert.InDelta(t, 0.83, f.Squeeze.Greatest.Millimetres(), 0.006)
		assert.InDelta(t, 8.4, f.Share.Least.Percent(), 0.1)
		assert.InDelta(t, 14.2, f.Share.Greatest.Percent(), 0.1)
		assert.False(t, f.HasRing || f.HasFill || f.HasVolume)
	})
	t.Run("design note on a 58 x 5.3 ring, groove 61.6, bore 70: stretch 6.21 %, section 5.09, squeeze 17.4 %", func(t *testing.T) {
		f, err := gland.Gland{Kind: gland.Piston, Cord: exactly(5.3 * mm), RingID: exactly(58 * mm), Outer: exactly(70 * mm), Inner: exactly(61.6 * mm)}.Fit()
		require.NoError(t, err)
		assert.InDelta(t, 6.21, f.Held.Nominal.Percent(), 0.01)
		assert.InDelta(t, 4.05, f.Loss.Nominal.Percent(), 0.02)
		assert.InDelta(t, 5.09, f.Cord.Nominal.Millimetres(), 0.01)
		assert.InDelta(t, 17.4, f.ShareInside.Nominal.Percent(), 0.1)
	})
	t.Run("rod gland of the reference rows: groove 46.00, rod 40.40, depth 2.80", func(t *testing.T) {
		f, err := gland.Gland{Kind: gland.Rod, Cord: exactly(3.53 * mm), RingID: exactly(39.6 * mm), Outer: exactly(46 * mm), Inner: exactly(40.4 * mm)}.Fit()
		require.NoError(t, err)
		assert.InDelta(t, 2.80, f.Depth.Nominal.Millimetres(), 1e-9)
		// (39.6 + 2 x 3.53 - 46) / (39.6 + 2 x 3.53), by hand
		assert.InDelta(t, 1.4145, f.Held.Nominal.Percent(), 0.001)
		assert.Greater(t, float64(f.Cord.Nominal), 3.53e-3, "pressed together it gets thicker")
	})
	t.Run("face seal with a gap of the reference rows: 3.53 in 2.70 deep, faces 0.10 apart, 20.7 %", func(t *testing.T) {
		f, err := gland.Gland{Kind: gland.FaceInside, Cord: exactly(3.53 * mm), Depth: exactly(2.7 * mm), Gap: exactly(0.1 * mm)}.Fit()
		require.NoError(t, err)
		assert.InDelta(t, 20.7, f.Share.Nominal.Percent(), 0.1)
	})
	t.Run("volume fill of the reference rows: 24.99 x 3.53, groove 25.40, bore 31.04, width 4.78, 73.4 %", func(t *testing.T) {
		f, err := gland.Gland{Kind: gland.Piston, Cord: exactly(3.53 * mm), RingID: exactly(24.99 * mm), Outer: exactly(31.04 * mm), Inner: exactly(25.4 * mm), Width: exactly(4.78 * mm)}.Fit()
		require.NoError(t, err)
		assert.InDelta(t, 73.4, f.FillVolume.Nominal.Percent(), 0.1)
	})
	t.Run("maximum-material fill of the reference rows: 3.63, 2.819, 4.750, 77.3 %", func(t *testing.T) {
		f, err := gland.Gland{Kind: gland.FaceOutside, Cord: gland.PlusMinus(3.53*mm, 0.1*mm), Depth: gland.Span{Min: 2.819 * mm, Max: 2.87 * mm}, Width: gland.Span{Min: 4.75 * mm, Max: 5 * mm}}.Fit()
		require.NoError(t, err)
		assert.InDelta(t, 77.3, f.FillArea.Greatest.Percent(), 0.1)
	})
}

// anyGland is a possible gland of one kind with tolerances of all sizes.
func anyGland(r *rand.Rand, kind gland.Kind) gland.Gland {
	tol := func(x float64) unit.Length { return unit.Length(x*r.Float64()) * mm }
	d := 1.5 + 5*r.Float64()
	seat := 4*d + 60*r.Float64()
	if kind == gland.Piston && r.Intn(2) == 0 { // small rings, where a larger groove may cost squeeze
		seat = d * (1.3 + 4*r.Float64())
	}
	depth := d * (0.7 + 0.2*r.Float64())
	g := gland.Gland{Kind: kind, Cord: gland.PlusMinus(unit.Length(d)*mm, tol(0.1)), Width: gland.PlusMinus(unit.Length(1.4*d)*mm, tol(0.1))}
	ring := seat / (1 + 0.08*r.Float64() - 0.01)
	switch kind {
	case gland.Piston:
		g.Inner, g.Outer = gland.PlusMinus(unit.Length(seat)*mm, tol(0.2)), gland.PlusMinus(unit.Length(seat+2*depth)*mm, tol(0.1))
	case gland.Rod:
		ring = seat*(1+0.04*r.Float64()-0.02) - 2*d
		g.Outer, g.Inner = gland.PlusMinus(unit.Length(seat)*mm, tol(0.2)), gland.PlusMinus(unit.Length(seat-2*depth)*mm, tol(0.1))
	case gland.FaceInside:
		ring = seat*(1+0.04*r.Float64()-0.02) - 2*d
		fallthrough
	case gland.FaceOutside:
		g.Depth, g.Wall, g.Gap = gland.PlusMinus(unit.Length(depth)*mm, tol(0.1)), gland.PlusMinus(unit.Length(seat)*mm, tol(0.2)), gland.Span{Max: tol(0.1)}
	}
	g.RingID = gland.PlusMinus(unit.Length(ring)*mm, tol(0.3))
	return g
}

func figures(f gland.Fit) map[string][5]float64 {
	return map[string][5]float64{
		"depth": five(f.Depth), "squeeze": five(f.Squeeze), "share": five(f.Share), "held": five(f.Held), "loss": five(f.Loss), "cord": five(f.Cord),
		"squeeze inside": five(f.SqueezeInside), "share inside": five(f.ShareInside), "fill": five(f.FillArea), "volume": five(f.FillVolume),
	}
}

func five[T ~float64](b gland.Bounds[T]) [5]float64 {
	return [5]float64{float64(b.Nominal), float64(b.Least), float64(b.Greatest), float64(b.StatLeast), float64(b.StatGreatest)}
}

func TestTheWorstCaseEnclosesTheStatisticalRangeTheNominalAndEveryAssembly(t *testing.T) {
	r := rand.New(rand.NewSource(11))
	pick := func(s gland.Span) gland.Span {
		x := s.Min + (s.Max-s.Min)*unit.Length(r.Float64())
		return gland.Span{Min: x, Max: x}
	}
	for i := range 200 {
		g := anyGland(r, gland.Kind(i%4))
		f, err := g.Fit()
		require.NoError(t, err, "%+v", g)
		require.True(t, f.HasRing && f.HasFill && f.HasVolume)
		all := figures(f)
		for name, b := range all {
			const slack = 1e-12
			assert.LessOrEqual(t, b[1], b[3]+slack, "%s %s: worst, then statistical", g.Kind, name)
			assert.LessOrEqual(t, b[3], b[0]+slack, "%s %s: statistical, then nominal", g.Kind, name)
			assert.LessOrEqual(t, b[0], b[4]+slack, "%s %s: nominal, then statistical", g.Kind, name)
			assert.LessOrEqual(t, b[4], b[2]+slack, "%s %s: statistical, then worst", g.Kind, name)
		}
		for range 40 {
			one := g
			one.Cord, one.RingID, one.Outer, one.Inner = pick(g.Cord), pick(g.RingID), pick(g.Outer), pick(g.Inner)
			one.Depth, one.Gap, one.Wall, one.Width = pick(g.Depth), pick(g.Gap), pick(g.Wall), pick(g.Width)
			built, err := one.Fit()
			require.NoError(t, err)
			for name, b := range figures(built) {
				// the drop of the stretch relation is looked at from both sides; a walk of 24 steps is good to a nanometre
				assert.GreaterOrEqual(t, b[0], all[name][1]-2e-9, "%s %s", g.Kind, name)
				assert.LessOrEqual(t, b[0], all[name][2]+2e-9, "%s %s", g.Kind, name)
			}
		}
	}
}

func TestTheStatisticalRangeHoldsAboutAllAssemblies(t *testing.T) {
	// parts spread normally with the tolerance at three standard deviations: at least 99 % inside
	r := rand.New(rand.NewSource(12))
	g := gland.Gland{Kind: gland.Piston, Cord: gland.PlusMinus(3.53*mm, 0.10*mm), RingID: gland.PlusMinus(24.99*mm, 0.25*mm), Inner: gland.PlusMinus(25.8*mm, 0.05*mm), Outer: gland.PlusMinus(31.4*mm, 0.05*mm)}
	f, err := g.Fit()
	require.NoError(t, err)
	pick := func(s gland.Span) gland.Span {
		x := s.Mid() + s.Half()*unit.Length(r.NormFloat64()/3)
		return gland.Span{Min: x, Max: x}
	}
	in := 0
	const n = 4000
	for range n {
		one := gland.Gland{Kind: gland.Piston, Cord: pick(g.Cord), RingID: pick(g.RingID), Inner: pick(g.Inner), Outer: pick(g.Outer)}
		b, err := one.Fit()
		require.NoError(t, err)
		if b.ShareInside.Nominal >= f.ShareInside.StatLeast && b.ShareInside.Nominal <= f.ShareInside.StatGreatest {
			in++
		}
	}
	assert.Greater(t, float64(in)/n, 0.99)
}

func TestMoreDepthNeverSqueezesMoreInAnyKindOfGroove(t *testing.T) {
	r := rand.New(rand.NewSource(13))
	for i := range 200 {
		g := anyGland(r, gland.Kind(i%4))
		deeper := g
		more := unit.Length(0.1*r.Float64()) * mm
		switch {
		case g.Kind.Face():
			deeper.Depth = gland.Span{Min: g.Depth.Min + more, Max: g.Depth.Max + more}
		case g.Kind == gland.Piston: // the bore grows; the seat stays
			deeper.Outer = gland.Span{Min: g.Outer.Min + more, Max: g.Outer.Max + more}
		default: // the rod shrinks; the seat stays
			deeper.Inner = gland.Span{Min: g.Inner.Min - more, Max: g.Inner.Max - more}
		}
		a, err := g.Fit()
		require.NoError(t, err)
		b, err := deeper.Fit()
		require.NoError(t, err)
		for name, v := range figures(b) {
			if name == "squeeze" || name == "share" || name == "squeeze inside" || name == "share inside" || name == "fill" || name == "volume" {
				for k := range v {
					assert.LessOrEqual(t, v[k], figures(a)[name][k]+1e-12, "%s %s", g.Kind, name)
				}
			}
		}
	}
}

func TestBadSizesOfAGlandAreRefusedByName(t *testing.T) {
	good := gland.Gland{Kind: gland.Piston, Cord: exactly(3.53 * mm), RingID: exactly(24.99 * mm), Outer: exactly(31.04 * mm), Inner: exactly(25.4 * mm), Width: exactly(4.78 * mm)}
	_, err := good.Fit()
	require.NoError(t, err)
	face := gland.Gland{Kind: gland.FaceInside, Cord: exactly(3.53 * mm), Depth: exactly(2.7 * mm), Wall: exactly(40 * mm), RingID: exactly(33 * mm)}
	_, err = face.Fit()
	require.NoError(t, err)
	for _, bad := range []unit.Length{unit.Length(math.NaN()), unit.Length(math.Inf(1)), -1 * mm} {
		for what, set := range map[string]func(*gland.Gland){
			"cord":              func(g *gland.Gland) { g.Cord.Max = bad },
			"inside diameter":   func(g *gland.Gland) { g.RingID.Min = bad },
			"bore":              func(g *gland.Gland) { g.Outer.Max = bad },
			"groove diameter":   func(g *gland.Gland) { g.Inner.Min = bad },
			"groove width":      func(g *gland.Gland) { g.Width.Min = bad },
			"zero cord":         func(g *gland.Gland) { g.Cord = gland.Span{} },
			"crossed limits":    func(g *gland.Gland) { g.Outer.Min = g.Outer.Max + mm },
			"groove over bore":  func(g *gland.Gland) { g.Inner = exactly(32 * mm) },
			"unknown kind":      func(g *gland.Gland) { g.Kind = 9 },
			"stretched too far": func(g *gland.Gland) { g.RingID = exactly(10 * mm) },
		} {
			g := good
			set(&g)
			_, err := g.Fit()
			require.Error(t, err, what)
			assert.Greater(t, len(err.Error()), 20, what)
		}
		for what, set := range map[string]func(*gland.Gland){
			"groove depth": func(g *gland.Gland) { g.Depth.Min = bad },
			"gap":          func(g *gland.Gland) { g.Gap = gland.Span{Min: bad, Max: bad} },
			"wall":         func(g *gland.Gland) { g.Wall.Max = bad },
		} {
			g := face
			set(&g)
			_, err := g.Fit()
			require.ErrorContains(t, err, what)
		}
	}
	rod := gland.Gland{Kind: gland.Rod, Cord: exactly(3.53 * mm), Outer: exactly(40 * mm), Inner: exactly(41 * mm)}
	_, err = rod.Fit()
	assert.ErrorContains(t, err, "rod")
	face.Width = exactly(25 * mm)
	_, err = face.Fit()
	assert.ErrorContains(t, err, "width")
	face.Width, face.Gap = gland.Span{}, gland.Span{Min: 0.2 * mm, Max: 0.1 * mm}
	_, err = face.Fit()
	assert.ErrorContains(t, err, "gap")
}

func TestTheShapeOfTheGrooveCounts(t *testing.T) {
	// square corners and sides: the reference row 3.53 in 2.82 x 4.75, 73.1 %
	a, err := gland.GrooveArea(4.75*mm, 2.82*mm, 0, 0)
	require.NoError(t, err)
	f, err := gland.FillOf(3.53*mm, a)
	require.NoError(t, err)
	assert.InDelta(t, 73.1, f.Percent(), 0.1)
	// sides of 5 degrees add t^2 tan 5, two corners of 0.5 take 2 (1 - pi/4) 0.25, by hand
	a, err = gland.GrooveArea(4.75*mm, 2.82*mm, 0.5*mm, 5*unit.Degree)
	require.NoError(t, err)
	assert.InDelta(t, 4.75*2.82+2.82*2.82*math.Tan(5*math.Pi/180)-2*(1-math.Pi/4)*0.25, float64(a)*1e6, 1e-9)
	// 75 % of the section inside: 3.53 x 0.75 = 2.6475 deep
	s, err := gland.SectionInGroove(3.53*mm, 30.7*mm, (30.7-2*2.6475)*mm)
	require.NoError(t, err)
	assert.InDelta(t, 75, s.Percent(), 1e-9)
	for name, err := range map[string]error{
		"a dovetail":         second(gland.GrooveArea(4.75*mm, 2.82*mm, 0, 24*unit.Degree)),
		"a radius too large": second(gland.GrooveArea(4.75*mm, 2.82*mm, 2.5*mm, 0)),
		"no area":            second(gland.FillOf(3.53*mm, 0)),
		"no land":            second(gland.SectionInGroove(3.53*mm, 0, 25*mm)),
	} {
		assert.Error(t, err, name)
	}
}

func BenchmarkFit(b *testing.B) {
	g := anyGland(rand.New(rand.NewSource(1)), gland.Piston)
	for b.Loop() {
		if _, err := g.Fit(); err != nil {
			b.Fatal(err)
		}
	}
}
