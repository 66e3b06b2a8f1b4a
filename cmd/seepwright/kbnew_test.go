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
