package lint

import (
	"fmt"
	"os"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules"
	"seepwright/rules/load"
	"seepwright/rules/source"
)

// laid gives the findings on the sound knowledge base with some files more; tests of rules
// are left out, so rule-tests is dropped.
func laid(t *testing.T, files ...string) source.Findings {
	kb := sound(t)
	for i := 0; i+1 < len(files); i += 2 {
		kb[files[i]] = &fstest.MapFile{Data: []byte(files[i+1])}
	}
	var places load.Places
	k, found := load.Read(kb, load.Options{Places: &places})
	require.Empty(t, found)
	var out source.Findings
	for _, f := range Check(k, Options{Places: &places, Calculations: []Calculation{calculation}}) {
		if f.Code != "rule-tests" {
			out = append(out, f)
		}
	}
	return out
}

func rule(id, when, then string) string {
	return "rule: " + id + "\nsays: x\nsource: invented\nstanding: estimate\nwhen: " + when + "\nthen:\n  - conclude: " + then + "\n"
}

func codesOf(fs source.Findings) []string {
	out := []string{}
	for _, f := range fs {
		out = append(out, f.Code)
	}
	return out
}

// What looks like a mistake and is none must not be reported: people stop reading a list
// that accuses them wrongly.
func TestNoFalseAccusations(t *testing.T) {
	thick := "fact: thick\nanswer: yes-no\nengine: yes\n"
	for _, tt := range []struct {
		name  string
		files []string
	}{
		{"a rule and its contrapositive are no loop", []string{"a.yaml", rule("a", "fitted-dry is no", "ring-nick is no"), "b.yaml", rule("b", "ring-nick is yes", "fitted-dry is yes")}},
		{"two rules that only might meet are no contradiction", []string{"a.yaml", rule("a", "fitted-dry is yes", "squeeze-thin is no"), "b.yaml", rule("b", "ring-nick is yes", "squeeze-thin is yes")}},
		{"two rules that exclude each other are no contradiction", []string{"a.yaml", rule("a", "ring-height < 2 mm", "squeeze-thin is yes"), "b.yaml", rule("b", "ring-height >= 2 mm", "squeeze-thin is no")}},
		{"a fact that rules only ever affirm may stay unknown", []string{"f.yaml", thick, "a.yaml", rule("a", "ring-height > 5 mm", "thick is yes"), "b.yaml", rule("b", "thick is yes", "squeeze-thin is no")}},
		{"a range between two limits can be met", []string{"a.yaml", rule("a", "ring-height > 1 mm and ring-height < 1.02 mm", "squeeze-thin is yes")}},
		{"two facts can be compared", []string{"f.yaml", "fact: ring-wanted\nask: x\nanswer: quantity\ndimension: length\n", "a.yaml", rule("a", "ring-height < ring-wanted", "squeeze-thin is yes")}},
		{"a rule for one kind may ask for the kind", []string{"a.yaml", rule("a", "joint is radial-oring and fitted-dry is yes", "squeeze-thin is yes")}},
		{"a history may be asked for", []string{"a.yaml", rule("a", "history is after-refit and fitted-dry is yes", "squeeze-thin is yes")}},
		{"a check may lead to its verdict through a rule", []string{"f.yaml", thick,
			"a.yaml", rule("a", "ring-nick is yes", "thick is yes"),
			"radial-oring/causes/ring-thick.yaml", "cause: ring-thick\ntitle: x\nfor: radial-oring\nmeans: x\nfamily: made_defective\nshare: {disturbed: 100 %}\nstanding: estimate\n" +
				"signs: [{when: wet-spread is all-round, shows: 20 %}]\nfound by: [{check: ring-look, when: thick is yes}]\nremedies: [new-ring]\nstop-gap: {allowed: no}\nprevent: x\nif ignored: x\n",
			"radial-oring/cases/ring-thick.yaml", "case: ring-thick\nfor: radial-oring\ncause: ring-thick\nstage: opened\ngiven: {ring-nick: yes}\n"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			assert.Empty(t, codesOf(laid(t, tt.files...)))
		})
	}
}

func TestALoopInValuesIsFound(t *testing.T) {
	f := laid(t, "f.yaml", "fact: thick\nanswer: yes-no\nengine: yes\n", "a.yaml", rule("a", "fitted-dry is yes and not ring-nick is no", "thick is yes"),
		"b.yaml", rule("b", "thick is yes and fitted-dry is yes", "ring-nick is yes"))
	assert.Equal(t, []string{"rule-loop"}, codesOf(f))
	f = laid(t, "a.yaml", rule("a", "fitted-dry is yes", "fitted-dry is yes"))
	assert.Equal(t, []string{"rule-loop"}, codesOf(f), "a rule that concludes what it reads")
}

