package errand

import (
	"bufio"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
)

// Answer is what was written at one question.
type Answer struct {
	Question
	Text  string
	Meant bool // a hard-to-believe value that was marked as right
	Line  int
}

// number is how a line begins that names its look or question.
var number = regexp.MustCompile(`^[0-9]+[a-z]?$`)

// limits against broken or hostile input.
const (
	mostLines  = 1000
	mostColumn = 16 << 10
)

// Mistakes are all that is wrong with an answered slip, a line each.
type Mistakes []string

func (m Mistakes) Error() string { return strings.Join(m, "\n") }

// Read reads an answered slip: a line for each look in their order, blank where it was not
// made; of several questions the answers stand between bars. A line may begin with the number
// of its look or question ("3b: yes"), or with the fact; then the order is free. "slip 3f2a"
// says which slip it was. An exclamation mark behind a value says that it is meant.
func (s Slip) Read(r io.Reader) ([]Answer, error) {
	var out []Answer
	var bad Mistakes
	in := bufio.NewScanner(r)
	in.Buffer(make([]byte, 0, 4096), mostColumn)
	looks := s.Looks()
	next, line := 0, 0
	fail := func(format string, args ...any) {
		bad = append(bad, fmt.Sprintf("line %d: ", line)+fmt.Sprintf(format, args...))
	}
	put := func(q Question, text string) {
		text = strings.TrimSpace(text)
		if strings.Trim(text, "_ ") == "" {
			return
		}
		a := Answer{Question: q, Text: text, Line: line}
		if v, ok := strings.CutSuffix(text, "!"); ok {
			a.Text, a.Meant = strings.TrimSpace(v), true
		}
		if slices.ContainsFunc(out, func(o Answer) bool { return o.Mark == q.Mark }) {
			fail("%s is answered twice", q.Mark)
			return
		}
		out = append(out, a)
	}
	all := func(l Look, text string) {
		parts := strings.Split(text, "|")
		if len(parts) > len(l.Questions) {
			fail("look %d has %s, but here are %d answers", l.Number, questions(len(l.Questions)), len(parts))
			return
		}
		for i, p := range parts {
			put(l.Questions[i], p)
		}
	}
	for in.Scan() {
		if line++; line > mostLines {
			return nil, Mistakes{fmt.Sprintf("line %d: a slip has not so many lines", line)}
		}
		text := strings.TrimSpace(in.Text())
		if strings.HasPrefix(text, "#") {
			continue
		}
		if code, ok := strings.CutPrefix(strings.ToLower(text), "slip "); ok {
			if code = strings.Trim(code, " .:"); code != s.Code {
				return nil, Mistakes{fmt.Sprintf("line %d: this is slip %s, but the case has moved on to slip %s: print it anew, and answer by the new numbers", line, code, s.Code)}
			}
			continue
		}
		if key, value, ok := strings.Cut(text, ":"); ok {
			l, q, found := s.find(key)
			switch {
			case found && q != nil:
				put(*q, value)
			case found:
				all(l, value)
			case number.MatchString(strings.TrimSpace(key)):
				fail("there is no %s on this slip, which has %d looks", strings.TrimSpace(key), len(looks))
			}
			if found {
				next = l.Number // an unnumbered line behind it is of the next look
				continue
			}
			if number.MatchString(strings.TrimSpace(key)) {
				continue
			}
		}
		if next >= len(looks) {
			if text != "" {
				fail("there is no look for this: the slip has %d", len(looks))
			}
			continue
		}
		all(looks[next], text)
		next++
	}
	if err := in.Err(); err != nil {
		return nil, Mistakes{fmt.Sprintf("line %d: the line is too long", line+1)}
	}
	if len(bad) > 0 {
		return nil, bad
	}
	return out, nil
}

func questions(n int) string {
	if n == 1 {
		return "1 question"
	}
	return fmt.Sprintf("%d questions", n)
}

// find looks up a number of a look, a mark of a question, or a fact.
func (s Slip) find(key string) (Look, *Question, bool) {
	key = strings.ToLower(strings.TrimSpace(key))
	var hits []Question
	var of Look
	for _, l := range s.Looks() {
		if fmt.Sprint(l.Number) == key && len(l.Questions) > 1 {
			return l, nil, true
		}
		for _, q := range l.Questions {
			if q.Mark == key || q.Joint+"/"+q.Fact == key {
				return l, &q, true
			}
			if q.Fact == key {
				hits, of = append(hits, q), l
			}
		}
	}
	if len(hits) == 1 {
		return of, &hits[0], true
	}
	return Look{}, nil, false
}
