package load

import (
	"slices"

	"seepwright/rules/source"
)

// Places remembers where the fields of each document and the texts in them stand, so that
// checks made after reading can point at the very word. The zero value is ready for use;
// a nil *Places remembers nothing.
type Places struct {
	at map[placeKey]source.Place
}

type placeKey struct {
	doc   source.Place
	field string
	text  string
}

func (p *Places) note(doc source.Place, field, text string, at source.Place) {
	if p == nil {
		return
	}
	if p.at == nil {
		p.at = map[placeKey]source.Place{}
	}
	k := placeKey{doc, field, text}
	if _, known := p.at[k]; !known {
		p.at[k] = at
	}
}

// Of is where a text stands in a field of the document that starts at doc; the field itself
// when the text is empty or not there; the document when nothing better is known.
func (p *Places) Of(doc source.Place, field, text string) source.Place {
	if p != nil {
		if at, ok := p.at[placeKey{doc, field, text}]; ok {
			return at
		}
		if at, ok := p.at[placeKey{doc, field, ""}]; ok {
			return at
		}
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
