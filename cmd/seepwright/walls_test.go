package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const module = "seepwright/"

// walls are the arrows that must never be: a package below the first path may import nothing
// that starts with one of the others.
var walls = []struct {
	from  string
	never []string
	why   string
}{
	{"rules", []string{module + "kb", module + "engine", module + "cmd"}, "rules reads; it never knows what it reads"},
	{"kb", []string{module + "engine", module + "cmd"}, "kb holds no logic"},
	{"engine", []string{module + "cmd"}, "imports run down"},
	{"engine", []string{"os", "net", "os/exec", "golang.org/x/term", "github.com/AlecAivazis"}, "engine knows no terminal, file or network"},
	{"engine", []string{module + "kb"}, "main hands the knowledge over"},
	{"engine/measure", []string{module + "rules/fact", module + "rules/load", module + "rules/cond", module + "rules/answer", "gopkg.in/yaml.v3"}, "the mathematics knows neither YAML nor facts"},
	{"engine/measure/gland", []string{module + "rules/table", module + "rules/source"}, "table values reach a formula as arguments"},
	{"engine/measure/ringsize", []string{module + "rules/table", module + "rules/source"}, "table values reach a formula as arguments"},
	{"engine/measure/flange", []string{module + "rules/table", module + "rules/source"}, "table values reach a formula as arguments"},
	{"engine/measure/hose", []string{module + "rules/table", module + "rules/source"}, "table values reach a formula as arguments"},
	{"engine/measure/leak", []string{module + "rules/table", module + "rules/source"}, "table values reach a formula as arguments"},
	{"engine/measure/form", []string{module + "rules/table", module + "rules/source"}, "table values reach a formula as arguments"},
	{"engine/measure/fitting", []string{module + "rules/table", module + "rules/source"}, "table values reach a formula as arguments"},
	{"engine/rank", []string{module + "rules", module + "engine/infer", module + "engine/network"}, "probabilities know nothing of leaks"},
	{"cmd/seepwright/interview", []string{module + "cmd/seepwright/report", module + "cmd/seepwright/journal"}, "main introduces them"},
	{"cmd/seepwright/report", []string{module + "cmd/seepwright/interview", module + "cmd/seepwright/journal"}, "main introduces them"},
	{"cmd/seepwright/handbook", []string{module + "cmd/seepwright/interview", module + "cmd/seepwright/journal"}, "a writer of pages asks nothing and keeps nothing"},
	{"cmd/seepwright/sheet", []string{module + "cmd/seepwright/interview", module + "cmd/seepwright/journal", module + "cmd/seepwright/picture", module + "kb"}, "the sheet is told all that it says"},
	{"cmd/seepwright/journal", []string{module + "cmd/seepwright/interview", module + "cmd/seepwright/report"}, "main introduces them"},
	{"cmd/seepwright/picture", []string{module + "engine", module + "rules", module + "kb", module + "cmd/seepwright/journal", module + "cmd/seepwright/report"}, "a drawing is made from plain sizes"},
	{"cmd/seepwright/job", []string{module + "cmd/seepwright/interview", module + "cmd/seepwright/report", module + "kb"}, "where one is in a job is derived, not told"},
	{"cmd/seepwright/archive", []string{module + "cmd/seepwright/interview", module + "cmd/seepwright/report", module + "kb"}, "many cases are looked at without asking"},
	{"cmd/seepwright/errand", []string{module + "cmd/seepwright/interview", module + "cmd/seepwright/journal", module + "kb"}, "a slip is drawn and read, nothing is kept"},
}

// sources walks the Go files of the module.
func sources(t *testing.T, do func(path string)) {
	root := filepath.Join("..", "..")
	require.NoError(t, filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == ".git" || d.Name() == "testdata"):
			return filepath.SkipDir
		case strings.HasSuffix(p, ".go"):
			rel, err := filepath.Rel(root, p)
			if err != nil {
				return err
			}
			do(filepath.ToSlash(rel))
		}
		return nil
	}))
}

func TestNoArrowRunsUp(t *testing.T) {
	seen := 0
	sources(t, func(path string) {
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join("..", "..", filepath.FromSlash(path)), nil, parser.ImportsOnly)
		require.NoError(t, err, path)
		for _, i := range f.Imports {
			name, _ := strconv.Unquote(i.Path.Value)
			for _, w := range walls {
				if !strings.HasPrefix(path, w.from+"/") || strings.HasSuffix(path, "_test.go") && !strings.HasPrefix(name, module+"cmd") {
					continue
				}
				seen++
				for _, n := range w.never {
					assert.False(t, name == n || strings.HasPrefix(name, n+"/"), "%s imports %s: %s", path, name, w.why)
				}
			}
		}
	})
	assert.Greater(t, seen, 100)
}

func TestOnlyOneFileKnowsThePromptLibrary(t *testing.T) {
	var users []string
	sources(t, func(path string) {
		data, err := os.ReadFile(filepath.Join("..", "..", filepath.FromSlash(path)))
		require.NoError(t, err)
		if !strings.HasSuffix(path, "_test.go") && strings.Contains(string(data), `"github.com/AlecAivazis/survey/v2`) {
			users = append(users, path)
		}
	})
	assert.Len(t, users, 1, "%v", users)
}

// Paths of one machine, and words that have no place in the project.
var unwanted = regexp.MustCompile(`(^|[^A-Za-z])/(work|farm|root|tmp)/|\bTODO\b|\bFIXME\b|\bXXX\b`)

func TestNothingNamesOneMachineOrIsLeftForLater(t *testing.T) {
	root := filepath.Join("..", "..")
	require.NoError(t, filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if d.Name() == ".git" || d.Name() == "reference" {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(p, ".go") && !strings.HasSuffix(p, ".yaml") && !strings.HasSuffix(p, ".md") || strings.HasSuffix(p, "walls_test.go") || strings.HasSuffix(p, "DEVELOPERS.md") {
			return nil
		}
		data, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		for i, line := range strings.Split(string(data), "\n") {
			assert.False(t, unwanted.MatchString(line), "%s:%d: %s", p, i+1, line)
		}
		return nil
	}))
}
