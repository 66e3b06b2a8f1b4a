package assembly

import (
	"io"
	"slices"
	"strconv"

	"gopkg.in/yaml.v3"

	"seepwright/rules"
)

// WriteTo writes the assembly so that Read reads the same.
func (a *Assembly) WriteTo(w io.Writer) (int64, error) {
	root := mapping()
	put(root, "assembly", a.Title)
	putAnswers(root, "known", a.Answers)
	putList(root, "tools", a.Tools)
	putList(root, "in hand", a.Ready)
	joints := &yaml.Node{Kind: yaml.SequenceNode}
	for _, j := range a.Joints {
		m := mapping()
		put(m, "id", j.ID)
		put(m, "kind", j.Kind)
		put(m, "title", j.Title)
		put(m, "like", j.Like)
		put(m, "circuit", j.Circuit)
		putList(m, "above", j.Above)
		putList(m, "blown from", j.BlownFrom)
		put(m, "last work", j.LastWork)
		put(m, "leaked before", j.Leaked)
		putAnswers(m, "known", j.Answers)
		joints.Content = append(joints.Content, m)
	}
	add(root, "joints", joints)
	if len(a.Access) > 0 {
		steps := &yaml.Node{Kind: yaml.SequenceNode}
		for _, s := range a.Access {
			m := mapping()
			put(m, "id", s.ID)
			put(m, "title", s.Title)
			put(m, "off", strconv.FormatFloat(s.Off, 'f', -1, 64))
			put(m, "back", strconv.FormatFloat(s.Back, 'f', -1, 64))
			putList(m, "needs", s.Needs)
			putList(m, "uncovers", s.Uncovers)
			steps.Content = append(steps.Content, m)
		}
		add(root, "access", steps)
	}
	data, err := yaml.Marshal(root)
	if err != nil {
		return 0, err
	}
	n, err := w.Write(data)
	return int64(n), err
}

func mapping() *yaml.Node { return &yaml.Node{Kind: yaml.MappingNode} }

func word(s string) *yaml.Node {
	n := &yaml.Node{}
	n.SetString(s)
	return n
}

func add(m *yaml.Node, key string, v *yaml.Node) { m.Content = append(m.Content, word(key), v) }

func put(m *yaml.Node, key, text string) {
	if text != "" {
		add(m, key, word(text))
	}
}

func list(items []string) *yaml.Node {
	n := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
	for _, s := range items {
		n.Content = append(n.Content, word(s))
	}
	return n
}

func putList(m *yaml.Node, key string, items []string) {
	if len(items) > 0 {
		add(m, key, list(items))
	}
}

func putAnswers(m *yaml.Node, key string, answers map[string]rules.AnswerText) {
	if len(answers) == 0 {
		return
	}
	names := make([]string, 0, len(answers))
	for n := range answers {
		names = append(names, n)
	}
	slices.Sort(names)
	out := mapping()
	for _, n := range names {
		add(out, n, answerNode(answers[n]))
	}
	add(m, key, out)
}

func answerNode(a rules.AnswerText) *yaml.Node {
	switch {
	case len(a.At) > 0:
		n := &yaml.Node{Kind: yaml.SequenceNode}
		for i, v := range a.List {
			m := mapping()
			if i < len(a.At) {
				put(m, "at", a.At[i])
			}
			value := v
			if a.Unit != "" {
				value += " " + a.Unit
			}
			put(m, "value", value)
			n.Content = append(n.Content, m)
		}
		return n
	case len(a.Is)+len(a.Not) > 0:
		m := mapping()
		putList(m, "is", a.Is)
		putList(m, "not", a.Not)
		return m
	case a.List != nil:
		return list(a.List)
	}
	return word(a.Scalar)
}
