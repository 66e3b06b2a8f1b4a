package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"
)

// TestScripts runs the commands as a person types them: testdata/script/*.txtar.
func TestScripts(t *testing.T) {
	bin := t.TempDir()
	build := exec.Command("go", "build", "-o", filepath.Join(bin, "seepwright"), ".")
	out, err := build.CombinedOutput()
	require.NoError(t, err, string(out))
	examples, err := filepath.Abs(filepath.Join("..", "..", "testdata", "example"))
	require.NoError(t, err)
	testscript.Run(t, testscript.Params{
		Dir: filepath.Join("..", "..", "testdata", "script"),
		Setup: func(e *testscript.Env) error {
			e.Setenv("PATH", bin+string(os.PathListSeparator)+e.Getenv("PATH"))
			e.Setenv("COLUMNS", "80")
			e.Setenv("EXAMPLES", examples)
			return nil
		},
	})
}
