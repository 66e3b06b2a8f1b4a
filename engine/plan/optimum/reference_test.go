package optimum

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// reference is the file format of testdata/reference/planning.
type reference struct {
	ID       string
	Stratum  string
	Several  bool `json:"several_faults"`
	Faults   []Fault
	Clusters []struct {
		ID, Parent  string
		Open, Close float64
		MustClose   bool `json:"must_close"`
	}
	Checks     []Check
	Repairs    []Repair
	Retest     float64
	LastResort float64 `json:"last_resort"`
	Answers    struct {
		Optimal       float64
		FirstSteps    []string `json:"optimal_first_steps"`
		WithoutChecks float64  `json:"optimal_without_checks"`
		OneRepair     float64  `json:"optimal_one_repair_per_retest"`
		Greedy        float64
		GreedyChecks  float64 `json:"greedy_with_checks"`
		Batch         float64 `json:"batch_greedy"`
		BatchChecks   float64 `json:"batch_greedy_with_checks"`
		Rollout       float64
		OpenFixAll    float64 `json:"open_all_fix_all"`
		OpenCheck     float64 `json:"open_all_check_greedy"`
		Perfect       float64 `json:"perfect_information_bound"`
	}
}

func (r reference) model() Model {
	m := Model{Faults: r.Faults, Several: r.Several, Checks: r.Checks, Repairs: r.Repairs, Retest: r.Retest, LastResort: r.LastResort}
	for _, c := range r.Clusters {
		m.Clusters = append(m.Clusters, Cluster{c.ID, c.Parent, c.Open, c.Close, c.MustClose, 0, nil})
	}
	return m
}

// references reads the repository's instances and those of the folder that
// SEEPWRIGHT_REFERENCE names.
func references(t testing.TB) []reference {
	dirs := []string{"../../../testdata/reference/planning"}
	if more := os.Getenv("SEEPWRIGHT_REFERENCE"); more != "" {
		dirs = append(dirs, filepath.Join(more, "planning"))
	}
	var out []reference
	for _, dir := range dirs {
		files, err := filepath.Glob(filepath.Join(dir, "*.json"))
		require.NoError(t, err)
		for _, f := range files {
			data, err := os.ReadFile(f)
			require.NoError(t, err)
			var r reference
			require.NoError(t, json.Unmarshal(data, &r), f)
			r.ID = filepath.Base(f)
			out = append(out, r)
		}
	}
	require.GreaterOrEqual(t, len(out), 40, "the reference instances are missing")
	return out
}

func TestTheOptimumEqualsEveryReference(t *testing.T) {
	for _, r := range references(t) {
		t.Run(r.ID, func(t *testing.T) {
			e, err := Solve(r.model(), Limits{})
			require.NoError(t, err)
			assert.InEpsilon(t, r.Answers.Optimal, e.Value(), 1e-9)
			want := slices.Sorted(slices.Values(r.Answers.FirstSteps))
			assert.Equal(t, want, e.FirstSteps(1e-9))
			for _, v := range []struct {
				lim  Limits
				want float64
			}{{Limits{NoChecks: true}, r.Answers.WithoutChecks}, {Limits{OneRepair: true}, r.Answers.OneRepair}} {
				e, err := Solve(r.model(), v.lim)
				require.NoError(t, err)
				assert.InEpsilon(t, v.want, e.Value(), 1e-9, "%+v", v.lim)
			}
		})
	}
}

func TestThePolicyCostsWhatItSays(t *testing.T) {
	for _, r := range references(t) {
		e, err := Solve(r.model(), Limits{})
		require.NoError(t, err)
		assert.InEpsilon(t, r.Answers.Optimal, follow(e.Start()), 1e-9, r.ID)
	}
}

// follow adds up the minutes of a policy from its steps alone.
func follow(s Step) float64 {
	x := s.e.x
	k := s.at
	switch s.Now.Kind {
	case CheckStep:
		path := x.path[x.checkAt[s.Now.check]]
		t := x.openCost(path&^k.open) + x.Checks[s.Now.check].Minutes
		for _, yes := range []bool{false, true} {
			if n, ok := s.After(yes); ok {
				t += n.Chance / s.Chance * follow(n)
			}
		}
		return t
	case RepairStep:
		open, t := k.open, x.Retest
		for _, id := range s.Now.Repairs {
			r := slices.IndexFunc(x.Repairs, func(r Repair) bool { return r.ID == id })
			t += x.openCost(x.path[x.mendAt[r]]&^open) + x.Repairs[r].Minutes
			open |= x.path[x.mendAt[r]]
		}
		t += x.closeCost(open & x.shut)
		n, ok := s.After(true)
		wet := n.Chance / s.Chance
		t += (1 - wet) * x.closeCost(open&^x.shut)
		if ok {
			t += wet * follow(n)
		}
		return t
	}
	return x.LastResort
}

func BenchmarkExactOnTheHardestReference(b *testing.B) {
	var hard reference
	states := 0
	for _, r := range references(b) {
		e, err := Solve(r.model(), Limits{})
		require.NoError(b, err)
		if e.States() > states {
			hard, states = r, e.States()
		}
	}
	b.ResetTimer()
	for b.Loop() {
		if _, err := Solve(hard.model(), Limits{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(states), "states")
}
