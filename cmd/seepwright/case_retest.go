package main

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/job"
	"seepwright/cmd/seepwright/journal"
	"seepwright/engine/network"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/source"
)

// caseRetest logs the retest and judges it.
func (a *app) caseRetest() *cobra.Command {
	var f caseFlags
	var e journal.Entry
	var step string
	var plain bool
	c := &cobra.Command{
		Use:   "retest CASE",
		Short: "go through the retest step by step, or write down one step; judged by what could be seen",
		Long: "Without --step it asks step by step, from before the fill (R0) to the recheck after a month\n" +
			"(R9), and goes on where it was left. With --step it writes down one step. A joint passes when\n" +
			"a tissue stays dry for the time of the step; what a gauge could not have seen is said, and\n" +
			"a steady needle alone passes nothing. What was dry or wet goes into the answers, and work\n" +
			"that left it wet counts against what it cures.\n" +
			"--gauge takes what is known of the system with it: \"1.0 bar to 0.98 bar, reads to 0.02 bar,\n" +
			"12 L, 100 mL air\".",
		Example: "  seepwright case retest pad\n  seepwright case retest pad --step R2 --joint pad --tissue dry --minutes 20 --gauge \"1.0 bar to 0.98 bar\" --temperature \"18 C to 21 C\"",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if step == "" {
				if e.Tissue != "" || e.Gauge != "" || e.Amount != "" || e.Level != "" || e.Temperature != "" || e.Minutes != 0 || e.Said != "" || len(e.Photos) > 0 {
					return errors.New("--step R2: which step of the retest is it? R0 to R9")
				}
				return a.retestTalk(f, args[0], e.Joint, plain)
			}
			if e.Tissue != "" {
				if err := oneOf("--tissue", e.Tissue, journal.Tissues); err != nil {
					return err
				}
			}
			if e.Minutes < 0 || e.Minutes > 1e6 {
				return fmt.Errorf("--minutes %v: give a number from 0 on", e.Minutes)
			}
			return a.onCase(f, args[0], func(h *journal.Held) error {
				t, err := a.retestOf(f, h)
				if err != nil {
					return err
				}
				s, err := t.find(step)
				if err != nil {
					return err
				}
				e.Name = s.ID
				if e.Joint, err = t.place(e.Joint); err != nil {
					return err
				}
				for i, p := range e.Photos {
					e.Photos[i] = beside(h.Path, p)
				}
				_, err = t.write(e)
				return err
			})
		},
	}
	c.Flags().StringVar(&step, "step", "", "R0 to R9, or its name, such as cold-pressure")
	c.Flags().StringVar(&e.Joint, "joint", "", "the joint that was looked at")
	c.Flags().StringVar(&e.Tissue, "tissue", "", "what a dry tissue showed: dry, damp or wet")
	c.Flags().Float64Var(&e.Minutes, "minutes", 0, "how long the state was held")
	c.Flags().StringVar(&e.Gauge, "gauge", "", "the gauge at the start and at the end")
	c.Flags().StringVar(&e.Temperature, "temperature", "", "the temperature at the start and at the end")
	c.Flags().StringVar(&e.Amount, "amount", "", "how much came, such as \"a drop a minute\"")
	c.Flags().StringVar(&e.Level, "level", "", "what the level did, such as \"at its mark\"")
	c.Flags().StringVar(&e.Said, "said", "", "what else there was, in your own words")
	c.Flags().StringArrayVar(&e.Photos, "photo", nil, "a picture; its name is kept (repeatable)")
	c.Flags().BoolVar(&plain, "plain", false, "plain lines, no cursor tricks")
	f.add(c, true)
	return c
}

// retest is the retest of one case while it is held.
type retest struct {
	*desk
	job *job.Job
}

