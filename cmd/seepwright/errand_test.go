//go:build unix

package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/journal"
)

func TestASlipIsAnsweredOnATerminalAndEveryAnswerIsKeptAtOnce(t *testing.T) {
	dir := t.TempDir()
	for from, to := range map[string]string{"unit.yaml": "unit.yaml", "1-first-drip.yaml": "seen.yaml"} {
		data, err := os.ReadFile(filepath.Join("demo", from))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, to), data, 0o600))
	}
	path := newCase(t, dir, "--assembly", "unit.yaml", "--from", "seen.yaml")
	before, err := journal.Open(path)
	require.NoError(t, err)
	s := onTerminal(t, dir, 80, "errand", "strainer", "--dir", "cases", "--answer")
	s.see("Enter leaves a question open")
	s.types("leave open", "2 3\r")
	s.types("y/n", "n\r")
	s.types("leave open", "b\r") // back to the first question
	s.types("leave open", "x\r")
	s.types("leave open", "\r")
	s.types("leave open", "q\r")
	s.see("What was answered is kept")
	s.exits(0)
	after, err := journal.Open(path)
	require.NoError(t, err)
	assert.Greater(t, after.Count(), before.Count())
	answered := 0
	for _, e := range after.Log[len(before.Log):] {
		if e.What == journal.Answered {
			answered++
		}
	}
	assert.GreaterOrEqual(t, answered, 2, "the answer that was changed stands twice in the log")
}
