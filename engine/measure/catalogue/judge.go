package catalogue

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seepwright/engine/measure/refuse"
	"seepwright/engine/measure/uncertain"
	"seepwright/rules/unit"
)

// Limit is how an output stands against a limit.
type Limit struct {
	Output string
	Title  string
	Dim    unit.Dimension
	AtMost bool
	By     string // the input that carries the limit, "" where there is none
	Num           // the limit, with its doubt where it was solved from measured sizes
	// From says where the limit comes from, and Standing how far that can be trusted.
	From, Standing string
	Verdict        string
	Margin         float64 // SI, above 0 = to spare
	Doubt          float64 // of the margin, expanded
	Chance         float64 // that the true value keeps the limit, for a normal spread
	Ours           *Figure // ours beside a figure that was given: a check of plausibility only
	Maker          bool
	solved         string // the output that the limit is, "" where it is a fixed figure
	shown          shown
}

// limits judges every limit that is known.
func (c Calculation) limits(g given, f found, num map[string]Num, in In) ([]Limit, error) {
	var out []Limit
	for _, j := range c.Judges {
		y, ok := num[j.Output]
		if !ok {
			continue
		}
		l, ok, err := c.limitOf(j, g, f, num, in)
		if err != nil {
			return nil, err
		}
		if ok {
			l.judge(y)
			out = append(out, l)
		}
	}
	for name := range in.Maker {
		if !c.isLimit(name) {
			return nil, refuse.Because("the maker's figure "+name, "is not a limit of this calculation", "a page belongs to one of "+strings.Join(c.LimitInputs(), ", "))
		}
	}
	return out, nil
}

// LimitInputs names the inputs that carry a limit.
func (c Calculation) LimitInputs() []string {
	var out []string
	for _, j := range c.Judges {
		if j.By != "" && !slices.Contains(out, j.By) {
			out = append(out, j.By)
		}
	}
	return out
}

func (c Calculation) isLimit(input string) bool {
	for _, j := range c.Judges {
		if j.By == input {
			return true
		}
	}
	return false
}

// output finds the description of an output.
func (c Calculation) output(name string) Output {
	for _, o := range c.Outputs {
		if o.Name == name {
			return o
		}
	}
	return Output{Name: name, Title: name}
}

func (c Calculation) input(name string) Input {
	for _, i := range c.Inputs {
		if i.Name == name {
			return i
		}
	}
	return Input{Name: name, Title: name}
}

// limitOf finds the limit that holds, and ours beside it.
func (c Calculation) limitOf(j Judge, g given, f found, num map[string]Num, in In) (Limit, bool, error) {
	o := c.output(j.Output)
	l := Limit{Output: j.Output, Title: o.Title, Dim: o.Dim, AtMost: j.AtMost, By: j.By, shown: in.Shown}
	var ours Figure
	doubt, solved := 0.0, ""
	for _, name := range j.Against {
		if n, ok := num[name]; ok {
			a := c.output(name)
			ours, doubt = Figure{n.SI, "solved on these parts: " + a.Title + " (" + a.Source + ")", a.Standing}, n.U
			solved = name
			break
		}
	}
	if ours.From == "" && j.Ours != nil {
		var err error
		if ours, err = j.Ours(g, f); err != nil {
			return l, false, err
		}
	}
	n, typed := in.Num[j.By]
	switch {
	case typed:
		l.Num, l.From = n, "the figure that you gave"
		if page := in.Maker[j.By]; page != "" {
			l.From, l.Maker = "the maker's figure, "+page, true
		}
		if ours.From != "" {
			l.Ours = &ours
		}
		looser := l.SI > ours.SI
		if !j.AtMost {
			looser = l.SI < ours.SI
		}
		if ours.From != "" && looser && !l.Maker { // of several the strictest holds, but the maker's goes before all
			l.Ours = nil
			l.Num, l.Standing, l.solved = Num{ours.SI, doubt}, ours.Standing, solved
			l.From = ours.From + "; the figure that you gave, " + in.say(n, o.Dim) + ", is looser: with the maker's page it would hold"
		}
	case ours.From != "":
		l.Num, l.From, l.Standing, l.solved = Num{ours.SI, doubt}, ours.From, ours.Standing, solved
	default:
		d, ok := g.num[j.By]
		if !ok {
			return l, false, nil
		}
		l.Num, l.From, l.Standing = Num{SI: d}, "the usual figure", practice
	}
	return l, true, nil
}

// say writes a number in the units of the person.
func (in In) say(n Num, dim unit.Dimension) string { return shown(in.Shown).say(Num{SI: n.SI}, dim) }

