package catalogue

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"seepwright/engine/measure/refuse"
	"seepwright/engine/measure/uncertain"
	"seepwright/rules/unit"
)

// given are the inputs of one evaluation as bare SI numbers.
type given struct {
	num  map[string]float64
	rows map[string][]reading
}

type reading struct {
	At string
	V  float64
}

func (g given) has(name string) bool { _, ok := g.num[name]; return ok }

func (g given) length(name string) unit.Length { return unit.Length(g.num[name]) }
func (g given) ratio(name string) unit.Ratio   { return unit.Ratio(g.num[name]) }

// found are the results of one evaluation as bare SI numbers and texts.
type found struct {
	num  map[string]float64
	text map[string]string
}

// put notes a result of a typed function, or its error.
func put[T ~float64](f *found, err *error, name string, x T, e error) {
	if e != nil && *err == nil {
		*err = e
	}
	f.num[name] = float64(x)
}

func newFound() found { return found{map[string]float64{}, map[string]string{}} }

// runner builds Run of a calculation from its formula and the words that follow it.
//
// Every output gets the uncertainty of every input; see uncertain.Many. words may be nil.
func runner(inputs []Input, formula func(given) (found, error), words func(g given, o *Out)) func(In) (Out, error) {
	return func(in In) (Out, error) {
		g, list, err := gather(inputs, in)
		if err != nil {
			return Out{}, err
		}
		base, err := formula(g)
		if err != nil {
			return Out{}, err
		}
		names := make([]string, 0, len(base.num))
		for k := range base.num {
			names = append(names, k)
		}
		sort.Strings(names)
		values, err := uncertain.Many(func(x []float64) ([]float64, error) {
			f, err := formula(list.with(g, x))
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
		}, list.values, list.rows...)
		if err != nil {
			return Out{}, err
		}
		out := Out{Num: map[string]Num{}, Text: base.text}
		for i, k := range names {
			out.Num[k] = Num{values[i].X, values[i].U}
		}
		if words != nil {
			words(g, &out)
		}
		return out, nil
	}
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
	n := given{map[string]float64{}, map[string][]reading{}}
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

// gather checks the input against what the calculation takes and fills in defaults.
func gather(inputs []Input, in In) (given, flat, error) {
	g := given{map[string]float64{}, map[string][]reading{}}
	var l flat
	known := map[string]bool{}
	for _, d := range inputs {
		known[d.Name] = true
		if d.Rows {
			row := in.Rows[d.Name]
			if len(row) == 0 {
				if !d.Optional {
					return g, l, refuse.Because(d.Title, "is missing", "give a row of readings, each with its place")
				}
				continue
			}
			var indices []int
			for i, r := range row {
				if err := checkNum(fmt.Sprintf("%s, reading %d", d.Title, i+1), r.Num); err != nil {
					return g, l, err
				}
				g.rows[d.Name] = append(g.rows[d.Name], reading{r.At, r.SI})
				indices = append(indices, l.add(d.Name, i, r.Num))
			}
			l.rows = append(l.rows, indices)
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
		return g, l, refuse.Because("the input \""+k+"\"", "is not one that this calculation takes", "it takes "+strings.Join(inputNames(inputs), ", "))
	}
	return g, l, nil
}

func unknownNames(in In, known map[string]bool) []string {
	var out []string
	for k := range in.Num {
		if !known[k] {
			out = append(out, k)
		}
	}
	for k := range in.Rows {
		if !known[k] {
			out = append(out, k)
		}
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

func checkNum(title string, n Num) error {
	return refuse.First(refuse.Finite(title, n.SI), refuse.NotNegative("the uncertainty of "+title, n.U))
}
