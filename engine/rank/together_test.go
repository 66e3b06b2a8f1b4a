package rank

import (
	"fmt"
	"math/rand"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func (m model) refs() []CauseRef {
	var refs []CauseRef
	for k := range m.a.Shared {
		refs = append(refs, CauseRef{SharedBlock, k})
	}
	for j, b := range m.a.Blocks {
		for i := 0; i <= len(b.Prior); i++ {
			refs = append(refs, CauseRef{j, i})
		}
	}
	return refs
}

// sets sums the probability of every set of causes, keyed by the positions in refs; one by one.
func (m model) sets() (z float64, weight map[int]float64) {
	refs := m.refs()
	weight = map[int]float64{}
	m.visit = func(p float64, shared int, at []situation) {
		key := 0
		for i, c := range refs {
			var on bool
			switch {
			case c.Block == SharedBlock:
				on = shared>>c.Cause&1 == 1
			case c.Cause == len(m.a.Blocks[c.Block].Prior):
				on = at[c.Block].elsewhere
			default:
				on = at[c.Block].causes>>c.Cause&1 == 1
			}
			if on {
				key |= 1 << i
			}
		}
		weight[key] += p
	}
	z, _, _ = m.brute(nil)
	return z, weight
}

func TestPairsAndMostProbableSetsAgreeWithEveryCombinationOneByOne(t *testing.T) {
	r := rand.New(rand.NewSource(12))
	for k := range 200 {
		m, s := solvable(t, r)
		refs := m.refs()
		z, weight := m.sets()
		what := fmt.Sprintf("assembly %d", k)
		for range 4 {
			if len(refs) < 2 {
				break
			}
			a := r.Intn(len(refs))
			b := (a + 1 + r.Intn(len(refs)-1)) % len(refs)
			var want [4]float64
			for key, w := range weight {
				want[key>>a&1|key>>b&1<<1] += w / z
			}
			got, err := s.Pair(refs[a], refs[b])
			require.NoError(t, err)
			assert.InDeltaSlice(t, want[:], []float64{got.Neither, got.OnlyA, got.OnlyB, got.Both}, 1e-10, what)
		}
		sets, err := s.MostProbableSets(4)
		require.NoError(t, err)
		var order []float64
		for _, w := range weight {
			order = append(order, w/z)
		}
		slices.Sort(order)
		slices.Reverse(order)
		for i, set := range sets {
			key := 0
			for _, c := range set.Causes {
				key |= 1 << slices.Index(refs, c)
			}
			assert.InDelta(t, weight[key]/z, set.P, 1e-10, what)
			assert.InDelta(t, order[i], set.P, 1e-10, what)
		}
		for _, w := range order[min(len(sets), len(order)):] {
			assert.True(t, len(sets) == 4 || w < 1e-10, what)
		}
		require.False(t, t.Failed())
	}
}

func TestPairsOfTheSameAndSetsOfNoneAreRefused(t *testing.T) {
	s, err := NewSolver(pumphouse(1, 3, 2), 0)
	require.NoError(t, err)
	_, err = s.Pair(CauseRef{0, 1}, CauseRef{0, 1})
	assert.ErrorContains(t, err, "two different causes")
	_, err = s.Pair(CauseRef{0, 1}, CauseRef{4, 1})
	assert.ErrorContains(t, err, "joint 4")
	_, err = s.MostProbableSets(0)
	assert.ErrorContains(t, err, "at least 1")
}
