package load

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const sharedCause = `cause: vibration
title: It shakes
means: It shakes.
shared: yes
joints: [banjo, lip-seal]
acts: 35 %
acts at:
  - {joints: [banjo], acts: 45 %, because: "A thread turns back.", standing: estimate}
never at:
  - {joints: [casting], because: "Nothing turns there."}
family: vibration_or_no_support
share: {after-refit: 1 %}
signs: [{when: wet-spread is one-sector, shows: 50 %}]
remedies: [new-ring]
stop-gap: {allowed: no}
prevent: Hold it.
if ignored: It comes off.
`

func TestASharedCauseSaysWhereItActsMoreOrNotAtAll(t *testing.T) {
	k, found := Read(folder("vibration.yaml", sharedCause), Options{})
	require.Empty(t, found)
	c := k.Cause("shared/vibration")
	require.NotNil(t, c)
	assert.InDelta(t, 0.45, c.ActsOn("banjo"), 1e-12)
	assert.InDelta(t, 0.35, c.ActsOn("lip-seal"), 1e-12)
	assert.Zero(t, c.ActsOn("casting"))
	assert.Zero(t, c.ActsOn("core-plug"), "of which it says nothing")
	assert.Equal(t, "Nothing turns there.", c.Spares("casting"))
	assert.Empty(t, c.Spares("banjo"))
	assert.Equal(t, "estimate", string(c.ActsAt[0].Standing))
}

func TestASharedCauseThatContradictsItselfIsNamed(t *testing.T) {
	for name, x := range map[string]struct{ from, to, says string }{
		"a strength where it does not act": {"{joints: [banjo], acts", "{joints: [core-plug], acts", `"core-plug" stands under "acts at", but not under "joints"`},
		"two strengths for one kind":       {"{joints: [banjo], acts", "{joints: [banjo, banjo], acts", `"banjo" stands under "acts at", but not under "joints", or twice`},
		"it acts and does not act":         {"{joints: [casting], because", "{joints: [lip-seal], because", `"lip-seal" stands under "joints" and under "never at"`},
		"a reason is missing":              {`, because: "Nothing turns there."`, "", "because"},
		"a cause of one kind":              {"shared: yes\njoints: [banjo, lip-seal]\nacts: 35 %", "for: banjo", "only a shared cause has"},
	} {
		t.Run(name, func(t *testing.T) {
			text := strings.Replace(sharedCause, x.from, x.to, 1)
			require.NotEqual(t, sharedCause, text)
			_, found := Read(folder("vibration.yaml", text), Options{})
			require.NotEmpty(t, found)
			assert.Contains(t, found[0].String(), x.says)
		})
	}
}
