package load

import (
	"fmt"
	"path"
	"strings"
)

// Draft holds what an author says of a new document. Texts that are empty leave their line out.
type Draft struct {
	Kind, ID         string // joint kind (or "shared"), and the name
	Title            string
	Source, Standing string

	Ask, Answer, Options, Dimension, Stage string // of a fact
	Minutes, Needs, How, Fills, Se, Sp     string // of a check
	Says, When, Then                       string // of a rule: Then is one entry, such as "conclude: x is yes"
	WorksBy, FailsBy, HeldBy, LooksLike    string // of a joint
	Cause, TakenFor, History, Story, Top   string // of a solved case

	// Of a cause. A sign is "FACT is OPTION: 60 %", what makes it likelier "FACT is OPTION: 3"; FoundBy is "CHECK: FACT is yes";
	// Share is "after-refit: 1 %, ...".
	Means, Family, Share, FoundBy, Remedy, Prevent, IfIgnored string
	Signs, Likelier                                           []string
}

// FactFile gives the file of a fact. The options are titles with commas between.
func (d Draft) FactFile() (NewFile, error) {
	if err := checkNames(d.Kind, d.ID); err != nil {
		return NewFile{}, err
	}
	w := lines{}
	w.add("fact", d.ID)
	w.text("ask", d.Ask)
	w.add("answer", d.Answer)
	if d.Options != "" {
		w.raw("options:")
		for _, o := range strings.Split(d.Options, ",") {
			id := MakeID(o)
			if err := checkNames("shared", id); err != nil {
				return NewFile{}, fmt.Errorf("the option %q: %w", strings.TrimSpace(o), err)
			}
			w.raw("  - {id: " + id + ", title: " + quoteText(o) + "}")
		}
	}
	w.add("dimension", d.Dimension)
	w.scope(d.Kind)
	w.add("stage", d.Stage)
	w.raw("minutes: 1")
	w.origin(d)
	return NewFile{path.Join(d.Kind, "fact-"+d.ID+".yaml"), w.String()}, nil
}

// CheckFile gives the file of a check.
func (d Draft) CheckFile() (NewFile, error) {
	if err := checkNames(d.Kind, d.ID); err != nil {
		return NewFile{}, err
	}
	w := lines{}
	w.add("check", d.ID)
	w.text("title", d.Title)
	w.add("kind", "look")
	w.scope(d.Kind)
	w.add("fills", "["+d.Fills+"]")
	w.add("stage", d.Stage)
	w.add("minutes", d.Minutes)
	w.add("needs", "["+d.Needs+"]")
	w.text("how", d.How)
	w.add("se", d.Se)
	w.add("sp", d.Sp)
	w.origin(d)
	return NewFile{path.Join(d.Kind, "check-"+d.ID+".yaml"), w.String()}, nil
}

// RuleFile gives the file of a rule.
func (d Draft) RuleFile() (NewFile, error) {
	if err := checkNames(d.Kind, d.ID); err != nil {
		return NewFile{}, err
	}
	w := lines{}
	w.add("rule", d.ID)
	w.scope(d.Kind)
	w.text("says", d.Says)
	w.origin(d)
	w.text("when", d.When)
	w.raw("then:")
	w.raw("  - " + d.Then)
	return NewFile{path.Join(d.Kind, "rules", d.ID+".yaml"), w.String()}, nil
}

// TestsFile gives the tests of a rule: answers with which it fires and with which it is silent,
// and what would settle it while nothing is known. one is the joint kind of a rule for all kinds.
func (d Draft) TestsFile(one, fires, silent string, settles []string) NewFile {
	w := lines{}
	w.add("tests", d.ID)
	w.raw("cases:")
	entry := func(name, given, expect string) {
		w.raw("  - name: " + quoteText(name))
		if one != "" {
			w.raw("    for: " + one)
		}
		w.raw("    given: " + given)
		w.raw("    expect: " + expect)
	}
	entry("It holds", fires, "fires")
	entry("It does not hold", silent, "silent")
	entry("Nothing is known yet", "{}", "undecided")
	w.raw("    would settle: [" + strings.Join(settles, ", ") + "]")
	return NewFile{path.Join(d.Kind, "rules", d.ID+"_test.yaml"), w.String()}
}

