package ringsize_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/ringsize"
	"seepwright/engine/measure/uncertain"
	"seepwright/rules/unit"
)

// static are bands of an engineering notebook page on O-rings (squeeze, fill, interference) and of a groove design
// page (stretch); greatest fill over the tolerances 90 % (O-ring e-handbook).
func static(kind gland.Kind) ringsize.Bands {
	b := ringsize.Bands{Squeeze: ringsize.Limits{Least: 5 * pct, Aim: 20 * pct, Greatest: 30 * pct}, Hold: ringsize.Limits{Least: 0, Aim: 2 * pct, Greatest: 5 * pct},
		Fill: ringsize.Limits{Least: 65 * pct, Aim: 75 * pct, Greatest: 85 * pct}, FillWorst: 90 * pct}
	switch kind {
	case gland.Rod:
		b.Hold = ringsize.Limits{Least: 0, Greatest: 2 * pct}
	case gland.FaceInside:
		b.Hold = ringsize.Limits{Least: 0, Greatest: 3 * pct}
	}
	if kind == gland.FaceInside || kind == gland.FaceOutside {
		b.Squeeze = ringsize.Limits{Least: 10 * pct, Aim: 25 * pct, Greatest: 35 * pct}
	}
	return b
}

func at(l, u unit.Length) ringsize.Dim { return ringsize.Dim{At: l, U: u} }

// piston214 is a gland for -214 on 2 % stretch: groove 25.49, bore 31.1 and width 4.75 (0.187 in, static gland chart).
func piston214(u unit.Length) ringsize.Place {
	return ringsize.Place{Kind: gland.Piston, Groove: at(25.49*mm, u), Mate: at(31.1*mm, u), Width: at(4.75*mm, u)}
}

func best(t testing.TB, s ringsize.Sizes, p ringsize.Place, b ringsize.Bands) ringsize.Best {
	t.Helper()
	out, err := ringsize.ForPlace(s, p, b)
	require.NoError(t, err)
	return out
}

func TestTheRingForWhichAGlandWasMadeIsFound(t *testing.T) {
	b := best(t, ringsize.Sizes{Rings: as568(t)}, piston214(0), static(gland.Piston))
	require.True(t, b.Suits)
	f := b.Fits[0]
	assert.Equal(t, "-214", f.Name)
	assert.Nil(t, b.Recut)
	assert.Empty(t, b.Outside)
	// by hand: stretch (25.49 - 24.9936)/24.9936, its section loss, and squeeze of the section that is left
	x, _ := gland.Stretch(0.984*inch, 25.49*mm)
	loss, _ := gland.SectionLoss(x)
	fitted, _ := gland.SectionAfterLoss(0.139*inch, loss)
	squeeze, _ := gland.Squeeze(fitted, 2.805*mm)
	fill, _ := gland.FillArea(0.139*inch, 2.805*mm, 4.75*mm)
	assert.InDelta(t, float64(x), float64(f.Hold), 1e-12)
	assert.InDelta(t, float64(squeeze), float64(f.Squeeze), 1e-12)
	assert.InDelta(t, float64(fill), float64(f.Fill), 1e-12)
	assert.Less(t, f.SqueezeLeast, f.Squeeze)
	assert.Greater(t, f.SqueezeGreatest, f.Squeeze)
	assert.Greater(t, f.FillWorst, f.Fill)
	for _, m := range f.Margins {
		assert.GreaterOrEqual(t, m.Margin, f.Score)
	}
	assert.InDelta(t, f.Score, f.Worst().Margin, 1e-12)
	// the neighbours lose by their stretch
	for _, g := range b.Fits[1:] {
		if g.Cord == f.Cord {
			assert.Equal(t, ringsize.Stretch, g.Worst().Of, g.Name)
		}
	}
}

