package gland_test

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/gland"
	"seepwright/rules/unit"
)

const mm = unit.Millimetre

func ExampleSqueeze() {
	// German trade lexicon of O-rings, worked example: cord 3.0 in a groove 2.3 mm deep.
	s, _ := gland.Squeeze(3.0*mm, 2.3*mm)
	fmt.Printf("%.2f %%\n", s.Percent())
	// Output: 23.33 %
}

func ExampleWorstCase() {
	// JIS B 2406 groove table part 4: cord 3.1 +/- 0.10, shaft groove 25 (0/-0.1), bore 30 (+0.1/0).
	depth, _ := gland.DepthSpan(gland.Span{Min: 30 * mm, Max: 30.1 * mm}, gland.Span{Min: 24.9 * mm, Max: 25 * mm})
	r, _ := gland.WorstCase(gland.PlusMinus(3.1*mm, 0.10*mm), depth)
	fmt.Printf("%.2f to %.2f mm, %.1f to %.1f %%\n", r.Least.Millimetres(), r.Greatest.Millimetres(), r.LeastShare.Percent(), r.GreatestShare.Percent())
	// Output: 0.40 to 0.70 mm, 13.3 to 21.9 %
}

func ExamplePushOut() {
	// A 38 mm pipe pushes with 113 N for every bar (force balance, by hand).
	f, _ := gland.PushOut(38*mm, unit.Bar)
	fmt.Printf("%.0f N\n", float64(f))
	// Output: 113 N
}

func ExampleFollowUp() {
	// Cord 3.53 mm at 20 % squeeze, new and at 85 % set.
	fresh, _ := gland.FollowUp(3.53*mm, 0.8*3.53*mm, 0)
	old, _ := gland.FollowUp(3.53*mm, 0.8*3.53*mm, 85*unit.Percent)
	fmt.Printf("%.2f mm, then %.2f mm\n", fresh.Millimetres(), old.Millimetres())
	// Output: 0.71 mm, then 0.11 mm
}

func TestADeeperGrooveNeverSqueezesMore(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	for range 500 {
		cord, a, b := unit.Length(1+5*r.Float64())*mm, unit.Length(0.5+5*r.Float64())*mm, unit.Length(0.5+5*r.Float64())*mm
		sa, err := gland.Squeeze(cord, a)
		require.NoError(t, err)
		sb, err := gland.Squeeze(cord, b)
		require.NoError(t, err)
		assert.Equal(t, a > b, sa < sb)
	}
}

func TestBoundsEncloseTheMiddleAndTheStatisticalRange(t *testing.T) {
	r := rand.New(rand.NewSource(2))
	for range 300 {
		tol := func() unit.Length { return unit.Length(0.1*r.Float64()) * mm }
		cord := gland.PlusMinus(3.53*mm, tol())
		bore, groove := gland.PlusMinus(31.04*mm, tol()), gland.PlusMinus(25.4*mm, tol())
		depth, err := gland.DepthSpan(bore, groove)
		require.NoError(t, err)
		worst, err := gland.WorstCase(cord, depth)
		require.NoError(t, err)
		rss, err := gland.Statistical(cord, bore, groove)
		require.NoError(t, err)
		mid := 3.53*mm - 2.82*mm
		assert.LessOrEqual(t, float64(worst.Least), float64(rss.Least)+1e-12)
		assert.LessOrEqual(t, float64(rss.Least), float64(mid)+1e-12)
		assert.LessOrEqual(t, float64(mid), float64(rss.Greatest)+1e-12)
		assert.LessOrEqual(t, float64(rss.Greatest), float64(worst.Greatest)+1e-12)
	}
}

