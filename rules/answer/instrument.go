package answer

import (
	"math"
	"strings"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// Instruments are the ways of measuring that an answer may name.
type Instruments []*rules.Instrument

// Find looks an instrument up by id or title; articles and case do not matter.
func (t Instruments) Find(name string) (*rules.Instrument, bool) {
	for _, article := range []string{"a", "an", "the", "my"} {
		name, _ = cutWord(strings.TrimSpace(name), article)
	}
	want := fold(name)
	for _, i := range t {
		if fold(i.ID) == want {
			return i, true
		}
	}
	for _, i := range t {
		if i.Title != "" && fold(i.Title) == want {
			return i, true
		}
	}
	return nil, false
}

// named finds the instrument that an answer names and refuses one that measures something else.
func (t Instruments) named(name string, dim unit.Dimension) (*rules.Instrument, error) {
	i, ok := t.Find(name)
	if !ok {
		ids := make([]string, len(t))
		for n, x := range t {
			ids[n] = x.ID
		}
		hint := source.DidYouMean(fold(name), ids)
		if hint == "" {
			hint = "leave it out, or state the uncertainty after +/-"
		}
		return nil, mistake(UnknownTool, hint, "no instrument is called %q", name)
	}
	if i.Dim != dim {
		return nil, mistake(WrongTool, "name what it was measured with", "%s measures %s, but %s is wanted here", i.ID, i.Dim.Named(), dim.Named())
	}
	return i, nil
}

// uncertainty is the expanded uncertainty (k = 2, SI) of one reading of an instrument as
// used by hand: the figure for where it was used, else for any use, else its coarsest; at
// least the relative part of the value.
func uncertainty(i *rules.Instrument, on string, si float64) float64 {
	m, ok := i.U[on]
	if !ok {
		m, ok = i.U["any"]
	}
	u := m.SI
	if !ok {
		for _, m := range i.U {
			u = max(u, m.SI)
		}
	}
	return max(math.Abs(u), i.Share*math.Abs(si))
}

// settle gives a measure its uncertainty, in this order: stated; of the named instrument;
// of the vessel used (a drop, a cup); of the fact's usual instrument; of an amount of fluid
// without any. What is left is told, not
// measured (a figure from a plate, a count), and has none: digits typed are no uncertainty.
func settle(f *rules.Fact, m fact.Measure, t typed, tools Instruments) (fact.Measure, error) {
	var tool *rules.Instrument
	if t.by != "" {
		i, err := tools.named(t.by, m.Dim)
		if err != nil {
			return m, err
		}
		tool, m.Instrument = i, i.ID
	} else if i, ok := tools.Find(f.Instrument); ok && f.Instrument != "" && i.Dim == m.Dim && t.homely <= plainSpread {
		tool = i
	}
	switch {
	case t.stated:
		m.U = t.u
	case m.Dim == unit.CountDim:
	case tool != nil:
		m.U = uncertainty(tool, f.UsedOn, m.SI)
	case t.homely > 0:
		m.U = round(m, t.homely*math.Abs(m.SI), 2)
	}
	if math.IsNaN(m.U) || math.IsInf(m.U, 0) {
		return m, mistake(BadQuantity, "check the number", "the uncertainty is no usable number")
	}
	return m, nil
}

// round keeps few digits of a size in the measure's own unit, so that it is written as it is read.
func round(m fact.Measure, size float64, digits int) float64 {
	u := unitOf(m)
	return u.Width(digitsOf(size/u.Factor, digits))
}
