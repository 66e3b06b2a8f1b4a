package kb

import (
	"path"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/table"
)

// Reading tests every cell and every relation over all rows.
func TestEveryTableIsSoundAndNamesItsSources(t *testing.T) {
	store := &Tables{}
	code := regexp.MustCompile(`\[[A-Z]?\d+[a-z]?\]|\b[GEMRSTW]\d{1,3}\b`)
	for _, name := range store.Names() {
		figures, err := tables.ReadFile(path.Join("tables", name+".csv"))
		require.NoError(t, err)
		about, err := tables.ReadFile(path.Join("tables", name+".yaml"))
		require.NoError(t, err, "%s.csv has no %s.yaml beside it", name, name)
		tab, bad := table.Read(name, figures, about)
		if !assert.Empty(t, bad, name) {
			continue
		}
		for _, r := range tab.Rows() {
			require.NotEmpty(t, r.Source(), "%s.csv:%d", name, r.Line())
			require.NotEmpty(t, r.Standing(), "%s.csv:%d", name, r.Line())
			assert.NotRegexp(t, code, r.Source(), "%s.csv:%d: a source is named in words", name, r.Line())
		}
	}
}

// A choice is typed by a person and stands in rules: it has to be one word.
func TestChoicesAreShortWordsThatStandOnce(t *testing.T) {
	store := &Tables{}
	for _, name := range store.Names() {
		tab, err := store.Table(name)
		if !assert.NoError(t, err) {
			continue
		}
		named := map[string]string{}
		for _, w := range tab.Choices() {
			assert.Regexp(t, `^[a-z0-9][a-z0-9.+/-]*$`, w, name)
			was, twice := named[table.Plain(w)]
			assert.False(t, twice, "%s: the knowledge cannot tell %s from %s", name, w, was)
			named[table.Plain(w)] = w
		}
	}
}

func TestAnUnknownTableNamesTheNearest(t *testing.T) {
	store := &Tables{}
	names := store.Names()
	require.NotEmpty(t, names)
	_, err := store.Table(strings.TrimSuffix(names[0], names[0][len(names[0])-1:]))
	assert.ErrorContains(t, err, names[0])
}