func TestLocalSqueezeAgreesWithAFineWalkRoundTheRing(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	for range 100 {
		cord, groove := 3.53*mm, 25.4*mm
		bore := gland.Oval{Mean: 31.1 * mm, Semi: unit.Length(0.2*r.Float64()) * mm, Major: unit.Angle(math.Pi * r.Float64())}
		off := gland.Offset{By: unit.Length(0.2*r.Float64()) * mm, Towards: unit.Angle(2 * math.Pi * r.Float64())}
		least, most, err := gland.SqueezeAround(cord, groove, bore, off)
		require.NoError(t, err)
		lo, hi := math.Inf(1), math.Inf(-1)
		for i := range 20000 {
			a := 2 * math.Pi * float64(i) / 20000
			s := float64(cord) - ((float64(bore.Mean)+float64(bore.Semi)*math.Cos(2*(a-float64(bore.Major)))-float64(groove))/2 - float64(off.By)*math.Cos(a-float64(off.Towards)))
			lo, hi = math.Min(lo, s), math.Max(hi, s)
		}
		assert.InDelta(t, lo, float64(least.Squeeze), 1e-10)
		assert.InDelta(t, hi, float64(most.Squeeze), 1e-10)
		assert.LessOrEqual(t, float64(least.Squeeze), lo+1e-15)
	}
}

func TestTheSolvedTargetMeetsTheLimitExactly(t *testing.T) {
	cord, groove, bore, spigot, want := 3.53*mm, 25.4*mm, 31.04*mm, 30.9*mm, 0.35*mm
	o, err := gland.GreatestOvality(cord, groove, bore, want)
	require.NoError(t, err)
	least, _, err := gland.SqueezeAround(cord, groove, gland.Oval{Mean: bore, Semi: o / 2}, gland.Offset{})
	require.NoError(t, err)
	assert.InDelta(t, float64(want), float64(least.Squeeze), 1e-12)

	o, err = gland.GreatestOvalityHardOver(cord, groove, bore, spigot, want)
	require.NoError(t, err)
	s, err := gland.SqueezeHardOver(cord, groove, bore+o/2, spigot)
	require.NoError(t, err)
	assert.InDelta(t, float64(want), float64(s), 1e-12)

	c, err := gland.GreatestClearance(cord, groove, bore, want)
	require.NoError(t, err)
	s, err = gland.SqueezeHardOver(cord, groove, bore, bore-c)
	require.NoError(t, err)
	assert.InDelta(t, float64(want), float64(s), 1e-12)
}

func second[T any](_ T, err error) error { return err }

func TestWhatLiesOutsideTheDomainIsRefusedInWords(t *testing.T) {
	nan := unit.Length(math.NaN())
	for name, err := range map[string]error{
		"a cord of 0":                      second(gland.Squeeze(0, 1*mm)),
		"NaN":                              second(gland.Squeeze(nan, 1*mm)),
		"a groove larger than the bore":    second(gland.Depth(25*mm, 31*mm)),
		"a spigot larger than its bore":    second(gland.Eccentricity(30*mm, 31*mm)),
		"a stretch of 30 % in the tests":   second(gland.SectionLoss(30 * unit.Percent)),
		"a shrinking ring in the torus":    second(gland.StretchedSection(25*mm, 3*mm, 24*mm)),
		"a set of 120 % to be applied":     second(gland.FollowUp(3*mm, 2*mm, 1.2)),
		"a set from equal heights":         second(gland.CompressionSet(3*mm, 3*mm, 2*mm)),
		"hardness 95":                      second(gland.Modulus(95)),
		"a squeeze of 60 % under load":     second(gland.LineLoad(3*mm, 5e6, 0.6)),
		"an extrusion table without match": second(gland.GreatestGap([]gland.Band{{Hardness: 70, To: 1e6, Gap: mm}}, 80, 1e5)),
		"a pressure beyond the table":      second(gland.GreatestGap([]gland.Band{{Hardness: 70, To: 1e6, Gap: mm}}, 70, 2e6)),
		"a bore too large even when round": second(gland.GreatestOvality(3.53*mm, 25.4*mm, 33*mm, 0.35*mm)),
		"crossed limits of size":           second(gland.WorstCase(gland.Span{Min: 3 * mm, Max: 2 * mm}, gland.Span{Min: 1 * mm, Max: 2 * mm})),
		"a tilt without guidance":          second(gland.Tilt(20*mm, 10*mm)),
		"a ring of 900 mm in class B":      second(gland.ClassBTolerance(900 * mm)),
		"a swell of 300 %":                 second(gland.SwollenSection(3*mm, 3)),
	} {
		require.Error(t, err, name)
		assert.Greater(t, len(err.Error()), 20, name)
	}
	_, _, err := gland.SqueezeAround(3.53*mm, 25.4*mm, gland.Round(31*mm), gland.Offset{By: 3 * mm})
	assert.ErrorContains(t, err, "touch")
}
