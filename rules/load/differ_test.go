package load

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules"
	"seepwright/rules/source"
)

func TestDifferencesAreWhatIsAddedGoneAndSaidOtherwise(t *testing.T) {
	read := func(text string) *rules.Knowledge {
		k, found := Read(fstest.MapFS{"a.yaml": {Data: []byte(text)}}, Options{})
		require.Empty(t, found)
		return k
	}
	first := read(`
caution: hot
title: Hot
hazard: It scalds.
warning: Wait.
---
caution: sharp
title: Sharp
hazard: It cuts.
warning: Gloves.
---
caution: heavy
title: Heavy
hazard: It falls.
warning: Two people.
---
fact: how-wet
ask: How wet?
answer: choice
options: [{id: drop, base: 30 %}, {id: dry, base: {long-service: 20 %}}]
`)
	second := read(`
# the same, further down and in another order
fact: how-wet
ask: How wet?
answer: choice
options: [{id: drop, base: 30 %}, {id: dry, base: {long-service: 25 %}}]
---
caution: heavy
title: Heavy
hazard: It falls.
warning: Two people.
---
caution: bright
title: Bright
hazard: The arc.
warning: Look away.
---
caution: hot
title: Hot
hazard: It scalds.
warning: Wait an hour.
`)
	assert.Equal(t, []Difference{
		{"fact", "how-wet", "changed", source.Place{File: "a.yaml", Line: 3, Col: 1}},
		{"caution", "bright", "added", source.Place{File: "a.yaml", Line: 13, Col: 1}},
		{"caution", "hot", "changed", source.Place{File: "a.yaml", Line: 18, Col: 1}},
		{"caution", "sharp", "gone", source.Place{File: "a.yaml", Line: 7, Col: 1}},
	}, Differences(first, second))
	assert.Empty(t, Differences(first, first))
}
