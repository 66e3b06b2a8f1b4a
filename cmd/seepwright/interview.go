package main

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"seepwright/cmd/seepwright/interview"
	"seepwright/cmd/seepwright/journal"
	"seepwright/cmd/seepwright/report"
	"seepwright/engine"
	"seepwright/engine/infer"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

// Where an interview keeps a case and a unit when no file is named.
const (
	defaultCase = "seepwright-answers.yaml"
	defaultUnit = "seepwright-unit.yaml"
)

// desk is one sitting: the person, the case on disk, and what is being worked on.
type desk struct {
	app   *app
	talk  *interview.Talk
	say   io.Writer // where the conversation goes; the result may go elsewhere
	start start
	how   talk
	path  string // of the saved case
	saved *journal.Case
	held  *journal.Held // the record that is written, where it is one
	work  *work
	loop  *interview.Loop
	wrote bool
	done  bool // nothing is left to go on with
}

// interview asks until nothing more is worth asking, and prints the result.
func (a *app) interview(st start, o talk) error {
	d := &desk{app: a, start: st, how: o, path: o.save, saved: journal.New(), say: a.out}
	if o.format != "text" && !isTerminal(a.out) {
		d.say = a.err // so that the result alone goes into a file
	}
	stop := make(chan os.Signal, 1)
	signal.Notify(stop, os.Interrupt)
	defer signal.Stop(stop)
	switch {
	case st.record.name != "":
		path, err := a.casePath(st.record.caseFlags, st.record.name)
		if err != nil {
			return err
		}
		if d.held, err = journal.Hold(path); err != nil {
			return fault(err)
		}
		defer d.held.Free()
		d.path, d.saved, d.wrote = path, d.held.Case, true
		d.start.answers = path
	case o.save != "":
		c, err := journal.Open(o.save)
		if err != nil {
			return fault(err)
		}
		if c != nil {
			d.saved, d.wrote = c, true
			d.start.answers = o.save
		}
	default:
		d.path = journal.Free(defaultCase)
	}
	asker, err := a.asker(o, d.say, stop)
	if err != nil {
		return fault(err)
	}
	d.talk = &interview.Talk{Asker: asker, Width: a.width()}
	return d.end(d.run())
}

// asker chooses the way of asking.
func (a *app) asker(o talk, out io.Writer, stop <-chan os.Signal) (interview.Asker, error) {
	term := a.env("TERM")
	if isTerminal(a.in) && isTerminal(out) && !o.plain && term != "" && term != "dumb" {
		return interview.NewTerminal(a.in.(*os.File), out.(*os.File), stop, a.width, a.env("NO_COLOR") == "")
	}
	return interview.NewLine(a.in, out, stop, a.width(), !isTerminal(a.in)), nil
}

// run goes through the sitting and gives its result; nil when there is none to show.
func (d *desk) run() (*engine.Result, error) {
	file := d.saved.File
	if d.start.assembly == "" && d.start.joint == "" && file.Joint.Text == "" && file.Assembly.File == "" && len(file.Assembly.Inline) == 0 {
		d.talk.Tell("Answer by number and Enter. ? = can't tell, x = can't get at it, b = back, w = why do you ask, m = what would change your mind, h = help, q = stop; every answer is kept.")
		locate, err := d.fromNothing()
		if err != nil || d.start.joint == "" && d.start.assembly == "" {
			return nil, err
		}
		return d.through(locate)
	}
	return d.through(nil)
}

// through opens the case and asks.
func (d *desk) through(locate *interview.Locate) (*engine.Result, error) {
	if kinds := severalKinds(d.start, d.saved.File); kinds != nil {
		d.saved.File.Joint.Text = strings.Join(kinds, ", ")
		if end, err := d.safety(kinds[0], kinds[1:]...); end || err != nil {
			return nil, err
		}
		if kind, r, err := d.among(kinds); kind == "" || err != nil {
			return r, err
		}
		d.work = nil
	}
	fresh := d.work == nil
	if err := d.open(); err != nil {
		return nil, err
	}
	if fresh && d.saved.Count() > 0 {
		d.talk.Tell("Going on with %d answers from %s. b = change one of them.", d.saved.Count(), d.path)
		if len(d.saved.Proven) == 0 && (d.held == nil || d.saved.Worked()) {
			if dry, err := d.dry(); dry || err != nil {
				return nil, err
			}
		}
	}
	d.ask(locate, false)
	return d.loop.Run()
}

