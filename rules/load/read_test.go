package load

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

func folder(files ...string) fstest.MapFS {
	out := fstest.MapFS{}
	for i := 0; i+1 < len(files); i += 2 {
		out[files[i]] = &fstest.MapFile{Data: []byte(files[i+1])}
	}
	return out
}

const cause = `cause: bore-oval
title: Bore is not round
for: radial-oring
means: The bore has lost its shape.
family: face_or_bore_defect
share: {after-refit: 2.2 %, long-service: 0.033}
more likely:
  - {when: was-dropped is yes}
  - {when: casing is cast-iron, times: 5, source: invented, standing: estimate}
less likely:
  - when: last-work is untouched
signs: [{when: wet-spread is one-sector, shows: 50 %}, {when: ring-nick is yes, shows: 0.2}]
found by:
  - {check: bore-gauge, when: bore-out-of-round is yes, se: 90 %}
  - {check: nail-test}
remedies: [new-ring, {remedy: hone-bore, minutes: 2 h, success: 95 %}]
stop-gap: {allowed: short, measure: Catch it., limit: One day.}
prevent: Support it.
if ignored: It grows.
course: grows
anyway: yes
looks like: [{cause: ring-flat, split by: bore-gauge}]
`

func TestACauseIsReadWithAllItsFields(t *testing.T) {
	k, found := Read(folder("bore-oval.yaml", cause, "checks.yaml", `check: bore-gauge
title: Gauge the bore
kind: measure
fills: bore-out-of-round
stage: opened
minutes: 5
wait: 1.5 h
needs: [cold, pressure-zero]
how: At three heights.
se: 85 %
sp: 95 %
`), Options{Prefix: "kb"})
	require.Empty(t, found)
	require.Len(t, k.Causes, 1)
	c := k.Causes[0]
	assert.Equal(t, "radial-oring/bore-oval", c.Ref())
	assert.Equal(t, source.Place{File: "kb/bore-oval.yaml", Line: 1, Col: 1}, c.Place)
	assert.Equal(t, rules.PerHistory{rules.AfterRefit: 0.022, rules.LongService: 0.033}, c.Share)
	require.Len(t, c.Context, 3)
	assert.Equal(t, []float64{2, 5, 0.5}, []float64{c.Context[0].Times, c.Context[1].Times, c.Context[2].Times})
	assert.Equal(t, rules.Estimate, c.Context[1].Standing)
	assert.Equal(t, "casing is cast-iron", c.Context[1].When.Cond.String())
	assert.Equal(t, "wet-spread", c.Signs[0].Fact)
	assert.Equal(t, "one-sector", c.Signs[0].Option)
	assert.Empty(t, c.Signs[1].Option)
	assert.Equal(t, 12, c.Signs[0].Place.Line)
	assert.Equal(t, []float64{0.9, 0.95}, []float64{c.FoundBy[0].Se, c.FoundBy[0].Sp}, "what the cause does not say is taken from the check")
	assert.Empty(t, c.FoundBy[1].Fact)
	assert.Equal(t, rules.RemedyRef{Remedy: "hone-bore", Minutes: 120, Success: 0.95}, c.Remedies[1])
	assert.Equal(t, rules.StopGap{Allowed: "short", Measure: "Catch it.", Limit: "One day."}, c.StopGap)
	assert.True(t, c.Anyway)
	assert.Equal(t, 90.0, k.Checks[0].Wait)
	assert.Equal(t, []string{"bore-out-of-round"}, k.Checks[0].Fills)
}

