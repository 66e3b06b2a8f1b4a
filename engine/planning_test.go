package engine_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

// harmless answers the questions of safety for a harmless place.
var harmless = []said{
	{fact: "fluid", text: "coolant"}, {fact: "work-on", text: "ordinary"}, {fact: "state-now", text: "safe-and-cold"},
	{fact: "can-isolate", text: "yes"}, {fact: "reaches", text: "nothing-that-matters"}, {fact: "below-waterline", text: "no"},
}

func refitted(t testing.TB, kind string, more ...said) *engine.Session {
	s := session(t, brain(t, kind), assembly.Single(kind), "")
	tell(t, s, harmless...)
	tell(t, s, said{fact: "last-work", text: "remade"}, said{fact: "first-wet", text: "at-once"}, said{fact: "wet-amount", text: "drip"})
	tell(t, s, more...)
	return s
}

func parts(r *engine.Result, part string) []plan.Step {
	var out []plan.Step
	for _, s := range r.Plan.Steps {
		if s.Part == part {
			out = append(out, s)
		}
	}
	return out
}

func TestQuestionsOfSafetyComeFirstAndInTheirOrder(t *testing.T) {
	s := session(t, brain(t, "hose-clamp"), assembly.Single("hose-clamp"), "")
	k := s.Knowledge()
	last := 0
	for _, a := range harmless {
		n := result(t, s).Next
		require.NotNil(t, n)
		f := k.Fact(n.Fact)
		require.NotNil(t, f)
		assert.True(t, f.Safety, n.Fact)
		assert.GreaterOrEqual(t, f.First, last, n.Fact)
		last = f.First
		for _, x := range harmless {
			if x.fact == n.Fact {
				a = x
			}
		}
		tell(t, s, a)
	}
	n := result(t, s).Next
	require.NotNil(t, n)
	assert.False(t, k.Fact(n.Fact) != nil && k.Fact(n.Fact).Safety, "%s is asked although safety is through", n.Fact)
	assert.Contains(t, []string{"last-work", "first-wet"}, n.Fact, "then what was done, and when it was wet first")
}

func TestAWaterlineIsAskedOfCoolantOnlyWhereItsPlaceDoesNotRuleItOut(t *testing.T) {
	asked := func(answers ...said) []string {
		s := session(t, brain(t, "hose-clamp"), assembly.Single("hose-clamp"), "")
		var list []string
		for range 12 {
			n := result(t, s).Next
			if n == nil || s.Knowledge().Fact(n.Fact) == nil || !s.Knowledge().Fact(n.Fact).Safety {
				return list
			}
			list = append(list, n.Fact)
			i := slices.IndexFunc(answers, func(a said) bool { return a.fact == n.Fact })
			require.GreaterOrEqual(t, i, 0, "%s is asked after %v", n.Fact, list)
			tell(t, s, answers[i])
		}
		return list
	}
	place := func(fluid, reaches string) []said {
		return []said{{fact: "fluid", text: fluid}, {fact: "work-on", text: "ordinary"}, {fact: "state-now", text: "safe-and-cold"}, {fact: "can-isolate", text: "yes"},
			{fact: "reaches", text: reaches}, {fact: "below-waterline", text: "yes"}, {fact: "water-rising", text: "no"}}
	}
	first := asked(place("coolant", "a-person")...)
	assert.Less(t, slices.Index(first, "reaches"), slices.Index(first, "below-waterline"), "the place is not told in full: it is asked, and last")
	assert.Contains(t, asked(place("coolant", "hull-or-pit")...), "below-waterline")
	assert.Contains(t, asked(place("coolant", "hull-or-pit")...), "water-rising")
	assert.Contains(t, asked(place("coolant", "cant-tell")...), "below-waterline", "who cannot tell where it goes is asked")
	well := asked(place("water", "nothing-that-matters")...)
	assert.Contains(t, well, "below-waterline")
	assert.Contains(t, well, "water-rising")
}

func TestAnErrandIsAtMostSixLooksOfOneState(t *testing.T) {
	for _, kind := range kb.Kinds() {
		r := result(t, refitted(t, kind))
		assert.LessOrEqual(t, len(r.Errand), 6, kind)
		for _, n := range r.Errand {
			assert.Equal(t, r.Errand[0].Stage, n.Stage, kind)
			assert.NotEqual(t, string(rules.Told), n.Stage, kind)
		}
	}
}

func TestAStageWithTwoCantTellsIsLeft(t *testing.T) {
	s := refitted(t, "radial-oring")
	person := plan.Person{CantTell: map[rules.Stage]int{}}
	for _, st := range rules.Stages() {
		if st != rules.Told {
			person.CantTell[st] = 2
		}
	}
	r, err := s.Result(person)
	require.NoError(t, err)
	assert.Empty(t, r.Errand)
	if r.Next != nil {
		assert.Equal(t, string(rules.Told), r.Next.Stage)
	}
}

