//go:build unix

package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOnATerminalANewDocumentIsAskedFor(t *testing.T) {
	dir := t.TempDir()
	s := onTerminal(t, dir, 80, "kb", "new", "fact", "stored-in-sun", "--joint", "radial-oring")
	s.see("The question, as it is put to the person")
	s.types(hq, "Did it lie in the sun?\r")
	s.see("For which cause does a yes speak")
	s.types(hq, "bad-new-ring\r")
	s.see("stored-in-sun-speaks_test.yaml")
	s.exits(exitDone)
	text, err := os.ReadFile(filepath.Join(dir, "my-knowledge", "radial-oring", "fact-stored-in-sun.yaml"))
	require.NoError(t, err)
	assert.Contains(t, string(text), "ask: 'Did it lie in the sun?'")
}

// An invented cause, told from its name to the leak at which it was found.
func TestACauseIsToldFromBeginningToEndAndPassesAsItIsWritten(t *testing.T) {
	dir := t.TempDir()
	s := onTerminal(t, dir, 80, "kb", "new")
	for _, x := range []struct{ see, say string }{
		{"What did you learn?", "cause"},
		{"What does the joint look like?", "hose-clamp"},
		{"What is it called", "The hose was left twisted"},
		{"What is wrong", "It creeps back under heat."},
		{"What sort of fault", "clamp"},
		{"after a refit, how many", "2"},
		{"after long service", ""},
		{"What does one see", "sprocket"},
		{"Nothing here has the word", "cold"},
		{"Which?", "when it is wet"}, // the beginning of one, not its number
		{"In how many of 100", "70 %"},
		{"What else?", "push twist"},
		{"was done or fitted", ""},
		{"What else?", ""},
		{"How do you make sure", "1"},
		{"How is it done", "Slacken it and see which way it turns."},
		{"The question", "Does the hose turn by itself?"},
		{"looks much the same", "took a set"},
		{"What cures it?", ""},
		{"How is it cured?", "Let it lie free, then clamp it."},
		{"How does one keep it", "Let it lie free first."},
		{"if nothing is done", "It works its way off."},
		{"The leak at which", "It sprang round when it was slackened."},
		{"What had been done", "1"},
		{"Enter=hose-left-twisted", ""},
	} {
		s.see(x.see)
		s.types("q>", x.say+"\r")
	}
	s.see("seepwright diagnose --kb my-knowledge")
	s.exits(exitDone)
	text, err := os.ReadFile(filepath.Join(dir, "my-knowledge", "hose-clamp", "causes", "hose-left-twisted.yaml"))
	require.NoError(t, err)
	for _, want := range []string{"title: 'The hose was left twisted'", "share: {after-refit: 2 %, long-service: 1 %}", ", shows: 70 %}", "push-and-twist', times: 3}", "check: hose-left-twisted-look", "remedies: [hose-left-twisted-cure]", "cause: slack-after-set, split by: hose-left-twisted-look"} {
		assert.Contains(t, string(text), want)
	}
}

func TestWhoStopsHasWrittenNothing(t *testing.T) {
	dir := t.TempDir()
	s := onTerminal(t, dir, 80, "kb", "new", "check", "lamp-look", "--joint", "radial-oring")
	s.see("What is it called")
	s.types(hq, "q\r")
	s.see("nothing was written")
	s.exits(exitInput)
	list, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, list)
}
