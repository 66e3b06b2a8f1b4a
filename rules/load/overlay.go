package load

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/source"
)

// Folder is one folder laid over a knowledge base, under the name that the user typed.
type Folder struct {
	Name string
	FS   fs.FS
}

// change is one overlay document as read.
type change struct {
	verb string
	at   source.Place
	n    *node
	file string
	base string
	src  []string
}

var verbs = []string{"amend", "replace", "remove", "after"}

func verb(s string) bool { return slices.Contains(verbs, s) }

func (r *reader) change(n *node) {
	r.overlay = append(r.overlay, change{verb: n.keys[0].text, at: n.at, n: n, file: r.file, base: r.base, src: r.lines})
}

// Overlay lays folders over a knowledge base, in order. A document is new unless its first
// name is amend (changes only the fields it names), replace (the whole document) or remove.
// Two folders that touch one field, or bring one document, are in conflict unless the later
// says after: FOLDER. The base itself is not changed. What points at a removed document is
// found by lint, like every name that nothing bears.
func Overlay(base *rules.Knowledge, folders []Folder, places *Places) (*rules.Knowledge, source.Findings) {
	o := &overlaying{k: shallow(base), touched: map[string]map[string]string{}, after: map[string][]string{}, origin: map[string]string{}}
	for i, f := range folders {
		o.lay(f, folders, i, places)
	}
	Settle(o.k)
	return o.k, o.findings.Sort()
}

// shallow copies the lists, and of the causes what Settle may fill in.
func shallow(k *rules.Knowledge) *rules.Knowledge {
	out := *k
	out.Reindex()
	for _, d := range kinds() {
		d.keep(&out, func(doc) bool { return true })
	}
	for i, c := range out.Causes {
		clone := *c
		clone.FoundBy = slices.Clone(c.FoundBy)
		out.Causes[i] = &clone
	}
	return &out
}

// overlaying holds the state between the folders.
type overlaying struct {
	k        *rules.Knowledge
	touched  map[string]map[string]string // document -> field ("*" = all) -> folder
	origin   map[string]string            // document -> the folder that brought it
	after    map[string][]string          // folder -> the folders it says it comes after
	findings source.Findings
}

func (o *overlaying) lay(f Folder, folders []Folder, index int, places *Places) {
	r := newReader(Options{Prefix: f.Name, Places: places})
	for _, d := range kinds() {
		for _, x := range d.list(o.k) {
			r.seen[d.name+" "+x.ref] = x.place
		}
	}
	r.over = o.origin
	r.folder(f.FS)
	for _, c := range r.overlay {
		if c.verb == "after" {
			r.resume(c)
			o.order(r, c.n, f, folders, index)
		}
	}
	o.adopt(r, f)
	for _, c := range r.overlay {
		if c.verb != "after" {
			r.resume(c)
			o.change(r, c, f)
			o.adopt(r, f)
		}
	}
	o.findings = append(o.findings, r.findings...)
}

// adopt moves the documents just read into the knowledge.
func (o *overlaying) adopt(r *reader, f Folder) {
	for _, d := range kinds() {
		for _, x := range d.list(r.k) {
			key := d.name + " " + x.ref
			o.origin[key] = f.Name
			o.touch(key, "*", f)
		}
	}
	merge(o.k, r.k)
	r.k = &rules.Knowledge{}
}

func merge(into, from *rules.Knowledge) {
	into.Joints = append(into.Joints, from.Joints...)
	into.Facts = append(into.Facts, from.Facts...)
	into.Checks = append(into.Checks, from.Checks...)
	into.Causes = append(into.Causes, from.Causes...)
	into.Remedies = append(into.Remedies, from.Remedies...)
	into.Targets = append(into.Targets, from.Targets...)
	into.Cautions = append(into.Cautions, from.Cautions...)
	into.Stops = append(into.Stops, from.Stops...)
	into.Rules = append(into.Rules, from.Rules...)
	into.Instruments = append(into.Instruments, from.Instruments...)
	into.Estimates = append(into.Estimates, from.Estimates...)
	into.Cases = append(into.Cases, from.Cases...)
	into.RuleTests = append(into.RuleTests, from.RuleTests...)
	into.Reindex()
}

// resume goes back to the file of an overlay document, which is read after all new ones.
func (r *reader) resume(c change) { r.file, r.base, r.lines = c.file, c.base, c.src }

