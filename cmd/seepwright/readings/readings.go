// Package readings reads rows of readings as people have them: numbers in a line, each with or without a unit and a
// place, or a table with heads as a spreadsheet writes it.
// It knows no calculation; what a column means is decided by its head alone.
package readings

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// MaxFile is the largest file that is read.
const MaxFile = 4 << 20

// maxReadings is the largest row.
const maxReadings = 100_000

// Reading is one reading as text, ready to be read like any answer.
type Reading struct {
	At    string // where it was taken, "" when not said
	Value string // number with its unit
	Place source.Place
}

// Rows are the readings by the name of their column; a plain list of numbers has the name "".
type Rows map[string][]Reading

// Parse reads a file of readings. assume is the unit of numbers that carry none ("" = such a number is a mistake,
// except that in a plain list it takes the unit of the reading before it).
func Parse(file string, data []byte, assume string) (Rows, source.Findings) {
	at := source.Place{File: file, Line: 1, Col: 1}
	switch {
	case len(data) > MaxFile:
		return nil, source.Findings{{Place: at, Code: "too-large", What: fmt.Sprintf("the readings have more than %d MB", MaxFile>>20), Hint: "is this the right file?"}}
	case !utf8.Valid(data) || bytes.IndexByte(data, 0) >= 0:
		return nil, source.Findings{{Place: at, Code: "not-text", What: "this is no text", Hint: "save the readings as plain text or comma-separated values"}}
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	if hasHeads(text) {
		return table(file, text, assume)
	}
	return list(file, text, assume)
}

// hasHeads reports whether the first line that is no remark has the heads of a table: words, divided by commas,
// semicolons or tabs, and no number at the front.
func hasHeads(text string) bool {
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		cells := strings.FieldsFunc(line, func(r rune) bool { return r == ',' || r == ';' || r == '\t' })
		for _, c := range cells {
			c = strings.Trim(c, ` "`)
			if c == "" || !unicode.IsLetter([]rune(c)[0]) || strings.ContainsAny(c, "@=") {
				return false
			}
		}
		return len(cells) > 0
	}
	return false
}

// list reads numbers divided by blanks, line ends or semicolons: "34.02 34.05", "34.02mm@12:00; 34.05mm@1:30".
// A # begins a remark. A comma inside a number is a decimal comma; a comma with a blank after it divides.
func list(file, text, assume string) (Rows, source.Findings) {
	var out []Reading
	var bad source.Findings
	last := assume
	n := 0
	for line := range strings.Lines(text) {
		n++
		line, _, _ = strings.Cut(line, "#")
		for _, w := range words(line) {
			at := source.Place{File: file, Line: n, Col: utf8.RuneCountInString(line[:w.from]) + 1}
			r, u, err := One(w.text, last)
			if err != nil {
				bad = append(bad, source.Finding{Place: at, Code: "bad-reading", What: err.Error(), Hint: "readings look like 34.02 mm, 34.05 mm@3:00, or 34.02 34.05 with --unit mm", Length: len(w.text)})
				if len(bad) >= 20 {
					return nil, bad
				}
				continue
			}
			r.Place, last = at, u
			if out = append(out, r); len(out) > maxReadings {
				return nil, append(bad, source.Finding{Place: at, Code: "too-large", What: fmt.Sprintf("there are more than %d readings", maxReadings), Hint: "is this the right file?"})
			}
		}
	}
	if len(out) == 0 && len(bad) == 0 {
		bad = append(bad, source.Finding{Place: source.Place{File: file, Line: 1, Col: 1}, Code: "no-readings", What: "there are no readings", Hint: "give numbers such as 34.02 mm 34.05 mm"})
	}
	return Rows{"": out}, bad
}

type word struct {
	text string
	from int
}

// words divides a line; a unit that stands by itself belongs to the number before it.
func words(line string) []word {
	var out []word
	from := -1
	end := func(to int) {
		if from < 0 {
			return
		}
		w := word{strings.TrimRight(line[from:to], ",;"), from}
		from = -1
		if w.text == "" {
			return
		}
		if c := w.text[0]; len(out) > 0 && !digit(c) && c != '-' && c != '+' && c != '.' {
			out[len(out)-1].text += " " + w.text
			return
		}
		out = append(out, w)
	}
	for i, r := range line {
		if unicode.IsSpace(r) || r == ';' {
			end(i)
			continue
		}
		if from < 0 {
			from = i
		}
	}
	end(len(line))
	return out
}

