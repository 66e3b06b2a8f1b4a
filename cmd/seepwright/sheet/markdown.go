package sheet

import (
	"fmt"
	"io"
	"strings"

	"seepwright/cmd/seepwright/handbook"
)

const dots = ". . . . . . . ."

// Markdown writes the sheet as Markdown; what comes from users or knowledge has no meaning in it.
func Markdown(w io.Writer, s Sheet) error {
	m := &markdown{}
	m.line("# %s", handbook.Escape(s.Title))
	m.gap()
	for _, p := range s.Facts {
		m.line("- **%s:** %s", handbook.Escape(p.Name), handbook.Escape(p.Text))
	}
	m.gap()
	m.line("**%s**", handbook.Escape(s.Verdict))
	m.gap()
	for _, x := range s.Because {
		m.line("%s", handbook.Escape(x))
		m.gap()
	}
	for _, x := range s.Sections {
		m.gap()
		m.line("## %s", handbook.Escape(x.Title))
		m.gap()
		if x.Says != "" {
			m.line("%s", handbook.Escape(x.Says))
			m.gap()
		}
		for _, i := range x.Items {
			m.item(i)
		}
	}
	_, err := io.WriteString(w, strings.TrimRight(m.b.String(), "\n")+"\n")
	return err
}

type markdown struct{ b strings.Builder }

func (m *markdown) line(format string, args ...any) { fmt.Fprintf(&m.b, format+"\n", args...) }

// gap leaves one empty line.
func (m *markdown) gap() {
	if !strings.HasSuffix(m.b.String(), "\n\n") {
		m.b.WriteString("\n")
	}
}

func (m *markdown) item(i Item) {
	esc := handbook.Escape
	switch {
	case i.Place != "":
		m.gap()
		m.line("### %s", esc(i.Place))
		m.gap()
	case i.Warning != nil:
		m.warning(*i.Warning)
	case i.Step != nil:
		for _, w := range i.Step.Warnings {
			m.warning(w)
		}
		m.line("- [ ] %s", esc(stepLine(i.Step)))
		if i.Step.Why != "" {
			m.line("  - %s", esc(i.Step.Why))
		}
		for _, f := range i.Step.Fields {
			m.field("  - ", f)
		}
		if i.Step.Without != "" {
			m.line("  - %s", esc(i.Step.Without))
		}
	case i.Field != nil:
		m.field("- ", *i.Field)
	case i.Numbers != nil:
		var rows [][]string
		for _, n := range i.Numbers {
			measured := n.Measured
			if measured == "" {
				measured = strings.TrimSpace(dots + " " + n.Unit)
			}
			rows = append(rows, []string{n.Title, n.Limit, measured, n.Verdict, numberSource(n)})
		}
		m.table([]string{"Number", "Limit", "Measured", "Verdict", "Source"}, rows)
	case i.Table != nil:
		m.table(i.Table.Head, i.Table.Rows)
	case i.Proof != nil:
		for _, w := range i.Proof.Warnings {
			m.warning(w)
		}
		m.line("- [ ] **%s** %s", esc(proofHead(i.Proof)), esc(i.Proof.Pass))
		for _, d := range i.Proof.Done {
			m.line("  - Done: %s", esc(d))
		}
		m.line("  - time %s temperature %s C", dots, dots)
		m.line("  - tissue [ ] dry [ ] damp [ ] wet, gauge from %s to %s", dots, dots)
	case i.Picture != nil:
		m.gap()
		m.line("**%s**", esc(i.Picture.Title))
		m.gap()
		m.table(i.Picture.Head, i.Picture.Rows)
		for _, n := range i.Picture.Notes {
			m.line("%s", esc(n))
			m.gap()
		}
	case i.Tick != "":
		m.line("- [ ] %s", esc(i.Tick))
	case i.Point != "":
		m.line("- %s", esc(i.Point))
	default:
		m.gap()
		m.line("%s", esc(i.Text))
		m.gap()
	}
}

func (m *markdown) warning(w Warning) {
	s := "CAUTION " + w.Mark + ": " + w.Text
	if w.For != "" {
		s += " (" + w.For + ")"
	}
	m.line("- **%s**", handbook.Escape(s))
}

func (m *markdown) field(lead string, f Field) {
	s := handbook.Escape(fieldLine(f, dots, "( ) "))
	if f.Hint != "" {
		s += " " + handbook.Escape("("+f.Hint+")")
	}
	m.line("%s%s", lead, s)
}

func (m *markdown) table(head []string, rows [][]string) {
	if len(rows) == 0 || len(head) == 0 {
		return
	}
	m.gap()
	row := func(cells []string) {
		for i := range head {
			c := ""
			if i < len(cells) {
				c = handbook.Escape(cells[i])
			}
			m.b.WriteString("| " + c + " ")
		}
		m.line("|")
	}
	row(head)
	m.line("%s|", strings.Repeat("| --- ", len(head)))
	for _, r := range rows {
		row(r)
	}
	m.gap()
}
