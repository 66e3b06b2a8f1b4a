package kb_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/kb"
	"seepwright/rules"
)

// noRubber are the kinds that hold no rubber that a fluid, a grease or heat could spoil, and why.
var noRubber = map[string]string{
	"banjo":               "its washers are metal; a bonded washer under it is told under bonded-seal",
	"brazed-joint":        "metal on metal",
	"casting":             "metal; what filled its pores is no rubber",
	"compression-fitting": "metal on metal",
	"sealant-joint":       "its bead is chosen by the sheet of the sealant, not by the table of rubbers: attacked has its own context",
	"taper-thread":        "tape and paste, no rubber",
}

// listed is a rule of what touches what, that speaks of the causes of many kinds, and the kinds that it leaves out, with the reason.
type listed struct {
	rule string
	out  map[string]string
}

func withNoRubber(more map[string]string) map[string]string {
	for kind, why := range noRubber {
		more[kind] = why
	}
	return more
}

var lists = []listed{
	{"unsuited-rubber-leaks", withNoRubber(map[string]string{})},
	{"suited-rubber-holds", withNoRubber(map[string]string{})},
	{"doubtful-rubber-leaks-later", withNoRubber(map[string]string{})},
	{"overheated-rubber-hardens", withNoRubber(map[string]string{})},
	{"cool-rubber-ages-slowly", withNoRubber(map[string]string{})},
	{"wrong-grease-swells-the-seal", withNoRubber(map[string]string{"finned-exchanger": crimpedDry})},
	{"doubtful-grease-may-swell-it", withNoRubber(map[string]string{"finned-exchanger": crimpedDry})},
	{"harmless-grease-clears-the-rubber", withNoRubber(map[string]string{"finned-exchanger": crimpedDry})},
	{"washed-rubber-changes-size", withNoRubber(map[string]string{"finned-exchanger": crimpedDry})},
	{"strange-fluid-comes-from-elsewhere", map[string]string{
		"plate-exchanger": bothRunHere, "shell-and-tube": bothRunHere,
		"tube-bundle": "what is strange in a bundle has come through it; its own way out is the test gear",
	}},
	{"own-fluid-speaks-for-the-joint", map[string]string{
		"face-shaft-seal": besideIt, "finned-exchanger": besideIt, "plate-exchanger": besideIt, "rotating-oring": besideIt,
		"shell-and-tube": besideIt, "tie-rod-cap": besideIt, "tube-bundle": besideIt,
	}},
	{"settles-at-another-height", map[string]string{"tube-bundle": onTheBench}},
	{"settles-at-this-height", map[string]string{"tube-bundle": onTheBench}},
	{"ladder-wets-another", map[string]string{"tube-bundle": onTheBench}},
	{"water-from-outside-clears-the-joint", map[string]string{"tube-bundle": onTheBench}},
}

const (
	onTheBench  = "it is tested on the bench, with its own fluid and out of the weather"
	crimpedDry  = "the gasket under a crimped tank goes in dry at the works, and is neither greased nor washed"
	bothRunHere = "two fluids run in it: the other one is no stranger"
	besideIt    = "what is wet in its stead stands beside it and holds the same fluid, so that its own fluid says nothing"
)

// Every kind stands in every list of what touches what, or there is a reason why it does not.
func TestEveryKindStandsInTheListsOfWhatTouchesWhat(t *testing.T) {
	k, err := kb.Load()
	require.NoError(t, err)
	for _, l := range lists {
		r := k.Rule(l.rule)
		require.NotNil(t, r, l.rule)
		named := map[string]bool{}
		for _, a := range r.Then {
			for _, m := range []*rules.MoveCause{a.Raise, a.Lower} {
				if m != nil {
					kind, _, _ := strings.Cut(m.Cause, "/")
					named[kind] = true
				}
			}
		}
		for _, j := range k.Joints {
			why, left := l.out[j.ID]
			switch {
			case named[j.ID] && left:
				assert.Fail(t, "named and left out", "%s names a cause of %s, though: %s", l.rule, j.ID, why)
			case !named[j.ID] && !left:
				assert.Fail(t, "a kind is missing", "%s names no cause of %s: add one, or the reason why not", l.rule, j.ID)
			}
		}
		for kind := range l.out {
			assert.NotNil(t, k.Joint(kind), "no kind is called %s", kind)
		}
	}
}

// A list can only speak where the rubber can be told: every kind in the list of rubbers has a question for it.
func TestTheRubberOfEveryKindThatHasOneCanBeTold(t *testing.T) {
	k, err := kb.Load()
	require.NoError(t, err)
	asks := map[string]bool{}
	for _, r := range k.Rules {
		for _, a := range r.Then {
			if a.Conclude == nil || a.Conclude.Fact != "rubber-family" {
				continue
			}
			for _, id := range r.When.Cond.Facts() {
				for _, kind := range k.Fact(id).For {
					asks[kind] = true
				}
			}
		}
	}
	for _, j := range k.Joints {
		assert.Equal(t, noRubber[j.ID] == "", asks[j.ID], "rubber of %s", j.ID)
	}
}

// A session knows the kinds of its joints and what is shared, no other kind: what is shared may warn only with shared words.
func TestWhatIsSharedWarnsWithSharedWords(t *testing.T) {
	k, err := kb.Load()
	require.NoError(t, err)
	shared := func(place string) bool { return strings.Contains(place, "/shared/") }
	seen := 0
	check := func(by rules.Head, ids ...string) {
		if !shared(by.Place.File) {
			return
		}
		for _, id := range ids {
			if c := k.Caution(id); c != nil {
				seen++
				assert.True(t, shared(c.Place.File), "%s names the caution %s, which is of one kind only", by.ID, id)
			}
		}
	}
	for _, r := range k.Rules {
		for _, a := range r.Then {
			check(r.Head, a.Caution)
		}
	}
	for _, c := range k.Checks {
		check(c.Head, c.Cautions...)
	}
	for _, m := range k.Remedies {
		check(m.Head, m.Cautions...)
	}
	for _, c := range k.Causes {
		check(c.Head, c.Cautions...)
	}
	assert.Greater(t, seen, 50)
}
