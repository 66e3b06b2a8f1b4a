package engine_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/engine/rank"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

func tellAmong(t *testing.T, a *engine.Among, list ...said) {
	t.Helper()
	k := a.Sessions()[0].Knowledge()
	for _, x := range list {
		f := k.Fact(x.fact)
		require.NotNil(t, f, x.fact)
		v, err := answer.ReadText(f, x.text, answer.Instruments(k.Instruments))
		require.NoError(t, err)
		require.NoError(t, a.Answer(x.fact, v))
	}
}

var pipeEnds = []string{"hose-clamp", "radial-oring", "taper-thread"}

func TestTheKindIsAsLikelyAsItsAnswersAre(t *testing.T) {
	b := brain(t, pipeEnds...)
	a, err := b.NewAmong(pipeEnds, engine.Options{})
	require.NoError(t, err)
	start := []said{{fact: "last-work", text: "remade"}}
	tellAmong(t, a, start...)
	odds, err := a.Odds()
	require.NoError(t, err)
	for _, o := range odds {
		assert.InDelta(t, 1.0/3, o.Probability, 1e-9, "what was done says nothing of the kind")
	}
	// Another way to the same: the chance of each answer, one after the other.
	more := []said{{fact: "wet-amount", text: "drip"}, {fact: "wet-spread", text: "all-round"}}
	want := map[string]float64{}
	sum := 0.0
	for _, kind := range pipeEnds {
		s := session(t, b, assembly.Single(kind), "")
		tell(t, s, start...)
		p := 1.0
		for _, x := range more {
			n, sv, err := s.Network()
			require.NoError(t, err)
			f := s.Knowledge().Fact(x.fact)
			v, err := answer.ReadText(f, x.text, nil)
			require.NoError(t, err)
			out, err := sv.LookAhead([][]rank.Change{{{Block: 0, Add: n.Findings(0, f, v)}}})
			require.NoError(t, err)
			p *= out[0].P
			tell(t, s, x)
		}
		want[kind] = p
		sum += p
	}
	tellAmong(t, a, more...)
	odds, err = a.Odds()
	require.NoError(t, err)
	for _, o := range odds {
		assert.InDelta(t, want[o.Kind]/sum, o.Probability, 1e-9, o.Kind)
		assert.NotEmpty(t, o.LooksLike)
	}
}

func TestCausesOfAllKindsAreRankedTogether(t *testing.T) {
	b := brain(t, pipeEnds...)
	a, err := b.NewAmong(pipeEnds, engine.Options{})
	require.NoError(t, err)
	tellAmong(t, a, harmless...)
	tellAmong(t, a, said{fact: "last-work", text: "remade"}, said{fact: "first-wet", text: "at-once"}, said{fact: "wet-amount", text: "drip"})
	r, err := a.Result(plan.Person{})
	require.NoError(t, err)
	of := map[string]float64{}
	for _, o := range r.Kinds {
		of[o.Kind] = o.Probability
	}
	for i, s := range a.Sessions() {
		own := result(t, s)
		n := 0
		for _, x := range r.Ranking {
			if x.Kind != pipeEnds[i] {
				continue
			}
			for _, y := range own.Ranking {
				if y.Cause == x.Cause {
					n++
					assert.InDelta(t, of[x.Kind]*y.Probability, x.Probability, 1e-12)
				}
			}
		}
		assert.Equal(t, len(own.Ranking), n)
	}
	for i := 1; i < len(r.Ranking); i++ {
		assert.GreaterOrEqual(t, r.Ranking[i-1].Probability, r.Ranking[i].Probability)
	}
	require.NotNil(t, r.Next)
	assert.Empty(t, r.Next.Check)
	f := a.Sessions()[0].Knowledge().Fact(r.Next.Fact)
	assert.Empty(t, f.For, "only what every kind knows is asked")
	assert.Empty(t, r.Plan.Steps)
}

func TestAnAnswerThatOnlyOneKindKnowsIsTakenThereAndDoesNotTellTheKind(t *testing.T) {
	b := brain(t, pipeEnds...)
	a, err := b.NewAmong(pipeEnds, engine.Options{})
	require.NoError(t, err)
	tellAmong(t, a, said{fact: "last-work", text: "remade"}, said{fact: "seat-pits", text: "yes"})
	odds, err := a.Odds()
	require.NoError(t, err)
	for _, o := range odds {
		assert.InDelta(t, 1.0/3, o.Probability, 1e-9)
	}
	assert.Error(t, a.Answer("no-such-fact", fact.MakeYesNo(true)))
	var sum float64
	for _, o := range odds {
		sum += o.Probability
	}
	assert.InDelta(t, 1, sum, 1e-12)
	assert.False(t, math.IsNaN(sum))
}
