package main

import (
	"bytes"
	"embed"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/report"
	"seepwright/engine"
	"seepwright/kb"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
)

//go:embed demo/*.yaml
var demoFiles embed.FS

// scene is one day of the worked leak: a file of answers and what is worth reading then.
type scene struct {
	file  string
	title string
	story string
	shows []report.Section
	after string
}

// scenes tell one leak from the first drip to the dry retest. The unit and all readings are
// invented; every figure that is printed is worked out when the demo runs.
var scenes = []scene{
	{"1-first-drip.yaml", "1. The first drip",
		"The cooler of the lift pump was overhauled: new rings, new gasket. After an hour of pumping three places are wet: the plug-in water pipe, the front cap and the pad. The pump is stopped, cold, and the questions are answered at the table.",
		[]report.Section{report.MayRun, report.Where, report.Causes, report.NextStep}, ""},
	{"2-errand.yaml", "2. One walk to the machine",
		"Wiped, dried and powdered; the pump run for ten minutes; each joint looked at once. The first dark spot is at the water pipe, low on the right, and it grows when the pipe is pushed. Its twin is dry. The cap and the pad get wet from above.",
		[]report.Section{report.Where, report.Causes, report.NextStep}, ""},
	{"3-on-the-bench.yaml", "3. Apart: the parts are measured",
		"The ring is whole, the bore clean. Micrometer and bore gauge say what no eye saw: the land of the pipe is worn, so the pipe lies against one side and the new ring cannot reach the other.",
		[]report.Section{report.Causes, report.Measured, report.ThePlan}, "solved"},
	{"4-new-pipe.yaml", "4. Another pipe",
		"Another pipe from the store, measured before it goes in: this one meets the numbers for this bore and this ring. Ring, groove and bore are greased, the pipe is pushed home by hand, the bracket goes back on.",
		[]report.Section{report.Measured}, ""},
	{"5-retest.yaml", "5. The retest",
		"Filled slowly, then cold under pressure, then warm, then the next morning, then a second day: dry tissue at every step.",
		[]report.Section{report.MayRun}, "card"},
}

// demo works a leak from the first drip to the dry retest, without a question.
func (a *app) demo() *cobra.Command {
	return &cobra.Command{
		Use:   "demo",
		Short: "the worked leak, start to finish, no questions asked",
		Args:  cobra.NoArgs,
		RunE:  func(*cobra.Command, []string) error { return a.playDemo() },
	}
}

func (a *app) playDemo() error {
	data, err := demoFiles.ReadFile("demo/unit.yaml")
	if err != nil {
		return err
	}
	asm, bad := assembly.Read(bytes.NewReader(data), "demo/unit.yaml", kb.Kinds())
	if bad.Errors() > 0 {
		return faults(bad)
	}
	w, err := a.start(asm)
	if err != nil {
		return err
	}
	intro := []report.Block{
		{Kind: report.Verdict, Text: "A worked leak: " + asm.Title},
		{Kind: report.Para, Text: fmt.Sprintf("Everything here is invented; what the tool says of it is worked out now. The unit has %d joints of %d kinds.", len(asm.Joints), len(asm.Kinds()))},
	}
	for _, j := range asm.Joints {
		intro = append(intro, report.Block{Kind: report.Item, Text: j.Title + " (" + j.Kind + ")"})
	}
	if err := report.Text(a.out, intro, a.width()); err != nil {
		return err
	}
	for _, sc := range scenes {
		if err := a.play(w, sc); err != nil {
			return fmt.Errorf("scene %s: %w", sc.file, err)
		}
	}
	return nil
}

// play tells the session what a scene's file says and prints what is worth reading then.
func (a *app) play(w *work, sc scene) error {
	data, err := demoFiles.ReadFile("demo/" + sc.file)
	if err != nil {
		return err
	}
	file, bad := answer.ReadFile(bytes.NewReader(data), "demo/"+sc.file)
	if bad.Errors() == 0 {
		bad = append(bad, w.tell(file)...)
	}
	if bad.Errors() > 0 {
		return faults(bad)
	}
	r, err := w.result()
	if err != nil {
		return err
	}
	width := a.width()
	fmt.Fprintf(a.out, "\n%s\n%s\n%s\n", strings.Repeat("=", min(width, 72)), sc.title, strings.Repeat("=", min(width, 72)))
	blocks := []report.Block{{Kind: report.Para, Text: sc.story}, {Kind: report.Para, Text: ""}}
	blocks = append(blocks, report.Pick(r, report.Options{Plan: true}, sc.shows...)...)
	if err := report.Text(a.out, blocks, width); err != nil {
		return err
	}
	switch sc.after {
	case "solved":
		return report.Text(a.out, solved(r), width)
	case "card":
		fmt.Fprint(a.out, "\nThe card for the workshop's phone:\n\n")
		return report.Card(a.out, r)
	}
	return nil
}

// solved is the number that these parts must meet, worked out from their own sizes.
func solved(r *engine.Result) []report.Block {
	var out []report.Block
	for _, f := range r.Findings {
		if f.Fact == "largest-clearance" || f.Fact == "ovality-limit" {
			out = append(out, report.Block{Kind: report.Item, Text: f.Title + ": " + f.Text})
		}
	}
	if len(out) > 0 {
		out = append([]report.Block{{Kind: report.Heading, Text: "Solved for these parts"}}, out...)
	}
	return out
}
