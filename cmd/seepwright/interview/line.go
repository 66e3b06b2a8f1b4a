package interview

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"strings"
)

// longestLine is as much of one typed line as is read; the rest of it is dropped.
const longestLine = 16 << 10

// Line asks on plain lines: for pipes, dumb terminals and --plain.
type Line struct {
	in    *bufio.Reader
	out   io.Writer
	stop  <-chan os.Signal
	width int
	echo  bool
}

// NewLine asks on plain lines. A signal on stop ends the question that is open. With echo
// the answer is printed too, so that the record of a pipe can be read.
func NewLine(in io.Reader, out io.Writer, stop <-chan os.Signal, width int, echo bool) *Line {
	return &Line{in: bufio.NewReader(in), out: out, stop: stop, width: width, echo: echo}
}

// Say prints.
func (l *Line) Say(text string) { fmt.Fprint(l.out, text) }

// Ask prints the question and reads one line.
func (l *Line) Ask(q Question) (string, error) {
	if !q.Again {
		l.Say(q.Text(l.width))
	}
	l.Say(q.Prompt() + "> ")
	type got struct {
		line string
		err  error
	}
	c := make(chan got, 1)
	go func() {
		s, err := readLine(l.in)
		c <- got{s, err}
	}()
	select {
	case <-l.stop:
		l.Say("\n")
		return "", ErrQuit
	case g := <-c:
		if g.err != nil && g.line == "" {
			l.Say("\n")
			return "", g.err
		}
		if l.echo {
			l.Say(g.line + "\n")
		}
		return g.line, nil
	}
}

// readLine reads up to the end of a line, and of a very long one only its beginning.
func readLine(r *bufio.Reader) (string, error) {
	var b strings.Builder
	for {
		part, err := r.ReadSlice('\n')
		if room := longestLine - b.Len(); room > 0 {
			b.Write(part[:min(len(part), room)])
		}
		if err == bufio.ErrBufferFull {
			continue
		}
		return strings.TrimRight(b.String(), "\r\n"), err
	}
}
