package lint

import (
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/source"
)

// plain are the findings about files, which no text can show.
var plain = map[string]bool{"condition-too-long": true, "not-text": true, "symlink": true, "too-large": true, "too-many": true, "unreadable": true}

func TestEveryCodeHasAPageAndEveryPageACode(t *testing.T) {
	files, err := fs.Glob(pages, "pages/*.txt")
	require.NoError(t, err)
	assert.Len(t, files, len(Codes()))
	for _, f := range files {
		name := strings.TrimSuffix(strings.TrimPrefix(f, "pages/"), ".txt")
		p, ok := PageOf(name)
		require.True(t, ok, "%s explains a code that nothing gives", f)
		assert.Greater(t, len(p.Mend), 15, "%s says too little of how to mend it", f)
		assert.Equal(t, plain[name], p.Wrong == "", "%s: an example, wrong and right, unless it is about the file itself", f)
	}
	for _, c := range Codes() {
		_, ok := PageOf(c.Name)
		assert.True(t, ok, "write rules/lint/pages/%s.txt", c.Name)
	}
	_, ok := PageOf("../codes")
	assert.False(t, ok)
}

// The wrong form gives the finding, the mended one none at all.
func TestTheExampleOfEveryPageIsWrongAndRight(t *testing.T) {
	for _, c := range Codes() {
		if plain[c.Name] {
			continue
		}
		t.Run(c.Name, func(t *testing.T) {
			p, _ := PageOf(c.Name)
			has := false
			for _, f := range shop(t, p.Wrong) {
				has = has || f.Code == c.Name
			}
			assert.True(t, has, "the wrong form does not give %s:\n%s", c.Name, shown(shop(t, p.Wrong)))
			for _, f := range shop(t, p.Right) {
				if f.Warning && strings.HasPrefix(f.File, "kb/") {
					continue // under a folder of one's own, shares are weights
				}
				t.Error("the mended form is not right:", f)
			}
		})
	}
}

// shop lays an example over the sound knowledge base, unless it names folders itself.
func shop(t *testing.T, example string) source.Findings {
	if own, base := strings.CutPrefix(example, "# base\n"); base {
		return judged(t, "example", own)
	}
	if !strings.HasPrefix(example, "# folder: ") {
		example = "# folder: my-shop\n" + example
	}
	return judged(t, "example", example)
}
