package load

import (
	"fmt"

	"seepwright/rules"
	"seepwright/rules/source"
)

// kind is one kind of document: what its first name is, what it is for, its fields, and how
// it is read into and found in a knowledge base.
type kind struct {
	name   string
	help   string
	alone  bool // one document a file, and the file is called like the document
	fields []Field
	read   func(r *reader, n *node)
	list   func(k *rules.Knowledge) []doc
	put    func(k *rules.Knowledge, d doc)
	keep   func(k *rules.Knowledge, keep func(d doc) bool)
	amend  func(r *reader, n *node, skip int, k *rules.Knowledge, d doc) // changes the named fields in a copy
}

// doc is one document of any kind.
type doc struct {
	ref   string // full name
	place source.Place
	ptr   any
}

// Kind describes a kind of document to authors.
type Kind struct {
	Name   string
	Help   string
	Alone  bool // one document a file, called like it
	Fields []Field
}

// Kinds lists the kinds of documents with their fields, in the order in which they are explained.
func Kinds() []Kind {
	var out []Kind
	for _, d := range kinds() {
		out = append(out, Kind{d.name, d.help, d.alone, d.fields})
	}
	return out
}

func documentKind(name string) *kind {
	for _, d := range kinds() {
		if d.name == name {
			return d
		}
	}
	return nil
}

func kindNames() []string {
	var out []string
	for _, d := range kinds() {
		out = append(out, d.name)
	}
	return out
}

// spec is what is needed to make a kind of documents of type T.
type spec[T any] struct {
	name, help string
	alone      bool
	tab        table[T]
	head       func(*T) *rules.Head
	list       func(*rules.Knowledge) *[]*T
	ref        func(*T) string                // full name; nil = the id
	check      func(r *reader, n *node, d *T) // what one document shows by itself
	test       bool                           // named after the document it tests: ID_test.yaml
}

func makeKind[T any](s spec[T]) *kind {
	ref := s.ref
	if ref == nil {
		ref = func(d *T) string { return s.head(d).ID }
	}
	fill := func(r *reader, n *node, skip int, d *T) {
		head := s.head(d)
		readFields(r, n, skip, s.tab, d, s.name, func(name string, key, val *node) {
			r.opts.Places.note(head.Place, name, "", key.at)
			r.opts.Places.noteAll(head.Place, name, val)
		})
	}
	k := &kind{name: s.name, help: s.help, alone: s.alone, fields: s.tab.fields()}
	k.read = func(r *reader, n *node) {
		d := new(T)
		head := s.head(d)
		head.Place = n.at
		var named bool
		if s.test {
			head.ID, named = r.name(n.vals[0], s.name)
		} else {
			head.ID, named = r.newID(n.vals[0], s.name)
		}
		fill(r, n, 1, d)
		if s.check != nil {
			s.check(r, n, d)
		}
		want := head.ID
		if s.test {
			want += "_test"
		}
		if named && (s.alone || s.test) && r.base != want {
			r.fail(n.vals[0].at, "file-name", fmt.Sprintf("the file is called %s.yaml, but the %s in it %q", r.base, s.name, head.ID), fmt.Sprintf("rename the file to %s.yaml", want))
		}
		if !named || !r.register(s.name, ref(d), n.vals[0].at) {
			return
		}
		list := s.list(r.k)
		*list = append(*list, d)
	}
	k.list = func(kb *rules.Knowledge) []doc {
		var out []doc
		for _, d := range *s.list(kb) {
			out = append(out, doc{ref(d), s.head(d).Place, d})
		}
		return out
	}
	k.put = func(kb *rules.Knowledge, d doc) {
		if x, ok := d.ptr.(*T); ok {
			*s.list(kb) = append(*s.list(kb), x)
		}
	}
	k.keep = func(kb *rules.Knowledge, keep func(doc) bool) {
		list := s.list(kb)
		out := (*list)[:0:0]
		for _, d := range *list {
			if keep(doc{ref(d), s.head(d).Place, d}) {
				out = append(out, d)
			}
		}
		*list = out
	}
	k.amend = func(r *reader, n *node, skip int, kb *rules.Knowledge, old doc) {
		list := s.list(kb)
		for i, d := range *list {
			if any(d) == old.ptr {
				clone := *d
				s.head(&clone).Place = n.at
				fill(r, n, skip, &clone)
				if ref(&clone) != old.ref {
					r.fail(n.at, "overlay-conflict", fmt.Sprintf("an amendment cannot turn %q into %q", old.ref, ref(&clone)), "remove the one and write the other as a new document")
					return
				}
				if s.check != nil {
					s.check(r, n, &clone)
				}
				(*list)[i] = &clone
			}
		}
	}
	return k
}
