package picture

import (
	"strings"
	"unicode/utf8"
)

// Table is what a picture shows, for text.
type Table struct {
	Head  []string
	Rows  [][]string
	Notes []string // sentences below
}

// Text writes the table in columns with two spaces between, no line longer than width (at least 40): the column that is
// widest above its fair share wraps.
func (t Table) Text(width int) string {
	width = max(width, 40)
	var lines [][]string
	if len(t.Head) > 0 {
		lines = append(lines, t.Head)
	}
	lines = append(lines, t.Rows...)
	cols := 0
	for _, l := range lines {
		cols = max(cols, len(l))
	}
	cells := make([][]string, len(lines))
	wide := make([]int, cols)
	for i, l := range lines {
		cells[i] = make([]string, cols)
		for c, s := range l {
			cells[i][c] = clean(s, 400)
			wide[c] = max(wide[c], utf8.RuneCountInString(cells[i][c]))
		}
	}
	for {
		sum, at := 2*(cols-1), 0
		for c, w := range wide {
			sum += w
			if w > wide[at] {
				at = c
			}
		}
		if sum <= width || wide[at] <= 6 {
			break
		}
		wide[at]--
	}
	var b strings.Builder
	for i, row := range cells {
		writeRow(&b, row, wide)
		if i == 0 && len(t.Head) > 0 {
			rule := make([]string, cols)
			for c, w := range wide {
				rule[c] = strings.Repeat("-", w)
			}
			writeRow(&b, rule, wide)
		}
	}
	for _, n := range t.Notes {
		for _, l := range broken(clean(n, 1000), width) {
			b.WriteString(l + "\n")
		}
	}
	return b.String()
}

func writeRow(b *strings.Builder, row []string, wide []int) {
	parts := make([][]string, len(row))
	high := 1
	for c, s := range row {
		parts[c] = broken(s, wide[c])
		high = max(high, len(parts[c]))
	}
	for l := range high {
		var line strings.Builder
		for c := range row {
			s := ""
			if l < len(parts[c]) {
				s = parts[c][l]
			}
			line.WriteString(s + strings.Repeat(" ", max(0, wide[c]-utf8.RuneCountInString(s))))
			if c < len(row)-1 {
				line.WriteString("  ")
			}
		}
		b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
}

// broken wraps to a number of characters, words that are too long as well.
func broken(s string, width int) []string {
	width = max(width, 1)
	var out []string
	now := []rune{}
	for _, w := range pieces(s) {
		r := []rune(w)
		if len(now) > 0 && len(now)+1+len(r) <= width {
			now = append(append(now, ' '), r...)
			continue
		}
		if len(now) > 0 {
			out, now = append(out, string(now)), nil
		}
		for len(r) > width {
			out, r = append(out, string(r[:width])), r[width:]
		}
		now = append([]rune{}, r...)
	}
	if len(now) > 0 || len(out) == 0 {
		out = append(out, string(now))
	}
	return out
}
