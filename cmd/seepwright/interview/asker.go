// Package interview asks: it puts questions on a terminal, on plain lines or to a script,
// reads what was typed, builds an assembly by talk, and goes from question to question.
// It concludes nothing, writes no file, and draws no result.
package interview

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"
)

// Asker is one way of asking. Ask shows a question and gives the line that was typed; Say
// shows text that is already broken into lines.
type Asker interface {
	Ask(q Question) (string, error)
	Say(text string)
}

// What ends a question without an answer. Input that has ended is io.EOF.
var (
	ErrQuit = errors.New("stopped") // q, or Ctrl-C
	errBack = errors.New("back")
)

// Option is one of the numbered answers.
type Option struct {
	ID    string
	Title string
}

// Question is a question as data.
type Question struct {
	ID      string // what a script answers by: JOINT/FACT, FACT, or the name of a step
	Ask     string
	Note    string   // how to answer, when that is not plain
	Options []Option // numbered
	Columns bool     // the options stand in two columns where the screen is wide enough
	Many    bool     // several of the options may be named
	YesNo   bool
	Blank   string // what Enter alone means; "" = it is no answer
	Unsure  bool   // can't tell and can't get at it are offered
	Back    bool
	Why     string                 // what w says
	Mind    func() (string, error) // what m says: what would change the mind; nil = m is no key here
	Help    string                 // what h says besides the keys
	Again   bool                   // only the prompt; the question stands just above
}

// Text is the question broken into lines of the given width, without its prompt.
func (q Question) Text(width int) string {
	var b strings.Builder
	b.WriteString("\n" + wrap(q.Ask, width, "", ""))
	digits := len(fmt.Sprint(len(q.Options)))
	if q.Columns && width >= narrowest {
		b.WriteString(q.columns(width, digits))
	} else {
		for i, o := range q.Options {
			lead := fmt.Sprintf(" %*d ", digits, i+1)
			b.WriteString(wrap(o.Title, width, lead, strings.Repeat(" ", len(lead))))
		}
	}
	if q.Note != "" {
		b.WriteString(wrap(q.Note, width, "  ", "  "))
	}
	return b.String()
}

// narrowest is the width from which options may stand in two columns.
const narrowest = 60

// columns writes the options down the left half of the screen and then down the right half. A
// title that is too long for its half takes the next line as well.
func (q Question) columns(width, digits int) string {
	half := width/2 - 1
	rows := (len(q.Options) + 1) / 2
	cell := func(i int) []string {
		if i >= len(q.Options) {
			return nil
		}
		lead := fmt.Sprintf(" %*d ", digits, i+1)
		return strings.Split(strings.TrimRight(wrap(q.Options[i].Title, half, lead, strings.Repeat(" ", len(lead))), "\n"), "\n")
	}
	var b strings.Builder
	for r := range rows {
		left, right := cell(r), cell(r+rows)
		for n := range max(len(left), len(right)) {
			var l, m string
			if n < len(left) {
				l = left[n]
			}
			if n < len(right) {
				m = right[n]
			}
			b.WriteString(strings.TrimRight(l+strings.Repeat(" ", max(half+1-utf8.RuneCountInString(l), 1))+m, " ") + "\n")
		}
	}
	return b.String()
}

// Prompt is the short line before the cursor: what can be typed.
func (q Question) Prompt() string {
	var p []string
	switch {
	case q.YesNo:
		p = append(p, "y/n")
	case len(q.Options) == 1:
		p = append(p, "1")
	case len(q.Options) > 1 && q.Many:
		p = append(p, fmt.Sprintf("1-%d 0=none", len(q.Options)))
	case len(q.Options) > 1:
		p = append(p, fmt.Sprintf("1-%d", len(q.Options)))
	case q.Blank == "":
		p = append(p, "answer")
	}
	if q.Blank != "" {
		p = append(p, "Enter="+q.Blank)
	}
	if q.Unsure {
		p = append(p, "? x")
	}
	if q.Back {
		p = append(p, "b")
	}
	if q.Why != "" {
		p = append(p, "w")
	}
	if q.Mind != nil {
		p = append(p, "m")
	}
	return strings.Join(append(p, "h q"), " ")
}

// help says what the keys do.
func (q Question) help() string {
	var p []string
	switch {
	case q.Many:
		p = append(p, "Type the numbers that you have seen: 1 3. 0 = none of them. -2 = looked at, and 2 is not so.")
	case len(q.Options) > 0:
		p = append(p, "Type the number and Enter.")
	case q.YesNo:
		p = append(p, "Type y or n and Enter.")
	}
	if q.Unsure {
		p = append(p, "? = can't tell. x = can't get at it. Neither counts against anything.")
	}
	if q.Back {
		p = append(p, "b = back to the answer before.")
	}
	if q.Why != "" {
		p = append(p, "w = why do you ask, and how to find out.")
	}
	if q.Mind != nil {
		p = append(p, "m = what would change your mind: which answers would put another cause first.")
	}
	p = append(p, "q or Ctrl-C = stop; every answer is kept.")
	return strings.Join(append(p, q.Help), "\n")
}

// wrap breaks text into lines of at most width letters; the first starts with lead, the
// others with pad. Lines of the text stay lines; a word that is too long is broken.
func wrap(text string, width int, lead, pad string) string {
	var b strings.Builder
	room := max(width-max(utf8.RuneCountInString(lead), utf8.RuneCountInString(pad)), 8)
	for _, part := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		line := ""
		flush := func() {
			b.WriteString(strings.TrimRight(lead+line, " ") + "\n")
			lead, line = pad, ""
		}
		for _, word := range strings.Fields(part) {
			for utf8.RuneCountInString(word) > room {
				if line != "" {
					flush()
				}
				r := []rune(word)
				line, word = string(r[:room]), string(r[room:])
				flush()
			}
			if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > room {
				flush()
			}
			line = strings.TrimSpace(line + " " + word)
		}
		flush()
	}
	return b.String()
}
