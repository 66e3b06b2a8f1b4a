package main

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"seepwright/engine/ruletest"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/lint"
	"seepwright/rules/load"
	"seepwright/rules/source"
)

// cause is written to fill in, unless it was told: then with its look and its cure, where they
// are new, and the case in which it was found.
func (n *newDocument) cause() ([]load.NewFile, error) {
	if n.template {
		return load.NewCause(n.d.Kind, n.d.ID, n.d.Title)
	}
	var files []load.NewFile
	add := func(f load.NewFile, err error) error {
		files = append(files, f)
		return err
	}
	d := n.d
	if d.FoundBy == "" {
		look, shows := d, d
		look.ID, look.Title, look.Stage = d.ID+"-look", "Make sure: "+strings.ToLower(d.Title[:1])+d.Title[1:], cmp.Or(d.Stage, "opened")
		shows.ID, shows.Title, shows.Stage = d.ID+"-shows", "", look.Stage
		look.Fills = shows.ID
		if err := errors.Join(add(look.CheckFile()), add(shows.FactFile())); err != nil {
			return nil, err
		}
		d.FoundBy = look.ID + ": " + shows.ID + " is yes"
		d.Se, d.Sp = "", ""
	}
	if d.Remedy == "" {
		cure := d
		cure.ID, cure.Title, cure.How, cure.Minutes = d.ID+"-cure", n.cure, n.cure, "30"
		if err := add(cure.RemedyFile()); err != nil {
			return nil, err
		}
		d.Remedy = cure.ID
	}
	if err := add(d.CauseFile()); err != nil {
		return nil, err
	}
	c := d
	c.ID, c.Cause, c.Stage, c.Title = d.ID+"-first", d.ID, "opened", ""
	c.Source = "own case; put its answers as they were in place of these"
	given := &answer.File{Answers: map[string]rules.AnswerText{}}
	for _, s := range slices.Concat(d.Signs, d.Likelier, []string{d.FoundBy}) {
		when := s[:max(strings.LastIndex(s, ":"), 0)]
		if s == d.FoundBy {
			_, when, _ = strings.Cut(s, ":")
		}
		id, option, ok := strings.Cut(strings.TrimSpace(when), " is ")
		if !ok {
			return nil, fmt.Errorf("%q is no sign: write FACT is OPTION, or FACT is yes", when)
		}
		if _, twice := given.Answers[id]; twice {
			continue // the case has one answer of it
		}
		given.Answers[id] = rules.AnswerText{Scalar: strings.TrimSpace(option)}
	}
	var text strings.Builder
	if _, err := given.WriteTo(&text); err != nil {
		return nil, err
	}
	_, lines, _ := strings.Cut(text.String(), "answers:\n")
	n.whole = true
	err := add(c.CaseFile(lines))
	return files, err
}

// rule is written to fill in, unless its condition and what follows are given.
func (n *newDocument) rule() ([]load.NewFile, error) {
	if n.d.When == "" && n.d.Then == "" {
		return load.NewRule(n.d.Kind, n.d.ID, n.d.Says)
	}
	if n.d.When == "" || n.d.Then == "" || n.d.Says == "" {
		return nil, errors.New("--when, --then and --says belong together: give all three, or none of them for a rule to fill in")
	}
	return n.proven(n.d)
}

// proven is a rule whose tests are found once the knowledge with it can be read.
func (n *newDocument) proven(d load.Draft) ([]load.NewFile, error) {
	f, err := d.RuleFile()
	if err != nil {
		return nil, err
	}
	n.whole = true
	n.tests = func(k *rules.Knowledge) (load.NewFile, error) {
		r := k.Rule(d.ID)
		if r == nil {
			return load.NewFile{}, fmt.Errorf("no rule is called %q", d.ID)
		}
		s, err := ruletest.Suggest(k, r)
		if err != nil {
			return load.NewFile{}, fmt.Errorf("the tests of the rule %s: %w", d.ID, err)
		}
		one := d.Kind
		if one == "shared" {
			one = k.Joints[0].ID
		}
		return d.TestsFile(one, s.Fires, s.Silent, s.Settles), nil
	}
	return []load.NewFile{f}, nil
}