func digit(c byte) bool { return c >= '0' && c <= '9' }

// One reads a single reading, "34.02 mm@3:00" or "34.02@3:00". assume is the unit of a bare number. It gives the unit
// back, so that the next may go without.
func One(text, assume string) (Reading, string, error) {
	value, at, _ := strings.Cut(text, "@")
	value, at = strings.TrimSpace(value), strings.TrimSpace(at)
	x, rest, err := unit.Number(value)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return Reading{}, assume, fmt.Errorf("%q is not a reading", text)
	}
	rest = strings.TrimSpace(rest)
	name := rest
	if i := strings.IndexAny(rest, "+±("); i >= 0 { // an uncertainty or an instrument follows
		name = strings.TrimSpace(rest[:i])
	}
	if name == "" {
		if assume == "" {
			return Reading{}, assume, fmt.Errorf("%q has no unit", text)
		}
		number := strings.TrimSpace(strings.TrimSuffix(value, rest))
		return Reading{At: at, Value: strings.TrimSpace(number + " " + assume + " " + rest)}, assume, nil
	}
	if _, ok := unit.ByName(name); !ok {
		return Reading{}, assume, fmt.Errorf("%q has no known unit", text)
	}
	return Reading{At: at, Value: value}, name, nil
}

// column is what a head means: a place, its part, or a row of readings in a unit.
type column struct {
	role string // at, x, y, line, position, value, u, skip
	name string // of a row of readings
	unit string
}

// table reads a table with heads. place, at, clock or angle_deg say where; x_mm and y_mm a place on a face; line and
// position_mm a place along a line; every other column is a row of readings called like its head without the unit
// (radius_mm, gap_in), and u_mm is the uncertainty of the readings in its row.
func table(file, text, assume string) (Rows, source.Findings) {
	var bad source.Findings
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace = divider(text), '#', -1, true
	out := Rows{}
	var heads []column
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			line := 1
			var p *csv.ParseError
			if errors.As(err, &p) {
				line, err = p.Line, p.Err
			}
			return nil, append(bad, source.Finding{Place: source.Place{File: file, Line: line, Col: 1}, Code: "table-shape", What: "the line cannot be read as a table: " + err.Error(), Hint: "one reading per line, cells divided as in the first line"})
		}
		line, _ := r.FieldPos(0)
		if heads == nil {
			if heads, bad = columns(file, line, record, assume); bad.Errors() > 0 {
				return nil, bad
			}
			continue
		}
		if len(record) != len(heads) {
			bad = append(bad, source.Finding{Place: source.Place{File: file, Line: line, Col: 1}, Code: "table-shape", What: fmt.Sprintf("the line has %d cells, the first %d", len(record), len(heads)), Hint: "an empty cell still wants its divider"})
			continue
		}
		bad = append(bad, row(file, r, record, heads, r.Comma != ',', out)...)
		if len(bad) >= 20 {
			return nil, bad
		}
	}
	total := 0
	for _, l := range out {
		total += len(l)
	}
	switch {
	case total > maxReadings:
		bad = append(bad, source.Finding{Place: source.Place{File: file, Line: 1, Col: 1}, Code: "too-large", What: fmt.Sprintf("there are more than %d readings", maxReadings), Hint: "is this the right file?"})
	case total == 0 && len(bad) == 0:
		bad = append(bad, source.Finding{Place: source.Place{File: file, Line: 1, Col: 1}, Code: "no-readings", What: "the table has heads but no readings", Hint: "one reading per line"})
	}
	return out, bad
}

// divider is the character that divides the heads most often.
func divider(text string) rune {
	best, count := ',', 0
	for line := range strings.Lines(text) {
		if t := strings.TrimSpace(line); t == "" || t[0] == '#' {
			continue
		}
		for _, c := range []rune{';', '\t', ','} {
			if n := strings.Count(line, string(c)); n > count {
				best, count = c, n
			}
		}
		break
	}
	return best
}

