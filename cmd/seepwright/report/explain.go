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

// Explain writes the page of a finding. The example keeps its lines; both forms whole are in the JSON.
func Explain(w io.Writer, p lint.Page, width int) error {
	weight := "an error: the folder cannot be used until it is mended"
	if p.Warning {
		weight = "a warning: doubtful, but the folder can be used"
	}
	blocks := []Block{{Kind: Verdict, Text: p.Name + ": " + weight}, {Kind: Para, Text: p.Text}, {Kind: Heading, Text: "How to mend it"}, {Kind: Para, Text: p.Mend}}
	if p.Lines != "" {
		blocks = append(blocks, Block{Kind: Heading, Text: "An example: lines with - are wrong, lines with + mend it"})
	}
	if err := Text(w, blocks, width); err != nil {
		return err
	}
	_, err := io.WriteString(w, indented(p.Lines))
	return err
}

func indented(text string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		b.WriteString("  " + line)
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
