package gland_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/gland"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// published reads one of the tables of figures; reading tests its relations over all rows.
func published(t *testing.T, name string) *table.Table {
	t.Helper()
	file := func(ending string) []byte {
		data, err := os.ReadFile(filepath.Join("..", "..", "..", "kb", "tables", name+ending))
		require.NoError(t, err)
		return data
	}
	tab, bad := table.Read(name, file(".csv"), file(".yaml"))
	require.Empty(t, bad, "%v", bad)
	require.NotEmpty(t, tab.Rows())
	return tab
}

func length(t *testing.T, r table.Row, head string) unit.Length {
	t.Helper()
	x, ok := r.SI(head)
	require.True(t, ok, "line %d has no %s", r.Line(), head)
	return unit.Length(x)
}

func TestTheGlandTablesPrintTheSqueezeThatTheWorstCaseGives(t *testing.T) {
	odd := 0
	for _, name := range []string{"oring-gland-static", "oring-gland-face", "oring-gland-dynamic"} {
		for _, row := range published(t, name).Rows() {
			tol, ok := row.SI("cs_tol_in")
			if !ok { // 0.020 in: the note says that the printed squeeze follows from 0.002 in
				odd++
				tol = 0.002 * float64(unit.Inch)
			}
			r, err := gland.WorstCase(gland.PlusMinus(length(t, row, "cs_in"), unit.Length(tol)), gland.Span{Min: length(t, row, "depth_min_in"), Max: length(t, row, "depth_max_in")})
			require.NoError(t, err)
			assert.InDelta(t, float64(length(t, row, "squeeze_min_in")), float64(r.Least), 0.0006*float64(unit.Inch), "%s line %d", name, row.Line())
			assert.InDelta(t, float64(length(t, row, "squeeze_max_in")), float64(r.Greatest), 0.0006*float64(unit.Inch), "%s line %d", name, row.Line())
			lo, _ := row.SI("squeeze_min_pct")
			hi, _ := row.SI("squeeze_max_pct")
			// printed to whole or half per cents
			assert.InDelta(t, lo, float64(r.LeastShare), 0.0101, "%s line %d", name, row.Line())
			assert.InDelta(t, hi, float64(r.GreatestShare), 0.0101, "%s line %d", name, row.Line())
		}
	}
	assert.Equal(t, 2, odd)
}

func TestTheMetricGlandsPrintTheirNominalSqueeze(t *testing.T) {
	for _, row := range published(t, "oring-gland-metric").Rows() {
		s, err := gland.Squeeze(length(t, row, "cs_mm"), length(t, row, "depth_mm"))
		require.NoError(t, err)
		want, ok := row.SI("squeeze_pct")
		require.True(t, ok)
		assert.InDelta(t, want, float64(s), 0.00051, "line %d", row.Line())
	}
}

func TestEveryTableOfRingsIsSound(t *testing.T) {
	for name, rows := range map[string]int{"oring-limits": 48, "oring-chamfer": 31, "oring-surface-finish": 13, "elastomers": 14, "oring-extrusion-gap": 54} {
		assert.Len(t, published(t, name).Rows(), rows, name)
	}
}
