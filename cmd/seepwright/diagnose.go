package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/report"
	"seepwright/engine"
)

// formats are the forms of a result.
var formats = []string{"text", "markdown", "json", "card"}

// diagnose is the interview, or the answer to a file of answers.
func (a *app) diagnose() *cobra.Command {
	var st start
	var o talk
	c := &cobra.Command{
		Use:   "diagnose",
		Short: "answer questions after a leak test; get causes, the next look, targets and a plan",
		Long: "Asks what it has to know, most useful question first, and says at every step what it thinks.\n" +
			"? = can't tell, x = can't get at it, b = back, w = why do you ask, m = what would change\n" +
			"your mind. Stop with Ctrl-C at any time: nothing is lost, and the command that goes on is\n" +
			"printed. --what-if says at the end what would put another cause first.",
		Example: "  seepwright diagnose\n" +
			"  seepwright diagnose --joint hose-clamp\n" +
			"  seepwright diagnose --assembly cooler.yaml --answers seen.yaml --format card\n" +
			"  seepwright diagnose --answers - < seen.yaml",
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := oneOf("--format", o.format, formats); err != nil {
				return err
			}
			if err := oneOf("--units", o.units, []string{"metric", "inch", ""}); err != nil {
				return err
			}
			st.units = o.units
			if st.record.name != "" && (o.save != "" || st.answers != "") {
				return errors.New("--case keeps the answers in the case: leave --save and --answers out")
			}
			if st.record.name == "" && (st.record.dir != "" || st.record.by != "") {
				return errors.New("--dir and --by belong to --case")
			}
			if st.answers == "" {
				return a.interview(st, o)
			}
			saved, bad := a.readAnswers(st.answers)
			if saved == nil {
				return faults(bad)
			}
			if kinds := severalKinds(st, saved.File); kinds != nil {
				if bad.Errors() > 0 {
					return faults(bad)
				}
				open, err := a.amongKinds(st, kinds, saved.File)
				if err != nil {
					return err
				}
				r, err := open.result()
				if err != nil {
					return err
				}
				return a.print(r, o)
			}
			w, err := a.openCase(st, saved, bad)
			if err != nil {
				return err
			}
			r, err := w.result()
			if err != nil {
				return err
			}
			if o.whatIf {
				if r.Mind, err = w.session.Mind(); err != nil {
					return fault(err)
				}
			}
			return a.print(r, o)
		},
	}
	f := c.Flags()
	f.StringVar(&st.assembly, "assembly", "", "the file that describes the unit")
	f.StringVar(&st.joint, "joint", "", "the kind of joint, for a job on one joint; several with commas between where it is not known which")
	f.StringVar(&st.answers, "answers", "", "a file with answers, or - for standard input; nothing is asked then")
	f.StringVar(&st.record.name, "case", "", "keep the answers in this case (seepwright case new begins one)")
	f.StringVar(&st.record.dir, "dir", "", "the folder of cases")
	f.StringVar(&st.record.by, "by", "", "who answers, for the record")
	f.StringVar(&o.save, "save", "", "keep the answers in this file while they are given")
	f.StringArrayVar(&st.folders, "kb", nil, "a folder of your own knowledge, laid over the built-in one (repeatable)")
	f.BoolVar(&o.plain, "plain", false, "plain lines, no cursor tricks")
	f.BoolVar(&o.explain, "explain", false, "with figures, factors and reasons")
	f.BoolVar(&o.whatIf, "what-if", false, "also: which open answers would put another cause first, and what is first without each answer")
	f.StringVar(&st.history, "history", "", "what to take for granted of the history: after-refit, back-in-weeks, long-service or disturbed")
	f.StringVar(&o.format, "format", "text", "text, markdown, json or card")
	f.StringVar(&o.units, "units", "", "metric or inch for what the tool works out")
	return c
}

// talk is how the person wants to be spoken to.
type talk struct {
	save, format, units string
	plain, explain      bool
	whatIf              bool
}

// oneOf checks a flag that takes one of a few words.
func oneOf(flag, value string, allowed []string) error {
	if slices.Contains(allowed, value) {
		return nil
	}
	return fmt.Errorf("%s %q: use one of %s", flag, value, strings.Join(slices.DeleteFunc(slices.Clone(allowed), func(s string) bool { return s == "" }), ", "))
}

// print writes a result in the form that was asked for.
func (a *app) print(r *engine.Result, o talk) error {
	opts := report.Options{Explain: o.explain, Plan: true}
	switch o.format {
	case "json":
		return report.JSON(a.out, r)
	case "card":
		return report.Card(a.out, r)
	case "markdown":
		return report.Markdown(a.out, report.View(r, opts))
	}
	return report.Text(a.out, report.View(r, opts), a.width())
}

// width is the width of the screen: COLUMNS where it is set, else 80 (a terminal's real
// width is put into COLUMNS by the caller that knows the terminal).
func (a *app) width() int {
	if n, err := strconv.Atoi(a.env("COLUMNS")); err == nil && n > 0 {
		return min(max(n, 40), 200)
	}
	if n := terminalWidth(a.out); n > 0 {
		return min(max(n, 40), 200)
	}
	return 80
}
