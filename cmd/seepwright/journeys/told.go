package journeys

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/lint"
	"seepwright/rules/source"
)

// documents takes a file apart. A fault in the library becomes an error.
func documents(data []byte) (list []*yaml.Node, err error) {
	defer func() {
		if r := recover(); r != nil {
			list, err = nil, fmt.Errorf("%v", r)
		}
	}()
	dec := yaml.NewDecoder(bytes.NewReader(data))
	for {
		var doc yaml.Node
		switch err := dec.Decode(&doc); {
		case errors.Is(err, io.EOF):
			return list, nil
		case err != nil:
			return nil, err
		case len(doc.Content) > 0:
			list = append(list, doc.Content[0])
		}
	}
}

// isCase: the first name of a document says what it is.
func isCase(n *yaml.Node) bool {
	return n.Kind == yaml.MappingNode && len(n.Content) > 1 && n.Content[0].Value == "case"
}

// isTold tells a real leak from a solved case of a knowledge base by the names that only one
// of them has.
func isTold(n *yaml.Node) bool {
	return slices.ContainsFunc(keys(n), func(k string) bool { return k == "told" || k == "answers" || k == "confirmed" })
}

func keys(n *yaml.Node) []string {
	var out []string
	for i := 0; i+1 < len(n.Content); i += 2 {
		out = append(out, n.Content[i].Value)
	}
	return out
}

// mapping reads names with values by a table of what each name does; missing ones that are
// needed, unknown and repeated ones are findings.
type mapping struct {
	r    *reader
	file string
	what string // "a told leak"
	do   map[string]func(*yaml.Node)
	must []string
	seen map[string]*yaml.Node
}

func (m *mapping) at(n *yaml.Node) source.Place {
	return source.Place{File: m.file, Line: max(n.Line, 1), Col: max(n.Column, 1)}
}

func (m *mapping) fail(n *yaml.Node, code, hint, format string, args ...any) {
	m.r.fail(m.at(n), code, hint, format, args...)
}

func (m *mapping) read(n *yaml.Node) {
	m.seen = map[string]*yaml.Node{}
	if n.Kind != yaml.MappingNode {
		m.fail(n, "wrong-form", "write NAME: VALUE, each on its own line", "%s consists of names with values", m.what)
		return
	}
	var known []string
	for k := range m.do {
		known = append(known, k)
	}
	slices.Sort(known)
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		do := m.do[k.Value]
		switch {
		case do == nil:
			hint := source.DidYouMean(k.Value, known)
			if hint == "" {
				hint = "it has " + strings.Join(known, ", ")
			}
			m.fail(k, "unknown-key", hint, "%s has no %q", m.what, k.Value)
		case m.seen[k.Value] != nil:
			m.fail(k, "repeated-key", "leave one of them out", "%q stands here a second time", k.Value)
		default:
			m.seen[k.Value] = v
			do(v)
		}
	}
	for _, k := range m.must {
		if m.seen[k] == nil {
			m.fail(n, "missing-field", "add: "+k+": ...", "%s needs %q", m.what, k)
		}
	}
}

func (m *mapping) text(to *string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		if n.Kind != yaml.ScalarNode || n.Tag == "!!null" || strings.TrimSpace(n.Value) == "" {
			m.fail(n, "wrong-form", "write one text", "a text is wanted here")
			return
		}
		*to = strings.TrimSpace(n.Value)
	}
}