// judge compares with the guard band of ISO 14253-1. The doubt of a solved limit comes from the same readings as
// the result; they are taken as independent, which is on the safe side.
func (l *Limit) judge(y Num) {
	l.Doubt = math.Hypot(y.U, l.U)
	l.Margin = y.SI - l.SI
	v := uncertain.Above(y.SI, l.Doubt, l.SI)
	l.Chance = 1 - uncertain.ChanceBelow(y.SI, l.Doubt, l.SI)
	bad := TooSmall
	if l.AtMost {
		l.Margin = l.SI - y.SI
		v = uncertain.Below(y.SI, l.Doubt, l.SI)
		l.Chance = uncertain.ChanceBelow(y.SI, l.Doubt, l.SI)
		bad = TooLarge
	}
	if math.Abs(l.Margin) <= 1e-12*math.Max(math.Abs(y.SI), math.Abs(l.SI)) {
		l.Margin = 0 // what is left of rounding
	}
	switch v {
	case uncertain.Conforms:
		l.Verdict = OK
	case uncertain.DoesNotConform:
		l.Verdict = bad
	default:
		l.Verdict = CannotSay
	}
}

// together is the verdict over all limits: the first that is broken, else one that cannot be called.
func together(limits []Limit) string {
	verdict := ""
	for _, l := range limits {
		switch l.Verdict {
		case TooSmall, TooLarge:
			return l.Verdict
		case CannotSay:
			verdict = CannotSay
		case OK:
			if verdict == "" {
				verdict = OK
			}
		}
	}
	return verdict
}

// words says how a limit stands: "at least 10 % is wanted, 4.2 % to spare".
func (l Limit) words() string {
	side := "at least "
	if l.AtMost {
		side = "at most "
	}
	s := side + l.shown.say(Num{SI: l.SI}, l.Dim)
	if l.Maker {
		s += " (maker)"
	}
	width := l.shown.say(Num{SI: math.Abs(l.Margin)}, widthOf(l.Dim))
	switch l.Verdict {
	case OK:
		return s + ", " + width + " to spare"
	case CannotSay:
		return s + ": too close to call, for the result can be off by " + l.shown.say(Num{SI: l.Doubt}, widthOf(l.Dim))
	case TooSmall:
		return s + " is wanted, " + width + " short"
	}
	return s + " is allowed, " + width + " too much"
}

// widthOf is the dimension of a difference.
func widthOf(d unit.Dimension) unit.Dimension {
	if d == unit.TemperatureDim {
		return unit.KelvinDim
	}
	return d
}

// sentence puts the verdict first, then the result, then the limits: the broken ones, or those that cannot be
// called, or all that are kept.
func sentence(c Calculation, lead string, o Out) string {
	word := map[string]string{OK: "Good: ", TooSmall: "Not good: ", TooLarge: "Not good: ", CannotSay: "Cannot say: "}[o.Verdict]
	if word != "" {
		lead = lower(lead)
	}
	parts := []string{lead}
	kept := 0
	several := slices.ContainsFunc(o.Limits, func(l Limit) bool { return l.Output != o.Limits[0].Output })
	for _, l := range o.Limits {
		broken := l.Verdict == TooSmall || l.Verdict == TooLarge
		if l.Verdict == OK {
			kept++
		}
		if l.Verdict == OK && kept > keptInWords {
			continue
		}
		if o.Verdict == l.Verdict || broken {
			w := l.words()
			if several {
				w = l.Title + " " + w
			}
			parts = append(parts, w)
		}
	}
	if o.Verdict == OK && kept > keptInWords {
		parts = append(parts, fmt.Sprintf("%d more %s kept", kept-keptInWords, map[bool]string{true: "limit", false: "limits"}[kept == keptInWords+1]))
	}
	return word + strings.Join(parts, "; ") + "."
}

// keptInWords is how many kept limits a sentence names; the page lists all.
const keptInWords = 2

// lower makes the first letter small, unless it is a word in capitals or a letter by itself.
func lower(s string) string {
	if strings.HasPrefix(s, "A ") {
		return "a " + s[2:]
	}
	if len(s) < 2 || s[0] < 'A' || s[0] > 'Z' || s[1] < 'a' || s[1] > 'z' {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// fixed is a limit of ours that is the same for every part.
func fixed(si float64, from, standing string) func(given, found) (Figure, error) {
	return func(given, found) (Figure, error) { return Figure{si, from, standing}, nil }
}

// atLeast and atMost are limits that only the person can give.
func atLeast(output, by string) Judge { return Judge{Output: output, By: by} }
func atMost(output, by string) Judge  { return Judge{Output: output, By: by, AtMost: true} }

// Plausible says what to make of a given limit that differs from ours, "" when there is nothing to say.
func (l Limit) Plausible() string {
	if l.Ours == nil {
		return ""
	}
	s := fmt.Sprintf("ours would be %s (%s)", l.shown.say(Num{SI: l.Ours.SI}, l.Dim), l.Ours.From)
	looser := l.SI > l.Ours.SI
	if !l.AtMost {
		looser = l.SI < l.Ours.SI
	}
	ratio := math.Abs(l.SI / l.Ours.SI)
	switch {
	case looser && (ratio > 2 || ratio < 0.5):
		return s + ": yours is more than twice as loose, read the page and the unit again"
	case looser:
		return s + ", which is stricter"
	}
	return s
}
