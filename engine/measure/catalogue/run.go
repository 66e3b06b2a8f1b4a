package catalogue

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"seepwright/engine/measure/refuse"
	"seepwright/engine/measure/uncertain"
	"seepwright/rules/source"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// given are the inputs of one evaluation as bare SI numbers and words.
type given struct {
	num    map[string]float64
	rows   map[string][]reading
	word   map[string]string
	tables Tables
	notes  *[]string // remarks on the inputs, for the person
	shown  shown
}

// say writes a number in the unit in which the person gives quantities of its kind.
func (g given) say(n Num, dim unit.Dimension) string { return g.shown.say(n, dim) }

// say does the same in the words about the result.
func (o *Out) say(n Num, dim unit.Dimension) string { return o.shown.say(n, dim) }

type reading struct {
	At string
	V  float64
}

func (g given) has(name string) bool { _, ok := g.num[name]; return ok || g.word[name] != "" }

func (g given) length(name string) unit.Length     { return unit.Length(g.num[name]) }
func (g given) ratio(name string) unit.Ratio       { return unit.Ratio(g.num[name]) }
func (g given) pressure(name string) unit.Pressure { return unit.Pressure(g.num[name]) }
func (g given) force(name string) unit.Force       { return unit.Force(g.num[name]) }

// table is a table of published figures. Where none were handed over it is an error, never an empty table.
func (g given) table(name string) (*table.Table, error) {
	if g.tables == nil {
		return nil, fmt.Errorf("the table %q is needed and no tables were handed over", name)
	}
	return g.tables.Table(name)
}

// row is the row of a table that the word of an input chooses.
func (g given) row(tab, input string) (table.Row, error) {
	t, err := g.table(tab)
	if err != nil {
		return table.Row{}, err
	}
	return t.Find("the "+input+" "+g.word[input], table.Is("name", g.word[input]))
}

// found are the results of one evaluation as bare SI numbers and texts.
type found struct {
	num   map[string]float64
	text  map[string]string
	notes []string
	cited []Cited
	// touch names, per row of readings, those that carry the results; nil = all may.
	touch map[string][]int
}

// put notes a result of a typed function, or its error.
func put[T ~float64](f *found, err *error, name string, x T, e error) {
	if e != nil && *err == nil {
		*err = e
	}
	f.num[name] = float64(x)
}

// note adds a remark for the person.
func (f *found) note(format string, args ...any) {
	f.notes = append(f.notes, fmt.Sprintf(format, args...))
}

// cite notes that a figure came out of a table.
func (f *found) cite(what string, r table.Row, head string) {
	f.cited = append(f.cited, Cited{what, r.Show(head), r.Source(), r.Standing()})
}

func newFound() found { return found{num: map[string]float64{}, text: map[string]string{}} }

// manyReadings is the number of readings above which only those that carry the result are moved one by one.
const manyReadings = 60

// Run runs the calculation. Every output gets the uncertainty of every input; see uncertain.Many. What it
// refuses comes back as an error in words.
func (c Calculation) Run(in In) (Out, error) {
	g, list, err := c.gather(in)
	if err != nil {
		return Out{}, err
	}
	base, values, names, err := c.evaluate(g, list)
	if err != nil {
		return Out{}, err
	}
	out := Out{Num: map[string]Num{}, Text: base.text, Notes: append(*g.notes, base.notes...), Cited: base.cited, shown: in.Shown}
	for i, k := range names {
		if math.IsInf(values[i].X, 0) || math.IsInf(values[i].U, 0) {
			return Out{}, refuse.Because(c.output(k).Title, "comes out without bound", "check the sizes and their units: one of them is far from any real part")
		}
		out.Num[k] = Num{values[i].X, values[i].U}
		if values[i].U <= 1e-9*math.Abs(values[i].X) { // what is left of rounding is no doubt
			out.Num[k] = Num{SI: values[i].X}
		}
	}
	if out.Limits, err = c.limits(g, base, out.Num, in); err != nil {
		return Out{}, err
	}
	out.Verdict = together(out.Limits)
	lead := ""
	if c.lead != nil {
		lead = c.lead(g, &out)
	}
	out.Sentence = sentence(c, lead, out)
	if in.Solve {
		out.Targets = c.targets(g, in, out.Limits)
	}
	if out.Verdict == CannotSay && len(in.Tools) > 0 {
		out.Settle = c.settle(g, list, base, in)
	}
	return out, nil
}

