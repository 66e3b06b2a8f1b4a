package answer

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"seepwright/rules"
)

const goodFile = `# The cooler of the pumphouse (invented).
schema: 1
joint: radial-oring
history: after-refit
answers:
  wet: yes
  spread: all-round
  when: {is: [hot], not: cold}
  bore: 34.02 mm +/- 0.02
  bores:
    - {at: "3:00", value: 12.03 mm}
    - at: 6:00
      value: 12.01 mm
    - 12.02 mm
  more: {unit: mm, readings: [12.03, 12.01]}
  place: 4:30 seen from front
  seen: [a, b]
assembly:
  title: pump set
  joints:
    - id: lid   # the upper one
joints:
  lid: {wet: no}
  stub: {wet: cant-tell}
tried:
  - {joint: lid, did: [new-ring, polish], retest: wet}
  - {did: new-ring, retest: dry}
`

func TestReadFile(t *testing.T) {
	f, found := ReadFile(strings.NewReader(goodFile), "a.yaml")
	require.Empty(t, found)
	assert.Equal(t, "radial-oring", f.Joint.Text)
	assert.Equal(t, "after-refit", f.History.Text)
	assert.Equal(t, "a.yaml:4:10", f.History.Place.String())
	require.Len(t, f.Tried, 2)
	assert.Equal(t, "lid", f.Tried[0].Joint.Text)
	assert.Len(t, f.Tried[0].Did, 2)
	assert.True(t, f.Tried[0].Wet)
	assert.False(t, f.Tried[1].Wet)
	assert.Equal(t, "a.yaml:26:5", f.Tried[0].Place.String())
	a := f.Answers
	assert.Equal(t, "yes", a["wet"].Scalar)
	assert.Equal(t, "a.yaml:6:8", a["wet"].Place.String())
	assert.Equal(t, []string{"hot"}, a["when"].Is)
	assert.Equal(t, []string{"cold"}, a["when"].Not)
	assert.Equal(t, []string{"12.03 mm", "12.01 mm", "12.02 mm"}, a["bores"].List)
	assert.Equal(t, []string{"3:00", "6:00", ""}, a["bores"].At)
	assert.Equal(t, "mm", a["more"].Unit)
	assert.Equal(t, "4:30 seen from front", a["place"].Scalar)
	assert.Equal(t, []string{"a", "b"}, a["seen"].List)
	assert.Nil(t, a["seen"].At)
	assert.Equal(t, "no", f.Joints["lid"]["wet"].Scalar)
	assert.Equal(t, "cant-tell", f.Joints["stub"]["wet"].Scalar)
}

func TestAnInlineAssemblyKeepsItsPlaces(t *testing.T) {
	f, found := ReadFile(strings.NewReader(goodFile), "a.yaml")
	require.Empty(t, found)
	var doc, whole yaml.Node
	require.NoError(t, yaml.Unmarshal(f.Assembly.Inline, &doc))
	require.NoError(t, yaml.Unmarshal([]byte(goodFile), &whole))
	id := doc.Content[0].Content[3].Content[0].Content[1]
	assert.Equal(t, "lid", id.Value)
	assert.Equal(t, 21, id.Line)
	assert.Equal(t, 11, id.Column)
	f, found = ReadFile(strings.NewReader("assembly: {title: pump set}\nanswers: {}\n"), "a.yaml")
	require.Empty(t, found)
	require.NoError(t, yaml.Unmarshal(f.Assembly.Inline, &doc))
	assert.Equal(t, 19, doc.Content[0].Content[1].Column)
	f, found = ReadFile(strings.NewReader("assembly: pumphouse.yaml\n"), "a.yaml")
	require.Empty(t, found)
	assert.Equal(t, "pumphouse.yaml", f.Assembly.File)
}

