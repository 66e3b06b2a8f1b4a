package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/journal"
	"seepwright/rules/source"
)

func (a *app) caseClose() *cobra.Command {
	var f caseFlags
	var end, joint, cause, said, done string
	c := &cobra.Command{
		Use:   "close CASE",
		Short: "end a case: what it proved to be, and how it ended",
		Long: "Ends a case. --end dry means that it passed its retest, hot, under load and cold the next\n" +
			"morning; only such cases teach anything. Name the cause by its id (case show and the plan\n" +
			"have them) or say it in your own words.",
		Example: "  seepwright case close pad --end dry --joint pad --cause face-bowed --done \"lapped, new gasket\"\n  seepwright case close pad --end left --said \"weep, stable for four weeks\"",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := oneOf("--end", end, journal.Ends); err != nil {
				return err
			}
			if end == journal.Dry && cause == "" && said == "" {
				return fmt.Errorf("what was it? give --cause ID, or --said in your own words")
			}
			return a.onCase(f, args[0], func(h *journal.Held) error {
				if !h.Case.Head.Open() {
					return fault(fmt.Errorf("%s was closed on %s: seepwright case reopen goes on with it", h.Case.Head.ID, h.Case.Head.Closed.Local().Format(time.DateOnly)))
				}
				if err := a.jointOf(h.Case, joint); err != nil {
					return err
				}
				p := journal.Proven{Joint: joint, Cause: cause, Said: said, Done: done}
				if cause != "" {
					if err := a.provenCause(h, &p); err != nil {
						return err
					}
				}
				if p != (journal.Proven{}) {
					h.Case.Proven = append(h.Case.Proven, p)
				}
				h.Case.Close(end, a.now(), f.by, said)
				return nil
			})
		},
	}
	c.Flags().StringVar(&end, "end", "", strings.Join(journal.Ends, ", "))
	c.Flags().StringVar(&joint, "joint", "", "the joint at fault")
	c.Flags().StringVar(&cause, "cause", "", "the id of the cause that was proven")
	c.Flags().StringVar(&said, "said", "", "what it was, or why it is left, in your own words")
	c.Flags().StringVar(&done, "done", "", "what made it dry")
	f.add(c, true)
	_ = c.MarkFlagRequired("end")
	return c
}

// provenCause checks a cause against the unit, and fills in the joint and its kind.
func (a *app) provenCause(h *journal.Held, p *journal.Proven) error {
	w, err := a.caseWork(h)
	if err != nil {
		return err
	}
	var ids, at []string
	for _, j := range w.asm.Joints {
		if p.Joint != "" && j.ID != p.Joint {
			continue
		}
		for _, c := range w.kb.Causes {
			if c.Shared || c.For != j.Kind {
				continue
			}
			ids = append(ids, c.ID)
			if c.ID == p.Cause {
				at, p.Kind = append(at, j.ID), j.Kind
			}
		}
	}
	for _, c := range w.kb.Causes {
		if c.Shared && c.ID == p.Cause {
			p.Kind = "shared"
			return nil
		}
	}
	switch {
	case len(at) == 0:
		hint := source.DidYouMean(p.Cause, ids)
		if hint == "" {
			hint = "--said takes your own words"
		}
		return fault(fmt.Errorf("no cause here is called %q: %s", p.Cause, hint))
	case len(at) > 1 && p.Joint == "":
		return fault(fmt.Errorf("%s can be said of %s: which one was it? give --joint", p.Cause, strings.Join(at, ", ")))
	}
	if len(w.asm.Joints) > 1 {
		p.Joint = at[0]
	}
	return nil
}

func (a *app) caseReopen() *cobra.Command {
	var f caseFlags
	c := &cobra.Command{
		Use:     "reopen CASE WHY...",
		Short:   "go on with a case that was closed, because it leaks again",
		Example: "  seepwright case reopen pad \"wet again after three weeks\"",
		Args:    cobra.MinimumNArgs(2),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.onCase(f, args[0], func(h *journal.Held) error {
				if h.Case.Head.Open() {
					return fault(fmt.Errorf("%s is not closed", h.Case.Head.ID))
				}
				h.Case.Reopen(a.now(), f.by, strings.Join(args[1:], " "))
				return nil
			})
		},
	}
	f.add(c, true)
	return c
}
