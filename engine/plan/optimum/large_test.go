package optimum

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// drawn is an invented model of any size, the same for the same seed.
func drawn(seed uint64, faults, clusters, checks int, several bool) Model {
	rng := rand.New(rand.NewPCG(seed, 7))
	m := Model{Several: several, Retest: 5 + float64(rng.IntN(25)), LastResort: 300 + float64(rng.IntN(900))*float64(1+faults/30)}
	sum := 0.0
	for i := range faults {
		p := 0.02 + rng.Float64()*rng.Float64()
		m.Faults = append(m.Faults, Fault{fmt.Sprintf("x%d", i), p})
		sum += p
	}
	for i := range m.Faults {
		if m.Faults[i].Prior /= sum; several {
			m.Faults[i].Prior = min(0.9, 1.5*m.Faults[i].Prior)
		}
	}
	name := func(c int) string {
		if c < 0 {
			return ""
		}
		return fmt.Sprintf("k%d", c)
	}
	for i := range clusters {
		m.Clusters = append(m.Clusters, Cluster{name(i), name(rng.IntN(i+1) - 1), 5 + float64(rng.IntN(60)), 5 + float64(rng.IntN(60)), rng.Float64() < 0.7, 0, nil})
	}
	for i := range checks {
		c := Check{ID: fmt.Sprintf("t%d", i), Cluster: name(rng.IntN(clusters+1) - 1), Minutes: 1 + float64(rng.IntN(20)), Positive: map[string]float64{}, False: 0.05 * float64(rng.IntN(3))}
		for _, f := range m.Faults {
			if rng.IntN(3) == 0 {
				c.Positive[f.ID] = 0.6 + 0.4*rng.Float64()
			}
		}
		m.Checks = append(m.Checks, c)
	}
	for i, f := range m.Faults {
		r := Repair{ID: fmt.Sprintf("a%d", i), Cluster: name(rng.IntN(clusters+1) - 1), Minutes: 3 + float64(rng.IntN(50)), Fixes: []string{f.ID}}
		if rng.IntN(4) == 0 {
			r.Fixes = append(r.Fixes, m.Faults[(i+1)%faults].ID)
		}
		m.Repairs = append(m.Repairs, r)
	}
	return m
}

func TestALargeModelIsAdvisedWithinItsBounds(t *testing.T) {
	for _, several := range []bool{false, true} {
		a, err := Advise(drawn(3, 300, 20, 40, several), Effort{})
		require.NoError(t, err)
		assert.False(t, a.Exact)
		assert.Positive(t, a.Bounds.Lower())
		assert.LessOrEqual(t, a.Bounds.Lower(), a.Bounds.Upper)
		t.Log(a.Do, a.Minutes, a.Bounds, a.Nothing, len(a.Errand), len(a.Anyway))
	}
}

func BenchmarkAdvise(b *testing.B) {
	for _, checks := range []int{0, 20, 190} {
		for _, several := range []bool{false, true} {
			m := drawn(3, 300, 20, checks, several)
			b.Run(fmt.Sprintf("faults=300/clusters=20/checks=%d/several=%v", checks, several), func(b *testing.B) {
				for b.Loop() {
					if _, err := Advise(m, Effort{}); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
