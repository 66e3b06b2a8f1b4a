package report

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine"
	"seepwright/engine/plan"
)

// sample is an invented result with something in every part.
func sample() *engine.Result {
	number := engine.Target{ID: "least", Fact: "least-squeeze", Joint: "a", Title: "Least squeeze", Limit: "at least 10 %", Measured: "8.4 % ± 0.5", Verdict: "missed", Margin: "1.6 % over the limit", Source: "a table", Standing: "confirmed", Strict: true}
	return &engine.Result{
		Schema: 1, Exact: true, History: "after-refit",
		Run:    engine.Run{Verdict: "watched", Limit: "at most 10 drops a minute", LookEvery: "every 30 minutes", Because: []string{"a harmless fluid"}},
		Joints: []engine.JointOdds{{Joint: "a", Title: "pipe in", Kind: "radial-oring", Probability: 0.93, Wet: "yes"}, {Joint: "b", Title: "pad", Kind: "face-gasket", Probability: 0.1, Wet: "yes"}},
		Ranking: []engine.Ranked{
			{Joint: "b", Kind: "face-gasket", Cause: "not-this", Family: engine.ElsewhereFamily, Title: "From elsewhere", Probability: 0.9},
			{Joint: "a", Kind: "radial-oring", Cause: "slack", Family: "face_or_bore_defect", Title: "Spigot too slack", Probability: 0.62, Prior: 0.02, Means: "It lies to one side.",
				Because: []engine.Because{{Finding: "a/moved", Says: "moved by hand: yes", Factor: 4}, {Finding: "b/wet", Says: "wet here: yes", Factor: 0.4}, {Finding: "a/x", Says: "a trifle", Factor: 1.1}}},
			{Joint: "a", Kind: "radial-oring", Cause: "nick", Family: "seal_misfitted", Title: "Ring nicked", Probability: 0.005, Prior: 0.1},
		},
		Targets:  []engine.Target{number},
		Next:     &plan.Next{Check: "mic", Joint: "a", Title: "Measure the land", Kind: "confirm", Stage: "opened", Minutes: 5, Saves: 22, Why: "it decides", How: "two directions"},
		Plan:     plan.Plan{HaveReady: []string{"new ring"}, Steps: []plan.Step{{Part: "mend", Action: "Another pipe", Joint: "a", Minutes: 60, Why: "cures: slack", Cautions: []string{"hot"}}}, Minutes: 95, LookAgain: "next morning", Sums: []string{"5 min now against 9 % of another 95 min"}},
		Cautions: []engine.Caution{{ID: "hot", Title: "Hot", Warning: "Do not open it above 50 C.", Known: true}, {ID: "x", Title: "X", Warning: "Block the load.", Known: false}},
		Assumed:  []string{"b: history not told"},
	}
}

func TestChancesAreSaidInStepsThatTheSharesCanBear(t *testing.T) {
	for p, want := range map[float64]string{0.99: "almost certain", 0.96: "more than 9 in 10", 0.62: "about 6 in 10", 0.08: "about 1 in 10", 0.05: "about 1 in 20", 0.02: "about 1 in 50", 0.01: "about 1 in 100", 0.001: "less than 1 in 100"} {
		assert.Equal(t, want, Odds(p), "%v", p)
	}
}

func TestMinutesAreRoundedToFive(t *testing.T) {
	for m, want := range map[float64]string{0.2: "no time", 4: "4 min", 12: "10 min", 93: "95 min", 240: "4 h", 270: "4.5 h"} {
		assert.Equal(t, want, Minutes(m), "%v", m)
	}
}

func TestNoLineIsLongerThanTheScreen(t *testing.T) {
	for _, width := range []int{40, 57, 80, 120} {
		var b bytes.Buffer
		require.NoError(t, Text(&b, View(sample(), Options{Explain: true, Plan: true}), width))
		for _, l := range strings.Split(b.String(), "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(l), width, l)
		}
	}
	assert.Equal(t, "aaaaaaaa\naaaa\n", Wrap("aaaaaaaaaaaa", 8, 0, "", ""), "a word that is too long is broken")
}

func TestTheRunVerdictComesFirstAndEvidenceNamesItsJoint(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Text(&b, View(sample(), Options{Plan: true}), 80))
	text := b.String()
	assert.True(t, strings.HasPrefix(text, "RUN WATCHED: at most 10 drops a minute\n"))
	assert.Contains(t, text, "1. Spigot too slack (pipe in): about 6 in 10")
	assert.NotContains(t, text, "From elsewhere (pad)", "of several joints, elsewhere is said where the joints are listed")
	assert.Contains(t, text, "More likely wetted from above or from elsewhere (about 9 in 10).")
	assert.Contains(t, text, "Against: pad, wet here: yes")
	assert.NotContains(t, text, "a trifle", "what moved it slightly is only said with --explain")
	assert.NotContains(t, text, "Ring nicked", "below 1 in 100 and not lifted by evidence")
	assert.Contains(t, text, "NOT GOOD: pipe in: least squeeze")
	assert.Less(t, strings.Index(text, "CAUTION: Do not open it above 50 C."), strings.Index(text, "Another pipe"), "a caution stands before the step that needs it")
}

func TestTheCardFitsIntoAMessage(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Card(&b, sample()))
	lines := strings.Split(strings.TrimRight(b.String(), "\n"), "\n")
	assert.LessOrEqual(t, len(lines), 20)
	for _, l := range lines {
		assert.LessOrEqual(t, utf8.RuneCountInString(l), 40, l)
	}
	for _, want := range []string{"RUN WATCHED", "LIKELY: Spigot too slack", "NEXT: Measure the land", "REACH: Least squeeze", "DO NOT: open it above 50 C", "LOOK AGAIN: next morning"} {
		assert.Contains(t, b.String(), want)
	}
}

func TestMarkdownEscapesWhatCameFromUsersAndKnowledge(t *testing.T) {
	r := sample()
	r.Ranking[1].Title = "<script>*slack*_[x](y)"
	var b bytes.Buffer
	require.NoError(t, Markdown(&b, View(r, Options{})))
	assert.NotContains(t, b.String(), "<script>")
	assert.Contains(t, b.String(), `\*slack\*`)
}