// JIS B 2406 glands of JIS B 2401 rings, as printed: groove, bore, width; the ring itself has to suit.
func TestPublishedGlandsSuitTheirOwnRings(t *testing.T) {
	for _, tt := range []struct {
		name                          string
		id, idTol, cord, cordTol      unit.Length
		groove, bore, width           unit.Length
		squeezeLeast, squeezeGreatest float64 // published, over the tolerances of ring, groove and bore
	}{
		{"P320", 319.5 * mm, 2.33 * mm, 8.4 * mm, 0.15 * mm, 320 * mm, 335 * mm, 11 * mm, 7.9, 12.3},
		{"G100", 99.4 * mm, 0.85 * mm, 3.1 * mm, 0.1 * mm, 100 * mm, 105 * mm, 4.1 * mm, 13.3, 21.85},
		{"G150", 149.3 * mm, 1.19 * mm, 5.7 * mm, 0.13 * mm, 150 * mm, 160 * mm, 7.5 * mm, 8.4, 14.2},
	} {
		r := ringsize.Ring{Table: "JIS B 2401", Name: tt.name, ID: tt.id, IDTol: tt.idTol, Cord: tt.cord, CordTol: tt.cordTol, Listed: true, Standing: "confirmed"}
		b := best(t, ringsize.Sizes{Rings: append(as568(t), r)}, ringsize.Place{Kind: gland.Piston, Groove: at(tt.groove, 0), Mate: at(tt.bore, 0), Width: at(tt.width, 0)}, static(gland.Piston))
		require.True(t, b.Suits, tt.name)
		found := false
		for _, f := range b.Fits {
			if f.Name == tt.name {
				found = true
				assert.GreaterOrEqual(t, f.Score, 0.0, tt.name)
				assert.InDelta(t, (tt.squeezeLeast+tt.squeezeGreatest)/2, f.Squeeze.Percent(), 1.5, "%s: near the middle of the published squeeze; its tolerances only open the gland", tt.name)
			}
		}
		assert.True(t, found, tt.name)
	}
}

func TestARodGlandAndFaceGroovesAreHeldAsTheyShouldBe(t *testing.T) {
	rings := ringsize.Sizes{Rings: as568(t)}
	// -214: outside 0.984 + 0.278 = 1.262 in = 32.055 mm
	rod := best(t, rings, ringsize.Place{Kind: gland.Rod, Groove: at(31.75*mm, 0), Mate: at(26.1*mm, 0), Width: at(4.75*mm, 0)}, static(gland.Rod))
	assert.Equal(t, "-214", rod.Fits[0].Name)
	assert.InDelta(t, (32.0548-31.75)/32.0548, float64(rod.Fits[0].Hold), 1e-5)
	assert.Negative(t, rod.Fits[0].Loss, "pressed together it gains a little")
	assert.Equal(t, ringsize.Interference, rod.Fits[0].Margins[1].Of)
	in := best(t, rings, ringsize.Place{Kind: gland.FaceInside, Groove: at(31.6*mm, 0), Depth: at(2.65*mm, 0), Width: at(4.9*mm, 0)}, static(gland.FaceInside))
	assert.Equal(t, "-214", in.Fits[0].Name)
	out := best(t, rings, ringsize.Place{Kind: gland.FaceOutside, Groove: at(25.5*mm, 0), Depth: at(2.65*mm, 0), Width: at(4.9*mm, 0)}, static(gland.FaceOutside))
	assert.Equal(t, "-214", out.Fits[0].Name)
	assert.True(t, in.Suits && out.Suits)
}

func TestAMetricGlandGetsARingInRoundMillimetres(t *testing.T) {
	// 50 x 4 in groove 51, bore 57.4 (depth 3.2): no AS568 section near
	b := best(t, all(t), ringsize.Place{Kind: gland.Piston, Groove: at(51*mm, 0), Mate: at(57.4*mm, 0), Width: at(5.2*mm, 0)}, static(gland.Piston))
	require.True(t, b.Suits)
	assert.Equal(t, "50 x 4", b.Fits[0].Name)
	assert.False(t, b.Fits[0].Listed)
}