// open opens what the command line, the saved case and the talk have said.
func (d *desk) open() error {
	st := d.start
	if d.wrote {
		st.answers = d.path
	}
	w, err := d.app.open(st)
	if err != nil {
		return err
	}
	d.work = w
	f := d.saved.File
	before := [3]string{f.History.Text, f.Joint.Text, f.Assembly.File}
	if st.history != "" {
		f.History.Text = st.history
	}
	switch {
	case st.assembly != "":
		f.Assembly = answer.AssemblyRef{File: beside(d.path, st.assembly)}
		f.Joint.Text = ""
	case st.joint != "":
		f.Joint.Text = st.joint
		f.Assembly = answer.AssemblyRef{}
	}
	if d.held != nil && f.Assembly.File != "" {
		if err := copyUnit(d.saved, w.asm); err != nil {
			return err
		}
		d.start.assembly = ""
	}
	if !d.wrote || before == [3]string{f.History.Text, f.Joint.Text, f.Assembly.File} {
		return nil
	}
	return d.save()
}

// beside names a file as seen from the folder of another.
func beside(from, name string) string {
	dir, err := filepath.Abs(filepath.Dir(from))
	if err != nil {
		return name
	}
	full, err := filepath.Abs(name)
	if err != nil {
		return name
	}
	if rel, err := filepath.Rel(dir, full); err == nil {
		return filepath.ToSlash(rel)
	}
	return filepath.ToSlash(full)
}

// ask makes the loop ready.
func (d *desk) ask(locate *interview.Locate, safety bool) {
	shown := ""
	if d.loop != nil {
		shown = d.loop.Shown
	}
	d.loop = &interview.Loop{
		Talk: d.talk, Session: d.work.session, Person: d.work.person, Keep: d.keep, Meant: d.saved.Confirm,
		SoFar: func(r *engine.Result) string { d.rank(r); return soFar(r) }, Advice: d.advice, Mind: d.mind, Locate: locate, Safety: safety, Shown: shown,
	}
}

// keep saves all that was answered; what was put off is left out.
func (d *desk) keep() error {
	f := d.saved.File
	before := &journal.Case{File: &answer.File{Answers: f.Answers, Joints: f.Joints}}
	f.Answers, f.Joints = d.work.kept(f.Answers), map[string]map[string]rules.AnswerText{"joint": d.work.kept(f.Joints["joint"])}
	maps.DeleteFunc(f.Joints, func(_ string, answers map[string]rules.AnswerText) bool { return len(answers) == 0 })
	mem := d.work.session.Memory()
	for _, k := range mem.Answers() {
		if d.loop.Left()[k] {
			continue
		}
		for _, s := range mem.Supports(k) {
			if s.Origin == infer.Answered {
				d.put(k, answer.Write(s.Value))
			}
		}
	}
	if d.saved.Count() == 0 && !d.wrote {
		return nil
	}
	d.log(journal.Changes(before, d.saved, time.Time{}, "")...)
	return d.save()
}

// put puts an answer where an answers file has it: under a joint, or at the top for what
// belongs to the whole. What belongs to a circuit stands under one of its joints.
func (d *desk) put(k fact.Key, a rules.AnswerText) {
	joint := k.Joint
	if circuit, ok := strings.CutPrefix(joint, "circuit:"); ok {
		for _, j := range d.work.asm.Joints {
			f := d.work.kb.Fact(k.Fact)
			if j.Circuit == circuit && d.work.kb.Joint(j.Kind) != nil && (f == nil || rules.Applies(f.For, j.Kind)) {
				joint = j.ID
				break
			}
		}
	}
	f := d.saved.File
	if joint == "" {
		f.Answers[k.Fact] = a
		return
	}
	if f.Joints[joint] == nil {
		f.Joints[joint] = map[string]rules.AnswerText{}
	}
	f.Joints[joint][k.Fact] = a
}

// soFar is the advice so far in one line.
func soFar(r *engine.Result) string {
	s := "so far: "
	if list := report.Shown(r); len(list) > 0 {
		s += list[0].Title
		for _, j := range r.Joints {
			if len(r.Joints) > 1 && j.Joint == list[0].Joint {
				s += " (" + j.Title + ")"
			}
		}
		s += " " + report.Odds(list[0].Probability) + "; "
	}
	if r.Run.Verdict == "stop" && r.Stop == nil && r.Next != nil {
		return s + "do not run it yet"
	}
	return s + report.RunWords(r.Run.Verdict)
}

