package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"seepwright/cmd/seepwright/journal"
	"seepwright/engine"
	"seepwright/engine/infer"
	"seepwright/engine/network"
	"seepwright/engine/plan"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
	"seepwright/rules/source"
)

// start is what the command line says about a case.
type start struct {
	assembly string
	joint    string
	answers  string
	history  string
	units    string
	folders  []string
	record   caseRef
	also     []string // kinds that the joint may be of besides: answers about them are left for later
}

// caseRef is the case of the folder of cases that is worked on.
type caseRef struct {
	caseFlags
	name string
}

// work is a case that has been opened.
type work struct {
	saved   *journal.Case
	kb      *rules.Knowledge
	asm     *assembly.Assembly
	session *engine.Session
	history rules.History
	also    []string
}

// open reads answers and assembly, loads the knowledge of the kinds in play and tells the
// session all that is given. Everything wrong is reported together.
func (a *app) open(st start) (*work, error) {
	saved := journal.New()
	var bad source.Findings
	if st.answers != "" {
		saved, bad = a.readAnswers(st.answers)
		if saved == nil {
			return nil, faults(bad)
		}
	}
	return a.openCase(st, saved, bad)
}

// openCase is open for a case that was read; bad is what was found wrong with its form.
func (a *app) openCase(st start, saved *journal.Case, bad source.Findings) (*work, error) {
	file := saved.File
	h, err := historyFor(st.history, file)
	if err != nil {
		return nil, err
	}
	k, kinds, err := a.overlaid(st.folders)
	if err != nil {
		return nil, err
	}
	asm, more, err := a.assemblyFor(st, file, kinds)
	bad = append(bad, more...)
	if err != nil && bad.Errors() == 0 {
		return nil, err
	}
	if asm == nil || bad.Errors() > 0 {
		return nil, faults(bad.Sort())
	}
	known := slices.DeleteFunc(asm.Kinds(), func(k string) bool { return !slices.Contains(kinds, k) })
	if len(known) == 0 {
		return nil, fault(fmt.Errorf("none of the joints is of a kind that this knowledge base has (%s): find the first wet spot by cleaning, drying and powdering before opening anything", strings.Join(kinds, ", ")))
	}
	if k == nil {
		if k, err = a.knowledge(nil, append(known, st.also...)...); err != nil {
			return nil, err
		}
	}
	s, err := engine.NewSession(k, asm, engine.Options{History: h, Units: st.units})
	if err != nil {
		return nil, fault(err)
	}
	w := &work{saved: saved, kb: k, asm: asm, session: s, history: h, also: st.also}
	bad = append(bad, w.give()...)
	bad = append(bad, w.tell(file)...)
	bad = append(bad, w.try(file)...)
	return w, faults(bad.Sort())
}

// start opens a unit with the built-in knowledge and no answers.
func (a *app) start(asm *assembly.Assembly) (*work, error) {
	k, err := a.knowledge(nil, asm.Kinds()...)
	if err != nil {
		return nil, err
	}
	s, err := engine.NewSession(k, asm, engine.Options{})
	if err != nil {
		return nil, fault(err)
	}
	w := &work{saved: journal.New(), kb: k, asm: asm, session: s, history: rules.AfterRefit}
	return w, faults(w.give())
}

// overlaid gives the joint kinds that are known; with folders of the user's own it loads
// everything, because an overlay may add a kind.
func (a *app) overlaid(folders []string) (*rules.Knowledge, []string, error) {
	if len(folders) == 0 {
		return nil, kb.Kinds(), nil
	}
	k, err := a.knowledge(folders)
	if err != nil {
		return nil, nil, err
	}
	var kinds []string
	for _, j := range k.Joints {
		kinds = append(kinds, j.ID)
	}
	return k, kinds, nil
}

func historyFor(flag string, file *answer.File) (rules.History, error) {
	name := flag
	if name == "" {
		name = file.History.Text
	}
	if name == "" {
		return rules.AfterRefit, nil
	}
	var all []string
	for _, h := range rules.Histories() {
		all = append(all, string(h))
		if string(h) == name {
			return h, nil
		}
	}
	hint := source.DidYouMean(name, all)
	if hint == "" {
		hint = "one of " + strings.Join(all, ", ")
	}
	err := fmt.Errorf("no history is called %q: %s", name, hint)
	if flag == "" {
		return "", fault(err)
	}
	return "", err
}

