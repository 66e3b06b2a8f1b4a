package journal

import (
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestAGlanceReadsWhatSeepwrightWrites(t *testing.T) {
	c := record()
	c.Head.ID, c.Head.Form = "2026-05-04-cooler", Form
	c.Head.Closed, c.Head.End = monday, Dry
	c.Proven = []Proven{{Joint: "left", Kind: "hose-clamp", Cause: "slack-after-set", Done: "it's tight: half a turn"}}
	data := []byte(text(t, c))
	h, proven, ok := glanceHead(data)
	require.True(t, ok)
	sameHead(t, c.Head, h)
	assert.Equal(t, c.Proven, proven)
	log, ok := glanceLog(data, []string{"fluid"})
	require.True(t, ok)
	want := work(c.Log, []string{"fluid"})
	require.Len(t, want, 7)
	sameWork(t, want, log)
}

func sameHead(t require.TestingT, want, got Head) {
	assert.True(t, want.Opened.Equal(got.Opened) && want.Closed.Equal(got.Closed))
	got.Opened, got.Closed = want.Opened, want.Closed
	assert.Equal(t, want, got)
}

func sameWork(t require.TestingT, want, got []Entry) {
	require.Len(t, got, len(want))
	for i, e := range got {
		assert.True(t, e.At.Equal(want[i].At))
		if len(e.Did) == 0 {
			e.Did = want[i].Did[:0:0]
		}
		w := want[i]
		if len(w.Did) == 0 {
			w.Did = w.Did[:0:0]
		}
		e.At = w.At
		assert.Equal(t, w, e)
	}
}

// agree holds a glance against the general reader: it may refuse, and must not differ.
func agree(t require.TestingT, data string) {
	c, bad := Read(strings.NewReader(data), "x.yaml")
	if c == nil || bad.Errors() > 0 {
		return
	}
	if h, proven, ok := glanceHead([]byte(data)); ok {
		sameHead(t, c.Head, h)
		assert.Equal(t, c.Proven, proven)
	}
	if log, ok := glanceLog([]byte(data), []string{"fluid"}); ok {
		sameWork(t, work(c.Log, []string{"fluid"}), log)
	}
}

func TestAGlanceNeverDiffersFromTheGeneralReader(t *testing.T) {
	word := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{
		"", "null", "~", "yes", "a: b", "a #b", "#x", "'", "''", `"`, `\`, "- a", "[a]", "{a: b}", "a\nb", "  a\n b\n", "\t", "x:", "2026-05-04", "1.0", "minutes: 5", "it's", "é", "a, b",
	}))
	rapid.Check(t, func(t *rapid.T) {
		c := New()
		c.Head = Head{ID: "x" + word.Draw(t, "id"), Title: word.Draw(t, "title"), Unit: word.Draw(t, "unit"), By: word.Draw(t, "by"), Opened: monday, Form: Form}
		for range rapid.IntRange(0, 2).Draw(t, "outcomes") {
			c.Proven = append(c.Proven, Proven{Joint: word.Draw(t, "joint"), Cause: word.Draw(t, "cause"), Said: word.Draw(t, "said")})
		}
		for range rapid.IntRange(0, 5).Draw(t, "entries") {
			c.Add(Entry{
				At: monday.Add(time.Duration(rapid.IntRange(0, 100).Draw(t, "h")) * time.Hour), By: word.Draw(t, "by"), Joint: word.Draw(t, "joint"),
				What: What(rapid.SampledFrom(kinds()).Draw(t, "what")), Name: word.Draw(t, "name"), Said: word.Draw(t, "said"),
				Did: []string{word.Draw(t, "did")}, Parts: []string{word.Draw(t, "part")}, Minutes: rapid.Float64Range(0, 100).Draw(t, "min"),
				Ranked: []Chance{{Joint: word.Draw(t, "joint"), Cause: word.Draw(t, "cause"), Chance: 0.5}},
			})
		}
		var b strings.Builder
		if _, err := c.WriteTo(&b); err != nil {
			return
		}
		agree(t, b.String())
	})
}

func TestWhatASnippetOfAnEditorChangedIsReadAsYAMLReadsIt(t *testing.T) {
	head := "case:\n  id: x\n  record: 1\n"
	entry := "schema: 1\nlog:\n  - at: 2026-05-04T16:30:00+02:00\n"
	for _, text := range []string{
		head + entry + "    did: [a]\n    said: \"one\n    minutes: 5\"\n",
		head + entry + "    did: [a]\n    said: one\n      minutes: 5\n",
		head + entry + "    did: [a]\n    said: |-\n      minutes: 5\n     two\n",
		head + entry + "    did: ['a', \"b\", c d]\n",
		head + entry + "    did:\n      - a\n",
		head + entry + "    did: a\n",
		head + entry + "    opened: cap # of the tank\n",
		head + entry + "\n    opened: cap\n\n",
		"case:\n  id: x\n    y\n  record: 1\nschema: 1\n",
		"case:\n  id: x # y\n  record: 1\nschema: 1\n",
		"case:\n  id: x\n  record: 1\n# remark\nproven:\n  - joint: a\nschema: 1\n",
		"case:\n  id: x\n  record: 1\n\nproven:\n  - joint: a\nschema: 1\n",
		strings.ReplaceAll(head+entry+"    opened: cap\n", "\n", "\r\n"),
	} {
		agree(t, text)
	}
}

func FuzzGlance(f *testing.F) {
	c := record()
	c.Head.ID, c.Head.Form = "x", Form
	c.Proven = []Proven{{Joint: "left", Said: "x: y"}}
	var b strings.Builder
	_, err := c.WriteTo(&b)
	require.NoError(f, err)
	f.Add(b.String())
	f.Add("case:\n  id: x\n  record: 1\nschema: 1\nlog:\n  - at: 2026-05-04\n    opened: |-\n      x\n")
	f.Fuzz(func(t *testing.T, data string) { agree(t, data) })
}

func TestACaseInAnotherFormIsListedToo(t *testing.T) {
	s := Store{t.TempDir()}
	require.NoError(t, os.WriteFile(s.Path("a"), []byte("case: {id: a, title: flow form, record: 1}\nlog:\n- {at: 2026-05-04, retest: idle, tissue: wet}\n"), 0o600))
	require.NoError(t, os.WriteFile(s.Path("b"), []byte("answers: {fluid: water}\n"), 0o600))
	require.NoError(t, os.WriteFile(s.Path("c"), []byte("case: [\n"), 0o600))
	for _, list := range []func() ([]Line, error){s.List, func() ([]Line, error) { return s.Works() }} {
		lines, err := list()
		require.NoError(t, err)
		require.Len(t, lines, 3)
		assert.Equal(t, "flow form", lines[0].Head.Title)
		assert.Equal(t, "b", lines[1].Head.ID)
		assert.Error(t, lines[2].Err)
	}
	lines, err := s.Works()
	require.NoError(t, err)
	require.Len(t, lines[0].Work, 1)
	assert.Equal(t, "wet", lines[0].Work[0].Tissue)
}
