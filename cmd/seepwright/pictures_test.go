package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/picture"
	"seepwright/engine/measure/catalogue"
	"seepwright/kb"
)

func TestEveryCalculationWithAPictureDrawsItsExample(t *testing.T) {
	for _, name := range sketched() {
		c, ok := catalogue.ByName(name)
		require.True(t, ok, name)
		file := filepath.Join(t.TempDir(), name+".svg")
		out, bad, state := measured(t, append([]string{name, "--picture", file}, exampleOf(c)...)...)
		require.Equal(t, exitDone, state, "%s: %s", name, bad)
		svg, err := os.ReadFile(file)
		require.NoError(t, err, name)
		assert.Contains(t, string(svg), `role="img"`)
		assert.Contains(t, bad, "drawn: ")
		plain, _, _ := measured(t, append([]string{name}, exampleOf(c)...)...)
		assert.Equal(t, plain, out, "%s: the text is what it is without a picture", name)
		table, bad, state := measured(t, append([]string{name, "--picture", "-"}, exampleOf(c)...)...)
		require.Equal(t, exitDone, state, "%s: %s", name, bad)
		require.True(t, strings.HasPrefix(table, plain), name)
		for _, line := range strings.Split(table, "\n") {
			assert.LessOrEqual(t, len([]rune(line)), 80, line)
		}
		assert.Greater(t, len(table), len(plain)+60, name)
	}
}

func TestWhatCannotBeDrawnSaysWhatCan(t *testing.T) {
	tests := []struct {
		name string
		args []string
		says string
	}{
		{"a calculation without a picture", []string{"push-out", "diameter=1.5 in", "pressure=22 psi", "--picture", "a.svg"}, "these have one: bolt-order"},
		{"a table among JSON", []string{"roundness", "1mm", "2mm", "3mm", "--picture", "-", "--format", "json"}, "leave --format json out"},
		{"an order in words", []string{"bolt-order", "bolts=long-cover", "--picture", "-"}, "told in words"},
		{"a folder that is not there", []string{"ovality", "38mm@12:00", "38.1mm@3:00", "38mm@1:30", "--picture", "no/such/a.svg"}, "cannot be written"},
		{"a bow without a load", []string{"cover-bow", "spacing=70 mm", "cover-width=20 mm", "cover-thickness=8 mm", "cover-material=aluminium", "gasket=fibre", "gasket-width=15 mm", "gasket-thickness=1 mm", "--picture", "-"}, "give bolt-load"},
	}
	for _, tt := range tests {
		_, bad, state := measured(t, tt.args...)
		assert.NotEqual(t, exitDone, state, tt.name)
		assert.Contains(t, bad, tt.says, tt.name)
	}
}

// Least and greatest of a picture are the figures that the calculation prints.
func TestAPictureShowsTheFiguresOfItsCalculation(t *testing.T) {
	out, bad, state := measured(t, "oring-fit", "cord=3.53 mm", "groove-diameter=25.40 mm", "bore-diameter=31.04 mm", "cord-tolerance=0.10 mm", "groove-tolerance=0.05 mm", "bore-tolerance=0.05 mm", "spigot-diameter=30.94 mm", "--picture", "-", "--format", "text")
	require.Equal(t, exitDone, state, bad)
	assert.Contains(t, out, "(squeeze-min): 16.33 %")
	_, table, found := strings.Cut(out, "Ring in its gland")
	require.True(t, found)
	assert.Contains(t, table, "16.3 %")
	assert.Contains(t, table, "23.7 %")
	out, bad, state = measured(t, "oring-fit", "cord=0.139 in", "groove-diameter=1 in", "bore-diameter=1.222 in", "spigot-diameter=1.214 in", "--picture", "-")
	require.Equal(t, exitDone, state, bad)
	assert.Contains(t, out, "(squeeze-off-centre): 17.27 %")
	_, table, _ = strings.Cut(out, "Ring in its gland")
	assert.Contains(t, table, "17.3 %")
	assert.Contains(t, table, "0.139 in")
}

