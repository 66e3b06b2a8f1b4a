package answer

import (
	"fmt"
	"math"
	"strconv"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// Write puts a value into the form of an answers file. Read against the same fact it gives
// the same value again: the uncertainty is always written out, because the usual instrument
// may be another by then.
func Write(v fact.Value) rules.AnswerText {
	if !v.Answered() {
		return rules.AnswerText{Scalar: string(v.State)}
	}
	switch v.Type {
	case fact.Several:
		if len(v.Not) == 0 {
			return rules.AnswerText{List: v.Is}
		}
		return rules.AnswerText{Is: v.Is, Not: v.Not}
	case fact.Number:
		return rules.AnswerText{Scalar: measureText(v.Num)}
	case fact.Clock:
		return rules.AnswerText{Scalar: clockText(v)}
	case fact.Readings:
		var out rules.AnswerText
		for _, r := range v.Rows {
			out.List = append(out.List, measureText(r.Measure))
			out.At = append(out.At, r.At)
		}
		return out
	}
	return rules.AnswerText{Scalar: v.String()}
}

func clockText(v fact.Value) string {
	minutes := int(math.Round(v.Hour * 60))
	h := minutes / 60
	if h == 0 {
		h = 12
	}
	s := fmt.Sprintf("%d:%02d", h, minutes%60)
	if v.From != "" {
		s += " seen from " + v.From
	}
	return s
}

// measureText is "34.02 mm +/- 0.02 mm by micrometer".
func measureText(m fact.Measure) string {
	u := unitOf(m)
	name := m.Unit
	if name == "" {
		name = u.Symbol
	}
	s := withUnit(exactly(m.SI, u.ToSI, u.FromSI), name)
	if m.U != 0 || m.Dim != unit.CountDim {
		s += " +/- " + spreadText(m, u, name)
	}
	if m.Instrument != "" {
		s += " by " + m.Instrument
	}
	return s
}

func withUnit(number, name string) string {
	if name == "1" || name == "off" {
		return number
	}
	return number + " " + name
}

// spreadText writes an uncertainty in the unit of the value, or, where no number in that
// unit gives exactly this size, in the SI unit.
func spreadText(m fact.Measure, u unit.Unit, name string) string {
	narrow := func(x float64) float64 { return x / u.Factor }
	s := exactly(m.U, u.Width, narrow)
	if x, err := strconv.ParseFloat(s, 64); err == nil && u.Width(x) == m.U {
		return withUnit(s, name)
	}
	for _, n := range unit.Names(m.Dim) {
		if si, ok := unit.ByName(n); ok && si.Factor == 1 && n != "off" {
			return strconv.FormatFloat(m.U, 'g', -1, 64) + " " + n
		}
	}
	return withUnit(s, name)
}

// exactly is the shortest decimal number that the unit turns into this size; where there is
// none, the nearest.
func exactly(si float64, to, from func(float64) float64) string {
	x := from(si)
	for digits := 1; digits <= 17; digits++ {
		s := strconv.FormatFloat(x, 'g', digits, 64)
		if y, err := strconv.ParseFloat(s, 64); err == nil && to(y) == si {
			return plainly(y)
		}
	}
	up, down := x, x
	for range 8 {
		up, down = math.Nextafter(up, math.Inf(1)), math.Nextafter(down, math.Inf(-1))
		for _, y := range []float64{up, down} {
			if to(y) == si {
				return plainly(y)
			}
		}
	}
	return plainly(x)
}

// plainly writes a number without an exponent where that is short enough to read.
func plainly(x float64) string {
	if a := math.Abs(x); a == 0 || a >= 1e-5 && a < 1e9 {
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}
