package load

import (
	"slices"

	"seepwright/rules/source"
)

// Places remembers where the fields of each document and the texts in them stand, so that
// checks made after reading can point at the very word. The zero value is ready for use;
// a nil *Places remembers nothing.
type Places struct {
	docs map[source.Place]*noted
	doc  source.Place // the document of last, which most notes belong to
	last *noted
}

// noted is what is remembered of one document: a list in the order of the text, and an index
// once the list is long.
type noted struct {
	list  []notedText
	index map[[2]string]source.Place // field, text -> first place
}

type notedText struct {
	field, text string
	at          source.Place
}

// shortList is the length up to which looking through a list beats keeping an index.
const shortList = 64

func (p *Places) note(doc source.Place, field, text string, at source.Place) {
	if p == nil {
		return
	}
	if p.last == nil || p.doc != doc {
		if p.docs == nil {
			p.docs = map[source.Place]*noted{}
		}
		if p.docs[doc] == nil {
			p.docs[doc] = &noted{}
		}
		p.doc, p.last = doc, p.docs[doc]
	}
	p.last.add(notedText{field, text, at})
}

func (n *noted) add(t notedText) {
	if n.index == nil && len(n.list) < shortList {
		n.list = append(n.list, t)
		return
	}
	if n.index == nil {
		n.index = map[[2]string]source.Place{}
		for _, x := range n.list {
			n.first(x)
		}
		n.list = nil
	}
	n.first(t)
}

// first keeps the first place of a text.
func (n *noted) first(t notedText) {
	k := [2]string{t.field, t.text}
	if _, known := n.index[k]; !known {
		n.index[k] = t.at
	}
}

// find is where a text was first noted.
func (p *Places) find(doc source.Place, field, text string) (source.Place, bool) {
	if p == nil || p.docs[doc] == nil {
		return source.Place{}, false
	}
	n := p.docs[doc]
	if n.index != nil {
		at, ok := n.index[[2]string{field, text}]
		return at, ok
	}
	for _, x := range n.list {
		if x.field == field && x.text == text {
			return x.at, true
		}
	}
	return source.Place{}, false
}

// Of is where a text stands in a field of the document that starts at doc; the field itself
// when the text is empty or not there; the document when nothing better is known.
func (p *Places) Of(doc source.Place, field, text string) source.Place {
	if at, ok := p.find(doc, field, text); ok {
		return at
	}
	if at, ok := p.find(doc, field, ""); ok {
		return at
	}
	return doc
}

// noteAll remembers every text below a field.
func (p *Places) noteAll(doc source.Place, field string, n *node) {
	if p == nil {
		return
	}
	if n.form == textForm {
		p.note(doc, field, n.text, n.at)
	}
	for _, k := range n.keys {
		p.note(doc, field, k.text, k.at)
	}
	for _, v := range n.vals {
		p.noteAll(doc, field, v)
	}
}

// has reports whether a document has one of the fields, readable or not.
func (n *node) has(names ...string) bool {
	return slices.ContainsFunc(n.keys, func(k *node) bool { return slices.Contains(names, k.text) })
}

// fieldPlace is where a field of a document stands.
func (r *reader) fieldPlace(n *node, name string) source.Place {
	for _, k := range n.keys {
		if k.text == name {
			return k.at
		}
	}
	return n.at
}

// textPlace is where a text stands below a field: the last place, since the first is the right one.
func (r *reader) textPlace(n *node, name, text string) source.Place {
	for i, k := range n.keys {
		if k.text == name {
			if at, ok := lastText(n.vals[i], text); ok {
				return at
			}
			return k.at
		}
	}
	return n.at
}

func lastText(n *node, text string) (at source.Place, ok bool) {
	if n.form == textForm && n.text == text {
		return n.at, true
	}
	for _, v := range n.vals {
		if p, found := lastText(v, text); found {
			at, ok = p, true
		}
	}
	return at, ok
}
