package answer

import (
	"errors"
	"math"
	"regexp"
	"strconv"
	"strings"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// typed is what a text said besides the number itself.
type typed struct {
	stated bool    // an uncertainty was stated
	u      float64 // its size, SI
	by     string  // instrument named
	homely float64 // relative spread of the homely measure used, 0 for none
}

var (
	plusMinus = regexp.MustCompile(`\+/-|±|\+-|(?i:\bplus or minus\b)`)
	byTool    = regexp.MustCompile(`(?i)\s(?:by|with|using)\s+`)
)

// cut takes "34.02 mm +/- 0.02 mm by micrometer" apart; both tails may be missing.
func cut(text string) (core, spread, by string) {
	core = text
	if at := byTool.FindStringIndex(core); at != nil {
		core, by = core[:at[0]], strings.TrimSpace(core[at[1]:])
	}
	for _, part := range []*string{&by, &core} {
		if at := plusMinus.FindStringIndex(*part); at != nil {
			spread = strings.TrimSpace((*part)[at[1]:])
			*part = strings.TrimSpace((*part)[:at[0]])
			if spread == "" {
				spread = "nothing" // which width refuses
			}
		}
	}
	return strings.TrimSpace(core), spread, by
}

// quantity reads one measured, counted or told quantity with its uncertainty.
func quantity(f *rules.Fact, text string, tools Instruments) (fact.Measure, error) {
	core, spread, by := cut(text)
	t := typed{by: by}
	q, loose, err := amount(core, spread, f.Dim)
	if err != nil {
		return fact.Measure{}, err
	}
	t.homely = loose
	m := fact.Measure{SI: q.SI(), Dim: f.Dim, Unit: q.Unit.Symbol}
	if err := possible(f, m); err != nil {
		return m, err
	}
	if spread != "" {
		if t.u, err = width(spread, q, f.Dim); err != nil {
			return m, err
		}
		t.stated = true
	}
	return settle(f, m, t, tools)
}

// amount reads the number and unit; an amount of fluid may be a homely one, and then has a
// relative spread.
func amount(core, spread string, dim unit.Dimension) (unit.Quantity, float64, error) {
	q, err := unit.Parse(core, dim)
	if err == nil && (dim == unit.FlowDim || dim == unit.VolumeDim) {
		// "2 L/day" and "two litres a day" are the same answer and get the same spread.
		if _, spread, ok := homely(core, dim); ok {
			return q, spread, nil
		}
		return q, plainSpread, nil
	}
	if err == nil {
		return q, 0, nil
	}
	if x, rest, numberErr := unit.Number(core); numberErr == nil && strings.TrimSpace(rest) == "" {
		// The unit may stand once, after the uncertainty; and nothing is nothing in any unit.
		if _, tail, e := unit.Number(spread); e == nil && strings.TrimSpace(tail) != "" && strings.TrimSpace(tail) != "%" {
			if q, err := unit.Parse(core+" "+strings.TrimSpace(tail), dim); err == nil {
				return q, 0, nil
			}
		}
		if x == 0 && dim != unit.TemperatureDim {
			return unit.Quantity{Number: 0, Unit: unit.Standard(dim)}, 0, nil
		}
	}
	if dim == unit.FlowDim || dim == unit.VolumeDim {
		if h, spread, ok := homely(core, dim); ok {
			return h, spread, nil
		}
	}
	if dim == unit.CountDim {
		if x, rest, ok := countWord(strings.Fields(strings.ToLower(core))); ok && (len(rest) == 0 || len(rest) == 1 && (rest[0] == "times" || rest[0] == "time")) {
			return unit.Quantity{Number: x, Unit: unit.Standard(dim)}, 0, nil
		}
	}
	return unit.Quantity{}, 0, badQuantity(core, dim, err)
}

func badQuantity(core string, dim unit.Dimension, err error) error {
	code, what, hint := BadQuantity, err.Error(), ""
	var bad *unit.BadQuantity
	if errors.As(err, &bad) {
		what = strconv.Quote(bad.Text) + ": " + bad.What
	}
	if _, plain := unit.Parse(core, ""); plain == nil {
		code = WrongDimension
	}
	if dim == unit.FlowDim {
		hint = `write it like "5 mL/h", "a drop every 10 s", "a cup in 45 minutes" or "two litres a day"`
	}
	return mistake(code, hint, "%s", what)
}

// width reads the part after +/-: in the unit of the value when it has none, as a share of
// the value when it is in per cent (of a ratio: percentage points).
func width(spread string, q unit.Quantity, dim unit.Dimension) (float64, error) {
	bad := mistake(BadQuantity, `write it like "34.02 mm +/- 0.02 mm"`, "%q is no uncertainty", spread)
	x, rest, err := unit.Number(spread)
	rest = strings.TrimSpace(rest)
	switch {
	case err != nil || x < 0:
		return 0, bad
	case rest == "":
		return q.Unit.Width(x), nil
	}
	u, ok := unit.ByName(rest)
	switch {
	case ok && u.Dim == unit.RatioDim && dim != unit.RatioDim:
		return math.Abs(q.SI()) * u.Width(x), nil
	case ok && dim == unit.TemperatureDim && u.Dim == unit.KelvinDim:
		return u.Width(x), nil
	}
	s, err := unit.Parse(spread, dim)
	if err != nil {
		return 0, bad
	}
	return s.Unit.Width(x), nil
}

// possible refuses what cannot be at all: no number, less than nothing, half a thing.
func possible(f *rules.Fact, m fact.Measure) error {
	if math.IsNaN(m.SI) || math.IsInf(m.SI, 0) {
		return mistake(BadQuantity, "check the number", "this is no usable number")
	}
	if m.Dim == unit.CountDim && m.SI != math.Trunc(m.SI) {
		return mistake(BadQuantity, "count whole things", "%s is no whole number", m.Shown())
	}
	if m.SI < 0 && !signed(m.Dim) && (f.Least == nil || f.Least.SI >= 0) {
		return mistake(BadQuantity, "check the sign", "%s is less than nothing, which %s cannot be here", m.Shown(), m.Dim.Named())
	}
	return nil
}

// signed dimensions have honest values below zero: a temperature, suction, an angle either way,
// the stretch that is really slack.
func signed(d unit.Dimension) bool {
	switch d {
	case unit.TemperatureDim, unit.KelvinDim, unit.PressureDim, unit.AngleDim, unit.RatioDim, unit.ExpansionDim, unit.AngularDim:
		return true
	}
	return false
}

// believable compares a value with the limits beyond which an answer is questioned.
func believable(f *rules.Fact, v fact.Value) (fact.Value, error) {
	values := []fact.Measure{v.Num}
	if v.Type == fact.Readings {
		values = values[:0]
		for _, r := range v.Rows {
			values = append(values, r.Measure)
		}
	}
	for _, m := range values {
		if f.Least != nil && m.SI < f.Least.SI || f.Most != nil && m.SI > f.Most.SI {
			return v, &Implausible{v, expected(f, m)}
		}
	}
	return v, nil
}

// expected shows the limits in the unit of the answer.
func expected(f *rules.Fact, m fact.Measure) string {
	show := func(limit *fact.Measure) string { return unit.FromSI(limit.SI, unitOf(m)).String() }
	switch {
	case f.Least == nil:
		return "at most " + show(f.Most)
	case f.Most == nil:
		return "at least " + show(f.Least)
	}
	return show(f.Least) + " to " + show(f.Most)
}

// unitOf is the unit in which a measure was given, read as its dimension reads it.
func unitOf(m fact.Measure) unit.Unit {
	if m.Unit != "" {
		if q, err := unit.Parse("1 "+m.Unit, m.Dim); err == nil {
			return q.Unit
		}
	}
	return unit.Standard(m.Dim)
}

// digitsOf rounds x to some significant digits.
func digitsOf(x float64, digits int) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', digits, 64), 64)
	if err != nil {
		return x
	}
	return y
}
