package main

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/journeys"
	"seepwright/engine/ruletest"
	"seepwright/engine/score"
	"seepwright/kb"
	"seepwright/rules"
)

var update = flag.Bool("update", false, "rewrite testdata/cases/summary.txt")

var (
	journeyFiles   = filepath.Join("..", "..", "testdata", "cases")
	journeySummary = filepath.Join(journeyFiles, "summary.txt")
)

// line says a tally in one line. A score that the answers improve has a difference below nought.
func line(what string, trials []score.Trial) string {
	x := score.Sum(trials)
	return fmt.Sprintf("%-26s %2d cases: first %2d, in the first three %2d, log score %.2f, against the shares alone %+.2f (standard error %.2f)",
		what, x.N, x.Now.First, x.Now.Three, x.Log.Mean, x.LogGain.Mean, x.LogGain.SE)
}

// What the ranking makes of real leaks. Thirty-odd cases cannot prove that it is calibrated and
// must not be tuned to; the figures are held so that they move only with a reason that is
// written down where they are renewed:
//
//	go test ./cmd/seepwright -run TestRealLeaksAreRankedAsBefore -update
func TestRealLeaksAreRankedAsBefore(t *testing.T) {
	k, err := kb.Load()
	require.NoError(t, err)
	leaks, bad := journeys.Read(os.DirFS(journeyFiles), "testdata/cases", k)
	require.Empty(t, bad)
	var cases []*rules.Case
	for _, l := range leaks {
		require.Equal(t, "testdata/cases/"+l.ID+".yaml", l.Place.File)
		cases = append(cases, l.Case)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%-5s %-13s %-13s %-24s %-6s %-6s %s\n", "case", "joint", "history", "true family", "family", "cause", "share of the family, by shares alone")
	kinds := map[string][]score.Trial{}
	var family, cause []score.Trial
	missing := 0
	for i, w := range ruletest.Work(k, cases) {
		l, now, before := leaks[i], w.Now, w.Before
		require.Empty(t, w.Fails, l.ID)
		require.Empty(t, now.Impossible, l.ID)
		require.Equal(t, now.History, before.History, l.ID)

		byFamily := familyTrial(l, w)
		family = append(family, byFamily)
		kinds[l.For] = append(kinds[l.For], byFamily)

		place := "none"
		if len(l.Causes) > 0 {
			byCause := causeTrial(l, w)
			cause = append(cause, byCause)
			place = fmt.Sprint(byCause.Now.Rank(byCause.Truth))
		} else {
			missing++
		}
		of := fmt.Sprintf("%d/%d", byFamily.Now.Rank(byFamily.Truth), len(byFamily.Now.Names))
		fmt.Fprintf(&b, "%-5s %-13s %-13s %-24s %-6s %-6s %4.1f %% %4.1f %%\n", l.ID, l.For, now.History, l.Family, of, place, 100*byFamily.Now.Share(byFamily.Truth), 100*byFamily.Before.Share(byFamily.Truth))
	}
	fmt.Fprintln(&b)
	for _, k := range slices.Sorted(maps.Keys(kinds)) {
		fmt.Fprintln(&b, line("families, "+k, kinds[k]))
	}
	fmt.Fprintln(&b, line("families, all", family))
	fmt.Fprintln(&b, line("causes that are known here", cause))
	fmt.Fprintf(&b, "the knowledge has no such cause in %d cases\n", missing)
	t.Log("\n" + b.String())

	if *update {
		require.NoError(t, os.WriteFile(journeySummary, []byte(b.String()), 0o644))
	}
	held, err := os.ReadFile(journeySummary)
	require.NoError(t, err)
	assert.Equal(t, string(held), b.String(), "the ranking of real leaks has moved: find out why, say so in the change, then renew the figures with -update")
}
