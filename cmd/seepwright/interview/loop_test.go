package interview

import (
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

func newLoop(t *testing.T, a *assembly.Assembly, lines ...string) (*Loop, *Script) {
	t.Helper()
	s, err := engine.NewSession(knowledge(t), a, engine.Options{})
	require.NoError(t, err)
	script := NewScript(lines...)
	return &Loop{Talk: &Talk{script, 80}, Session: s, Person: func() plan.Person { return plan.Person{} },
		Keep: func() error { return nil }, SoFar: func(*engine.Result) string { return "so far" }, left: map[fact.Key]bool{}}, script
}

func value(t *testing.T, l *Loop, joint, id string) string {
	t.Helper()
	v, ok, clash := l.Session.Memory().Value(l.Session.Key(joint, id))
	switch {
	case clash:
		return "clash"
	case !ok:
		return ""
	}
	return v.String()
}

func TestBackTakesTheLastAnswerBackAndAsksItAgain(t *testing.T) {
	l, s := newLoop(t, assembly.Single("hose-clamp"), "fluid: 1", "work-on: b", "fluid: 2", "work-on: 1", "state-now: ^C")
	_, err := l.Run()
	require.ErrorIs(t, err, ErrQuit, s.Said.String())
	assert.Equal(t, "coolant", value(t, l, "joint", "fluid"))
	assert.Contains(t, s.Said.String(), "It was: water")
	assert.NoError(t, s.Left())
}

func TestARefusedKindOfWorkEndsTheInterviewAtOnce(t *testing.T) {
	l, s := newLoop(t, assembly.Single("hose-clamp"), "fluid: fuel", "stop:")
	r, err := l.Run()
	require.NoError(t, err, s.Said.String())
	require.NotNil(t, r.Stop)
	assert.True(t, r.Stop.Refuses)
	assert.Empty(t, r.Plan.Steps)
	assert.Contains(t, s.Said.String(), "STOP.")
	assert.NoError(t, s.Left())
}

func TestASlipOfTheFingerAtAStopCanBeTakenBack(t *testing.T) {
	l, s := newLoop(t, assembly.Single("hose-clamp"), "fluid: fuel", "stop: b", "fluid: 1", "work-on: ^D")
	_, err := l.Run()
	require.ErrorIs(t, err, io.EOF, s.Said.String())
	assert.Equal(t, "water", value(t, l, "joint", "fluid"))
}

func TestAClashShowsBothReasonsAndAsksWhichHolds(t *testing.T) {
	for _, c := range []struct {
		name  string
		lines []string
		want  string
	}{
		{"what was worked out holds", []string{"clash: 2"}, "yes"},
		{"what was said holds, and the measurement is given anew", []string{"clash: 1", "clash/which: 1", "joint/ear-gap: 1 mm"}, "no"},
		{"nobody can tell", []string{"clash: ?"}, "clash"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, s := newLoop(t, assembly.Single("hose-clamp"), append([]string{"joint/ear-gap: 3 mm", "joint/ear-open: n"}, c.lines...)...)
			for _, id := range []string{"ear-gap", "ear-open"} {
				_, err := l.ask(item{joint: "joint", fact: id, again: true})
				require.NoError(t, err, s.Said.String())
			}
			for len(l.queue) > 0 {
				it := l.queue[0]
				l.queue = l.queue[1:]
				_, err := l.ask(it)
				require.NoError(t, err, s.Said.String())
			}
			assert.Contains(t, s.Said.String(), "you said so")
			assert.Contains(t, s.Said.String(), "worked out: ")
			assert.Equal(t, c.want, value(t, l, "joint", "ear-open"))
			assert.NoError(t, s.Left())
		})
	}
}

// pipes are three like pipes, one of them wet.
func pipes() *assembly.Assembly {
	a := &assembly.Assembly{Title: "cooler"}
	for _, id := range []string{"left", "middle", "right"} {
		a.Joints = append(a.Joints, assembly.Joint{ID: id, Kind: "radial-oring", Title: id + " pipe", Like: "pipes"})
	}
	return a
}

func TestOneAnswerIsAskedForTheOtherJointsToo(t *testing.T) {
	for _, c := range []struct{ name, fact, at, same, left, right string }{
		{"at all twins", "last-lubricant", "1", "y", "dry", "dry"},
		{"at none of them", "last-lubricant", "1", "n", "", ""},
		{"except one", "last-lubricant", "1", "except 2", "dry", ""},
		{"what was done last, everywhere", "last-work", "1", "y", "remade", "remade"},
		{"what was done last, except the first of the others", "last-work", "1", "1", "", "remade"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, s := newLoop(t, pipes(), "middle/"+c.fact+": "+c.at, c.fact+"/same: "+c.same)
			_, err := l.ask(item{joint: "middle", fact: c.fact})
			require.NoError(t, err, s.Said.String())
			assert.Equal(t, c.left, value(t, l, "left", c.fact))
			assert.Equal(t, c.right, value(t, l, "right", c.fact))
			require.NoError(t, l.undo())
			assert.Empty(t, value(t, l, "middle", c.fact)+value(t, l, "left", c.fact)+value(t, l, "right", c.fact), "back takes all of it back")
		})
	}
}

func TestALookThatIsPutOffIsOpenAgainAtTheEnd(t *testing.T) {
	l, s := newLoop(t, pipes())
	k := fact.Key{Joint: "left", Fact: "stick-out-difference"}
	l.putOff(k, l.kb().Fact("wet-spread"))
	_, known, _ := l.Session.Memory().Value(k)
	require.True(t, known)
	_, err := l.last()
	require.NoError(t, err, s.Said.String())
	_, known, _ = l.Session.Memory().Value(k)
	assert.False(t, known)
}

func TestTheLocatingStepsLeadToAJoint(t *testing.T) {
	l, s := newLoop(t, pipes(), "locate: 1", "highest-wet: 2", "powder-proof: y")
	_, err := l.locate(FindJoint())
	require.NoError(t, err, s.Said.String())
	assert.Equal(t, "yes", value(t, l, "middle", "joint-wet"))
	assert.Equal(t, "yes", value(t, l, "middle", "leak-proven"))
	said := s.Said.String()
	for _, id := range FindJoint().Checks {
		assert.Contains(t, said, l.kb().Check(id).Title)
	}
}

func TestAFallingLevelIsWatchedAndSaysWhatIsNotKnownHere(t *testing.T) {
	l, s := newLoop(t, pipes(), "locate: 1")
	_, err := l.locate(WatchLevels())
	require.NoError(t, err, s.Said.String())
	assert.Contains(t, strings.Join(strings.Fields(s.Said.String()), " "), "not in this knowledge base yet")
	var asks []string
	for _, i := range l.queue {
		asks = append(asks, i.fact)
	}
	assert.Contains(t, asks, "level-falls")
	assert.Contains(t, asks, "other-level-rises")
}
