package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/journal"
	"seepwright/cmd/seepwright/report"
)

func (a *app) caseShow() *cobra.Command {
	var f caseFlags
	var good bool
	c := &cobra.Command{
		Use:     "show CASE",
		Short:   "print a case: how it stands, and its log",
		Example: "  seepwright case show pad",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			path, err := a.casePath(f, args[0])
			if err != nil {
				return err
			}
			c, err := journal.Open(path)
			if good {
				c, err = journal.Good(path), nil
				if c == nil {
					err = fmt.Errorf("there is no good state of %s", path)
				}
			}
			if err != nil {
				return fault(journal.Offer(path, err))
			}
			a.showCase(path, c)
			return nil
		},
	}
	c.Flags().BoolVar(&good, "last-good", false, "the last state that seepwright wrote, where the file cannot be read")
	f.add(c, false)
	return c
}

// showCase prints a case.
func (a *app) showCase(path string, c *journal.Case) {
	h := c.Head
	words := a.wordsOf(c)
	say := func(indent string, format string, args ...any) {
		fmt.Fprint(a.out, report.Wrap(fmt.Sprintf(format, args...), a.width(), len(indent), indent, indent))
	}
	if h.ID == "" {
		say("", "%s", path)
	} else {
		say("", "%s", h.ID)
		say("", "%s", h.Title)
	}
	if h.Unit != "" && h.Unit != h.Title {
		say("", "Unit: %s", h.Unit)
	}
	if h.ID != "" {
		by := ""
		if h.By != "" {
			by = " by " + h.By
		}
		say("", "Opened %s%s; %s", day(h.Opened), by, stateWords(h))
	}
	for _, p := range c.Proven {
		s := p.Said
		if p.Cause != "" {
			s = words.cause(p.Joint, p.Kind, p.Cause)
		}
		if n := words.joint(p.Joint); n != "" {
			s += " (" + n + ")"
		}
		if p.Done != "" {
			s += "; done: " + p.Done
		}
		say("", "It was: %s", s)
	}
	say("", "%s; the file:", strings.TrimSuffix(strings.TrimSuffix(answers(c.Count()), " is"), " are"))
	fmt.Fprintln(a.out, "  "+path)
	if len(c.Log) > 0 {
		fmt.Fprint(a.out, "\nLog\n---\n")
	}
	last := ""
	for _, e := range c.Log {
		if d := day(e.At); d != last {
			say("", "%s", d)
			last = d
		}
		lead := "  " + e.At.Local().Format("15:04") + "  "
		text := words.entry(e)
		if e.By != "" && e.By != h.By {
			text += " [" + e.By + "]"
		}
		fmt.Fprint(a.out, report.Wrap(text, a.width(), len(lead), lead, strings.Repeat(" ", len(lead))))
	}
}

func day(t time.Time) string { return t.Local().Format(time.DateOnly) }

func stateWords(h journal.Head) string {
	if h.Open() {
		return "still open"
	}
	return endWords(h.End) + " " + day(h.Closed)
}