func (a *app) readAnswers(name string) (*journal.Case, source.Findings) {
	if name == "-" {
		return journal.Read(a.in, "-")
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, source.Findings{{Place: source.Place{File: name}, Code: "unreadable", What: "the file cannot be read: " + reason(err), Hint: "check the name after --answers"}}
	}
	defer f.Close()
	return journal.Read(f, name)
}

func reason(err error) string {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}

// assemblyFor finds the assembly: the flag first, then what the answers file says, then a
// single joint of the kind named.
func (a *app) assemblyFor(st start, file *answer.File, known []string) (*assembly.Assembly, source.Findings, error) {
	name, at := st.assembly, ""
	if name == "" && file.Assembly.File != "" {
		name, at = file.Assembly.File, file.Name
		if at != "-" && !filepath.IsAbs(name) {
			name = filepath.Join(filepath.Dir(at), name)
		}
	}
	switch {
	case name != "":
		f, err := os.Open(name)
		if err != nil {
			return nil, source.Findings{{Place: source.Place{File: name}, Code: "unreadable", What: "the assembly cannot be read: " + reason(err), Hint: "check the name"}}, nil
		}
		defer f.Close()
		asm, bad := assembly.Read(f, name, known)
		return asm, bad, nil
	case len(file.Assembly.Inline) > 0:
		asm, bad := assembly.Read(bytes.NewReader(file.Assembly.Inline), file.Name, known)
		return asm, bad, nil
	}
	kind := st.joint
	if kind == "" {
		kind = file.Joint.Text
	}
	switch {
	case kind == "":
		return nil, nil, fmt.Errorf("which joint is it? give --joint KIND (one of %s) or --assembly FILE", strings.Join(known, ", "))
	}
	if f, ok := unknownKind(kind, known, file); !ok {
		if st.joint == "" {
			return nil, source.Findings{f}, nil
		}
		return nil, nil, fault(fmt.Errorf("%s: %s", f.What, f.Hint))
	}
	return assembly.Single(kind), nil, nil
}

// unknownKind says that the file, or the command line, names a kind that there is not; ok where
// there is one.
func unknownKind(kind string, known []string, file *answer.File) (f source.Finding, ok bool) {
	if slices.Contains(known, kind) {
		return f, true
	}
	return source.Finding{Place: file.Joint.Place, Code: "unknown-kind", What: fmt.Sprintf("no joint kind is called %q", kind),
		Hint: orList(source.DidYouMean(kind, known), known)}, false
}

// give tells the session what the assembly file says.
func (w *work) give() source.Findings {
	values, bad := answer.ReadGiven(w.kb, w.asm.Answers)
	for _, id := range sorted(values) {
		w.session.Give("", id, values[id])
	}
	for _, j := range w.asm.Joints {
		if w.kb.Joint(j.Kind) == nil {
			continue
		}
		values, more := answer.ReadGiven(w.kb, j.Answers)
		bad = append(bad, more...)
		for _, id := range sorted(values) {
			w.session.Give(j.ID, id, values[id])
		}
		if j.LastWork != "" && w.kb.Fact("last-work") != nil {
			w.session.Give(j.ID, "last-work", fact.MakeChoice(j.LastWork))
		}
	}
	return bad
}

func sorted(m map[string]fact.Value) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// tell tells the session what the person answered.
func (w *work) tell(file *answer.File) source.Findings {
	values, bad := w.read("", file.Answers)
	for _, id := range sorted(values) {
		if w.later(id) {
			continue
		}
		place := file.Answers[id].Place
		joints, err := w.reach(id)
		if err != nil {
			bad = append(bad, source.Finding{Place: place, Code: "which-joint", What: err.Error(), Hint: "write it under joints: with the joint's id"})
			continue
		}
		for _, j := range joints {
			if _, err := w.session.Answer(j, id, values[id]); err != nil {
				bad = append(bad, source.Finding{Place: place, Code: "unknown-name", What: err.Error()})
			}
		}
	}
	for _, id := range sortedJoints(file.Joints) {
		j, ok := w.asm.Joint(id)
		if !ok {
			bad = append(bad, source.Finding{Place: anyPlace(file.Joints[id], file.Name), Code: "unknown-joint", What: fmt.Sprintf("no joint of this assembly is called %q", id), Hint: source.DidYouMean(id, w.asm.IDs())})
			continue
		}
		values, more := w.read(id, file.Joints[id])
		bad = append(bad, more...)
		for _, name := range sorted(values) {
			if w.later(name) {
				continue
			}
			if f := w.kb.Fact(name); f != nil && !rules.Applies(f.For, j.Kind) {
				bad = append(bad, source.Finding{Place: file.Joints[id][name].Place, Code: "wrong-kind", What: fmt.Sprintf("%s is no question about a %s", name, j.Kind), Hint: "it belongs to " + strings.Join(f.For, ", ")})
				continue
			}
			if _, err := w.session.Answer(id, name, values[name]); err != nil {
				bad = append(bad, source.Finding{Place: file.Joints[id][name].Place, Code: "unknown-name", What: err.Error()})
			}
		}
	}
	return bad
}

