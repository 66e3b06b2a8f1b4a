package journal

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules"
	"seepwright/rules/answer"
)

// An invented case.
func example() *Case {
	c := New()
	c.File.Joint.Text = "hose-clamp"
	c.File.Answers = map[string]rules.AnswerText{"fluid": {Scalar: "coolant"}, "reaches": {Is: []string{"electrics"}, Not: []string{"a-person"}}, "can-isolate": {Scalar: "cant-tell"}}
	c.File.Joints = map[string]map[string]rules.AnswerText{"left": {"spigot-diameter": {Scalar: "0.8 mm +/- 0.05 mm"}}}
	c.Confirm("left", "spigot-diameter")
	c.Proven = []Proven{{Joint: "left", Cause: "slack-after-set", Done: "one cold turn: dry since"}, {Said: "a crack, seen under the lamp # low"}}
	return c
}

func text(t *testing.T, c *Case) string {
	t.Helper()
	var b bytes.Buffer
	_, err := c.WriteTo(&b)
	require.NoError(t, err)
	return b.String()
}

func TestACaseReadsBackAsItWasWritten(t *testing.T) {
	path := filepath.Join(t.TempDir(), "case.yaml")
	require.NoError(t, Save(path, example()))
	c, err := Open(path)
	require.NoError(t, err)
	assert.Equal(t, text(t, example()), text(t, c))
	assert.True(t, c.Meant("left", "spigot-diameter"))
	assert.False(t, c.Meant("left", "hose-bore"))
	assert.Equal(t, example().Proven, c.Proven)
	assert.Equal(t, 4, c.Count())
	left, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	assert.Len(t, left, 1, "no other file is left behind")
}

func TestACaseWithoutSectionsIsAPlainAnswersFile(t *testing.T) {
	c := example()
	c.Confirmed, c.Proven = nil, nil
	f, bad := answer.ReadFile(strings.NewReader(text(t, c)), "case.yaml")
	require.Empty(t, bad)
	assert.Equal(t, "coolant", f.Answers["fluid"].Scalar)
}

func TestWhatCannotBeReadIsReportedWithItsPlaceAndKept(t *testing.T) {
	for _, c := range []struct{ name, text, says string }{
		{"a newer version", "schema: 2\nanswers:\n  fluid: water\n", "case.yaml:1:9: the file is in form 2"},
		{"broken YAML", "schema: 1\nanswers:\n  fluid: [water\n", "case.yaml:"},
		{"a section that is no list", "schema: 1\nanswers: {fluid: water}\nproven: yes\n", "case.yaml:3:9: proven is a list"},
		{"an outcome with a strange field", "schema: 1\nproven:\n  - cause: x\n    colour: red\n", `case.yaml:4:5: an outcome has no "colour"`},
		{"a broken section", "schema: 1\nproven: [\n", "case.yaml:2:1:"},
		{"a strange section", "schema: 1\nprovn:\n  - cause: x\n", "case.yaml:2:1:"},
		{"a file that is no text", "\xff\xfe\x00", "UTF-8"},
		{"an empty file", "", "empty"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "case.yaml")
			require.NoError(t, os.WriteFile(path, []byte(c.text), 0o600))
			_, err := Open(path)
			require.Error(t, err)
			assert.ErrorContains(t, err, c.says)
			assert.ErrorContains(t, err, "case-2.yaml")
			now, e := os.ReadFile(path)
			require.NoError(t, e)
			assert.Equal(t, c.text, string(now))
		})
	}
}

func TestAFileThatIsNotThereIsNoCase(t *testing.T) {
	c, err := Open(filepath.Join(t.TempDir(), "none.yaml"))
	assert.NoError(t, err)
	assert.Nil(t, c)
}

// failing breaks off in the middle of writing.
type failing struct{}

func (failing) WriteTo(w io.Writer) (int64, error) {
	n, _ := io.WriteString(w, "schema: 1\nansw")
	return int64(n), io.ErrShortWrite
}

func TestAFileIsWrittenWholeOrNotAtAll(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "case.yaml")
	require.NoError(t, Save(path, example()))
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.ErrorIs(t, WriteWhole(path, failing{}), io.ErrShortWrite)
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(before), string(after))
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, left, 1)
	assert.ErrorContains(t, Save(filepath.Join(dir, "no", "case.yaml"), example()), "cannot write in")
}

func TestADefaultNameNeverMeetsAnotherFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "seepwright-answers.yaml")
	assert.Equal(t, path, Free(path))
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	assert.Equal(t, "seepwright-answers-2.yaml", filepath.Base(Free(path)))
	require.NoError(t, os.WriteFile(Free(path), nil, 0o600))
	assert.Equal(t, "seepwright-answers-3.yaml", filepath.Base(Free(path)))
}

func FuzzReadingACaseNeverPanics(f *testing.F) {
	f.Add("schema: 1\nanswers:\n  a: yes\nproven:\n- cause: x\nconfirmed: [a/b]\n")
	f.Add("proven:\n&a [*a]\n")
	f.Add("proven: {")
	f.Fuzz(func(t *testing.T, s string) {
		c, bad := Read(strings.NewReader(s), "x")
		if c == nil || bad.Errors() > 0 {
			return
		}
		again, bad := Read(strings.NewReader(text(t, c)), "y")
		if bad.Errors() > 0 {
			t.Fatalf("%q writes what does not read: %v", s, bad)
		}
		if text(t, c) != text(t, again) {
			t.Fatalf("%q changes when read again", s)
		}
	})
}
