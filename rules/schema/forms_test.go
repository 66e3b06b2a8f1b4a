package schema

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

func form(t *testing.T, name string, k *rules.Knowledge) *jsonschema.Schema {
	text, err := OfForm(name, k)
	require.NoError(t, err)
	return validator(t, text)
}

// taken reports whether the reader of a form takes a text.
func taken(name, text string) bool {
	if name == "assembly" {
		_, bad := assembly.Read(strings.NewReader(text), "x.yaml", []string{"radial-oring", "hose-clamp"})
		return bad.Errors() == 0
	}
	f, bad := answer.ReadFile(strings.NewReader(text), "x.yaml")
	if bad.Errors() > 0 {
		return false
	}
	if len(f.Assembly.Inline) > 0 {
		_, bad = assembly.Read(bytes.NewReader(f.Assembly.Inline), "x.yaml", []string{"radial-oring", "hose-clamp"})
	}
	return bad.Errors() == 0
}

func holds(t *testing.T, s *jsonschema.Schema, text string) error {
	nodes, ok := documents([]byte(text))
	require.True(t, ok, text)
	require.Len(t, nodes, 1, text)
	return s.Validate(decoded(t, nodes[0]))
}

// The units, the demo, the examples and the sound machines are good under their schemas.
func TestTheFilesOfPeopleAreValid(t *testing.T) {
	count := 0
	for name, places := range map[string][]string{
		"assembly": {"cmd/seepwright/units/*.yaml", "cmd/seepwright/demo/unit.yaml"},
		"answers":  {"cmd/seepwright/demo/[0-9]*.yaml", "testdata/sound/*.yaml", "testdata/example/drip-in-may.yaml", "testdata/example/weep-in-the-cold.yaml"},
	} {
		s := form(t, name, nil)
		for _, place := range places {
			found, err := filepath.Glob(filepath.Join(root, place))
			require.NoError(t, err)
			require.NotEmpty(t, found, place)
			for _, file := range found {
				text, err := os.ReadFile(file)
				require.NoError(t, err)
				assert.NoError(t, holds(t, s, string(text)), file)
				count++
			}
		}
	}
	assert.Greater(t, count, 30)
}

// Each of these files has one fault of form, which the reader and the schema both see.
func TestBadFilesOfPeopleAreRefusedByReaderAndSchema(t *testing.T) {
	for _, name := range Forms() {
		s := form(t, name, nil)
		found, err := filepath.Glob(filepath.Join(root, "testdata/form-bad", name+"-*.yaml"))
		require.NoError(t, err)
		require.Greater(t, len(found), 8, name)
		for _, file := range found {
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.False(t, taken(name, string(text)), "the reader takes %s", file)
			assert.Error(t, holds(t, s, string(text)), "the schema takes %s", file)
		}
	}
}

// values are written into every field in turn.
var values = []string{"x", "Two words", "5", "-1", "1.5", "20 min", "yes", "true", `"yes"`, "~", `""`, "[]", "[a, b]", "[1]", "[[x]]", "{}", "{a: b}", "{a: [b]}", "{is: [a], not: b}", "{value: 12 mm}", "{readings: [1 mm, 2 mm], unit: mm}", "{readings: 1 mm}", "{is: {a: b}}",
	`[{at: "3:00", value: 1 mm}]`, "[{at: x}]", "[{value: 1 mm, by: x}]", "[~]", "remade", "wet", "long-service", "radial-oring", "unknown", "[radial-oring, hose-clamp]", "{id: b}", "[{id: b, kind: hose-clamp}]", "[{did: new-ring, retest: wet}]",
	"[{did: [a, b], retest: dry, joint: c}]", "[{did: a}]", "[{retest: damp}]", "2024-05-01", "100000", "200000", "{b: {bore-oval: yes}}", "{b: [x]}"}

