package rank

import (
	"fmt"
	"math"
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
	_, err = s.RankingWithout(nil, []CauseRef{{0, 9}})
	assert.ErrorContains(t, err, "cause 9")
}

func TestTheRankingWithoutAnAnswerIsThatOfANewSolve(t *testing.T) {
	r := rand.New(rand.NewSource(13))
	for range 100 {
		m, s := solvable(t, r)
		for j, b := range m.a.Blocks {
			for i := range b.Findings {
				got, err := s.RankingWithout([][]FindingRef{{{j, i}}}, m.refs())
				require.NoError(t, err)
				a := m.a
				a.Blocks = slices.Clone(a.Blocks)
				a.Blocks[j].Findings = slices.Delete(slices.Clone(b.Findings), i, i+1)
				want, err := SolveAssembly(a)
				require.NoError(t, err)
				last := math.Inf(1)
				for _, c := range got[0] {
					assert.InDelta(t, want.Of(c.CauseRef), c.P, 1e-11)
					assert.LessOrEqual(t, c.P, last)
					last = c.P
				}
			}
		}
	}
}

// Every single answer and every pair is solved as an assembly of its own and the best taken.
func TestTopplingsAreTheSmallestSetsThatASearchOfAllFinds(t *testing.T) {
	r := rand.New(rand.NewSource(14))
	var sizes [3]int
	for k := range 150 {
		m, s := solvable(t, r)
		refs := m.refs()
		if len(refs) < 2 {
			continue
		}
		var questions []Question
		for range 3 {
			j := r.Intn(len(m.a.Blocks))
			var rates []Rate
			for v := range len(m.a.Blocks[j].Prior) + 1 + len(m.a.Blocks[j].Shared) {
				rates = append(rates, Rate{v, 0.4 * r.Float64()})
			}
			leak := 0.05 + 0.1*r.Float64()
			questions = append(questions, Question{Answers: [][]Change{
				{{Block: j, Add: []Finding{YesNo("q", true, leak, rates)}}}, {{Block: j, Add: []Finding{YesNo("q", false, leak, rates)}}},
			}})
		}
		got, err := s.Topplings(refs, questions, math.MaxInt)
		require.NoError(t, err)
		require.Len(t, got, len(refs)-1)
		first := s.Posterior().Ranking(refs)[0].CauseRef
		solve := func(answers ...AnswerRef) (p float64, post AssemblyPosterior) {
			a := m.a
			a.Blocks = slices.Clone(a.Blocks)
			for _, x := range answers {
				ch := questions[x.Question].Answers[x.Answer][0]
				a.Blocks[ch.Block].Findings = append(slices.Clone(a.Blocks[ch.Block].Findings), ch.Add...)
			}
			post, err := SolveAssembly(a)
			require.NoError(t, err)
			return math.Exp(post.LogEvidence - s.Posterior().LogEvidence), post
		}
		for _, g := range got {
			require.True(t, g.Complete)
			size, best := 0, 0.0
			note := func(answers ...AnswerRef) {
				if size != 0 && size < len(answers) {
					return
				}
				if p, post := solve(answers...); post.Of(g.Rival) > post.Of(first)+1e-12 {
					size, best = len(answers), math.Max(best, p)
				}
			}
			for x := range 6 {
				note(AnswerRef{x / 2, x % 2})
			}
			for x := range 6 {
				for y := range x {
					if x/2 != y/2 {
						note(AnswerRef{y / 2, y % 2}, AnswerRef{x / 2, x % 2})
					}
				}
			}
			if g.Answers != nil && g.Rivals-g.Firsts < 1e-11 {
				continue // a tie up to rounding
			}
			require.Len(t, g.Answers, size, "model %d", k)
			sizes[size]++
			if size > 0 {
				assert.InDelta(t, best, g.P, 1e-11, "model %d", k)
				_, post := solve(g.Answers...)
				assert.InDelta(t, post.Of(g.Rival), g.Rivals, 1e-11)
				assert.InDelta(t, post.Of(first), g.Firsts, 1e-11)
			}
		}
	}
	t.Log(sizes)
	for _, n := range sizes {
		assert.Greater(t, n, 10, "each case must come up")
	}
}

func TestTopplingsWithFewPairsSayThatTheyAreNotComplete(t *testing.T) {
	s, err := NewSolver(pumphouse(1, 4, 2), 0)
	require.NoError(t, err)
	var questions []Question
	for range 3 {
		weak := []Rate{{0, 1e-6}}
		questions = append(questions, Question{Answers: [][]Change{
			{{Add: []Finding{YesNo("q", true, 0.5, weak)}}}, {{Add: []Finding{YesNo("q", false, 0.5, weak)}}},
		}})
	}
	got, err := s.Topplings([]CauseRef{{0, 0}, {0, 1}}, questions, 2)
	require.NoError(t, err)
	require.Len(t, got, 1)
	assert.Nil(t, got[0].Answers)
	assert.False(t, got[0].Complete)
}
