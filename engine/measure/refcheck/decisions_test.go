package refcheck

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/form"
	"seepwright/engine/measure/uncertain"
	"seepwright/rules/unit"
)

func TestEveryDecisionAgreesWithItsFile(t *testing.T) {
	n := 0
	for _, r := range rows(t, open(t, "form/decisions.csv")) {
		num := func(k string) float64 {
			x, err := strconv.ParseFloat(r[k], 64)
			require.NoError(t, err)
			return x
		}
		y, u, limit := num("measured_mm"), num("expanded_uncertainty_U_k2_mm"), num("upper_limit_mm")
		assert.Equal(t, r["verdict_guard_band_U"], uncertain.Below(y, u, limit).String(), r["id"])
		assert.Equal(t, r["verdict_guard_band_1.65u"], uncertain.Below(y, uncertain.OneSidedGuard(u), limit).String(), r["id"])
		assert.InDelta(t, num("probability_true_value_within_limit"), uncertain.ChanceBelow(y, u, limit), 1e-9, r["id"])
		n++
	}
	t.Logf("decisions checked: %d", n)
}

func TestEveryLobingFactorAgreesWithItsFile(t *testing.T) {
	n := 0
	for _, r := range rows(t, open(t, "form/lobing-factors.csv")) {
		lobes, err := strconv.Atoi(r["lobes"])
		require.NoError(t, err)
		for column, text := range r {
			want, err := strconv.ParseFloat(text, 64)
			require.NoError(t, err)
			if feet := map[string]int{"two_point_diameter": 2, "three_point_bore_120deg": 3}[column]; feet > 0 {
				got, err := form.FeetFactor(lobes, feet)
				require.NoError(t, err)
				assert.InDelta(t, want, float64(got), 1e-12, "%d lobes, %s", lobes, column)
				n++
				continue
			}
			angle, ok := strings.CutPrefix(column, "vee")
			if !ok {
				continue // the number of lobes
			}
			deg, kind, _ := strings.Cut(angle, "_")
			a, err := strconv.ParseFloat(deg, 64)
			require.NoError(t, err)
			f := form.VeeFactor
			if kind == "rider_between" {
				f = form.VeeFactorRider
			}
			got, err := f(lobes, unit.Angle(a)*unit.Degree)
			require.NoError(t, err)
			assert.InDelta(t, want, float64(got), 1e-6, "%d lobes, %s", lobes, column)
			n++
		}
	}
	t.Logf("lobing factors checked: %d", n)
}
