//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	expect "github.com/Netflix/go-expect"
	"github.com/creack/pty"
	"github.com/hinshun/vt10x"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/journal"
)

// runAsCommand makes the test binary behave as the command itself, so that nothing has to be
// built for a test with a process of its own.
const runAsCommand = "SEEPWRIGHT_TEST_AS_COMMAND"

func TestMain(m *testing.M) {
	if os.Getenv(runAsCommand) != "" {
		main()
		return
	}
	collectSeldom() // as the command does: benchmarks measure what a person waits for
	os.Exit(m.Run())
}

// command is the tool as a process of its own, in its own folder.
func command(dir string, args ...string) *exec.Cmd {
	c := exec.Command(os.Args[0], args...)
	c.Dir = dir
	c.Env = append(os.Environ(), runAsCommand+"=1", "NO_COLOR=1", "TERM=xterm")
	return c
}

// patience is the deadline of each expectation. Nothing takes so long; under the race detector kb new, which tries its
// tests before it writes, takes more than ten seconds.
const patience = time.Minute

// record keeps what came to the screen; it is written and read at the same time.
type record struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (r *record) Write(p []byte) (int, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.b.Write(p)
}

func (r *record) String() string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.b.String()
}

// screen is a person at a terminal of a fixed size.
type screen struct {
	t    *testing.T
	c    *expect.Console
	cmd  *exec.Cmd
	term vt10x.Terminal
	seen record
	// plain: no editor is there to wait for
	plain bool
}

func onTerminal(t *testing.T, dir string, cols int, args ...string) *screen {
	t.Helper()
	s := &screen{t: t}
	master, slave, err := pty.Open()
	require.NoError(t, err)
	s.term = vt10x.New(vt10x.WithWriter(slave), vt10x.WithSize(cols, 24)) // what it replies comes out at master
	s.c, err = expect.NewConsole(expect.WithStdin(master), expect.WithStdout(s.term, &s.seen), expect.WithCloser(slave, master), expect.WithDefaultTimeout(patience))
	require.NoError(t, err)
	require.NoError(t, pty.Setsize(s.c.Tty(), &pty.Winsize{Rows: 24, Cols: uint16(cols)}))
	s.cmd = command(dir, args...)
	s.cmd.Stdin, s.cmd.Stdout, s.cmd.Stderr = s.c.Tty(), s.c.Tty(), s.c.Tty()
	s.cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	require.NoError(t, s.cmd.Start())
	t.Cleanup(func() {
		_ = s.cmd.Process.Kill()
		_ = s.c.Close()
	})
	return s
}

// see waits for a text on the screen.
func (s *screen) see(text string) {
	s.t.Helper()
	_, err := s.c.ExpectString(text)
	require.NoError(s.t, err, "waiting for %q; seen so far:\n%s", text, s.seen.String())
}

// types answers when the prompt is there and the editor has taken over the keys: its last
// act before it listens is to ask for the cursor's place.
func (s *screen) types(prompt, text string) {
	s.t.Helper()
	s.see(prompt)
	if !s.plain {
		s.see("\x1b[?25h\x1b[6n")
	}
	_, err := s.c.Send(text)
	require.NoError(s.t, err)
}

func (s *screen) exits(want int) {
	s.t.Helper()
	done := make(chan error, 1)
	go func() { done <- s.cmd.Wait() }()
	go func() { _, _ = s.c.ExpectEOF() }()
	select {
	case <-done:
		assert.Equal(s.t, want, s.cmd.ProcessState.ExitCode(), "seen:\n%s", s.seen.String())
	case <-time.After(patience):
		s.t.Fatalf("it does not end; seen:\n%s", s.seen.String())
	}
}

const hq = "h q>"

