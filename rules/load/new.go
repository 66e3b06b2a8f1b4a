package load

import (
	"fmt"
	"path"
	"strings"
)

// NewFile is a file to be written for a new document: its name below the folder of the
// knowledge base, and its text with the questions to fill in.
type NewFile struct {
	Name string
	Text string
}

// fillIn stands where the author has to write. Reading a file that still has it is a finding.
const fillIn = "FILL IN"

// NewCause gives the files of a new cause: the cause and one solved case that proves that it
// is found. The kind is a joint kind, or "shared". The error says what is wrong with a name.
func NewCause(kind, id, title string) ([]NewFile, error) {
	if err := checkNames(kind, id); err != nil {
		return nil, err
	}
	scope := "for: " + kind
	ref := "for: " + kind + "\ncause: " + id
	if kind == "shared" {
		scope = "shared: yes\n# On which joint kinds does it act, and how often does it make such a joint leak?\njoints: [FILL IN]\nacts: FILL IN"
		ref = "for: FILL IN\ncause: shared/" + id
	}
	return []NewFile{
		{path.Join(kind, "causes", id+".yaml"), fill(causeTemplate, id, title, scope)},
		{path.Join(kind, "cases", id+".yaml"), fill(caseTemplate, id, title, ref)},
	}, nil
}

// NewRule gives the files of a new rule: the rule and its three tests. The kind is a joint
// kind, or "shared" for a rule that holds for all.
func NewRule(kind, id, says string) ([]NewFile, error) {
	if err := checkNames(kind, id); err != nil {
		return nil, err
	}
	scope, one := "for: ["+kind+"]", "for: "+kind
	if kind == "shared" {
		scope, one = "# It holds for all joint kinds; to limit it, write for: [KIND].", "for: FILL IN"
	}
	return []NewFile{
		{path.Join(kind, "rules", id+".yaml"), fill(ruleTemplate, id, says, scope)},
		{path.Join(kind, "rules", id+"_test.yaml"), fill(testsTemplate, id, says, one)},
	}, nil
}

// PlainName says what is wrong with the name of a document, and which name would do.
func PlainName(name string) error { return checkNames(name, name) }

func checkNames(kind, id string) error {
	for _, name := range []string{kind, id} {
		if !idForm(name) || isTrap(name) || allDigit(name) {
			err := fmt.Errorf("%q is not a plain name: use small letters, digits and hyphens, such as bore-oval", name)
			if made := MakeID(name); made != "" && made != name {
				err = fmt.Errorf("%q is not a plain name: write %s", name, made)
			}
			return err
		}
	}
	return nil
}

func fill(template, id, title, scope string) string {
	if title = strings.TrimSpace(title); title == "" {
		title = fillIn
	}
	return strings.NewReplacer("ID", id, "TITLE", quoteText(title), "SCOPE", scope).Replace(template)
}

// quoteText writes a text so that YAML gives it back as it is.
func quoteText(s string) string {
	if s == fillIn {
		return s
	}
	return "'" + strings.ReplaceAll(strings.Join(strings.Fields(s), " "), "'", "''") + "'"
}

const causeTemplate = `# Replace every FILL IN. Lines that do not apply may be taken out. kb/README.md explains the fields.
cause: ID
title: TITLE
SCOPE
# Where do the figures come from: title, edition, table or page; or common practice?
source: FILL IN
# confirmed | common practice | from memory | estimate
standing: FILL IN
# What is wrong, as you would tell a colleague?
means: FILL IN
# Its class, such as seal_misfitted or face_or_bore_defect; kb check lists them all.
family: FILL IN
# Of a hundred leaks of this kind, how many have this cause: after a refit, back within weeks, in long service?
share: {after-refit: FILL IN, long-service: FILL IN}
# What was done or fitted that makes it more likely, and how many times?
more likely:
  - {when: FILL IN, times: FILL IN}
# What is seen, and in how many of a hundred with this cause alone? One answer to one question each.
signs:
  - {when: FILL IN, shows: FILL IN}
  - {when: FILL IN, shows: FILL IN}
# Which check decides it, and what does that check show?
found by:
  - {check: FILL IN, when: FILL IN, se: FILL IN, sp: FILL IN}
# What cures it, best first?
remedies: [FILL IN]
# Is there a temporary measure? yes | no | short; if so, what is done, and how far and how long may it be trusted?
stop-gap: {allowed: FILL IN, measure: FILL IN, limit: FILL IN}
prevent: FILL IN
if ignored: FILL IN
# Which cause looks the same, and what tells the two apart?
looks like:
  - {cause: FILL IN, split by: FILL IN, says: FILL IN}
`

const caseTemplate = `# A case in which ID was found: what a fitter had before it was clear. Replace every FILL IN.
# At least two of the answers should fit the look-alike better; leave out what nobody knew.
case: ID-first
title: TITLE
SCOPE
looks like: FILL IN
# before-opening | opened
stage: before-opening
# after-refit | back-in-weeks | long-service | disturbed
history: FILL IN
story: FILL IN
given:
  FILL IN: FILL IN
# The check or question that splits the two.
splits: FILL IN
`

const ruleTemplate = `# Replace every FILL IN. kb/README.md explains the fields.
rule: ID
# One sentence that explains it to the person at the bench.
says: TITLE
SCOPE
# Where does it come from: title, edition, page; or common practice?
source: FILL IN
# confirmed | common practice | from memory | estimate
standing: FILL IN
# FACT is yes, FACT is OPTION, FACT < 0.05 mm; joined by and, or, not, with brackets.
when: FILL IN
then:
  - conclude: FILL IN
`

const testsTemplate = `# Three cases at least: it fires, it is silent, it cannot say yet. Replace every FILL IN.
tests: ID
cases:
  - name: FILL IN
    SCOPE
    given: {FILL IN: FILL IN}
    expect: fires
  - name: FILL IN
    SCOPE
    given: {FILL IN: FILL IN}
    expect: silent
  - name: FILL IN
    SCOPE
    given: {FILL IN: FILL IN}
    expect: undecided
    would settle: [FILL IN]
`
