package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// standings are the words of the column and the field standing.
var standings = []string{"confirmed", "common practice", "from memory", "estimate"}

// endings are the units that a head can carry: gap_mm, torque_Nm.
var endings = map[string]string{
	"mm": "mm", "um": "um", "in": "in", "m": "m", "mm2": "mm2", "in2": "in2", "MPa": "MPa", "kPa": "kPa", "bar": "bar", "psi": "psi", "GPa": "GPa",
	"C": "C", "K": "K", "Nm": "N m", "lbfft": "lbf ft", "lbfin": "lbf in", "N": "N", "kN": "kN", "lbf": "lbf", "pct": "%", "ratio": "1", "deg": "deg", "ShoreA": "Shore A",
	"per_K": "1/K", "ms": "m/s", "rpm": "rpm", "turns": "off", "n": "off", "mLh": "mL/h", "mL": "mL", "min": "min", "h": "h", "year": "year", "mPas": "mPa s", "kgm3": "kg/m3",
}

// header is the YAML beside the CSV.
type header struct {
	Table, Title, Source, Standing, Choose, Interpolate, Notes string
	Columns                                                    map[string]string
	Relations                                                  []string
}

// Read reads a table from its two files, the CSV with the figures and the YAML with title, source, standing and
// relations. Every cell is checked and every relation is tested over all rows; what is wrong comes back with
// its line. name is the file name without ending.
func Read(name string, figures, about []byte) (*Table, source.Findings) {
	var bad source.Findings
	h, more := readHeader(name, about)
	bad = append(bad, more...)
	t := &Table{Name: name, Title: h.Title, Notes: h.Notes, source: h.Source, standing: h.Standing, choose: h.Choose, linear: h.Interpolate == "linear"}
	bad = append(bad, t.readRows(name+".csv", figures, h.Columns)...)
	if h.Choose != "" && t.at(h.Choose) < 0 {
		bad = append(bad, found(name+".yaml", 1, 1, "table-head", fmt.Sprintf("choose names the column %q, which the table does not have", h.Choose), "its columns are "+strings.Join(t.Heads(), ", ")))
	}
	for _, text := range h.Relations {
		rel, err := parseRelation(text, t)
		if err != nil {
			bad = append(bad, found(name+".yaml", 1, 1, "table-relation", "the relation \""+text+"\" cannot be read: "+err.Error(), "write it like p_from_MPa < p_to_MPa or od_mm = id_mm + 2 cs_mm within 0.02"))
			continue
		}
		for _, r := range t.rows {
			if got, ok := rel.holds(r); !ok {
				bad = append(bad, found(name+".csv", r.line, 1, "table-relation", "the row breaks the relation \""+text+"\": "+got, "look for the slipped digit"))
			}
		}
	}
	if bad.Errors() > 0 {
		return nil, bad
	}
	return t, bad
}

func found(file string, line, col int, code, what, hint string) source.Finding {
	return source.Finding{Place: source.Place{File: file, Line: line, Col: col}, Code: code, What: what, Hint: hint}
}

func readHeader(name string, about []byte) (header, source.Findings) {
	var h header
	file := name + ".yaml"
	d := yaml.NewDecoder(bytes.NewReader(about))
	d.KnownFields(true)
	if err := d.Decode(&h); err != nil {
		return h, source.Findings{found(file, 1, 1, "table-head", "the description of the table cannot be read: "+strings.TrimPrefix(err.Error(), "yaml: "), "it has table, title, source, standing, and if wanted choose, interpolate, columns, relations, notes")}
	}
	var bad source.Findings
	miss := func(what, hint string) { bad = append(bad, found(file, 1, 1, "table-head", what, hint)) }
	if h.Table != name {
		miss(fmt.Sprintf("the table is called %q, its file %q", h.Table, name), "give both the same name")
	}
	if h.Title == "" || h.Source == "" {
		miss("title or source is missing", "every table says what it holds and where it comes from")
	}
	if !slices.Contains(standings, h.Standing) {
		miss(fmt.Sprintf("standing is %q", h.Standing), "one of "+strings.Join(standings, ", "))
	}
	if h.Interpolate != "" && h.Interpolate != "none" && h.Interpolate != "linear" {
		miss(fmt.Sprintf("interpolate is %q", h.Interpolate), "none or linear")
	}
	return h, bad
}

