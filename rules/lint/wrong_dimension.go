package lint

import (
	"fmt"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/load"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// dimensions reports limits that are measured in something else than their fact.
func dimensions(c *checker) {
	for _, d := range c.k.Facts {
		c.limit(d.Head, "least", d.Least, d)
		c.limit(d.Head, "most", d.Most, d)
		if i := c.k.Instrument(d.Instrument); i != nil && d.Dim != "" && !sameDim(i.Dim, d.Dim) {
			c.report(c.at(d.Head, "instrument", d.Instrument), "wrong-dimension", fmt.Sprintf("the instrument %q measures a %s, but the fact is a %s", i.ID, i.Dim, d.Dim), "name an instrument that measures it")
		}
	}
	for _, d := range c.k.Targets {
		f := c.fact(d.Fact)
		if f == nil {
			continue
		}
		if !number(f) {
			c.report(c.at(d.Head, "fact", d.Fact), "not-a-quantity", fmt.Sprintf("%q is answered by %s and has no size to compare", f.ID, f.Answer), "name a fact that is a quantity, or let a rule compute one")
			continue
		}
		c.limit(d.Head, "at least", d.AtLeast, f)
		c.limit(d.Head, "at most", d.AtMost, f)
		if d.AtLeast != nil && d.AtMost != nil && d.AtLeast.SI > d.AtMost.SI {
			c.report(c.at(d.Head, "at most", ""), "empty-range", "nothing is at least "+d.AtLeast.Shown().String()+" and at most "+d.AtMost.Shown().String(), "swap the two")
		}
		for _, x := range []struct{ field, id string }{{"limit by", d.LimitBy}, {"low by", d.LowBy}, {"maker", d.Maker}} {
			if by := c.fact(x.id); by != nil && by.Dim != f.Dim {
				c.report(c.at(d.Head, x.field, x.id), "wrong-dimension", fmt.Sprintf("%q is %s, but %q is a %s", by.ID, dimText(by), f.ID, f.Dim), "name a fact of the same dimension")
			}
		}
	}
}

func dimText(f *rules.Fact) string {
	if f.Dim == "" {
		return "answered by " + string(f.Answer)
	}
	return "a " + string(f.Dim)
}

func (c *checker) limit(h rules.Head, field string, m *fact.Measure, f *rules.Fact) {
	if m == nil || f.Dim == "" || m.Dim == f.Dim {
		return
	}
	what := fmt.Sprintf("%q is a %s, but this is a %s", f.ID, f.Dim, m.Dim)
	if m.Dim == "" {
		what = fmt.Sprintf("%q is a %s, and this has no unit", f.ID, f.Dim)
	}
	c.report(c.at(h, field, ""), "wrong-dimension", what, "write it like "+unit.Quantity{Number: 2, Unit: unit.Standard(f.Dim)}.String())
}

// sameDim lets a thermometer measure differences of temperature too.
func sameDim(a, b unit.Dimension) bool {
	return a == b || a == unit.TemperatureDim && b == unit.KelvinDim
}

// calculations checks what is bound to the inputs and outputs of calculations.
func calculations(c *checker) {
	if c.o.Calculations == nil {
		return
	}
	for _, d := range c.k.Rules {
		for _, a := range d.Then {
			if a.Compute != nil {
				c.compute(d, a.Compute)
			}
		}
	}
}

func (c *checker) compute(d *rules.Rule, x *rules.Compute) {
	calc, ok := c.calcs[x.By]
	if !ok {
		c.report(c.at(d.Head, "then", x.By), "unknown-name", "no calculation is called "+quote(x.By), source.DidYouMean(x.By, sortedKeys(c.calcs)))
		return
	}
	for _, in := range sortedKeys(x.From) {
		p, ok := port(calc.Inputs, in)
		if !ok {
			c.report(c.at(d.Head, "then", in), "unknown-name", fmt.Sprintf("the calculation %q has no input %q", calc.Name, in), portHint(in, calc.Inputs))
			continue
		}
		v := x.From[in]
		if load.IsQuantity(v) {
			if _, err := unit.Parse(v, p.Dim); err != nil {
				c.report(c.at(d.Head, "then", v), "wrong-dimension", fmt.Sprintf("the input %q is a %s: %v", in, p.Dim, err), "")
			}
			continue
		}
		c.bind(d, v, p, "input")
	}
	for _, p := range calc.Inputs {
		if _, ok := x.From[p.Name]; !ok && !p.Optional {
			c.report(c.at(d.Head, "then", x.By), "missing-input", fmt.Sprintf("the calculation %q needs the input %q", calc.Name, p.Name), "add it under from: "+p.Name+": FACT")
		}
	}
	for _, out := range sortedKeys(x.Into) {
		p, ok := port(calc.Outputs, out)
		if !ok {
			c.report(c.at(d.Head, "then", out), "unknown-name", fmt.Sprintf("the calculation %q has no output %q", calc.Name, out), portHint(out, calc.Outputs))
			continue
		}
		c.bind(d, x.Into[out], p, "output")
	}
}

func port(list []Port, name string) (Port, bool) {
	for _, p := range list {
		if p.Name == name {
			return p, true
		}
	}
	return Port{}, false
}

func portHint(name string, list []Port) string {
	var names []string
	for _, p := range list {
		names = append(names, p.Name)
	}
	if hint := source.DidYouMean(name, names); hint != "" {
		return hint
	}
	return "it has " + joined(names)
}

// bind checks that a fact fits the port of a calculation.
func (c *checker) bind(d *rules.Rule, id string, p Port, side string) {
	f := c.fact(id)
	if f == nil {
		return // reported with the unknown names
	}
	at := c.at(d.Head, "then", id)
	rows := f.Answer == fact.Readings
	switch {
	case p.Dim == "":
		if number(f) || rows {
			c.report(at, "wrong-dimension", fmt.Sprintf("the %s %q is a text, but %q is answered by %s", side, p.Name, id, f.Answer), "bind it to a choice or a clock fact")
		}
	case p.Rows && !rows && !number(f), !p.Rows && !number(f):
		c.report(at, "wrong-dimension", fmt.Sprintf("the %s %q is %s, but %q is answered by %s", side, p.Name, portText(p), id, f.Answer), "name a fact that is measured")
	case f.Dim != p.Dim:
		c.report(at, "wrong-dimension", fmt.Sprintf("the %s %q is %s, but %q is a %s", side, p.Name, portText(p), id, f.Dim), "name a fact of the same dimension")
	}
}

func portText(p Port) string {
	if p.Rows {
		return "a row of readings (" + string(p.Dim) + ")"
	}
	return "a " + string(p.Dim)
}
