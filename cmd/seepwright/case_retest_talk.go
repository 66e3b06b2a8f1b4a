package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"strconv"
	"strings"

	"seepwright/cmd/seepwright/interview"
	"seepwright/cmd/seepwright/job"
	"seepwright/cmd/seepwright/journal"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/fact"
)

func published() *kb.Tables { return kb.Published() }

// retestTalk goes through the retest by questions, from where it was left, and keeps every step.
func (a *app) retestTalk(f caseFlags, name, joint string, plain bool) error {
	return a.onCase(f, name, func(h *journal.Held) error {
		t, err := a.retestOf(f, h)
		if err != nil {
			return err
		}
		if joint != "" {
			if joint, err = t.place(joint); err != nil {
				return err
			}
		}
		t.how.plain = plain
		stop := make(chan os.Signal, 1)
		signal.Notify(stop, os.Interrupt)
		defer signal.Stop(stop)
		asker, err := a.asker(t.how, a.out, stop)
		if err != nil {
			return fault(err)
		}
		t.talk = &interview.Talk{Asker: asker, Width: a.width()}
		if st := t.job.Result.Stop; st != nil {
			a.tell("STOP: %s", st.Reason)
		}
		for end := false; !end; {
			end, err = t.step(joint)
			if errors.Is(err, interview.ErrQuit) || errors.Is(err, io.EOF) {
				a.tell("\nStopped. The steps that were written down are kept; seepwright case retest goes on.")
				return nil
			}
			if err != nil {
				return err
			}
			if err := t.save(); err != nil {
				return err
			}
		}
		return nil
	})
}

// step asks for the next step of all joints that stand at it, or of the one named.
func (t *retest) step(only string) (end bool, err error) {
	joints, s := t.next(only)
	if len(joints) == 0 {
		t.app.tell("No step of the retest is left.")
		for _, id := range t.job.WetAgain() {
			t.app.tell("%s was wet, and nothing was done since: write the work down with seepwright case did, or look again with --joint %s.", cmp.Or(t.job.Title(id), "The joint"), id)
		}
		return true, nil
	}
	if w := t.waits(joints[0], s); w != "" {
		t.app.tell("Next: %s%s. Until then leave it as it is.", lowerFirst(s.Title), w)
		return true, nil
	}
	t.show(joints, s)
	n, err := t.talk.Pick(interview.Question{ID: "step", Ask: "What now?", Options: []interview.Option{{ID: "done", Title: "done: write down what came of it"}, {ID: "later", Title: "later"}}})
	if err != nil || n != 0 {
		return true, err
	}
	shared, err := t.ask(s)
	if err != nil {
		return true, err
	}
	for _, id := range joints {
		e := shared
		e.Joint = id
		if err := t.tissue(&e); err != nil {
			return true, err
		}
		got, err := t.write(e)
		if err != nil {
			return true, err
		}
		end = end || got.Verdict == job.Fail
	}
	if end {
		t.app.tell("Go on with:")
		fmt.Fprintf(t.app.out, "  seepwright case resume %s%s\n", quote(t.start.record.name), t.start.record.again())
	}
	return end, nil
}

// next is the first step that is left, and the joints that stand at it.
func (t *retest) next(only string) (joints []string, step job.Step) {
	wet := t.job.WetAgain()
	list := slices.DeleteFunc(slices.Clone(t.job.Tested()), func(id string) bool { return slices.Contains(wet, id) })
	if only != "" {
		list = []string{only}
	}
	for _, id := range list {
		s, ok := t.job.NextStep(id)
		switch {
		case !ok || len(joints) > 0 && s.Number > step.Number:
		case len(joints) == 0 || s.Number < step.Number:
			joints, step = []string{id}, s
		default:
			joints = append(joints, id)
		}
	}
	return joints, step
}