// told reads a real leak.
func (r *reader) told(n *yaml.Node, file string) {
	before := r.bad.Errors()
	l := Leak{Case: &rules.Case{Given: map[string]rules.AnswerText{}, Stage: "before-opening"}, Told: true}
	var history string
	var same []*yaml.Node
	m := &mapping{r: r, file: file, what: "a real leak", must: []string{"case", "source", "told", "joint", "answers", "confirmed"}}
	end := &mapping{r: r, file: file, what: `"confirmed"`, must: []string{"family", "cause"}}
	end.do = map[string]func(*yaml.Node){
		"family":  end.text(&l.Family),
		"cause":   end.text(&l.Proven),
		"same as": func(v *yaml.Node) { same = end.list(v) },
	}
	m.do = map[string]func(*yaml.Node){
		"case": m.text(&l.ID), "source": m.text(&l.Source), "told": m.text(&l.Story), "joint": m.text(&l.For), "history": m.text(&history),
		"answers":   func(v *yaml.Node) { m.answers(v, l.Given) },
		"confirmed": end.read,
	}
	m.read(n)
	l.Place = m.at(n)
	l.History = rules.History(history)
	if history != "" && !slices.Contains(rules.Histories(), l.History) {
		m.fail(m.seen["history"], "unknown-history", nearest(history, rules.Histories()), "no history is called %q", history)
	}
	if l.For != "" && r.kb.Joint(l.For) == nil {
		var kinds []string
		for _, j := range r.kb.Joints {
			kinds = append(kinds, j.ID)
		}
		m.fail(m.seen["joint"], "unknown-kind", nearest(l.For, kinds), "no joint kind is called %q", l.For)
		return
	}
	if l.Family != "" && !slices.Contains(lint.Families(), l.Family) {
		m.fail(end.seen["family"], "unknown-family", nearest(l.Family, lint.Families()), "no class of causes is called %q", l.Family)
	}
	var ids []string
	for _, c := range r.kb.CausesOf(l.For) {
		ids = append(ids, c.ID)
	}
	for _, s := range same {
		if !slices.Contains(ids, s.Value) {
			m.fail(s, "unknown-name", nearest(s.Value, ids), "no cause of a %s is called %q", l.For, s.Value)
			continue
		}
		l.Causes = append(l.Causes, l.For+"/"+s.Value)
	}
	_, bad := answer.ReadGiven(r.kb, l.Given)
	r.bad = append(r.bad, bad...)
	for id, a := range l.Given {
		if f := r.kb.Fact(id); f != nil && l.For != "" && !rules.Applies(f.For, l.For) {
			r.fail(a.Place, "wrong-kind", "it belongs to "+strings.Join(f.For, ", "), "%s is no question about a %s", id, l.For)
		}
	}
	if i := slices.IndexFunc(r.out, func(x Leak) bool { return x.ID == l.ID }); i >= 0 && l.ID != "" {
		m.fail(n, "duplicate-id", "give each case a name of its own", "%q is told in %s too", l.ID, r.out[i].Place)
	}
	if r.bad.Errors() == before {
		r.out = append(r.out, l)
	}
}

func nearest[S ~string](word string, list []S) string {
	var known []string
	for _, s := range list {
		known = append(known, string(s))
	}
	if hint := source.DidYouMean(word, known); hint != "" {
		return hint
	}
	return "it is one of " + strings.Join(known, ", ")
}

// list reads a list of names.
func (m *mapping) list(n *yaml.Node) []*yaml.Node {
	if n.Kind != yaml.SequenceNode {
		m.fail(n, "wrong-form", "write [one, two], or [] for none", "a list of names is wanted here")
		return nil
	}
	return slices.DeleteFunc(slices.Clone(n.Content), func(x *yaml.Node) bool {
		if x.Kind != yaml.ScalarNode || x.Value == "" {
			m.fail(x, "wrong-form", "write the name of a cause", "this item of the list is no name")
			return true
		}
		return false
	})
}

// answers reads FACT: ANSWER with the reader of answers files.
func (m *mapping) answers(n *yaml.Node, into map[string]rules.AnswerText) {
	if n.Kind != yaml.MappingNode {
		if n.Tag != "!!null" {
			m.fail(n, "wrong-form", "write FACT: ANSWER, each on its own line", "answers are wanted here")
		}
		return
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k := n.Content[i]
		if _, twice := into[k.Value]; twice {
			m.fail(k, "repeated-key", "leave one of them out", "%q is answered twice", k.Value)
			continue
		}
		a, bad := answer.FromNode(n.Content[i+1], m.file)
		m.r.bad = append(m.r.bad, bad...)
		if bad.Errors() == 0 {
			into[k.Value] = a
		}
	}
}
