package catalogue

import (
	"strings"

	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// col says which column of a table fills which output.
type col struct {
	out, head, title string
	dim              unit.Dimension // "" = text
}

// outputs describes the columns as outputs of a calculation.
func outputs(tab, source, standing string, cols []col) []Output {
	var out []Output
	for _, c := range cols {
		out = append(out, Output{c.out, c.title, c.dim, "look-up in the table " + tab, source, standing})
	}
	return out
}

// take fills the outputs from the first row and cites it; what other rows say, where sources differ, is noted.
func (f *found) take(rows []table.Row, cols []col) {
	for i, r := range rows {
		var also []string
		for _, c := range cols {
			shown := r.Show(c.head)
			switch {
			case shown == "":
				continue
			case i > 0:
				also = append(also, c.title+" "+shown)
				continue
			case c.dim == "":
				f.text[c.out] = shown
			default:
				f.num[c.out], _ = r.SI(c.head)
			}
			f.cite(c.title, r, c.head)
		}
		if note := r.Text("note"); note != "" {
			if i > 0 {
				also = append(also, note)
			} else {
				f.note("%s.", capital(note))
			}
		}
		if i > 0 && len(also) > 0 {
			f.note("Another source has: %s (%s).", strings.Join(also, "; "), whence(r))
		}
	}
}

// whence is the source of a row with its standing, once.
func whence(r table.Row) string {
	if strings.Contains(r.Source(), r.Standing()) {
		return r.Source()
	}
	return r.Source() + ", " + r.Standing()
}

// tableLimit is a limit of ours in a column of the row chosen by name; no figure where the cell is empty.
func tableLimit(tab, name, head string) func(given, found) (Figure, error) {
	return func(g given, _ found) (Figure, error) {
		t, err := g.table(tab)
		if err != nil {
			return Figure{}, err
		}
		r, err := t.Find(name, table.Is("name", name))
		if err != nil {
			return Figure{}, err
		}
		return figure(r, head), nil
	}
}

// figure is the limit in one cell.
func figure(r table.Row, head string) Figure {
	si, ok := r.SI(head)
	if !ok {
		return Figure{}
	}
	return Figure{si, r.Source(), r.Standing()}
}

// outputLimit is a limit of ours that the calculation itself has put out (from a table, cited there).
func outputLimit(name, from, standing string) func(given, found) (Figure, error) {
	return func(_ given, f found) (Figure, error) {
		si, ok := f.num[name]
		if !ok {
			return Figure{}, nil
		}
		return Figure{si, from, standing}, nil
	}
}

// capital makes the first letter large.
func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
