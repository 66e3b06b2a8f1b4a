package schema

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"seepwright/rules/load"
	"seepwright/rules/source"
)

var update = flag.Bool("update", false, "rewrite the schemas in files/")

// compiled is a schema as a validator that knows nothing of this program reads it.
func compiled(t *testing.T, kind string) *jsonschema.Schema {
	text, err := Of(kind)
	require.NoError(t, err)
	return validator(t, text)
}

func validator(t *testing.T, text []byte) *jsonschema.Schema {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("schema.json", doc))
	s, err := c.Compile("schema.json")
	require.NoError(t, err)
	return s
}

// plain turns YAML into what a validator of JSON takes.
func plain(v any) any {
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			v[k] = plain(x)
		}
	case map[any]any:
		out := map[string]any{}
		for k, x := range v {
			out[fmt.Sprint(k)] = plain(x)
		}
		return out
	case []any:
		for i, x := range v {
			v[i] = plain(x)
		}
	case time.Time:
		return v.Format("2006-01-02")
	}
	return v
}

// documents are the documents of a file; ok is false where it does not hold together as YAML.
func documents(text []byte) (out []*yaml.Node, ok bool) {
	d := yaml.NewDecoder(bytes.NewReader(text))
	for {
		var n yaml.Node
		switch err := d.Decode(&n); {
		case err == io.EOF:
			return out, true
		case err != nil:
			return out, false
		}
		out = append(out, &n)
	}
}

func decoded(t *testing.T, n *yaml.Node) any {
	var v any
	require.NoError(t, n.Decode(&v))
	return plain(v)
}

func files(t *testing.T, dir string, do func(name string, text []byte)) {
	require.NoError(t, filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && strings.HasSuffix(name, ".yaml") && filepath.Base(filepath.Dir(name)) != "tables" {
			text, err := os.ReadFile(name)
			require.NoError(t, err)
			do(name, text)
		}
		return err
	}))
}

const root = "../.."

func TestTheSchemasInTheFilesAreThoseOfTheReader(t *testing.T) {
	want := map[string]string{}
	for _, kind := range append(Kinds(), "") {
		text, err := Of(kind)
		require.NoError(t, err)
		name := "knowledge.json"
		if kind != "" {
			name = kind + ".json"
		}
		want[name] = string(text)
		if *update {
			require.NoError(t, os.WriteFile(filepath.Join("files", name), text, 0o644))
		}
	}
	for _, form := range Forms() {
		text, err := OfForm(form, nil)
		require.NoError(t, err)
		want[form+".json"] = string(text)
		if *update {
			require.NoError(t, os.WriteFile(filepath.Join("files", form+".json"), text, 0o644))
		}
	}
	found, err := filepath.Glob("files/*")
	require.NoError(t, err)
	assert.Len(t, found, len(want), "one file a kind, one for all, and one a form")
	for name, text := range want {
		data, err := os.ReadFile(filepath.Join("files", name))
		require.NoError(t, err)
		assert.Equal(t, text, string(data), "run go test ./rules/schema -update")
	}
}

func TestTheFormOfEveryFieldIsKnown(t *testing.T) {
	var look func(kind string, fields []load.Field)
	look = func(kind string, fields []load.Field) {
		for _, f := range fields {
			assert.NotEmpty(t, value(f), "%s: %s holds %q, which has no form", kind, f.Name, f.Holds)
			look(kind+" / "+f.Name, f.Fields)
		}
	}
	for _, k := range load.Kinds() {
		look(k.Name, k.Fields)
	}
}

// All knowledge is good, under the schema of its kind and under that of all.
func TestTheWholeKnowledgeIsValid(t *testing.T) {
	all, kinds, count := compiled(t, ""), map[string]*jsonschema.Schema{}, 0
	for _, k := range Kinds() {
		kinds[k] = compiled(t, k)
	}
	for _, dir := range []string{"kb", "testdata/kb-bad/sound"} {
		files(t, filepath.Join(root, dir), func(name string, text []byte) {
			nodes, ok := documents(text)
			require.True(t, ok, name)
			for _, n := range nodes {
				v := decoded(t, n)
				assert.NoError(t, all.Validate(v), name)
				assert.NoError(t, kinds[n.Content[0].Content[0].Value].Validate(v), name)
				count++
			}
		})
	}
	assert.Greater(t, count, 2000)
}

// formal are the findings that the form of one document shows. All other bad files have good form.
var formal = []string{"bad-choice", "bad-conclusion", "bad-duration", "bad-id", "bad-number", "bad-percent", "comma-cut", "empty-answer", "fill-in",
	"missing-field", "number-id", "tag", "unknown-field", "unknown-kind", "wrong-type", "yes-no-trap", "too-deep"}

func TestOfTheBadFilesThoseOfBadFormAreRefused(t *testing.T) {
	all := compiled(t, "")
	files(t, filepath.Join(root, "testdata/kb-bad"), func(name string, text []byte) {
		code := strings.TrimSuffix(filepath.Base(name), ".yaml")
		if strings.Contains(name, "sound") || code == "not-text" {
			return
		}
		refused, whole := false, true
		for _, part := range strings.Split("\n"+string(text), "\n# file: ") { // several files in one
			nodes, ok := documents([]byte("# in " + part))
			whole = whole && ok
			for _, n := range nodes {
				var v any
				if n.Decode(&v) != nil { // a name that stands twice
					whole = false
					continue
				}
				refused = refused || all.Validate(plain(v)) != nil
			}
		}
		if whole {
			assert.Equal(t, slices.Contains(formal, code), refused, code)
		}
	})
}

