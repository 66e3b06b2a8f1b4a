package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seepwright/cmd/seepwright/report"
	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/rules"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// verdictWords is the verdict on a number.
func verdictWords(v string) string {
	return cmp.Or(map[string]string{"met": "good", "missed": "NOT GOOD", "not proven": "TOO CLOSE TO CALL", "not measured": "to be measured"}[v], v)
}

// numbers are the targets of the joints that are worked on: what was measured, judged, and what
// still has to be; of those that are met only the ones that hold for these parts.
func (b *builder) numbers() Section {
	s := Section{ID: "numbers", Title: "Numbers for these parts"}
	if b.over() {
		s.Title = "Numbers of these parts"
	}
	working := b.working()
	lists := map[string][]Number{}
	var joints []string
	for _, t := range b.Result.Targets {
		if t.Verdict == "met" && !t.Strict || slices.ContainsFunc(b.Result.Plan.Steps, func(st plan.Step) bool { return t.Measured == "" && st.Target == t.ID }) {
			continue
		}
		if t.Measured == "" && (b.over() || !slices.Contains(working, t.Joint) || !t.Strict || strings.HasPrefix(t.Limit, "no figure")) {
			continue
		}
		n := Number{Title: report.Capital(t.Title), Limit: t.Limit, Measured: t.Measured, Unit: t.Unit, Verdict: verdictWords(t.Verdict), Source: report.Origin(t.Source, t.Standing)}
		if t.Margin != "" && t.Verdict != "not proven" {
			n.Verdict += ", " + t.Margin
		}
		if t.Verdict == "not proven" && t.Settle != "" {
			n.Note = "To settle it: " + sentence(t.Settle)
		}
		if t.Measured == "" && t.Without != "" {
			n.Note = without(t.Without)
		}
		if lists[t.Joint] == nil {
			joints = append(joints, t.Joint)
		}
		lists[t.Joint] = append(lists[t.Joint], n)
	}
	place := ""
	for _, j := range joints {
		b.at(&s, &place, j, nil)
		s.Items = append(s.Items, Item{Numbers: lists[j]})
	}
	if rows := b.readings(); len(rows) > 0 {
		s.Items = append(s.Items, Item{Place: "As found so far"}, Item{Table: &Table{Head: []string{"Reading", "Found"}, Rows: rows}})
	}
	return s
}

// readings are the numbers that were measured, as they were given.
func (b *builder) readings() [][]string {
	var out [][]string
	working := b.working()
	for _, g := range b.Result.Findings {
		if _, word := g.Value.(string); word || g.Unit == "" || !slices.Contains(g.From, "answered") || b.titles[g.Joint] != "" && len(working) > 0 && !slices.Contains(working, g.Joint) {
			continue
		}
		name := report.Capital(g.Title)
		if circuit, ok := strings.CutPrefix(g.Joint, "circuit:"); ok {
			name += " (" + circuit + " circuit)"
		} else if g.Joint != "" && len(b.Result.Joints) > 1 {
			name = report.Capital(b.titles[g.Joint]) + ": " + g.Title
		}
		out = append(out, []string{name, g.Text})
	}
	return out
}

// working are the joints that the plan has lines for.
func (b *builder) working() []string {
	var out []string
	for _, st := range b.Result.Plan.Steps {
		for _, j := range append(slices.Clone(st.Joints), st.Joint) {
			if j != "" && !slices.Contains(out, j) {
				out = append(out, j)
			}
		}
	}
	return out
}

// drawn are the pictures.
func (b *builder) drawn() Section {
	s := Section{ID: "pictures", Title: "Pictures"}
	for i := range b.Pictures {
		s.Items = append(s.Items, Item{Picture: &b.Pictures[i]})
	}
	return s
}

// The facts that say how many bolts a joint has, and the torques of its maker and of its gasket.
const (
	boltCount   = "bolt-count"
	makerTorque = "torque-makers"
	leastTorque = "torque-least"
)

// bolts says in which order, and how tight, the bolts of the joints that are opened are tightened.
func (b *builder) bolts() Section {
	s := Section{ID: "bolts", Title: "Bolts: torque and order"}
	place := ""
	for _, j := range b.working() {
		n, ok := b.number(j, boltCount)
		f := b.KB.Fact(boltCount)
		torques := b.torques(j)
		bolted := f != nil && applies(f, b.kinds[j])
		if !bolted && len(torques) == 0 {
			continue
		}
		b.at(&s, &place, j, nil)
		for _, t := range torques {
			s.Items = append(s.Items, Item{Point: t})
		}
		if !bolted {
			continue
		}
		final, given := b.number(j, makerTorque)
		if !given {
			s.Items = append(s.Items, Item{Field: &Field{Label: "Final torque", Unit: "N m", Hint: "The maker's figure goes first; a figure of a table is an upper limit."}})
		}
		if ok {
			if row, found := b.row("bolt-order", strconv.Itoa(int(n+0.5))); found {
				s.Items = append(s.Items, Item{Point: "Order, numbered clockwise: " + row.Text("order") + " (" + report.Origin(row.Source(), row.Standing()) + ")."})
			}
		} else {
			s.Items = append(s.Items, Item{Field: &Field{Label: "Number of bolts", Hint: "Number them clockwise with a paint pen; cross over from each to the one opposite, and never two neighbours in a row."}})
		}
		if row, found := b.row("bolt-rounds", "usual"); found {
			for i, head := range []string{"round1_pct", "round2_pct", "round3_pct"} {
				x := fmt.Sprintf("Round %d, all in that order: %s %%", i+1, row.Text(head))
				if share, ok := row.SI(head); ok && given {
					x += fmt.Sprintf(" of the torque, %s N m", unit.Show(share*final, 2))
				}
				s.Items = append(s.Items, Item{Tick: x})
			}
			s.Items = append(s.Items, Item{Tick: "Then " + row.Text("then")})
		}
	}
	return s
}

