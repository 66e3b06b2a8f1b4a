package ruletest

import (
	"os"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/load"
)

func TestComparingTellsACaseWithoutWhatOneSideCannotKnow(t *testing.T) {
	old, found := load.Read(os.DirFS("../../testdata/kb-bad/sound"), load.Options{Prefix: "kb"})
	require.Empty(t, found)
	over := func(text string) load.Folder {
		return load.Folder{Name: "shop", FS: fstest.MapFS{"more.yaml": {Data: []byte(text)}}}
	}
	shop, found := load.Overlay(old, []load.Folder{over(`
fact: edge-broken
ask: Was the edge broken?
answer: yes-no
stage: told
---
case: sharp-edge
for: radial-oring
cause: ring-nicked
stage: before-opening
history: after-refit
given: {edge-broken: no, wet-when: hot}
---
amend: cause radial-oring/ring-nicked
more likely: [{when: edge-broken is no, times: 9}]
---
remove: case radial-oring/flat-at-the-cooler
`)}, nil)
	require.Empty(t, found)
	pairs := Compare(old, shop)
	require.Len(t, pairs, 3, "the cases of both, each once")
	by := map[string]Pair{}
	for _, p := range pairs {
		by[p.Case.ID] = p
		assert.True(t, p.Old.Ranked() && p.New.Ranked(), "%s: %v %v", p.Case.ID, p.Old.Fails, p.New.Fails)
	}
	assert.True(t, by["sharp-edge"].Added)
	assert.True(t, by["flat-at-the-cooler"].Gone)
	assert.Greater(t, by["sharp-edge"].New.P, by["sharp-edge"].Old.P+0.05, "the new fact speaks under the new knowledge only")
	assert.True(t, by["sharp-edge"].Differs(0.01))
	assert.False(t, by["flat-at-the-cooler"].Reordered())
	for _, p := range Compare(old, old) {
		assert.False(t, p.Differs(0), p.Case.ID)
	}
}
