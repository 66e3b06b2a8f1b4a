// Package journal keeps a case on disk while it is being answered: whole or not at all, and
// readable as a plain answers file.
// It asks nothing and concludes nothing.
package journal

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/source"
)

// Case is what a saved case holds: the answers as they are now, and what only the course of the
// work can tell. A case without a head is a saved interview.
type Case struct {
	Head      Head
	File      *answer.File
	Log       []Entry  // in the order of time
	Confirmed []string // JOINT/FACT of hard-to-believe answers that the person said were meant
	Proven    []Proven // what it turned out to be
}

// Proven is the outcome of a case: what the leak was and what made it dry.
type Proven struct {
	Joint string // joint id, "" where it was not said or several had one cause
	Kind  string // the kind of that joint, "" where it was not kept
	Cause string // cause id, "" when it was none of those listed
	Said  string // in the person's own words
	Done  string // what was done
}

// New is an empty case.
func New() *Case {
	return &Case{File: &answer.File{Answers: map[string]rules.AnswerText{}, Joints: map[string]map[string]rules.AnswerText{}}}
}

// Count is how many answers a case holds.
func (c *Case) Count() int {
	n := len(c.File.Answers)
	for _, j := range c.File.Joints {
		n += len(j)
	}
	return n
}

// Meant reports whether a hard-to-believe answer was confirmed.
func (c *Case) Meant(joint, factID string) bool {
	return slices.Contains(c.Confirmed, mark(joint, factID))
}

// Confirm notes that a hard-to-believe answer is meant.
func (c *Case) Confirm(joint, factID string) {
	if !c.Meant(joint, factID) {
		c.Confirmed = append(c.Confirmed, mark(joint, factID))
	}
}

func mark(joint, factID string) string {
	if joint == "" {
		return factID
	}
	return joint + "/" + factID
}

// MaxFile is the largest case that is read, in bytes. A year of daily entries has some 300 kB.
const MaxFile = 8 << 20

// Read reads a record, a saved interview or a plain answers file and reports all that is wrong
// with its form, places counted in the file as it is. The case is nil when it is no YAML at all.
func Read(r io.Reader, name string) (*Case, source.Findings) {
	data, err := io.ReadAll(io.LimitReader(r, MaxFile+1))
	if err != nil {
		return nil, source.Findings{{Place: source.Place{File: name}, Code: "unreadable", What: "the file cannot be read: " + err.Error()}}
	}
	if len(data) > MaxFile {
		return nil, source.Findings{{Place: source.Place{File: name, Line: 1, Col: 1}, Code: "too-large", What: fmt.Sprintf("the file is larger than %d MB", MaxFile>>20), Hint: "is it the right one?"}}
	}
	plain, own := divide(string(data))
	var f *answer.File
	var bad source.Findings
	if strings.TrimSpace(plain) == "" && strings.TrimSpace(own) != "" {
		f = New().File // a case of which nothing is answered yet
		f.Name = name
	} else if f, bad = answer.ReadFile(strings.NewReader(plain), name); f == nil {
		return nil, bad
	}
	c := &Case{File: f}
	bad = append(bad, c.own(own, name)...)
	return c, bad.Sort()
}

// WriteTo writes the case: an answers file, before it the head, and behind it the log.
func (c *Case) WriteTo(w io.Writer) (int64, error) {
	var b strings.Builder
	head, tail, err := c.sections()
	if err != nil {
		return 0, fmt.Errorf("writing the case: %w", err)
	}
	b.WriteString(head)
	if _, err := c.File.WriteTo(&b); err != nil {
		return 0, err
	}
	b.WriteString(tail)
	n, err := io.WriteString(w, b.String())
	return int64(n), err
}
