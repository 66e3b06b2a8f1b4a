package report

import (
	"math"
	"strconv"

	"seepwright/engine/measure/catalogue"
	"seepwright/rules/fact"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// Worked is the result of one calculation.
type Worked struct {
	Calculation catalogue.Calculation
	In          catalogue.In
	Out         catalogue.Out
	Rough       []table.Row // ways to judge it without the instrument
	Explain     bool        // formula and source of every figure
	Refused     string
}

// in picks the unit for a dimension.
func (m Worked) in(d unit.Dimension) string {
	if u := m.In.Shown[d]; u != "" {
		return u
	}
	return unit.Standard(d).Symbol
}

// show writes a number with no digit that its uncertainty does not support; four digits where none is known.
func (m Worked) show(n catalogue.Num, d unit.Dimension) string {
	me := fact.Measure{SI: n.SI, U: n.U, Dim: d, Unit: m.in(d)}
	if me.Unit == "mm" && n.SI != 0 && math.Abs(n.SI) < catalogue.Fine && math.Abs(n.SI) > 1e-12 {
		me.Unit = "um"
	}
	if n.U != 0 {
		return me.String()
	}
	if math.Abs(n.SI) < 1e-12 { // what is left of rounding is nought
		me.SI = 0
	}
	q := me.Shown()
	q.Number, _ = strconv.ParseFloat(unit.Show(q.Number, 4), 64)
	return q.String()
}

// bound writes a limit for a size, rounded to the safe side in steps that a workshop reads.
func (m Worked) bound(si float64, d unit.Dimension, least bool) string {
	u, _ := unit.ByName(m.in(d))
	if u.Symbol == "mm" && si != 0 && math.Abs(si) < catalogue.Fine {
		u, _ = unit.ByName("um")
	}
	x := u.FromSI(si)
	step := math.Pow(10, math.Floor(math.Log10(math.Max(math.Abs(x), 1e-300)))-3) // four digits
	if least {
		x = math.Ceil(x/step-1e-9) * step
	} else {
		x = math.Floor(x/step+1e-9) * step
	}
	return unit.Quantity{Number: math.Round(x/step) * step, Unit: u}.String()
}

// View is the result for a person: the verdict in one sentence, the figures, what to aim at, and where it comes from.
func (m Worked) View() []Block {
	p := &page{}
	if m.Refused != "" {
		p.add(Verdict, "REFUSED: %s", m.Refused)
		return p.blocks
	}
	p.add(Verdict, "%s", m.Out.Sentence)
	if m.Out.Settle != "" {
		p.add(Para, "To settle it: %s.", m.Out.Settle)
	}
	for _, r := range m.rows() {
		p.add(Item, "%s (%s): %s", r.Title, r.Name, r.shown)
	}
	m.viewLimits(p)
	m.viewTargets(p)
	m.viewNotes(p)
	m.viewRough(p)
	if len(m.Out.Cited) > 0 {
		p.add(Heading, "From tables")
	}
	for _, c := range m.Out.Cited {
		p.add(Item, "%s: %s", c.What, c.Figure)
		p.add(Note, "Source: %s.", Origin(c.Source, c.Standing))
	}
	if !m.Explain {
		p.add(Para, "Formula and source of every figure: add --explain.")
		return p.blocks
	}
	p.add(Heading, "How and from where")
	for _, r := range m.rows() {
		p.add(Item, "%s: %s", r.Name, r.Formula)
		p.add(Note, "Source: %s.", Origin(r.Source, r.Standing))
	}
	return p.blocks
}

func (m Worked) viewLimits(p *page) {
	if len(m.Out.Limits) == 0 {
		return
	}
	p.add(Heading, "Limits")
	for _, l := range m.Out.Limits {
		p.add(Item, "%s: %s %s, %s", l.Title, side(l.AtMost), m.show(catalogue.Num{SI: l.SI}, l.Dim), verdictWords(l.Verdict))
		p.add(Note, "From: %s.", Origin(l.From, l.Standing))
		if s := l.Plausible(); s != "" {
			p.add(Note, "For comparison: %s.", s)
		}
		if l.Verdict == catalogue.CannotSay {
			p.add(Note, "The chance that the true value keeps it is %.0f %%.", 100*l.Chance)
		}
	}
}

func side(atMost bool) string {
	if atMost {
		return "at most"
	}
	return "at least"
}

func verdictWords(v string) string {
	return map[string]string{catalogue.OK: "kept", catalogue.TooSmall: "not kept", catalogue.TooLarge: "not kept", catalogue.CannotSay: "cannot be called"}[v]
}

func (m Worked) viewTargets(p *page) {
	if len(m.Out.Targets) == 0 {
		return
	}
	p.add(Heading, "What each size must be, the others left as they are")
	for _, t := range m.Out.Targets {
		now := m.show(catalogue.Num{SI: t.Now}, t.Dim)
		p.add(Item, "%s: %s (now %s)", t.Title, m.between(t, func(b *catalogue.Bound) float64 { return b.SI }), now)
		read := m.between(t, func(b *catalogue.Bound) float64 { return b.Reads })
		switch {
		case !t.Guarded():
		case read == "":
			p.add(Note, "No reading with these instruments would prove it.")
		default:
			p.add(Note, "To be sure with these instruments it should read %s.", read)
		}
	}
}

// between writes the bounds of a target.
func (m Worked) between(t catalogue.Target, of func(*catalogue.Bound) float64) string {
	one := func(b *catalogue.Bound, least bool) string {
		if b == nil || math.IsNaN(of(b)) {
			return ""
		}
		return m.bound(of(b), t.Dim, least)
	}
	lo, hi := one(t.Least, true), one(t.Greatest, false)
	switch {
	case t.Broken():
		return "no value helps by itself, for it would have to be at least " + lo + " and at most " + hi
	case lo != "" && hi != "":
		return lo + " to " + hi
	case lo != "":
		return "at least " + lo
	case hi != "":
		return "at most " + hi
	}
	return ""
}

func (m Worked) viewNotes(p *page) {
	if len(m.Out.Notes) == 0 && m.Calculation.Blind == "" {
		return
	}
	p.add(Heading, "What to know")
	for _, n := range m.Out.Notes {
		p.add(Item, "%s", n)
	}
	if m.Calculation.Blind != "" {
		p.add(Item, "What this cannot see: %s", m.Calculation.Blind)
	}
}

func (m Worked) viewRough(p *page) {
	if len(m.Rough) == 0 {
		return
	}
	p.add(Heading, "Without the instrument")
	for _, r := range m.Rough {
		roughly(p, r)
	}
}

func roughly(p *page, r table.Row) {
	p.add(Item, "%s", r.Text("how"))
	p.add(Note, "It can decide: %s. It cannot: %s. Source: %s.", r.Text("decides"), r.Text("cannot_decide"), Origin(r.Source(), r.Standing()))
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
			q.Number = digits(q.Number)
			r.Value, r.Unit, r.Uncertainty, r.shown = &q.Number, q.Unit.Symbol, me.ShownU(), m.show(n, o.Dim)
			out = append(out, r)
		} else if t, ok := m.Out.Text[o.Name]; ok {
			r.Text, r.shown = t, t
			out = append(out, r)
		}
	}
	return out
}