// speaks is the rule by which a fact speaks for a cause.
func (n *newDocument) speaks(factID, ask, then string) ([]load.NewFile, error) {
	r := n.d
	r.ID = factID + "-speaks"
	r.When = cmp.Or(n.d.When, factID+" is yes")
	r.Then = then
	yes := "Yes"
	if r.When != factID+" is yes" {
		yes = "When " + r.When + ", that"
	}
	r.Says = cmp.Or(n.d.Says, fmt.Sprintf("%s %s speaks for: %s.", ask, yes, n.causeTitle()))
	return n.proven(r)
}

// causeTitle is what a reader calls the cause; of one that is not built in, its name in words.
func (n *newDocument) causeTitle() string {
	if k, err := kb.Load(); err == nil {
		for _, ref := range []string{n.about, n.d.Kind + "/" + n.about, "shared/" + n.about} {
			if c := k.Cause(ref); c != nil {
				return c.Title
			}
		}
	}
	return strings.ReplaceAll(n.about, "-", " ")
}

func (n *newDocument) fact() ([]load.NewFile, error) {
	d := n.d
	d.Stage = cmp.Or(d.Stage, "told")
	switch {
	case d.Answer == "choice" && d.Options == "":
		return nil, errors.New("give --options: the answers of the choice, with commas between")
	case d.Answer == "quantity" && d.Dimension == "":
		return nil, errors.New("give --dimension, such as length, pressure or temperature")
	case d.Answer != "yes-no" && d.When == "":
		return nil, fmt.Errorf("give --when: which answer speaks for the cause, such as '%s is ...' or '%s > 3 mm'", d.ID, d.ID)
	}
	f, err := d.FactFile()
	if err != nil {
		return nil, err
	}
	rule, err := n.speaks(d.ID, d.Ask, fmt.Sprintf("raise: {cause: %s, times: %s}", n.about, n.times))
	return append([]load.NewFile{f}, rule...), err
}

func (n *newDocument) check() ([]load.NewFile, error) {
	d := n.d
	d.Stage = cmp.Or(d.Stage, "opened")
	if d.Fills != "" {
		n.whole = true
		f, err := d.CheckFile()
		return []load.NewFile{f}, err
	}
	found := d
	found.ID = d.ID + "-shows"
	d.Fills = found.ID
	c, err := d.CheckFile()
	if err != nil {
		return nil, err
	}
	f, err := found.FactFile()
	if err != nil {
		return nil, err
	}
	rule, err := n.speaks(found.ID, d.Ask, fmt.Sprintf("find: {cause: %s, se: %s, sp: %s}", n.about, d.Se, d.Sp))
	return append([]load.NewFile{c, f}, rule...), err
}

// solved makes a solved case of the answers of a file.
func (n *newDocument) solved() ([]load.NewFile, error) {
	in, err := os.Open(n.from)
	if err != nil {
		return nil, fmt.Errorf("%s: the file cannot be read: %s", n.from, reason(err))
	}
	defer in.Close()
	f, bad := answer.ReadFile(in, n.from)
	if err := faults(bad); err != nil {
		return nil, err
	}
	if f.Joint.Text != "" && f.Joint.Text != n.d.Kind {
		return nil, fmt.Errorf("%s: these are the answers of a joint of the kind %s: give --joint %s", f.Joint.Place, f.Joint.Text, f.Joint.Text)
	}
	if len(f.Joints) > 1 {
		return nil, fmt.Errorf("%s: these are the answers of %d joints; kb new makes a case of one joint, of several it is written by hand", n.from, len(f.Joints))
	}
	given := &answer.File{Answers: map[string]rules.AnswerText{}}
	maps.Copy(given.Answers, f.Answers)
	for _, more := range f.Joints {
		maps.Copy(given.Answers, more)
	}
	if len(given.Answers) == 0 {
		return nil, fmt.Errorf("%s: there are no answers in it", n.from)
	}
	var text strings.Builder
	if _, err := given.WriteTo(&text); err != nil {
		return nil, err
	}
	_, lines, _ := strings.Cut(text.String(), "answers:\n")
	d := n.d
	d.Cause = n.about
	d.Stage = cmp.Or(d.Stage, "before-opening")
	d.History = cmp.Or(d.History, f.History.Text)
	n.whole = true
	c, err := d.CaseFile(lines)
	return []load.NewFile{c}, err
}

