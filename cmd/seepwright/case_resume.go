package main

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/job"
	"seepwright/cmd/seepwright/journal"
	"seepwright/cmd/seepwright/report"
	"seepwright/kb"
)

// caseResume says where one is in a job, and goes on there.
func (a *app) caseResume() *cobra.Command {
	var f caseFlags
	var plain, stay bool
	c := &cobra.Command{
		Use:   "resume CASE",
		Short: "say where one is in a job, what is due and what is out of date; go on there",
		Long: "Says in a few lines where one is, from finding the place to the recheck after a month; which\n" +
			"answers no longer speak of what is there, because parts were changed or the joint was\n" +
			"opened; and what is due. Then it goes on: with the interview where answers are wanted, with\n" +
			"the next step of the retest, else with the next lines of the plan. --stay only says it.",
		Example: "  seepwright case resume pad\n  seepwright case resume pad --stay",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			path, c, err := a.readCase(f, args[0])
			if err != nil {
				return err
			}
			j, err := a.jobOf(path, c)
			if err != nil {
				return err
			}
			p := j.Where()
			a.sayWhere(j, p)
			switch {
			case stay || p.Phase == job.Ended:
			case p.Step != "" && (p.Phase == job.Retest || p.Phase == job.Recheck):
				return a.retestTalk(f, args[0], "", plain)
			case p.Asks:
				st := start{}
				st.record.caseFlags, st.record.name = f, args[0]
				return a.interview(st, talk{format: "text", plain: plain})
			default:
				a.tell("")
				a.tell("Go on with:")
				for _, s := range wayOn(p) {
					fmt.Fprintf(a.out, "  seepwright %s%s\n", strings.Replace(s, "CASE", quote(caseName(path, c)), 1), f.again())
				}
			}
			return nil
		},
	}
	c.Flags().BoolVar(&plain, "plain", false, "plain lines, no cursor tricks")
	c.Flags().BoolVar(&stay, "stay", false, "only say where one is")
	f.add(c, true)
	return c
}

// jobOf is a case with what is known of it, to be asked where one is.
func (a *app) jobOf(path string, c *journal.Case) (*job.Job, error) {
	j := &job.Job{Case: c, Now: a.now(), Tables: kb.Published()}
	if !hasUnit(c) {
		return j, nil
	}
	w, err := a.open(start{answers: path})
	if err != nil {
		return nil, err
	}
	j.KB, j.Unit = w.kb, w.asm
	j.Result, err = w.result()
	return j, err
}

// tell prints a paragraph, broken to the width.
func (a *app) tell(format string, args ...any) {
	fmt.Fprint(a.out, report.Wrap(fmt.Sprintf(format, args...), a.width(), 0, "", ""))
}

func (a *app) item(lead, format string, args ...any) {
	fmt.Fprint(a.out, report.Wrap(fmt.Sprintf(format, args...), a.width(), len(lead), lead, strings.Repeat(" ", len(lead))))
}

// sayWhere says where one is, in a few lines.
func (a *app) sayWhere(j *job.Job, p job.Place) {
	h := j.Case.Head
	a.tell("%s: %s", cmp.Or(h.ID, "this case"), cmp.Or(h.Title, h.Unit))
	if p.Stop != "" {
		a.tell("STOP: %s", p.Stop)
	}
	round := ""
	if p.Round > 1 {
		round = fmt.Sprintf(", round %d", p.Round)
	}
	a.tell("Where: %s%s. %s", p.Phase, round, p.Says)
	if len(p.Next) > 0 {
		a.tell("Next:")
		for i, s := range p.Next {
			a.item(fmt.Sprintf("  %d. ", i+1), "%s", s)
		}
	}
	if p.Phase != job.Ended {
		a.sayStale(j)
	}
	a.sayDue(j)
}

// mostStale is how many answers that are out of date are named one by one.
const mostStale = 3

// sayStale names the answers that are out of date, those first that can be had again.
func (a *app) sayStale(j *job.Job) {
	type group struct {
		name string
		list []job.Stale
	}
	var groups []group
	for _, again := range []bool{true, false} {
		for _, s := range j.Stale() {
			if s.Again != again {
				continue
			}
			i := 0
			for i < len(groups) && groups[i].name != s.Group {
				i++
			}
			if i == len(groups) {
				groups = append(groups, group{name: s.Group})
			}
			groups[i].list = append(groups[i].list, s)
		}
	}
	if len(groups) == 0 {
		return
	}
	a.tell("Out of date:")
	for _, g := range groups {
		most := 1
		if g.list[0].Again && g.name != job.Momentary {
			most = mostStale
		}
		for i, s := range g.list {
			if i == most {
				a.item("    ", "and %d more about %s", len(g.list)-most, g.name)
				break
			}
			why := s.Why
			if t := j.Title(s.Joint); t != "" {
				why = t + ": " + why
			}
			a.item("  - ", "%s", why)
		}
	}
}

// sayDue lists what falls due, with its date.
func (a *app) sayDue(j *job.Job) {
	list := j.Due()
	if len(list) == 0 {
		return
	}
	a.tell("Due:")
	for _, d := range list {
		when := "each run"
		switch {
		case d.Until && d.At.After(j.Now):
			when = "not before " + job.When(d.At)
		case d.Until:
			when = "since " + job.When(d.At)
		case !d.At.IsZero():
			when = job.When(d.At)
			switch late := j.Now.Sub(d.At); {
			case late > 24*time.Hour:
				when += ", OVERDUE"
			case late >= 0:
				when = "now"
			}
		}
		what := d.What
		if t := j.Title(d.Joint); t != "" {
			what = t + ": " + what
		}
		a.item("  - ", "%s: %s", when, strings.TrimSuffix(what, ".")+".")
	}
}

// wayOn are the commands by which one goes on in a phase.
func wayOn(p job.Place) []string {
	switch p.Phase {
	case job.Strip:
		return []string{"sheet CASE", "case opened CASE WHAT..."}
	case job.AsFound:
		return []string{"case measure CASE FACT VALUE --with INSTRUMENT"}
	case job.Decide:
		return []string{"case measure CASE FACT VALUE --with INSTRUMENT", "case did CASE REMEDY... --joint JOINT --part PART"}
	case job.Rebuild, job.Retest:
		return []string{"sheet CASE", "case retest CASE"}
	case job.Recheck:
		return []string{"case close CASE --end dry --cause CAUSE"}
	}
	return []string{"case note CASE WORDS..."}
}
