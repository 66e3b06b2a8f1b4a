package engine_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine"
	"seepwright/engine/network"
	"seepwright/engine/plan"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/assembly"
)

// highPressure is a joint of a hydraulic circuit above 7 bar, cold and safe.
func highPressure(t *testing.T, kind string, more ...said) *engine.Session {
	t.Helper()
	s := session(t, brain(t, kind), assembly.Single(kind), "")
	tell(t, s, said{fact: "fluid", text: "hydraulic-oil"}, said{fact: "work-on", text: "ordinary"}, said{fact: "state-now", text: "safe-and-cold"},
		said{fact: "can-isolate", text: "yes"}, said{fact: "reaches", text: "nothing-that-matters"}, said{fact: "hydraulic-pressure", text: "high"},
		said{fact: "last-work", text: "remade"}, said{fact: "first-wet", text: "days-to-months"}, said{fact: "wet-amount", text: "drip"})
	tell(t, s, more...)
	return s
}

func stages(list []plan.Next) (out []string) {
	for _, n := range list {
		out = append(out, n.Stage)
	}
	return out
}

func TestAboveSevenBarTheActsAreRefusedAndTheRestGoesOn(t *testing.T) {
	for _, kind := range []string{"reciprocating-seal", "radial-oring", "face-gasket"} {
		t.Run(kind, func(t *testing.T) {
			s := highPressure(t, kind)
			k := s.Knowledge()
			r := result(t, s)
			require.NotNil(t, r.Stop)
			assert.False(t, r.Stop.Refuses)
			for _, a := range rules.Acts() {
				assert.Contains(t, r.Stop.Acts, a.Words())
			}
			require.NotEmpty(t, r.Plan.Steps, "looks at rest and work on the stripped part are planned")
			for _, n := range append(slices.Clone(r.Errand), deref(r.Next)...) {
				c := k.Check(n.Check)
				if rules.Stage(n.Stage).Loaded() {
					require.NotNil(t, c, "%s is asked while it runs or holds pressure", n.Fact)
					assert.True(t, c.Clear, n.Check)
				}
				if c != nil {
					assert.Empty(t, c.Act, n.Check)
				}
			}
			assert.Empty(t, parts(r, "bench"), "no pressure test of one's own")
			assert.Empty(t, parts(r, "try"))
			for _, part := range []string{"before", "strip", "decide", "mend", "reassemble", "refit"} {
				for _, step := range parts(r, part) {
					assert.False(t, rules.Stage(step.Stage).Loaded(), "%s: %s", part, step.Action)
				}
			}
			proof := parts(r, "retest")
			require.NotEmpty(t, proof)
			assert.Contains(t, proof[len(proof)-1].Action, "own controls, nobody near")
			for _, c := range r.Cautions {
				assert.NotEmpty(t, c.Warning)
			}
		})
	}
}

func deref(n *plan.Next) []plan.Next {
	if n == nil {
		return nil
	}
	return []plan.Next{*n}
}

func TestHosesAndPipesAboveSevenBarAreLeftToOthersAltogether(t *testing.T) {
	k, err := kb.Overview()
	require.NoError(t, err)
	var kinds []string
	for _, j := range k.Joints {
		if j.Act == rules.MendPipework {
			kinds = append(kinds, j.ID)
		}
	}
	require.Subset(t, kinds, []string{"hose-clamp", "flare-cone", "compression-fitting", "taper-thread", "banjo", "washer-joint", "port-oring", "brazed-joint"})
	for _, kind := range kinds {
		r := result(t, highPressure(t, kind))
		require.NotNil(t, r.Stop, kind)
		assert.True(t, r.Stop.Refuses, kind)
		assert.Empty(t, r.Plan.Steps, kind)
		assert.Empty(t, r.Errand, kind)
		assert.NotEmpty(t, r.Stop.MakeSafe, kind)
		assert.NotEmpty(t, r.Ranking, "what was said still ranks the causes")
	}
}

func TestAPressureThatNobodyKnowsCountsAsHigh(t *testing.T) {
	r := result(t, highPressure(t, "reciprocating-seal", said{fact: "hydraulic-pressure", text: "not-known"}))
	require.NotNil(t, r.Stop)
	assert.NotEmpty(t, r.Stop.Acts)
	low := result(t, highPressure(t, "radial-oring", said{fact: "hydraulic-pressure", text: "low"}))
	assert.Nil(t, low.Stop)
	assert.NotEmpty(t, parts(low, "retest"))
	assert.NotContains(t, parts(low, "retest")[len(parts(low, "retest"))-1].Action, "own controls, nobody near")
}

func TestOfAUnitWithAHoseAndARamOnlyTheRamIsPlanned(t *testing.T) {
	asm := &assembly.Assembly{Joints: []assembly.Joint{{ID: "line", Kind: "hose-clamp"}, {ID: "ram", Kind: "reciprocating-seal"}}}
	s := session(t, brain(t, "hose-clamp", "reciprocating-seal"), asm, "")
	tell(t, s, said{fact: "fluid", text: "hydraulic-oil"}, said{fact: "work-on", text: "ordinary"}, said{fact: "state-now", text: "safe-and-cold"}, said{fact: "can-isolate", text: "yes"},
		said{fact: "reaches", text: "nothing-that-matters"}, said{fact: "hydraulic-pressure", text: "high"},
		said{joint: "line", fact: "joint-wet", text: "yes"}, said{joint: "ram", fact: "joint-wet", text: "yes"}, said{joint: "ram", fact: "last-work", text: "remade"})
	r := result(t, s)
	require.NotNil(t, r.Stop)
	assert.False(t, r.Stop.Refuses)
	for _, step := range parts(r, "mend") {
		assert.NotEqual(t, "line", step.Joint, step.Action)
	}
	assert.NotContains(t, stages(r.Errand), string(rules.Static))
}

func TestAFirstQuestionOfOneKindIsAskedOfItsJointWhereverItStands(t *testing.T) {
	asm := &assembly.Assembly{Joints: []assembly.Joint{{ID: "line", Kind: "hose-clamp"}, {ID: "ram", Kind: "reciprocating-seal"}}}
	s := session(t, brain(t, "hose-clamp", "reciprocating-seal"), asm, "")
	tell(t, s, said{fact: "fluid", text: "hydraulic-oil"}, said{fact: "work-on", text: "ordinary"}, said{fact: "state-now", text: "safe-and-cold"}, said{fact: "can-isolate", text: "yes"},
		said{fact: "reaches", text: "nothing-that-matters"}, said{fact: "hydraulic-pressure", text: "high"}, said{joint: "ram", fact: "joint-wet", text: "yes"})
	n := result(t, s).Next
	require.NotNil(t, n)
	assert.Equal(t, "ram-load-down", n.Fact)
	assert.Equal(t, "ram", n.Joint)
}

func TestADryRetestOfARamEndsItThoughItsActsStayRefused(t *testing.T) {
	s := highPressure(t, "reciprocating-seal", said{fact: "ram-load-down", text: "yes"})
	list, err := s.Remedies("joint")
	require.NoError(t, err)
	require.NoError(t, s.Try(network.Tried{Did: []string{list[0].ID}}))
	r := result(t, s)
	require.NotNil(t, r.Stop)
	assert.True(t, r.Stop.GoesOn)
	assert.True(t, r.Cured)
	assert.Equal(t, "stop", r.Run.Verdict, "the jet is as dangerous as before")
}
