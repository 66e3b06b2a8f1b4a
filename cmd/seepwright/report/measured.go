package report

import (
	"fmt"
	"strconv"

	"seepwright/engine/measure/catalogue"
	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// Worked is the result of one calculation.
type Worked struct {
	Calculation catalogue.Calculation
	Inputs      map[string]rules.AnswerText
	Shown       map[unit.Dimension]string // the unit in which inputs of a dimension were given
	Units       string                    // metric | inch | "" = as given
	Out         catalogue.Out
	Refused     string
}

// in picks the unit for a dimension.
func (m Worked) in(d unit.Dimension) string {
	if u := unit.Preferred(d, m.Units); u != "" {
		return u
	}
	if u := m.Shown[d]; u != "" {
		return u
	}
	return unit.Standard(d).Symbol
}

// row is one output of a calculation, for a program.
type row struct {
	Name        string   `json:"name"`
	Title       string   `json:"title"`
	Value       *float64 `json:"value,omitempty"`
	Text        string   `json:"text,omitempty"`
	Unit        string   `json:"unit,omitempty"`
	Uncertainty float64  `json:"uncertainty,omitempty"`
	Formula     string   `json:"formula"`
	Source      string   `json:"source"`
	Standing    string   `json:"standing,omitempty"`
	shown       string
}

func (m Worked) rows() []row {
	out := []row{}
	for _, o := range m.Calculation.Outputs {
		r := row{Name: o.Name, Title: o.Title, Formula: o.Formula, Source: o.Source, Standing: o.Standing}
		if n, ok := m.Out.Num[o.Name]; ok {
			me := fact.Measure{SI: n.SI, U: n.U, Dim: o.Dim, Unit: m.in(o.Dim)}
			q := me.Shown()
			r.Value, r.Unit, r.Uncertainty, r.shown = &q.Number, q.Unit.Symbol, me.ShownU(), me.String()
			if n.U == 0 { // no instrument was named: four digits are enough to work with
				short := q
				short.Number, _ = strconv.ParseFloat(unit.Show(q.Number, 4), 64)
				r.shown = short.String()
			}
			out = append(out, r)
		} else if t, ok := m.Out.Text[o.Name]; ok {
			r.Text, r.shown = t, t
			out = append(out, r)
		}
	}
	return out
}

// JSON is the result for a program.
func (m Worked) JSON() any {
	return struct {
		Calculation string `json:"calculation"`
		Verdict     string `json:"verdict"`
		Sentence    string `json:"sentence"`
		Outputs     []row  `json:"outputs"`
		Refused     string `json:"refused,omitempty"`
	}{m.Calculation.Name, m.Out.Verdict, m.Out.Sentence, m.rows(), m.Refused}
}

// View is the result for a person.
func (m Worked) View() []Block {
	p := &page{}
	if m.Refused != "" {
		p.add(Verdict, "REFUSED: %s", m.Refused)
		return p.blocks
	}
	p.add(Verdict, "%s", m.Out.Sentence)
	for _, r := range m.rows() {
		p.add(Item, "%s (%s): %s", r.Title, r.Name, r.shown)
	}
	p.add(Heading, "How and from where")
	for _, r := range m.rows() {
		p.add(Item, "%s: %s", r.Name, r.Formula)
		p.add(Note, "Source: %s.", origin(r.Source, r.Standing))
	}
	return p.blocks
}

// CatalogueView lists the calculations with what they take and give.
func CatalogueView(list []catalogue.Calculation) []Block {
	p := &page{}
	for _, c := range list {
		p.add(Heading, "%s: %s", c.Name, c.Title)
		if c.About != "" {
			p.add(Para, "%s", c.About)
		}
		for _, i := range c.Inputs {
			s := fmt.Sprintf("takes %s (%s): %s", i.Name, i.Dim, i.Title)
			if i.Rows {
				s += "; a row of readings"
			}
			switch {
			case i.Default != "":
				s += "; if not given " + i.Default
			case i.Optional:
				s += "; may be left out"
			}
			p.add(Item, "%s", s)
		}
		for _, o := range c.Outputs {
			d := string(o.Dim)
			if d == "" {
				d = "words"
			}
			p.add(Item, "gives %s (%s): %s", o.Name, d, o.Title)
		}
	}
	return p.blocks
}

// CatalogueJSON lists the same for a program.
func CatalogueJSON(list []catalogue.Calculation) any {
	type port struct {
		Name      string `json:"name"`
		Title     string `json:"title"`
		Dimension string `json:"dimension"`
		Unit      string `json:"unit,omitempty"`
		Rows      bool   `json:"rows,omitempty"`
		Optional  bool   `json:"optional,omitempty"`
		Default   string `json:"default,omitempty"`
		Formula   string `json:"formula,omitempty"`
		Source    string `json:"source,omitempty"`
	}
	type entry struct {
		Name    string            `json:"name"`
		Title   string            `json:"title"`
		About   string            `json:"about,omitempty"`
		Inputs  []port            `json:"inputs"`
		Outputs []port            `json:"outputs"`
		Example map[string]string `json:"example"`
	}
	out := []entry{}
	for _, c := range list {
		e := entry{Name: c.Name, Title: c.Title, About: c.About, Example: c.Example, Inputs: []port{}, Outputs: []port{}}
		for _, i := range c.Inputs {
			e.Inputs = append(e.Inputs, port{Name: i.Name, Title: i.Title, Dimension: string(i.Dim), Unit: unit.Standard(i.Dim).Symbol, Rows: i.Rows, Optional: i.Optional, Default: i.Default})
		}
		for _, o := range c.Outputs {
			e.Outputs = append(e.Outputs, port{Name: o.Name, Title: o.Title, Dimension: string(o.Dim), Unit: unit.Standard(o.Dim).Symbol, Formula: o.Formula, Source: o.Source})
		}
		out = append(out, e)
	}
	return out
}
