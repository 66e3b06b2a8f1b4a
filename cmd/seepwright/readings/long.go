package readings

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"seepwright/rules/source"
)

// Named is one reading of a table that says in each line what was measured.
type Named struct {
	Fact       string
	Joint      string
	At         string
	Value      string // number, unit and uncertainty, as an answer is typed
	Instrument string
	Place      source.Place            // of the value
	Cells      map[string]source.Place // of each column, by its head
}

// namedHeads are the heads of such a table; passedHeads are heads that it may have and that say
// nothing here.
var (
	namedHeads  = []string{"fact", "joint", "at", "value", "unit", "plus_minus", "instrument"}
	passedHeads = []string{"case", "machine", "when", "by", "note", "remark"}
)

// ParseNamed reads a table with the heads fact and value, and as they are needed joint, at,
// unit, plus_minus and instrument, in any order; case, machine, when, by, note and remark may
// stand there and are passed over. All that is wrong is told, with line and column.
func ParseNamed(file string, data []byte) ([]Named, source.Findings) {
	first := source.Place{File: file, Line: 1, Col: 1}
	switch {
	case len(data) > MaxFile:
		return nil, source.Findings{{Place: first, Code: "too-large", What: fmt.Sprintf("the readings have more than %d MB", MaxFile>>20), Hint: "is this the right file?"}}
	case !utf8.Valid(data) || bytes.IndexByte(data, 0) >= 0:
		return nil, source.Findings{{Place: first, Code: "not-text", What: "this is no text", Hint: "save the readings as comma-separated values in UTF-8"}}
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace = divider(text), '#', -1, true
	var out []Named
	var bad source.Findings
	var heads []string
	for len(bad) < 20 {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			at := source.Place{File: file, Line: 1, Col: 1}
			var p *csv.ParseError
			if errors.As(err, &p) {
				at.Line, at.Col, err = p.Line, max(p.Column, 1), p.Err
			}
			return nil, append(bad, source.Finding{Place: at, Code: "table-shape", What: "the line cannot be read as a table: " + err.Error(), Hint: "one reading per line, cells divided as in the first line"})
		}
		if heads == nil {
			if heads, bad = headsOf(file, r, record); bad.Errors() > 0 {
				return nil, bad
			}
			continue
		}
		line, _ := r.FieldPos(0)
		if len(record) != len(heads) {
			bad = append(bad, source.Finding{Place: source.Place{File: file, Line: line, Col: 1}, Code: "table-shape", What: fmt.Sprintf("the line has %d cells, the first %d", len(record), len(heads)), Hint: "an empty cell still wants its divider"})
			continue
		}
		n, wrong := named(file, r, heads, record)
		if bad = append(bad, wrong...); len(wrong) == 0 {
			out = append(out, n)
		}
		if len(out) > maxReadings {
			return nil, append(bad, source.Finding{Place: n.Place, Code: "too-large", What: fmt.Sprintf("there are more than %d readings", maxReadings), Hint: "is this the right file?"})
		}
	}
	if len(bad) == 0 && len(out) == 0 {
		bad = append(bad, source.Finding{Place: first, Code: "no-readings", What: "there are no readings", Hint: "the first line has the heads fact, joint, at, value, unit, instrument; each further one a reading"})
	}
	if len(bad) > 0 {
		return nil, bad
	}
	return out, nil
}

// headsOf reads the line of heads.
func headsOf(file string, r *csv.Reader, record []string) ([]string, source.Findings) {
	var bad source.Findings
	var heads []string
	for i, h := range record {
		line, col := r.FieldPos(i)
		at := source.Place{File: file, Line: line, Col: col}
		h = strings.ReplaceAll(strings.ToLower(strings.TrimSpace(h)), " ", "_")
		switch {
		case !slices.Contains(namedHeads, h) && !slices.Contains(passedHeads, h):
			hint := source.DidYouMean(h, namedHeads)
			if hint == "" {
				hint = "it has " + strings.Join(namedHeads, ", ")
			}
			bad = append(bad, source.Finding{Place: at, Code: "table-head", What: fmt.Sprintf("a table of readings has no column %q", record[i]), Hint: hint})
		case slices.Contains(heads, h):
			bad = append(bad, source.Finding{Place: at, Code: "table-head", What: fmt.Sprintf("two columns are called %q", h), Hint: "leave one of them out"})
		}
		heads = append(heads, h)
	}
	for _, h := range []string{"fact", "value"} {
		if len(bad) == 0 && !slices.Contains(heads, h) {
			line, _ := r.FieldPos(0)
			bad = append(bad, source.Finding{Place: source.Place{File: file, Line: line, Col: 1}, Code: "table-head", What: fmt.Sprintf("there is no column %q", h), Hint: "the first line has the heads " + strings.Join(namedHeads, ", ")})
		}
	}
	return heads, bad
}

// named reads one line.
func named(file string, r *csv.Reader, heads, record []string) (n Named, bad source.Findings) {
	cells := map[string]string{}
	places := map[string]source.Place{}
	for i, h := range heads {
		line, col := r.FieldPos(i)
		// What a table of seepwright has an apostrophe before, loses it again.
		cells[h] = strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(record[i]), "'"))
		places[h] = source.Place{File: file, Line: line, Col: col}
	}
	n = Named{Fact: cells["fact"], Joint: cells["joint"], At: cells["at"], Instrument: cells["instrument"], Place: places["value"], Cells: places}
	if n.Fact == "" {
		bad = append(bad, source.Finding{Place: places["fact"], Code: "bad-reading", What: "the line does not say what was measured", Hint: "write the name of the fact: seepwright facts lists them"})
	}
	value, u := cells["value"], cells["unit"]
	if r.Comma != ',' {
		value = strings.Replace(value, ",", ".", 1)
	}
	if strings.Contains(value, "@") {
		bad = append(bad, source.Finding{Place: n.Place, Code: "bad-reading", What: fmt.Sprintf("%q is not a reading", cells["value"]), Hint: "where it was read belongs in the column at"})
		return n, bad
	}
	one, known, err := One(value, u)
	switch {
	case err != nil:
		bad = append(bad, source.Finding{Place: n.Place, Code: "bad-reading", What: err.Error(), Hint: "a number here, and its unit here or in the column unit"})
	case u != "" && known != u && !strings.HasSuffix(one.Value, " "+u):
		bad = append(bad, source.Finding{Place: places["unit"], Code: "bad-reading", What: fmt.Sprintf("the value says %s, and the column unit %s", known, u), Hint: "leave one of them empty"})
	}
	n.Value = one.Value
	if s := cells["plus_minus"]; s != "" {
		n.Value += " +/- " + s
	}
	return n, bad
}
