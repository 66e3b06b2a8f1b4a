package outcomes

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/learn"
	"seepwright/kb"
	"seepwright/rules"
)

func TestTheExampleOfTheSeasonIsRead(t *testing.T) {
	k, err := kb.Load()
	require.NoError(t, err)
	f, err := os.Open(filepath.Join("..", "..", "..", "testdata", "example", "outcomes.yaml"))
	require.NoError(t, err)
	defer f.Close()
	list, bad := Read(f, "outcomes.yaml", k)
	require.Empty(t, bad)
	assert.Len(t, list.Outcomes, 5)
	assert.Len(t, list.Aside, 1)
	assert.InDelta(t, 0.7, list.Outcomes[3].Causes["ring-nicked"], 1e-12)
}

func TestEveryMistakeHasItsPlace(t *testing.T) {
	k, err := kb.Load()
	require.NoError(t, err)
	for text, want := range map[string]string{
		"":                   "o:1:1: there is no outcome",
		"kind: radial-oring": "o:1:1: a list of outcomes",
		"- one":              "o:1:3: this is no outcome",
		"- {kind: radial-oring, history: after-refit}":                              `o:1:3: this outcome has no "cause"`,
		"- {kind: radial-oring, history: afterrefit, cause: bore-oval}":             `o:1:33: no history is called "afterrefit"`,
		"- {kind: radial-oring, history: after-refit, cause: bore-oval, weight: 0}": `o:1:72: "0" is not a weight`,
		"- {kind: radial-oring, history: after-refit, cause: bore-oval, wait: 1}":   `o:1:64: an outcome has no "wait"`,
		"- {kind: radial-oring, history: after-refit, cause: [bore-oval]}":          `o:1:53: "cause" holds no list`,
		"- {kind: shared, history: after-refit, cause: bore-oval}":                  `o:1:47: no cause is called "bore-oval"`,
		"- [": "this is not YAML",
	} {
		_, bad := Read(strings.NewReader(text), "o", k)
		if assert.NotEmpty(t, bad, text) {
			assert.Contains(t, bad.Error(), want)
		}
	}
}

func TestWhatSharesAreWorthStandsInTheKnowledgeBase(t *testing.T) {
	k, err := kb.Load()
	require.NoError(t, err)
	x, ok := k.Estimate("shares-worth-cases")
	require.True(t, ok)
	assert.Equal(t, x, learn.WorthOf(k))
}

func FuzzRead(f *testing.F) {
	k, err := kb.Load()
	require.NoError(f, err)
	f.Add("- {kind: radial-oring, history: after-refit, cause: bore-oval}\n- {kind: shared, history: disturbed, cause: none, weight: 3}")
	f.Add("- {kind: hose-clamp, history: disturbed, causes: {not-pushed-home: 70 %, clamp-misplaced: 1e-3}}")
	f.Add("- &a {x: *a}\n")
	f.Fuzz(func(t *testing.T, text string) {
		list, bad := Read(strings.NewReader(text), "o", k)
		for _, x := range bad {
			require.NotEmpty(t, x.What)
		}
		if bad.Errors() > 0 {
			return
		}
		require.NotEmpty(t, append(list.Outcomes, list.Aside...), "neither outcomes nor a finding")
		groups, err := learn.Learn(k, list.Outcomes, learn.Worth)
		require.NoError(t, err)
		for _, g := range groups {
			for _, r := range g.Rows {
				require.True(t, r.After >= 0 && r.After <= 1.03, "%+v", r)
			}
		}
		_ = Files(groups, learn.Worth, "o", []string{string(rules.AfterRefit)})
	})
}
