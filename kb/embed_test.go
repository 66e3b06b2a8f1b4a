package kb

import (
	"io/fs"
	"os"
	"path"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules"
	"seepwright/rules/lint"
	"seepwright/rules/load"
)

func TestTheCompiledFormIsThatOfTheYAML(t *testing.T) {
	files, err := load.Compile(os.DirFS("."), "kb")
	require.NoError(t, err)
	entries, err := fs.ReadDir(compiled, "compiled")
	require.NoError(t, err)
	require.Len(t, entries, len(files), "one compiled file per folder: run go generate ./kb")
	for folder, want := range files {
		got, err := compiled.ReadFile(path.Join("compiled", folder+".flat"))
		require.NoError(t, err)
		require.True(t, string(want) == string(got), "%s has changed since it was compiled: run go generate ./kb", folder)
	}
}

func TestTheKnowledgeBaseHasNoMistakes(t *testing.T) {
	var places load.Places
	k, found := Read(&places)
	for _, f := range append(found, lint.Check(k, lint.Options{Places: &places})...) {
		if !f.Warning {
			t.Error(f)
		}
	}
}

// The dossier gives so many causes for each kind, the row "not this joint" included. A cause
// that is lost, or a slip in a share, shows here.
func TestNoCauseIsLostAndSharesAddUp(t *testing.T) {
	causes := map[string]int{
		"banjo":               14,
		"casting":             15,
		"brazed-joint":        15,
		"clamped-face":        16,
		"bonded-seal":         17,
		"compression-fitting": 16,
		"core-plug":           13,
		"drain-valve":         18,
		"face-gasket":         37,
		"face-oring":          22,
		"face-shaft-seal":     23,
		"finned-exchanger":    15,
		"flare-cone":          18,
		"hose-clamp":          34,
		"lip-seal":            25,
		"plate-exchanger":     15,
		"port-oring":          18,
		"pressure-cap":        14,
		"quad-ring":           10,
		"radial-oring":        38,
		"reciprocating-seal":  21,
		"rotating-oring":      18,
		"sealant-joint":       21,
		"shell-and-tube":      14,
		"taper-thread":        20,
		"tie-rod-cap":         18,
		"tube-bundle":         17,
		"washer-joint":        17,
	}
	k, err := Load()
	require.NoError(t, err)
	for _, kind := range Kinds() {
		want, known := causes[kind]
		require.True(t, known, "%s has no number of causes in this test", kind)
		assert.Len(t, k.CausesOf(kind), want, kind)
		elsewhere := 0
		sum := rules.PerHistory{}
		for _, c := range k.CausesOf(kind) {
			if c.Elsewhere {
				elsewhere++
			}
			for h, x := range c.Share {
				sum[h] += x
			}
		}
		assert.Equal(t, 1, elsewhere, "%s has one row for leaks from elsewhere", kind)
		assert.Contains(t, sum, rules.AfterRefit, kind)
		assert.Contains(t, sum, rules.LongService, kind)
		for h, x := range sum {
			assert.InDelta(t, 1, x, 0.02, "%s, %s", kind, h)
		}
	}
	assert.Len(t, Kinds(), len(causes))
}

func TestOneKindBringsItsOwnAndWhatAllShare(t *testing.T) {
	k, err := Load("radial-oring", "radial-oring")
	require.NoError(t, err)
	require.Len(t, k.Joints, 1)
	assert.Empty(t, k.CausesOf("face-gasket"))
	assert.NotEmpty(t, k.SharedCauses())
	require.NotNil(t, k.Fact("fluid"))
	assert.Empty(t, k.Cases)
	for _, c := range k.CausesOf("radial-oring") {
		assert.Equal(t, "kb/radial-oring/causes/"+c.ID+".yaml", c.Place.File)
		assert.Positive(t, c.Place.Line)
	}
	for _, w := range load.Conditions(k) {
		if w.Text != "" {
			assert.NotNil(t, w.Cond, "%s is parsed", w.Place)
			assert.Positive(t, w.Place.Line)
		}
	}
}

func TestTheCompiledKnowledgeIsTheOneReadFromYAML(t *testing.T) {
	want, found := Read(nil)
	require.Zero(t, found.Errors())
	got, err := Load()
	require.NoError(t, err)
	assert.Equal(t, len(want.Rules), len(got.Rules))
	assert.Equal(t, want.Facts, got.Facts)
	assert.Equal(t, want.Causes, got.Causes)
	assert.Equal(t, want.Rules, got.Rules)
	assert.Equal(t, want.Checks, got.Checks)
}

// Who does not know the kind is led to it by what holds it together.
func TestEveryKindSaysWhatOneSees(t *testing.T) {
	k, err := Load()
	require.NoError(t, err)
	for _, j := range k.Joints {
		assert.NotEmpty(t, j.HeldBy, "%s: held by", j.ID)
		assert.NotEmpty(t, j.LooksLike, "%s: looks like", j.ID)
	}
}

func TestAnUnknownKindNamesTheNearest(t *testing.T) {
	_, err := Load("radial-orin")
	require.ErrorContains(t, err, `did you mean "radial-oring"?`)
	_, err = Load("../embed")
	require.Error(t, err)
}

func TestTheSourcesHoldEveryFile(t *testing.T) {
	want := 0
	require.NoError(t, fs.WalkDir(os.DirFS("."), ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && strings.HasSuffix(name, ".yaml") {
			want++
			_, err = fs.Stat(Sources(), name)
			assert.NoError(t, err, "a folder deeper than the others is not embedded")
		}
		return err
	}))
	assert.Positive(t, want)
}

func BenchmarkLoadOneKind(b *testing.B) {
	for b.Loop() {
		if _, err := Load("radial-oring"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLoadAllKinds(b *testing.B) {
	for b.Loop() {
		if _, err := Load(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadYAML(b *testing.B) {
	for b.Loop() {
		if _, found := Read(nil); found.Errors() > 0 {
			b.Fatal(found)
		}
	}
}

func TestTheOverviewShowsWhatOneSeesOfEveryKind(t *testing.T) {
	all, err := Load()
	require.NoError(t, err)
	k, err := Overview()
	require.NoError(t, err)
	require.Len(t, k.Joints, len(all.Joints))
	for i, j := range all.Joints {
		o := k.Joints[i]
		assert.Equal(t, []any{j.ID, j.Title, j.LooksLike, j.HeldBy, j.Moves, j.CaseKind}, []any{o.ID, o.Title, o.LooksLike, o.HeldBy, o.Moves, o.CaseKind})
	}
	for _, f := range all.Facts {
		if f.First > 0 && len(f.For) == 0 { // those of one kind are asked when it is known
			assert.NotNil(t, k.Fact(f.ID), "%s is asked before the kind is known", f.ID)
		}
	}
	assert.NotContains(t, Kinds(), load.Overview)
}