func TestOnATerminalEachKindOfQuestionTakesItsAnswer(t *testing.T) {
	dir := t.TempDir()
	s := onTerminal(t, dir, 80, "diagnose", "--joint", "hose-clamp", "--save", "case.yaml")
	s.see("What leaks out?")
	s.types(hq, "3\x7f2\r") // typed, rubbed out, typed again
	s.see("Does the leaking part")
	s.types(hq, "1\r")
	s.see("How does it stand")
	s.types("0=none", "4\r") // several
	s.see("none of the others?")
	s.types("y/n", "y\r") // yes or no
	s.see("shut it off")
	s.types("y/n", "b\r") // back
	s.see("How does it stand")
	s.types("0=none", "w\r") // why
	s.types("0=none", "4\r")
	s.types("y/n", "y\r")
	s.see("shut it off")
	s.types("y/n", "?\r")
	s.see("What does the leak reach")
	s.types("0=none", "\x03")
	s.see("answers are kept")
	s.see("seepwright diagnose --save case.yaml")
	s.exits(0)
	c, err := journal.Open(filepath.Join(dir, "case.yaml"))
	require.NoError(t, err)
	assert.Equal(t, "coolant", c.File.Answers["fluid"].Scalar)
	assert.Equal(t, "cant-tell", c.File.Answers["can-isolate"].Scalar)
	assert.NotContains(t, s.seen.String(), "\x1b[0;", "no colours with NO_COLOR")
	assert.NotContains(t, s.seen.String(), "\x1b[3", "no colours with NO_COLOR")
}

func TestOnATerminalAnAmountTakesAnyUnitAndAWordTakesText(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "case.yaml"), []byte(`joint: radial-oring
answers: {fluid: coolant, work-on: ordinary, state-now: {is: [safe-and-cold], not: [running, hot, under-pressure]}, below-waterline: no, can-isolate: yes,
  reaches: {is: [nothing-that-matters], not: [hot-metal, electrics, hull-or-pit, a-person, held-up-load, drinking-water, ground-or-drain, belts-or-turning]}}
`), 0o600))
	s := onTerminal(t, dir, 80, "diagnose", "--save", "case.yaml")
	s.see("Is it dry now?")
	s.types("y/n", "y\r")
	s.see("What was it?")
	s.types(hq, "something else\r")
	s.see("In a few words?")
	s.types(hq, "the drain cock above dripped\r")
	s.see("What was done")
	s.types(hq, "new washer\r")
	s.see("Kept in")
	s.exits(0)
	c, err := journal.Open(filepath.Join(dir, "case.yaml"))
	require.NoError(t, err)
	assert.Equal(t, []journal.Proven{{Kind: "radial-oring", Said: "the drain cock above dripped", Done: "new washer"}}, c.Proven)
}

func TestAltWithALetterAsksAgain(t *testing.T) {
	s := onTerminal(t, t.TempDir(), 80, "diagnose", "--joint", "hose-clamp")
	s.see("What leaks out?")
	s.types(hq, "\x1bx")
	s.types(hq, "2\r")
	s.see("Does the leaking part")
	s.types(hq, "\x1b[A1\r") // an arrow does no harm
	s.see("How does it stand")
	s.types(hq, "q\r")
	s.see("2 answers are kept")
	s.exits(0)
}

func TestCtrlCBeforeTheEditorListensIsNotLost(t *testing.T) {
	s := onTerminal(t, t.TempDir(), 80, "diagnose", "--joint", "hose-clamp")
	s.types(hq, "2\r")
	s.plain = true
	s.see("Does the leaking part")
	s.types(hq, "\x03")
	s.see("1 answer is kept")
	s.exits(0)
}

func TestAnswersTypedAheadGoToTheirQuestions(t *testing.T) {
	s := onTerminal(t, t.TempDir(), 80, "diagnose", "--joint", "hose-clamp")
	s.see("What leaks out?")
	s.types(hq, "2\r1\r4\ry\rq\r")
	s.see("shut it off")
	s.see("3 answers are kept")
	s.exits(0)
}

func TestCtrlDEndsWithTheResultSoFar(t *testing.T) {
	s := onTerminal(t, t.TempDir(), 80, "diagnose", "--joint", "hose-clamp")
	s.types(hq, "2\r")
	s.see("Does the leaking part")
	s.types(hq, "\x04")
	s.see("Likely causes")
	s.exits(0)
}

