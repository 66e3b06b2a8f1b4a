package rank

import (
	"math/rand"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// network draws a flat network with at most seven causes.
func drawNetwork(t *rapid.T) Network {
	p := rapid.Float64Range(0, 1)
	n := Network{Prior: rapid.SliceOfN(p, 1, 7).Draw(t, "priors")}
	for range rapid.IntRange(0, 9).Draw(t, "findings") {
		var rates []Rate
		for i := range n.Prior {
			if rapid.Bool().Draw(t, "linked") {
				rates = append(rates, Rate{i, p.Draw(t, "q")})
			}
		}
		n.Findings = append(n.Findings, YesNo("f", rapid.Bool().Draw(t, "positive"), rapid.Float64Range(0.001, 0.9).Draw(t, "leak"), rates))
	}
	return n
}

func solveDrawn(t *rapid.T, n Network) Posterior {
	post, err := Solve(n)
	if err != nil {
		t.Skip("evidence that cannot be")
	}
	return post
}

func near12(t *rapid.T, a, b []float64) {
	for i := range a {
		if d := a[i] - b[i]; d > 1e-12 || d < -1e-12 {
			t.Fatalf("cause %d: %v and %v", i, a[i], b[i])
		}
	}
}

func TestThePosteriorIsAProbability(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		post := solveDrawn(t, drawNetwork(t))
		for i, p := range post.P {
			if !isProbability(p) || !isProbability(post.GivenSomeCause[i]) || post.GivenSomeCause[i] < p-1e-12 {
				t.Fatalf("cause %d: %v, given some cause %v", i, p, post.GivenSomeCause[i])
			}
		}
		if !isProbability(post.NoCause) {
			t.Fatal(post.NoCause)
		}
	})
}

func TestAFindingThatNoCauseTouchesMovesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t)
		a := solveDrawn(t, n)
		n.Findings = append(n.Findings, YesNo("stranger", rapid.Bool().Draw(t, "seen"), 0.25, nil))
		near12(t, a.P, solveDrawn(t, n).P)
	})
}

func TestTheOrderOfAnswersMovesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t)
		a := solveDrawn(t, n)
		n.Findings = rapid.Permutation(n.Findings).Draw(t, "order")
		near12(t, a.P, solveDrawn(t, n).P)
	})
}

// A cause with prior p is two with priors a and b and the same links, where (1-a)(1-b) = 1-p and a present half stands for the
// whole: exact if a link is certain or absent, since then it does not matter whether one or both halves are present.
func TestSplittingACauseOfCertainLinksIntoHalvesLeavesTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(0, 1).Draw(t, "a"), rapid.Float64Range(0, 1).Draw(t, "b")
		n := drawNetwork(t)
		for i := range n.Findings {
			n.Findings[i].Links = slices.DeleteFunc(n.Findings[i].Links, func(l Link) bool { return l.Cause == 0 })
		}
		whole, halves := n, n
		whole.Prior = append([]float64(nil), n.Prior...)
		whole.Prior[0] = a + b*(1-a) // 1 - (1-a)(1-b) loses the digits of small chances
		halves.Prior = append(append([]float64(nil), n.Prior...), b)
		halves.Prior[0] = a
		whole.Findings, halves.Findings = nil, nil
		for _, f := range n.Findings {
			g := f
			g.Links, f.Links = slices.Clone(f.Links), slices.Clone(f.Links)
			if rapid.Bool().Draw(t, "certain") {
				l := YesNo("", f.State == Positive, 0, []Rate{{0, 1}}).Links[0]
				f.Links, g.Links = append(f.Links, l), append(g.Links, l)
				l.Cause = len(n.Prior)
				g.Links = append(g.Links, l)
			}
			whole.Findings, halves.Findings = append(whole.Findings, f), append(halves.Findings, g)
		}
		w, h := solveDrawn(t, whole), solveDrawn(t, halves)
		pair, err := h.Pair(0, len(n.Prior))
		if err != nil {
			t.Fatal(err)
		}
		near12(t, []float64{w.P[0]}, []float64{1 - pair.Neither})
		near12(t, w.P[1:], h.P[1:len(n.Prior)])
	})
}

func TestBoundsEncloseTheExactPosterior(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewSource(rapid.Int64().Draw(t, "seed")))
		n := denseNetwork(3+r.Intn(8), 4+r.Intn(5), r.Int63())
		exact := solveDrawn(t, n)
		c := compile(n.Prior, nil, n.Findings)
		bounded, err := solveBounded(c, 1+r.Intn(4))
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range exact.P {
			if !(bounded.Low[i] <= p && p <= bounded.High[i]) {
				t.Fatalf("cause %d: %v not in %v to %v", i, p, bounded.Low[i], bounded.High[i])
			}
		}
	})
}
