package kb

import (
	"flag"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/lint"
	"seepwright/rules/load"
)

var update = flag.Bool("update", false, "rewrite the reference in README.md")

const (
	begin = "<!-- reference: made by go test ./kb -update from the table that reads the files -->\n"
	end   = "<!-- end of the reference -->\n"
)

// The reference of documents and fields comes from the reader itself, so it cannot go stale.
func TestTheReferenceInTheREADMEIsThatOfTheReader(t *testing.T) {
	data, err := os.ReadFile("README.md")
	require.NoError(t, err)
	before, rest, ok := strings.Cut(string(data), begin)
	require.True(t, ok, "README.md has lost the mark where the reference begins")
	_, after, ok := strings.Cut(rest, end)
	require.True(t, ok, "README.md has lost the mark where the reference ends")
	want := before + begin + "\n" + load.Reference() + "### Classes of causes\n\n`" + strings.Join(lint.Families(), "`, `") + "`\n\n" + end + after
	if *update {
		require.NoError(t, os.WriteFile("README.md", []byte(want), 0o644))
		return
	}
	assert.Equal(t, want, string(data), "run go test ./kb -run README -update")
}

// The worked example of the README is read and checked like any folder of a user.
func TestTheExampleInTheREADMEPassesTheCheck(t *testing.T) {
	data, err := os.ReadFile("README.md")
	require.NoError(t, err)
	files := examples(string(data))
	require.Len(t, files, 4, "the example has four files")
	base, found := Read(nil)
	require.Zero(t, found.Errors())
	var places load.Places
	k, found := load.Overlay(base, []load.Folder{{Name: "my-shop", FS: files}}, &places)
	require.Zero(t, found.Errors(), found.Error())
	for _, f := range lint.Check(k, lint.Options{Places: &places, Overlaid: true}) {
		if strings.HasPrefix(f.File, "my-shop/") {
			t.Error(f)
		}
	}
}

// examples cuts the files out of the README: each stands in a block of its own, under a
// line that names it.
func examples(text string) fstest.MapFS {
	out := fstest.MapFS{}
	for _, block := range strings.Split(text, "```yaml\n")[1:] {
		body, _, _ := strings.Cut(block, "```")
		first, _, _ := strings.Cut(body, "\n")
		out[strings.TrimPrefix(first, "# file: ")] = &fstest.MapFile{Data: []byte(body)}
	}
	return out
}