func TestFactsRulesAndCasesAreRead(t *testing.T) {
	k, found := Read(folder("facts.yaml", `fact: wet-onset
ask: When?
answer: choice
graded: yes
options: [{id: at-once, title: at once, base: {after-refit: 60 %}}, {id: months, base: 5 %}]
within: {after-refit: [at-once], long-service: []}
---
fact: seen
ask: What?
answer: several
options: [{id: hot}, {id: cold}]
---
fact: squeeze
ask: How much?
answer: quantity
dimension: ratio
least: 0
most: 60 %
`, "r.yaml", `rule: r
for: [radial-oring]
says: So it is.
then:
  - conclude: seen is hot
  - conclude: seen is not cold
  - conclude: dry is not yes
  - compute: {by: oring-fit, from: {cord: cord-size, groove-diameter: '35,3 mm'}, into: {squeeze: squeeze}}
  - raise: {cause: bore-oval}
  - lower: {cause: bore-oval}
  - find: {cause: bore-oval}
  - run: {verdict: watched, limit: ten drops, because: it is a weep}
  - target: least-squeeze
`, "cases.yaml", `case: first
for: radial-oring
cause: bore-oval
stage: before-opening
given:
  a: yes
  b: [12.03 mm, {at: "3:00", value: 12.05 mm}]
  c: {is: hot, not: [cold]}
  d: {unit: mm, readings: [1, 2]}
`), Options{})
	require.Empty(t, found)
	f := k.Fact("wet-onset")
	assert.Equal(t, map[rules.History][]string{rules.AfterRefit: {"at-once"}, rules.LongService: {}}, f.Within)
	assert.Equal(t, fact.JointScope, f.Scope)
	assert.Len(t, f.Options[1].Base, 4, "one figure holds for all histories")
	assert.Equal(t, unit.RatioDim, k.Fact("squeeze").Least.Dim, "a ratio needs no unit")
	then := k.Rule("r").Then
	assert.Equal(t, fact.MakeSeveral([]string{"hot"}, nil), then[0].Conclude.Value)
	assert.Equal(t, fact.MakeSeveral(nil, []string{"cold"}), then[1].Conclude.Value)
	assert.Equal(t, fact.MakeYesNo(false), then[2].Conclude.Value)
	assert.Equal(t, "35,3 mm", then[3].Compute.From["groove-diameter"])
	assert.Equal(t, 2.0, then[4].Raise.Times)
	assert.Equal(t, 0.5, then[5].Lower.Times)
	assert.Equal(t, rules.FindCause{Cause: "bore-oval", Se: 0.9, Sp: 0.95}, *then[6].Find)
	assert.Equal(t, "watched", then[7].Run.Verdict)
	given := k.Cases[0].Given
	assert.Equal(t, "yes", given["a"].Scalar)
	assert.Equal(t, []string{"12.03 mm", "12.05 mm"}, given["b"].List)
	assert.Equal(t, []string{"", "3:00"}, given["b"].At)
	assert.Equal(t, []string{"hot"}, given["c"].Is)
	assert.Equal(t, "mm", given["d"].Unit)
	assert.Equal(t, 6, k.Cases[0].Top)
}

func TestFindingsPointAtTheVeryLetter(t *testing.T) {
	for _, tt := range []struct {
		name, text string
		line, col  int
	}{
		{"in a plain condition", "target: t\nwhen: dry is yes und wet is no\n", 2, 18},
		{"in quotes the text starts one column later", "target: t\nwhen: 'dry is yes und wet is no'\n", 2, 19},
		{"letters count, not bytes", "target: t\ntitle: Größe\nwhen: dry is yes ünd wet is no\n", 3, 18},
		{"inside braces, after other text", "cause: t\nmore likely: [{when: dry is yes und wet is no}]\n", 2, 33},
		{"in a block of one line", "target: t\nwhen: |\n  dry is yes und wet is no\n", 3, 14},
		{"folded text points at its start", "target: t\nwhen: dry is yes\n  und wet is no\n", 2, 7},
		{"after a byte order mark", "\ufefftarget: t\nwhen: dry is yes und wet is no\n", 2, 18},
		{"with line ends of another system", "target: t\r\nwhen: dry is yes und wet is no\r\n", 2, 18},
		{"in a later document", "target: u\n---\ntarget: t\nwhen: dry is yes und wet is no\n", 4, 18},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, found := Read(folder("t.yaml", tt.text), Options{})
			for _, f := range found {
				if f.Code == "condition-syntax" {
					assert.Equal(t, []int{tt.line, tt.col}, []int{f.Line, f.Col}, f.String())
					return
				}
			}
			t.Fatalf("no condition-syntax among\n%v", found)
		})
	}
}

// The samples are the slips of people who write YAML for the first time.
func TestSyntaxErrorsAreFoundOnTheirLine(t *testing.T) {
	for _, tt := range []struct {
		name, text string
		line       int
	}{
		{"a colon inside text", "caution: c\ntitle: Mind: hot\nhazard: x\n", 2},
		{"a quote that is not closed", "caution: c\ntitle: 'Mind it\nhazard: x\nwarning: y\n", 2},
		{"a tab in front", "caution: c\n\ttitle: x\n", 2},
		{"a list that is not closed", "stop: c\nmake safe: [a, b\nreason: x\n", 2},
		{"braces that are not closed", "cause: c\nshare: {after-refit: 3 %\nmeans: x\n", 2},
		{"a line that stands too far left in a list", "stop: c\nmake safe:\n  - a\n - b\n", 4},
		{"a text that starts with a percent sign", "caution: c\ntitle: %5 of all\n", 2},
		{"a text that starts with an at sign", "caution: c\ntitle: @home\n", 2},
		{"a name without its colon", "caution: c\ntitle\nhazard: x\n", 2},
		{"a line that stands too deep", "caution: c\n  title: x\n", 2},
		{"a fault in the second document", "caution: c\n---\ncaution: d\ntitle: a: b\n", 4},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, found := Read(folder("t.yaml", tt.text), Options{})
			var syntax source.Findings
			for _, f := range found {
				if f.Code == "yaml-syntax" {
					syntax = append(syntax, f)
				}
			}
			require.Len(t, syntax, 1)
			assert.Equal(t, tt.line, syntax[0].Line, syntax[0].String())
			assert.NotContains(t, syntax[0].What, "yaml:", "the message is ours, not the library's")
		})
	}
}

