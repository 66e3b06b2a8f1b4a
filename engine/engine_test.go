package engine_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
)

// said is one answer as it is typed.
type said struct{ joint, fact, text string }

func brain(t testing.TB, kinds ...string) *engine.Brain {
	k, err := kb.Load(kinds...)
	require.NoError(t, err)
	return engine.NewBrain(k)
}

func session(t testing.TB, b *engine.Brain, asm *assembly.Assembly, h rules.History) *engine.Session {
	s, err := b.NewSession(asm, engine.Options{History: h})
	require.NoError(t, err)
	return s
}

func tell(t testing.TB, s *engine.Session, list ...said) {
	k := s.Knowledge()
	for _, a := range list {
		f := k.Fact(a.fact)
		require.NotNil(t, f, a.fact)
		v, err := answer.ReadText(f, a.text, answer.Instruments(k.Instruments))
		require.NoError(t, err, a.fact)
		joint := a.joint
		if joint == "" {
			joint = s.Assembly().Joints[0].ID
		}
		_, err = s.Answer(joint, a.fact, v)
		require.NoError(t, err)
	}
}

func result(t testing.TB, s *engine.Session) *engine.Result {
	r, err := s.Result(plan.Person{})
	require.NoError(t, err)
	return r
}

func chance(r *engine.Result, joint, cause string) float64 {
	for _, x := range r.Ranking {
		if x.Joint == joint && x.Cause == cause {
			return x.Probability
		}
	}
	return math.NaN()
}

func odds(p float64) float64 { return p / (1 - p) }

func asJSON(t testing.TB, r *engine.Result) string {
	data, err := json.Marshal(r)
	require.NoError(t, err)
	return string(data)
}

// When nothing but "it leaks" is known, causes stand in the ratio of their shares and add up
// to the expected number of faults (DESIGN: 1.5 after a refit, 1.3 back in weeks, 1.1 in long
// service).
func TestWithNothingKnownCausesStandInTheRatioOfTheirShares(t *testing.T) {
	for _, kind := range kb.Kinds() {
		k, err := kb.Load(kind)
		require.NoError(t, err)
		causes := k.CausesOf(kind)
		for h, faults := range map[rules.History]float64{rules.AfterRefit: 1.5, rules.BackInWeeks: 1.3, rules.LongService: 1.1} {
			r := result(t, session(t, engine.NewBrain(k), assembly.Single(kind), h))
			sum, base := 0.0, 0.0
			for _, x := range r.Ranking {
				sum += x.Probability
			}
			assert.InDelta(t, faults, sum, 1e-6, "%s %s", kind, h)
			for _, c := range causes {
				share, ok := c.Share[h]
				if !ok {
					share = (c.Share[rules.AfterRefit] + c.Share[rules.LongService]) / 2
				}
				if share == 0 {
					continue
				}
				ratio := chance(r, "joint", c.ID) / share
				if base == 0 {
					base = ratio
				}
				assert.InEpsilon(t, base, ratio, 1e-6, "%s %s %s", kind, h, c.ID)
			}
		}
	}
}

var refit = []said{
	{fact: "fluid", text: "coolant"}, {fact: "last-work", text: "remade"}, {fact: "first-wet", text: "first-heats"}, {fact: "wet-spread", text: "one-sector"},
	{fact: "wet-amount", text: "drip"}, {fact: "wet-when", text: "moved"}, {fact: "new-seal", text: "new"}, {fact: "last-lubricant", text: "dry"},
	{fact: "ring-section", text: "3.53 mm by micrometer"}, {fact: "groove-diameter", text: "32.40 mm by micrometer"},
}

func TestTheOrderOfAnswersDoesNotMatter(t *testing.T) {
	b := brain(t, "radial-oring")
	want := ""
	r := rand.New(rand.NewPCG(3, 4))
	for range 6 {
		s := session(t, b, assembly.Single("radial-oring"), "")
		for _, i := range r.Perm(len(refit)) {
			tell(t, s, refit[i])
		}
		got := asJSON(t, result(t, s))
		if want == "" {
			want = got
		}
		require.Equal(t, want, got)
	}
}

func TestAnAnswerTakenBackLeavesNoTrace(t *testing.T) {
	b := brain(t, "radial-oring")
	s := session(t, b, assembly.Single("radial-oring"), "")
	tell(t, s, refit[:5]...)
	want := asJSON(t, result(t, s))
	tell(t, s, refit[5:]...)
	require.NotEqual(t, want, asJSON(t, result(t, s)))
	for _, a := range refit[5:] {
		s.Withdraw("joint", a.fact)
	}
	require.Equal(t, want, asJSON(t, result(t, s)))
}

