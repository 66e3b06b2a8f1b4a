package answer

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"seepwright/rules"
	"seepwright/rules/source"
)

// form is the shape of a piece of YAML.
type form int8

const (
	nothing form = iota
	scalar
	list
	mapping
)

func (f form) String() string {
	return [...]string{"nothing", "a text", "a list", "names with values"}[f]
}

// piece is YAML with its place. It is ours, so that this file alone knows the library.
type piece struct {
	form  form
	text  string
	plain bool // written without quotes whatever it looks like
	at    source.Place
	keys  []*piece
	items []*piece
}

// FromNode reads one answer out of a YAML tree that somebody else has parsed.
func FromNode(n *yaml.Node, file string) (rules.AnswerText, source.Findings) {
	p := &reader{file: file}
	v := p.walk(n, 0)
	if len(p.findings) > 0 {
		return rules.AnswerText{Place: v.at}, p.findings.Sort()
	}
	a, _ := p.answer(v)
	return a, p.findings.Sort()
}

// ToNode writes one answer into a YAML tree that somebody else encodes; FromNode reads the same.
func ToNode(a rules.AnswerText) *yaml.Node { return answerPiece(a).node(true) }

// parse turns the file into pieces; nil when it is no YAML, or too deep.
func (p *reader) parse(data []byte) (root *piece) {
	doc, more, err := decode(data)
	if err != nil {
		p.syntax(data, err)
		return nil
	}
	if doc == nil || len(doc.Content) == 0 {
		p.fail(source.Place{File: p.file, Line: 1, Col: 1}, "empty-file", `begin with "answers:" and put the answers under it`, "the file is empty")
		return nil
	}
	if more != nil {
		p.fail(p.place(more), "second-document", "take the line --- out", "an answers file is one document, but a second one starts here")
	}
	return p.walk(doc.Content[0], 0)
}

// decode reads the first document and, when there is one, the second. A fault in the library
// becomes an error.
func decode(data []byte) (doc, more *yaml.Node, err error) {
	defer func() {
		if r := recover(); r != nil {
			doc, more, err = nil, nil, fmt.Errorf("%v", r)
		}
	}()
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var first, second yaml.Node
	if err := dec.Decode(&first); errors.Is(err, io.EOF) {
		return nil, nil, nil
	} else if err != nil {
		return nil, nil, err
	}
	switch err := dec.Decode(&second); {
	case errors.Is(err, io.EOF):
		return &first, nil, nil
	case err != nil:
		return nil, nil, err
	}
	return &first, &second, nil
}

func (p *reader) place(n *yaml.Node) source.Place {
	return source.Place{File: p.file, Line: max(n.Line, 1), Col: max(n.Column, 1)}
}

// walk copies the library's tree and refuses what has no place in an answers file.
func (p *reader) walk(n *yaml.Node, depth int) *piece {
	out := &piece{at: p.place(n)}
	if depth > MaxDepth {
		p.fail(out.at, "too-deep", "check the indentation", "lists and names are nested more than %d deep", MaxDepth)
		return out
	}
	if n.Kind == yaml.AliasNode || n.Anchor != "" {
		p.fail(out.at, "anchor", "write the value out, or put a text that starts with & or * in quotes", "anchors and aliases are not read here")
	}
	if n.Style&yaml.TaggedStyle != 0 {
		p.fail(out.at, "tag", "put the text in quotes", "a ! at the start makes YAML swallow the word %q", n.Tag)
	}
	switch n.Kind {
	case yaml.MappingNode:
		out.form = mapping
		p.pairs(n, out, depth)
	case yaml.SequenceNode:
		out.form = list
		for _, c := range n.Content {
			out.items = append(out.items, p.walk(c, depth+1))
		}
	case yaml.ScalarNode, yaml.AliasNode:
		out.form, out.text = scalar, n.Value
		if n.Tag == "!!null" {
			out.form = nothing
		}
	}
	return out
}

func (p *reader) pairs(n *yaml.Node, out *piece, depth int) {
	first := map[string]int{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k := p.walk(n.Content[i], depth+1)
		v := p.walk(n.Content[i+1], depth+1)
		if k.form != scalar {
			p.fail(k.at, "bad-name", "write a plain name before the colon", "this is no name")
			continue
		}
		if line, seen := first[k.text]; seen {
			p.fail(k.at, "repeated-key", "leave one of them out", "%q stands here a second time (first on line %d)", k.text, line)
			continue
		}
		first[k.text] = k.at.Line
		out.keys, out.items = append(out.keys, k), append(out.items, v)
	}
}