func TestANarrowScreenHasNoLineThatIsTooLong(t *testing.T) {
	s := onTerminal(t, t.TempDir(), 40, "diagnose", "--joint", "face-gasket")
	s.see("What leaks out?")
	s.types(hq, "2\r")
	s.see("Does the leaking part")
	s.types(hq, "1\r")
	s.types(hq, "q\r")
	s.see("seepwright diagnose --save")
	s.exits(0)
	for _, line := range strings.Split(s.seen.String(), "\n") {
		plain := stripped(line)
		if strings.HasPrefix(strings.TrimSpace(plain), "seepwright diagnose") {
			continue // a command is one line, to be copied
		}
		assert.LessOrEqual(t, len([]rune(strings.TrimRight(plain, " \r"))), 40, "%q", line)
	}
}

// stripped takes the control sequences out of a line; what was overwritten goes too.
func stripped(line string) string {
	var b strings.Builder
	for i := 0; i < len(line); i++ {
		if line[i] == 0x1b && i+1 < len(line) {
			i++
			if line[i] == '[' {
				for i++; i < len(line) && (line[i] < 0x40 || line[i] > 0x7e); i++ {
				}
				if i < len(line) && (line[i] == 'G' || line[i] == 'K') {
					b.Reset()
				}
			}
			continue
		}
		b.WriteByte(line[i])
	}
	return b.String()
}

func TestATerminalThatDoesNotSayWhereItsCursorIsGetsPlainLines(t *testing.T) {
	master, slave, err := pty.Open()
	require.NoError(t, err)
	defer master.Close()
	dir := t.TempDir()
	cmd := command(dir, "diagnose", "--joint", "hose-clamp", "--save", "case.yaml")
	cmd.Stdin, cmd.Stdout, cmd.Stderr = slave, slave, slave
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	require.NoError(t, cmd.Start())
	slave.Close()
	c := make(chan string, 1)
	go func() { // a terminal that only shows
		var all strings.Builder
		buf := make([]byte, 4096)
		typed := 0
		for {
			n, err := master.Read(buf)
			all.Write(buf[:n])
			for _, want := range []string{"What leaks out?", "Does the leaking", "How does it stand"}[typed:] {
				if strings.Contains(all.String(), want) {
					fmt.Fprint(master, []string{"2\n", "1\n", "q\n"}[typed])
					typed++
				}
			}
			if err != nil {
				c <- all.String()
				return
			}
		}
	}()
	kill := time.AfterFunc(patience, func() { _ = cmd.Process.Kill() })
	defer kill.Stop()
	err = cmd.Wait()
	said := <-c
	require.NoError(t, err, said)
	assert.Contains(t, said, "2 answers are kept")
}

func TestCtrlCOnPlainLinesKeepsTheAnswers(t *testing.T) {
	dir := t.TempDir()
	s := onTerminal(t, dir, 80, "diagnose", "--plain", "--joint", "hose-clamp", "--save", "case.yaml")
	s.plain = true
	s.types(hq, "2\r")
	s.see("Does the leaking part")
	s.types(hq, "\x03")
	s.see("seepwright diagnose --save case.yaml --plain")
	s.exits(0)
}

func TestKillingItAtAnyMomentLeavesAReadableCase(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "case.yaml")
	answers := strings.NewReplacer(" ", "\n").Replace("n n n n n n n n n n n n n n n n n n n n")
	// How long a start takes depends on what else the machine does: the moments move out until
	// some kills have come after the first answer.
	delay, answered := 20*time.Millisecond, 0
	for i := 0; i < 12 || answered < 3 && delay < patience; i++ {
		cmd := command(dir, "diagnose", "--joint", "hose-clamp", "--save", "case.yaml")
		cmd.Stdin = strings.NewReader("2\n1\n4\ny\nn\ny\n9\ny\n1\n1\n" + answers)
		require.NoError(t, cmd.Start())
		time.Sleep(delay)
		delay += delay / 4
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
		c, err := journal.Open(path)
		require.NoError(t, err)
		if c != nil {
			assert.Positive(t, c.Count())
			answered++
		}
	}
	assert.Positive(t, answered, "in all these starts something was answered")
}