// show says what the step is: cautions first.
func (t *retest) show(joints []string, s job.Step) {
	fmt.Fprintln(t.app.out)
	for _, id := range s.Cautions {
		if c := t.work.kb.Caution(id); c != nil && t.concerns(c, joints) {
			t.app.item("CAUTION: ", "%s", c.Warning)
		}
	}
	at := ""
	var names []string
	for _, id := range joints {
		if x := t.job.Title(id); x != "" {
			names = append(names, x)
		}
	}
	if len(names) > 0 {
		at = " (" + strings.Join(names, ", ") + ")"
	}
	t.app.tell("%s%s", s.Title, at)
	t.app.tell("%s", s.How)
	if s.Controls {
		t.app.tell("By the machine's own controls only, nobody near while it runs or holds pressure.")
	}
	if s.Number == 7 {
		for _, id := range joints {
			set := t.job.Settling(id)
			t.app.tell("Here: %s. Not: %s.", set.May, strings.TrimSuffix(set.Not, "."))
		}
	}
}

// concerns reports whether a caution may hold at one of the joints: what nobody ruled out does.
func (t *retest) concerns(c *rules.Caution, joints []string) bool {
	return c.When == nil || slices.ContainsFunc(joints, func(id string) bool {
		return c.When.Cond.Eval(t.work.session.Memory().Env(id)).Truth != fact.False
	})
}

// ask asks for what a step has in common for all joints.
func (t *retest) ask(s job.Step) (e journal.Entry, err error) {
	e.Name = s.ID
	words := func(id, ask, note string, check func(string) error) (string, error) {
		for {
			x, err := t.talk.Words(interview.Question{ID: id, Ask: ask, Note: note, Blank: "not noted"})
			if err != nil || x == "" {
				return x, err
			}
			if err := check(x); err != nil {
				t.talk.Tell("%v", err)
				continue
			}
			return x, nil
		}
	}
	fine := func(string) error { return nil }
	if s.Number > 0 && s.Stage != "outside" {
		held, err := words("minutes", "For how many minutes was it held?", fmt.Sprintf("It takes %g min.", s.Minutes), func(x string) error {
			if m, err := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(x), " min"), 64); err != nil || m < 0 || m > 1e6 {
				return fmt.Errorf("%q is no number of minutes", x)
			}
			return nil
		})
		if err != nil {
			return e, err
		}
		e.Minutes, _ = strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(held), " min"), 64) // "" is 0: not noted
	}
	if s.Number == 2 && e.Minutes > 0 {
		e.Gauge, err = words("gauge", "What did the gauge say, at the start and at the end?", "Such as 1.0 bar to 0.98 bar. With more of the system known: 1.0 bar to 0.98 bar, reads to 0.02 bar, 12 L, 100 mL air.", func(x string) error { _, err := job.ReadGauge(x); return err })
		if err != nil {
			return e, err
		}
	}
	if s.Number == 2 && e.Gauge != "" {
		e.Temperature, err = words("temperature", "And the temperature of the liquid?", "Such as 18 C to 21 C.", job.CheckTemperature)
		if err != nil {
			return e, err
		}
	}
	if s.Number > 0 && s.Number != 2 && s.Number != 7 {
		if e.Level, err = words("level", "What did the level do?", "Such as: at its mark; 3 mm lower.", fine); err != nil {
			return e, err
		}
	}
	return e, nil
}

// tissue asks what a tissue showed at one joint, and how much came where it was not dry.
func (t *retest) tissue(e *journal.Entry) error {
	ask := "What does a dry tissue show, pressed round the joint?"
	if x := t.job.Title(e.Joint); x != "" {
		ask = x + ": " + strings.ToLower(ask[:1]) + ask[1:]
	}
	n, err := t.talk.Pick(interview.Question{ID: "tissue", Ask: ask, Blank: "no tissue was used",
		Options: []interview.Option{{ID: "dry", Title: "dry"}, {ID: "damp", Title: "damp"}, {ID: "wet", Title: "wet"}}})
	if err != nil {
		return err
	}
	if n >= 0 {
		e.Tissue = journal.Tissues[n]
	}
	if n > 0 {
		e.Amount, err = t.talk.Words(interview.Question{ID: "amount", Ask: "How much comes?", Note: "Such as: a drop a minute; it only sweats.", Blank: "not noted"})
	}
	return err
}