// try tells the session what was tried.
func (w *work) try(file *answer.File) (bad source.Findings) {
	for _, t := range file.Tried {
		did := make([]string, len(t.Did))
		for i, x := range t.Did {
			did[i] = x.Text
		}
		if err := w.session.Try(network.Tried{Joint: t.Joint.Text, Did: did, Wet: t.Wet}); err != nil {
			bad = append(bad, source.Finding{Place: t.Place, Code: "unknown-name", What: err.Error()})
		}
	}
	return bad
}

// later reports whether an answer is about another kind that the joint may be of.
func (w *work) later(id string) bool {
	f := w.kb.Fact(id)
	if f == nil || slices.ContainsFunc(w.asm.Joints, func(j assembly.Joint) bool { return rules.Applies(f.For, j.Kind) }) {
		return false
	}
	return slices.ContainsFunc(w.also, func(kind string) bool { return rules.Applies(f.For, kind) })
}

// kept are the answers that the session was not told, because they are for later.
func (w *work) kept(answers map[string]rules.AnswerText) map[string]rules.AnswerText {
	out := map[string]rules.AnswerText{}
	for id, a := range answers {
		if w.later(id) {
			out[id] = a
		}
	}
	return out
}

// read reads answers. One that is hard to believe is taken where an interview was told that
// it is meant.
func (w *work) read(joint string, given map[string]rules.AnswerText) (map[string]fact.Value, source.Findings) {
	values, bad := answer.ReadGiven(w.kb, given)
	for id, in := range given {
		f := w.kb.Fact(id)
		if f == nil || !w.saved.Meant(joint, id) {
			continue
		}
		v, found := answer.Read(f, in, w.kb.Instruments)
		if len(found) == 1 && found[0].Code == answer.ImplausibleCode {
			values[id] = v
			bad = slices.DeleteFunc(bad, func(x source.Finding) bool { return x == found[0] })
		}
	}
	return values, bad
}

// reach lists the joints that an answer at the top of the file means.
func (w *work) reach(id string) ([]string, error) {
	f := w.kb.Fact(id)
	if f == nil || f.Scope == fact.Assembly || f.Scope == fact.Job {
		return []string{w.asm.Joints[0].ID}, nil
	}
	var fit []string
	for _, j := range w.asm.Joints {
		if w.kb.Joint(j.Kind) != nil && rules.Applies(f.For, j.Kind) {
			fit = append(fit, j.ID)
		}
	}
	switch {
	case len(fit) == 0:
		return nil, fmt.Errorf("%s is a question about %s, and this unit has none", id, strings.Join(f.For, ", "))
	case len(fit) == 1 || f.Scope == fact.LikeJoints || f.Scope == fact.Circuit:
		return fit, nil
	}
	return nil, fmt.Errorf("%s can be said of %s: which one is meant?", id, strings.Join(fit, ", "))
}

func sortedJoints(m map[string]map[string]rules.AnswerText) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

func anyPlace(m map[string]rules.AnswerText, file string) source.Place {
	best := source.Place{File: file}
	for _, v := range m {
		if best.Line == 0 || v.Place.Line < best.Line {
			best = v.Place
		}
	}
	return best
}

// person is what the planner must know about the one who answers.
func (w *work) person() plan.Person {
	p := plan.Person{Tools: w.asm.Tools, Ready: w.asm.Ready, CantTell: map[rules.Stage]int{}}
	mem := w.session.Memory()
	for _, k := range mem.Answers() {
		f := w.kb.Fact(k.Fact)
		for _, s := range mem.Supports(k) {
			if f == nil || s.Origin != infer.Answered {
				continue
			}
			p.Answered++
			if s.Value.State == fact.CantTell && f.Stage != rules.Told {
				p.CantTell[f.Stage]++
			}
		}
	}
	return p
}

// result works the case out.
func (w *work) result() (*engine.Result, error) {
	r, err := w.session.Result(w.person())
	return r, fault(err)
}
