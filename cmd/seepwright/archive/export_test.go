package archive

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"seepwright/cmd/seepwright/journal"
	"seepwright/rules"
)

var update = flag.Bool("update", false, "rewrite what is expected")

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

// record is an invented case of the pumphouse with something in every part.
func record() *journal.Case {
	c := journal.New()
	c.Head = journal.Head{ID: "2026-05-04-cooler", Title: "Cooler drips: pad side", Unit: pumphouse, By: "Marker-Name", Opened: on(0), Closed: on(9), End: journal.Dry, Form: 1}
	c.Proven = []journal.Proven{{Joint: "pad", Kind: "face-gasket", Cause: "face-bowed", Said: "as Marker-Name said", Done: "lapped"}}
	c.File.Assembly.Inline = []byte("assembly: " + pumphouse + "\njoints:\n  - {id: pad, kind: face-gasket, title: pad}\n  - {id: water-in, kind: radial-oring}\n")
	c.File.Answers["fluid"] = rules.AnswerText{Scalar: "water"}
	c.File.Answers["reaches"] = rules.AnswerText{Is: []string{"nothing-that-matters"}, Not: []string{"electrics"}}
	c.File.Joints["pad"] = map[string]rules.AnswerText{"face-flatness": {Scalar: "0.08 mm by feeler-gauge"}}
	c.File.History.Text = "after-refit"
	c.Confirm("pad", "face-flatness")
	c.Add(
		journal.Entry{At: on(0), By: "Marker-Name", What: journal.Answered, Name: "fluid", Value: rules.AnswerText{Scalar: "water"}},
		journal.Entry{At: on(0), What: journal.Answered, Joint: "pad", Name: "face-flatness", Value: rules.AnswerText{Scalar: "0.08 mm by feeler-gauge"}},
		journal.Entry{At: on(1), What: journal.Measured, Joint: "water-in", Name: "bore-readings", With: "bore-gauge", Value: rules.AnswerText{List: []string{"38.11 mm", "38.12 mm"}, At: []string{"12:00", "3:00"}}},
		journal.Entry{At: on(1), What: journal.Measured, Joint: "water-in", Name: "ring-section", Value: rules.AnswerText{Scalar: "3.53 mm +/- 0.02 mm by micrometer"}},
		journal.Entry{At: on(1), What: journal.Ranked, Ranked: []journal.Chance{{Joint: "pad", Cause: "face-bowed", Chance: 0.6}}, Run: "watched", Next: "Marker-Name looks"},
		journal.Entry{At: on(2), What: journal.Note, Said: "Marker-Name saw it\nfirst: true", Photos: []string{"photos/Marker-Name.jpg"}},
		journal.Entry{At: on(3), What: journal.Did, Joint: "pad", Did: []string{"lap-face"}, Parts: []string{"gasket for Marker-Name"}, Fluids: []string{"Marker-Name's spirit"}, Minutes: 40, Said: "Marker-Name helped"},
		journal.Entry{At: on(4), What: journal.Retest, Joint: "pad", Name: "cold-pressure", Tissue: "dry", Amount: "a drop", Gauge: "1.0 bar", Temperature: "18 C", Level: "the same", Minutes: 20},
		journal.Entry{At: on(9), What: journal.Closed, Name: journal.Dry},
	)
	return c
}

func written(t require.TestingT, c *journal.Case) string {
	var b strings.Builder
	_, err := c.WriteTo(&b)
	require.NoError(t, err)
	return b.String()
}

func TestACaseComesBackFromJSONAsItWas(t *testing.T) {
	c := record()
	data, err := JSON(c)
	require.NoError(t, err)
	require.True(t, json.Valid(data))
	again, err := FromJSON(bytes.NewReader(data), "x.json")
	require.NoError(t, err)
	assert.Equal(t, len(c.Log), len(again.Log))
	back, err := JSON(again)
	require.NoError(t, err)
	assert.Equal(t, string(data), string(back))
	golden(t, "record.json", string(data))
}

func TestAnyTextOfACaseComesBackFromJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := record()
		word := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"", "1", "1e3", "0x10", "true", "null", "~", "2026-05-04", "a: b", "- x", "{", "\n", "\"", "<b>&"}))
		c.Head.Title = word.Draw(t, "title")
		c.Log[5].Said = word.Draw(t, "said")
		c.Log[1].Value.Scalar = word.Draw(t, "value")
		plain := written(t, c)
		if _, bad := journal.Read(strings.NewReader(plain), "x"); bad.Errors() > 0 {
			return // such a record is never saved
		}
		data, err := JSON(c)
		require.NoError(t, err)
		again, err := FromJSON(bytes.NewReader(data), "x.json")
		require.NoError(t, err, string(data))
		was, bad := journal.Read(strings.NewReader(plain), "x")
		require.Zero(t, bad.Errors())
		assert.Equal(t, was.Head.Title, again.Head.Title)
		assert.Equal(t, was.Log[5].Said, again.Log[5].Said)
		assert.Equal(t, was.Log[1].Value.Scalar, again.Log[1].Value.Scalar)
	})
}

func TestWhatIsNoCaseInJSONIsRefusedWithItsLine(t *testing.T) {
	for text, says := range map[string]string{
		"":                              "x.json:1: this is no case in JSON",
		"[]":                            "a case is one object in braces",
		"{\n\"case\": nope}":            "x.json:2:",
		"{\"log\": null}":               "stands for nothing in a case",
		"{} {}":                         "behind the end of the case",
		strings.Repeat("{\"a\":", 100):  "nested too deep",
		`{"case": {"id": "x"}, "a": 1}`: `"a"`,
	} {
		_, err := FromJSON(strings.NewReader(text), "x.json")
		assert.ErrorContains(t, err, says, text)
	}
}

func TestTheTableOfCasesHasOneLineACase(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, CSV(&b, season()))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 8)
	assert.Equal(t, CaseColumns, rows[0])
	assert.Equal(t, []string{"b", "b", pumphouse, "", "2026-05-09T16:30:00Z", "2026-05-10T16:30:00Z", "dry", "water-in", "radial-oring", "ring-nicked", "", "", "52", "2", "1", "0"}, rows[2])
}

func TestReadingsAreOneALine(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Readings(&b)(record()))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	var got []string
	for _, r := range rows[1:] {
		got = append(got, strings.Join(r[4:], "|"))
	}
	assert.Equal(t, []string{
		"pad|face-flatness||0.08|mm||feeler-gauge", "water-in|bore-readings|12:00|38.11|mm||bore-gauge", "water-in|bore-readings|3:00|38.12|mm||bore-gauge",
		"water-in|ring-section||3.53|mm|0.02 mm|micrometer",
	}, got)
}

func TestNoCellOfATableIsTakenForAFormula(t *testing.T) {
	l := journal.Line{Head: journal.Head{ID: "x", Title: "=HYPERLINK(\"x\")", Unit: "@SUM(A1)", By: "+1+1", Opened: on(0)}, Proven: []journal.Proven{{Joint: " =a", Said: "-2+3", Done: "\t=b"}}}
	var b bytes.Buffer
	require.NoError(t, CSV(&b, []journal.Line{l}))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	for _, cell := range rows[1] {
		assert.NotContains(t, "=+-@", (strings.TrimSpace(cell) + " ")[:1], cell)
	}
	assert.Equal(t, []string{"-0.02", "+3", "'-2 mm", "'=1", "a\nb c"}, safe("-0.02", "+3", "-2 mm", "=1", "a\nb\tc"))
}
