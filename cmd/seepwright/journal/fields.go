package journal

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/source"
)

// field is one key of a section and where its value belongs: a *string, *[]string, *float64,
// *int, *time.Time, *rules.AnswerText or *[]Chance.
type field struct {
	key string
	to  any
}

// sectionReader reads sections and collects what is wrong, each with its place.
type sectionReader struct {
	file string
	bad  source.Findings
}

func (r *sectionReader) fail(n *yaml.Node, hint, format string, args ...any) {
	at := source.Place{File: r.file, Line: 1, Col: 1}
	if n != nil {
		at.Line, at.Col = n.Line, n.Column
	}
	r.bad = append(r.bad, source.Finding{Place: at, Code: "wrong-form", What: fmt.Sprintf(format, args...), Hint: hint})
}

// fields reads a mapping into its fields; what names the thing in an error ("an outcome").
func (r *sectionReader) fields(n *yaml.Node, what string, list []field) {
	if n.Kind != yaml.MappingNode {
		r.fail(n, "", "this is no entry of %s", what)
		return
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, v := n.Content[i], n.Content[i+1]
		to := any(nil)
		var names []string
		for _, f := range list {
			names = append(names, f.key)
			if f.key == key.Value {
				to = f.to
			}
		}
		switch {
		case to == nil:
			r.fail(key, "it has "+strings.Join(names, ", "), "%s has no %q", what, key.Value)
		case seen[key.Value]:
			r.fail(key, "keep one of them", "%q stands twice in %s", key.Value, what)
		default:
			seen[key.Value] = true
			r.value(v, key.Value, to)
		}
	}
}

func (r *sectionReader) value(v *yaml.Node, key string, to any) {
	switch to := to.(type) {
	case *[]string:
		if v.Kind == yaml.ScalarNode {
			*to = []string{v.Value}
			return
		}
		if v.Kind != yaml.SequenceNode {
			r.fail(v, "write [one, two]", "%s is a list", key)
			return
		}
		for _, x := range v.Content {
			if x.Kind != yaml.ScalarNode {
				r.fail(x, "write it on one line", "a text is wanted here")
				continue
			}
			*to = append(*to, x.Value)
		}
		return
	case *rules.AnswerText:
		a, bad := answer.FromNode(v, r.file)
		r.bad = append(r.bad, bad...)
		*to = a
		return
	case *[]Chance:
		if v.Kind != yaml.SequenceNode {
			r.fail(v, "begin each cause with a dash", "%s is a list", key)
			return
		}
		for _, x := range v.Content {
			var c Chance
			r.fields(x, "a ranked cause", c.fields())
			*to = append(*to, c)
		}
		return
	}
	if v.Kind != yaml.ScalarNode {
		r.fail(v, "write it on one line", "a text is wanted here")
		return
	}
	switch to := to.(type) {
	case *string:
		*to = v.Value
	case *int:
		n, err := strconv.Atoi(v.Value)
		if err != nil {
			r.fail(v, "", "%s is a whole number, but this is %q", key, v.Value)
		}
		*to = n
	case *float64:
		x, err := strconv.ParseFloat(v.Value, 64)
		if err != nil || x < 0 || x > 1e9 {
			r.fail(v, "", "%s is a number from 0 on, but this is %q", key, v.Value)
			return
		}
		*to = x
	case *time.Time:
		t, err := moment(v.Value)
		if err != nil {
			r.fail(v, "such as 2026-05-04T16:30:00+02:00, or 2026-05-04", "%q is no date with a time", v.Value)
		}
		*to = t
	}
}

// moment reads a time as it is written, or a day alone.
func moment(s string) (time.Time, error) {
	if t, err := time.Parse(time.RFC3339, s); err == nil {
		return t, nil
	}
	return time.ParseInLocation(time.DateOnly, s, time.Local)
}

// mapping writes the fields that say something, in their order.
func mapping(list []field) *yaml.Node {
	m := &yaml.Node{Kind: yaml.MappingNode}
	for _, f := range list {
		if v := node(f.to); v != nil {
			m.Content = append(m.Content, word(f.key), v)
		}
	}
	return m
}

// node writes one value; nil when it says nothing.
func node(of any) *yaml.Node {
	switch v := of.(type) {
	case *string:
		if *v == "" {
			return nil
		}
		return word(*v)
	case *[]string:
		if len(*v) == 0 {
			return nil
		}
		n := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
		for _, s := range *v {
			n.Content = append(n.Content, word(s))
		}
		return n
	case *int:
		if *v == 0 {
			return nil
		}
		return plainWord(strconv.Itoa(*v))
	case *float64:
		if *v == 0 {
			return nil
		}
		return plainWord(strconv.FormatFloat(*v, 'f', -1, 64))
	case *time.Time:
		if v.IsZero() {
			return nil
		}
		return plainWord(v.Format(time.RFC3339))
	case *rules.AnswerText:
		if v.Scalar == "" && v.List == nil && v.Is == nil && v.Not == nil {
			return nil
		}
		return answer.ToNode(*v)
	case *[]Chance:
		if len(*v) == 0 {
			return nil
		}
		n := &yaml.Node{Kind: yaml.SequenceNode}
		for i := range *v {
			m := mapping((*v)[i].fields())
			m.Style = yaml.FlowStyle
			n.Content = append(n.Content, m)
		}
		return n
	}
	return nil
}

// word is a text; its line breaks are kept.
func word(s string) *yaml.Node {
	n := &yaml.Node{}
	n.SetString(s)
	return n
}

// plainWord is a number or a time, written without quotes.
func plainWord(s string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Value: s} }
