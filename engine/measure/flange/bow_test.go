package flange_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/flange"
	"seepwright/rules/unit"
)

// The cover of the worked check rows: 20 x 8 mm aluminium on 12 mm of gasket 1.5 mm thick.
var cover = flange.Cover{Width: 20 * mm, Thickness: 8 * mm, E: 70e9, GasketE: 50e6, GasketWidth: 12 * mm, GasketThickness: 1.5 * mm}

// springs solves the same strip by equal finite elements: a bolt every so many nodes, half a span by symmetry.
func springs(c flange.Cover, load unit.Force, pitch unit.Length) (bolt, mid float64) {
	const n = 400
	h := float64(pitch) / 2 / n
	t := float64(c.Thickness)
	ei := float64(c.E) * float64(c.Width) * t * t * t / 12
	k := float64(c.GasketE) * float64(c.GasketWidth/c.GasketThickness)
	size := 2 * (n + 1)
	a := make([][]float64, size)
	for i := range a {
		a[i] = make([]float64, size+1)
	}
	for e := range n {
		b := [4][4]float64{{12, 6 * h, -12, 6 * h}, {6 * h, 4 * h * h, -6 * h, 2 * h * h}, {-12, -6 * h, 12, -6 * h}, {6 * h, 2 * h * h, -6 * h, 4 * h * h}}
		f := [4][4]float64{{156, 22 * h, 54, -13 * h}, {22 * h, 4 * h * h, 13 * h, -3 * h * h}, {54, 13 * h, 156, -22 * h}, {-13 * h, -3 * h * h, -22 * h, 4 * h * h}}
		for i := range 4 {
			for j := range 4 {
				a[2*e+i][2*e+j] += ei/(h*h*h)*b[i][j] + k*h/420*f[i][j]
			}
		}
	}
	for _, fixed := range []int{1, size - 1} { // no slope at bolt and mid-span
		for j := range size {
			a[fixed][j], a[j][fixed] = 0, 0
		}
		a[fixed][fixed] = 1
	}
	a[0][size] = float64(load) / 2
	for i := range size { // elimination; the matrix is banded and positive
		for r := i + 1; r < min(size, i+5); r++ {
			if m := a[r][i] / a[i][i]; m != 0 {
				for j := i; j <= size; j++ {
					a[r][j] -= m * a[i][j]
				}
			}
		}
	}
	x := make([]float64, size)
	for i := size - 1; i >= 0; i-- {
		s := a[i][size]
		for j := i + 1; j < min(size, i+5); j++ {
			s -= a[i][j] * x[j]
		}
		x[i] = s / a[i][i]
	}
	return x[0], x[size-2]
}

func TestTheBowAgreesWithFiniteElements(t *testing.T) {
	for _, pitch := range []unit.Length{20 * mm, 60 * mm, 131.5 * mm, 200 * mm, 400 * mm} {
		b, err := cover.Between(8e3, pitch)
		require.NoError(t, err)
		bolt, mid := springs(cover, 8e3, pitch)
		assert.InDelta(t, bolt, float64(b.AtBolt), 1e-4*bolt, "pitch %v", pitch)
		assert.InDelta(t, mid, float64(b.MidSpan), 1e-4*bolt, "pitch %v", pitch)
	}
}

func TestTheBowKeepsTheKnownRatioAndBalancesTheBolt(t *testing.T) {
	l, err := cover.Lambda()
	require.NoError(t, err)
	b, err := cover.Between(8e3, 60*mm)
	require.NoError(t, err)
	r, err := flange.PressureRatio(l * 0.060 / 2)
	require.NoError(t, err)
	assert.InEpsilon(t, float64(r), float64(b.MidSpan/b.AtBolt), 1e-9)
	assert.InDelta(t, 0.808, float64(r), 0.008, "checked figure of the dossier")
	// a close pitch: every place carries the mean, F / (k L)
	k := 50e6 * 12 / 1.5
	close, err := cover.Between(8e3, 1*mm)
	require.NoError(t, err)
	assert.InEpsilon(t, 8e3/(k*0.001), float64(close.AtBolt), 1e-6)
	// a lone bolt: F lambda / 2k (beam on elastic foundation, textbook)
	lone, err := cover.Between(8e3, 5000*mm)
	require.NoError(t, err)
	assert.InEpsilon(t, 8e3*l/(2*k), float64(lone.AtBolt), 1e-9)
}

