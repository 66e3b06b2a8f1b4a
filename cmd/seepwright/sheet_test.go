package main

import (
	"bytes"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/journal"
	"seepwright/cmd/seepwright/sheet"
	"seepwright/engine"
	"seepwright/kb"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
)

var updateSheets = flag.Bool("update-sheets", false, "rewrite the golden job sheets")

// The day on which the golden sheets were printed.
var printed = time.Date(2026, 5, 4, 16, 30, 0, 0, time.UTC)

// demoAt is the demo unit after so many of its scenes.
func demoAt(t *testing.T, stage int) (*work, *engine.Result) {
	t.Helper()
	a := &app{in: strings.NewReader(""), out: io.Discard, err: io.Discard, env: func(string) string { return "" }}
	data, err := demoFiles.ReadFile("demo/unit.yaml")
	require.NoError(t, err)
	asm, bad := assembly.Read(bytes.NewReader(data), "demo/unit.yaml", kb.Kinds())
	require.Zero(t, bad.Errors(), bad)
	w, err := a.start(asm)
	require.NoError(t, err)
	for _, sc := range scenes[:stage] {
		data, err := demoFiles.ReadFile("demo/" + sc.file)
		require.NoError(t, err)
		file, bad := answer.ReadFile(bytes.NewReader(data), sc.file)
		require.Zero(t, append(bad, w.tell(file)...).Errors(), bad)
	}
	r, err := w.result()
	require.NoError(t, err)
	return w, r
}

// demoSheets are the demo unit at three of its stages.
func demoSheets(t *testing.T) map[string]sheet.Input {
	t.Helper()
	out := map[string]sheet.Input{}
	for name, stage := range map[string]int{"first-drip": 1, "on-the-bench": 3, "dry": 5} {
		w, r := demoAt(t, stage)
		out[name] = sheet.Input{Result: r, KB: w.kb, Unit: w.asm, Printed: printed, Pictures: w.pictures(r, "")}
	}
	return out
}

// The other golden sheets: work that is refused, bolts with their order, a kind that is not known,
// and a record with notes and retests. All invented.
var sheetCases = map[string]string{
	"refused": `
joint: hose-clamp
answers: {work-on: ordinary, fluid: fuel, state-now: {is: [safe-and-cold]}, can-isolate: yes, reaches: {is: [nothing-that-matters]}, below-waterline: no, joint-wet: yes, last-work: remade, first-wet: at-once}
`,
	"crack": `
joint: casting
answers: {work-on: ordinary, fluid: coolant, crack-seen: yes, state-now: {is: [safe-and-cold]}, can-isolate: yes, reaches: {is: [nothing-that-matters]}, below-waterline: no, joint-wet: yes, last-work: untouched, first-wet: at-once}
`,
	"eight-bolts": `
joint: face-gasket
answers:
  work-on: ordinary
  fluid: water
  state-now: {is: [safe-and-cold]}
  can-isolate: yes
  reaches: {is: [nothing-that-matters]}
  below-waterline: no
  growing: no
  crack-seen: no
  pressure-max: 1.8 bar
  temp-max: 24 C
  joint-wet: yes
  wet-amount: weep
  last-work: remade
  first-wet: first-heats
  bolt-count: 8
  bolts-uneven: yes
  torque-makers: 18 N m
`,
	"kind-not-known": `
joint: [face-gasket, face-oring]
answers: {work-on: ordinary, fluid: water, state-now: {is: [safe-and-cold]}, can-isolate: yes, reaches: {is: [nothing-that-matters]}, below-waterline: no, joint-wet: yes, last-work: remade, first-wet: at-once}
`,
	"record": `
case:
  id: 2026-05-04-lift-pump-outlet
  title: outlet hose of the lift pump
  by: a fitter
  opened: 2026-05-04T08:00:00Z
  record: 1
joint: hose-clamp
answers: {work-on: ordinary, fluid: water, state-now: {is: [safe-and-cold]}, can-isolate: yes, reaches: {is: [nothing-that-matters]}, below-waterline: no, growing: no, crack-seen: no, pressure-max: 1.8 bar, temp-max: 24 C, joint-wet: yes, wet-amount: weep, last-work: remade, first-wet: first-heats}
log:
  - {at: 2026-05-04T08:30:00Z, by: a fitter, note: "hose was cut short last year"}
  - {at: 2026-05-04T15:00:00Z, retest: static-fill, tissue: dry, minutes: 15}
  - {at: 2026-05-04T15:30:00Z, retest: cold-pressure, tissue: damp, gauge: 1.8 bar to 1.7 bar, temperature: 18 C to 19 C, minutes: 20}
`,
}

func sheetsFromFiles(t *testing.T) map[string]sheet.Sheet {
	t.Helper()
	out := map[string]sheet.Sheet{}
	for name, text := range sheetCases {
		a := &app{in: strings.NewReader(text), out: io.Discard, err: io.Discard, env: func(string) string { return "" }}
		s, err := a.sheetOf(start{answers: "-"}, printed)
		require.NoError(t, err, name)
		out[name] = s
	}
	return out
}

