package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"os/signal"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/errand"
	"seepwright/cmd/seepwright/interview"
	"seepwright/cmd/seepwright/journal"
	"seepwright/cmd/seepwright/report"
	"seepwright/rules"
	"seepwright/rules/answer"
)

// errand is the slip for one walk, and the answers that come back from it.
func (a *app) errand() *cobra.Command {
	var f caseFlags
	var format string
	var back, plain bool
	c := &cobra.Command{
		Use:   "errand CASE|FILE",
		Short: "list the looks to make in one walk to the machine; take the answers afterwards",
		Long: "Prints the looks that are worth their minutes as a slip: in walking order, by the state\n" +
			"in which the machine must stand, each with its caution, how, and room to write.\n" +
			"--answer takes what was written, all in one go: at a terminal it asks, from standard input\n" +
			"it reads one line for each look (answers to several questions of a look with | between;\n" +
			"blank = not seen; ? = can't tell; x = can't get at it; ! behind a value = it is meant).\n" +
			"Lines may begin with the number on the slip (\"2b: yes\") and then come in any order.",
		Example: "  seepwright errand pad\n  seepwright errand pad --format markdown > slip.md\n  seepwright errand pad --answer\n  seepwright errand pad --answer < slip.txt",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := oneOf("--format", format, []string{"text", "markdown", "json"}); err != nil {
				return err
			}
			if back {
				return a.errandAnswers(f, args[0], plain)
			}
			path, c, err := a.readCase(f, args[0])
			if err != nil {
				return err
			}
			w, s, err := a.slip(path, c)
			if err != nil {
				return err
			}
			return a.printSlip(w, s, format)
		},
	}
	c.Flags().StringVar(&format, "format", "text", "text, markdown or json")
	c.Flags().BoolVar(&back, "answer", false, "take the answers, from the terminal or standard input")
	c.Flags().BoolVar(&plain, "plain", false, "plain lines, no cursor tricks")
	f.add(c, true)
	return c
}

// slip draws up the errand of a case.
func (a *app) slip(path string, c *journal.Case) (*work, errand.Slip, error) {
	if !hasUnit(c) {
		return nil, errand.Slip{}, fault(fmt.Errorf("the case does not say yet which joint or unit it is about: seepwright diagnose --case %s finds out", quote(caseName(path, c))))
	}
	w, err := a.open(start{answers: path})
	if err != nil {
		return nil, errand.Slip{}, err
	}
	r, err := w.result()
	if err != nil {
		return nil, errand.Slip{}, err
	}
	s := errand.Of(w.session, r)
	s.Case = c.Head.ID
	return w, s, nil
}

func hasUnit(c *journal.Case) bool {
	return c.File.Joint.Text != "" || c.File.Assembly.File != "" || len(c.File.Assembly.Inline) > 0
}

// caseName is the id of a case, or its file where it has none.
func caseName(path string, c *journal.Case) string {
	if c.Head.ID != "" {
		return c.Head.ID
	}
	return path
}

func (a *app) printSlip(w *work, s errand.Slip, format string) error {
	switch {
	case format == "json":
		e := json.NewEncoder(a.out)
		e.SetIndent("", "  ")
		return e.Encode(s)
	case len(s.Groups) == 0:
		return a.noErrand(w, s)
	case format == "markdown":
		return s.Markdown(a.out)
	}
	return s.Text(a.out, a.width())
}

// noErrand says why there is nothing to walk for.
func (a *app) noErrand(w *work, s errand.Slip) error {
	r, err := w.result()
	if err != nil {
		return err
	}
	say := func(text string) { fmt.Fprint(a.out, report.Wrap(text, a.width(), 0, "", "")) }
	switch {
	case r.Stop != nil && r.Stop.Refuses:
		say("No errand: this work is left to others. " + r.Stop.Reason)
	case r.Next != nil && r.Next.Fact != "":
		say("No errand yet: first comes what can be answered here: " + r.Next.Title)
		say("seepwright diagnose asks it.")
	default:
		say("No errand: " + strings.TrimSuffix(r.NothingMore, ".") + ".")
	}
	return nil
}