func TestABadFileSaysAllThatIsWrong(t *testing.T) {
	tests := []struct {
		name, text string
		want       []string // place and code
	}{
		{"nothing", "", []string{"a.yaml:1:1 empty-file"}},
		{"only a remark", "# nothing\n", []string{"a.yaml:1:1 empty-file"}},
		{"a list", "- wet: yes\n", []string{"a.yaml:1:1 wrong-form"}},
		{"several slips at once", "anwsers: {wet: yes}\nhistory: after-reft\njoints: [lid]\nschema: 9\njoint: {a: b}\n", []string{
			"a.yaml:1:1 unknown-key", "a.yaml:2:10 unknown-history", "a.yaml:3:9 wrong-form", "a.yaml:4:9 newer-schema", "a.yaml:5:8 wrong-form"}},
		{"answers without a value", "answers:\n  wet:\n  bore: ~\n  more: {}\n", []string{"a.yaml:2:7 empty-answer", "a.yaml:3:9 empty-answer", "a.yaml:4:9 empty-answer"}},
		{"an answer in a wrong form", "answers:\n  wet: {si: [hot]}\n  bore: [[1]]\n  more: {readings: 3}\n  rows: [{at: 3, vlaue: 4 mm}, {at: 5}]\n  last: [{at: 5}]\n", []string{
			"a.yaml:2:9 unknown-key", "a.yaml:3:10 wrong-form", "a.yaml:4:20 wrong-form", "a.yaml:5:18 unknown-key", "a.yaml:6:10 wrong-form"}},
		{"the same fact twice", "answers:\n  wet: yes\n  wet: no\n", []string{"a.yaml:3:3 repeated-key"}},
		{"anchors", "answers:\n  wet: &a yes\n  dry: *a\n", []string{"a.yaml:2:8 anchor", "a.yaml:3:8 anchor"}},
		{"a tag", "answers:\n  wet: !dry yes\n", []string{"a.yaml:2:8 tag"}},
		{"a second document", "answers: {wet: yes}\n---\nanswers: {dry: yes}\n", []string{"a.yaml:2:1 second-document"}},
		{"a schema that is no number", "schema: new\n", []string{"a.yaml:1:9 bad-schema"}},
		{"a colon inside text", "answers:\n  wet: yes\n  bore: about: 3 mm\n  dry: no\n", []string{"a.yaml:3:3 yaml-syntax"}},
		{"a quote never closed", "answers:\n  wet: yes\n  bore: \"3 mm\n  dry: no\n", []string{"a.yaml:3:3 yaml-syntax"}},
		{"a tab", "answers:\n  wet: yes\n\tdry: no\n", []string{"a.yaml:3:2 yaml-syntax"}},
		{"too deep", "answers: " + strings.Repeat("[", 30) + strings.Repeat("]", 30) + "\n", []string{"a.yaml:1:10 wrong-form", "a.yaml:1:30 too-deep"}},
		{"a wall of brackets", strings.Repeat("[", 200000), []string{"a.yaml:1:1 yaml-syntax"}},
		{"too large", strings.Repeat("#", MaxFile+1), []string{"a.yaml:1:1 too-large"}},
		{"not a text", "answers: \xff\xfe\n", []string{"a.yaml:1:1 not-text"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, found := ReadFile(strings.NewReader(tt.text), "a.yaml")
			var got []string
			for _, f := range found {
				got = append(got, f.Place.String()+" "+f.Code)
				assert.NotEmpty(t, f.What)
				assert.NotEmpty(t, f.Hint)
			}
			assert.Equal(t, tt.want, got)
		})
	}
	_, found := ReadFile(iotest.ErrReader(errors.New("the stick was pulled")), "a.yaml")
	require.Len(t, found, 1)
	assert.Contains(t, found[0].What, "the stick was pulled")
	_, found = ReadFile(strings.NewReader("answers: {wet: yes}\nschema: 2\n"), "a.yaml")
	require.Len(t, found, 1)
	assert.Contains(t, found[0].String(), "the file is in form 2, and this seepwright reads up to 1")
}

func TestALongBrokenFileIsReportedSoon(t *testing.T) {
	text := "answers:\n" + strings.Repeat("  a: b\n", 100000) + "  c: \"\n"
	_, found := ReadFile(strings.NewReader(text), "a.yaml")
	require.Len(t, found, 1)
	assert.Equal(t, "yaml-syntax", found[0].Code)
}

