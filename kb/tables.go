package kb

import (
	"bytes"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"

	"seepwright/rules/source"
	"seepwright/rules/table"
)

// Tables hands over the tables of published figures, each read when it is first asked for.
// It is safe for use by several goroutines.
type Tables struct {
	fsys fs.FS    // with the folder tables; nil = the built-in one
	once sync.Map // name -> func() (*table.Table, error)
}

// store holds what has been read; there is one for the whole program.
var store = &Tables{}

// Published are the tables of the knowledge base.
func Published() *Tables { return store }

// TablesIn hands over the tables of another knowledge base, which has them in its folder
// tables; without such a folder, the published ones.
func TablesIn(fsys fs.FS) *Tables {
	if st, err := fs.Stat(fsys, "tables"); err != nil || !st.IsDir() {
		return store
	}
	return &Tables{fsys: fsys}
}

func (t *Tables) files() fs.FS {
	if t.fsys == nil {
		return tables
	}
	return t.fsys
}

// Differing lists the tables that two knowledge bases do not have alike, sorted.
func (t *Tables) Differing(other *Tables) []string {
	if t == other {
		return nil
	}
	names := append(t.Names(), other.Names()...)
	slices.Sort(names)
	return slices.DeleteFunc(slices.Compact(names), func(name string) bool {
		for _, end := range []string{".csv", ".yaml"} {
			a, errA := fs.ReadFile(t.files(), path.Join("tables", name+end))
			b, errB := fs.ReadFile(other.files(), path.Join("tables", name+end))
			if errA != nil || errB != nil || !bytes.Equal(a, b) {
				return false
			}
		}
		return true
	})
}

// Names lists the tables, sorted.
func (t *Tables) Names() []string {
	entries, _ := fs.ReadDir(t.files(), "tables") // a folder that cannot be read has no tables
	var out []string
	for _, e := range entries {
		if name, ok := strings.CutSuffix(e.Name(), ".csv"); ok {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}

// Table reads the table of that name. An unknown name is an error that names the nearest.
func (t *Tables) Table(name string) (*table.Table, error) {
	read, _ := t.once.LoadOrStore(name, sync.OnceValues(func() (*table.Table, error) {
		figures, errF := fs.ReadFile(t.files(), path.Join("tables", name+".csv"))
		about, errA := fs.ReadFile(t.files(), path.Join("tables", name+".yaml"))
		if errF != nil || errA != nil {
			return nil, fmt.Errorf("there is no table %q: %s", name, source.DidYouMean(name, t.Names()))
		}
		out, bad := table.Read(name, figures, about)
		if bad.Errors() > 0 {
			return nil, fmt.Errorf("the table %q is at fault: %w", name, bad)
		}
		return out, nil
	}))
	return read.(func() (*table.Table, error))()
}