// Whatever value stands in a field: what the schema refuses the reader refuses too, and most of
// what the reader refuses for its form the schema does.
func TestTheSchemasOfPeoplesFilesRefuseNothingThatTheReaderTakes(t *testing.T) {
	unit, joint, step := assembly.Fields()
	line := func(_ []string, n, v string, rest ...string) string {
		var out []string
		for i := 0; i < len(rest); i += 2 {
			if rest[i] != n {
				out = append(out, rest[i]+": "+rest[i+1])
			}
		}
		return "{" + strings.Join(append(out, n+": "+v), ", ") + "}"
	}
	const pump = "[{id: a, kind: hose-clamp}]"
	tried, refused, seen := 0, 0, 0
	try := func(name string, s *jsonschema.Schema, text string) {
		tried++
		bad := holds(t, s, text)
		ok := taken(name, text)
		if !ok {
			refused++
		}
		if bad != nil {
			seen++
			assert.False(t, ok, "the schema refuses what the reader takes: %s: %v", text, bad)
		}
	}
	a, u := form(t, "answers", nil), form(t, "assembly", nil)
	for _, v := range values {
		for _, n := range append(answer.Keys(), "answer") {
			try("answers", a, n+": "+v+"\n")
		}
		try("answers", a, "answers: {bore-oval: "+v+"}\n")
		try("answers", a, "joints: {a: {bore-oval: "+v+"}}\n")
		for _, n := range []string{"joint", "did", "retest", "when"} {
			try("answers", a, "tried: ["+line(nil, n, v, "did", "x", "retest", "wet")+"]\n")
		}
		for _, n := range append(unit, "units") {
			try("assembly", u, line(unit, n, v, "joints", pump)+"\n")
		}
		for _, n := range append(joint, "access") {
			try("assembly", u, "joints: [{id: z, kind: hose-clamp}, {id: b, kind: hose-clamp}, "+line(joint, n, v, "id", "y", "kind", "unknown")+"]\n")
		}
		for _, n := range append(step, "minutes") {
			try("assembly", u, "{joints: "+pump+", access: ["+line(step, n, v, "id", "s")+"]}\n")
		}
	}
	t.Logf("%d tried, %d refused by the reader, %d by the schema", tried, refused, seen)
	assert.Greater(t, float64(seen), 0.8*float64(refused), "names that do not exist are the rest")
}

func TestTheFieldsOfTheSchemasAreThoseOfTheReaders(t *testing.T) {
	var out struct {
		Properties  map[string]any
		Definitions struct {
			Assembly struct {
				Properties map[string]any
			}
		}
	}
	text, err := OfForm("answers", nil)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &out))
	own := []string{"case", "confirmed", "log", "proven"}
	assert.ElementsMatch(t, append(answer.Keys(), own...), slices.Collect(maps.Keys(out.Properties)))
	unit, _, _ := assembly.Fields()
	assert.ElementsMatch(t, unit, slices.Collect(maps.Keys(out.Definitions.Assembly.Properties)))
}

// With a knowledge base the names in it are known, and others are marked.
func TestASchemaMadeWithKnowledgeKnowsItsNames(t *testing.T) {
	k := &rules.Knowledge{
		Joints:      []*rules.Joint{{Head: rules.Head{ID: "sight-glass"}}},
		Instruments: []*rules.Instrument{{Head: rules.Head{ID: "rule"}}},
		Remedies:    []*rules.Remedy{{Head: rules.Head{ID: "new-ring"}}},
		Facts: []*rules.Fact{
			{Head: rules.Head{ID: "glass-cracked"}, Ask: "Is the glass cracked?", Answer: fact.YesNo},
			{Head: rules.Head{ID: "wet-when"}, Ask: "When?", Answer: fact.Choice, Options: []rules.Option{{ID: "hot", Title: "only when hot"}}},
			{Head: rules.Head{ID: "squeeze"}, Engine: true},
		},
	}
	answers, unit := form(t, "answers", k), form(t, "assembly", k)
	for text, good := range map[string]bool{
		"answers: {glass-cracked: yes, wet-when: hot}": true,
		"answers: {wet-when: only when hot}":           true,
		"answers: {wet-when: cant-tell}":               true,
		"answers: {squeeze: 20 %}":                     true,
		"answers: {glas-cracked: yes}":                 false,
		"joints: {a: {glas-cracked: yes}}":             false,
		"joint: sight-glass, hose":                     true,
		"tried: [{did: new-ring, retest: dry}]":        true,
	} {
		assert.Equal(t, good, holds(t, answers, text) == nil, text)
	}
	for text, good := range map[string]bool{
		"joints: [{id: a, kind: sight-glass}]":                                true,
		"joints: [{id: a, kind: unknown, known: {glass-cracked: no}}]":        true,
		"joints: [{id: a, kind: sight-glas}]":                                 false,
		"{joints: [{id: a, kind: sight-glass}], known: {glas-cracked: yes}}":  false,
		"{joints: [{id: a, kind: sight-glass}], tools: [rule, my own stick]}": true,
	} {
		assert.Equal(t, good, holds(t, unit, text) == nil, text)
	}
	_, err := OfForm("answer", nil)
	require.ErrorContains(t, err, "answers, assembly")
}
