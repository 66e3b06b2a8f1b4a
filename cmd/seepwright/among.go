package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"seepwright/cmd/seepwright/journal"
	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/source"
)

// openKind is a case on one joint of which it is not known yet which of several kinds it is.
type openKind struct {
	kb    *rules.Knowledge
	among *engine.Among
}

// severalKinds are the kinds named on the command line or in the file, where they are more than one.
func severalKinds(st start, file *answer.File) []string {
	text := st.joint
	if text == "" && st.assembly == "" {
		text = file.Joint.Text
	}
	if !strings.Contains(text, ",") {
		return nil
	}
	var out []string
	for _, k := range strings.Split(text, ",") {
		if k = strings.TrimSpace(k); k != "" && !slices.Contains(out, k) {
			out = append(out, k)
		}
	}
	return out
}

// amongKinds opens a case of several kinds with the answers of a file.
func (a *app) amongKinds(st start, kinds []string, file *answer.File) (*openKind, error) {
	k, known, err := a.overlaid(st.folders)
	if err != nil {
		return nil, err
	}
	for _, id := range kinds {
		if f, ok := unknownKind(id, known, file); !ok {
			if st.joint == "" {
				return nil, faults(source.Findings{f})
			}
			return nil, fault(fmt.Errorf("%s: %s", f.What, f.Hint))
		}
	}
	if k == nil {
		if k, err = a.knowledge(nil, kinds...); err != nil {
			return nil, err
		}
	}
	h, err := historyFor(st.history, file)
	if err != nil {
		return nil, err
	}
	g, err := engine.NewBrain(k).NewAmong(kinds, engine.Options{History: h, Units: st.units})
	if err != nil {
		return nil, fault(err)
	}
	o := &openKind{k, g}
	return o, faults(o.tell(file).Sort())
}

// tell tells all kinds what was answered.
func (o *openKind) tell(file *answer.File) (bad source.Findings) {
	given := []map[string]rules.AnswerText{file.Answers}
	for id, answers := range file.Joints {
		if id != "joint" {
			bad = append(bad, source.Finding{Place: anyPlace(answers, file.Name), Code: "unknown-joint", What: fmt.Sprintf("no joint is called %q here", id), Hint: `where the kind is open there is one joint, called "joint"`})
			continue
		}
		given = append(given, answers)
	}
	for _, t := range file.Tried {
		bad = append(bad, source.Finding{Place: t.Place, Code: "which-kind", What: "work can only be judged when the kind of joint is known", Hint: "name one kind after joint:"})
	}
	for _, answers := range given {
		values, found := answer.ReadGiven(o.kb, answers)
		bad = append(bad, found...)
		for _, id := range sorted(values) {
			if err := o.among.Answer(id, values[id]); err != nil {
				bad = append(bad, source.Finding{Place: answers[id].Place, Code: "wrong-kind", What: err.Error()})
			}
		}
	}
	return bad
}

// among asks what every kind knows until one stands out, and then which it is. "" = it stays open:
// the result is then that of all kinds together.
func (d *desk) among(kinds []string) (kind string, r *engine.Result, err error) {
	o, err := d.app.amongKinds(d.start, kinds, d.saved.File)
	if err != nil {
		return "", nil, err
	}
	kind, r, err = d.talk.Among(o.among, func(factID string) error {
		s := o.among.Sessions()[0]
		k := s.Key("joint", factID)
		v, _, _ := s.Memory().Value(k)
		now := answer.Write(v)
		d.put(k, now)
		d.log(journal.Entry{What: journal.Answered, Name: factID, Value: now})
		return d.save()
	})
	if kind == "" || err != nil {
		return "", r, err
	}
	d.start.joint, d.saved.File.Joint.Text = kind, kind
	for _, answers := range []map[string]rules.AnswerText{d.saved.File.Answers, d.saved.File.Joints["joint"]} {
		maps.DeleteFunc(answers, func(id string, _ rules.AnswerText) bool { // it speaks of what this joint is not
			f := o.kb.Fact(id)
			return f != nil && !rules.Applies(f.For, kind)
		})
	}
	if d.wrote {
		err = d.save()
	}
	return kind, r, err
}

// result is the result of a case of several kinds.
func (o *openKind) result() (*engine.Result, error) {
	r, err := o.among.Result(plan.Person{})
	return r, fault(err)
}