// retestOf makes a case ready for its retest. Work that is left to others is retested by them.
func (a *app) retestOf(f caseFlags, h *journal.Held) (*retest, error) {
	w, err := a.caseWork(h)
	if err != nil {
		return nil, err
	}
	if !h.Case.Head.Open() {
		return nil, fault(fmt.Errorf("%s is closed: seepwright case reopen goes on with it", caseName(h.Path, h.Case)))
	}
	d := &desk{app: a, work: w, saved: h.Case, held: h, say: a.out, how: talk{format: "text"}}
	d.start.record.caseFlags, d.start.record.name = f, caseName(h.Path, h.Case)
	t := &retest{desk: d}
	if err := t.think(); err != nil {
		return nil, err
	}
	if st := t.job.Result.Stop; st != nil && st.Refuses {
		return nil, fault(fmt.Errorf("no retest here: this work and its test are left to others. %s Refer to: %s", st.Reason, st.ReferTo))
	}
	return t, nil
}

// think works the case out as it stands now.
func (t *retest) think() error {
	w, err := t.app.openCase(start{}, t.saved, nil)
	if err != nil {
		return err
	}
	t.work = w
	r, err := w.result()
	if err != nil {
		return err
	}
	t.job = &job.Job{Case: t.saved, KB: t.work.kb, Unit: t.work.asm, Result: r, Tables: published(), Now: t.app.now()}
	return nil
}

// find reads the name of a step, and refuses one that is left to others.
func (t *retest) find(name string) (job.Step, error) {
	s, ok := t.job.FindStep(name)
	if !ok {
		var ids []string
		for _, s := range t.job.Steps() {
			ids = append(ids, fmt.Sprintf("R%d %s", s.Number, s.ID))
		}
		return s, fault(fmt.Errorf("--step %s: no step of the retest is called that: %s", name, strings.Join(ids, ", ")))
	}
	if s.Refused != "" {
		return s, fault(fmt.Errorf("step %d is refused: %s. %s", s.Number, s.Refused, t.instead()))
	}
	return s, nil
}

// instead says how it is proved where a test of one's own is refused.
func (t *retest) instead() string {
	for _, s := range t.job.Steps() {
		if s.Controls {
			return "Prove it by the machine's own controls, as step " + fmt.Sprint(s.Number) + " says: " + s.How
		}
	}
	return "Leave the test to those whose work it is."
}

// place is the joint that is meant: the one named, or the only one that has to prove itself.
func (t *retest) place(joint string) (string, error) {
	ids := t.work.asm.IDs()
	if joint != "" {
		if !slices.Contains(ids, joint) {
			hint := source.DidYouMean(joint, ids)
			if hint == "" {
				hint = "it has " + strings.Join(ids, ", ")
			}
			return "", fault(fmt.Errorf("--joint %s: no joint of this unit is called that: %s", joint, hint))
		}
		if j, _ := t.work.asm.Joint(joint); t.work.kb.Joint(j.Kind) == nil {
			return "", fault(fmt.Errorf("--joint %s: it is of a kind that is not known here, so nothing can be concluded from it", joint))
		}
		return joint, nil
	}
	list := t.job.Tested()
	switch {
	case len(ids) == 1:
		return ids[0], nil
	case len(list) == 1:
		return list[0], nil
	}
	return "", errors.New("--joint JOINT: which joint is it? " + strings.Join(ids, ", "))
}

// write judges one step, puts it into the log and what follows from it into the answers, and
// says all that.
func (t *retest) write(e journal.Entry) (job.Judged, error) {
	e.At, e.By, e.What = t.app.now(), t.start.record.by, journal.Retest
	got, err := t.job.Judge(e)
	if err != nil {
		return got, fault(err)
	}
	logged := e
	if got.Verdict == job.Fail {
		logged.Tissue = "wet"
	}
	out := t.job.Outcome(logged, got.Verdict, t.answersOf(e.Joint))
	before := t.state()
	t.answer(e.Joint, out.Answers)
	if len(t.work.asm.Joints) == 1 {
		logged.Joint = ""
	}
	t.saved.Add(logged)
	t.log(journal.Changes(before, t.saved, e.At, e.By)...)
	if out.Tried != nil {
		t.try(*out.Tried)
	}
	t.tellStep(e, got)
	if out.Unnamed && got.Verdict == job.Fail {
		t.app.tell("What was done was told in words alone, so its failure teaches nothing: name it with seepwright case did.")
	}
	if got.Verdict == job.Again {
		return got, nil
	}
	if err := t.think(); err != nil {
		return got, err
	}
	t.rank(t.job.Result)
	t.tellNext(e.Joint, got)
	return got, nil
}

