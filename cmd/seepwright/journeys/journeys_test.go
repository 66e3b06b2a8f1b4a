package journeys

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/lint"
	"seepwright/rules/source"
)

// A real leak and a solved case, both invented for the tests.
const (
	toldLeak = `case: one
source: invented
told: Wet at one place after the pump was refitted.
joint: radial-oring
history: after-refit
answers: {joint-wet: yes, wet-spread: one-sector, wet-when: {is: [hot], not: [cold]}, dry-at-retest: [idle]}
confirmed:
  family: face_or_bore_defect
  cause: The bore was cut crooked.
  same as: [bore-oval, bore-pitted]
`
	solvedCase = `case: two
for: radial-oring
cause: bore-oval
looks like: pipe-strained
stage: opened
history: after-refit
source: invented for a test
story: The bore was gauged and is oval.
given: {bore-out-of-round: yes, wet-spread: one-sector}
`
)

func read(k *rules.Knowledge, files map[string]string) ([]Leak, source.Findings) {
	fsys := fstest.MapFS{}
	for name, text := range files {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return Read(fsys, "d", k)
}

func builtIn(t testing.TB) *rules.Knowledge {
	k, err := kb.Load()
	require.NoError(t, err)
	return k
}

func TestBothFormsAreReadFromOneFolder(t *testing.T) {
	leaks, bad := read(builtIn(t), map[string]string{"b/one.yaml": toldLeak, "a.yaml": solvedCase, "tables/x.yaml": "no: document", "c.yaml": "remedy: passed-over\n", ".hidden.yaml": "["})
	require.Empty(t, bad)
	require.Len(t, leaks, 2)
	assert.Equal(t, []string{"two", "one"}, []string{leaks[0].ID, leaks[1].ID}, "in the order of the files")
	assert.Equal(t, []string{"radial-oring/bore-oval", "radial-oring/bore-pitted"}, leaks[1].Causes)
	assert.True(t, leaks[1].Told)
	assert.Equal(t, "face_or_bore_defect", leaks[0].Family)
	assert.Equal(t, rules.AfterRefit, leaks[1].History)
}

func TestEveryMistakeInARealLeakHasItsPlace(t *testing.T) {
	k := builtIn(t)
	for _, x := range []struct{ name, old, new, want string }{
		{"a cause that there is not", "bore-pitted", "bore-pited", `d/x.yaml:10:24: no cause of a radial-oring is called "bore-pited"`},
		{"a kind that there is not", "joint: radial-oring", "joint: radial-ring", `d/x.yaml:4:8: no joint kind is called "radial-ring"`},
		{"a history that there is not", "after-refit", "after-refitt", `d/x.yaml:5:10: no history is called "after-refitt"`},
		{"a family that there is not", "face_or_bore_defect", "face_defect", `d/x.yaml:8:11: no class of causes is called "face_defect"`},
		{"an answer that does not fit", "one-sector", "everywhere-else", `d/x.yaml:6:39: wet-spread: "everywhere-else" is none`},
		{"a fact that there is not", "wet-spread", "wet-spreads", `d/x.yaml:6:40: no fact is called "wet-spreads"`},
		{"a fact of another kind of joint", "wet-spread: one-sector", "hose-slid: yes", `d/x.yaml:6:38: hose-slid is no question about a radial-oring`},
		{"a name that it has not", "told:", "tolt: x\ntold:", `d/x.yaml:3:1: a real leak has no "tolt"`},
		{"a name twice", "joint: radial-oring", "joint: radial-oring\njoint: hose-clamp", `d/x.yaml:5:1: "joint" stands here a second time`},
		{"no end", toldLeak[strings.Index(toldLeak, "confirmed"):], "", `d/x.yaml:1:1: a real leak needs "confirmed"`},
		{"a list where a text belongs", "told: Wet at one place", "told: [a]\nsource: b", `d/x.yaml:3:7: a text is wanted here`},
		{"an end that is no list", "[bore-oval, bore-pitted]", "bore-oval", `d/x.yaml:10:12: a list of names is wanted here`},
	} {
		require.Contains(t, toldLeak, x.old, x.name)
		_, bad := read(k, map[string]string{"x.yaml": strings.Replace(toldLeak, x.old, x.new, 1)})
		if assert.NotEmpty(t, bad, x.name) {
			assert.Contains(t, bad.Error(), x.want, x.name)
		}
	}
	_, bad := read(k, map[string]string{"x.yaml": toldLeak, "y.yaml": toldLeak})
	assert.Contains(t, bad.Error(), `d/y.yaml:1:1: "one" is told in d/x.yaml:1:1 too`)
	_, bad = read(k, map[string]string{"x.txt": ""})
	assert.Contains(t, bad.Error(), "d: there is no solved case in this folder")
}

// Whatever stands in a file: it is read, or every error says in which file and line, and what.
func FuzzRead(f *testing.F) {
	k := builtIn(f)
	f.Add(toldLeak)
	f.Add(solvedCase)
	f.Add(toldLeak + "---\n" + solvedCase)
	f.Add("case: x\ntold: &a [*a]\n")
	f.Add("case: x\nanswers: {joint-wet: {is: [], not: hot}, bore: 3 mm +- x}\nconfirmed: []\n")
	f.Add("case: x\n? [told]\n: y\nconfirmed: {same as: [{}, '']}\n")
	f.Add("case: [1]\nfor: radial-oring\ncause: \"\"\n")
	f.Add("? case\n...\n\ttold: \"\n")
	f.Fuzz(func(t *testing.T, text string) {
		leaks, bad := read(k, map[string]string{"x.yaml": text})
		for _, x := range bad {
			require.NotEmpty(t, x.What)
			if x.Code == "no-cases" {
				require.Equal(t, "d", x.File)
				continue
			}
			require.Equal(t, "d/x.yaml", x.File, "%+v", x)
			require.Positive(t, x.Line, "%+v", x)
		}
		if bad.Errors() > 0 {
			return
		}
		require.NotEmpty(t, leaks, "neither a case nor a finding")
		for _, l := range leaks {
			require.NotEmpty(t, l.ID)
			require.NotNil(t, k.Joint(l.For), l.For)
			for _, ref := range l.Causes {
				require.NotNil(t, k.Cause(ref), ref)
			}
			require.Contains(t, append(lint.Families(), elsewhere), l.Family)
		}
	})
}
