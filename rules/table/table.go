// Package table reads tables of published figures and looks rows up in them.
// It knows no subject: which row belongs to which joint is the business of whoever asks.
package table

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// Table is one table with its origin. It is never changed once it has been read.
type Table struct {
	Name     string // file name without its ending
	Title    string
	Notes    string // doubts, and what the table does not cover
	source   string // of rows that name none
	standing string
	choose   string // column by whose words a row is chosen, "" when there is none
	linear   bool   // figures between two rows may be interpolated
	columns  []column
	rows     []Row
}

// column is one column; unit has an empty dimension for text.
type column struct {
	head, title string
	unit        unit.Unit
}

// Row is one row of a table.
type Row struct {
	of    *Table
	line  int
	cells []cell
}

type cell struct {
	text string
	si   float64 // NaN where the cell is empty or text
}

// Rows lists all rows in the order of the file.
func (t *Table) Rows() []Row { return t.rows }

// Choices lists the words by which a row can be chosen, in the order of the file.
func (t *Table) Choices() []string {
	var out []string
	for _, r := range t.rows {
		if w := r.Text(t.choose); w != "" && !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return out
}

// Heads lists the heads of the columns.
func (t *Table) Heads() []string {
	var out []string
	for _, c := range t.columns {
		out = append(out, c.head)
	}
	return out
}

// ColumnTitle is what a column holds, in words.
func (t *Table) ColumnTitle(head string) string {
	if i := t.at(head); i >= 0 {
		return t.columns[i].title
	}
	return head
}

// Unit is the unit of a column; ok is false for text and for a column that is not there.
func (t *Table) Unit(head string) (u unit.Unit, ok bool) {
	i := t.at(head)
	if i < 0 || t.columns[i].unit.Dim == "" {
		return unit.Unit{}, false
	}
	return t.columns[i].unit, true
}

func (t *Table) at(head string) int {
	return slices.IndexFunc(t.columns, func(c column) bool { return c.head == head })
}

// SI is the figure in a column, in SI. ok is false where the cell is empty, holds text, or the column is
// not there.
func (r Row) SI(head string) (si float64, ok bool) {
	i := r.of.at(head)
	if i < 0 || math.IsNaN(r.cells[i].si) {
		return 0, false
	}
	return r.cells[i].si, true
}

// Text is what stands in a column, "" when the column is not there.
func (r Row) Text(head string) string {
	if i := r.of.at(head); i >= 0 {
		return r.cells[i].text
	}
	return ""
}

// Show is the figure in a column with its unit, "" where the cell is empty.
func (r Row) Show(head string) string {
	si, ok := r.SI(head)
	u, _ := r.of.Unit(head)
	if !ok {
		return r.Text(head)
	}
	return unit.FromSI(si, u).String()
}

// Source is where the row comes from: its own source, else that of the table.
func (r Row) Source() string { return cmp.Or(r.Text("source"), r.of.source) }

// Standing says how far the row can be trusted: confirmed, common practice, from memory, estimate.
func (r Row) Standing() string { return cmp.Or(r.Text("standing"), r.of.standing) }

// Line is the line of the row in its file.
func (r Row) Line() int { return r.line }

// Table is the table that the row belongs to.
func (r Row) Table() *Table { return r.of }

// Cond is a condition that a row must meet, and its words for a message.
type Cond struct {
	meets func(Row) bool
	words func(t *Table) string
	ends  *[2]string // the two columns of a range, so that a message can say where it ends
	si    float64
}

// Is asks for a word in a column, without regard to case.
func Is(head, word string) Cond {
	return Cond{
		meets: func(r Row) bool { return strings.EqualFold(r.Text(head), strings.TrimSpace(word)) },
		words: func(t *Table) string { return t.ColumnTitle(head) + " " + word },
	}
}

// Plain is a word of a table as the knowledge base can name it, in small letters, digits and
// hyphens: npt-1-2 for npt-1/2; a word without letters has size- before it, since YAML would
// read it as a number: size-9-16-18 for 9/16-18. Within one table no two words may have the same.
func Plain(word string) string {
	word = strings.ToLower(strings.TrimSpace(word))
	parts := strings.FieldsFunc(word, func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') })
	if !strings.ContainsFunc(word, func(r rune) bool { return r >= 'a' && r <= 'z' }) {
		parts = append([]string{"size"}, parts...)
	}
	return strings.Join(parts, "-")
}

// Equal asks for a figure (SI) in a column, to one part in a million.
func Equal(head string, si float64) Cond {
	return Cond{
		meets: func(r Row) bool {
			x, ok := r.SI(head)
			return ok && math.Abs(x-si) <= 1e-6*math.Max(math.Abs(x), math.Abs(si))
		},
		words: func(t *Table) string { return t.ColumnTitle(head) + " " + t.show(head, si) },
	}
}

// Between asks for a figure (SI) that lies in the range of a row: from < x <= to. The least from of the table
// is included; an empty from or to leaves that side open.
func Between(from, to string, si float64) Cond {
	return Cond{
		meets: func(r Row) bool {
			lo, okLo := r.SI(from)
			hi, okHi := r.SI(to)
			least := r.of.least(from)
			return !math.IsNaN(si) && (!okLo || si > lo || si == lo && lo == least) && (!okHi || si <= hi)
		},
		words: func(t *Table) string { return t.show(to, si) },
		ends:  &[2]string{from, to}, si: si,
	}
}

// show writes a figure in the unit of a column.
func (t *Table) show(head string, si float64) string {
	u, _ := t.Unit(head)
	q := unit.FromSI(si, u)
	q.Number = math.Round(q.Number*1e6) / 1e6
	return q.String()
}

func (t *Table) least(head string) float64 {
	m := math.Inf(1)
	for _, r := range t.rows {
		if x, ok := r.SI(head); ok {
			m = math.Min(m, x)
		}
	}
	return m
}

// Where lists the rows that meet all conditions.
func (t *Table) Where(conds ...Cond) []Row {
	var out []Row
	for _, r := range t.rows {
		if !slices.ContainsFunc(conds, func(c Cond) bool { return !c.meets(r) }) {
			out = append(out, r)
		}
	}
	return out
}

// Outside is the answer of a table that has no row for what was asked. It is an answer of its own: the
// nearest row is never taken in silence.
type Outside struct {
	Table *Table
	What  string // what was asked for
	Has   string // what the table has instead
}

func (o *Outside) Error() string {
	return fmt.Sprintf("%s: the table %q has no row for that; %s", o.What, o.Table.Title, o.Has)
}

// Find gives the first row that meets all conditions. Without one it is an *Outside that says what the table
// has; what names the thing looked for, such as "a back-up gap for 75 Shore A".
func (t *Table) Find(what string, conds ...Cond) (Row, error) {
	if rows := t.Where(conds...); len(rows) > 0 {
		return rows[0], nil
	}
	return Row{}, &Outside{t, what, t.has(conds)}
}

// has says what the table offers: the first condition that no row meets together with those before it.
func (t *Table) has(conds []Cond) string {
	for i, c := range conds {
		before := t.Where(conds[:i]...)
		if len(t.Where(conds[:i+1]...)) > 0 {
			continue
		}
		if c.ends != nil {
			return "it runs " + t.span(before, c.ends[0], c.ends[1])
		}
		return "there is none with " + c.words(t) + t.offers(before, c)
	}
	return "it has " + fmt.Sprint(len(t.rows)) + " rows"
}

// span is from where to where rows reach.
func (t *Table) span(rows []Row, from, to string) string {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, r := range rows {
		if x, ok := r.SI(from); ok {
			lo = math.Min(lo, x)
		}
		if x, ok := r.SI(to); ok {
			hi = math.Max(hi, x)
		}
	}
	switch {
	case math.IsInf(lo, 1) && math.IsInf(hi, -1):
		return "over nothing"
	case math.IsInf(hi, -1):
		return "from " + t.show(from, lo)
	case math.IsInf(lo, 1):
		return "up to " + t.show(to, hi)
	}
	return "from " + t.show(from, lo) + " to " + t.show(to, hi)
}

// offers lists the words or figures that rows have in the column of a failed condition, as far as they are few.
func (t *Table) offers(rows []Row, c Cond) string {
	words := c.words(t)
	for _, col := range t.columns {
		if !strings.HasPrefix(words, col.title+" ") {
			continue
		}
		var have []string
		for _, r := range rows {
			if s := r.Show(col.head); s != "" && !slices.Contains(have, s) {
				have = append(have, s)
			}
		}
		if hint := source.DidYouMean(strings.TrimPrefix(words, col.title+" "), have); hint != "" && len(have) > 12 {
			return "; " + hint
		}
		if len(have) > 0 && len(have) <= 12 {
			return "; it has " + strings.Join(have, ", ")
		}
	}
	return ""
}

// Linear reads a figure between two rows that meet the conditions, along the key. The table must allow it; a key
// that lies outside the rows is an *Outside.
func (t *Table) Linear(key, value string, at float64, conds ...Cond) (float64, error) {
	type point struct{ x, y float64 }
	var p []point
	for _, r := range t.Where(conds...) {
		x, okX := r.SI(key)
		y, okY := r.SI(value)
		if okX && okY {
			p = append(p, point{x, y})
		}
	}
	slices.SortFunc(p, func(a, b point) int { return cmp.Compare(a.x, b.x) })
	outside := func() error {
		has := "it has no such rows"
		if len(p) > 0 {
			has = "it runs from " + t.show(key, p[0].x) + " to " + t.show(key, p[len(p)-1].x)
		}
		return &Outside{t, t.ColumnTitle(key) + " " + t.show(key, at), has}
	}
	if len(p) == 0 || math.IsNaN(at) || at < p[0].x || at > p[len(p)-1].x {
		return 0, outside()
	}
	for i, q := range p {
		if q.x == at {
			return q.y, nil
		}
		if q.x > at {
			if !t.linear {
				return 0, &Outside{t, t.ColumnTitle(key) + " " + t.show(key, at), "nothing is interpolated in it; its neighbours are " + t.show(key, p[i-1].x) + " and " + t.show(key, q.x)}
			}
			b := p[i-1]
			return b.y + (q.y-b.y)*(at-b.x)/(q.x-b.x), nil
		}
	}
	return 0, outside()
}