// answersOf are the answers that stand for a joint.
func (t *retest) answersOf(joint string) map[string]rules.AnswerText {
	out := map[string]rules.AnswerText{}
	if len(t.work.asm.Joints) == 1 {
		maps.Copy(out, t.saved.File.Answers)
	}
	maps.Copy(out, t.saved.File.Joints[joint])
	return out
}

// answer puts what a step tells into the answers of its joint.
func (t *retest) answer(joint string, list []job.Told) {
	f := t.saved.File
	for _, x := range list {
		if len(t.work.asm.Joints) == 1 {
			delete(f.Answers, x.Fact) // it stands under the joint from here on
		}
		delete(f.Joints[joint], x.Fact)
		if x.Value == nil {
			continue
		}
		if f.Joints[joint] == nil {
			f.Joints[joint] = map[string]rules.AnswerText{}
		}
		f.Joints[joint][x.Fact] = answer.Write(*x.Value)
	}
}

// try keeps that work has proved itself, or has not. Work that was dry at first and came back
// has not: its dry retest is not counted beside the wet one.
func (t *retest) try(n network.Tried) {
	f := t.saved.File
	kept := answer.Tried{Joint: answer.Word{Text: n.Joint}, Wet: n.Wet}
	if len(t.work.asm.Joints) == 1 {
		kept.Joint.Text = ""
	}
	for _, id := range n.Did {
		kept.Did = append(kept.Did, answer.Word{Text: id})
	}
	same := func(o answer.Tried) bool {
		return o.Joint.Text == kept.Joint.Text && !o.Wet && slices.EqualFunc(o.Did, kept.Did, func(a, b answer.Word) bool { return a.Text == b.Text })
	}
	if k := len(f.Tried) - 1; n.Wet && k >= 0 && same(f.Tried[k]) {
		f.Tried = f.Tried[:k]
	}
	f.Tried = append(f.Tried, kept)
}

// tellStep says how a step was judged.
func (t *retest) tellStep(e journal.Entry, got job.Judged) {
	s, _ := t.job.FindStep(e.Name)
	at := ""
	if x := t.job.Title(e.Joint); x != "" {
		at = " (" + x + ")"
	}
	word := map[job.Verdict]string{job.Pass: "DRY", job.Fail: "WET", job.Again: "NOT PROVED YET"}[got.Verdict]
	t.app.tell("%s. %s%s", word, s.Title, at)
	for _, x := range got.Says {
		t.app.item("  ", "%s", x)
	}
	if got.Circuit != "" {
		t.app.item("  ", "%s", got.Circuit)
	}
	if got.Do != "" {
		t.app.tell("%s", got.Do)
	}
}

// tellNext says what comes after a step that has decided.
func (t *retest) tellNext(joint string, got job.Judged) {
	if got.Verdict == job.Fail {
		r := t.job.Result
		for _, x := range r.Tried {
			if x.Retest == "wet" && (x.Joint == joint || x.Joint == "") {
				t.app.tell("Still wet after: %s. It counts.", strings.ToLower(x.Says[:1])+x.Says[1:])
				break
			}
		}
		t.app.tell("%s", sentenceOf(soFar(r)))
		return
	}
	s, ok := t.job.NextStep(joint)
	switch {
	case !ok:
		t.app.tell("Every step is dry. Close the case with what it proved to be:")
		fmt.Fprintf(t.app.out, "  seepwright case close %s%s --end dry --cause CAUSE\n", quote(t.start.record.name), t.start.record.again())
	default:
		t.app.tell("Next: %s%s.", lowerFirst(s.Title), t.waits(joint, s))
	}
}

// waits says from when a step can be made.
func (t *retest) waits(joint string, s job.Step) string {
	for _, d := range t.job.Due() {
		if d.Joint == joint && d.At.After(t.job.Now) && (d.What == s.Title || d.Kind == job.Renip && s.Number == 7 || d.Kind == job.Watch && s.Number == 9) {
			return ", from " + job.When(d.At)
		}
	}
	return ""
}

func lowerFirst(s string) string {
	if len(s) > 1 && s[1] >= 'a' && s[1] <= 'z' {
		return strings.ToLower(s[:1]) + s[1:]
	}
	return s
}

func sentenceOf(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:] + "."
}