func (t *Table) readRows(file string, figures []byte, titles map[string]string) source.Findings {
	var bad source.Findings
	r := csv.NewReader(bytes.NewReader(figures))
	r.FieldsPerRecord = -1
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			line, why := 1, err.Error()
			var p *csv.ParseError
			if errors.As(err, &p) {
				line, why = p.Line, p.Err.Error()
			}
			return append(bad, found(file, line, 1, "table-shape", "the line cannot be read as comma-separated values: "+why, "put text with a comma or a quote in double quotes"))
		}
		line, _ := r.FieldPos(0)
		if t.columns == nil {
			bad = append(bad, t.readHeads(file, record, titles)...)
			continue
		}
		if len(record) != len(t.columns) {
			bad = append(bad, found(file, line, 1, "table-shape", fmt.Sprintf("the row has %d cells, the head %d", len(record), len(t.columns)), "a text with a comma wants double quotes"))
			continue
		}
		row := Row{of: t, line: line}
		for i, text := range record {
			text = strings.TrimSpace(text)
			c := cell{text: text, si: math.NaN()}
			_, col := r.FieldPos(i)
			head := t.columns[i]
			switch {
			case head.unit.Dim != "" && text != "":
				x, err := strconv.ParseFloat(text, 64)
				if err != nil || math.IsInf(x, 0) || math.IsNaN(x) {
					bad = append(bad, found(file, line, col, "table-number", fmt.Sprintf("%q in column %s is not a number", text, head.head), "leave the cell empty where no figure is known, and put words into a column without a unit"))
				} else {
					c.si = head.unit.ToSI(x)
				}
			case head.head == "standing" && text != "" && !slices.Contains(standings, text):
				bad = append(bad, found(file, line, col, "table-number", fmt.Sprintf("standing is %q", text), "one of "+strings.Join(standings, ", ")))
			}
			row.cells = append(row.cells, c)
		}
		t.rows = append(t.rows, row)
	}
	if len(t.rows) == 0 && bad.Errors() == 0 {
		bad = append(bad, found(file, 1, 1, "table-shape", "the table has no rows", "the first line has the heads, one row follows per line"))
	}
	return bad
}

func (t *Table) readHeads(file string, heads []string, titles map[string]string) source.Findings {
	var bad source.Findings
	for i, h := range heads {
		h = strings.TrimSpace(strings.TrimPrefix(h, "\ufeff"))
		if h == "" || t.at(h) >= 0 {
			bad = append(bad, found(file, 1, i+1, "table-head", fmt.Sprintf("column %d has no head, or one that stands twice: %q", i+1, h), "give every column its own head"))
		}
		c := column{head: h, title: titles[h], unit: unitOf(h)}
		if c.title == "" {
			c.title = plain(h, c.unit)
		}
		t.columns = append(t.columns, c)
	}
	for h := range titles {
		if t.at(h) < 0 {
			bad = append(bad, found(t.Name+".yaml", 1, 1, "table-head", fmt.Sprintf("columns titles %q, which the table does not have", h), "its columns are "+strings.Join(t.Heads(), ", ")))
		}
	}
	return bad
}

// ending is the longest unit ending of a head.
func ending(head string) string {
	best := ""
	for e := range endings {
		if strings.HasSuffix(head, "_"+e) && len(e) > len(best) {
			best = e
		}
	}
	return best
}

func unitOf(head string) unit.Unit {
	e := ending(head)
	if e == "" {
		return unit.Unit{}
	}
	u, _ := unit.ByName(endings[e])
	return u
}

// plain makes a title of a head: gap_max_mm -> gap max.
func plain(head string, u unit.Unit) string {
	if u.Dim != "" {
		head = strings.TrimSuffix(head, "_"+ending(head))
	}
	return strings.ReplaceAll(head, "_", " ")
}