// advice shows what can be said by now, without the plan.
func (d *desk) advice(r *engine.Result) {
	_ = report.Text(d.say, report.View(r, report.Options{Explain: d.how.explain}), d.app.width())
}

// mind is what would change the ranking as it stands now.
func (d *desk) mind(r *engine.Result) (string, error) {
	now := *r
	var err error
	if now.Mind, err = d.work.session.Mind(); err != nil {
		return "", fault(err)
	}
	var b strings.Builder
	err = report.Text(&b, report.Pick(&now, report.Options{}, report.WhatIf), d.app.width())
	return b.String(), err
}

// dry asks whether a case that is taken up again is dry now, and keeps what it was.
func (d *desk) dry() (bool, error) {
	r, err := d.work.result()
	if err != nil {
		return false, err
	}
	o, now, err := d.talk.Dry(r)
	if err != nil || now == interview.NotTried {
		return false, err
	}
	if now == interview.StillWet {
		if r.Stop != nil && !r.Stop.GoesOn {
			return false, nil // the stop comes first
		}
		return false, d.tried(r)
	}
	d.saved.Proven = append(d.saved.Proven, journal.Proven{Joint: o.Joint, Kind: d.kindOf(o.Joint), Cause: o.Cause, Said: o.Said, Done: o.Done})
	if d.held != nil {
		d.saved.Close(journal.Dry, d.app.now(), d.start.record.by, "")
	}
	if err := d.save(); err != nil {
		return false, err
	}
	d.done = true
	d.talk.Tell("Kept in %s under proven. It counts as dry when it has stayed dry hot, under load, and cold the next morning.", d.path)
	if r.Plan.LookAgain != "" {
		d.talk.Tell("Look again: %s.", strings.TrimSuffix(r.Plan.LookAgain, "."))
	}
	return true, nil
}

// kindOf is the kind of a joint, or of the only one.
func (d *desk) kindOf(joint string) string {
	if j, ok := d.work.asm.Joint(joint); ok {
		return j.Kind
	}
	if len(d.work.asm.Joints) == 1 {
		return d.work.asm.Joints[0].Kind
	}
	return ""
}

// tried asks what was done since the case was left, and keeps it.
func (d *desk) tried(r *engine.Result) error {
	list, err := d.talk.Tried(d.work.session, r)
	if err != nil || len(list) == 0 {
		return err
	}
	for _, t := range list {
		if err := d.work.session.Try(t); err != nil {
			return fault(err)
		}
		kept := answer.Tried{Joint: answer.Word{Text: t.Joint}, Wet: t.Wet}
		if len(d.work.asm.Joints) == 1 {
			kept.Joint.Text = ""
		}
		for _, id := range t.Did {
			kept.Did = append(kept.Did, answer.Word{Text: id})
		}
		d.saved.File.Tried = append(d.saved.File.Tried, kept)
		tissue := "dry"
		if t.Wet {
			tissue = "wet"
		}
		d.log(journal.Entry{What: journal.Did, Joint: kept.Joint.Text, Did: t.Did},
			journal.Entry{What: journal.Retest, Joint: kept.Joint.Text, Name: journal.AsItStands, Tissue: tissue})
	}
	return d.save()
}

// fromNothing finds out what there is to talk about: the safety questions first, then the
// unit by talk or one joint. It gives the locating steps of the way in.
func (d *desk) fromNothing() (*interview.Locate, error) {
	k, err := d.app.overview(d.start.folders)
	if err != nil {
		return nil, err
	}
	way, err := d.talk.Start()
	if err != nil {
		return nil, err
	}
	if len(k.Joints) > 0 {
		if end, err := d.safety(k.Joints[0].ID); end || err != nil {
			return nil, err
		}
	}
	if way == interview.OneJoint {
		d.start.joint, err = d.talk.Kind(k.Joints)
		d.done = err == nil && d.start.joint == ""
		return nil, err
	}
	b, err := d.talk.Build(k, way)
	if b.Assembly == nil {
		return nil, err
	}
	if e := d.writeUnit(b.Assembly); e != nil {
		return nil, e
	}
	known := slices.ContainsFunc(b.Assembly.Joints, func(j assembly.Joint) bool { return k.Joint(j.Kind) != nil })
	if err == nil && !known {
		d.talk.Tell("None of these joints is of a kind that can be ranked here. When you have found the first wet spot, and it is one of the known kinds, add that joint to the unit.")
		d.done = true
	}
	if err != nil || !known {
		d.start.assembly = ""
		return nil, err
	}
	if err := d.open(); err != nil {
		return nil, err
	}
	for _, j := range b.Assembly.Joints {
		if wet, told := b.Wet[j.ID]; told && k.Joint(j.Kind) != nil {
			if _, err := d.work.session.Answer(j.ID, "joint-wet", fact.MakeYesNo(wet)); err != nil {
				return nil, fault(err)
			}
		}
	}
	if way == interview.LevelFalls {
		for _, j := range b.Assembly.Joints {
			if _, err := d.work.session.Answer(j.ID, "level-falls", fact.MakeYesNo(true)); k.Joint(j.Kind) != nil && err != nil {
				return nil, fault(err)
			}
		}
	}
	d.ask(nil, false)
	if err := d.keep(); err != nil {
		return nil, err
	}
	switch way {
	case interview.WetSomehow:
		return interview.FindJoint(), nil
	case interview.LevelFalls:
		return interview.WatchLevels(), nil
	}
	return nil, nil
}

