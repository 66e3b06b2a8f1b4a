package refcheck

import (
	"fmt"
	"math"
	"strings"

	"seepwright/engine/measure/gland"
	"seepwright/rules/unit"
)

// said is what a row says in words: its values, and what was asked of it in vain.
type said struct {
	used    map[*item]bool
	row     map[string]string
	topic   string // "topic" of the ring file, "what" of the others, in lower case
	text    string // topic, what, inputs and remark in lower case
	items   []item
	threads []thread
	missing []string
	inch    bool // bare lengths are inches
}

// imperial are the units of an answer that make bare lengths inches.
var imperial = map[string]bool{"in": true, "lbf": true, "kip": true, "psi": true, "ksi": true, "lbf*ft": true, "lbf*in": true, "kip*in": true, "in^2": true, "in each": true, "lbf/in": true}

// sayRow reads the text of a row. Values of the title come last, as a second choice.
func sayRow(row map[string]string) (*said, error) {
	title := row["topic"] + row["what"]
	in, head := readText(row["inputs"], false), readText(row["what"], true)
	if in.bad != "" {
		return nil, fmt.Errorf("inputs: %s", in.bad)
	}
	s := &said{used: map[*item]bool{}, row: row, topic: strings.ToLower(title), items: append(in.items, head.items...), threads: append(in.threads, head.threads...)}
	s.text = strings.ToLower(title + " | " + row["inputs"])
	s.inch = imperial[row["unit"]]
	return s, nil
}

// has says that one of the words stands in the text of the row.
func (s *said) has(words ...string) bool { return holds(s.text, words) }

// asks says that one of the words stands in the topic.
func (s *said) asks(words ...string) bool { return holds(s.topic, words) }

func holds(text string, words []string) bool {
	for _, w := range words {
		if strings.Contains(text, w) {
			return true
		}
	}
	return false
}

// kindred says that a unit can stand for a dimension.
func kindred(have, want unit.Dimension) bool {
	switch want {
	case unit.KelvinDim, unit.TemperatureDim:
		return have == unit.KelvinDim || have == unit.TemperatureDim
	case unit.ForceDim:
		return have == unit.ForceDim || have == unit.MassDim
	case unit.StiffnessDim, unit.LineLoadDim:
		return have == unit.StiffnessDim || have == unit.LineLoadDim
	}
	return have == want
}

// look finds the item of a name, nil when none fits. "*" is the only value with a unit of that
// dimension; "~bore" is a word anywhere in what stands before.
func (s *said) look(dim unit.Dimension, names ...string) *item {
	it := s.find(dim, names...)
	if it != nil {
		s.used[it] = true
	}
	return it
}

// unused are the named values of the inputs that no evaluator asked for.
func (s *said) unused() []string {
	var out []string
	for i := range s.items {
		if it := &s.items[i]; !s.used[it] && !it.aside && it.label != "" {
			out = append(out, it.label)
		}
	}
	return out
}

func (s *said) find(dim unit.Dimension, names ...string) *item {
	for _, aside := range []bool{false, true} {
		for _, exact := range []bool{true, false} {
			for _, name := range names {
				for tier := range 3 {
					for i := range s.items {
						it := &s.items[i]
						if it.aside == aside && fits(it, dim) && matches(it, name, tier, exact) {
							return it
						}
					}
				}
			}
		}
	}
	for _, name := range names {
		if name == "*" {
			return s.only(dim)
		}
	}
	return nil
}

// only is the one value with a unit of the dimension, in the inputs before the title.
func (s *said) only(dim unit.Dimension) *item {
	for _, aside := range []bool{false, true} {
		var found *item
		n := 0
		for i := range s.items {
			if it := &s.items[i]; it.aside == aside && it.has && kindred(it.unit.dim, dim) {
				found = it
				n++
			}
		}
		if n == 1 {
			return found
		}
		if n > 1 {
			return nil
		}
	}
	return nil
}

func fits(it *item, dim unit.Dimension) bool { return !it.has || kindred(it.unit.dim, dim) }

// matches: tier 0 the label is the name, 1 it ends with it, 2 the words after begin with it.
func matches(it *item, name string, tier int, exact bool) bool {
	label, after := it.label, it.after
	if !exact {
		label, after, name = strings.ToLower(label), strings.ToLower(after), strings.ToLower(name)
	}
	if anywhere, ok := strings.CutPrefix(name, "~"); ok {
		return tier == 2 && strings.Contains(" "+label+" ", " "+anywhere+" ")
	}
	for _, filler := range []string{" of", " is", " about", " dia", " diameter"} {
		if !strings.HasSuffix(name, filler) {
			label = strings.TrimSuffix(label, filler)
		}
	}
	switch tier {
	case 0:
		return label == name
	case 1:
		return strings.HasSuffix(label, " "+name)
	default:
		return len(name) > 2 && strings.HasPrefix(after+" ", name+" ")
	}
}