func TestEqualRingsGoByTheirStanding(t *testing.T) {
	r := ringsize.Ring{Table: "A", Name: "memory", ID: 25 * mm, IDTol: 0.2 * mm, Cord: 3.53 * mm, CordTol: 0.1 * mm, Listed: true, Standing: "from memory"}
	c := r
	c.Name, c.Standing = "confirmed", "confirmed"
	b := best(t, ringsize.Sizes{Rings: []ringsize.Ring{r, c}, Metric: metricSections(), ClassB: classB}, piston214(0), static(gland.Piston))
	assert.Equal(t, "confirmed", b.Fits[0].Name)
	assert.Equal(t, "memory", b.Fits[1].Name)
}

func TestWhenNoneFitsTheNearestAndTheGrooveThatWouldFitAreNamed(t *testing.T) {
	// a groove far too shallow and narrow: squeeze near 40 % for the section that its diameter suggests
	s := ringsize.Sizes{Rings: as568(t)}
	p := ringsize.Place{Kind: gland.Piston, Groove: at(26.5*mm, 0), Mate: at(30.8*mm, 0), Width: at(3.6*mm, 0)}
	b := best(t, s, p, static(gland.Piston))
	require.False(t, b.Suits)
	assert.Zero(t, b.Count)
	assert.Negative(t, b.Fits[0].Worst().Margin)
	require.NotNil(t, b.Recut)
	r := b.Recut
	assert.True(t, r.Cutting, "a deeper groove is enough")
	assert.Less(t, r.Groove.At, p.Groove.At)
	assert.GreaterOrEqual(t, r.Width.At, p.Width.At)
	// turned round: with the groove cut so, that ring suits
	again := best(t, s, ringsize.Place{Kind: gland.Piston, Groove: r.Groove, Mate: p.Mate, Width: r.Width}, static(gland.Piston))
	assert.True(t, again.Suits)
	names := []string{}
	for _, f := range again.Fits {
		names = append(names, f.Name)
	}
	assert.Contains(t, names, r.Name)
	assert.Positive(t, r.Score)
}

func TestAFaceGrooveThatFitsNothingIsRecutToo(t *testing.T) {
	p := ringsize.Place{Kind: gland.FaceInside, Groove: at(33.6*mm, 0), Depth: at(1.2*mm, 0), Width: at(4*mm, 0)}
	b := best(t, ringsize.Sizes{Rings: as568(t)}, p, static(gland.FaceInside))
	require.NotNil(t, b.Recut)
	assert.GreaterOrEqual(t, b.Recut.Depth.At, p.Depth.At)
	assert.True(t, b.Recut.Cutting)
}

func TestADeeperGrooveNeverSqueezesMore(t *testing.T) {
	last := math.Inf(1)
	for d := 2.4; d < 3.3; d += 0.05 {
		b := best(t, ringsize.Sizes{Rings: as568(t)}, ringsize.Place{Kind: gland.FaceInside, Groove: at(31.6*mm, 0), Depth: at(unit.Length(d)*mm, 0)}, static(gland.FaceInside))
		for _, f := range b.Fits {
			assert.LessOrEqual(t, f.SqueezeLeast, f.Squeeze)
			assert.GreaterOrEqual(t, f.SqueezeGreatest, f.Squeeze)
			if f.Name == "-214" {
				assert.Less(t, float64(f.Squeeze), last)
				last = float64(f.Squeeze)
			}
		}
	}
	assert.False(t, math.IsInf(last, 1))
}

