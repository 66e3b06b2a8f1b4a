package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/journal"
)

// newCase begins a case and gives its file.
func newCase(t *testing.T, dir string, args ...string) string {
	t.Helper()
	out, err := command(dir, append([]string{"case", "new", "--dir", "cases", "--title", "strainer hose"}, args...)...).CombinedOutput()
	require.NoError(t, err, string(out))
	list, err := filepath.Glob(filepath.Join(dir, "cases", "*.yaml"))
	require.NoError(t, err)
	require.Len(t, list, 1)
	return list[0]
}

// prompts counts the prompts of plain lines and says so at each.
func prompts(out io.Reader, seen chan<- int) {
	r := bufio.NewReader(out)
	n := 0
	last := byte(0)
	for {
		b, err := r.ReadByte()
		if err != nil {
			close(seen)
			return
		}
		if last == '>' && b == ' ' {
			n++
			seen <- n
		}
		last = b
	}
}

func TestOfAnInterviewKilledAtAnyQuestionNoAnswerIsLost(t *testing.T) {
	dir := t.TempDir()
	path := newCase(t, dir, "--joint", "hose-clamp")
	answered := 0
	for round := 1; round <= 4; round++ {
		cmd := command(dir, "diagnose", "--case", "strainer", "--dir", "cases", "--plain")
		in, err := cmd.StdinPipe()
		require.NoError(t, err)
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		seen := make(chan int, 100)
		go prompts(out, seen)
		wait := func(n int) {
			for {
				select {
				case k, ok := <-seen:
					require.True(t, ok, "it ended before question %d", n)
					if k >= n {
						return
					}
				case <-time.After(patience):
					require.Fail(t, "no question", "question %d does not come", n)
				}
			}
		}
		wait(1)
		for i := range round {
			say := "?"
			if answered < 2 {
				say = []string{"2", "1"}[answered] // water, shut off: no stop ends the sitting
			}
			_, err := fmt.Fprintln(in, say)
			require.NoError(t, err)
			wait(i + 2)
			answered++
		}
		_, err = io.WriteString(in, "1") // half an answer
		require.NoError(t, err)
		require.NoError(t, cmd.Process.Kill())
		_ = cmd.Wait()
		c, err := journal.Open(path)
		require.NoError(t, err)
		assert.Equal(t, answered, c.Count(), "round %d", round)
		logged := 0
		for _, e := range c.Log {
			if e.What == journal.Answered && e.Name != "" {
				logged++
			}
		}
		assert.GreaterOrEqual(t, logged, answered)
	}
}

func TestNotesOfAProcessThatIsKilledAgainAndAgainAreAllThere(t *testing.T) {
	dir := t.TempDir()
	path := newCase(t, dir, "--joint", "hose-clamp")
	said := map[string]bool{}
	delay, killed := time.Millisecond, 0
	for i := 0; i < 60 && (i < 40 || killed < 10); i++ {
		note := fmt.Sprintf("note %d.", i)
		cmd := command(dir, "case", "note", "strainer", note, "--dir", "cases")
		require.NoError(t, cmd.Start())
		time.AfterFunc(delay, func() { _ = cmd.Process.Kill() })
		if cmd.Wait() == nil {
			said[note] = true
			delay = time.Millisecond
		} else {
			killed++
			delay += delay / 3
		}
		c, err := journal.Open(path)
		require.NoError(t, err)
		var all strings.Builder
		for _, e := range c.Log {
			all.WriteString(e.Said + "\n")
		}
		for n := range said {
			require.Contains(t, all.String(), n)
		}
	}
	assert.GreaterOrEqual(t, killed, 10)
	require.NotEmpty(t, said)
	out, err := command(dir, "case", "note", "strainer", "the last", "--dir", "cases").CombinedOutput()
	require.NoError(t, err, string(out))
	left, err := os.ReadDir(filepath.Join(dir, "cases"))
	require.NoError(t, err)
	assert.Len(t, left, 3, "the case, its lock and its copy: %v", left)
}

func TestTheRetestIsAskedOnATerminalAndEveryStepIsKeptAtOnce(t *testing.T) {
	dir := t.TempDir()
	path := newCase(t, dir, "--joint", "face-gasket")
	for _, args := range [][]string{{"opened", "strainer", "joint"}, {"did", "strainer", "face-new-gasket"}} {
		out, err := command(dir, append(append([]string{"case"}, args...), "--dir", "cases")...).CombinedOutput()
		require.NoError(t, err, string(out))
	}
	s := onTerminal(t, dir, 80, "case", "resume", "strainer", "--dir", "cases", "--stay")
	s.see("Where: put it together")
	s.exits(0)
	s = onTerminal(t, dir, 80, "case", "retest", "strainer", "--dir", "cases")
	s.see("Step 0: before filling")
	s.types("1-2", "1\r")
	s.types("1-3", "dry\r")
	s.see("DRY. Step 0")
	s.types("1-2", "1\r")
	s.types("Enter=not noted", "15\r")
	s.types("Enter=not noted", "\r")
	s.types("1-3", "wet\r")
	s.types("Enter=not noted", "it runs\r")
	s.see("WET. Step 1")
	s.see("Go back now")
	s.see("case resume")
	s.exits(0)
	c, err := journal.Open(path)
	require.NoError(t, err)
	var steps []string
	for _, e := range c.Log {
		if e.What == journal.Retest {
			steps = append(steps, e.Name+" "+e.Tissue)
		}
	}
	assert.Equal(t, []string{"before-fill dry", "static-fill wet"}, steps)
	require.Len(t, c.File.Tried, 1)
	assert.True(t, c.File.Tried[0].Wet)
}

func TestARetestKilledAtAnyQuestionKeepsItsSteps(t *testing.T) {
	dir := t.TempDir()
	path := newCase(t, dir, "--joint", "face-gasket")
	out, err := command(dir, "case", "did", "strainer", "face-tighten-cold", "--dir", "cases").CombinedOutput()
	require.NoError(t, err, string(out))
	kept := 0
	for range 3 {
		cmd := command(dir, "case", "retest", "strainer", "--dir", "cases", "--plain")
		in, err := cmd.StdinPipe()
		require.NoError(t, err)
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		seen := make(chan int, 100)
		go prompts(out, seen)
		for n := range seen {
			if n == 6 { // the first step is through; the second is being answered
				require.NoError(t, cmd.Process.Kill())
				break
			}
			reply := []string{"1", "60", "", "dry", "1"}[n-1] // done, minutes, level or gauge, tissue, done
			_, err := fmt.Fprintln(in, reply)
			require.NoError(t, err)
		}
		_ = cmd.Wait()
		c, err := journal.Open(path)
		require.NoError(t, err)
		now := 0
		for _, e := range c.Log {
			if e.What == journal.Retest {
				now++
			}
		}
		assert.GreaterOrEqual(t, now, kept, "no step is lost")
		kept = now
	}
	assert.NotZero(t, kept)
}
