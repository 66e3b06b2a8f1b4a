package answer

import (
	"math"
	"slices"
	"strings"

	"seepwright/rules/unit"
)

// vessel is a homely measure of fluid: its size and how far two people's differ (k = 2,
// relative).
type vessel struct {
	litres float64
	spread float64
}

// The sizes of units are in rules/unit. Drop 0.05 mL (20 to the millilitre) +- 40 %: common
// practice, the spread an estimate. Spoons 5 and 15 mL and a cup of 240 mL: common practice;
// their spread of 20 % is an estimate, because nobody levels them.
var vessels = map[string]vessel{
	"drop":       {0.05e-3, 0.4},
	"drops":      {0.05e-3, 0.4},
	"drip":       {0.05e-3, 0.4},
	"drips":      {0.05e-3, 0.4},
	"teaspoon":   {5e-3, 0.2},
	"teaspoons":  {5e-3, 0.2},
	"tsp":        {5e-3, 0.2},
	"tablespoon": {15e-3, 0.2},
	"tbsp":       {15e-3, 0.2},
	"cup":        {0.24, 0.2},
	"cups":       {0.24, 0.2},
	"cupful":     {0.24, 0.2},
	"cupfuls":    {0.24, 0.2},
}

// plainSpread is the spread of an amount poured, topped up or caught and read off a mark,
// without a named instrument. Standing: estimate.
const plainSpread = 0.1

// vagueSpread is added (in quadrature) where the person says about, a few, a couple.
// Standing: estimate.
const vagueSpread = 0.3

// homely reads "a drop a second", "2 drops a minute", "a cup in 45 minutes", "two litres a
// day", "a quart a week", "1 drop every 10 s", "half an imp pint a day"; and without a time
// an amount. It returns the quantity and its relative spread (k = 2).
func homely(text string, dim unit.Dimension) (unit.Quantity, float64, bool) {
	words := strings.Fields(spaced(strings.ToLower(text)))
	if dim == unit.FlowDim && len(words) == 1 && slices.Contains([]string{"none", "nothing", "dry"}, words[0]) {
		return unit.Quantity{Number: 0, Unit: unit.Standard(dim)}, 0, true
	}
	vague := false
	for len(words) > 0 && slices.Contains([]string{"about", "roughly", "some", "around"}, words[0]) {
		vague, words = true, words[1:]
	}
	for _, w := range words {
		vague = vague || w == "few" || w == "couple"
	}
	n, words, ok := countWord(words)
	if !ok {
		n = 1
	}
	litres, spread, words, ok := volume(words)
	if !ok || n < 0 {
		return unit.Quantity{}, 0, false
	}
	if vague {
		spread = math.Hypot(spread, vagueSpread)
	}
	m3 := n * litres * 1e-3
	if len(words) > 1 && words[0] == "of" { // a cup of water in ...
		words = words[2:]
	}
	if dim == unit.VolumeDim {
		return shown(m3, dim, litres, 0), spread, len(words) == 0
	}
	seconds, ok := every(words)
	if !ok || seconds <= 0 {
		return unit.Quantity{}, 0, false
	}
	return shown(m3/seconds, dim, litres, seconds), spread, true
}

// spaced parts numbers from words ("10s") and slashes from both, but leaves fractions whole.
func spaced(s string) string {
	digit := func(r rune) bool { return r >= '0' && r <= '9' }
	var b strings.Builder
	last := ' '
	runes := []rune(s)
	for i, r := range runes {
		switch {
		case r == '/' && !(digit(last) && i+1 < len(runes) && digit(runes[i+1])):
			b.WriteString(" per ")
			last = ' '
			continue
		case digit(last) && (r >= 'a' && r <= 'z' || r == 'µ'):
			b.WriteByte(' ')
		}
		b.WriteRune(r)
		last = r
	}
	return b.String()
}

var numberWords = map[string]float64{
	"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10,
	"eleven": 11, "twelve": 12, "fifteen": 15, "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "hundred": 100,
	"half": 0.5, "quarter": 0.25, "couple": 2, "few": 3, "dozen": 12, "once": 1, "twice": 2, "thrice": 3, "never": 0, "none": 0,
}

// countWord reads a number at the front: "2", "1 1/2", "two", "a", "half a", "a quarter of
// a", "a few".
func countWord(words []string) (x float64, rest []string, ok bool) {
	if len(words) == 0 {
		return 0, words, false
	}
	if n, tail, err := unit.Number(strings.Join(words, " ")); err == nil {
		return n, strings.Fields(tail), true
	}
	x = 1
	for len(words) > 0 {
		n, isNumber := numberWords[words[0]]
		switch {
		case isNumber && (!ok || x == 1 || n == 1 || n == 0.5 || n == 0.25): // "a few", "half a", "a quarter"
			x *= n
			ok = true
		case words[0] == "of" && ok && len(words) > 1 && isNumberWord(words[1]): // a quarter of a litre
		case words[0] == "of" && ok && (x == 2 || x == 3): // a couple of drops
		default:
			return x, words, ok
		}
		words = words[1:]
	}
	return x, words, ok
}

func isNumberWord(w string) bool { _, ok := numberWords[w]; return ok }

// volume reads a vessel or a unit of volume of up to two words.
func volume(words []string) (litres, spread float64, rest []string, ok bool) {
	for n := min(2, len(words)); n > 0; n-- {
		name := strings.Join(words[:n], " ")
		if v, found := vessels[name]; found {
			return v.litres, v.spread, words[n:], true
		}
		if u, found := unit.ByName(name); found && u.Dim == unit.VolumeDim {
			return u.Factor * 1e3, plainSpread, words[n:], true
		}
	}
	return 0, 0, words, false
}

// every reads the time at the end: "a minute", "per s", "in 45 minutes", "every 10 s",
// "daily".
func every(words []string) (seconds float64, ok bool) {
	if len(words) == 0 {
		return 0, false
	}
	if len(words) == 1 {
		switch words[0] {
		case "hourly":
			return 3600, true
		case "daily":
			return 86400, true
		case "weekly":
			return 7 * 86400, true
		}
	}
	if slices.Contains([]string{"per", "every", "each", "in", "over", "within"}, words[0]) {
		words = words[1:]
	} else if words[0] != "a" && words[0] != "an" {
		return 0, false
	}
	n, rest, ok := countWord(words)
	if !ok {
		n = 1
	}
	if len(rest) != 1 {
		return 0, false
	}
	u, ok := unit.ByName(rest[0])
	if !ok || u.Dim != unit.TimeDim {
		return 0, false
	}
	return n * u.Factor, true
}

// shown picks the unit in which the answer is shown again: litres a day for what is topped
// up, millilitres an hour for what is watched. Six digits are kept.
func shown(si float64, dim unit.Dimension, litres, seconds float64) unit.Quantity {
	name := "mL"
	switch {
	case dim == unit.VolumeDim && litres >= 0.4:
		name = "L"
	case dim == unit.FlowDim && litres >= 0.2 && seconds >= 86400:
		name = "L/day"
	case dim == unit.FlowDim && si*3600 >= 1e-3:
		name = "L/h"
	case dim == unit.FlowDim:
		name = "mL/h"
	}
	u, _ := unit.ByName(name)
	return unit.Quantity{Number: digitsOf(u.FromSI(si), 6), Unit: u}
}