func TestTheStripDownOfAPlugInPipeHoldsWhatItMust(t *testing.T) {
	s := refitted(t, "radial-oring", said{fact: "wet-spread", text: "one-sector"}, said{fact: "access-size", text: "half-a-day"})
	r := result(t, s)
	before := parts(r, "before")
	require.NotEmpty(t, before)
	assert.Contains(t, before[0].Action, "Photograph", "before anything is wiped")
	var states []string
	for _, b := range before {
		states = append(states, b.Action)
		assert.NotEmpty(t, b.Why)
	}
	all := strings.Join(states, "\n")
	for _, want := range []string{"nobody can start it", "cool", "pressure zero"} {
		assert.Contains(t, all, want, "each change of state is a line of its own")
	}
	together := ""
	for _, x := range parts(r, "reassemble") {
		together += x.Action + "\n"
	}
	assert.Contains(t, together, "Turn test")
	assert.Contains(t, together, "held mechanically")
	assert.NotEmpty(t, parts(r, "retest"))
	assert.NotEmpty(t, r.Plan.HaveReady)
	sums := strings.Join(r.Plan.Sums, "\n")
	assert.Contains(t, sums, "bench test", "with its sum")
	assert.GreaterOrEqual(t, r.Plan.Minutes, r.Plan.Lower)
	for _, x := range r.Plan.Steps {
		for _, c := range x.Cautions {
			assert.True(t, slices.ContainsFunc(r.Cautions, func(k engine.Caution) bool { return k.ID == c }), "caution %s has no words", c)
		}
	}
}

func TestWithoutPartsInHandItIsOpenedToMeasureOnly(t *testing.T) {
	s := refitted(t, "radial-oring", said{fact: "wet-spread", text: "one-sector"})
	r, err := s.Result(plan.Person{Ready: []string{"lamp"}})
	require.NoError(t, err)
	text := ""
	for _, x := range parts(r, "before") {
		text += x.Action + "\n"
	}
	assert.Contains(t, text, "open to measure only")
}

// Invented: a weep only in the cold, an old hose, a screw clamp.
func TestAColdWeepOfAnOldHoseComesToOneColdNip(t *testing.T) {
	s := session(t, brain(t, "hose-clamp"), assembly.Single("hose-clamp"), "")
	tell(t, s, harmless...)
	tell(t, s, said{fact: "last-work", text: "untouched"}, said{fact: "first-wet", text: "years"})
	tell(t, s, said{fact: "wet-when", text: "cold"}, said{fact: "clamp-type", text: "worm-drive"}, said{fact: "wet-amount", text: "weep"}, said{fact: "clamp-slack", text: "yes"})
	r := result(t, s)
	assert.Equal(t, "slack-after-set", r.Ranking[0].Cause)
	var cures []string
	for _, x := range append(parts(r, "try"), parts(r, "mend")...) {
		cures = append(cures, x.Action)
	}
	require.NotEmpty(t, cures)
	assert.Contains(t, cures[0], "Nip the clamp once, cold")
	assert.Contains(t, r.Plan.LookAgain, "two mornings")
}

func TestNothingWorthAskingIsAResultWithItsReason(t *testing.T) {
	s := refitted(t, "radial-oring")
	person := plan.Person{CantTell: map[rules.Stage]int{}}
	for _, st := range rules.Stages() {
		person.CantTell[st] = 2
	}
	r, err := s.Result(person)
	require.NoError(t, err)
	assert.Nil(t, r.Next)
	assert.NotEmpty(t, r.NothingMore)
}

func unitOfHoses(t testing.TB, n int) *engine.Session {
	asm := &assembly.Assembly{Title: "hoses"}
	for i := range n {
		asm.Joints = append(asm.Joints, assembly.Joint{ID: fmt.Sprintf("hose-%d", i), Kind: "hose-clamp", Title: fmt.Sprintf("hose %d", i)})
	}
	s := session(t, brain(t, "hose-clamp"), asm, "")
	tell(t, s, harmless...)
	return s
}

func TestAUnitOfWhichEveryJointIsDryHasNothingToRepair(t *testing.T) {
	s := unitOfHoses(t, 3)
	for i := range 3 {
		_, err := s.Answer(fmt.Sprintf("hose-%d", i), "joint-wet", fact.MakeYesNo(false))
		require.NoError(t, err)
	}
	r := result(t, s)
	assert.Nil(t, r.Next)
	assert.Contains(t, r.NothingMore, "no joint is at fault")
	assert.Contains(t, r.NothingMore, "say which joint is wet", "and what to do")
	assert.Empty(t, r.Errand)
	assert.Empty(t, r.Plan.Steps)
}

// However many joints there are, and however little each is suspected, the next question is one.
func TestAUnitOfManyJointsOfWhichNothingIsKnownHasANextQuestion(t *testing.T) {
	for _, n := range []int{20, 120} {
		r := result(t, unitOfHoses(t, n))
		require.NotNil(t, r.Next, "%d joints: %s", n, r.NothingMore)
	}
}
