package report

import (
	"io"
	"strings"

	"seepwright/rules/lint"
)

// Explained is the page of a finding for a program.
type Explained struct {
	Code   string `json:"code"`
	Weight string `json:"weight"` // error or warning
	Means  string `json:"means"`
	Mend   string `json:"mend"`
	Wrong  string `json:"wrong,omitempty"`
	Right  string `json:"right,omitempty"`
}

// ExplainedOf takes the page of a finding.
func ExplainedOf(p lint.Page) Explained {
	e := Explained{Code: p.Name, Weight: "error", Means: p.Text, Mend: p.Mend, Wrong: p.Wrong, Right: p.Right}
	if p.Warning {
		e.Weight = "warning"
	}
	return e
}

// Explain writes the page of a finding. Examples keep their lines, so that they can be copied.
func Explain(w io.Writer, p lint.Page, width int) error {
	weight := "an error: the folder cannot be used until it is mended"
	if p.Warning {
		weight = "a warning: doubtful, but the folder can be used"
	}
	parts := []struct {
		blocks  []Block
		example string
	}{
		{[]Block{{Kind: Verdict, Text: p.Name + ": " + weight}, {Kind: Para, Text: p.Text}, {Kind: Heading, Text: "How to mend it"}, {Kind: Para, Text: p.Mend}}, ""},
		{[]Block{{Kind: Heading, Text: "Wrong"}}, p.Wrong},
		{[]Block{{Kind: Heading, Text: "Right"}}, p.Right},
	}
	for i, x := range parts {
		if i > 0 && x.example == "" {
			continue
		}
		if err := Text(w, x.blocks, width); err != nil {
			return err
		}
		if _, err := io.WriteString(w, indented(x.example)); err != nil {
			return err
		}
	}
	return nil
}

func indented(text string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		b.WriteString("    " + line)
	}
	return b.String()
}

// FirstSentence is a text up to its first full stop.
func FirstSentence(text string) string {
	if head, _, more := strings.Cut(text, ". "); more {
		return head + "."
	}
	return text
}
