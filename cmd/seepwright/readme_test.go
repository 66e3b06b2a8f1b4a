package main

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var updateReadme = flag.Bool("update-readme", false, "rewrite what the README shows as printed")

// TestTheReadmeShowsWhatIsPrinted runs every command of a console block of the README.
func TestTheReadmeShowsWhatIsPrinted(t *testing.T) {
	root := filepath.Join("..", "..")
	data, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	t.Chdir(root)
	blocks := strings.Split(string(data), "```console\n")
	for i, b := range blocks[1:] {
		shown, rest, ok := strings.Cut(b, "```")
		require.True(t, ok, "a console block without an end")
		command, _, _ := strings.Cut(shown, "\n")
		args := words(strings.TrimPrefix(command, "$ go run ./cmd/seepwright "))
		var out, errs bytes.Buffer
		a := &app{in: strings.NewReader(""), out: &out, err: &errs, env: func(string) string { return "" }}
		require.Zero(t, a.run(args), errs.String())
		got := command + "\n" + out.String()
		if *updateReadme {
			blocks[i+1] = got + "```" + rest
			continue
		}
		require.Equal(t, got, shown, "go test ./cmd/seepwright -run Readme -update-readme rewrites it")
	}
	require.Greater(t, len(blocks), 1)
	if *updateReadme {
		require.NoError(t, os.WriteFile("README.md", []byte(strings.Join(blocks, "```console\n")), 0o644))
	}
}

// words splits a command line at blanks outside double quotes.
func words(line string) []string {
	var out []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			out = append(out, part)
		} else {
			out = append(out, strings.Fields(part)...)
		}
	}
	return out
}
