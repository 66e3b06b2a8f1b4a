package sheet

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"seepwright/cmd/seepwright/report"
)

const blank = "________"

// text writes lines of a given width.
type text struct {
	b     strings.Builder
	width int
}

// put writes wrapped text behind a lead, the lines below it indented as far.
func (t *text) put(indent int, lead, s string) {
	pad := strings.Repeat(" ", indent)
	n := utf8.RuneCountInString(lead)
	t.b.WriteString(report.Wrap(s, t.width, indent+n, pad+lead, pad+strings.Repeat(" ", n)))
}

// visible makes a space of what would move a cursor or ring a bell.
func visible(r rune) rune {
	if unicode.IsControl(r) && r != '\n' {
		return ' '
	}
	return r
}

func (t *text) head(s, under string) {
	t.b.WriteString("\n" + report.Wrap(s, t.width, 0, "", "") + strings.Repeat(under, min(t.width, utf8.RuneCountInString(s))) + "\n")
}

// Text writes the sheet for a screen or a printer of the given width (at least 40).
func Text(w io.Writer, s Sheet, width int) error {
	t := &text{width: max(width, 40)}
	t.put(0, "", s.Title)
	t.b.WriteString(strings.Repeat("=", min(t.width, utf8.RuneCountInString(s.Title))) + "\n")
	for _, p := range s.Facts {
		t.put(0, p.Name+": ", p.Text)
	}
	t.b.WriteString("\n")
	t.put(0, "", s.Verdict)
	for _, x := range s.Because {
		t.put(0, "", x)
	}
	for _, x := range s.Sections {
		t.head(x.Title, "-")
		if x.Says != "" {
			t.put(0, "", x.Says)
		}
		for _, i := range x.Items {
			t.item(i)
		}
	}
	_, err := io.WriteString(w, strings.Map(visible, t.b.String()))
	return err
}

func (t *text) item(i Item) {
	switch {
	case i.Place != "":
		t.b.WriteString("\n")
		t.put(0, "", i.Place+":")
	case i.Warning != nil:
		t.warning(*i.Warning)
	case i.Step != nil:
		t.step(i.Step)
	case i.Field != nil:
		t.field(0, *i.Field)
	case i.Numbers != nil:
		t.numbers(i.Numbers)
	case i.Table != nil:
		t.table(i.Table.Head, i.Table.Rows)
	case i.Proof != nil:
		t.proof(i.Proof)
	case i.Picture != nil:
		t.put(0, "", i.Picture.Title)
		t.table(i.Picture.Head, i.Picture.Rows)
		for _, n := range i.Picture.Notes {
			t.put(0, "", n)
		}
	case i.Tick != "":
		t.put(0, "[ ] ", i.Tick)
	case i.Point != "":
		t.put(0, "- ", i.Point)
	default:
		t.put(0, "", i.Text)
	}
}

func (t *text) warning(w Warning) {
	s := w.Text
	if w.For != "" {
		s += " (" + w.For + ")"
	}
	t.put(0, "! ", "CAUTION "+w.Mark+": "+s)
}

func (t *text) step(s *Step) {
	for _, w := range s.Warnings {
		t.warning(w)
	}
	t.put(0, "[ ] ", stepLine(s))
	if s.Why != "" {
		t.put(4, "", s.Why)
	}
	for _, f := range s.Fields {
		t.field(4, f)
	}
	if s.Without != "" {
		t.put(4, "", s.Without)
	}
}

// stepLine is a step in one line.
func stepLine(s *Step) string {
	out := fmt.Sprintf("%d. ", s.No)
	if s.Head != "" {
		out += s.Head + ": "
	}
	out += s.Text
	if s.Time != "" {
		out += " (" + s.Time + ")"
	}
	return out
}

func (t *text) field(indent int, f Field) {
	t.put(indent, "> ", fieldLine(f, blank, "[ ] "))
	if f.Hint != "" {
		t.put(indent+2, "", f.Hint)
	}
}

// asks is a label before what is written behind it.
func asks(label string) string {
	if strings.HasSuffix(label, "?") {
		return label
	}
	return strings.TrimSuffix(label, ":") + ":"
}

// fieldLine is a place to write, with the blank and the box of the form of paper.
func fieldLine(f Field, blank, box string) string {
	label, end := asks(f.Label), " "
	switch {
	case f.Known != "":
		return label + end + f.Known
	case len(f.Options) > 0:
		return label + end + box + strings.Join(f.Options, "  "+box)
	case len(f.Slots) > 0:
		var out []string
		for _, s := range f.Slots {
			out = append(out, strings.TrimSpace(s+" "+blank+" "+f.Unit))
		}
		return label + end + strings.Join(out, ", ")
	case f.Long:
		return label + end + blank + blank + blank
	}
	return strings.TrimSpace(label + end + blank + " " + f.Unit)
}

func (t *text) numbers(list []Number) {
	for _, n := range list {
		t.put(0, "- ", numberLine(n, blank))
		t.put(2, "", numberSource(n))
	}
}

// numberLine is a number with its limit, what was measured and the verdict.
func numberLine(n Number, blank string) string {
	measured := n.Measured
	if measured == "" {
		measured = strings.TrimSpace(blank + " " + n.Unit)
	}
	return n.Title + ": wanted " + n.Limit + "; measured " + measured + "; " + n.Verdict
}

// numberSource is where the limit comes from, and what else is to be said.
func numberSource(n Number) string {
	out := ""
	if n.Source != "" {
		out = "Source: " + sentence(n.Source)
	}
	return strings.TrimSpace(out + " " + n.Note)
}

// table writes a table as aligned columns where it fits, else row by row.
func (t *text) table(head []string, rows [][]string) {
	if len(rows) == 0 {
		return
	}
	clean := make([][]string, len(rows))
	for i, r := range rows {
		for _, c := range r {
			clean[i] = append(clean[i], strings.Join(strings.Fields(c), " "))
		}
	}
	rows = clean
	wide := make([]int, len(head))
	all := append([][]string{head}, rows...)
	for _, r := range all {
		for i, c := range r {
			if i < len(wide) {
				wide[i] = max(wide[i], utf8.RuneCountInString(c))
			}
		}
	}
	sum := 2 * len(wide)
	for _, n := range wide {
		sum += n
	}
	if sum > t.width {
		for _, r := range rows {
			var parts []string
			for i, c := range r {
				if c == "" {
					continue
				}
				if i > 0 && i < len(head) {
					c = strings.ToLower(head[i]) + ": " + c
				}
				parts = append(parts, c)
			}
			t.put(0, "- ", strings.Join(parts, "; "))
		}
		return
	}
	for _, r := range all {
		line := "  "
		for i, c := range r {
			if i < len(wide) {
				line += c + strings.Repeat(" ", wide[i]-utf8.RuneCountInString(c)+2)
			}
		}
		t.b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}

func (t *text) proof(p *Proof) {
	for _, w := range p.Warnings {
		t.warning(w)
	}
	t.put(0, "[ ] ", proofHead(p)+": "+p.Pass)
	for _, d := range p.Done {
		t.put(4, "", "Done: "+d)
	}
	t.put(4, "> ", "time "+blank+"  temperature "+blank+" C")
	t.put(4, "> ", "tissue [ ] dry  [ ] damp  [ ] wet  gauge from "+blank+" to "+blank)
}

// proofHead names a step of the retest.
func proofHead(p *Proof) string {
	s := strings.TrimSpace(p.Mark + " " + p.State)
	if p.Time != "" {
		s += " (" + p.Time + ")"
	}
	return s
}