func TestAFileWrittenReadsBackTheSame(t *testing.T) {
	f, found := ReadFile(strings.NewReader(goodFile), "a.yaml")
	require.Empty(t, found)
	f.Answers["odd"] = rules.AnswerText{Scalar: "yes: no # \"x\"\nand ~"}
	f.Answers["null"] = rules.AnswerText{Scalar: "null"}
	f.Answers["octal"] = rules.AnswerText{Scalar: "010", Unit: "mm"}
	var first, second bytes.Buffer
	n, err := f.WriteTo(&first)
	require.NoError(t, err)
	assert.EqualValues(t, first.Len(), n)
	again, found := ReadFile(&first, "a.yaml")
	require.Empty(t, found)
	assert.Equal(t, withoutPlaces(f), withoutPlaces(again))
	_, err = f.WriteTo(&first)
	require.NoError(t, err)
	_, err = again.WriteTo(&second)
	require.NoError(t, err)
	assert.Equal(t, first.String(), second.String())
	var old, new any
	require.NoError(t, yaml.Unmarshal(f.Assembly.Inline, &old))
	require.NoError(t, yaml.Unmarshal(again.Assembly.Inline, &new))
	assert.Equal(t, old, new)
}

func TestAWriterThatFailsIsReported(t *testing.T) {
	_, err := (&File{Joint: Word{Text: "radial-oring"}}).WriteTo(full{})
	assert.Error(t, err)
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no room left") }

// withoutPlaces is what a file says, wherever it says it.
func withoutPlaces(f *File) map[string]map[string]rules.AnswerText {
	out := map[string]map[string]rules.AnswerText{"": {}}
	for id, a := range f.Answers {
		out[""][id] = unplaced(a)
	}
	for joint, answers := range f.Joints {
		out[joint] = map[string]rules.AnswerText{}
		for id, a := range answers {
			out[joint][id] = unplaced(a)
		}
	}
	out[""]["the history"] = rules.AnswerText{Scalar: f.History.Text}
	out[""]["the joint"] = rules.AnswerText{Scalar: f.Joint.Text}
	out[""]["the assembly"] = rules.AnswerText{Scalar: f.Assembly.File}
	for i, t := range f.Tried {
		a := rules.AnswerText{Scalar: t.Joint.Text, Unit: fmt.Sprint(t.Wet)}
		for _, w := range t.Did {
			a.List = append(a.List, w.Text)
		}
		out[""][fmt.Sprint("tried ", i)] = a
	}
	return out
}

func unplaced(a rules.AnswerText) rules.AnswerText {
	a.Place.File, a.Place.Line, a.Place.Col = "", 0, 0
	return a
}

func TestFromNodeReadsOneAnswer(t *testing.T) {
	var doc yaml.Node
	require.NoError(t, yaml.Unmarshal([]byte("bores: [12 mm, {at: 3, value: 13 mm}]\nbad: [[1]]\ndeep: &a 1\n"), &doc))
	m := doc.Content[0]
	a, found := FromNode(m.Content[1], "kb.yaml")
	require.Empty(t, found)
	assert.Equal(t, []string{"", "3"}, a.At)
	assert.Equal(t, "kb.yaml:1:8", a.Place.String())
	for _, i := range []int{3, 5} {
		_, found = FromNode(m.Content[i], "kb.yaml")
		assert.Len(t, found, 1)
	}
}

func FuzzReadFile(f *testing.F) {
	f.Add([]byte(goodFile))
	f.Add([]byte("answers:\n  wet: *a\n"))
	f.Add([]byte("assembly:\n - a\njoints: {a: {b: {readings: [1, {at: 2}]}}}"))
	f.Add([]byte("\ufeff? [a]\n: b\n---\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, found := ReadFile(bytes.NewReader(data), "a.yaml")
		for _, x := range found {
			if x.What == "" || x.Code == "" || x.Line < 1 || x.Col < 1 {
				t.Fatalf("a finding without words or place: %+v", x)
			}
		}
		if len(found) > 0 {
			return
		}
		var out bytes.Buffer
		if _, err := file.WriteTo(&out); err != nil {
			t.Fatal(err)
		}
		text := out.String()
		file.Assembly.Inline = nil // how its text is set in is its reader's business
		out.Reset()
		file.WriteTo(&out)
		again, found := ReadFile(&out, "a.yaml")
		if len(found) > 0 {
			t.Fatalf("%q was written as %q, which is faulty: %v", data, text, found)
		}
		assert.Equal(t, withoutPlaces(file), withoutPlaces(again))
	})
}