func TestTheChoiceIsSafeOnlyWithinItsUncertainty(t *testing.T) {
	fine := best(t, ringsize.Sizes{Rings: as568(t)}, piston214(0.02*mm), static(gland.Piston))
	assert.Equal(t, uncertain.Conforms, fine.Safe)
	assert.Equal(t, uncertain.Conforms, fine.Ahead)
	coarse := best(t, ringsize.Sizes{Rings: as568(t)}, piston214(0.8*mm), static(gland.Piston))
	assert.Equal(t, uncertain.NotProven, coarse.Safe)
	assert.Greater(t, coarse.Score.U, fine.Score.U)
	assert.NotEmpty(t, coarse.Critical)
	if coarse.Needs > 0 {
		assert.Less(t, coarse.Needs, 0.8*mm)
	}
	exact := best(t, ringsize.Sizes{Rings: as568(t)}, piston214(0), static(gland.Piston))
	assert.Equal(t, uncertain.Conforms, exact.Safe)
	assert.Empty(t, exact.Critical)
}

func TestGlandsBeyondEveryTableAreAnAnswerOfTheirOwn(t *testing.T) {
	for name, tt := range map[string]struct {
		p    ringsize.Place
		says string
	}{
		"too large": {ringsize.Place{Kind: gland.Piston, Groove: at(900*mm, 0), Mate: at(911*mm, 0)}, "inside diameter wanted, 882.35 mm, lies above"},
		"too thick": {ringsize.Place{Kind: gland.Piston, Groove: at(100*mm, 0), Mate: at(130*mm, 0)}, "section wanted"},
		"too thin":  {ringsize.Place{Kind: gland.Piston, Groove: at(10*mm, 0), Mate: at(10.6*mm, 0)}, "lies below the thinnest"},
		"no room":   {ringsize.Place{Kind: gland.Rod, Groove: at(8*mm, 0), Mate: at(1*mm, 0)}, "no ring of that section goes round"},
	} {
		b := best(t, all(t), tt.p, static(tt.p.Kind))
		assert.Contains(t, b.Outside, tt.says, name)
		assert.False(t, b.Suits, name)
	}
}

func TestInchesAndMillimetresFindTheSameRing(t *testing.T) {
	a := best(t, all(t), ringsize.Place{Kind: gland.Piston, Groove: at(1.0035*inch, 0), Mate: at(1.2244*inch, 0), Width: at(0.187*inch, 0)}, static(gland.Piston))
	b := best(t, all(t), ringsize.Place{Kind: gland.Piston, Groove: at(25.4889*mm, 0), Mate: at(31.09976*mm, 0), Width: at(4.7498*mm, 0)}, static(gland.Piston))
	require.Equal(t, len(a.Fits), len(b.Fits))
	for i := range a.Fits {
		assert.Equal(t, a.Fits[i].Name, b.Fits[i].Name)
		assert.InDelta(t, a.Fits[i].Score, b.Fits[i].Score, 1e-9)
	}
}

func TestOddGlandsAreRefusedInWords(t *testing.T) {
	good, bands := piston214(0), static(gland.Piston)
	nan := unit.Length(math.NaN())
	for says, change := range map[string]func(p *ringsize.Place, b *ringsize.Bands){
		"the groove diameter":                      func(p *ringsize.Place, _ *ringsize.Bands) { p.Groove.At = nan },
		"the bore or rod":                          func(p *ringsize.Place, _ *ringsize.Bands) { p.Mate.At = 0 },
		"the groove width":                         func(p *ringsize.Place, _ *ringsize.Bands) { p.Width.At = -1 * mm },
		"is not smaller than the bore":             func(p *ringsize.Place, _ *ringsize.Bands) { p.Groove.At = 40 * mm },
		"is not larger than the rod":               func(p *ringsize.Place, _ *ringsize.Bands) { p.Kind = gland.Rod },
		"the groove depth":                         func(p *ringsize.Place, _ *ringsize.Bands) { p.Kind = gland.FaceInside },
		"of no known kind":                         func(p *ringsize.Place, _ *ringsize.Bands) { p.Kind = 9 },
		"leave no room":                            func(p *ringsize.Place, _ *ringsize.Bands) { p.Groove.Tol = 6 * mm },
		"is as large as the size":                  func(p *ringsize.Place, _ *ringsize.Bands) { p.Groove.U = 60 * mm },
		"the least squeeze is not below":           func(_ *ringsize.Place, b *ringsize.Bands) { b.Squeeze.Least = 40 * pct },
		"lie beyond 25 %":                          func(_ *ringsize.Place, b *ringsize.Bands) { b.Hold.Greatest = 40 * pct },
		"greatest fill over the tolerances is not": func(_ *ringsize.Place, b *ringsize.Bands) { b.FillWorst = 20 * pct },
		"cannot lie below 0 or reach the whole":    func(_ *ringsize.Place, b *ringsize.Bands) { b.Squeeze.Greatest = 100 * pct },
		"the least squeeze in length":              func(_ *ringsize.Place, b *ringsize.Bands) { b.Floor = nan },
	} {
		p, b := good, bands
		change(&p, &b)
		_, err := ringsize.ForPlace(all(t), p, b)
		assert.ErrorContains(t, err, says)
	}
}

