package interview

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"github.com/AlecAivazis/survey/v2"
	"github.com/AlecAivazis/survey/v2/core"
	"github.com/AlecAivazis/survey/v2/terminal"
)

// Terminal asks on a real terminal, with a line that can be edited.
type Terminal struct {
	keys  *keys
	out   *os.File
	stop  <-chan os.Signal
	width func() int
}

// NewTerminal asks on a terminal. It first asks the terminal for the cursor's place, as the
// line editor will; one that does not answer gets plain lines.
func NewTerminal(in, out *os.File, stop <-chan os.Signal, width func() int, colour bool) (Asker, error) {
	if !colour {
		core.DisableColor = true
	}
	k, err := newKeys(in, out, stop)
	if errors.Is(err, errSilent) {
		k.stop = nil // the line asker watches for the signal itself
		return NewLine(k, out, stop, width(), false), nil
	}
	if err != nil {
		return nil, err
	}
	return &Terminal{keys: k, out: out, stop: stop, width: width}, nil
}

// Say prints.
func (t *Terminal) Say(text string) { fmt.Fprint(t.out, text) }

// Ask prints the question and reads one edited line. A key that the editor does not know
// (Alt with a letter) breaks its reading off: the question is asked again.
func (t *Terminal) Ask(q Question) (string, error) {
	if !q.Again {
		t.Say(q.Text(t.width()))
	}
	for {
		select {
		case <-t.stop:
			return "", ErrQuit
		default:
		}
		prompt := q.Prompt()
		if room := t.width() - 12; utf8.RuneCountInString(prompt) > room {
			prompt = "answer, h q"
		}
		line := ""
		t.keys.ended = false
		err := survey.AskOne(&survey.Input{Message: prompt + ">"}, &line,
			survey.WithStdio(t.keys, t.keys.screen(), t.out),
			survey.WithIcons(func(i *survey.IconSet) { i.Question.Text, i.Question.Format = "", "default" }))
		switch {
		case errors.Is(err, terminal.InterruptErr) || errors.Is(err, errSignal):
			return "", ErrQuit
		case errors.Is(err, io.EOF):
			return "", io.EOF
		case err == nil && line == "" && t.keys.ended:
			return "", io.EOF
		case err == nil:
			return strings.TrimSpace(line), nil
		case strings.Contains(err.Error(), "escape sequence"):
			t.Say("\r\n")
		default:
			return "", fmt.Errorf("reading the terminal: %w", err)
		}
	}
}