// syntax reports what the library says, on the right line and in bench words.
func (p *reader) syntax(data []byte, err error) {
	n := faultLine(strings.SplitAfter(string(data), "\n"), err)
	line := ""
	if n <= len(p.lines) {
		line = p.lines[n-1]
	}
	what, hint := benchWords(err.Error(), line)
	col := len([]rune(line)) - len([]rune(strings.TrimLeft(line, " \t"))) + 1
	p.fail(source.Place{File: p.file, Line: n, Col: col}, "yaml-syntax", hint, "%s", what)
}

// benchWords turns the phrases of the library into what to do about them.
func benchWords(message, line string) (what, hint string) {
	indent := line[:len(line)-len(strings.TrimLeft(line, " \t"))]
	has := func(s string) bool { return strings.Contains(message, s) }
	switch {
	case strings.Contains(indent, "\t"):
		return "a tab in the indentation", "use spaces only"
	case has("mapping values are not allowed"):
		return "a colon and a space inside text, or a line that stands too deep", "put the text in quotes; else put the name under the names above it"
	case has("did not find expected ',' or"):
		return "brackets or braces that are not closed", "close them on the same line; put texts with commas or colons in quotes"
	case has("found unexpected end of stream"), has("found unexpected document indicator"):
		return "a quote or bracket is opened and never closed", "close it on the same line"
	case has("did not find expected '-' indicator"):
		return "a line inside a list that is no item of it", "start it with a dash under the dashes above"
	case has("did not find expected key"), has("could not find expected ':'"):
		return "a name with a colon was expected here", "check the indentation and the quotes of this line and the one above"
	case has("cannot start any token"), has("did not find expected node content"), has("did not find expected alphabetic"):
		return "a text must not start with this character", "put the text in quotes"
	case has("unknown escape character"):
		return "a backslash in double quotes means something else to YAML", `use single quotes, or write \\`
	case has("block sequence entries are not allowed"):
		return "a list starts on the line of its name", "start the list on the next line, with a dash for each item"
	}
	return "this is not YAML", "check the indentation, the colons and the quotes near this line"
}

var libraryLine = regexp.MustCompile(`line (\d+)`)

// faultLine is the line after the longest leading part that still parses: the library often
// gives no line or a wrong one. The work is bounded; a long file gets the library's line.
func faultLine(lines []string, err error) int {
	budget := 2 << 20
	for n := len(lines) - 1; n > 0; n-- {
		text := strings.Join(lines[:n], "")
		if budget -= len(text) + 64; budget < 0 {
			if m := libraryLine.FindStringSubmatch(err.Error()); m != nil {
				at, _ := strconv.Atoi(m[1])
				return min(max(at, 1), len(lines))
			}
			return 1
		}
		if _, _, err := decode([]byte(text)); err == nil {
			return min(n+1, len(lines))
		}
	}
	return 1
}

func newMapping() *piece { return &piece{form: mapping} }

func (m *piece) put(key string, v *piece) {
	m.keys, m.items = append(m.keys, text(key)), append(m.items, v)
}

func text(s string) *piece { return &piece{form: scalar, text: s} }

func texts(items []string) *piece {
	p := &piece{form: list}
	for _, s := range items {
		p.items = append(p.items, text(s))
	}
	return p
}

// encode writes a piece as YAML; lists and what stands in them go on one line.
func (m *piece) encode() ([]byte, error) {
	var b bytes.Buffer
	enc := yaml.NewEncoder(&b)
	enc.SetIndent(2)
	if err := enc.Encode(m.node(false)); err != nil {
		return nil, err
	}
	return b.Bytes(), enc.Close()
}

func (m *piece) node(inList bool) *yaml.Node {
	switch m.form {
	case list:
		n := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
		for _, x := range m.items {
			n.Content = append(n.Content, x.node(true))
		}
		return n
	case mapping:
		n := &yaml.Node{Kind: yaml.MappingNode}
		if inList {
			n.Style = yaml.FlowStyle
		}
		for i, k := range m.keys {
			n.Content = append(n.Content, k.node(true), m.items[i].node(inList))
		}
		return n
	}
	if m.plain {
		return &yaml.Node{Kind: yaml.ScalarNode, Value: m.text}
	}
	n := &yaml.Node{}
	n.SetString(m.text)
	return n
}