// torques are the torques that are known of a joint: limits, what was measured, the maker's.
func (b *builder) torques(joint string) []string {
	var out []string
	for _, t := range b.Result.Targets {
		if t.Joint == joint && t.Unit == "N m" && !strings.HasPrefix(t.Limit, "no figure") {
			out = append(out, report.Capital(t.Title)+": "+t.Limit+" ("+report.Origin(t.Source, t.Standing)+").")
		}
	}
	for _, id := range []string{makerTorque, leastTorque} {
		for _, g := range b.Result.Findings {
			if g.Fact == id && g.Joint == joint {
				out = append(out, report.Capital(g.Title)+": "+g.Text+".")
			}
		}
	}
	return out
}

// number is a number that is known of a joint.
func (b *builder) number(joint, id string) (float64, bool) {
	for _, g := range b.Result.Findings {
		if g.Fact == id && (g.Joint == joint || g.Joint == "") {
			x, ok := g.Value.(float64)
			return x, ok
		}
	}
	return 0, false
}

// row is a row of a published table.
func (b *builder) row(name, key string) (table.Row, bool) {
	if b.KB.Tables == nil {
		return table.Row{}, false
	}
	t, err := b.KB.Tables.Table(name)
	if err != nil {
		return table.Row{}, false
	}
	r, err := t.Find(name, table.Is("name", key))
	return r, err == nil
}

// The facts and the rows of the table of rubbers and fluids that speak of lubricants.
const rubberFamily = "rubber-family"

var lubricantRows = []struct{ row, name string }{{"silicone-grease", "Silicone grease"}, {"mineral-grease", "Mineral grease, petroleum jelly or oil"}}

// grades are the words for the grades of the table.
var grades = []string{"suits", "for a short time only", "poor", "destroys it"}

// lubricants says what suits the rubber of a joint and what must not come near it.
func (b *builder) lubricants() Section {
	s := Section{ID: "lubricants", Title: "Lubricant: what to use and what not"}
	f := b.KB.Fact(rubberFamily)
	if f == nil {
		return s
	}
	place := ""
	for _, j := range b.working() {
		var known *engine.Finding
		for i, g := range b.Result.Findings {
			if g.Fact == rubberFamily && (g.Joint == j || g.Joint == "") {
				known = &b.Result.Findings[i]
			}
		}
		if known == nil && !b.rubbery(j) {
			continue
		}
		b.at(&s, &place, j, nil)
		if known == nil {
			s.Items = append(s.Items, Item{Field: &Field{Label: "Rubber of the new seal, from its bag", Long: true}})
		} else {
			s.Items = append(s.Items, Item{Text: "The rubber here: " + sentence(known.Text)})
		}
		t := Table{Head: []string{"Lubricant", "Suits", "Do NOT use on"}}
		source := ""
		for _, l := range lubricantRows {
			row, ok := b.row("rubber-fluids", l.row)
			if !ok {
				continue
			}
			source = report.Origin(row.Source(), row.Standing())
			var yes, no []string
			for _, o := range f.Options {
				grade, ok := row.SI(o.ID + "_n")
				if !ok || known != nil && known.Value != o.ID {
					continue
				}
				if grade == 1 {
					yes = append(yes, cmp.Or(o.Title, o.ID))
				} else if int(grade) <= len(grades) {
					no = append(no, cmp.Or(o.Title, o.ID)+" ("+grades[int(grade)-1]+")")
				}
			}
			t.Rows = append(t.Rows, []string{l.name, cmp.Or(strings.Join(yes, ", "), "none"), cmp.Or(strings.Join(no, ", "), "none")})
		}
		s.Items = append(s.Items, Item{Table: &t})
		if source != "" {
			s.Items = append(s.Items, Item{Text: "Source: " + sentence(source) + " The data sheet of the very compound goes before it. Soapy water is for new smooth parts only."})
		}
	}
	return s
}

// rubbery reports whether the joint has a rubber seal: some fact from which its rubber follows is
// asked of every joint of its kind.
func (b *builder) rubbery(joint string) bool {
	for _, r := range b.KB.Rules {
		says := slices.ContainsFunc(r.Then, func(a rules.Action) bool { return a.Conclude != nil && a.Conclude.Fact == rubberFamily })
		if !says || r.When.Cond == nil {
			continue
		}
		for _, id := range r.When.Cond.Facts() {
			if f := b.KB.Fact(id); f != nil && len(f.For) > 0 && f.AskIf == nil && !f.Engine && applies(f, b.kinds[joint]) {
				return true
			}
		}
	}
	return false
}
