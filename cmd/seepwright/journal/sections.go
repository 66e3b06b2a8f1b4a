package journal

import (
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"seepwright/rules/source"
)

// sectionNames are the parts of a saved case that an answers file has not.
var sectionNames = []string{"confirmed", "proven"}

// divide takes the interview's own sections out of the text. Both halves keep every line
// where it was, blank where the other half has it, so that places stay right.
func divide(text string) (plain, own string) {
	var a, b strings.Builder
	inside := false
	for _, line := range strings.SplitAfter(text, "\n") {
		body := strings.TrimRight(line, "\r\n")
		switch {
		case body == "" || strings.ContainsAny(body[:1], " \t-#"):
		default:
			key, _, ok := strings.Cut(body, ":")
			inside = ok && slices.Contains(sectionNames, key)
		}
		end := line[len(body):]
		if inside {
			a.WriteString(end)
			b.WriteString(line)
		} else {
			a.WriteString(line)
			b.WriteString(end)
		}
	}
	return a.String(), b.String()
}

// own reads the interview's sections.
func (c *Case) own(text, name string) source.Findings {
	if strings.TrimSpace(text) == "" {
		return nil
	}
	var bad source.Findings
	fail := func(n *yaml.Node, hint, format string, args ...any) {
		at := source.Place{File: name, Line: 1, Col: 1}
		if n != nil {
			at.Line, at.Col = n.Line, n.Column
		}
		bad = append(bad, source.Finding{Place: at, Code: "wrong-form", What: fmt.Sprintf(format, args...), Hint: hint})
	}
	var doc yaml.Node
	if err := yaml.Unmarshal([]byte(text), &doc); err != nil || len(doc.Content) == 0 || doc.Content[0].Kind != yaml.MappingNode {
		line := 1 + strings.Count(text[:len(text)-len(strings.TrimLeft(text, "\r\n"))], "\n")
		fail(&yaml.Node{Line: line, Column: 1}, "take these lines out, or mend their indents", "the sections %s cannot be read", strings.Join(sectionNames, " and "))
		return bad
	}
	root := doc.Content[0]
	for i := 0; i+1 < len(root.Content); i += 2 {
		key, v := root.Content[i], root.Content[i+1]
		if v.Kind != yaml.SequenceNode {
			fail(v, "begin each entry with a dash", "%s is a list", key.Value)
			continue
		}
		for _, n := range v.Content {
			switch {
			case key.Value == "confirmed" && n.Kind == yaml.ScalarNode:
				c.Confirmed = append(c.Confirmed, n.Value)
			case key.Value == "proven" && n.Kind == yaml.MappingNode:
				c.Proven = append(c.Proven, proven(n, fail))
			default:
				fail(n, "", "this is no entry of %s", key.Value)
			}
		}
	}
	return bad
}

func proven(n *yaml.Node, fail func(*yaml.Node, string, string, ...any)) Proven {
	var p Proven
	into := map[string]*string{"joint": &p.Joint, "cause": &p.Cause, "said": &p.Said, "done": &p.Done}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, v := n.Content[i], n.Content[i+1]
		to, ok := into[key.Value]
		switch {
		case !ok:
			fail(key, "it has joint, cause, said, done", "an outcome has no %q", key.Value)
		case v.Kind != yaml.ScalarNode:
			fail(v, "write it on one line", "a text is wanted here")
		default:
			*to = v.Value
		}
	}
	return p
}

// sections is the text of the interview's own sections, "" when there is nothing in them.
func (c *Case) sections() (string, error) {
	root := &yaml.Node{Kind: yaml.MappingNode}
	word := func(s string) *yaml.Node {
		n := &yaml.Node{}
		n.SetString(strings.Join(strings.Fields(s), " "))
		return n
	}
	add := func(m *yaml.Node, key string, v *yaml.Node) { m.Content = append(m.Content, word(key), v) }
	if len(c.Confirmed) > 0 {
		list := &yaml.Node{Kind: yaml.SequenceNode}
		for _, s := range c.Confirmed {
			list.Content = append(list.Content, word(s))
		}
		add(root, "confirmed", list)
	}
	if len(c.Proven) > 0 {
		list := &yaml.Node{Kind: yaml.SequenceNode}
		for _, p := range c.Proven {
			m := &yaml.Node{Kind: yaml.MappingNode}
			for _, f := range []struct{ key, text string }{{"joint", p.Joint}, {"cause", p.Cause}, {"said", p.Said}, {"done", p.Done}} {
				if f.text != "" {
					add(m, f.key, word(f.text))
				}
			}
			list.Content = append(list.Content, m)
		}
		add(root, "proven", list)
	}
	if len(root.Content) == 0 {
		return "", nil
	}
	out, err := yaml.Marshal(root)
	return string(out), err
}