// evaluate gives all outputs with their uncertainty, in the order of names.
func (c Calculation) evaluate(g given, list flat) (base found, values []uncertain.Value, names []string, err error) {
	if base, err = c.formula(g); err != nil {
		return base, nil, nil, err
	}
	for k := range base.num {
		names = append(names, k)
	}
	sort.Strings(names)
	values, err = uncertain.ManyOf(func(x []float64) ([]float64, error) {
		f, err := c.formula(list.with(g, x))
		if err != nil {
			return nil, err
		}
		y := make([]float64, len(names))
		for i, k := range names {
			v, ok := f.num[k]
			if !ok {
				v = math.NaN()
			}
			y[i] = v
		}
		return y, nil
	}, list.values, list.still(base.touch), list.rows...)
	return base, values, names, err
}

// flat are all numbers of an input in one list, with the way back.
type flat struct {
	names  []string // input of each number
	index  []int    // place in its row, or -1
	values []uncertain.Value
	rows   [][]int
}

func (l *flat) add(name string, index int, n Num) int {
	l.names, l.index = append(l.names, name), append(l.index, index)
	l.values = append(l.values, uncertain.Value{X: n.SI, U: n.U})
	return len(l.values) - 1
}

func (l flat) with(g given, x []float64) given {
	n := given{map[string]float64{}, map[string][]reading{}, g.word, g.tables, g.notes, g.shown}
	for k, r := range g.rows {
		n.rows[k] = append([]reading(nil), r...)
	}
	for i, v := range x {
		if l.index[i] < 0 {
			n.num[l.names[i]] = v
		} else {
			n.rows[l.names[i]][l.index[i]].V = v
		}
	}
	return n
}

// still marks the readings of long rows that need not be moved one by one.
func (l flat) still(touch map[string][]int) []bool {
	if len(l.values) <= manyReadings || touch == nil {
		return nil
	}
	out := make([]bool, len(l.values))
	for i := range out {
		t, known := touch[l.names[i]]
		out[i] = l.index[i] >= 0 && known && !slices.Contains(t, l.index[i])
	}
	return out
}

// gather checks the input against what the calculation takes and fills in defaults.
func (c Calculation) gather(in In) (given, flat, error) {
	g := given{map[string]float64{}, map[string][]reading{}, map[string]string{}, in.Tables, &[]string{}, in.Shown}
	var l flat
	known := map[string]bool{}
	for _, d := range c.Inputs {
		known[d.Name] = true
		if d.Dim == "" {
			if err := g.takeWord(d, in.Text[d.Name]); err != nil {
				return g, l, err
			}
			continue
		}
		if d.Rows {
			if err := g.takeRow(d, in.Rows[d.Name], &l); err != nil {
				return g, l, err
			}
			continue
		}
		n, ok := in.Num[d.Name]
		if !ok && d.Default != "" {
			q, err := unit.Parse(d.Default, d.Dim)
			if err != nil {
				return g, l, fmt.Errorf("default of %s: %w", d.Name, err)
			}
			n, ok = Num{SI: q.SI()}, true
		}
		if !ok {
			if !d.Optional {
				return g, l, refuse.Because(d.Title, "is missing", "give it as a "+string(d.Dim)+", such as in "+strings.Join(unit.Names(d.Dim)[:1], ""))
			}
			continue
		}
		if err := checkNum(d.Title, n); err != nil {
			return g, l, err
		}
		if d.Dim == unit.CountDim && n.SI != math.Trunc(n.SI) && strings.Contains(d.Name, "bolts") {
			return g, l, refuse.Because(d.Title, fmt.Sprintf("is %g", n.SI), "give a whole number")
		}
		g.num[d.Name] = n.SI
		l.add(d.Name, -1, n)
	}
	for _, k := range unknownNames(in, known) {
		return g, l, refuse.Because("the input \""+k+"\"", "is not one that this calculation takes", "it takes "+strings.Join(inputNames(c.Inputs), ", "))
	}
	return g, l, nil
}