// JSON is the result for a program: every input as it was used, every intermediate figure with its formula and source.
func (m Worked) JSON() any {
	type cited struct {
		What     string `json:"what"`
		Figure   string `json:"figure"`
		Source   string `json:"source"`
		Standing string `json:"standing"`
	}
	type rough struct {
		How          string `json:"how"`
		Decides      string `json:"decides"`
		CannotDecide string `json:"cannotDecide"`
		Source       string `json:"source"`
		Standing     string `json:"standing"`
	}
	tables, ways := []cited{}, []rough{}
	for _, c := range m.Out.Cited {
		tables = append(tables, cited(c))
	}
	for _, r := range m.Rough {
		ways = append(ways, rough{r.Text("how"), r.Text("decides"), r.Text("cannot_decide"), r.Source(), r.Standing()})
	}
	notes := append([]string{}, m.Out.Notes...)
	return struct {
		Calculation string   `json:"calculation"`
		Verdict     string   `json:"verdict"`
		Sentence    string   `json:"sentence"`
		Inputs      any      `json:"inputs"`
		Outputs     []row    `json:"outputs"`
		Limits      any      `json:"limits"`
		Targets     any      `json:"targets"`
		Settle      string   `json:"settle,omitempty"`
		Notes       []string `json:"notes"`
		CannotSee   string   `json:"cannotSee,omitempty"`
		Tables      []cited  `json:"tables"`
		Rough       []rough  `json:"withoutInstrument"`
		Refused     string   `json:"refused,omitempty"`
	}{m.Calculation.Name, m.Out.Verdict, m.Out.Sentence, m.inputsJSON(), m.rows(), m.limitsJSON(), m.targetsJSON(), m.Out.Settle, notes, m.Calculation.Blind, tables, ways, m.Refused}
}