// safety asks the questions of safety before anything else is talked about. It reports
// whether they end the matter. The kind is only there to have a place for answers that belong
// to the whole; it may be one of others also.
func (d *desk) safety(kind string, also ...string) (bool, error) {
	st := d.start
	st.joint, st.also = kind, also
	if d.wrote {
		st.answers = d.path
	}
	w, err := d.app.open(st)
	if err != nil {
		return true, err
	}
	d.work = w
	d.ask(nil, true)
	_, err = d.loop.Run()
	return d.loop.Ended(), err
}

// writeUnit writes the unit next to the saved case, under a name that no file has.
func (d *desk) writeUnit(asm *assembly.Assembly) error {
	if d.held != nil {
		if err := copyUnit(d.saved, asm); err != nil {
			return err
		}
		return d.save()
	}
	name := journal.Free(filepath.Join(filepath.Dir(d.path), defaultUnit))
	if err := journal.WriteWhole(name, asm); err != nil {
		return fault(err)
	}
	d.start.assembly = name
	f := d.saved.File
	f.Assembly = answer.AssemblyRef{File: beside(d.path, name)}
	d.talk.Tell("\nThe unit is kept in %s.", name)
	if d.saved.Count() > 0 {
		return d.save()
	}
	return nil
}

// end prints the result, or how to go on.
func (d *desk) end(r *engine.Result, err error) error {
	ended := errors.Is(err, io.EOF)
	if err != nil && !ended && !errors.Is(err, interview.ErrQuit) {
		return err
	}
	stopped := errors.Is(err, interview.ErrQuit)
	if r != nil && d.held != nil && !d.done {
		d.rank(r)
		if err := d.save(); err != nil {
			return err
		}
	}
	if r != nil && !stopped {
		if d.how.whatIf && d.work != nil {
			if r.Mind, err = d.work.session.Mind(); err != nil {
				return fault(err)
			}
		}
		if err := d.app.print(r, d.how); err != nil {
			return err
		}
	}
	if d.done {
		return nil
	}
	if !d.wrote {
		if stopped || ended {
			d.talk.Tell("\nNothing was answered, so nothing is kept.")
		}
		return nil
	}
	lead := "\nThe answers are kept. Go on with:"
	if stopped || ended {
		lead = fmt.Sprintf("\nStopped. %s kept. Go on with:", answers(d.saved.Count()))
	}
	d.talk.Tell("%s", lead)
	d.talk.Say("  " + d.command() + "\n")
	return nil
}

// answers counts answers in words.
func answers(n int) string {
	if n == 1 {
		return "1 answer is"
	}
	return fmt.Sprintf("%d answers are", n)
}

// command is the command line that goes on with the case.
func (d *desk) command() string {
	s := "seepwright diagnose --save " + quote(d.path)
	if d.held != nil {
		s = "seepwright diagnose --case " + quote(d.start.record.name) + d.start.record.again()
	}
	for _, f := range d.start.folders {
		s += " --kb " + quote(f)
	}
	if d.how.plain {
		s += " --plain"
	}
	if d.how.explain {
		s += " --explain"
	}
	if d.how.whatIf {
		s += " --what-if"
	}
	if d.how.format != "text" {
		s += " --format " + d.how.format
	}
	if d.how.units != "" {
		s += " --units " + d.how.units
	}
	return s
}

// quote puts a name into quotes where a shell would take it apart.
func quote(s string) string {
	if strings.Trim(s, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./,:=+@%") == "" && s != "" {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}