// benchCase is the demonstration as far as the bench: one text of the answers put for another.
func benchCase(t *testing.T, old, now string) *work {
	t.Helper()
	dir := t.TempDir()
	unitFile, answers := filepath.Join(dir, "unit.yaml"), filepath.Join(dir, "answers.yaml")
	data, err := demoFiles.ReadFile("demo/unit.yaml")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(unitFile, data, 0o644))
	first, err := demoFiles.ReadFile("demo/1-first-drip.yaml")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(answers, []byte(strings.Replace(string(first), old, now, 1)), 0o644))
	a := &app{in: strings.NewReader(""), out: &strings.Builder{}, err: &strings.Builder{}, env: func(string) string { return "" }}
	w, err := a.open(start{assembly: unitFile, answers: answers})
	require.NoError(t, err)
	return w
}

// beyondOf draws what a joint has beside gland and diameters.
func beyondOf(t *testing.T, w *work, joint string) map[string]picture.Picture {
	t.Helper()
	out := map[string]picture.Picture{}
	for _, d := range w.beyond(joint) {
		p, err := d.Draw()
		require.NoError(t, err)
		require.NotContains(t, out, p.Name, "each is drawn once")
		out[p.Name] = p
	}
	return out
}

func TestAHoseEndOfACaseIsDrawnFromItsDistances(t *testing.T) {
	assert.Empty(t, beyondOf(t, benchCase(t, "", ""), "hose-in"), "nothing was measured yet")
	w := benchCase(t, "hose-in: {joint-wet: no}", `hose-in: {joint-wet: no, spigot-diameter: 38 mm, hose-bore: 37.5 mm}`)
	assert.Empty(t, beyondOf(t, w, "hose-in"), "two diameters are no picture of a hose end")
	w = benchCase(t, "hose-in: {joint-wet: no}", `hose-in: {joint-wet: no, spigot-diameter: 38 mm, hose-bore: 37.5 mm, band-width: 12 mm, clamp-to-hose-end: 8 mm, clamp-behind-bead: 3 mm}`)
	p := beyondOf(t, w, "hose-in")["hose-hose-in"]
	assert.Contains(t, p.Desc, "Clamp to the end of the hose: 8 mm.")
	assert.Contains(t, p.Desc, "Clamp to the bead: 3 mm.")
	assert.Contains(t, p.SVG, "hose-hose-in-title")
}

func TestAFaceAndItsBoltsAreDrawn(t *testing.T) {
	answers := filepath.Join(t.TempDir(), "answers.yaml")
	require.NoError(t, os.WriteFile(answers, []byte(`joint: face-gasket
answers:
  fluid: water
  bolt-count: 8
  old-material-on-face: no
  seal-circle: 120 mm
  face-heights:
    - {at: "12:00", value: 0.00 mm}
    - {at: "3:00", value: 0.04 mm}
    - {at: "6:00", value: 0.01 mm}
    - {at: "9:00", value: 0.05 mm}
`), 0o644))
	a := &app{in: strings.NewReader(""), out: &strings.Builder{}, err: &strings.Builder{}, env: func(string) string { return "" }}
	w, err := a.open(start{answers: answers, joint: "face-gasket"})
	require.NoError(t, err)
	got := beyondOf(t, w, "joint")
	require.Contains(t, got, "bolts-joint")
	assert.Contains(t, got["bolts-joint"].Desc, "In order of tightening: 1, 5, 3, 7, 2, 6, 4, 8")
	require.Contains(t, got, "flatness-joint-face-heights")
	assert.Contains(t, got["flatness-joint-face-heights"].Desc, "Map of 4 places on the face.")
	assert.Nil(t, w.beyond("no such joint"))
}

func TestFactsThatAreDrawnExist(t *testing.T) {
	k, err := kb.Load(kb.Kinds()...)
	require.NoError(t, err)
	for input, f := range drawnFrom {
		assert.NotNil(t, k.Fact(f), "%s is drawn from %s", input, f)
	}
}
