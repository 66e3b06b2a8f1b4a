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

// Case is what a saved case holds: the answers, and two things that only an interview knows.
type Case struct {
	File      *answer.File
	Confirmed []string // JOINT/FACT of hard-to-believe answers that the person said were meant
	Proven    []Proven // what it turned out to be
}

// Proven is the outcome of a case: what the leak was and what made it dry.
type Proven struct {
	Joint string // joint id, "" where it was not said or several had one cause
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

// Read reads a saved case or a plain answers file and reports all that is wrong with its
// form, places counted in the file as it is. The case is nil when it is no YAML at all.
func Read(r io.Reader, name string) (*Case, source.Findings) {
	data, err := io.ReadAll(io.LimitReader(r, answer.MaxFile+1))
	if err != nil {
		return nil, source.Findings{{Place: source.Place{File: name}, Code: "unreadable", What: "the file cannot be read: " + err.Error()}}
	}
	plain, own := divide(string(data))
	f, bad := answer.ReadFile(strings.NewReader(plain), name)
	if f == nil {
		return nil, bad
	}
	c := &Case{File: f}
	bad = append(bad, c.own(own, name)...)
	return c, bad.Sort()
}

// WriteTo writes the case: an answers file, and behind it the two sections of the interview.
func (c *Case) WriteTo(w io.Writer) (int64, error) {
	var b strings.Builder
	if _, err := c.File.WriteTo(&b); err != nil {
		return 0, err
	}
	tail, err := c.sections()
	if err != nil {
		return 0, fmt.Errorf("writing the case: %w", err)
	}
	b.WriteString(tail)
	n, err := io.WriteString(w, b.String())
	return int64(n), err
}