func FuzzForPlaceNeverPanics(f *testing.F) {
	s := ringsize.Sizes{Rings: as568(f), Metric: metricSections(), ClassB: classB}
	f.Add(25.49e-3, 31.1e-3, 4.75e-3, 2.8e-3, 0.1e-3, uint8(0))
	f.Add(math.NaN(), math.Inf(1), 0.0, -1.0, 1e300, uint8(1))
	f.Add(32e-3, 26e-3, 5e-3, 1e-9, 1e-4, uint8(2))
	f.Fuzz(func(t *testing.T, groove, mate, width, depth, u float64, kind uint8) {
		d := func(x float64) ringsize.Dim {
			return ringsize.Dim{At: unit.Length(x), U: unit.Length(u), Tol: unit.Length(u / 2)}
		}
		p := ringsize.Place{Kind: gland.Kind(kind % 5), Groove: d(groove), Mate: d(mate), Width: d(width), Depth: d(depth)}
		b, err := ringsize.ForPlace(s, p, static(p.Kind))
		if err != nil {
			return
		}
		for _, x := range b.Fits {
			require.False(t, math.IsNaN(x.Score) || math.IsNaN(float64(x.Squeeze)))
		}
	})
}

func BenchmarkForPlace(b *testing.B) {
	s := all(b)
	for b.Loop() {
		_, _ = ringsize.ForPlace(s, piston214(0.05*mm), static(gland.Piston))
	}
}

func BenchmarkForPlaceWhenNoneFits(b *testing.B) {
	s := ringsize.Sizes{Rings: as568(b)}
	p := ringsize.Place{Kind: gland.Piston, Groove: at(26.5*mm, 0), Mate: at(30.8*mm, 0), Width: at(3.6*mm, 0)}
	for b.Loop() {
		_, _ = ringsize.ForPlace(s, p, static(gland.Piston))
	}
}

// The groove may be anywhere from 24.9 to 26.1: the stretch of -214 runs from below 0 to 4.4 %, and the ring is not
// safe though its least margin, at the readings, is that of another limit.
func TestAMarginThatFallsFastIsNotHiddenByASlowOne(t *testing.T) {
	p := piston214(0)
	p.Groove.U = 0.6 * mm
	b := best(t, ringsize.Sizes{Rings: as568(t)}, p, static(gland.Piston))
	assert.Equal(t, uncertain.NotProven, b.Safe)
	assert.Equal(t, ringsize.Stretch, b.Deciding)
	assert.Equal(t, "groove diameter", b.Critical)
	require.Positive(t, float64(b.Needs))
	p.Groove.U = b.Needs * 0.98
	assert.Equal(t, uncertain.Conforms, best(t, ringsize.Sizes{Rings: as568(t)}, p, static(gland.Piston)).Safe, "read so well it is settled")
}
