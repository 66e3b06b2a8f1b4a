package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"seepwright/engine/ruletest"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/lint"
	"seepwright/rules/load"
	"seepwright/rules/source"
)

func (n *newDocument) cause() ([]load.NewFile, error) {
	return load.NewCause(n.d.Kind, n.d.ID, n.d.Title)
}

// rule is written to fill in, unless its condition and what follows are given.
func (n *newDocument) rule() ([]load.NewFile, error) {
	if n.d.When == "" && n.d.Then == "" {
		return load.NewRule(n.d.Kind, n.d.ID, n.d.Says)
	}
	for name, s := range map[string]string{"when": n.d.When, "then": n.d.Then, "says": n.d.Says} {
		if s == "" {
			return nil, fmt.Errorf("give --%s too: --when, --then and --says belong together; without all three the rule is written to fill in", name)
		}
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
		return nil, errors.New("give --dimension: length, pressure, temperature ...")
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
	var places load.Places
	k, bad := kb.Read(&places)
	if bad.Errors() > 0 {
		return nil, nil, bad
	}
	list := []load.Folder{{Name: n.name(), FS: os.DirFS(stage)}}
	if there, _ := filepath.Glob(filepath.Join(n.dir, "*")); len(there) > 0 {
		list = append([]load.Folder{{Name: n.name(), FS: os.DirFS(n.dir)}}, list...)
	}
	k, bad = load.Overlay(k, list, &places)
	return k, &places, bad
}

// refused says why nothing was written.
func (n *newDocument) refused(bad source.Findings) error {
	if bad.Errors() == 0 {
		return nil
	}
	return fault(fmt.Errorf("nothing was written, for it would not pass:\n%w", errorsOf(bad)))
}
