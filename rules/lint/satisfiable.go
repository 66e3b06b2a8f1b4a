package lint

import (
	"regexp"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// world is one way in which the facts of some conditions can stand.
type world map[string]fact.Value

// Value gives the value of a fact; what is not in the world can never be known.
func (w world) Value(name string) (fact.Value, bool, bool) {
	v, ok := w[name]
	return v, ok, false
}

// givens says which answers a world may hold: anything, or only what questions and rules can give.
type givens bool

const (
	anything  givens = false
	reachable givens = true
)

// maxWorlds bounds the work for one condition; beyond it the question is left undecided.
const maxWorlds = 4096

// worlds lists all ways in which the facts of the conditions can stand that make a
// difference to them: each option named and one other, each limit and a little on both
// sides of it. ok is false when there are too many.
func (c *checker) worlds(given givens, conds ...*cond.Cond) (list []world, ok bool) {
	var text strings.Builder
	ids := map[string]bool{}
	for _, x := range conds {
		text.WriteString(x.String() + " and ")
		for _, id := range x.Facts() {
			ids[id] = true
		}
	}
	list = []world{{}}
	for _, id := range sortedKeys(ids) {
		values := c.values(given, id, text.String())
		if len(values) == 0 {
			continue // never known
		}
		if len(list)*len(values) > maxWorlds {
			return nil, false
		}
		var next []world
		for _, w := range list {
			for _, v := range values {
				more := make(world, len(ids))
				for k, x := range w {
					more[k] = x
				}
				more[id] = v
				next = append(next, more)
			}
		}
		list = next
	}
	return list, true
}

// values are the answers of a fact that can be told apart in a condition, without those
// that nothing can ever give.
func (c *checker) values(given givens, id, text string) []fact.Value {
	f := c.fact(id)
	if f == nil {
		return nil
	}
	var possible map[string]bool
	if given == reachable {
		possible = c.possible(f)
	}
	can := func(v fact.Value) bool { return possible == nil || possible[v.String()] }
	var out []fact.Value
	switch f.Answer {
	case fact.YesNo:
		for _, v := range []fact.Value{fact.MakeYesNo(true), fact.MakeYesNo(false)} {
			if can(v) {
				out = append(out, v)
			}
		}
	case fact.Choice:
		named := optionsNamed(text, f)
		other := false
		if id == "joint" { // there may be kinds that are not loaded
			out, other = append(out, fact.MakeChoice("another-kind")), true
		}
		for _, o := range f.Options {
			v := fact.MakeChoice(o.ID)
			isNamed := slices.Contains(named, o.ID)
			if can(v) && (isNamed || !other) {
				out = append(out, v)
				other = other || !isNamed
			}
		}
	case fact.Several:
		named := optionsNamed(text, f)
		if len(named) > 8 {
			return nil
		}
		for bits := 0; bits < 1<<len(named); bits++ {
			var is, not []string
			for i, o := range named {
				if bits>>i&1 == 1 {
					is = append(is, o)
				} else {
					not = append(not, o)
				}
			}
			out = append(out, fact.MakeSeveral(is, not))
		}
	case fact.Number:
		if possible != nil && len(possible) == 0 {
			return nil
		}
		for _, x := range amounts(text, f.Dim) {
			out = append(out, fact.MakeNumber(fact.Measure{SI: x, Dim: f.Dim}))
		}
	}
	return out
}

// possible tells what a fact that is never asked can become by the rules; nil means that
// anything is possible.
func (c *checker) possible(f *rules.Fact) map[string]bool {
	if !f.Engine || given(f.ID) {
		return nil
	}
	out := map[string]bool{}
	for _, d := range c.k.Rules {
		for _, a := range d.Then {
			if a.Conclude != nil && a.Conclude.Fact == f.ID {
				out[a.Conclude.Value.String()] = true
			}
			if a.Compute != nil {
				for _, id := range a.Compute.Into {
					if id == f.ID {
						return nil // a calculation may give anything
					}
				}
			}
		}
	}
	for _, d := range c.k.Checks {
		if slices.Contains(d.Fills, f.ID) {
			return nil
		}
	}
	return out
}

var word = regexp.MustCompile(`[a-z0-9][a-z0-9-]*`)

// optionsNamed lists the options of a fact whose words occur in a text, in the order of the fact.
func optionsNamed(text string, f *rules.Fact) []string {
	words := map[string]bool{}
	for _, w := range word.FindAllString(text, -1) {
		words[w] = true
	}
	var out []string
	for _, o := range f.Options {
		if words[o.ID] {
			out = append(out, o.ID)
		}
	}
	return out
}

var limitText = regexp.MustCompile(`(?:[<>=]|between|and) ([-+]?[0-9][^()<>=]*?)(?: and | or |\)|$)`)

// amounts are the limits of one dimension in a text, with a value below, between and above.
func amounts(text string, d unit.Dimension) []float64 {
	var limits []float64
	for rest := text; ; {
		m := limitText.FindStringSubmatchIndex(rest)
		if m == nil {
			break
		}
		if q, err := unit.Parse(strings.TrimSpace(rest[m[2]:m[3]]), d); err == nil {
			limits = append(limits, q.SI())
		}
		rest = rest[m[3]:]
	}
	slices.Sort(limits)
	limits = slices.Compact(limits)
	if len(limits) == 0 {
		return []float64{1, 2, 3} // compared with other facts only
	}
	span := max(limits[len(limits)-1]-limits[0], 1e-3*max(abs(limits[0]), 1))
	out := []float64{limits[0] - span}
	for i, x := range limits {
		out = append(out, x)
		if i+1 < len(limits) {
			out = append(out, (x+limits[i+1])/2)
		}
	}
	return append(out, limits[len(limits)-1]+span)
}

func abs(x float64) float64 { return max(x, -x) }
