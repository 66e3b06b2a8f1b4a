// Package kb is what we know of joints, causes and checks: YAML files, a compiled form of
// them that loads at once, and the few functions that hand them over.
// It holds no logic; reading is the business of rules/load, judging that of rules/lint.
package kb

import (
	"embed"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/load"
	"seepwright/rules/source"
)

//go:generate go run ./internal/compile

//go:embed */*.yaml */*/*.yaml
var sources embed.FS

//go:embed compiled/*.flat
var compiled embed.FS

//go:embed tables
var tables embed.FS

// shared is the folder of what several kinds have in common.
const shared = "shared"

// Sources are the YAML files, such as radial-oring/causes/bore-oval.yaml.
func Sources() fs.FS { return sources }

// Kinds lists the joint kinds, sorted.
func Kinds() []string {
	entries, _ := fs.ReadDir(compiled, "compiled") // embedded: it is always there
	var out []string
	for _, e := range entries {
		if name := strings.TrimSuffix(e.Name(), ".flat"); name != shared && name != load.Overview {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}

// Load gives the built-in knowledge of the named joint kinds and of what all share, ready
// for use; without names, of all kinds. Solved cases and tests of rules are not part of it:
// see Read. An unknown kind is an error that names the nearest.
func Load(kinds ...string) (*rules.Knowledge, error) {
	if len(kinds) == 0 {
		kinds = Kinds()
	}
	names := append([]string{shared}, kinds...)
	slices.Sort(names[1:])
	return decode(names)
}

// Overview gives what all kinds share, and of every kind what one can see of it: its causes
// are not part of it. The time it takes does not grow with what is known of the kinds.
func Overview() (*rules.Knowledge, error) { return decode([]string{shared, load.Overview}) }

func decode(names []string) (*rules.Knowledge, error) {
	k := &rules.Knowledge{}
	for _, name := range slices.Compact(names) {
		data, err := compiled.ReadFile(path.Join("compiled", name+".flat"))
		if err != nil {
			hint := source.DidYouMean(name, Kinds())
			if hint == "" {
				hint = "known are " + strings.Join(Kinds(), ", ")
			}
			return nil, fmt.Errorf("no joint kind is called %q: %s", name, hint)
		}
		if err := load.Decode(data, k); err != nil {
			return nil, fmt.Errorf("reading the compiled knowledge of %s: %w; run go generate ./kb", name, err)
		}
	}
	load.Settle(k)
	k.Tables = store
	return k, nil
}

// Read reads everything anew from YAML, solved cases and tests of rules included. Places
// are called kb/KIND/..., as in the compiled form.
func Read(places *load.Places) (*rules.Knowledge, source.Findings) {
	k, found := load.Read(sources, load.Options{Prefix: "kb", Places: places})
	k.Tables = store
	return k, found
}
