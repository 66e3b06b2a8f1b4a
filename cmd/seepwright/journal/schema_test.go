package journal

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"seepwright/rules/schema"
)

// An editor that has the schema of answers must not cry wolf at a case that the program kept.
func TestAKeptCaseIsValidUnderTheSchemaOfAnswers(t *testing.T) {
	text, err := schema.OfForm("answers", nil)
	require.NoError(t, err)
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("s.json", doc))
	s, err := c.Compile("s.json")
	require.NoError(t, err)

	path := filepath.Join(t.TempDir(), "case.yaml")
	kept := record()
	kept.Head.ID, kept.Confirmed = "case", []string{"fluid"}
	kept.Proven = []Proven{{Joint: "left", Kind: "hose-clamp", Cause: "slack-after-set"}}
	require.NoError(t, Save(path, kept))
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	var v map[string]any
	require.NoError(t, yaml.Unmarshal(data, &v))
	for name := range v { // the sections are judged by their shape only
		if list, ok := v[name].([]any); ok && name == "log" {
			v[name] = make([]any, len(list))
		}
	}
	for _, name := range sectionNames {
		assert.Contains(t, v, name, "the record has a %s", name)
	}
	if head, ok := v["case"].(map[string]any); ok {
		v["case"] = map[string]any{"id": head["id"]}
	}
	assert.NoError(t, s.Validate(v))
}
