package load

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules"
)

func baseKnowledge(t *testing.T) *rules.Knowledge {
	k, found := Read(folder("causes/bore-oval.yaml", cause, "rest.yaml", `remedy: new-ring
title: Fit a new ring
kind: new-seal
minutes: 15
how: Fit it.
---
estimates: judgement
values: {elsewhere: 3 %, known-told: 60 %}
---
caution: hot
title: Hot
hazard: heat
warning: Wait.
`), Options{Prefix: "kb"})
	require.Empty(t, found)
	return k
}

func TestAnAmendmentChangesOnlyTheFieldsItNames(t *testing.T) {
	base := baseKnowledge(t)
	k, found := Overlay(base, []Folder{{"mine", folder("a.yaml", `amend: cause radial-oring/bore-oval
share: {after-refit: 7 %}
more likely: [{when: a is yes, times: 3}]
---
amend: estimates judgement
values: {elsewhere: 5 %}
`)}}, nil)
	require.Empty(t, found)
	c := k.Cause("radial-oring/bore-oval")
	assert.Equal(t, rules.PerHistory{rules.AfterRefit: 0.07, rules.LongService: 0.033}, c.Share, "a history that is not named keeps its share")
	require.Len(t, c.Context, 2)
	assert.Equal(t, []float64{0.5, 3}, []float64{c.Context[0].Times, c.Context[1].Times}, "what makes it less likely stays")
	assert.Equal(t, "Bore is not round", c.Title)
	assert.Equal(t, "mine/a.yaml", c.Place.File)
	x, _ := k.Estimate("known-told")
	assert.Equal(t, 0.6, x)
	assert.InDelta(t, 0.022, base.Cause("radial-oring/bore-oval").Share[rules.AfterRefit], 1e-12, "the base is not changed")
	y, _ := base.Estimate("elsewhere")
	assert.Equal(t, 0.03, y)
}

func TestDocumentsAreAddedReplacedAndRemoved(t *testing.T) {
	base := baseKnowledge(t)
	k, found := Overlay(base, []Folder{{"mine", folder(
		"bore-oval.yaml", "replace: cause radial-oring/bore-oval\ntitle: Bore oval\nfor: radial-oring\nmeans: It is oval.\nfamily: face_or_bore_defect\n",
		"b.yaml", "remove: caution hot\n---\nremedy: sleeve\ntitle: Sleeve it\nkind: machine\nminutes: 120\nhow: Sleeve it.\n")}}, nil)
	require.Empty(t, found)
	assert.Equal(t, "Bore oval", k.Cause("radial-oring/bore-oval").Title)
	assert.Empty(t, k.Cause("radial-oring/bore-oval").Signs, "nothing is left of what was replaced")
	assert.Nil(t, k.Caution("hot"))
	assert.NotNil(t, base.Caution("hot"))
	assert.NotNil(t, k.Remedy("sleeve"))
}

func TestFoldersInConflict(t *testing.T) {
	one := Folder{"hill", folder("a.yaml", "amend: remedy new-ring\nminutes: 20\n")}
	for _, tt := range []struct {
		name, text string
		codes      []string
		minutes    float64
	}{
		{"the same field is a conflict", "amend: remedy new-ring\nminutes: 30\n", []string{"overlay-conflict"}, 20},
		{"another field is none", "amend: remedy new-ring\nsuccess: 90 %\n", nil, 20},
		{"after gives the last word", "after: hill\n---\namend: remedy new-ring\nminutes: 30\n", nil, 30},
		{"the whole document touches every field", "replace: remedy new-ring\ntitle: x\nkind: new-seal\nminutes: 30\nhow: y\n", []string{"overlay-conflict"}, 20},
		{"the whole document after the field", "after: [hill]\n---\nreplace: remedy new-ring\ntitle: x\nkind: new-seal\nminutes: 30\nhow: y\n", nil, 30},
		{"a folder against itself", "amend: remedy new-ring\nlimit: a\n---\namend: remedy new-ring\nlimit: b\n", []string{"overlay-conflict"}, 20},
		{"an unknown folder", "after: hil\n", []string{"overlay-order"}, 20},
		{"a mistyped document", "amend: remedy new-rnig\nminutes: 3\n", []string{"overlay-missing"}, 20},
		{"a mistyped kind", "amend: remedies new-ring\nminutes: 3\n", []string{"unknown-kind"}, 20},
		{"an amendment of nothing", "amend: caution hot\n", []string{"missing-field"}, 20},
		{"an amendment with a mistyped field", "amend: caution hot\nwarnin: x\n", []string{"unknown-field"}, 20},
	} {
		t.Run(tt.name, func(t *testing.T) {
			k, found := Overlay(baseKnowledge(t), []Folder{one, {"valley", folder("b.yaml", tt.text)}}, nil)
			var codes []string
			for _, f := range found {
				codes = append(codes, f.Code)
			}
			assert.Equal(t, tt.codes, codes, found.Error())
			assert.Equal(t, tt.minutes, k.Remedy("new-ring").Minutes)
		})
	}
}

func TestTwoFoldersBringOneDocument(t *testing.T) {
	text := "caution: cold\ntitle: Cold\nhazard: frost\nwarning: Gloves.\n"
	_, found := Overlay(baseKnowledge(t), []Folder{{"a", folder("x.yaml", text)}, {"b", folder("y.yaml", text)}}, nil)
	require.Len(t, found, 1)
	assert.Equal(t, "overlay-conflict", found[0].Code)
	assert.Equal(t, "b/y.yaml", found[0].File)
}

func TestFoldersThatComeAfterEachOther(t *testing.T) {
	_, found := Overlay(baseKnowledge(t), []Folder{{"a", folder("x.yaml", "after: b\n")}, {"b", folder("y.yaml", "after: a\n")}}, nil)
	require.Len(t, found, 1)
	assert.Equal(t, "overlay-order", found[0].Code)
}

func TestAFolderThatCannotBeReadIsNamed(t *testing.T) {
	dir := t.TempDir()
	missing := filepath.Join(dir, "away")
	_, found := Overlay(baseKnowledge(t), []Folder{{missing, os.DirFS(missing)}}, nil)
	require.Len(t, found, 1)
	assert.Equal(t, missing, found[0].File)
	assert.Contains(t, found[0].What, "no such file or folder")

	_, found = Read(os.DirFS(dir), Options{Prefix: dir})
	require.Len(t, found, 1)
	assert.Equal(t, "empty-file", found[0].Code, "an empty folder is hardly what was meant")
}