// order reads after: FOLDER. The named folder must be given and come earlier.
func (o *overlaying) order(r *reader, n *node, f Folder, folders []Folder, index int) {
	if len(n.keys) > 1 {
		r.fail(n.keys[1].at, "unknown-field", `"after" stands alone in its document`, "put --- on a line of its own before what follows")
	}
	for _, item := range r.items(n.vals[0], "after") {
		name, ok := r.text(item, "after")
		if !ok {
			continue
		}
		at := slices.IndexFunc(folders, func(x Folder) bool { return same(x.Name, name) })
		switch {
		case at < 0:
			var names []string
			for _, x := range folders {
				names = append(names, path.Base(path.Clean(x.Name)))
			}
			r.unknown(item.at, "overlay-order", fmt.Sprintf("no folder %q is given", name), name, names)
		case at == index:
			r.fail(item.at, "overlay-order", "a folder cannot come after itself", "name the folder that this one changes")
		case at > index:
			r.fail(item.at, "overlay-order", fmt.Sprintf("%q is given after this folder", name), fmt.Sprintf("give %s before %s; if it says in turn that it comes after this one, one of the two must let go", folders[at].Name, f.Name))
		default:
			o.after[f.Name] = append(o.after[f.Name], folders[at].Name)
			o.after[f.Name] = append(o.after[f.Name], o.after[folders[at].Name]...)
		}
	}
}

func same(folder, name string) bool {
	folder, name = path.Clean(strings.ReplaceAll(folder, `\`, "/")), path.Clean(name)
	return folder == name || path.Base(folder) == name
}

// touch notes that a folder sets a field, and gives the folder that did so before, if the
// two are in conflict.
func (o *overlaying) touch(key, field string, f Folder) (other string, conflict bool) {
	fields := o.touched[key]
	if fields == nil {
		fields = map[string]string{}
		o.touched[key] = fields
	}
	for name, by := range fields {
		meets := name == field || name == "*" || field == "*"
		if meets && !slices.Contains(o.after[f.Name], by) && (other == "" || by < other) {
			other, conflict = by, true
		}
	}
	fields[field] = f.Name
	return other, conflict
}

// change applies amend, replace or remove.
func (o *overlaying) change(r *reader, c change, f Folder) {
	n := c.n
	name := n.vals[0]
	if !r.scalar(name, c.verb, "a kind of document and its name") {
		return
	}
	kindName, ref, _ := strings.Cut(strings.TrimSpace(name.text), " ")
	ref = strings.TrimSpace(ref)
	d := documentKind(kindName)
	if d == nil || ref == "" {
		r.unknown(name.at, "unknown-kind", fmt.Sprintf("%q does not name a document", name.text), kindName, kindNames())
		return
	}
	var refs []string
	var old *doc
	for _, x := range d.list(o.k) {
		if x.ref == ref {
			old = &x
		}
		refs = append(refs, x.ref)
	}
	if old == nil {
		r.unknown(name.at, "overlay-missing", fmt.Sprintf("there is no %s %q to %s", kindName, ref, c.verb), ref, refs)
		return
	}
	key := kindName + " " + ref
	fields := []string{"*"}
	if c.verb == "amend" {
		fields = nil
		for _, k := range n.keys[1:] {
			fields = append(fields, k.text)
		}
	}
	for i, field := range fields {
		if other, conflict := o.touch(key, field, f); conflict {
			at := n.at
			if c.verb == "amend" {
				at = n.keys[i+1].at
			}
			hint := "write after: " + path.Base(other) + " in a document of its own, if this folder shall have the last word"
			if other == f.Name {
				hint = "change it in one place"
			}
			r.fail(at, "overlay-conflict", fmt.Sprintf("%s changes %s %q too", other, kindName, ref), hint)
			return
		}
	}
	switch c.verb {
	case "amend":
		if len(n.keys) == 1 {
			r.fail(n.at, "missing-field", "this amendment names no field", "add the fields that change")
			return
		}
		r.partial = true
		d.amend(r, n, 1, o.k, *old)
		r.partial = false
	case "remove":
		if len(n.keys) > 1 {
			r.fail(n.keys[1].at, "unknown-field", `"remove" takes no fields`, "take them out, or write replace")
			return
		}
		o.take(d, ref)
	case "replace":
		o.take(d, ref)
		delete(r.seen, key)
		id := *name
		id.text = ref[strings.LastIndexByte(ref, '/')+1:]
		whole := &node{form: mapForm, at: n.at, keys: slices.Clone(n.keys), vals: slices.Clone(n.vals)}
		head := *n.keys[0]
		head.text = kindName
		whole.keys[0], whole.vals[0] = &head, &id
		d.read(r, whole)
		o.touched[key] = nil
		if !slices.ContainsFunc(d.list(r.k), func(x doc) bool { return x.ref == ref }) && r.findings.Errors() == 0 {
			r.fail(name.at, "overlay-missing", fmt.Sprintf("what replaces %q is another document", ref), `give the same joint kind under "for"`)
		}
	}
}

func (o *overlaying) take(d *kind, ref string) {
	d.keep(o.k, func(x doc) bool { return x.ref != ref })
	o.k.Reindex()
}