// number gives an SI value in the unit in which a dimension is shown.
func (m Worked) number(si float64, d unit.Dimension) (float64, string) {
	q := fact.Measure{SI: si, Dim: d, Unit: m.in(d)}.Shown()
	return digits(q.Number), q.Unit.Symbol
}

// digits takes off what conversion between units leaves behind the twelfth digit.
func digits(x float64) float64 {
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 12, 64), 64)
	return y
}

// width is number for a difference.
func (m Worked) width(si float64, d unit.Dimension) float64 {
	u, ok := unit.ByName(m.in(d))
	if !ok {
		return si
	}
	return digits(si / u.Factor)
}

func (m Worked) inputsJSON() any {
	type reading struct {
		At          string  `json:"at"`
		Value       float64 `json:"value"`
		Uncertainty float64 `json:"uncertainty"`
	}
	type input struct {
		Name        string    `json:"name"`
		Title       string    `json:"title"`
		Value       *float64  `json:"value,omitempty"`
		Uncertainty float64   `json:"uncertainty,omitempty"`
		Word        string    `json:"word,omitempty"`
		Readings    []reading `json:"readings,omitempty"`
		Unit        string    `json:"unit,omitempty"`
		Default     bool      `json:"default,omitempty"`
	}
	out := []input{}
	for _, d := range m.Calculation.Inputs {
		x := input{Name: d.Name, Title: d.Title}
		n, given := m.In.Num[d.Name]
		switch {
		case d.Dim == "":
			if x.Word = m.In.Text[d.Name]; x.Word == "" {
				x.Word, x.Default = d.Default, true
			}
			if x.Word == "" {
				continue
			}
		case d.Rows:
			if len(m.In.Rows[d.Name]) == 0 {
				continue
			}
			for _, r := range m.In.Rows[d.Name] {
				v, u := m.number(r.SI, d.Dim)
				x.Readings, x.Unit = append(x.Readings, reading{r.At, v, m.width(r.U, d.Dim)}), u
			}
		case given:
			v, u := m.number(n.SI, d.Dim)
			x.Value, x.Unit, x.Uncertainty = &v, u, m.width(n.U, d.Dim)
		case d.Default != "":
			q, err := unit.Parse(d.Default, d.Dim)
			if err != nil {
				continue
			}
			x.Value, x.Unit, x.Default = &q.Number, q.Unit.Symbol, true
		default:
			continue
		}
		out = append(out, x)
	}
	return out
}

func (m Worked) limitsJSON() any {
	type limit struct {
		Output    string  `json:"output"`
		Side      string  `json:"side"`
		Value     float64 `json:"value"`
		Unit      string  `json:"unit"`
		From      string  `json:"from"`
		Standing  string  `json:"standing,omitempty"`
		Verdict   string  `json:"verdict"`
		Margin    float64 `json:"margin"`
		Doubt     float64 `json:"doubt"`
		Chance    float64 `json:"chance"`
		Plausible string  `json:"plausible,omitempty"`
	}
	out := []limit{}
	for _, l := range m.Out.Limits {
		v, u := m.number(l.SI, l.Dim)
		out = append(out, limit{l.Output, side(l.AtMost), v, u, l.From, l.Standing, l.Verdict, m.width(l.Margin, l.Dim), m.width(l.Doubt, l.Dim), l.Chance, l.Plausible()})
	}
	return out
}

func (m Worked) targetsJSON() any {
	type bound struct {
		Value  float64  `json:"value"`
		Reads  *float64 `json:"reads,omitempty"` // left out where these instruments cannot prove it
		Output string   `json:"output"`
	}
	type target struct {
		Input    string  `json:"input"`
		Now      float64 `json:"now"`
		Unit     string  `json:"unit"`
		Least    *bound  `json:"least,omitempty"`
		Greatest *bound  `json:"greatest,omitempty"`
	}
	out := []target{}
	for _, t := range m.Out.Targets {
		now, u := m.number(t.Now, t.Dim)
		of := func(b *catalogue.Bound) *bound {
			if b == nil {
				return nil
			}
			v, _ := m.number(b.SI, t.Dim)
			x := &bound{Value: v, Output: b.By}
			if !math.IsNaN(b.Reads) {
				r, _ := m.number(b.Reads, t.Dim)
				x.Reads = &r
			}
			return x
		}
		out = append(out, target{t.Input, now, u, of(t.Least), of(t.Greatest)})
	}
	return out
}