func (g given) takeRow(d Input, row []Row, l *flat) error {
	if len(row) == 0 {
		if !d.Optional {
			return refuse.Because(d.Title, "is missing", "give a row of readings, each with its place")
		}
		return nil
	}
	var indices []int
	for i, r := range row {
		if err := checkNum(fmt.Sprintf("%s, reading %d", d.Title, i+1), r.Num); err != nil {
			return err
		}
		g.rows[d.Name] = append(g.rows[d.Name], reading{r.At, r.SI})
		indices = append(indices, l.add(d.Name, i, r.Num))
	}
	g.spread(d)
	l.rows = append(l.rows, indices)
	return nil
}

// spread gives places to readings that have none, where the way of measuring has a usual one.
func (g given) spread(d Input) {
	row := g.rows[d.Name]
	if d.Spread == "" || len(row) < 2 || slices.ContainsFunc(row, func(r reading) bool { return strings.TrimSpace(r.At) != "" }) {
		return
	}
	turn, over := 360.0, "a whole turn"
	if d.Spread == "half-turn" {
		turn, over = 180, "half a turn"
	}
	for i := range row {
		row[i].At = fmt.Sprintf("%.9g deg", turn*float64(i)/float64(len(row)))
	}
	*g.notes = append(*g.notes, fmt.Sprintf("The %d readings came without places: taken as evenly spaced over %s, clockwise from 12 o'clock.", len(row), over))
}

// takeWord checks a word against those that are understood.
func (g given) takeWord(d Input, word string) error {
	if word == "" {
		word = d.Default
	}
	if word == "" {
		if !d.Optional {
			return refuse.Because(d.Title, "is missing", "give a word, such as "+d.Name+"=...")
		}
		return nil
	}
	words, err := g.Choices(d)
	if err != nil {
		return err
	}
	for _, same := range []func(string) bool{
		func(w string) bool { return strings.EqualFold(w, word) },
		func(w string) bool { return table.Plain(w) == table.Plain(word) }, // an option of a fact cannot be called 9/16-18
	} {
		if i := slices.IndexFunc(words, same); i >= 0 {
			g.word[d.Name] = words[i]
			return nil
		}
	}
	hint := source.DidYouMean(strings.ToLower(word), words)
	if hint == "" {
		hint = "one of " + strings.Join(words, ", ")
	}
	return refuse.Because(d.Title, "cannot be \""+word+"\"", hint)
}

// Choices are the words that an input understands.
func (g given) Choices(d Input) ([]string, error) {
	if d.From == "" {
		return d.Words, nil
	}
	t, err := g.table(d.From)
	if err != nil {
		return nil, err
	}
	return t.Choices(), nil
}

// Choices are the words that an input understands, those of a table included; nil for a quantity.
func Choices(d Input, tables Tables) ([]string, error) {
	if d.Dim != "" {
		return nil, nil
	}
	return given{tables: tables}.Choices(d)
}

func unknownNames(in In, known map[string]bool) []string {
	var out []string
	see := func(k string) {
		if !known[k] {
			out = append(out, k)
		}
	}
	for k := range in.Num {
		see(k)
	}
	for k := range in.Rows {
		see(k)
	}
	for k := range in.Text {
		see(k)
	}
	for k := range in.Maker {
		see(k)
	}
	sort.Strings(out)
	return out
}

func inputNames(inputs []Input) []string {
	var out []string
	for _, d := range inputs {
		out = append(out, d.Name)
	}
	return out
}

// beyond is the magnitude (SI) above which, and one over it below which, nothing is a measured quantity.
const beyond = 1e15

func checkNum(title string, n Num) error {
	if err := refuse.First(refuse.Finite(title, n.SI), refuse.NotNegative("the uncertainty of "+title, n.U)); err != nil {
		return err
	}
	if a := math.Abs(n.SI); a > beyond || a != 0 && a < 1/beyond || n.U > beyond {
		return refuse.Because(title, "is beyond anything that can be measured", "check the number and its unit")
	}
	return nil
}
