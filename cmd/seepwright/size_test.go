package main

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/ringsize"
	"seepwright/kb"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

func tableSizes(t testing.TB) ringsize.Sizes {
	t.Helper()
	s, err := ringSizes(kb.Published())
	require.NoError(t, err)
	return s
}

func TestEveryRingOfTheTablesIsFoundAgain(t *testing.T) {
	s := tableSizes(t)
	known := 0
	for _, r := range s.Rings {
		if r.ID == 0 {
			continue
		}
		known++
		f, err := ringsize.Identify(s, []ringsize.Reading{{Of: ringsize.Inside, At: r.ID, U: 2e-5}, {Of: ringsize.Section, At: r.Cord, U: 2e-5}}, ringsize.Used{})
		require.NoError(t, err)
		if f.Candidates[0].Ring == r {
			continue
		}
		// a ring of another table of nearly the same size may stand before it, never a wrong one of its own
		first := f.Candidates[0]
		assert.NotEqual(t, r.Table, first.Table, "%s is taken for %s", r.Name, first.Name)
		assert.True(t, first.New, "%s %s", r.Table, r.Name)
		assert.Equal(t, r, f.Candidates[1].Ring)
	}
	assert.Equal(t, 369+68, known)
}

// The piston gland that JIS B 2406 prints for each ring of JIS B 2401 has to suit that ring.
func TestEveryRingSuitsTheGlandPrintedForIt(t *testing.T) {
	jis, err := kb.Published().Table("ring-sizes-jis-b2401")
	require.NoError(t, err)
	bands, _, err := bandsFor(kb.Published(), gland.Piston, "")
	require.NoError(t, err)
	all := tableSizes(t)
	tried := 0
	for _, row := range jis.Rows() {
		groove, ok := row.SI("groove_mm")
		if !ok {
			continue
		}
		tried++
		bore, _ := row.SI("bore_mm")
		width, _ := row.SI("width_mm")
		var own ringsize.Sizes
		for _, r := range all.Rings {
			if r.Table == "JIS B 2401" && r.Name == row.Text("size") {
				own.Rings = append(own.Rings, r)
			}
		}
		require.Len(t, own.Rings, 1)
		p := ringsize.Place{Kind: gland.Piston, Groove: ringsize.Dim{At: unit.Length(groove)}, Mate: ringsize.Dim{At: unit.Length(bore)}, Width: ringsize.Dim{At: unit.Length(width)}}
		b, err := ringsize.ForPlace(own, p, bands)
		require.NoError(t, err)
		require.NotEmpty(t, b.Fits, row.Text("size"))
		for _, m := range b.Fits[0].Margins {
			if m.Of == ringsize.Stretch && (row.Text("size") == "P3" || row.Text("size") == "P4") {
				assert.Negative(t, m.Margin, "the smallest rings are stretched by more than 5 % on their printed groove")
				continue
			}
			assert.GreaterOrEqual(t, m.Margin, 0.0, "%s: %s %v", row.Text("size"), m.Of, m.Value)
		}
	}
	assert.Equal(t, 68, tried)
}

// Glands of the published static chart, seated at 2 %: a ring of the chart's section has to be the first.
func TestPublishedStaticGlandsTakeTheirSection(t *testing.T) {
	chart, err := kb.Published().Table("oring-gland-static")
	require.NoError(t, err)
	bands, _, err := bandsFor(kb.Published(), gland.Piston, "")
	require.NoError(t, err)
	s := tableSizes(t)
	var tried int
	for _, want := range []string{"-020", "-120", "-218", "-330", "-430"} {
		for _, r := range s.Rings {
			if r.Table != "AS568" || r.Name != want {
				continue
			}
			for _, row := range chart.Rows() {
				cord, depth, width := gland3(t, row)
				if math.Abs(float64(cord-r.Cord)) > 2e-5 || depth == 0 || width == 0 {
					continue
				}
				tried++
				groove := r.ID * 1.02
				b, err := ringsize.ForPlace(s, ringsize.Place{Kind: gland.Piston, Groove: ringsize.Dim{At: groove}, Mate: ringsize.Dim{At: groove + 2*depth}, Width: ringsize.Dim{At: width}}, bands)
				require.NoError(t, err)
				names := []string{}
				for _, f := range b.Fits {
					names = append(names, f.Name)
				}
				assert.Contains(t, names, want)
				assert.True(t, b.Suits, "%s in the gland of line %d: %v", want, row.Line(), b.Fits[0].Margins)
			}
		}
	}
	assert.GreaterOrEqual(t, tried, 5)
}

func BenchmarkSizeRing(b *testing.B) {
	s := tableSizes(b)
	in := []ringsize.Reading{{Of: ringsize.Inside, At: 24.9e-3, U: 1e-4}, {Of: ringsize.Section, At: 3.5e-3, U: 1e-4}}
	for b.Loop() {
		_, _ = ringsize.Identify(s, in, ringsize.Used{})
	}
}

// gland3 is the middle of a row of the chart of static glands: section, depth, width.
func gland3(t *testing.T, row table.Row) (cord, depth, width unit.Length) {
	t.Helper()
	mid := func(least, greatest string) unit.Length {
		a, okA := row.SI(least)
		b, okB := row.SI(greatest)
		if !okA || !okB {
			return 0
		}
		return unit.Length(a+b) / 2
	}
	c, ok := row.SI("cs_in")
	require.True(t, ok)
	return unit.Length(c), mid("depth_min_in", "depth_max_in"), mid("width_min_in", "width_max_in")
}
