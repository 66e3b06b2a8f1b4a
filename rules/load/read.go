// Package load reads the documents of a knowledge base from YAML, lays folders over one
// another, and writes the templates for new documents. It reports everything that is wrong
// in one go, with line and column.
// It draws no conclusions and judges only what one document shows by itself; what concerns
// several documents together is the business of rules/lint.
package load

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"

	"seepwright/rules"
	"seepwright/rules/source"
)

// Options say how a folder is called in findings and what is remembered of it.
type Options struct {
	Prefix string  // the folder as the user typed it; put before the names of files
	Places *Places // collects where every text stands, if not nil
}

// tables is the folder of published figures, which are no documents; rules/table reads them.
const tables = "tables"

// reader holds the state of reading one folder.
type reader struct {
	opts      Options
	file      string // as shown
	base      string // name of the file without folder and .yaml
	lines     []string
	k         *rules.Knowledge
	overlay   []change
	findings  source.Findings
	seen      map[string]source.Place // kind and full name of a document -> where it begins
	partial   bool                    // reading an amendment: missing fields are no mistake
	documents int
	over      map[string]string // overlay: which folder brought a document
}

// Read reads every .yaml file below the root of fsys. All mistakes come back together,
// sorted by place; the knowledge holds what could be read, ready for use if no finding is an
// error. Overlay documents (amend, replace, remove, after) are a mistake here: see Overlay.
func Read(fsys fs.FS, o Options) (*rules.Knowledge, source.Findings) {
	r := newReader(o)
	r.folder(fsys)
	for _, c := range r.overlay {
		r.fail(c.at, "overlay-only", fmt.Sprintf("%q changes another knowledge base, and this is the first", c.verb), "lay this folder over the one it changes with --kb")
	}
	Settle(r.k)
	return r.k, r.findings.Sort()
}

func newReader(o Options) *reader {
	return &reader{opts: o, k: &rules.Knowledge{}, seen: map[string]source.Place{}}
}

// folder reads all files in the order of their names.
func (r *reader) folder(fsys fs.FS) {
	type entry struct {
		name string
		size int64
	}
	var files []entry
	var total int64
	count := 0
	err := fs.WalkDir(fsys, ".", func(name string, d fs.DirEntry, err error) error {
		r.show(name)
		if err != nil {
			r.fail(source.Place{File: r.file}, "unreadable", "cannot be read: "+reason(err), "check that it exists and that you may read it")
			if d != nil && d.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		if count++; count > MaxFiles {
			r.fail(source.Place{File: r.file}, "too-many", fmt.Sprintf("more than %d files and folders", MaxFiles), "is this the right folder?")
			return fs.SkipAll
		}
		if name != "." && strings.HasPrefix(path.Base(name), ".") {
			if d.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		if d.IsDir() && name == tables {
			return fs.SkipDir
		}
		ext := path.Ext(name)
		switch {
		case d.Type()&fs.ModeSymlink != 0:
			r.fail(source.Place{File: r.file}, "symlink", "a link is not followed", "put the file itself here")
		case d.IsDir() || (ext != ".yaml" && ext != ".yml"):
		case ext == ".yml":
			r.fail(source.Place{File: r.file}, "file-name", "a file of a knowledge base ends in .yaml", "rename it to "+strings.TrimSuffix(path.Base(name), ext)+".yaml")
		case !d.Type().IsRegular():
			r.fail(source.Place{File: r.file}, "unreadable", "this is not a file", "take it out of the folder")
		default:
			info, err := d.Info()
			if err != nil {
				r.fail(source.Place{File: r.file}, "unreadable", "cannot be read: "+reason(err), "check that you may read it")
				return nil
			}
			if info.Size() > MaxFile {
				r.fail(source.Place{File: r.file}, "too-large", fmt.Sprintf("the file has %d kB; %d kB are allowed", (info.Size()+1023)>>10, MaxFile>>10), "split it by subject, or take it out of the folder")
				return nil
			}
			if total += info.Size(); total > MaxTotal {
				r.fail(source.Place{File: r.file}, "too-large", fmt.Sprintf("the files of this folder have more than %d MB", MaxTotal>>20), "is this the right folder?")
				return fs.SkipAll
			}
			files = append(files, entry{name, info.Size()})
		}
		return nil
	})
	if err != nil {
		r.show(".")
		r.fail(source.Place{File: r.file}, "unreadable", "cannot be read: "+reason(err), "")
	}
	if len(files) == 0 && len(r.findings) == 0 {
		r.show(".")
		r.fail(source.Place{File: r.file}, "empty-file", "there is no .yaml file in this folder", "is this the right folder?")
	}
	for _, f := range files {
		r.show(f.name)
		text, err := readFile(fsys, f.name)
		if err != nil {
			r.fail(source.Place{File: r.file}, "unreadable", "cannot be read: "+reason(err), "check that you may read it")
			continue
		}
		r.read(f.name, text)
	}
}

// readFile never takes more than the limit, whatever size the file claims to have.
func readFile(fsys fs.FS, name string) ([]byte, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, MaxFile+1))
}

func reason(err error) string {
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file or folder"
	case errors.Is(err, fs.ErrPermission):
		return "no permission"
	}
	return err.Error()
}

func (r *reader) show(name string) {
	r.base = strings.TrimSuffix(path.Base(name), ".yaml")
	switch {
	case r.opts.Prefix == "":
		r.file = name
	case name == ".":
		r.file = r.opts.Prefix
	default:
		r.file = strings.TrimSuffix(r.opts.Prefix, "/") + "/" + name
	}
}

