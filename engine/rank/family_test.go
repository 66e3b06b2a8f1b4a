package rank

import (
	"math/bits"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAFamilyHoldsEverySetUpToItsLimitAndAllItsSubsets(t *testing.T) {
	for n := range 7 {
		for most := range n + 2 {
			f := newFamily(n, most)
			want := 0
			for mask := range 1 << n {
				if most == 0 || bits.OnesCount(uint(mask)) <= most {
					want++
					at, ok := f.place[mask]
					assert.True(t, ok && f.masks[at] == mask, "%d of %d: %b", most, n, mask)
				}
			}
			assert.Len(t, f.masks, want, "%d of %d", most, n)
			assert.Equal(t, want, sizeOfFamily(n, most, 1000), "%d of %d", most, n)
			for k, pairs := range f.pairs {
				for _, p := range pairs {
					assert.Equal(t, f.masks[p[0]], f.masks[p[1]]|1<<k)
					assert.Zero(t, f.masks[p[1]]>>k&1, "what folding a thing reads it does not change")
				}
			}
		}
	}
	assert.Greater(t, sizeOfFamily(60, 0, 1000), 1000, "counting stops in time")
}

func TestTheWeightsOfAFamilyAddUpToTheChanceOfItsLimit(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	for range 200 {
		n := r.Intn(7)
		p := make([]float64, n)
		for i := range p {
			p[i] = r.Float64()
		}
		most := r.Intn(n + 2)
		sum := 0.0
		for _, w := range newFamily(n, most).weights(p) {
			sum += w
		}
		assert.InDelta(t, sum, atMost(most, p), 1e-12, "%d of %v", most, p)
	}
}

func TestTwoSharedCausesAtOnceIsNearTheModelWithoutALimit(t *testing.T) {
	a := Assembly{Known: Positive, WetMisread: 0.002}
	for k := range 8 {
		a.Shared = append(a.Shared, 0.01+0.005*float64(k))
	}
	for j := range 4 {
		b := Block{Weight: 0.3, Prior: []float64{0.1, 0.2, 0.05}, Elsewhere: 0.05, Wet: Positive}
		for k := range a.Shared {
			b.Shared = append(b.Shared, SharedAct{k, 0.2 + 0.05*float64((j+k)%6)})
		}
		a.Blocks = append(a.Blocks, b)
	}
	free, err := SolveAssembly(a)
	assert.NoError(t, err)
	a.AtOnce = 2
	two, err := SolveAssembly(a)
	assert.NoError(t, err)
	for k := range a.Shared {
		assert.InDelta(t, free.Shared[k], two.Shared[k], 0.02)
		assert.Less(t, two.Shared[k], free.Shared[k], "what is left out was a little in favour of them")
	}
	assert.InDeltaSlice(t, free.JointLeaks, two.JointLeaks, 0.01)
	for range 4 {
		a.Shared = append(a.Shared, 0.02)
		for j := range a.Blocks {
			a.Blocks[j].Shared = append(a.Blocks[j].Shared, SharedAct{len(a.Shared) - 1, 0.3})
		}
	}
	_, err = SolveAssembly(a)
	assert.NoError(t, err, "twelve, two at once")
	a.AtOnce = 0
	_, err = SolveAssembly(a)
	var input *InputError
	assert.ErrorAs(t, err, &input, "twelve on one joint without a limit are too many")
}