func TestWhatPointsAtARemovedDocumentIsAnError(t *testing.T) {
	var places load.Places
	k, found := load.Read(sound(t), load.Options{Prefix: "kb"})
	require.Empty(t, found)
	k, found = load.Overlay(k, []load.Folder{{Name: "mine", FS: fstest.MapFS{"a.yaml": {Data: []byte("remove: remedy new-ring\n")}}}}, &places)
	require.Empty(t, found)
	f := Check(k, Options{Places: &places, Overlaid: true})
	require.Equal(t, []string{"unknown-name", "unknown-name"}, codesOf(f))
	assert.Equal(t, "kb/radial-oring/causes/ring-flat.yaml:1:1", f[0].Place.String(), "without its YAML a document is shown by its first line")
	assert.Equal(t, `no remedy is called "new-ring"`, f[0].What)
}

func TestUnderAnOverlaySharesAreWeights(t *testing.T) {
	var places load.Places
	k, found := load.Read(sound(t), load.Options{Places: &places})
	require.Empty(t, found)
	k, found = load.Overlay(k, []load.Folder{{Name: "mine", FS: fstest.MapFS{"a.yaml": {Data: []byte("amend: cause radial-oring/ring-flat\nshare: {after-refit: 80 %}\n")}}}}, &places)
	require.Empty(t, found)
	f := Check(k, Options{Places: &places, Overlaid: true})
	require.Equal(t, []string{"share-sum"}, codesOf(f))
	assert.True(t, f[0].Warning)
	assert.Contains(t, f[0].What, "140.0 %")
}

func TestCoverageCountsWhatIsThere(t *testing.T) {
	k, found := load.Read(sound(t), load.Options{})
	require.Empty(t, found)
	rows := Coverage(k)
	require.Len(t, rows, 2)
	assert.Equal(t, Row{Kind: "radial-oring", Causes: 2, Share: rules.PerHistory{rules.AfterRefit: 1, rules.LongService: 1}, Rules: 1, Cases: 2, FromAfar: 2, Sourceful: 2, Decided: 2}, rows[0])
	assert.Equal(t, "shared", rows[1].Kind)
	assert.Equal(t, 2, rows[1].Checks)
	k.Cases, k.RuleTests = nil, nil
	rows = Coverage(k)
	assert.Equal(t, []string{"ring-flat", "ring-nicked"}, rows[0].Unsolved)
	assert.Equal(t, []string{"thin-squeeze"}, rows[0].Untested)
}

func TestAnEmptyKnowledgeBaseHasNoFindings(t *testing.T) {
	assert.Empty(t, Check(&rules.Knowledge{}, Options{}))
}

func BenchmarkCheckTheBuiltIn(b *testing.B) {
	var places load.Places
	k, _ := load.Read(os.DirFS("../../kb"), load.Options{Prefix: "kb", Places: &places})
	for b.Loop() {
		Check(k, Options{Places: &places})
	}
}

func TestASplitterThatSaysTheSameOfBothIsNamed(t *testing.T) {
	const alike = "amend: cause radial-oring/ring-flat\nlooks like:\n  - {cause: ring-nicked, split by: %s, says: x}\n"
	for split, found := range map[string]bool{"ring-look": false, "ring-nick": false, "wet-spread": false, "squeeze": true, "wet-when": true} {
		has := slices.ContainsFunc(judged(t, "example", "# folder: my-shop\n# file: x.yaml\n"+fmt.Sprintf(alike, split)), func(f source.Finding) bool { return f.Code == "nothing-splits" })
		assert.Equal(t, found, has, split)
	}
}

func TestOfTwoRulesThatSayTheSameTheLaterIsReportedOnce(t *testing.T) {
	rule := func(id, kinds, when, then string) string {
		return fmt.Sprintf("# file: radial-oring/rules/%s.yaml\nrule: %s\nfor: %s\nsays: A rule.\nstanding: estimate\nwhen: %s\nthen:\n  - %s\n", id, id, kinds, when, then)
	}
	for name, x := range map[string]struct {
		a, b string
		want []string
	}{
		"the same twice":                      {rule("a", "[radial-oring]", "fitted-dry is yes", "conclude: ring-nick is yes"), rule("b", "[radial-oring]", "fitted-dry is yes", "conclude: ring-nick is yes"), []string{"b"}},
		"the narrower, whichever comes first": {rule("a", "[radial-oring]", "fitted-dry is yes and wet-when is hot", "target: squeeze-enough"), rule("b", "[radial-oring]", "fitted-dry is yes", "target: squeeze-enough"), []string{"a"}},
		"another value":                       {rule("a", "[radial-oring]", "fitted-dry is yes", "conclude: ring-nick is yes"), rule("b", "[radial-oring]", "fitted-dry is no", "conclude: ring-nick is no"), nil},
		"they only meet at times":             {rule("a", "[radial-oring]", "fitted-dry is yes", "caution: pressure-off"), rule("b", "[radial-oring]", "wet-when is hot", "caution: pressure-off"), nil},
		"odds count with each rule":           {rule("a", "[radial-oring]", "fitted-dry is yes", "lower: {cause: ring-flat, times: 0.5}"), rule("b", "[radial-oring]", "fitted-dry is yes", "lower: {cause: ring-flat, times: 0.5}"), nil},
	} {
		var got []string
		for _, f := range judged(t, "example", x.a+x.b) {
			if f.Code == "shadowed" {
				got = append(got, f.What[1:2])
			}
		}
		assert.Equal(t, x.want, got, name)
	}
}
