package rank

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// referenceNet is the file format of testdata/reference/inference.
type referenceNet struct {
	ID     string
	Causes []struct {
		ID    string
		Prior float64
	}
	Findings []struct {
		ID    string
		Leak  float64
		State string
		Links map[string]float64
	}
	Answers struct {
		LogEvidence    float64            `json:"log_evidence"`
		Posterior      map[string]float64 `json:"posterior"`
		NoCause        float64            `json:"no_cause"`
		GivenSomeCause map[string]float64 `json:"posterior_given_some_cause"`
		Expected       *float64           `json:"expected_number_of_causes"`
		Pair           *struct {
			A, B    string
			Both    float64
			OnlyA   float64 `json:"only_a"`
			OnlyB   float64 `json:"only_b"`
			Neither float64
		}
		Set     *[]string `json:"most_probable_set"`
		SetProb float64   `json:"most_probable_set_posterior"`
	}
}

func (r referenceNet) network() (Network, map[string]int) {
	index := map[string]int{}
	n := Network{}
	for i, c := range r.Causes {
		index[c.ID] = i
		n.Prior = append(n.Prior, c.Prior)
	}
	for _, f := range r.Findings {
		var rates []Rate
		for _, c := range r.Causes { // in order of the causes: no map order
			if q, ok := f.Links[c.ID]; ok {
				rates = append(rates, Rate{index[c.ID], q})
			}
		}
		g := YesNo(f.ID, f.State == "positive", f.Leak, rates)
		if f.State == "unknown" {
			g.State = Unknown
		}
		n.Findings = append(n.Findings, g)
	}
	return n, index
}

func referenceFiles(t testing.TB) []string {
	dirs := []string{"../../testdata/reference/inference"}
	if more := os.Getenv("SEEPWRIGHT_REFERENCE"); more != "" {
		dirs = append(dirs, filepath.Join(more, "inference"))
	}
	var files []string
	for _, dir := range dirs {
		for _, pattern := range []string{"*.json", "scale/*.json"} {
			found, err := filepath.Glob(filepath.Join(dir, pattern))
			require.NoError(t, err)
			files = append(files, found...)
		}
	}
	require.GreaterOrEqual(t, len(files), 34, "the reference networks are missing")
	return files
}

func readReference(t testing.TB, file string) referenceNet {
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	var r referenceNet
	require.NoError(t, json.Unmarshal(data, &r))
	return r
}

// near asks for an absolute error of at most 1e-12 and, for values above 1e-14, a relative one of at most 1e-10.
func near(t testing.TB, want, got float64, what string) {
	t.Helper()
	assert.InDelta(t, want, got, 1e-12, what)
	if math.Abs(want) > 1e-14 {
		assert.InEpsilon(t, want, got, 1e-10, what)
	}
}

func TestEveryReferenceNetworkIsSolvedExactly(t *testing.T) {
	for _, file := range referenceFiles(t) {
		t.Run(filepath.Base(file), func(t *testing.T) {
			r := readReference(t, file)
			n, index := r.network()
			post, err := Solve(n)
			require.NoError(t, err)
			require.True(t, post.Exact)
			a := r.Answers
			near(t, a.LogEvidence, post.LogEvidence, "log evidence")
			near(t, a.NoCause, post.NoCause, "no cause")
			require.Len(t, a.Posterior, len(post.P))
			for id, p := range a.Posterior {
				near(t, p, post.P[index[id]], id)
			}
			for id, p := range a.GivenSomeCause {
				near(t, p, post.GivenSomeCause[index[id]], id+" given some cause")
			}
			if a.Expected != nil {
				near(t, *a.Expected, post.ExpectedCauses, "expected causes")
			}
			if a.Pair != nil {
				pair, err := post.Pair(index[a.Pair.A], index[a.Pair.B])
				require.NoError(t, err)
				near(t, a.Pair.Both, pair.Both, "both")
				near(t, a.Pair.OnlyA, pair.OnlyA, "only a")
				near(t, a.Pair.OnlyB, pair.OnlyB, "only b")
				near(t, a.Pair.Neither, pair.Neither, "neither")
			}
			if a.Set != nil {
				set, prob, err := post.MostProbableSet()
				require.NoError(t, err)
				ids := []string{}
				for _, i := range set {
					ids = append(ids, r.Causes[i].ID)
				}
				assert.ElementsMatch(t, *a.Set, ids)
				near(t, a.SetProb, prob, "most probable set")
			}
		})
	}
}