func TestTheJobSheetsAreAsTheyWere(t *testing.T) {
	local := time.Local
	time.Local = time.UTC
	t.Cleanup(func() { time.Local = local })
	all := sheetsFromFiles(t)
	for name, in := range demoSheets(t) {
		all[name] = sheet.New(in)
	}
	dir := filepath.Join("sheet", "testdata")
	for name, s := range all {
		for ext, write := range map[string]func(io.Writer, sheet.Sheet) error{
			".html": sheet.HTML, ".md": sheet.Markdown, ".txt": func(w io.Writer, s sheet.Sheet) error { return sheet.Text(w, s, 80) },
		} {
			var got bytes.Buffer
			require.NoError(t, write(&got, s))
			path := filepath.Join(dir, name+ext)
			if *updateSheets {
				require.NoError(t, os.WriteFile(path, got.Bytes(), 0o644))
				continue
			}
			want, err := os.ReadFile(path)
			require.NoError(t, err, "go test ./cmd/seepwright -run JobSheets -update-sheets writes it")
			assert.Equal(t, string(want), got.String(), "%s: go test ./cmd/seepwright -run JobSheets -update-sheets rewrites it", path)
		}
	}
}

func ids(s sheet.Sheet) []string {
	var out []string
	for _, x := range s.Sections {
		out = append(out, x.ID)
	}
	return out
}

func TestTheSectionsOfAJobSheetStandInTheOrderOfTheWork(t *testing.T) {
	in := demoSheets(t)
	require.Equal(t, []string{"cautions", "ready", "before", "strip", "decide", "mend", "reassemble", "lubricants", "refit", "retest", "again", "meanwhile", "sign"},
		without(ids(sheet.New(in["first-drip"])), "numbers", "bolts", "bench", "pictures", "try"))
	require.Contains(t, ids(sheet.New(in["on-the-bench"])), "numbers")
	assert.Equal(t, []string{"cautions", "numbers", "pictures", "retest", "again", "sign"}, ids(sheet.New(in["dry"])), "what is dry is not stripped down")
	files := sheetsFromFiles(t)
	assert.Contains(t, ids(files["eight-bolts"]), "bolts")
	assert.Contains(t, ids(files["kind-not-known"]), "looks", "without a plan the sheet says what to find out")
	assert.Contains(t, ids(files["record"]), "notes")
}

func without(list []string, drop ...string) []string {
	var out []string
	for _, x := range list {
		keep := true
		for _, d := range drop {
			keep = keep && x != d
		}
		if keep {
			out = append(out, x)
		}
	}
	return out
}

func TestRefusedWorkGivesOnlyHowToMakeItSafeAndSaysSo(t *testing.T) {
	s := sheetsFromFiles(t)["refused"]
	require.NotEmpty(t, s.Sections)
	assert.Equal(t, "stop", s.Sections[0].ID)
	assert.Contains(t, s.Sections[0].Says, "not planned here")
	assert.Equal(t, []string{"stop", "cautions", "sign"}, ids(s))
	for _, x := range s.Sections {
		for _, i := range x.Items {
			assert.Nil(t, i.Step, "a refusal has no steps")
		}
	}
}

func TestEveryCautionOfAStepStandsBeforeItAndAmongTheFirst(t *testing.T) {
	in := demoSheets(t)["on-the-bench"]
	s := sheet.New(in)
	first := map[string]bool{}
	n := 0
	for _, x := range s.Sections {
		for _, i := range x.Items {
			switch {
			case x.ID == "cautions" && i.Warning != nil:
				first[i.Warning.Mark] = true
			case i.Step != nil:
				for _, w := range i.Step.Warnings {
					assert.True(t, first[w.Mark], "%s before step %d is not among the cautions", w.Mark, i.Step.No)
					n++
				}
			}
		}
	}
	assert.Greater(t, n, 5)
	want := 0
	for _, st := range in.Result.Plan.Steps {
		if st.Part != "retest" {
			want += len(st.Cautions)
		}
	}
	assert.GreaterOrEqual(t, n, want, "a caution of the plan is lost")
}

func TestASheetIsFoundByFileOrByTheNameOfACase(t *testing.T) {
	dir := t.TempDir()
	store := journal.Store{Dir: dir}
	c, bad := journal.Read(strings.NewReader(sheetCases["record"]), "record")
	require.Zero(t, bad.Errors(), bad)
	path, err := store.Create(c)
	require.NoError(t, err)
	for _, name := range []string{path, "lift-pump"} {
		var out, errs bytes.Buffer
		a := &app{in: strings.NewReader(""), out: &out, err: &errs, env: func(string) string { return "" }}
		require.Zero(t, a.run([]string{"sheet", name, "--dir", dir, "--format", "html"}), errs.String())
		assert.Contains(t, out.String(), "hose was cut short last year")
	}
	for _, args := range [][]string{{"sheet"}, {"sheet", "nowhere", "--dir", dir}, {"sheet", path, "--format", "paper"}} {
		var out, errs bytes.Buffer
		a := &app{in: strings.NewReader(""), out: &out, err: &errs, env: func(string) string { return "" }}
		assert.NotZero(t, a.run(args))
		assert.NotEmpty(t, errs.String())
		assert.Empty(t, out.String())
	}
}
