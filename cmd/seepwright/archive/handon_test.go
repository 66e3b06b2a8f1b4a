package archive

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/journal"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
)

const marker = "Zyx-Marker-77"

// unitOf reads the unit of a record.
func unitOf(t require.TestingT, c *journal.Case) *assembly.Assembly {
	asm, bad := assembly.Read(bytes.NewReader(c.File.Assembly.Inline), "unit", []string{"face-gasket", "radial-oring"})
	require.Zero(t, bad.Errors(), bad)
	return asm
}

// rich is a case with something in every field that a case has.
func rich() *journal.Case {
	c := record()
	c.Add(
		journal.Entry{At: on(10), What: journal.TookBack, Name: "fluid"},
		journal.Entry{At: on(10), What: journal.Opened, Name: "pad", Joint: "pad", Minutes: 5},
		journal.Entry{At: on(10), What: journal.Reopened, Said: "again"},
	)
	c.File.Tried = []answer.Tried{{Joint: answer.Word{Text: "pad"}, Did: []answer.Word{{Text: "lap-face"}}, Wet: true}}
	return c
}

func TestACaseToHandOnKeepsWhatTeaches(t *testing.T) {
	k, err := kb.Load()
	require.NoError(t, err)
	c := rich()
	out, left := HandOn(c, k, unitOf(t, c))
	text := written(t, out)
	golden(t, "handed-on.yaml", text)
	assert.NotContains(t, text, "Marker-Name")
	assert.NotContains(t, text, "2026")
	assert.NotContains(t, text, "pump")
	again, bad := journal.Read(strings.NewReader(text), "x.yaml")
	require.Zero(t, bad.Errors(), bad)
	assert.Equal(t, "face-bowed", again.Proven[0].Cause)
	assert.Equal(t, "face-gasket-1", again.Proven[0].Joint)
	assert.Equal(t, 1, left["notes"])
	assert.Equal(t, 1, left["photos"])
	asm := unitOf(t, again)
	assert.Len(t, asm.Joints, 2)
}

// TestNoWordThatWasTypedSurvivesHandingOn puts a marker into every text of a case, one after the
// other and then all at once, and looks for it in what is handed on.
func TestNoWordThatWasTypedSurvivesHandingOn(t *testing.T) {
	k, err := kb.Load("face-gasket", "radial-oring")
	require.NoError(t, err)
	places := 0
	mark := func(c *journal.Case, asm *assembly.Assembly, only int) {
		n := 0
		for _, v := range []any{c, asm} {
			texts(reflect.ValueOf(v).Elem(), func(set func(string)) {
				if only < 0 || n == only {
					set(marker)
				}
				n++
			})
		}
		places = n
	}
	look := func(only int) {
		c := rich()
		asm := unitOf(t, c)
		mark(c, asm, only)
		out, _ := HandOn(c, k, asm)
		require.NotContains(t, written(t, out), "Marker-77", "text number %d", only)
		data, err := JSON(out)
		require.NoError(t, err)
		require.NotContains(t, string(data), "Marker-77", "text number %d", only)
	}
	look(-1)
	require.Greater(t, places, 100)
	for i := range places {
		look(i)
	}
}

// texts calls do for every text below a value, keys of maps too.
func texts(v reflect.Value, do func(set func(string))) {
	switch v.Kind() {
	case reflect.String:
		do(func(s string) { v.SetString(s) })
	case reflect.Pointer:
		if !v.IsNil() {
			texts(v.Elem(), do)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				texts(v.Field(i), do)
			}
		}
	case reflect.Slice:
		if v.Type().Elem().Kind() == reflect.Uint8 {
			return // the text of the unit, which is given as it was read
		}
		for i := range v.Len() {
			texts(v.Index(i), do)
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			x := reflect.New(v.Type().Elem()).Elem()
			x.Set(v.MapIndex(k))
			texts(x, do)
			v.SetMapIndex(k, x)
			do(func(s string) { v.SetMapIndex(reflect.ValueOf(s).Convert(k.Type()), x) })
		}
	}
}

func TestFiguresArePlainAndWordsAreNot(t *testing.T) {
	for s, want := range map[string]bool{
		"12:00": true, "3": true, "1.0 bar to 0.98 bar": true, "a drop a minute": true, "6 drops in 1 min": true, "90 deg": true, "18 C to 21 C": true, "the same": true,
		"near Anna's flange": false, "line 1: 40 mm": true, marker: false,
	} {
		assert.Equal(t, want, plain(s), s)
	}
}

func TestOnlyADryClosingTeaches(t *testing.T) {
	k, err := kb.Load("face-gasket", "radial-oring")
	require.NoError(t, err)
	for _, c := range []struct {
		name string
		do   func(c *journal.Case)
		want []Outcome
		why  string
	}{
		{"one proven cause", func(*journal.Case) {}, []Outcome{{"2026-05-04-cooler", "face-gasket", "after-refit", "face-bowed"}}, ""},
		{"the kind comes from the unit where the outcome lacks it", func(c *journal.Case) { c.Proven[0].Kind = "" }, []Outcome{{"2026-05-04-cooler", "face-gasket", "after-refit", "face-bowed"}}, ""},
		{"two causes, one each", func(c *journal.Case) {
			c.Proven = append(c.Proven, journal.Proven{Joint: "water-in", Kind: "radial-oring", Cause: "ring-nicked"})
		}, []Outcome{{"2026-05-04-cooler", "face-gasket", "after-refit", "face-bowed"}, {"2026-05-04-cooler (2)", "radial-oring", "after-refit", "ring-nicked"}}, ""},
		{"the history of the joint goes first", func(c *journal.Case) {
			c.File.Joints["pad"]["history"] = rules.AnswerText{Scalar: "long-service"}
		}, []Outcome{{"2026-05-04-cooler", "face-gasket", "long-service", "face-bowed"}}, ""},
		{"own words are none of those listed", func(c *journal.Case) { c.Proven[0].Cause = "" }, []Outcome{{"2026-05-04-cooler", "face-gasket", "after-refit", "not-in-this-knowledge-base"}}, ""},
		{"left as it is", func(c *journal.Case) { c.Head.End = "left" }, nil, "not closed dry"},
		{"opened again", func(c *journal.Case) { c.Head.End, c.Head.Closed = "", c.Head.Closed.Add(-c.Head.Closed.Sub(on(0))) }, nil, "not closed dry"},
		{"wet at the last retest", func(c *journal.Case) {
			c.Add(journal.Entry{At: on(12), What: journal.Retest, Name: "cold-morning", Tissue: "damp"})
		}, nil, "not dry at its last retest"},
		{"wet before the last work", func(c *journal.Case) { c.Log[7].Tissue = "wet"; c.Add(journal.Entry{At: on(12), What: journal.Did}) }, []Outcome{{"2026-05-04-cooler", "face-gasket", "after-refit", "face-bowed"}}, ""},
		{"no history", func(c *journal.Case) { c.File.History.Text = "" }, nil, "the history is not known"},
		{"nothing proven", func(c *journal.Case) { c.Proven = nil }, nil, "nothing proven"},
	} {
		t.Run(c.name, func(t *testing.T) {
			x := record()
			c.do(x)
			got, why := Outcomes(x, k, unitOf(t, x))
			assert.Equal(t, c.want, got)
			assert.Equal(t, c.why, why)
		})
	}
	assert.Equal(t, "- {case: \"a: \\\"b\\\"\", kind: k, history: h, cause: c, retest: dry}\n", OutcomesFile([]Outcome{{`a: "b"`, "k", "h", "c"}}))
}
