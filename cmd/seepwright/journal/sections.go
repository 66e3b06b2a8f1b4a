package journal

import (
	"bytes"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"seepwright/rules/answer"
	"seepwright/rules/source"
)

// sectionNames are the parts of a saved case that an answers file has not.
var sectionNames = []string{"case", "proven", "confirmed", "log"}

// divide takes the sections of a case out of the text. Both halves keep every line where it
// was, blank where the other half has it, so that places stay right.
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

// own reads the sections of a case.
func (c *Case) own(text, name string) source.Findings {
	if strings.TrimSpace(text) == "" {
		return nil
	}
	r := &sectionReader{file: name}
	var doc yaml.Node
	if err := yaml.Unmarshal([]byte(text), &doc); err != nil {
		return answer.SyntaxFault(name, []byte(text), err)
	}
	if len(doc.Content) == 0 || doc.Content[0].Kind != yaml.MappingNode {
		return nil
	}
	root := doc.Content[0]
	for i := 0; i+1 < len(root.Content); i += 2 {
		key, v := root.Content[i], root.Content[i+1]
		if key.Value == "case" {
			if v.Kind != yaml.MappingNode {
				r.fail(v, "it has id:, title:, opened:", "the head of a case consists of names with values")
				continue
			}
			c.Head = r.head(v)
			continue
		}
		if v.Kind != yaml.SequenceNode {
			r.fail(v, "begin each entry with a dash", "%s is a list", key.Value)
			continue
		}
		for _, n := range v.Content {
			switch {
			case key.Value == "confirmed" && n.Kind == yaml.ScalarNode:
				c.Confirmed = append(c.Confirmed, n.Value)
			case key.Value == "proven" && n.Kind == yaml.MappingNode:
				var p Proven
				r.fields(n, "an outcome", p.fields())
				c.Proven = append(c.Proven, p)
			case key.Value == "log":
				if e, ok := r.entry(n); ok {
					c.Log = append(c.Log, e)
				}
			default:
				r.fail(n, "", "this is no entry of %s", key.Value)
			}
		}
	}
	return r.bad
}

func (p *Proven) fields() []field {
	return []field{{"joint", &p.Joint}, {"kind", &p.Kind}, {"cause", &p.Cause}, {"said", &p.Said}, {"done", &p.Done}}
}

// sections is the text of the sections before the answers and behind them.
func (c *Case) sections() (before, behind string, err error) {
	front, back := &yaml.Node{Kind: yaml.MappingNode}, &yaml.Node{Kind: yaml.MappingNode}
	add := func(m *yaml.Node, key string, v *yaml.Node) { m.Content = append(m.Content, word(key), v) }
	proven := &yaml.Node{Kind: yaml.SequenceNode}
	for i := range c.Proven {
		proven.Content = append(proven.Content, mapping(c.Proven[i].fields()))
	}
	if c.Head.ID != "" {
		add(front, "case", mapping(c.Head.fields()))
	}
	if len(c.Confirmed) > 0 {
		list := &yaml.Node{Kind: yaml.SequenceNode}
		for _, s := range c.Confirmed {
			list.Content = append(list.Content, word(s))
		}
		add(back, "confirmed", list)
	}
	if len(c.Proven) > 0 && c.Head.ID != "" {
		add(front, "proven", proven) // with the head, so that a list of cases reads both and nothing else
	} else if len(c.Proven) > 0 {
		add(back, "proven", proven)
	}
	if len(c.Log) > 0 {
		list := &yaml.Node{Kind: yaml.SequenceNode}
		for i := range c.Log {
			list.Content = append(list.Content, c.Log[i].node())
		}
		add(back, "log", list)
	}
	if before, err = written(front); err != nil {
		return "", "", err
	}
	behind, err = written(back)
	return before, behind, err
}

func written(m *yaml.Node) (string, error) {
	if len(m.Content) == 0 {
		return "", nil
	}
	var b bytes.Buffer
	enc := yaml.NewEncoder(&b)
	enc.SetIndent(2)
	if err := enc.Encode(m); err != nil {
		return "", err
	}
	return b.String(), enc.Close()
}