// read reads the documents of one file.
func (r *reader) read(name string, data []byte) {
	r.show(name)
	start := source.Place{File: r.file, Line: 1, Col: 1}
	text := strings.TrimPrefix(string(data), "\ufeff")
	switch at, ok := badByte(text); {
	case len(data) > MaxFile:
		r.fail(start, "too-large", fmt.Sprintf("the file has more than %d kB", MaxFile>>10), "split it by subject")
		return
	case !ok:
		p := source.Place{File: r.file, Line: 1 + strings.Count(text[:at], "\n"), Col: 1 + utf8.RuneCountInString(text[strings.LastIndexByte(text[:at], '\n')+1:at])}
		r.fail(p, "not-text", "this is not text in UTF-8", "save the file as plain text, encoding UTF-8")
		return
	}
	r.lines = strings.Split(text, "\n")
	before, alone := r.documents, (*node)(nil)
	for _, c := range chunks(text) {
		found := len(r.findings)
		if found > MaxFindings {
			return
		}
		n := r.parse(c)
		if n == nil {
			if len(r.findings) > found {
				r.documents++ // a broken document counts: the file is not empty
			}
			continue
		}
		if r.documents++; r.documents > MaxDocuments {
			r.fail(n.at, "too-many", fmt.Sprintf("more than %d documents", MaxDocuments), "is this the right folder?")
			return
		}
		r.document(n)
		if alone == nil && r.perFile(n) {
			alone = n
		}
	}
	if alone != nil && r.documents-before > 1 {
		r.fail(alone.at, "file-name", "a cause or a rule stands alone in its file", "move it to a file of its own")
	}
	if r.documents == before {
		r.fail(start, "empty-file", "the file holds no document", "write one, or take the file out")
	}
}

func badByte(s string) (at int, ok bool) {
	for i, c := range s {
		if c == 0 {
			return i, false
		}
		if c == utf8.RuneError {
			if _, w := utf8.DecodeRuneInString(s[i:]); w == 1 {
				return i, false
			}
		}
	}
	return 0, true
}

func (r *reader) sourceLine(n int) string {
	if n < 1 || n > len(r.lines) {
		return ""
	}
	return r.lines[n-1]
}

// document reads one document by the kind that its first name says.
func (r *reader) document(n *node) {
	r.partial = false
	if n.form != mapForm || len(n.keys) == 0 {
		r.fail(n.at, "unknown-kind", "a document of names with values was expected, found "+n.form.String(), "begin with the kind of document and its name, such as cause: bore-oval")
		return
	}
	first := n.keys[0]
	if verb(first.text) {
		r.change(n)
		return
	}
	d := documentKind(first.text)
	if d == nil {
		for _, k := range n.keys[1:] {
			if documentKind(k.text) != nil {
				r.fail(first.at, "unknown-kind", fmt.Sprintf("%q stands before the kind of document", first.text), fmt.Sprintf("put the line %q first", k.text+": ..."))
				return
			}
		}
		r.unknown(first.at, "unknown-kind", fmt.Sprintf("no document is called %q", first.text), first.text, append(kindNames(), verbs...))
		return
	}
	d.read(r, n)
}

// register notes a document under its full name and reports a name given twice.
func (r *reader) register(kind, ref string, at source.Place) bool {
	key := kind + " " + ref
	if first, twice := r.seen[key]; twice {
		if folder, laid := r.over[key]; laid && folder != r.opts.Prefix {
			r.fail(at, "overlay-conflict", fmt.Sprintf("%s brings %q too", folder, kind+": "+ref), "give yours another name, or write amend: or replace: and after: "+path.Base(folder))
			return false
		}
		if r.over != nil && !strings.HasPrefix(first.File, strings.TrimSuffix(r.opts.Prefix, "/")+"/") {
			r.fail(at, "overlay-missing", fmt.Sprintf("there is a %q already, in %s", kind+": "+ref, first), fmt.Sprintf("to change it write amend: %s %s, to write it anew replace: %s %s", kind, ref, kind, ref))
			return false
		}
		r.fail(at, "duplicate-id", fmt.Sprintf("there are two documents %q", kind+": "+ref[strings.LastIndexByte(ref, '/')+1:]), "the first is in "+first.String())
		return false
	}
	r.seen[key] = at
	return true
}

func (r *reader) perFile(n *node) bool {
	d := documentKind(n.keyText(0))
	return d != nil && d.alone
}

func (n *node) keyText(i int) string {
	if i < len(n.keys) {
		return n.keys[i].text
	}
	return ""
}

// whole reads an entry inside a document: there a missing field is a mistake even when the
// document itself is an amendment.
func (r *reader) whole(read func()) {
	was := r.partial
	r.partial = false
	read()
	r.partial = was
}

func (r *reader) fail(at source.Place, code, what, hint string) {
	r.add(source.Finding{Place: at, Code: code, What: what, Hint: hint})
}

func (r *reader) add(f source.Finding) {
	switch {
	case len(r.findings) < MaxFindings:
		r.findings = append(r.findings, f)
	case len(r.findings) == MaxFindings:
		r.findings = append(r.findings, source.Finding{Place: f.Place, Code: "too-many", What: "more than " + strconv.Itoa(MaxFindings) + " mistakes; the rest is not listed", Hint: "mend these first"})
	}
}

// unknown reports a word that is not in a list, with the nearest ones that are.
func (r *reader) unknown(at source.Place, code, what, word string, known []string) {
	hint := source.DidYouMean(word, known)
	if hint == "" && len(known) <= 24 {
		sorted := append([]string(nil), known...)
		sort.Strings(sorted)
		hint = "known are " + strings.Join(sorted, ", ")
	}
	r.add(source.Finding{Place: at, Code: code, What: what, Hint: hint, Length: utf8.RuneCountInString(word)})
}
