// Package derive lets the rules of a knowledge base name a calculation of the measurement
// library: it binds values of facts to inputs and turns outputs into values.
// It computes nothing itself and knows no tables.
package derive

import (
	"fmt"
	"strings"

	"seepwright/engine/measure/catalogue"
	"seepwright/rules/fact"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// Library is the catalogue of calculations as the inference sees it.
type Library struct {
	Units  string           // metric | inch: how results are shown; "" = as most of the inputs were given
	Tables catalogue.Tables // published figures; nil where no calculation needs one
}

// Calculate runs a calculation on values of facts. What it refuses comes back as an error
// in words; nothing is clamped.
func (l Library) Calculate(name string, in map[string]fact.Value) (map[string]fact.Value, error) {
	c, ok := catalogue.ByName(name)
	if !ok {
		return nil, fmt.Errorf("no calculation is called %q; %s", name, source.DidYouMean(name, Names()))
	}
	args, err := l.Inputs(c, in)
	if err != nil {
		return nil, err
	}
	out, err := c.Run(args)
	if err != nil {
		return nil, err
	}
	res := map[string]fact.Value{}
	for _, spec := range c.Outputs {
		if n, ok := out.Num[spec.Name]; ok {
			res[spec.Name] = fact.MakeNumber(fact.Measure{SI: n.SI, U: n.U, Dim: spec.Dim, Unit: l.shownIn(in, spec.Dim)})
		}
		if t, ok := out.Text[spec.Name]; ok {
			if hour, ok := Hour(t); ok {
				res[spec.Name] = fact.MakeClock(hour, "")
			}
		}
	}
	return res, nil
}

// Inputs turns values of facts, by the input that they are for, into what a calculation is given. Inputs without a known
// value are left out.
func (l Library) Inputs(c catalogue.Calculation, in map[string]fact.Value) (catalogue.In, error) {
	args := catalogue.In{Num: map[string]catalogue.Num{}, Rows: map[string][]catalogue.Row{}, Text: map[string]string{}, Tables: l.Tables}
	for _, spec := range c.Inputs {
		v, ok := in[spec.Name]
		if !ok || !v.Answered() {
			continue
		}
		switch {
		case v.Type == fact.Number && !spec.Rows:
			args.Num[spec.Name] = catalogue.Num{SI: v.Num.SI, U: v.Num.U}
		case v.Type == fact.Readings && spec.Rows:
			for _, r := range v.Rows {
				args.Rows[spec.Name] = append(args.Rows[spec.Name], catalogue.Row{At: r.At, Num: catalogue.Num{SI: r.SI, U: r.U}})
			}
		case v.Type == fact.Choice && spec.Dim == "":
			args.Text[spec.Name] = v.Option
		case v.Type == fact.Number && spec.Rows:
			args.Rows[spec.Name] = []catalogue.Row{{Num: catalogue.Num{SI: v.Num.SI, U: v.Num.U}}}
		default:
			return catalogue.In{}, fmt.Errorf("%s of %s cannot be a %s", spec.Name, c.Name, v.Type)
		}
	}
	return args, nil
}

// shownIn picks the unit of a result: of the system that was asked for, else the unit in
// which most of the inputs of that dimension were given, so that inches in give inches out.
func (l Library) shownIn(in map[string]fact.Value, d unit.Dimension) string {
	if u := unit.Preferred(d, l.Units); u != "" {
		return u
	}
	count := map[string]int{}
	best := unit.Standard(d).Symbol
	see := func(m fact.Measure) {
		if m.Dim == d && m.Unit != "" {
			count[m.Unit]++
		}
	}
	for _, v := range in {
		see(v.Num)
		for _, r := range v.Rows {
			see(r.Measure)
		}
	}
	for u, n := range count {
		if n > count[best] || n == count[best] && u < best {
			best = u
		}
	}
	return best
}

// Hour reads a clock position as the calculations write it: "3:00", "10:30".
func Hour(text string) (float64, bool) {
	var h, m int
	if n, err := fmt.Sscanf(strings.TrimSpace(text), "%d:%d", &h, &m); err != nil || n != 2 || h < 0 || h > 12 || m < 0 || m > 59 {
		return 0, false
	}
	hour := float64(h) + float64(m)/60
	if hour < 1 {
		hour += 12
	}
	return hour, true
}

// Constant reads an input that stands as a quantity in a rule.
func (Library) Constant(name, input, text string) (fact.Value, error) {
	spec, ok := inputOf(name, input)
	if !ok {
		return fact.Value{}, fmt.Errorf("%s has no input %q", name, input)
	}
	q, err := unit.Parse(text, spec.Dim)
	if err != nil {
		return fact.Value{}, err
	}
	return fact.MakeNumber(fact.Measure{SI: q.SI(), Dim: spec.Dim, Unit: q.Unit.Symbol}), nil
}

func inputOf(name, input string) (catalogue.Input, bool) {
	c, ok := catalogue.ByName(name)
	if !ok {
		return catalogue.Input{}, false
	}
	for _, i := range c.Inputs {
		if i.Name == input {
			return i, true
		}
	}
	return catalogue.Input{}, false
}

// Names lists all calculations, sorted.
func Names() []string {
	var out []string
	for _, c := range catalogue.All() {
		out = append(out, c.Name)
	}
	return out
}
