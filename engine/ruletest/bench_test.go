package ruletest

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/kb"
)

// What the mutations look at must be what a person is shown.
func TestTheRankingWithoutThePlannerIsThatOfTheResult(t *testing.T) {
	k, bad := kb.Read(nil)
	require.Zero(t, bad.Errors())
	b := engine.NewBrain(k)
	for i, c := range k.Cases {
		if i%7 != 0 && len(c.Joints) == 0 {
			continue
		}
		x, err := newBench(b, k, c)
		require.NoError(t, err, c.ID)
		r, err := x.s.Result(plan.Person{})
		require.NoError(t, err, c.ID)
		p := map[[2]string]float64{}
		for _, y := range x.places {
			p[[2]string{y.joint, y.cause}] = y.p
		}
		require.Len(t, x.places, len(r.Ranking), c.ID)
		for i, y := range r.Ranking {
			assert.InDelta(t, y.Probability, p[[2]string{y.Joint, y.Cause}], 1e-8, "%s: %s", c.ID, y.Cause)
			assert.InDelta(t, y.Probability, x.places[i].p, 1e-8, "%s: place %d", c.ID, i+1)
		}
	}
}
