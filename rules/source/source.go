// Package source holds places in files and the findings about them: one type, made in one
// way and drawn in one spot.
// It does not know what can be wrong with a knowledge base; that is the business of the readers and of lint.
package source

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Place is a position in a file. Line and Col count from 1, columns in letters, not bytes.
type Place struct {
	File string `json:"file"`
	Line int    `json:"line,omitempty"`
	Col  int    `json:"col,omitempty"`
}

func (p Place) String() string {
	if p.File == "" {
		return "-"
	}
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Col)
}

// Finding is one thing that is wrong (or doubtful) in a file.
type Finding struct {
	Place
	Code    string `json:"code"` // kebab-case, such as unknown-name
	Warning bool   `json:"warning,omitempty"`
	What    string `json:"what"`           // what is wrong
	Hint    string `json:"hint,omitempty"` // what to do about it
	Length  int    `json:"length,omitempty"`
}

// String is the one-line form: file:line:column: what: hint.
func (f Finding) String() string {
	s := f.Place.String() + ": " + f.What
	if f.Hint != "" {
		s += ": " + f.Hint
	}
	return s + " [" + f.Code + "]"
}

// Findings is a list of findings that is also an error.
type Findings []Finding

func (fs Findings) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = f.String()
	}
	return strings.Join(lines, "\n")
}

// Sort orders by file, line, column and code, and drops repeats.
func (fs Findings) Sort() Findings {
	slices.SortStableFunc(fs, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col), cmp.Compare(a.Code, b.Code), cmp.Compare(a.What, b.What))
	})
	return slices.Compact(fs)
}

// Errors counts the findings that are not mere warnings.
func (fs Findings) Errors() int {
	n := 0
	for _, f := range fs {
		if !f.Warning {
			n++
		}
	}
	return n
}
