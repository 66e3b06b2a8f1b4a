package archive

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"gopkg.in/yaml.v3"

	"seepwright/cmd/seepwright/journal"
)

// maxDepth is how deep a record may be nested.
const maxDepth = 60

// JSON is a case as JSON, indented, with the very keys that its file has, in their order.
func JSON(c *journal.Case) ([]byte, error) {
	var text bytes.Buffer
	if _, err := c.WriteTo(&text); err != nil {
		return nil, err
	}
	var doc yaml.Node
	if err := yaml.Unmarshal(text.Bytes(), &doc); err != nil {
		return nil, fmt.Errorf("the case cannot be written as JSON: %w", err)
	}
	var b, out bytes.Buffer
	if len(doc.Content) == 0 {
		return []byte("{}\n"), nil
	}
	if err := asJSON(&b, doc.Content[0], 0); err != nil {
		return nil, err
	}
	if err := json.Indent(&out, b.Bytes(), "", "  "); err != nil {
		return nil, fmt.Errorf("the case cannot be written as JSON: %w", err)
	}
	out.WriteByte('\n')
	return out.Bytes(), nil
}

func asJSON(b *bytes.Buffer, n *yaml.Node, depth int) error {
	if depth > maxDepth {
		return errors.New("the case is nested too deep for JSON")
	}
	switch n.Kind {
	case yaml.MappingNode:
		b.WriteByte('{')
		for i := 0; i+1 < len(n.Content); i += 2 {
			if i > 0 {
				b.WriteByte(',')
			}
			quoted(b, n.Content[i].Value)
			b.WriteByte(':')
			if err := asJSON(b, n.Content[i+1], depth+1); err != nil {
				return err
			}
		}
		b.WriteByte('}')
	case yaml.SequenceNode:
		b.WriteByte('[')
		for i, x := range n.Content {
			if i > 0 {
				b.WriteByte(',')
			}
			if err := asJSON(b, x, depth+1); err != nil {
				return err
			}
		}
		b.WriteByte(']')
	case yaml.ScalarNode:
		if (n.Tag == "!!int" || n.Tag == "!!float") && json.Valid([]byte(n.Value)) {
			b.WriteString(n.Value)
			return nil
		}
		quoted(b, n.Value)
	default:
		return fmt.Errorf("line %d of the case has something that JSON has not: write it out", n.Line)
	}
	return nil
}

func quoted(b *bytes.Buffer, s string) {
	e := json.NewEncoder(b)
	e.SetEscapeHTML(false)
	_ = e.Encode(s) // a text can always be written
	b.Truncate(b.Len() - 1)
}

// FromJSON reads a case that JSON wrote.
func FromJSON(r io.Reader, name string) (*journal.Case, error) {
	data, err := io.ReadAll(io.LimitReader(r, journal.MaxFile+1))
	if err != nil {
		return nil, fmt.Errorf("%s: the file cannot be read: %w", name, err)
	}
	if len(data) > journal.MaxFile {
		return nil, fmt.Errorf("%s: the file is larger than %d MB: is it the right one?", name, journal.MaxFile>>20)
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	n, err := fromJSON(d, 0)
	if err == nil {
		if _, more := d.Token(); !errors.Is(more, io.EOF) {
			err = errors.New("something stands behind the end of the case")
		}
	}
	if err == nil && n.Kind != yaml.MappingNode {
		err = errors.New("a case is one object in braces")
	}
	if err != nil {
		line := 1 + bytes.Count(data[:min(int(d.InputOffset()), len(data))], []byte("\n"))
		return nil, fmt.Errorf("%s:%d: this is no case in JSON: %w", name, line, err)
	}
	var b bytes.Buffer
	enc := yaml.NewEncoder(&b)
	enc.SetIndent(2)
	if err := enc.Encode(n); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	c, bad := journal.Read(strings.NewReader(b.String()), name)
	if bad.Errors() > 0 {
		for i := range bad {
			bad[i].Place.Line, bad[i].Place.Col = 0, 0 // places of the text between, which nobody sees
		}
		return nil, bad
	}
	return c, nil
}

func fromJSON(d *json.Decoder, depth int) (*yaml.Node, error) {
	if depth > maxDepth {
		return nil, errors.New("it is nested too deep")
	}
	t, err := d.Token()
	if err != nil {
		return nil, err
	}
	switch t := t.(type) {
	case json.Delim:
		n := &yaml.Node{Kind: yaml.SequenceNode}
		if t == '{' {
			n.Kind = yaml.MappingNode
		}
		for d.More() {
			x, err := fromJSON(d, depth+1)
			if err != nil {
				return nil, err
			}
			n.Content = append(n.Content, x)
		}
		if depth > 0 && len(n.Content) == 0 {
			n.Style = yaml.FlowStyle
		}
		_, err := d.Token()
		return n, err
	case json.Number:
		return &yaml.Node{Kind: yaml.ScalarNode, Value: t.String()}, nil
	case string:
		n := &yaml.Node{}
		n.SetString(t)
		return n, nil
	}
	return nil, fmt.Errorf("%v stands for nothing in a case", t)
}