func (n *newDocument) joint() ([]load.NewFile, error) {
	n.whole = true
	return n.d.JointFiles()
}

// prove reads the new files over the built-in knowledge and the folder, makes the tests of
// the rule, and runs kb check and the new tests and cases, before anything is written.
func (n *newDocument) prove(files []load.NewFile) (more []load.NewFile, err error) {
	stage, err := os.MkdirTemp("", "seepwright-new-")
	if err != nil {
		return nil, fault(err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(stage)) }()
	for _, f := range files {
		if err := put(stage, f); err != nil {
			return nil, fault(err)
		}
	}
	k, places, bad := n.over(stage)
	if bad.Errors() == 0 {
		bad = lint.Check(k, lint.Options{Places: places, Calculations: calculations(), Overlaid: true, Brief: true})
	}
	if bad.Errors() > 0 {
		return nil, n.refused(bad)
	}
	if n.tests != nil {
		f, err := n.tests(k)
		if err != nil {
			return nil, fault(fmt.Errorf("nothing was written: %w", err))
		}
		more = append(more, f)
		if err := put(stage, f); err != nil {
			return nil, fault(err)
		}
	}
	k, places, bad = n.over(stage)
	if bad.Errors() == 0 {
		bad = append(bad, lint.Check(k, lint.Options{Places: places, Calculations: calculations(), Overlaid: true})...)
	}
	if bad.Errors() > 0 {
		return nil, n.refused(bad)
	}
	told := *k
	told.Cases, told.RuleTests = nil, nil
	for _, c := range k.Cases {
		if n.ours(c.Place, files) {
			told.Cases = append(told.Cases, c)
		}
	}
	for _, t := range k.RuleTests {
		if n.ours(t.Place, more) {
			told.RuleTests = append(told.RuleTests, t)
		}
	}
	n.late = len(bad) == 0 || bad.Errors() == 0
	for _, r := range append(ruletest.Rules(&told), ruletest.Cases(&told)...) {
		for _, f := range r.Fails {
			bad = append(bad, source.Finding{Place: r.Place, Code: "case", What: r.Name + ": " + f})
		}
	}
	return more, n.refused(errorsOf(bad))
}

func (n *newDocument) ours(p source.Place, files []load.NewFile) bool {
	for _, f := range files {
		if p.File == n.name()+"/"+f.Name {
			return true
		}
	}
	return false
}

func (n *newDocument) name() string { return filepath.ToSlash(filepath.Clean(n.dir)) }

// over lays the folder, if it is there, and the new files over the built-in knowledge.
func (n *newDocument) over(stage string) (*rules.Knowledge, *load.Places, source.Findings) {
	if n.base == nil {
		var bad source.Findings
		if n.base, bad = kb.Read(&n.places); bad.Errors() > 0 {
			return nil, nil, bad
		}
	}
	list := []load.Folder{{Name: n.name(), FS: os.DirFS(stage)}}
	if there, _ := filepath.Glob(filepath.Join(n.dir, "*")); len(there) > 0 {
		list = append([]load.Folder{{Name: n.name(), FS: os.DirFS(n.dir)}}, list...)
	}
	k, bad := load.Overlay(n.base, list, &n.places)
	return k, &n.places, bad
}

// refused says why nothing was written.
func (n *newDocument) refused(bad source.Findings) error {
	if bad.Errors() == 0 {
		return nil
	}
	return fault(fmt.Errorf("nothing was written, for it would not pass:\n%w", errorsOf(bad)))
}