// samples are values of every form.
var samples = []string{"x", "Two words", "30 %", "130 %", "0.3", "1.5", "95", "-1", "2 mm", "1/2 in", "24 h", "3 days", "yes", "no", "true", `"yes"`, "[]", "[a-b, c]", "[[x]]", "{}", "{a: b}",
	"{after-refit: 30 %}", "{any: 0.1 mm}", "FILL IN", "~", `""`, "Foo-Bar", "bore is oval", "a is b or c is d", "a < 3 mm", "radial-oring/bore-oval", "opened", "[cold, pressure-zero]", "any", "010", "1,234 mm", "2024-05-01"}

// Whatever value stands in a field: what the schema refuses, the reader refuses too, for an
// editor that cries wolf is switched off. And most of what the reader refuses the schema does.
func TestTheSchemaRefusesNothingThatTheReaderTakes(t *testing.T) {
	all := compiled(t, "")
	tried, bad, seen := 0, 0, 0
	one := map[string]*yaml.Node{}
	files(t, filepath.Join(root, "testdata/kb-bad/sound"), func(name string, text []byte) {
		nodes, _ := documents(text)
		for _, n := range nodes {
			if kind := n.Content[0].Content[0].Value; one[kind] == nil {
				one[kind] = n.Content[0]
			}
		}
	})
	require.Len(t, one, len(Kinds()), "the sound knowledge base has a document of every kind")
	for _, k := range load.Kinds() {
		doc := one[k.Name]
		for _, f := range append(k.Fields, load.Field{Name: k.Name, Holds: map[bool]string{true: "name of a rule"}[k.Name == "tests"]}, load.Field{Name: "no such field"}) {
			for _, s := range samples {
				var v yaml.Node
				require.NoError(t, yaml.Unmarshal([]byte(s), &v))
				text, err := yaml.Marshal(replaced(doc, f.Name, v.Content[0]))
				require.NoError(t, err)
				nodes, ok := documents(text)
				require.True(t, ok)
				name := one[k.Name].Content[1].Value
				if f.Name == k.Name {
					name = s
				}
				if k.Name == "tests" {
					name += "_test"
				}
				_, found := load.Read(fstest.MapFS{name + ".yaml": {Data: text}}, load.Options{})
				found = slices.DeleteFunc(found, func(x source.Finding) bool { return x.Code == "file-name" })
				tried++
				wrong := all.Validate(decoded(t, nodes[0]))
				if found.Errors() > 0 {
					bad++
				}
				if wrong != nil && found.Errors() == 0 && names(f) && !strings.ContainsAny(s, "abc") {
					continue // no document can bear this name, so kb check refuses it as unknown
				}
				if wrong != nil {
					seen++
					assert.Positive(t, found.Errors(), "%s / %s: %s is refused by the schema, not by the reader: %v", k.Name, f.Name, s, wrong)
				}
			}
		}
	}
	t.Logf("%d tried, %d refused by the reader, %d by the schema", tried, bad, seen)
	assert.Greater(t, float64(seen), 0.9*float64(bad))
}

func names(f load.Field) bool {
	return strings.HasPrefix(f.Holds, "name of a ") || strings.HasPrefix(f.Holds, "list of names of ")
}

// replaced is a document with another value in one field.
func replaced(doc *yaml.Node, field string, v *yaml.Node) *yaml.Node {
	out := *doc
	out.Content = slices.Clone(doc.Content)
	for i := 0; i < len(out.Content); i += 2 {
		if out.Content[i].Value == field {
			out.Content[i+1] = v
			return &out
		}
	}
	out.Content = append(out.Content, &yaml.Node{Kind: yaml.ScalarNode, Value: field}, v)
	return &out
}

func TestChangesOfDocumentsHaveAForm(t *testing.T) {
	all := compiled(t, "")
	for text, good := range map[string]bool{
		"{amend: cause radial-oring/bore-oval, share: {after-refit: 5 %}}": true,
		"{amend: cause radial-oring/bore-oval, shares: 5 %}":               false,
		"{amend: cause radial-oring/bore-oval}":                            false,
		"{amend: case radial-oring/x, cause: bore-oval}":                   true,
		"{amend: causes radial-oring/bore-oval, share: 5 %}":               false,
		"{replace: caution hot-oil, title: Hot, hazard: a, warning: b}":    true,
		"{replace: caution hot-oil, title: Hot, hazard: a}":                false,
		"{remove: rule x}":           true,
		"{remove: rule x, says: y}":  false,
		"{after: [hill, valley]}":    true,
		"{after: hill, title: Hill}": false,
		"{case: x, cause: y, for: z, stage: opened, given: {a: yes}}": true,
		"{target: x, title: X, fact: y, at least: 5 %, without: Z}":   true,
		"{title: X}": false,
		"[]":         false,
	} {
		nodes, ok := documents([]byte(text))
		require.True(t, ok)
		err := all.Validate(decoded(t, nodes[0]))
		assert.Equal(t, good, err == nil, "%s: %v", text, err)
	}
}

func TestAnUnknownKindIsRefused(t *testing.T) {
	_, err := Of("causes")
	require.ErrorContains(t, err, "joint, cause")
}
