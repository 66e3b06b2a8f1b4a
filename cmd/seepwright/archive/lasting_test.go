package archive

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func spells(failed, left []float64) []Spell {
	var out []Spell
	for _, d := range failed {
		out = append(out, Spell{d, true})
	}
	for _, d := range left {
		out = append(out, Spell{d, false})
	}
	return out
}

// "Statistics review 12: Survival analysis", Critical Care 8, 2004, table 2: eight patients.
func TestProductLimitOfThePublishedExampleOfEight(t *testing.T) {
	steps := ProductLimit(spells([]float64{1, 1, 4, 5, 9, 22}, []float64{6, 9}))
	require.Len(t, steps, 5)
	want := []Step{{1, 8, 2, 0.750, 0}, {4, 6, 1, 0.625, 0}, {5, 5, 1, 0.500, 0}, {9, 3, 1, 0.333, 0}, {22, 1, 1, 0, 0}}
	for i, w := range want {
		assert.Equal(t, [3]int{int(w.Days), w.AtRisk, w.Failed}, [3]int{int(steps[i].Days), steps[i].AtRisk, steps[i].Failed})
		assert.InDelta(t, w.Holds, steps[i].Holds, 0.0005)
	}
	m, ok := Median(steps)
	require.True(t, ok)
	assert.Equal(t, 5.0, m)
}

// The eight items of "Nonparametric Estimation from Incomplete Observations", 1958: 7/8, 7/10,
// 21/40, 21/80 (from memory).
func TestProductLimitOfTheEightItemsOfItsPaper(t *testing.T) {
	steps := ProductLimit(spells([]float64{0.8, 3.1, 5.4, 9.2}, []float64{1.0, 2.7, 7.0, 12.1}))
	require.Len(t, steps, 4)
	for i, want := range []float64{7. / 8, 7. / 10, 21. / 40, 21. / 80} {
		assert.InDelta(t, want, steps[i].Holds, 1e-12)
	}
}

// The 21 remission times that textbooks use, with errors and limits as they print them (from
// memory).
func TestErrorsAndLimitsOfTheTextbookExample(t *testing.T) {
	all := spells([]float64{6, 6, 6, 7, 10, 13, 16, 22, 23}, []float64{6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35})
	steps := ProductLimit(all)
	require.Len(t, steps, 7)
	for i, w := range []struct{ holds, err, low, high float64 }{
		{.8571, .0764, .6197, .9516}, {.8067, .0869, .5631, .9228}, {.7529, .0963, .5032, .8894}, {.6902, .1068, .4316, .8491},
		{.6275, .1141, .3675, .8049}, {.5378, .1282, .2678, .7468}, {.4482, .1346, .1881, .6801},
	} {
		low, high := steps[i].Limits()
		assert.InDelta(t, w.holds, steps[i].Holds, 0.00006)
		assert.InDelta(t, w.err, steps[i].Error, 0.00006)
		assert.InDelta(t, w.low, low, 0.00006)
		assert.InDelta(t, w.high, high, 0.00006)
	}
	m, ok := Median(steps)
	assert.True(t, ok)
	assert.Equal(t, 23.0, m)
	assert.Equal(t, 0.8571, float64(int(At(steps, 6.5).Holds*10000))/10000)
	assert.Equal(t, 1.0, At(steps, 5).Holds)
	assert.Equal(t, 15, watched(all, 9.5))
}

func TestThereIsNoMedianWhileMoreThanHalfHold(t *testing.T) {
	_, ok := Median(ProductLimit(spells([]float64{10}, []float64{20, 30, 40})))
	assert.False(t, ok)
	assert.Empty(t, ProductLimit(nil))
	assert.Empty(t, ProductLimit(spells(nil, []float64{3})))
	low, high := Step{Holds: 1}.Limits()
	assert.Equal(t, [2]float64{0, 1}, [2]float64{low, high})
}

func TestWithoutAnyLeftTheProductLimitIsTheShareThatIsLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		days := rapid.SliceOfN(rapid.Float64Range(0, 1000), 1, 40).Draw(t, "days")
		for _, s := range ProductLimit(spells(days, nil)) {
			left := 0
			for _, d := range days {
				if d > s.Days {
					left++
				}
			}
			assert.InDelta(t, float64(left)/float64(len(days)), s.Holds, 1e-9)
		}
	})
}
