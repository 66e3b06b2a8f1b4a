// Package journeys reads folders of solved leaks in both forms that there are: the solved cases
// of a knowledge base, and real leaks told as they happened with what they proved to be.
// It works none of them out.
package journeys

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/lint"
	"seepwright/rules/load"
	"seepwright/rules/source"
)

// Leak is one solved leak: the case as it is worked out, and what is known of the truth.
type Leak struct {
	*rules.Case
	Family string   // class of the proven cause; engine.UnknownFamily's where the knowledge has none
	Causes []string // causes that count as the proven one, KIND/ID or shared/ID; none: only the family is known
	Proven string   // the cause in a sentence, "" in a case of a knowledge base
	Told   bool     // a real leak as it was told
}

// Read reads every solved leak below a folder, in the order of their files. Other documents of
// a knowledge base that lie there are passed over. All that is wrong comes back together, with
// file, line and column; name is the folder as the user typed it.
func Read(fsys fs.FS, name string, kb *rules.Knowledge) ([]Leak, source.Findings) {
	r := &reader{kb: kb, folder: name}
	cases := only{fsys, map[string]bool{}}
	err := fs.WalkDir(fsys, ".", func(file string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			r.fail(source.Place{File: r.shown(file)}, "unreadable", "check that it exists and that you may read it", "cannot be read: %v", err)
			if d != nil && d.IsDir() {
				return fs.SkipDir
			}
		case file != "." && strings.HasPrefix(path.Base(file), "."):
			if d.IsDir() {
				return fs.SkipDir
			}
		case d.IsDir() && file == tables:
			return fs.SkipDir
		case !d.IsDir() && path.Ext(file) == ".yaml":
			if r.file(fsys, file, d) {
				cases.files[file] = true
			}
		}
		return nil
	})
	if err != nil {
		r.fail(source.Place{File: name}, "unreadable", "", "cannot be read: %v", err)
	}
	if len(cases.files) > 0 {
		r.cases(cases)
	}
	if len(r.out) == 0 && r.bad.Errors() == 0 {
		r.fail(source.Place{File: name}, "no-cases", "give a folder such as kb/KIND/cases, or one of real leaks told in the same form as those of testdata/cases", "there is no solved case in this folder")
	}
	slices.SortStableFunc(r.out, func(a, b Leak) int { return strings.Compare(a.Place.File, b.Place.File) })
	return r.out, r.bad.Sort()
}

// tables is the folder of published figures, which are no documents.
const tables = "tables"

type reader struct {
	kb     *rules.Knowledge
	folder string
	out    []Leak
	bad    source.Findings
}

func (r *reader) fail(at source.Place, code, hint, format string, args ...any) {
	r.bad = append(r.bad, source.Finding{Place: at, Code: code, What: fmt.Sprintf(format, args...), Hint: hint})
}

func (r *reader) shown(file string) string { return path.Join(r.folder, file) }

// file reads one file if real leaks are told in it; for the others it says whether it is to be
// read as one of a knowledge base.
func (r *reader) file(fsys fs.FS, file string, d fs.DirEntry) (cases bool) {
	if info, err := d.Info(); err != nil || !info.Mode().IsRegular() || info.Size() > load.MaxFile {
		return true // the reader of knowledge refuses it in its own words
	}
	data, err := fs.ReadFile(fsys, file)
	if err != nil {
		r.fail(source.Place{File: r.shown(file)}, "unreadable", "check that you may read it", "the file cannot be read: %v", err)
		return false
	}
	docs, err := documents(data)
	if err != nil {
		return true // likewise
	}
	for _, n := range docs {
		switch {
		case !isCase(n):
		case isTold(n):
			r.told(n, r.shown(file))
		default:
			cases = true
		}
	}
	return cases
}

// cases reads the solved cases of a knowledge base and judges them as kb check would.
func (r *reader) cases(fsys fs.FS) {
	var places load.Places
	k, bad := load.Read(fsys, load.Options{Prefix: r.folder, Places: &places})
	r.bad = append(r.bad, bad...)
	if bad.Errors() > 0 {
		return
	}
	whole := *r.kb
	whole.Cases = k.Cases
	whole.Reindex()
	for _, f := range lint.Check(&whole, lint.Options{Places: &places, Overlaid: true, Brief: true}) {
		if !f.Warning && (f.File == r.folder || strings.HasPrefix(f.File, r.folder+"/")) {
			r.bad = append(r.bad, f)
		}
	}
	for _, c := range k.Cases {
		ref := c.Cause
		if !strings.Contains(ref, "/") {
			ref = c.For + "/" + ref
		}
		if doc := r.kb.Cause(ref); doc != nil {
			family := doc.Family
			if doc.Elsewhere {
				family = elsewhere
			}
			r.out = append(r.out, Leak{Case: c, Family: family, Causes: []string{ref}})
		}
	}
}

// elsewhere is the class under which the engine ranks a kind's row "not this joint".
const elsewhere = "elsewhere"

// only is a folder of which no other files are seen.
type only struct {
	fs.FS
	files map[string]bool
}

// ReadDir lists folders, and of the files those that are seen.
func (o only) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := fs.ReadDir(o.FS, name)
	return slices.DeleteFunc(list, func(d fs.DirEntry) bool { return !d.IsDir() && !o.files[path.Join(name, d.Name())] }), err
}
