package answer

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"

	"seepwright/rules"
)

// WriteTo writes the file with its keys sorted; ReadFile reads the same from it. An inline
// assembly keeps its text.
func (f *File) WriteTo(w io.Writer) (int64, error) {
	root := newMapping()
	root.put("schema", &piece{form: scalar, text: strconv.Itoa(Schema), plain: true})
	if f.Joint.Text != "" {
		root.put("joint", text(f.Joint.Text))
	}
	if f.History.Text != "" {
		root.put("history", text(f.History.Text))
	}
	if len(f.Answers) > 0 {
		root.put("answers", answersPiece(f.Answers))
	}
	if len(f.Joints) > 0 {
		joints := newMapping()
		for _, id := range slices.Sorted(maps.Keys(f.Joints)) {
			joints.put(id, answersPiece(f.Joints[id]))
		}
		root.put("joints", joints)
	}
	if len(f.Tried) > 0 {
		root.put("tried", triedPiece(f.Tried))
	}
	if f.Assembly.File != "" {
		root.put("assembly", text(f.Assembly.File))
	}
	out, err := root.encode()
	if err != nil {
		return 0, fmt.Errorf("writing answers: %w", err)
	}
	if len(f.Assembly.Inline) > 0 {
		out = append(append(out, "assembly:\n"...), indented(f.Assembly.Inline)...)
	}
	n, err := w.Write(out)
	return int64(n), err
}

// indented drops the blank lines before an inline assembly and moves it, as a whole, to where it
// stands under its key.
func indented(inline []byte) []byte {
	lines := strings.Split(strings.Trim(string(inline), "\n"), "\n")
	least := -1
	for _, line := range lines {
		body := strings.TrimLeft(line, " ")
		if in := len(line) - len(body); body != "" && body[0] != '#' && (least < 0 || in < least) {
			least = in
		}
	}
	var b strings.Builder
	for _, line := range lines {
		in := len(line) - len(strings.TrimLeft(line, " "))
		b.WriteString(strings.TrimRight("  "+line[min(in, max(least, 0)):], " \t\r") + "\n")
	}
	return []byte(b.String())
}

func answersPiece(answers map[string]rules.AnswerText) *piece {
	m := newMapping()
	for _, id := range slices.Sorted(maps.Keys(answers)) {
		m.put(id, answerPiece(answers[id]))
	}
	return m
}

func answerPiece(a rules.AnswerText) *piece {
	switch {
	case a.Is != nil || a.Not != nil:
		m := newMapping()
		m.put("is", texts(a.Is))
		m.put("not", texts(a.Not))
		return m
	case a.List == nil && a.Unit == "":
		return text(a.Scalar)
	case a.List == nil:
		m := newMapping()
		m.put("value", text(a.Scalar))
		m.put("unit", text(a.Unit))
		return m
	}
	rows := texts(a.List)
	for i, at := range a.At {
		if at != "" && i < len(rows.items) {
			m := newMapping()
			m.put("at", text(at))
			m.put("value", rows.items[i])
			rows.items[i] = m
		}
	}
	if a.Unit == "" {
		return rows
	}
	m := newMapping()
	m.put("unit", text(a.Unit))
	m.put("readings", rows)
	return m
}
