package engine_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine"
	"seepwright/engine/network"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

func chanceOf(t *testing.T, r *engine.Result, cause string) float64 {
	t.Helper()
	for _, x := range r.Ranking {
		if x.Cause == cause {
			return x.Probability
		}
	}
	require.Fail(t, "no such cause", cause)
	return 0
}

func TestWorkThatLeftItWetLowersWhatItCuresAndNothingElse(t *testing.T) {
	s := refitted(t, "radial-oring")
	before := result(t, s)
	require.NoError(t, s.Try(network.Tried{Joint: "joint", Did: []string{"new-ring-greased"}, Wet: true}))
	after := result(t, s)
	for _, cause := range []string{"ring-nicked", "ring-rolled", "dry-assembly"} {
		assert.Less(t, chanceOf(t, after, cause), chanceOf(t, before, cause), cause)
	}
	for _, cause := range []string{"bore-pitted", "bore-oval", "pipe-strained", engine.UnknownCause} {
		assert.Greater(t, chanceOf(t, after, cause), chanceOf(t, before, cause), cause)
	}
	require.Len(t, after.Tried, 1)
	assert.Equal(t, engine.RetestWet, after.Tried[0].Retest)
	assert.Greater(t, after.Tried[0].Spoilt, 0.0, "closing it again may have made a leak")
	assert.Less(t, after.Tried[0].Spoilt, 0.2, "and is less likely than before the retest is explained by anything else")
	s.Untry()
	assert.Equal(t, before.Ranking, result(t, s).Ranking, "taken back it leaves no trace")
}

func TestARemedyThatFailedIsNotPlannedAgainWhereThereIsAnother(t *testing.T) {
	s := refitted(t, "radial-oring", said{fact: "seat-pits", text: "yes"})
	names := func(r *engine.Result) (out []string) {
		for _, p := range parts(r, "mend") {
			name, _, _ := strings.Cut(p.Action, ":")
			out = append(out, name)
		}
		return out
	}
	require.Contains(t, names(result(t, s)), "Polish the seat round")
	require.NoError(t, s.Try(network.Tried{Did: []string{"polish-seat"}, Wet: true}))
	now := names(result(t, s))
	assert.NotContains(t, now, "Polish the seat round")
	assert.Contains(t, now, "Sleeve the bore")
}

func TestADryRetestEndsTheMatterUnlessSomethingStopsIt(t *testing.T) {
	s := refitted(t, "radial-oring")
	require.NoError(t, s.Try(network.Tried{Did: []string{"new-ring-greased"}}))
	r := result(t, s)
	assert.True(t, r.Cured)
	assert.Nil(t, r.Next)
	assert.Empty(t, r.Plan.Steps)
	assert.Contains(t, r.NothingMore, "dry")
	assert.Contains(t, []string{"ring-nicked", "ring-rolled"}, r.Ranking[0].Cause, "what the work cured comes first")
	tell(t, s, said{fact: "fluid", text: "fuel"})
	r = result(t, s)
	assert.False(t, r.Cured)
	assert.Equal(t, "stop", r.Run.Verdict)
}

func TestOfSeveralJointsEachHasItsOwnRetests(t *testing.T) {
	asm := &assembly.Assembly{Joints: []assembly.Joint{{ID: "in", Kind: "radial-oring"}, {ID: "out", Kind: "radial-oring"}}}
	s := session(t, brain(t, "radial-oring"), asm, "")
	tell(t, s, said{joint: "in", fact: "joint-wet", text: "yes"}, said{joint: "out", fact: "joint-wet", text: "yes"})
	require.NoError(t, s.Try(network.Tried{Joint: "in", Did: []string{"new-ring-greased"}}))
	r := result(t, s)
	assert.False(t, r.Cured, "the other is wet")
	require.NoError(t, s.Try(network.Tried{Joint: "out", Did: []string{"new-ring-greased"}, Wet: true}))
	assert.False(t, result(t, s).Cured)
	require.NoError(t, s.Try(network.Tried{Joint: "out", Did: []string{"hone-and-thicker-ring"}}))
	assert.True(t, result(t, s).Cured)
}

func TestFailuresAreCountedUnlessThePersonSaysHowMany(t *testing.T) {
	s := refitted(t, "radial-oring")
	times := func() float64 {
		v, ok, clash := s.Memory().Value(s.Key("joint", "times-failed"))
		require.False(t, clash)
		if !ok {
			return 0
		}
		return v.Num.SI
	}
	wet := network.Tried{Did: []string{"new-ring-greased"}, Wet: true}
	require.NoError(t, s.Try(wet))
	require.NoError(t, s.Try(wet))
	assert.Equal(t, 2.0, times())
	s.Untry()
	assert.Equal(t, 1.0, times())
	_, err := s.Answer("joint", "times-failed", fact.MakeNumber(fact.Measure{SI: 4}))
	require.NoError(t, err)
	assert.Equal(t, 4.0, times())
	require.NoError(t, s.Try(wet))
	assert.Equal(t, 4.0, times(), "what was said stands")
}

func TestNamesThatNobodyKnowsAreRefused(t *testing.T) {
	s := refitted(t, "radial-oring")
	for wants, bad := range map[string]network.Tried{
		"no joint of this unit":   {Joint: "elbow", Did: []string{"new-ring-greased"}},
		"no remedy is named":      {},
		`did you mean "new-ring-`: {Did: []string{"new-ring-greasd"}},
	} {
		assert.ErrorContains(t, s.Try(bad), wants)
	}
	assert.Empty(t, s.Tried())
}

// On a joint by itself no shared cause is in play, yet its cure may be what was done.
func TestADryRetestAfterTheCureOfASharedCauseIsNoContradiction(t *testing.T) {
	s := session(t, brain(t, "face-gasket"), assembly.Single("face-gasket"), "")
	require.NoError(t, s.Try(network.Tried{Did: []string{"clear-the-vent"}}))
	r := result(t, s)
	assert.Empty(t, r.Impossible)
	assert.True(t, r.Cured)
}