// The factor that is shown is the odds with all evidence over the odds with that answer, and
// all concluded from it, taken back.
func TestAFactorIsTheOddsWithAllOverTheOddsWithoutThatAnswer(t *testing.T) {
	b := brain(t, "radial-oring")
	all := session(t, b, assembly.Single("radial-oring"), "")
	tell(t, all, refit...)
	full := result(t, all)
	seen := 0
	for _, a := range refit {
		less := session(t, b, assembly.Single("radial-oring"), "")
		for _, o := range refit {
			if o.fact != a.fact {
				tell(t, less, o)
			}
		}
		without := result(t, less)
		for _, x := range full.Ranking {
			for _, why := range x.Because {
				if why.Finding == "joint/"+a.fact || why.Finding == a.fact {
					seen++
					want := odds(x.Probability) / odds(chance(without, x.Joint, x.Cause))
					assert.InEpsilon(t, want, why.Factor, 1e-6, "%s by %s", x.Cause, a.fact)
				}
			}
		}
	}
	assert.Greater(t, seen, 50)
}

func TestUpToFourteenPositiveAnswersAboutOneJointAreExact(t *testing.T) {
	b := brain(t, "radial-oring")
	s := session(t, b, assembly.Single("radial-oring"), "")
	tell(t, s, said{fact: "wet-spread", text: "one-sector"}, said{fact: "wet-amount", text: "drip"})
	for _, f := range []string{"ring-nick", "ring-shaved", "ring-rolled", "ring-twisted", "ring-flat", "ring-hard", "ring-cracked", "seat-pits", "groove-pits", "seat-axial-score", "seat-grit", "shiny-track"} {
		tell(t, s, said{fact: f, text: "yes"})
	}
	r := result(t, s)
	assert.True(t, r.Exact)
	for _, x := range r.Ranking {
		assert.False(t, math.IsNaN(x.Probability) || x.Probability < 0 || x.Probability > 1, x.Cause)
	}
}

func pipes(n int) *assembly.Assembly {
	a := &assembly.Assembly{Title: "invented"}
	for i := range n {
		a.Joints = append(a.Joints, assembly.Joint{ID: fmt.Sprintf("pipe-%d", i+1), Kind: "radial-oring", Title: fmt.Sprintf("pipe %d", i+1), Like: "pipes", LastWork: "remade"})
	}
	return a
}

func TestSeveralWetAtOnceIsEvidenceForASharedCause(t *testing.T) {
	b := brain(t, "radial-oring")
	shared := func(wet ...string) float64 {
		s := session(t, b, pipes(4), "")
		for i, w := range wet {
			tell(t, s, said{fmt.Sprintf("pipe-%d", i+1), "joint-wet", w})
		}
		best := 0.0
		for _, x := range result(t, s).Ranking {
			if x.Shared {
				best = math.Max(best, x.Probability)
			}
		}
		return best
	}
	all, one := shared("yes", "yes", "yes", "yes"), shared("yes", "no", "no", "no")
	assert.Greater(t, all, 3*one)
	assert.Greater(t, all, 0.2)
}

func TestAWetJointBelowAWetJointIsRatherWettedFromAbove(t *testing.T) {
	b := brain(t, "radial-oring")
	at := func(above []string) float64 {
		a := pipes(2)
		a.Joints[1].Above = above
		s := session(t, b, a, "")
		tell(t, s, said{"pipe-1", "leak-proven", "yes"}, said{"pipe-1", "joint-wet", "yes"}, said{"pipe-2", "joint-wet", "yes"})
		for _, j := range result(t, s).Joints {
			if j.Joint == "pipe-2" {
				return j.Probability
			}
		}
		return math.NaN()
	}
	assert.Less(t, at([]string{"pipe-1"}), 0.75*at(nil))
}

func TestWithoutAPermissionTheVerdictIsStopAndSaysWhatIsMissing(t *testing.T) {
	s := session(t, brain(t, "hose-clamp"), assembly.Single("hose-clamp"), "")
	tell(t, s, said{fact: "wet-amount", text: "weep"})
	r := result(t, s)
	assert.Equal(t, "stop", r.Run.Verdict)
	require.NotEmpty(t, r.Run.Because)
	assert.Contains(t, r.Run.Because[0], "until this is known")
	assert.Nil(t, r.Stop)
}