// unitOf is the unit of a value: its own, else that of the next value of the dimension, else of
// the one before, else the usual one.
func (s *said) unitOf(it *item, dim unit.Dimension) (measureUnit, bool) {
	if it.has {
		return it.unit, true
	}
	at := 0
	for i := range s.items {
		if &s.items[i] == it {
			at = i
		}
	}
	near := func(i int) bool { return s.items[i].has && !s.items[i].aside && kindred(s.items[i].unit.dim, dim) }
	for i := at + 1; i < len(s.items); i++ {
		if near(i) {
			return s.items[i].unit, true
		}
	}
	for i := at - 1; i >= 0; i-- {
		if near(i) {
			return s.items[i].unit, true
		}
	}
	switch {
	case dim == unit.LengthDim && s.inch:
		return measureUnit{dim, 0.0254, 0}, true
	case dim == unit.LengthDim:
		return measureUnit{dim, 1e-3, 0}, true
	case dim == unit.AreaDim && s.inch:
		return measureUnit{dim, 0.0254 * 0.0254, 0}, true
	case dim == unit.AreaDim:
		return measureUnit{dim, 1e-6, 0}, true
	case dim == unit.PressureDim && !s.inch:
		return measureUnit{dim, 1e6, 0}, true
	case dim == unit.ExpansionDim, dim == unit.RatioDim, dim == unit.KelvinDim, dim == unit.TemperatureDim, dim == unit.HardnessDim:
		return measureUnit{dim, 1, 0}, true
	}
	return measureUnit{}, false
}

// lack notes what the text does not give.
func (s *said) lack(dim unit.Dimension, names []string) float64 {
	s.missing = append(s.missing, fmt.Sprintf("no %s called %s", dim, strings.Join(names, ", ")))
	return math.NaN()
}

// value is the first number of the named value in SI.
func (s *said) value(dim unit.Dimension, names ...string) float64 {
	it := s.look(dim, names...)
	if it == nil {
		return s.lack(dim, names)
	}
	u, ok := s.unitOf(it, dim)
	if !ok {
		return s.lack(dim, append(names, "with a unit"))
	}
	if len(it.nums) > 1 && !it.spread {
		return s.lack(dim, append([]string{it.label, "as one value, as it stands for two or more:"}, names...))
	}
	x := it.nums[0]
	if dim == unit.KelvinDim && it.spread && strings.HasSuffix(" "+strings.ToLower(it.label), " from") {
		return (it.nums[1] - it.nums[0]) * u.factor // "from 20 C to -30 C"
	}
	if it.spread && len(it.nums) == 2 {
		x = (it.nums[0] + it.nums[1]) / 2 // a range where one size is wanted: its middle
	}
	if dim == unit.KelvinDim {
		return x * u.factor
	}
	return u.si(x)
}

func (s *said) given(dim unit.Dimension, names ...string) bool { return s.look(dim, names...) != nil }

func (s *said) length(names ...string) unit.Length {
	return unit.Length(s.value(unit.LengthDim, names...))
}
func (s *said) pressure(names ...string) unit.Pressure {
	return unit.Pressure(s.value(unit.PressureDim, names...))
}
func (s *said) force(names ...string) unit.Force {
	return unit.Force(s.value(unit.ForceDim, names...))
}

// number is a bare number such as K, mu or m.
func (s *said) number(names ...string) float64 { return s.value(unit.RatioDim, names...) }

// share is a percentage; a bare number above 1 is taken as per cent.
func (s *said) share(names ...string) unit.Ratio {
	x := s.value(unit.RatioDim, names...)
	if it := s.look(unit.RatioDim, names...); it != nil && !it.has && math.Abs(x) > 1 {
		x /= 100
	}
	return unit.Ratio(x)
}

// span is a size with its tolerance, or the limits given as "bore max" and "bore min".
func (s *said) span(names ...string) gland.Span {
	if it := s.look(unit.LengthDim, names...); it != nil {
		u, _ := s.unitOf(it, unit.LengthDim)
		return gland.Span{Min: unit.Length(u.si(it.lo)), Max: unit.Length(u.si(it.hi))}
	}
	lows, highs := []string{}, []string{}
	for _, n := range names {
		lows = append(lows, n+" min", "min "+n, n+" least", "least "+n)
		highs = append(highs, n+" max", "max "+n, n+" greatest", "greatest "+n)
	}
	if s.given(unit.LengthDim, lows...) && s.given(unit.LengthDim, highs...) {
		return gland.Span{Min: s.length(lows...), Max: s.length(highs...)}
	}
	x := unit.Length(s.lack(unit.LengthDim, names))
	return gland.Span{Min: x, Max: x}
}

// pair is two sizes written together ("120/100 mm", "20 x 8 mm"), in the order of the text.
func (s *said) pair(dim unit.Dimension, names ...string) (float64, float64) {
	for _, aside := range []bool{false, true} {
		for _, unnamed := range []bool{false, true} {
			for i := range s.items {
				it := &s.items[i]
				if it.aside != aside || len(it.nums) != 2 || !fits(it, dim) {
					continue
				}
				named := unnamed && !it.spread
				for _, n := range names {
					for tier := range 3 {
						named = named || matches(it, n, tier, false)
					}
				}
				if u, ok := s.unitOf(it, dim); named && ok {
					s.used[it] = true
					return u.si(it.nums[0]), u.si(it.nums[1])
				}
			}
		}
	}
	x := s.lack(dim, append(names, "as a pair"))
	return x, x
}