func TestAThinnerCoverOrAWiderPitchNeverBowsLess(t *testing.T) {
	for _, pitch := range []unit.Length{20 * mm, 60 * mm, 100 * mm, 150 * mm, 250 * mm} {
		last := 0.0
		for thick := 30.0; thick > 0.5; thick *= 0.95 {
			c := cover
			c.Thickness = unit.Length(thick) * mm
			b, err := c.Between(5e3, pitch)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, float64(b.Dip), last, "%v mm at pitch %v", thick, pitch)
			last = float64(b.Dip)
		}
	}
	// one bolt load, wider and wider: the dip grows until the next bolt is out of reach
	last := 0.0
	for pitch := 5 * mm; pitch < 170*mm; pitch += 5 * mm {
		b, err := cover.Between(5e3, pitch)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, float64(b.Dip), last)
		last = float64(b.Dip)
	}
}

func TestAGapOpensBeyondTheLiftPitch(t *testing.T) {
	l, _ := cover.Lambda()
	lift, err := flange.LiftPitch(l)
	require.NoError(t, err)
	for pitch, opens := range map[unit.Length]bool{lift * 0.98: false, lift * 1.02: true} {
		b, err := cover.Between(8e3, pitch)
		require.NoError(t, err)
		assert.Equal(t, opens, b.Gap > 0)
	}
	p, err := cover.PitchForRatio(0)
	require.NoError(t, err)
	assert.InEpsilon(t, float64(lift), float64(p), 1e-9)
}

func TestPitchAndThicknessForARatioUndoTheRatio(t *testing.T) {
	for _, share := range []unit.Ratio{0.1, 0.5, 0.8, 0.95} {
		p, err := cover.PitchForRatio(share)
		require.NoError(t, err)
		b, err := cover.Between(1e3, p)
		require.NoError(t, err)
		assert.InDelta(t, float64(share), float64(b.MidSpan/b.AtBolt), 1e-6)
		th, err := cover.ThicknessForRatio(p, share)
		require.NoError(t, err)
		assert.InEpsilon(t, float64(cover.Thickness), float64(th), 1e-6)
	}
}

// Derived and integrated check row: dH = 0.20 mm at 96.97 mm.
func TestTheClampedBowUndoesThePitchRule(t *testing.T) {
	dh, err := flange.BowForPitch(20*mm, 10*mm, 5*mm, 70e9, 96.97*mm, 1e6, 3e6)
	require.NoError(t, err)
	assert.InEpsilon(t, 0.20e-3, float64(dh), 0.001)
}

func TestSillyCoversAreRefusedByName(t *testing.T) {
	flat := cover
	flat.Thickness = 0
	soft := cover
	soft.E = 70
	for want, err := range map[string]error{
		"the cover thickness":    second(flat.Between(1, 50*mm)),
		"the cover's modulus":    second(soft.Between(1, 50*mm)),
		"the pitch":              second(cover.Between(1, unit.Length(math.NaN()))),
		"the bolt load":          second(cover.Between(-1, 50*mm)),
		"the share of pressure":  second(cover.PitchForRatio(1)),
		"the pitch is 0":         second(cover.ThicknessForRatio(0, 0.5)),
		"the gasket pressure in": second(flange.BowForPitch(20*mm, 10*mm, 5*mm, 70e9, 97*mm, -1, 3e6)),
	} {
		assert.ErrorContains(t, err, want)
	}
}
