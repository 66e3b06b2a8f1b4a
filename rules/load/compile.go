package load

import (
	"fmt"
	"io/fs"
	"strings"

	"seepwright/rules"
)

// Compile reads a knowledge base of one folder per joint kind and gives the compiled form of
// each folder by its name: flat lists and one table of texts, without solved cases and tests, which nobody needs to
// diagnose a leak. Conditions stay text; every document keeps its file and line. Any
// mistake that reading finds is an error.
func Compile(fsys fs.FS, prefix string) (map[string][]byte, error) {
	k, found := Read(fsys, Options{Prefix: prefix})
	if found.Errors() > 0 {
		return nil, fmt.Errorf("the knowledge base cannot be compiled:\n%w", found)
	}
	parts := map[string]*rules.Knowledge{}
	for _, d := range kinds() {
		if d.name == "case" || d.name == "tests" {
			continue
		}
		for _, x := range d.list(k) {
			folder, _, _ := strings.Cut(strings.TrimPrefix(x.place.File, prefix+"/"), "/")
			if parts[folder] == nil {
				parts[folder] = &rules.Knowledge{}
			}
			d.put(parts[folder], x)
		}
	}
	out := map[string][]byte{Overview: pack(rules.Knowledge{Joints: looks(k.Joints)})}
	for folder, part := range parts {
		if folder == Overview {
			return nil, fmt.Errorf("a folder may not be called %q: the list of all kinds has that name", folder)
		}
		out[folder] = pack(*part)
	}
	return out, nil
}

// Overview is the name of the compiled list of all kinds with what one can see of them: who
// does not know yet which kind a joint is needs no more, however many kinds there are.
const Overview = "overview"

// looks leaves of a kind what one can see.
func looks(kinds []*rules.Joint) []*rules.Joint {
	var out []*rules.Joint
	for _, j := range kinds {
		out = append(out, &rules.Joint{Head: rules.Head{ID: j.ID, Title: j.Title, Place: j.Place}, LooksLike: j.LooksLike, HeldBy: j.HeldBy, Moves: j.Moves, Act: j.Act, CaseKind: j.CaseKind})
	}
	return out
}

// Decode adds a compiled folder to a knowledge base. Settle must be called after the last.
func Decode(data []byte, into *rules.Knowledge) error {
	var part rules.Knowledge
	if err := unpack(string(data), &part); err != nil {
		return err
	}
	merge(into, &part)
	return nil
}
