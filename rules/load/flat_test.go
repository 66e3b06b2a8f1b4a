package load

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules"
)

func TestTheFlatFormGivesTheSameKnowledge(t *testing.T) {
	k, found := Read(folder("kind/bore-oval.yaml", cause, "kind/facts.yaml", "fact: wet-onset\nask: When?\nanswer: choice\noptions: [{id: at-once, base: 3 %}]\nwithin: {after-refit: [at-once], long-service: []}\nleast: 2 mm\n",
		"kind/r.yaml", "rule: r\nsays: x\nwhen: a is yes\nthen: [{conclude: b is no}, {compute: {by: c, from: {x: 3 mm}, into: {y: z}}}]\n"), Options{})
	require.Empty(t, found)
	data := pack(*k)
	assert.Equal(t, data, pack(*k), "equal knowledge gives equal bytes")
	again := &rules.Knowledge{}
	require.NoError(t, Decode(data, again))
	Settle(again)
	for _, c := range append(Conditions(k), Conditions(again)...) {
		c.Cond = nil // compared as text
	}
	assert.Equal(t, k.Causes, again.Causes)
	assert.Equal(t, k.Facts, again.Facts)
	assert.Equal(t, k.Rules, again.Rules)
}

func TestADamagedFlatFormIsRefused(t *testing.T) {
	k, _ := Read(folder("bore-oval.yaml", cause), Options{})
	data := pack(*k)
	assert.ErrorIs(t, Decode(nil, &rules.Knowledge{}), errFlat)
	assert.ErrorIs(t, Decode(data[:len(data)-1], &rules.Knowledge{}), errFlat)
	assert.ErrorIs(t, Decode(append([]byte{1}, data[1:]...), &rules.Knowledge{}), errFlat, "another version")
	for i := 8; i < len(data); i++ {
		bad := append([]byte(nil), data...)
		bad[i] ^= 0xff
		_ = Decode(bad, &rules.Knowledge{}) // whatever it gives, it does not panic
	}
}
