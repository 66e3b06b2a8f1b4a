package report

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine"
)

// minded is an invented result with all that could change the mind.
func minded() *engine.Result {
	r := sample()
	r.Run.Verdict = "stop"
	slack := engine.Chance{Joint: "a", Cause: "slack", Title: "Spigot too slack", Probability: 0.62}
	nick := engine.Chance{Joint: "a", Cause: "nick", Title: "Ring nicked", Probability: 0.46}
	dirt := engine.Chance{Cause: "dirt", Title: "Dirt in all joints", Probability: 0.004}
	p := 0.2
	r.Mind = &engine.Mind{First: []engine.Chance{slack, nick, dirt}, Carried: true,
		Topples: []engine.Topple{
			{Rival: nick, Now: 0.12, First: slack, Minutes: 2, Chance: &p, Answers: []engine.OpenAnswer{{Fact: "ring-nick", Joint: "a", Asks: "Ring nicked or cut", Text: "yes", Stage: "opened", Minutes: 2, Chance: &p}}},
			{Rival: dirt, Now: 0.004, First: slack, Minutes: 3.5, Answers: []engine.OpenAnswer{
				{Fact: "dirt", Asks: "Dirty hands", Text: "yes", Stage: "told", Minutes: 0.5}, {Fact: "hot", Joint: "b", Asks: "Wet when hot", Text: "no", Stage: "hot", Minutes: 3}}},
		},
		Steady: []engine.Chance{dirt}, Tried: engine.Tried{Joints: []string{"a"}, Answers: 90, Pairs: 60},
		Flips: []engine.Flip{
			{Joint: "a", Title: "Groove floor?", Measured: "32.4 mm ± 0.01", Instrument: "Micrometer", Says: "Squeeze runs out", Now: "no", Holds: "31.81 mm", Then: "yes", From: "31.76 mm", Sees: true, Near: true},
			{Joint: "a", Title: "Groove floor?", Measured: "32.4 mm ± 0.01", Says: "Squeeze above the ceiling", Now: "no", Holds: "33.1 mm", Then: "yes", From: "33.2 mm", Sees: true},
			{Joint: "b", Title: "Flatness", Measured: "0.05 mm ± 0.02", Says: "Face out of flat", Now: "yes", Holds: "0.04 mm", Then: "no", From: "0.04 mm"},
		},
		Without: []engine.Without{{Finding: "moved", Joint: "a", Says: "moved by hand: yes", First: []engine.Chance{nick, slack}, ChangesFirst: true, Factor: 4}},
		Both:    &engine.Together{A: slack, B: nick, Probability: 0.09},
		Sets:    []engine.CauseSet{{Causes: []engine.Chance{slack}, Probability: 0.5}, {Causes: []engine.Chance{slack, nick}, Probability: 0.08}},
	}
	return r
}

func TestWhatWouldChangeTheMindIsSaidInPlainWords(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Text(&b, Pick(minded(), Options{}, WhatIf), 80))
	want := `
What would change this
----------------------
First now: "Spigot too slack" (pipe in), 62 in 100.
- If pipe in, "Ring nicked or cut": yes (2 min, opened): "Ring nicked" (pipe in)
  becomes first, 46 in 100 instead of 12. It comes out so 20 in 100 times.
- If "Dirty hands": yes (asked), and pad, "Wet when hot": no (3 min, hot): "Dirt
  in all joints" becomes first, less than 1 in 100 instead of less than 1. (How
  often it comes out so is not known.)
  While the first line says STOP it is not run for any of these.
- Not to be put first by what is still open: "Dirt in all joints" (none of 90
  open answers and none of the 60 pairs tried at pipe in).
- Pipe in, groove floor, measured 32.4 mm ± 0.01: "Squeeze runs out" is no up to
  31.81 mm and turns to yes at 31.76 mm; between, the micrometer cannot tell.
- Pad, flatness, measured 0.05 mm ± 0.02: "Face out of flat" is yes by the bare
  number and turns to no at 0.04 mm, too close for this instrument: it counts as
  not decided.
- Without "pipe in, moved by hand: yes" the first would be: "Ring nicked" (pipe
  in) 46, "Spigot too slack" (pipe in) 62 in 100.
Most probably both there: "Spigot too slack" (pipe in) and "Ring nicked" (pipe
in), 9 in 100.
Exactly this and nothing else, the most probable: "Spigot too slack" (pipe in)
50; "Spigot too slack" (pipe in) with "Ring nicked" (pipe in) 8 in 100.
`
	assert.Equal(t, want, b.String())
}

func TestWhatWouldChangeTheMindFitsANarrowScreenAndMarkdown(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Text(&b, View(minded(), Options{}), 40))
	for line := range strings.SplitSeq(b.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 40, line)
	}
	b.Reset()
	require.NoError(t, Markdown(&b, View(minded(), Options{})))
	assert.Contains(t, b.String(), "What would change this")
	assert.Contains(t, b.String(), "46 in 100 instead of 12")
	b.Reset()
	require.NoError(t, Text(&b, View(sample(), Options{}), 80))
	assert.NotContains(t, b.String(), "What would change", "only where it was asked for")
}

func TestWhereNothingCanBeSaidOfTheMindTheReasonIsSaid(t *testing.T) {
	r := sample()
	r.Mind = &engine.Mind{Silent: "these answers cannot all be true"}
	var b bytes.Buffer
	require.NoError(t, Text(&b, Pick(r, Options{}, WhatIf), 80))
	assert.Equal(t, "\nWhat would change this\n----------------------\nThese answers cannot all be true.\n", b.String())
}

func TestNoSingleAnswerCarriesTheResultIsSaid(t *testing.T) {
	r := minded()
	r.Mind.Carried = false
	var b bytes.Buffer
	require.NoError(t, Text(&b, Pick(r, Options{}, WhatIf), 200))
	assert.Contains(t, b.String(), `No single answer carries the result: without any one of them "Spigot too slack" (pipe in) stays first.`)
}