func TestWorkThatIsRefusedIsRankedButNotPlanned(t *testing.T) {
	s := session(t, brain(t, "hose-clamp"), assembly.Single("hose-clamp"), "")
	tell(t, s, said{fact: "fluid", text: "fuel"}, said{fact: "wet-amount", text: "weep"})
	r := result(t, s)
	require.NotNil(t, r.Stop)
	assert.True(t, r.Stop.Refuses)
	assert.NotEmpty(t, r.Stop.MakeSafe)
	assert.NotEmpty(t, r.Stop.ReferTo)
	assert.Equal(t, "stop", r.Run.Verdict)
	assert.Empty(t, r.Plan.Steps)
	assert.NotEmpty(t, r.Ranking)

	again := session(t, brain(t, "hose-clamp"), assembly.Single("hose-clamp"), "")
	tell(t, again, said{fact: "wet-amount", text: "weep"})
	assert.InDelta(t, chance(result(t, again), "joint", "slack-after-set"), chance(r, "joint", "slack-after-set"), 0.2, "the ranking is not touched by the stop itself")
}

// A bore of 38.10 to 38.28 mm over a groove of 32.40 mm and a 3.53 mm ring: least squeeze
// (3.53 - (38.28 - 32.40)/2) / 3.53 = 16.7 % by hand.
func TestReadingsBecomeAVerdictWithItsMargin(t *testing.T) {
	s := session(t, brain(t, "radial-oring"), assembly.Single("radial-oring"), "")
	tell(t, s, said{fact: "ring-section", text: "3.53 mm by micrometer"}, said{fact: "groove-diameter", text: "32.40 mm by micrometer"})
	k := s.Knowledge()
	v, found := answer.Read(k.Fact("bore-readings"), rules.AnswerText{List: []string{"38.10 mm", "38.28 mm"}, At: []string{"12:00", "3:00"}}, answer.Instruments(k.Instruments))
	require.Empty(t, found)
	_, err := s.Answer("joint", "bore-readings", v)
	require.NoError(t, err)
	r := result(t, s)
	ok := false
	for _, f := range r.Findings {
		if f.Fact == "least-squeeze" {
			ok = true
			assert.InDelta(t, 16.7, f.Value, 0.1)
			assert.Equal(t, "%", f.Unit)
			assert.Greater(t, f.Uncertainty, 0.0)
		}
	}
	assert.True(t, ok, "the least squeeze is computed")
	met := false
	for _, x := range r.Targets {
		if x.Fact == "least-squeeze" {
			met = met || x.Verdict == "met"
			assert.NotEqual(t, "missed", x.Verdict, x.ID)
			assert.NotEmpty(t, x.Source)
			assert.NotEmpty(t, x.Without)
		}
	}
	assert.True(t, met)
}

func TestAValueTooNearItsLimitIsNotProvenAndNamesWhatWouldSettleIt(t *testing.T) {
	s := session(t, brain(t, "radial-oring"), assembly.Single("radial-oring"), "")
	tell(t, s, said{fact: "ring-section", text: "3.53 mm by micrometer"}, said{fact: "groove-diameter", text: "32.40 mm by vernier"})
	k := s.Knowledge()
	v, found := answer.Read(k.Fact("bore-readings"), rules.AnswerText{List: []string{"38.72 mm by rule", "38.74 mm by rule"}, At: []string{"12:00", "3:00"}}, answer.Instruments(k.Instruments))
	require.Empty(t, found)
	_, err := s.Answer("joint", "bore-readings", v)
	require.NoError(t, err)
	seen := false
	for _, x := range result(t, s).Targets {
		if x.Fact == "least-squeeze" && x.Verdict == "not proven" {
			seen = true
			assert.NotEmpty(t, x.Settle)
		}
	}
	assert.True(t, seen, "a rule cannot tell 10 %% of squeeze")
}

func TestTwoAnswersThatClashAreShownAndNothingIsDropped(t *testing.T) {
	s := session(t, brain(t, "radial-oring"), assembly.Single("radial-oring"), "")
	tell(t, s, said{fact: "bore-out-of-round", text: "no"}, said{fact: "ring-section", text: "3.53 mm by micrometer"}, said{fact: "groove-diameter", text: "32.40 mm by micrometer"})
	k := s.Knowledge()
	v, _ := answer.Read(k.Fact("bore-readings"), rules.AnswerText{List: []string{"38.10 mm", "39.00 mm"}, At: []string{"12:00", "3:00"}}, answer.Instruments(k.Instruments))
	_, err := s.Answer("joint", "bore-readings", v)
	require.NoError(t, err)
	r := result(t, s)
	require.Len(t, r.Contra, 1)
	assert.Equal(t, "bore-out-of-round", r.Contra[0].Fact)
	assert.Len(t, r.Contra[0].Values, 2)
	assert.NotEmpty(t, r.Ranking)
}