func columns(file string, line int, heads []string, assume string) ([]column, source.Findings) {
	var out []column
	var bad source.Findings
	values, seen := 0, map[string]bool{}
	for i, h := range heads {
		c := meaning(strings.TrimSpace(h), assume)
		at := source.Place{File: file, Line: line, Col: i + 1}
		key := c.role + " " + c.name
		if seen[key] && c.role != "skip" {
			bad = append(bad, source.Finding{Place: at, Code: "table-head", What: fmt.Sprintf("two columns mean the same: %q", h), Hint: "give every column its own head"})
		}
		seen[key] = true
		if c.role == "value" {
			values++
			if c.unit == "" {
				bad = append(bad, source.Finding{Place: at, Code: "table-head", What: fmt.Sprintf("the column %q says no unit", h), Hint: "write the unit into the head, such as " + c.name + "_mm, or give --unit mm"})
			}
		}
		out = append(out, c)
	}
	if values == 0 && len(bad) == 0 {
		bad = append(bad, source.Finding{Place: source.Place{File: file, Line: line, Col: 1}, Code: "table-head", What: "no column holds readings", Hint: "a column such as radius_mm or gap_mm does; angle_deg, at, x_mm, y_mm, line and position_mm say where"})
	}
	return out, bad
}

// meaning reads a head.
func meaning(head, assume string) column {
	name, u := strings.ToLower(head), ""
	if i := strings.LastIndexAny(head, "_ ("); i > 0 {
		if known, ok := unit.ByName(strings.Trim(head[i+1:], " )")); ok {
			name, u = strings.ToLower(strings.TrimRight(head[:i], "_ (")), known.Symbol
		}
	}
	name = strings.ReplaceAll(strings.TrimSpace(name), "_", "-")
	length := u
	if length == "" {
		length = assume
	}
	switch name {
	case "at", "place", "clock":
		return column{role: "at"}
	case "angle":
		if u == "" {
			u = "deg"
		}
		return column{role: "angle", unit: u}
	case "x", "y", "position":
		return column{role: name, unit: length}
	case "line":
		return column{role: "line"}
	case "u", "uncertainty":
		return column{role: "u", unit: length}
	case "note", "remark", "bolt", "n", "no", "nr", "number":
		return column{role: "skip"}
	}
	return column{role: "value", name: name, unit: length}
}

// row turns one line of the table into readings.
func row(file string, r *csv.Reader, record []string, heads []column, decimalComma bool, out Rows) source.Findings {
	var bad source.Findings
	where := map[string]string{}
	doubt := ""
	for i, h := range heads {
		text := strings.TrimSpace(record[i])
		if h.role == "value" || h.role == "skip" || text == "" {
			continue
		}
		if h.role == "at" || h.role == "line" {
			where[h.role] = text
			continue
		}
		n, ok := number(text, decimalComma)
		if !ok {
			bad = append(bad, cell(file, r, i, text))
			continue
		}
		if h.role == "u" {
			doubt = " +- " + n + " " + h.unit
			continue
		}
		where[h.role] = n + " " + h.unit
	}
	place := placeOf(where)
	for i, h := range heads {
		text := strings.TrimSpace(record[i])
		if h.role != "value" || text == "" {
			continue
		}
		n, ok := number(text, decimalComma)
		if !ok {
			bad = append(bad, cell(file, r, i, text))
			continue
		}
		line, col := r.FieldPos(i)
		out[h.name] = append(out[h.name], Reading{At: place, Value: n + " " + h.unit + doubt, Place: source.Place{File: file, Line: line, Col: col}})
	}
	return bad
}

func cell(file string, r *csv.Reader, i int, text string) source.Finding {
	line, col := r.FieldPos(i)
	return source.Finding{Place: source.Place{File: file, Line: line, Col: col}, Code: "bad-reading", What: fmt.Sprintf("%q is not a number", text), Hint: "leave the cell empty where there is no reading; the unit stands in the head"}
}

// number checks a cell and gives it back with a decimal point.
func number(text string, decimalComma bool) (string, bool) {
	if decimalComma {
		text = strings.Replace(text, ",", ".", 1)
	}
	x, err := strconv.ParseFloat(text, 64)
	return text, err == nil && !math.IsNaN(x) && !math.IsInf(x, 0)
}

// placeOf puts the parts of a place together as calculations read it.
func placeOf(w map[string]string) string {
	switch {
	case w["at"] != "":
		return w["at"]
	case w["angle"] != "":
		return w["angle"]
	case w["x"] != "" && w["y"] != "":
		return w["x"] + "; " + w["y"]
	case w["line"] != "" && w["position"] != "":
		return w["line"] + ": " + w["position"]
	case w["line"] != "":
		return w["line"]
	}
	return w["position"]
}
