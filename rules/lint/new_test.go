package lint

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/load"
)

// filled puts the author's words, one after the other, into the places left for them.
func filled(t *testing.T, f load.NewFile, words ...string) *fstest.MapFile {
	lines := strings.Split(f.Text, "\n")
	for i, line := range lines {
		for !strings.HasPrefix(line, "#") && strings.Contains(line, "FILL IN") {
			require.NotEmpty(t, words, "%s has more places than words: %s", f.Name, line)
			line, words = strings.Replace(line, "FILL IN", words[0], 1), words[1:]
		}
		lines[i] = line
	}
	require.Empty(t, words, "%s has fewer places than words", f.Name)
	return &fstest.MapFile{Data: []byte(strings.Join(lines, "\n"))}
}

func TestAFilledNewCausePassesTheCheck(t *testing.T) {
	files, err := load.NewCause("radial-oring", "ring-twisted", "Ring's twist: it rolled")
	require.NoError(t, err)
	require.Len(t, files, 2)
	kb := sound(t)
	kb[files[0].Name] = filled(t, files[0], "invented", "estimate", "The ring rolled.", "seal_misfitted", "0.5 %", "0.5 %", "fitted-dry is yes", "4",
		"wet-spread is no-pattern", "50 %", "wet-when is hot", "20 %", "ring-look", "ring-nick is yes", "80 %", "90 %", "new-ring",
		"yes", "Catch it.", "One day.", "Grease it.", "It stays.", "ring-nicked", "ring-look", "The cut runs round.")
	kb[files[1].Name] = filled(t, files[1], "ring-nicked", "after-refit", "Invented.", "wet-spread", "no-pattern", "ring-look")
	var places load.Places
	k, found := load.Read(kb, load.Options{Places: &places})
	require.Empty(t, found)
	assert.Empty(t, Check(k, Options{Places: &places}))
	assert.Equal(t, "Ring's twist: it rolled", k.Cause("radial-oring/ring-twisted").Title)
}

func TestAFilledNewSharedCausePassesTheCheck(t *testing.T) {
	files, err := load.NewCause("shared", "bad-batch", "Bad batch")
	require.NoError(t, err)
	kb := sound(t)
	kb[files[0].Name] = filled(t, files[0], "radial-oring", "80 %", "invented", "estimate", "All rings are bad.", "made_defective", "3 %", "1 %", "fitted-dry is no", "4",
		"wet-spread is no-pattern", "50 %", "wet-when is hot", "20 %", "ring-look", "ring-nick is yes", "80 %", "90 %", "new-ring",
		"yes", "Catch it.", "One day.", "Buy well.", "It stays.", "ring-nicked", "ring-look", "All rings show it.")
	kb[files[1].Name] = filled(t, files[1], "radial-oring", "ring-nicked", "after-refit", "Invented.", "wet-spread", "no-pattern", "ring-look")
	var places load.Places
	k, found := load.Read(kb, load.Options{Places: &places})
	require.Empty(t, found)
	assert.Empty(t, Check(k, Options{Places: &places}))
}

func TestAFilledNewRulePassesTheCheck(t *testing.T) {
	for kind, joint := range map[string][]string{"radial-oring": nil, "shared": {"radial-oring"}} {
		files, err := load.NewRule(kind, "dry-is-nicked", "A ring fitted dry is nicked.")
		require.NoError(t, err)
		require.Len(t, files, 2)
		kb := sound(t)
		kb[files[0].Name] = filled(t, files[0], "invented", "estimate", "fitted-dry is yes", "ring-nick is yes")
		words := append([]string{"fitted dry"}, joint...)
		words = append(append(words, "fitted-dry", "yes", "greased"), joint...)
		words = append(append(words, "fitted-dry", "no", "nobody remembers"), joint...)
		kb[files[1].Name] = filled(t, files[1], append(words, "squeeze", "15 %", "fitted-dry")...)
		var places load.Places
		k, found := load.Read(kb, load.Options{Places: &places})
		require.Empty(t, found)
		assert.Empty(t, Check(k, Options{Places: &places}))
	}
}

func TestEveryPlaceOfANewFileIsReportedUntilItIsFilled(t *testing.T) {
	cause, err := load.NewCause("radial-oring", "x-y", "")
	require.NoError(t, err)
	rule, err := load.NewRule("radial-oring", "x-z", "")
	require.NoError(t, err)
	for _, f := range append(cause, rule...) {
		_, found := load.Read(fstest.MapFS{f.Name: {Data: []byte(f.Text)}}, load.Options{})
		require.NotEmpty(t, found)
		for _, x := range found {
			assert.Equal(t, "fill-in", x.Code, x.String())
		}
	}
}

func TestANameThatIsNoNameIsRefusedWithABetterOne(t *testing.T) {
	for _, tt := range []struct{ kind, id, want string }{
		{"radial-oring", "Bore Oval", "write bore-oval"},
		{"radial-oring", "1.10", "not a plain name"},
		{"radial-oring", "yes", "not a plain name"},
		{"../etc", "a", "not a plain name"},
		{"radial-oring", "../../a", "not a plain name"},
		{"radial-oring", "", "not a plain name"},
	} {
		_, err := load.NewCause(tt.kind, tt.id, "x")
		require.ErrorContains(t, err, tt.want)
		_, err = load.NewRule(tt.kind, tt.id, "x")
		require.ErrorContains(t, err, tt.want)
	}
}
