package kb

import (
	"fmt"
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
	once sync.Map // name -> func() (*table.Table, error)
}

// store holds what has been read; there is one for the whole program.
var store = &Tables{}

// Published are the tables of the knowledge base.
func Published() *Tables { return store }

// Names lists the tables, sorted.
func (*Tables) Names() []string {
	entries, _ := tables.ReadDir("tables") // embedded: it is always there
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
		figures, errF := tables.ReadFile(path.Join("tables", name+".csv"))
		about, errA := tables.ReadFile(path.Join("tables", name+".yaml"))
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