// CaseFile gives the file of a solved case. The answers are YAML, indented.
func (d Draft) CaseFile(given string) (NewFile, error) {
	if err := checkNames(d.Kind, d.ID); err != nil {
		return NewFile{}, err
	}
	w := lines{}
	w.add("case", d.ID)
	w.add("for", d.Kind)
	w.add("cause", d.Cause)
	w.add("looks like", d.TakenFor)
	w.add("stage", d.Stage)
	w.add("history", d.History)
	w.add("top", d.Top)
	w.origin(d)
	w.text("story", d.Story)
	w.raw("given:")
	w.WriteString(given)
	return NewFile{path.Join(d.Kind, "cases", d.ID+".yaml"), w.String()}, nil
}

// CauseFile gives the file of a cause that is told in full.
func (d Draft) CauseFile() (NewFile, error) {
	if err := checkNames(d.Kind, d.ID); err != nil {
		return NewFile{}, err
	}
	w := lines{}
	w.add("cause", d.ID)
	w.text("title", d.Title)
	w.add("for", d.Kind)
	w.text("means", d.Means)
	w.add("family", d.Family)
	w.add("share", "{"+d.Share+"}")
	for i, s := range d.Likelier {
		when, times, ok := cutLast(s, ":")
		if !ok {
			return NewFile{}, fmt.Errorf("%q says not how many times likelier: write 'FACT is OPTION: 3'", s)
		}
		if i == 0 {
			w.raw("more likely:")
		}
		w.raw("  - {when: " + quoteText(when) + ", times: " + strings.TrimSpace(times) + "}")
	}
	w.raw("signs:")
	for _, s := range d.Signs {
		when, shows, ok := cutLast(s, ":")
		if !ok {
			return NewFile{}, fmt.Errorf("the sign %q says not how often it shows: write 'FACT is OPTION: 60 %%'", s)
		}
		w.raw("  - {when: " + quoteText(when) + ", shows: " + strings.TrimSpace(shows) + "}")
	}
	check, when, ok := strings.Cut(d.FoundBy, ":")
	if !ok {
		return NewFile{}, fmt.Errorf("%q says not what the check shows: write 'CHECK: FACT is yes'", d.FoundBy)
	}
	w.raw("found by:")
	rates := ""
	if d.Se != "" && d.Sp != "" {
		rates = ", se: " + d.Se + ", sp: " + d.Sp
	}
	w.raw("  - {check: " + strings.TrimSpace(check) + ", when: " + quoteText(when) + rates + "}")
	w.add("remedies", "["+d.Remedy+"]")
	w.raw("stop-gap: {allowed: no}")
	w.text("prevent", d.Prevent)
	w.text("if ignored", d.IfIgnored)
	if d.TakenFor != "" {
		w.raw("looks like:")
		w.raw("  - {cause: " + d.TakenFor + ", split by: " + strings.TrimSpace(check) + "}")
	}
	w.origin(d)
	return NewFile{path.Join(d.Kind, "causes", d.ID+".yaml"), w.String()}, nil
}

// RemedyFile gives the file of a cure.
func (d Draft) RemedyFile() (NewFile, error) {
	if err := checkNames(d.Kind, d.ID); err != nil {
		return NewFile{}, err
	}
	w := lines{}
	w.add("remedy", d.ID)
	w.text("title", d.Title)
	w.raw("kind: adjust # adjust | clean | new-seal | dress | replace | machine | locate")
	w.add("minutes", d.Minutes)
	w.raw("success: 90 %")
	w.raw("opens: yes # the joint has to be parted for it")
	w.text("how", d.How)
	w.origin(d)
	return NewFile{path.Join(d.Kind, "remedy-"+d.ID+".yaml"), w.String()}, nil
}

func cutLast(s, sep string) (before, after string, ok bool) {
	if i := strings.LastIndex(s, sep); i >= 0 {
		return strings.TrimSpace(s[:i]), s[i+len(sep):], true
	}
	return s, "", false
}

// lines builds a document line by line.
type lines struct{ strings.Builder }

func (w *lines) raw(line string) { w.WriteString(line + "\n") }

func (w *lines) add(name, value string) {
	if value != "" && value != "[]" {
		w.raw(name + ": " + value)
	}
}

func (w *lines) text(name, value string) {
	if strings.TrimSpace(value) != "" {
		w.raw(name + ": " + quoteText(value))
	}
}

func (w *lines) scope(kind string) {
	if kind != "shared" {
		w.raw("for: [" + kind + "]")
	}
}

func (w *lines) origin(d Draft) {
	w.text("source", d.Source)
	w.add("standing", d.Standing)
}
