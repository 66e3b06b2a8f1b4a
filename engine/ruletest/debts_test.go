package ruletest_test

import (
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/source"
)

var update = flag.Bool("update", false, "strike from the lists of debts in testdata what is paid")

var read = sync.OnceValues(func() (*rules.Knowledge, source.Findings) { return kb.Read(nil) })

// builtIn is the built-in knowledge with its cases; its lists may be replaced, not changed.
func builtIn(t testing.TB) *rules.Knowledge {
	k, bad := read()
	require.Zero(t, bad.Errors(), "%v", bad)
	own := *k
	return &own
}

// debts compares what is owed now with the list in testdata. The list can only shrink: a new
// debt fails, and so does a line that is paid and still stands there. With -update paid lines
// are struck; only a list that is not there at all is written anew.
func debts(t *testing.T, name, head string, now []string) {
	path := filepath.Join("..", "..", "testdata", name)
	write := func(lines []string) {
		text := head
		for _, l := range lines {
			text += l + "\n"
		}
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	}
	slices.Sort(now)
	now = slices.Compact(now)
	data, err := os.ReadFile(path)
	if os.IsNotExist(err) && *update {
		write(now)
		return
	}
	require.NoError(t, err)
	grown, paid, left := settle(string(data), now)
	if *update && len(paid) > 0 {
		write(left)
		paid = nil
	}
	if len(grown) > 0 {
		t.Errorf("%d new debts; testdata/%s only shrinks, so mend them:\n%s", len(grown), name, strings.Join(grown, "\n"))
	}
	if len(paid) > 0 {
		t.Errorf("%d debts are paid; strike them from testdata/%s with go test ./engine/ruletest -update:\n%s", len(paid), name, strings.Join(paid, "\n"))
	}
}

// settle parts a list of debts: what is owed and not listed, what is listed and not owed, and
// what is both. Lines that start with # are no debts.
func settle(list string, now []string) (grown, paid, left []string) {
	for _, l := range strings.Split(list, "\n") {
		switch {
		case l == "" || strings.HasPrefix(l, "#"):
		case slices.Contains(now, l):
			left = append(left, l)
		default:
			paid = append(paid, l)
		}
	}
	for _, l := range now {
		if !slices.Contains(left, l) {
			grown = append(grown, l)
		}
	}
	return grown, paid, left
}

func TestAListOfDebtsOnlyShrinks(t *testing.T) {
	grown, paid, left := settle("# head\n\nold one\nstill owed\n", []string{"new one", "still owed"})
	require.Equal(t, []string{"new one"}, grown)
	require.Equal(t, []string{"old one"}, paid)
	require.Equal(t, []string{"still owed"}, left)
}
