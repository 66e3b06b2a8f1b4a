package lint

import (
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/answer"
	"seepwright/rules/cond"
	"seepwright/rules/load"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

var update = flag.Bool("update", false, "rewrite the expected findings in testdata/kb-bad")

const badDir = "../../testdata/kb-bad"

// calculation stands for the measurement library, which rules must not know.
var calculation = Calculation{
	Name:    "squeeze-of",
	Inputs:  []Port{{Name: "height", Dim: unit.LengthDim}, {Name: "depth", Dim: unit.LengthDim}, {Name: "gap", Dim: unit.LengthDim, Optional: true}},
	Outputs: []Port{{Name: "squeeze", Dim: unit.RatioDim}, {Name: "verdict"}},
}

// TestEveryCodeHasItsCompanions counts: each code has an explanation, a bad file, the text
// expected of it, and the bad file really gives it.
func TestEveryCodeHasItsCompanions(t *testing.T) {
	names := []string{}
	for _, c := range Codes() {
		names = append(names, c.Name)
		assert.Greater(t, len(c.Text), 40, "the explanation of %s says too little", c.Name)
	}
	assert.True(t, slices.IsSorted(names), "codes are listed by name")
	assert.Equal(t, len(names), len(slices.Compact(slices.Clone(names))), "no code is listed twice")
	for _, c := range cond.Codes() {
		assert.Contains(t, names, c, "codes of conditions are explained")
	}
	for _, c := range []string{answer.BadAnswer, answer.EmptyAnswer, answer.UnknownOption, answer.BothWays, answer.BadQuantity, answer.WrongDimension, answer.UnknownTool, answer.WrongTool, answer.ImplausibleCode} {
		assert.Contains(t, names, c, "codes of answers are explained")
	}
	for _, pattern := range []string{"*.yaml", "*.out"} {
		files, err := filepath.Glob(filepath.Join(badDir, pattern))
		require.NoError(t, err)
		for i, f := range files {
			base := filepath.Base(f)
			files[i] = strings.TrimSuffix(base, filepath.Ext(base))
		}
		slices.Sort(files)
		assert.Equal(t, names, files, "one %s per code", pattern)
	}
}

func TestTheSoundBaseHasNoFindings(t *testing.T) {
	var places load.Places
	k, found := load.Read(sound(t), load.Options{Places: &places})
	require.Empty(t, found)
	require.Empty(t, Check(k, Options{Places: &places, Calculations: []Calculation{calculation}}))
}

// TestBadFiles lays each bad file on the sound knowledge base and compares all findings.
func TestBadFiles(t *testing.T) {
	for _, c := range Codes() {
		t.Run(c.Name, func(t *testing.T) {
			found := findings(t, c.Name)
			got := shown(found)
			want := filepath.Join(badDir, c.Name+".out")
			if *update {
				require.NoError(t, os.WriteFile(want, []byte(got), 0o644))
			}
			text, err := os.ReadFile(want)
			require.NoError(t, err)
			assert.Equal(t, string(text), got)
			has := false
			for _, f := range found {
				has = has || f.Code == c.Name
				code, known := Explain(f.Code)
				assert.True(t, known, "%s is not among the codes", f.Code)
				assert.Equal(t, code.Warning, f.Warning, "%s is a warning exactly when the table of codes says so", f.Code)
				assert.NotEmpty(t, f.What)
			}
			assert.True(t, has, "the bad file of %s does not give it", c.Name)
		})
	}
}

func shown(found source.Findings) string {
	var b strings.Builder
	for _, f := range found {
		line := f.String()
		if f.Warning {
			line = "warning: " + line
		}
		b.WriteString(line + "\n")
	}
	return b.String()
}

func sound(t *testing.T) fstest.MapFS {
	out := fstest.MapFS{}
	root := os.DirFS(filepath.Join(badDir, "sound"))
	require.NoError(t, fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			data, err := fs.ReadFile(root, name)
			require.NoError(t, err)
			out[name] = &fstest.MapFile{Data: data}
		}
		return err
	}))
	return out
}

// findings reads one bad file. It may hold several files, each after a line "# file: NAME";
// after "# folder: NAME" they belong to a folder laid over the base. The lines of a file keep
// their numbers. Other lines make what no text can hold: link, large, many, unreadable, bytes.
func findings(t *testing.T, code string) source.Findings {
	data, err := os.ReadFile(filepath.Join(badDir, code+".yaml"))
	require.NoError(t, err)
	return judged(t, code, string(data))
}

// judged reads the text of a bad file.
func judged(t *testing.T, code, data string) source.Findings {
	base := locked{MapFS: sound(t)}
	var folders []load.Folder
	into, file := base.MapFS, code+".yaml"
	write := func(line string, n int) {
		f := into[file]
		if f == nil || strings.HasPrefix(line, "# file:") {
			f = &fstest.MapFile{Data: []byte(strings.Repeat("\n", n))}
			into[file] = f
		}
		f.Data = append(f.Data, line...)
	}
	for n, line := range strings.SplitAfter(data, "\n") {
		verb, name, _ := strings.Cut(strings.TrimPrefix(strings.TrimSpace(line), "# "), ": ")
		if !strings.HasPrefix(line, "# ") {
			verb = ""
		}
		switch verb {
		case "folder":
			into = fstest.MapFS{}
			folders = append(folders, load.Folder{Name: name, FS: into})
		case "file":
			file = name
			write(line, n)
		case "link":
			into[name] = &fstest.MapFile{Data: []byte("elsewhere.yaml"), Mode: fs.ModeSymlink}
		case "large":
			into[name] = &fstest.MapFile{Data: make([]byte, load.MaxFile+1)}
		case "bytes":
			file = name
			write(line, n)
		case "many":
			count, err := strconv.Atoi(name)
			require.NoError(t, err)
			for i := range count {
				into["notes/"+strconv.Itoa(i)+".txt"] = &fstest.MapFile{}
			}
		case "unreadable":
			into[name] = &fstest.MapFile{Data: []byte("caution: x\n")}
			base.name = name
		default:
			if line != "" {
				write(strings.ReplaceAll(line, "<ff>", "\xff"), n)
			}
		}
	}
	var places load.Places
	k, found := load.Read(base, load.Options{Prefix: "kb", Places: &places})
	if len(folders) > 0 {
		require.Empty(t, found)
		k, found = load.Overlay(k, folders, &places)
	}
	return append(found, Check(k, Options{Places: &places, Calculations: []Calculation{calculation}, Overlaid: len(folders) > 0})...).Sort()
}

// locked is a folder in which one file may not be read.
type locked struct {
	fstest.MapFS
	name string
}

func (l locked) Open(name string) (fs.File, error) {
	if l.name != "" && name == l.name {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return l.MapFS.Open(name)
}
