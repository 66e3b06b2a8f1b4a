package cond

import (
	"fmt"
	"slices"
	"strings"

	"seepwright/rules/fact"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// Check compares the condition with what is known of its facts: names, options, dimensions
// and whether the fact can be compared at all. Problems come in the order of the text.
func (c *Cond) Check(v Vocabulary) []Problem {
	if c == nil || c.root == nil {
		return nil
	}
	var out []Problem
	c.root.check(v, func(p Problem) { out = append(out, p) })
	return out
}

func (n name) problem(code, what, hint string) Problem {
	return Problem{Code: code, At: n.at, Len: len([]rune(n.id)), What: what, Hint: hint}
}

func (a amount) problem(code, what, hint string) Problem {
	return Problem{Code: code, At: a.at, Len: len([]rune(a.text)), What: what, Hint: hint}
}

// look finds the fact or reports that there is none.
func look(n name, v Vocabulary, report func(Problem)) (Spec, bool) {
	s, ok := v.Spec(n.id)
	if !ok {
		report(n.problem(UnknownName, fmt.Sprintf("no fact is called %q", n.id), source.DidYouMean(n.id, v.Names())))
	}
	return s, ok
}

func (j *junction) check(v Vocabulary, report func(Problem)) {
	for _, p := range j.parts {
		p.check(v, report)
	}
}

func (n *negation) check(v Vocabulary, report func(Problem)) { n.of.check(v, report) }

func (a *choice) check(v Vocabulary, report func(Problem)) {
	spec, ok := look(a.fact, v, report)
	if !ok {
		return
	}
	options := spec.Options
	switch spec.Type {
	case fact.YesNo:
		options = []string{"yes", "no"}
		if a.oneOf {
			report(a.fact.problem(NeedsLimit, fmt.Sprintf("%q is answered by yes or no", a.fact.id), fmt.Sprintf("write \"%s is yes\"", a.fact.id)))
			return
		}
	case fact.Choice, fact.Several:
	case fact.Number:
		report(a.fact.problem(NeedsLimit, fmt.Sprintf("%q is %s, which needs a limit", a.fact.id, spec.Dim.Named()),
			fmt.Sprintf("write \"%s < %s\" with the limit wanted", a.fact.id, example(spec.Dim))))
		return
	default:
		report(a.fact.problem(NotAQuantity, fmt.Sprintf("%q is answered by %s and cannot stand in a condition", a.fact.id, spec.Type),
			"let a rule compute a quantity or a yes-no fact from it first"))
		return
	}
	for _, o := range a.options {
		if slices.Contains(options, o.id) {
			continue
		}
		hint := source.DidYouMean(o.id, options)
		if hint == "" {
			hint = "its answers are " + strings.Join(options, ", ")
		}
		report(o.problem(UnknownOption, fmt.Sprintf("%q has no answer %q", a.fact.id, o.id), hint))
	}
}

func example(d unit.Dimension) string {
	return strings.TrimSpace(unit.Quantity{Number: 2, Unit: unit.Standard(d)}.String())
}

// quantity finds a fact that must be a quantity.
func quantity(n name, v Vocabulary, report func(Problem)) (unit.Dimension, bool) {
	spec, ok := look(n, v, report)
	if !ok {
		return "", false
	}
	if spec.Type != fact.Number {
		hint := "let a rule compute a quantity from it first"
		switch spec.Type {
		case fact.YesNo:
			hint = fmt.Sprintf("write \"%s is yes\"", n.id)
		case fact.Choice, fact.Several:
			hint = fmt.Sprintf("write \"%s is OPTION\", one of %s", n.id, strings.Join(spec.Options, ", "))
		}
		report(n.problem(NotAQuantity, fmt.Sprintf("%q is answered by %s and has no size to compare", n.id, spec.Type), hint))
		return "", false
	}
	return spec.Dim, true
}

func (a amount) check(factID string, dim unit.Dimension, report func(Problem)) bool {
	if _, ok := a.si(dim); ok {
		return true
	}
	hint := "write it like " + example(dim)
	if a.unit.Symbol == "" {
		report(a.problem(WrongDimension, fmt.Sprintf("%q is %s, and %s has no unit", factID, dim.Named(), a.text), hint))
	} else {
		report(a.problem(WrongDimension, fmt.Sprintf("%q is %s, but %s is %s", factID, dim.Named(), a.text, a.unit.Dim.Named()), hint))
	}
	return false
}

func (c *comparison) check(v Vocabulary, report func(Problem)) {
	dim, ok := quantity(c.fact, v, report)
	if c.other.id == "" {
		if ok {
			c.limit.check(c.fact.id, dim, report)
		}
		return
	}
	other, ok2 := quantity(c.other, v, report)
	switch {
	case !ok || !ok2:
	case c.other.id == c.fact.id:
		report(c.other.problem(EmptyRange, fmt.Sprintf("%q is compared with itself", c.fact.id), "name the other fact"))
	case dim != other:
		report(c.other.problem(WrongDimension, fmt.Sprintf("%q is %s, but %q is %s", c.fact.id, dim.Named(), c.other.id, other.Named()), "compare facts of one dimension"))
	}
}

func (c *between) check(v Vocabulary, report func(Problem)) {
	dim, ok := quantity(c.fact, v, report)
	if !ok {
		return
	}
	fits := c.low.check(c.fact.id, dim, report)
	fits = c.high.check(c.fact.id, dim, report) && fits
	if !fits {
		return
	}
	low, _ := c.low.si(dim)
	if high, _ := c.high.si(dim); low >= high {
		report(c.low.problem(EmptyRange, fmt.Sprintf("nothing lies between %s and %s", c.low.text, c.high.text), "write the lower limit first"))
	}
}
