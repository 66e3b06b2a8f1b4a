package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/report"
	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
)

// What stops comes before anything that the hands would do, at every kind of joint, and a refusal leaves no steps at all.
func TestAStopIsWrittenBeforeAnyStep(t *testing.T) {
	k, err := kb.Load()
	require.NoError(t, err)
	b := engine.NewBrain(k)
	for name, more := range map[string]map[string]string{
		"it grows while one watches": {"fluid": "coolant", "growing": "yes"},
		"a crack":                    {"fluid": "coolant", "crack-seen": "yes"},
		"fuel":                       {"fluid": "fuel"},
	} {
		t.Run(name, func(t *testing.T) {
			for _, kind := range kb.Kinds() {
				s, err := b.NewSession(assembly.Single(kind), engine.Options{})
				require.NoError(t, err)
				given := map[string]rules.AnswerText{"work-on": {Scalar: "ordinary"}, "state-now": {Is: []string{"safe-and-cold"}}, "can-isolate": {Scalar: "yes"},
					"reaches": {Is: []string{"nothing-that-matters"}}, "below-waterline": {Scalar: "no"}, "joint-wet": {Scalar: "yes"}, "last-work": {Scalar: "remade"}, "first-wet": {Scalar: "at-once"}}
				for f, v := range more {
					given[f] = rules.AnswerText{Scalar: v}
				}
				values, bad := answer.ReadGiven(k, given)
				require.Empty(t, bad)
				for f, v := range values {
					_, err := s.Answer("joint", f, v)
					require.NoError(t, err)
				}
				r, err := s.Result(plan.Person{})
				require.NoError(t, err)
				require.NotNil(t, r.Stop, kind)
				var page bytes.Buffer
				require.NoError(t, report.Text(&page, report.View(r, report.Options{}), 10000))
				text := page.String()
				stop := strings.Index(text, r.Stop.MakeSafe[0])
				require.GreaterOrEqual(t, stop, 0, "%s: how to make it safe is not written", kind)
				assert.Equal(t, r.Stop.Refuses, len(r.Plan.Steps) == 0, "%s: a refusal has no plan, a stop has one", kind)
				for _, step := range r.Plan.Steps {
					if at := strings.Index(text, step.Action); at >= 0 {
						assert.Less(t, stop, at, "%s: %q stands before the stop", kind, step.Action)
					}
				}
			}
		})
	}
}
