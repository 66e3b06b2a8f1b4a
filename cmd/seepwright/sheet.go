package main

import (
	"errors"
	"os"
	"time"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/journal"
	"seepwright/cmd/seepwright/sheet"
)

// sheetFormats are the forms of a job sheet.
var sheetFormats = []string{"html", "markdown", "text"}

// sheet writes the paper to take to the machine.
func (a *app) sheet() *cobra.Command {
	var st start
	var format, dir string
	c := &cobra.Command{
		Use:   "sheet FILE|CASE",
		Short: "the job sheet of a case: cautions, have-ready list, steps with boxes, numbers, retest, sign-off",
		Long: "Writes the job sheet of a case, or of a file of answers: cautions first, what to have ready, the\n" +
			"strip-down with places to write down what is found, the numbers for these parts, reassembly,\n" +
			"the retest and the sign-off. The HTML form is one file without network or script: it prints on\n" +
			"A4 and Letter, and can be read on a phone.",
		Example: "  seepwright sheet seen.yaml --format html > sheet.html\n" +
			"  seepwright sheet 2026-05-04-lift-pump-cooler\n" +
			"  seepwright sheet - --assembly cooler.yaml --format markdown < seen.yaml",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return errors.New("sheet takes one file of answers, or the name of a case: seepwright sheet FILE")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if err := oneOf("--format", format, sheetFormats); err != nil {
				return err
			}
			if err := oneOf("--units", st.units, []string{"metric", "inch", ""}); err != nil {
				return err
			}
			var err error
			if st.answers, err = a.caseFile(args[0], dir); err != nil {
				return fault(err)
			}
			s, err := a.sheetOf(st, a.now())
			if err != nil {
				return err
			}
			switch format {
			case "html":
				return sheet.HTML(a.out, s)
			case "markdown":
				return sheet.Markdown(a.out, s)
			}
			return sheet.Text(a.out, s, a.width())
		},
	}
	f := c.Flags()
	f.StringVar(&format, "format", "text", "html, markdown or text")
	f.StringVar(&st.assembly, "assembly", "", "the file that describes the unit, where the case does not say")
	f.StringVar(&st.joint, "joint", "", "the kind of joint, where the case does not say; several with commas between where it is not known which")
	f.StringArrayVar(&st.folders, "kb", nil, "a folder of your own knowledge, laid over the built-in one (repeatable)")
	f.StringVar(&st.history, "history", "", "what to take for granted of the history: after-refit, back-in-weeks, long-service or disturbed")
	f.StringVar(&st.units, "units", "", "metric or inch for what the tool works out and for empty fields")
	f.StringVar(&dir, "dir", "", "the folder of cases; by default the data folder of the user")
	return c
}

// caseFile is the file of a case: a file of that name, - for standard input, or a case of the
// folder by its name.
func (a *app) caseFile(name, dir string) (string, error) {
	if name == "-" {
		return name, nil
	}
	if st, err := os.Stat(name); err == nil && !st.IsDir() {
		return name, nil
	}
	s, err := a.store(dir)
	if err != nil {
		return "", err
	}
	return s.Find(name)
}

// sheetOf works a case out and puts its sheet together.
func (a *app) sheetOf(st start, now time.Time) (sheet.Sheet, error) {
	saved, bad := a.readAnswers(st.answers)
	if saved == nil {
		return sheet.Sheet{}, faults(bad)
	}
	in := sheet.Input{Units: st.units, Printed: now, Record: recordOf(saved)}
	if kinds := severalKinds(st, saved.File); kinds != nil {
		if bad.Errors() > 0 {
			return sheet.Sheet{}, faults(bad)
		}
		open, err := a.amongKinds(st, kinds, saved.File)
		if err != nil {
			return sheet.Sheet{}, err
		}
		if in.Result, err = open.result(); err != nil {
			return sheet.Sheet{}, err
		}
		in.KB, err = a.knowledge(st.folders, kinds...)
		if err != nil {
			return sheet.Sheet{}, err
		}
		return sheet.New(in), nil
	}
	w, err := a.openCase(st, saved, bad)
	if err != nil {
		return sheet.Sheet{}, err
	}
	if in.Result, err = w.result(); err != nil {
		return sheet.Sheet{}, err
	}
	in.KB, in.Unit, in.Pictures = w.kb, w.asm, w.pictures(in.Result, st.units)
	return sheet.New(in), nil
}

// recordOf is what a kept case knows beside its answers.
func recordOf(c *journal.Case) sheet.Record {
	out := sheet.Record{ID: c.Head.ID, Title: c.Head.Title, By: c.Head.By, Opened: c.Head.Opened}
	for _, e := range c.Log {
		switch e.What {
		case journal.Note:
			out.Notes = append(out.Notes, sheet.Note{At: e.At.Local(), By: e.By, Text: e.Said})
		case journal.Retest:
			out.Retests = append(out.Retests, sheet.Retest{At: e.At.Local(), Step: e.Name, Joint: e.Joint, Tissue: e.Tissue, Amount: e.Amount, Temperature: e.Temperature, Gauge: e.Gauge, Minutes: e.Minutes})
		}
	}
	return out
}
