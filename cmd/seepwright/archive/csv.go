package archive

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"
	"time"

	"seepwright/cmd/seepwright/journal"
	"seepwright/rules/unit"
)

// Columns of the table of cases and of that of readings.
var (
	CaseColumns    = []string{"case", "title", "machine", "by", "opened", "closed", "end", "joint", "kind", "cause", "said", "done", "minutes", "retests", "retests_not_dry", "reopened"}
	ReadingColumns = []string{"case", "machine", "when", "by", "joint", "fact", "at", "value", "unit", "plus_minus", "instrument"}
)

// CSV writes the table of cases, one line a case. Where several causes are proven, each of
// their columns holds them all, in the same order, with semicolons between.
func CSV(w io.Writer, list []journal.Line) error {
	t := csv.NewWriter(w)
	_ = t.Write(CaseColumns) // a failed write is told by Error
	for _, l := range list {
		if l.Err != nil {
			continue
		}
		h := l.Head
		spent, retests, wet, again := 0.0, 0, 0, 0
		for _, e := range l.Work {
			spent += e.Minutes
			switch e.What {
			case journal.Retest:
				retests++
				if leaked(e) {
					wet++
				}
			case journal.Reopened:
				again++
			}
		}
		of := func(part func(p journal.Proven) string) string {
			var out []string
			for _, p := range l.Proven {
				out = append(out, part(p))
			}
			return strings.Join(out, "; ")
		}
		_ = t.Write(safe(h.ID, h.Title, h.Unit, h.By, moment(h.Opened), moment(h.Closed), h.End,
			of(func(p journal.Proven) string { return p.Joint }), of(func(p journal.Proven) string { return p.Kind }),
			of(func(p journal.Proven) string { return p.Cause }), of(func(p journal.Proven) string { return p.Said }),
			of(func(p journal.Proven) string { return p.Done }),
			strconv.FormatFloat(spent, 'f', -1, 64), strconv.Itoa(retests), strconv.Itoa(wet), strconv.Itoa(again)))
	}
	t.Flush()
	return t.Error()
}

// Readings writes the heads of the table of readings, and gives what adds the lines of a case:
// one a reading, of a row of readings one each.
func Readings(w io.Writer) (add func(c *journal.Case) error) {
	t := csv.NewWriter(w)
	_ = t.Write(ReadingColumns)
	t.Flush()
	return func(c *journal.Case) error {
		for _, e := range c.Log {
			for _, r := range readingsOf(e) {
				_ = t.Write(safe(c.Head.ID, c.Head.Unit, moment(e.At), e.By, e.Joint, e.Name, r.at, r.value, r.unit, r.spread, r.with))
			}
		}
		t.Flush()
		return t.Error()
	}
}

type reading struct{ at, value, unit, spread, with string }

// readingsOf are the readings of an entry: what was measured, and answers that are numbers with
// a unit.
func readingsOf(e journal.Entry) []reading {
	if e.What != journal.Measured && e.What != journal.Answered {
		return nil
	}
	v := e.Value
	if len(v.List) > 0 {
		var out []reading
		for i, x := range v.List {
			r := divided(x, v.Unit, e.With)
			if i < len(v.At) {
				r.at = v.At[i]
			}
			out = append(out, r)
		}
		return out
	}
	r := divided(v.Scalar, v.Unit, e.With)
	if v.Scalar == "" || e.What == journal.Answered && r.unit == "" {
		return nil
	}
	return []reading{r}
}

// divided parts a number, its unit, its uncertainty and its instrument where they stand in that
// order and nothing else does; else the text stays whole.
func divided(text, u, with string) reading {
	core, by, named := strings.Cut(text, " by ")
	if !named || with != "" && with != strings.TrimSpace(by) {
		core = text
	} else {
		with = strings.TrimSpace(by)
	}
	whole := strings.TrimSpace(core)
	core, spread, _ := strings.Cut(whole, "+/-")
	core, spread = strings.TrimSpace(core), strings.TrimSpace(spread)
	_, rest, err := unit.Number(core)
	if err != nil {
		return reading{value: text, unit: u, with: with}
	}
	number := strings.TrimSpace(strings.TrimSuffix(core, rest))
	rest = strings.TrimSpace(rest)
	switch _, known := unit.ByName(rest); {
	case rest == "":
		return reading{value: number, unit: u, spread: spread, with: with}
	case known && (u == "" || u == rest):
		return reading{value: number, unit: rest, spread: spread, with: with}
	}
	return reading{value: whole, unit: u, with: with}
}

func moment(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.RFC3339)
}

// safe makes cells that no spreadsheet takes for a formula: what begins like one and is no
// number gets an apostrophe before it. Whatever would command a terminal goes.
func safe(cells ...string) []string {
	for i, s := range cells {
		s = strings.Map(func(r rune) rune {
			if r < ' ' && r != '\n' || r == 0x7f {
				return ' '
			}
			return r
		}, s)
		if t := strings.TrimLeft(s, " \n\u00a0"); t != "" && strings.ContainsRune("=+-@＝＋－＠", []rune(t)[0]) {
			if _, err := strconv.ParseFloat(s, 64); err != nil {
				s = "'" + s
			}
		}
		cells[i] = s
	}
	return cells
}
