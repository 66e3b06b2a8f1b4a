package kb

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/lint"
)

const (
	tableBegin = "<!-- coverage: made by go test ./kb -run Coverage -update -->\n"
	tableEnd   = "<!-- end of coverage -->\n"
)

// What the knowledge covers stands as a table in DEVELOPERS.md and may only grow.
func TestCoverageDoesNotFall(t *testing.T) {
	const file = "../DEVELOPERS.md"
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	before, rest, ok := strings.Cut(string(data), tableBegin)
	require.True(t, ok, "DEVELOPERS.md has no table of what is covered")
	table, after, ok := strings.Cut(rest, tableEnd)
	require.True(t, ok)
	k, found := Read(nil) // the compiled form has no cases
	require.Zero(t, found.Errors())
	written := map[string][]int{}
	for _, line := range strings.Split(table, "\n") {
		cells := strings.Split(strings.Trim(line, "| "), "|")
		if len(cells) < 9 || strings.Contains(line, "---") || strings.HasPrefix(line, "| kind") {
			continue
		}
		var n [8]int
		for i := range n {
			_, err := fmt.Sscan(cells[i+1], &n[i])
			require.NoError(t, err, line)
		}
		written[strings.TrimSpace(cells[0])] = n[:]
	}
	var b strings.Builder
	b.WriteString("| kind | causes | with a check that decides | with two solved cases | targets | with a source | pairs nothing splits | rules | cases |\n| --- | --- | --- | --- | --- | --- | --- | --- | --- |\n")
	names := []string{"causes", "causes with a check that decides", "causes with two solved cases", "targets", "targets with a source", "pairs that nothing splits", "rules", "solved cases"}
	for _, r := range lint.Coverage(k) {
		now := []int{r.Causes, r.Decided, r.Twice, r.Targets, r.Sourced, len(r.Unsplit), r.Rules, r.Cases}
		fmt.Fprintf(&b, "| %s | %d | %d | %d | %d | %d | %d | %d | %d |\n", r.Kind, now[0], now[1], now[2], now[3], now[4], now[5], now[6], now[7])
		for i, was := range written[r.Kind] {
			if names[i] == "pairs that nothing splits" {
				assert.LessOrEqual(t, now[i], was, "%s: %s", r.Kind, names[i])
				continue
			}
			assert.GreaterOrEqual(t, now[i], was, "%s: %s", r.Kind, names[i])
		}
		delete(written, r.Kind)
	}
	assert.Empty(t, written, "kinds that are gone")
	if *update && !t.Failed() {
		require.NoError(t, os.WriteFile(file, []byte(before+tableBegin+b.String()+tableEnd+after), 0o644))
	}
}