func TestAllMistakesComeAtOnce(t *testing.T) {
	_, found := Read(folder("a.yaml", "caution: a\ntitel: x\n---\nremedie: b\n", "b.yaml", "fact: c\nanswer: maybe\n"), Options{Prefix: "mine/"})
	codes := map[string]int{}
	for _, f := range found {
		codes[f.Code]++
		assert.True(t, strings.HasPrefix(f.File, "mine/"), "places are named as the folder was typed")
	}
	assert.Equal(t, map[string]int{"unknown-field": 1, "missing-field": 4, "unknown-kind": 1, "bad-choice": 1}, codes)
	assert.Equal(t, found, found.Sort())
}

// Files that are made to hurt end in a finding, soon.
func TestHostileFilesEndInAFinding(t *testing.T) {
	lines := strings.Repeat("- a: [\n", 150000)
	for name, text := range map[string]string{
		"brackets without end":       strings.Repeat("[", MaxFile),
		"braces without end":         strings.Repeat("{a: ", MaxFile/4),
		"dashes without end":         strings.Repeat("- ", MaxFile/2),
		"question marks without end": strings.Repeat("? ", MaxFile/2),
		"many lines with a fault":    lines[:MaxFile],
		"aliases that unfold":        "a: &a [x,x,x,x,x,x,x,x,x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a,*a]\nc: &c [*b,*b,*b,*b,*b,*b,*b,*b,*b]\nd: [*c,*c,*c,*c,*c,*c,*c,*c,*c]\n",
		"an alias of itself":         "caution: &a\n  - *a\n",
		"remarks only":               strings.Repeat("# \n", MaxFile/3),
		"document marks only":        strings.Repeat("---\n", MaxFile/4),
		"zero bytes":                 strings.Repeat("\x00", MaxFile),
		"one long line":              "caution: " + strings.Repeat("a", MaxFile-20),
		"one long name":              strings.Repeat("a", MaxFile-20) + ": b",
		"many names":                 strings.Repeat("a: b\n", MaxFile/5),
		"not YAML at all":            "\x7fELF\x02\x01",
		"more than it may have":      strings.Repeat("x", MaxFile+1),
		"many broken documents":      strings.Repeat("a: b: c\n---\n", 80000),
	} {
		t.Run(name, func(t *testing.T) {
			_, found := Read(folder("a.yaml", text), Options{})
			assert.NotEmpty(t, found)
			assert.LessOrEqual(t, len(found), MaxFindings+1)
		})
	}
}

func TestTheHintNamesTheNearestField(t *testing.T) {
	_, found := Read(folder("a.yaml", "caution: a\ntitle: x\nwarnings: y\nhazard: z\n"), Options{})
	require.Len(t, found, 2)
	assert.Equal(t, `did you mean "warning"?`, found[1].Hint)
}

func FuzzRead(f *testing.F) {
	f.Add(cause)
	f.Add("fact: a\nask: b\nanswer: choice\noptions: [{id: x, base: 3 %}]\nwithin: {after-refit: []}\n---\nrule: r\nthen: [{conclude: a is x}]\n")
	f.Add("case: c\ngiven: {a: [1 mm, {at: x, value: 2}], b: {is: [x]}}\njoints: {j: {kind: k}}\n")
	f.Add("amend: cause a/b\nshare: {after-refit: 3}\n---\nafter: x\n---\nremove: fact a\n---\nreplace: fact a\nask: b\n")
	f.Add("a: &x [*x]\nb: !t 010\n? - c\n: d\n")
	base, _ := Read(folder("facts.yaml", "fact: a\nask: b\nanswer: yes-no\n"), Options{})
	f.Fuzz(func(t *testing.T, text string) {
		var places Places
		k, found := Read(folder("a.yaml", text), Options{Places: &places})
		for _, x := range found {
			if x.What == "" || x.Code == "" || x.File == "" {
				t.Fatalf("a finding without place, code or text: %+v", x)
			}
		}
		if found.Errors() == 0 {
			again := &rules.Knowledge{}
			if err := Decode(pack(*k), again); err != nil {
				t.Fatal(err)
			}
		}
		Overlay(base, []Folder{{"mine", folder("a.yaml", text)}}, &places)
	})
}

func FuzzDecode(f *testing.F) {
	k, _ := Read(folder("bore-oval.yaml", cause), Options{})
	f.Add(pack(*k))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		_ = Decode(data, &rules.Knowledge{}) // no panic, no endless work
	})
}
