package interview

import (
	"fmt"
	"io"
	"strings"
)

// Reply is what a script types at one question.
type Reply struct {
	ID   string // of the question; "*" fits any
	Type string
}

// Script answers from a list: the first unused reply whose id fits the question. A question
// without a reply is an error that names it. ^C and ^D stand for the keys.
type Script struct {
	Replies []Reply
	Asked   []Question // all that was asked, repeats included
	Said    strings.Builder
	used    []bool
}

// NewScript makes a script of "ID: what is typed" lines.
func NewScript(lines ...string) *Script {
	s := &Script{}
	for _, l := range lines {
		id, text, _ := strings.Cut(l, ":")
		s.Replies = append(s.Replies, Reply{ID: strings.TrimSpace(id), Type: strings.TrimSpace(text)})
	}
	return s
}

// Say keeps what was said.
func (s *Script) Say(text string) { s.Said.WriteString(text) }

// NoReply is a question for which the script has nothing.
type NoReply struct{ Question Question }

func (n NoReply) Error() string {
	return fmt.Sprintf("the script has no answer to %s (%s)", n.Question.ID, n.Question.Ask)
}

// Ask finds the reply.
func (s *Script) Ask(q Question) (string, error) {
	s.Asked = append(s.Asked, q)
	for len(s.used) < len(s.Replies) {
		s.used = append(s.used, false)
	}
	if !q.Again {
		s.Say(q.Text(80))
	}
	for i, r := range s.Replies {
		if !s.used[i] && (r.ID == q.ID || r.ID == "*") {
			s.used[i] = true
			s.Say(q.Prompt() + "> " + r.Type + "\n")
			switch r.Type {
			case "^C":
				return "", ErrQuit
			case "^D":
				return "", io.EOF
			}
			return r.Type, nil
		}
	}
	return "", NoReply{q}
}

// Left complains of answers that nobody asked for.
func (s *Script) Left() error {
	var left []string
	for i, r := range s.Replies {
		if i >= len(s.used) || !s.used[i] {
			left = append(left, r.ID+": "+r.Type)
		}
	}
	if len(left) > 0 {
		return fmt.Errorf("nobody asked for: %s", strings.Join(left, "; "))
	}
	return nil
}