// errandAnswers takes the answers of a slip into the record.
func (a *app) errandAnswers(f caseFlags, name string, plain bool) error {
	return a.onCase(f, name, func(h *journal.Held) error {
		w, s, err := a.slip(h.Path, h.Case)
		if err != nil {
			return err
		}
		if len(s.Groups) == 0 {
			return a.noErrand(w, s)
		}
		d := &desk{app: a, work: w, saved: h.Case, held: h, say: a.out, how: talk{format: "text", plain: plain}}
		d.start.record.caseFlags, d.start.record.name = f, name
		if isTerminal(a.in) {
			err = d.askSlip(s)
		} else {
			err = d.readSlip(s)
		}
		if err != nil {
			return err
		}
		r, err := w.result()
		if err != nil {
			return err
		}
		d.rank(r)
		return report.Text(a.out, report.View(r, report.Options{}), a.width())
	})
}

// readSlip takes the answers from standard input: all of them, or none where one is wrong.
func (d *desk) readSlip(s errand.Slip) error {
	list, err := s.Read(d.app.in)
	if err != nil {
		return fault(err)
	}
	var bad errand.Mistakes
	before := d.state()
	for _, x := range list {
		f := d.work.kb.Fact(x.Fact)
		v, err := interview.Typed(f, x.Text, d.work.kb.Instruments)
		var odd *answer.Implausible
		if err != nil && !(errors.As(err, &odd) && x.Meant) {
			hint := ""
			if odd != nil {
				hint = ". If it is right, put ! behind it"
			}
			bad = append(bad, fmt.Sprintf("line %d, %s (%s): %v%s", x.Line, x.Mark, title(f), err, hint))
			continue
		}
		keys, err := d.work.session.Answer(x.Joint, x.Fact, v)
		if err != nil {
			bad = append(bad, fmt.Sprintf("line %d, %s: %v", x.Line, x.Mark, err))
			continue
		}
		for _, k := range keys {
			if odd != nil {
				d.saved.Confirm(k.Joint, k.Fact)
			}
			d.put(k, answer.Write(v))
		}
	}
	if len(bad) > 0 {
		return fault(fmt.Errorf("nothing was written down, because:\n%w", bad))
	}
	d.log(journal.Changes(before, d.saved, d.app.now(), d.start.record.by)...)
	fmt.Fprintf(d.say, "%s written down in %s.\n\n", answers(len(list)), caseName(d.held.Path, d.saved))
	return nil
}

// state is a copy of the answers as they are.
func (d *desk) state() *journal.Case {
	f := d.saved.File
	out := &journal.Case{File: &answer.File{Answers: maps.Clone(f.Answers), Joints: map[string]map[string]rules.AnswerText{}}}
	for j, m := range f.Joints {
		out.File.Joints[j] = maps.Clone(m)
	}
	return out
}

// askSlip asks for what was written, question after question; every answer is kept at once.
func (d *desk) askSlip(s errand.Slip) error {
	stop := make(chan os.Signal, 1)
	signal.Notify(stop, os.Interrupt)
	defer signal.Stop(stop)
	asker, err := d.app.asker(d.how, d.say, stop)
	if err != nil {
		return fault(err)
	}
	d.talk = &interview.Talk{Asker: asker, Width: d.app.width()}
	d.talk.Tell("Slip %s. Enter leaves a question open, ? = can't tell, x = can't get at it, b = back, q = stop.", s.Code)
	list := s.Questions()
	for i := 0; i < len(list); {
		q := list[i]
		f := d.work.kb.Fact(q.Fact)
		place := q.Mark
		for _, l := range s.Looks() {
			if l.Place != "" && slices.ContainsFunc(l.Questions, func(o errand.Question) bool { return o.Mark == q.Mark }) {
				place += " " + l.Place
			}
		}
		v, blank, meant, err := d.talk.Note(f, d.work.kb.Instruments, q.Mark, place)
		switch {
		case interview.IsBack(err):
			i = max(i-1, 0)
			continue
		case errors.Is(err, interview.ErrQuit), errors.Is(err, io.EOF):
			d.talk.Tell("\nStopped. What was answered is kept.")
			return nil
		case err != nil:
			return err
		}
		if i++; blank {
			continue
		}
		before := d.state()
		keys, err := d.work.session.Answer(q.Joint, q.Fact, v)
		if err != nil {
			return fault(err)
		}
		for _, k := range keys {
			if meant {
				d.saved.Confirm(k.Joint, k.Fact)
			}
			d.put(k, answer.Write(v))
		}
		d.log(journal.Changes(before, d.saved, d.app.now(), d.start.record.by)...)
		if err := d.save(); err != nil {
			return err
		}
	}
	return nil
}
