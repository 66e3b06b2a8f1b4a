package main

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"seepwright/cmd/seepwright/picture"
	"seepwright/engine/derive"
	"seepwright/engine/measure/catalogue"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// drawnElsewhere are the calculations whose parts a sheet draws from the facts themselves.
var drawnElsewhere = []string{"oring-fit", "oring-local-squeeze", "ovality"}

// beyond are the pictures of a joint beside its gland and its rows of diameters: other rings, faces, bolts, the pressure on a
// gasket, hose ends.
func (w *work) beyond(id string) []drawing {
	j, ok := w.asm.Joint(id)
	if !ok {
		return nil
	}
	var out []drawing
	for _, s := range w.sketches(j) {
		if slices.Contains(drawnElsewhere, s.calc.Name) {
			continue
		}
		if d, err := sketches[s.calc.Name](s); err == nil {
			out = append(out, d)
		}
	}
	return out
}

// drawnFrom are the facts that are drawn with a hose end beside what rules compute from: the fact by the input of hose-end
// and hose-fit that it fills.
var drawnFrom = map[string]string{"wall": "hose-wall", "band-width": "band-width", "clamp-to-end": "clamp-to-hose-end", "clamp-to-bead": "clamp-behind-bead"}

// bound is one calculation with values of facts for its inputs, and the row of readings that it rests on.
type bound struct {
	calc   string
	row    string // the fact of its first row of readings
	values map[string]fact.Value
}

// sketches are the calculations of one joint that have a picture, as far as rules bind what is known to their inputs.
func (w *work) sketches(j assembly.Joint) []sketch {
	var list []*bound
	bolts := 0.0
	for _, r := range w.kb.Rules {
		for _, act := range r.Then {
			if act.Compute == nil {
				continue
			}
			if n, ok := w.counted(r, j.ID, act.Compute.From["bolts"]); ok {
				bolts = n
			}
			if sketches[act.Compute.By] == nil || !w.holds(r, j.ID, act.Compute) {
				continue
			}
			values, row := w.valuesFor(j.ID, act.Compute)
			at := slices.IndexFunc(list, func(b *bound) bool { return b.calc == act.Compute.By && b.row == row })
			if at < 0 {
				at, list = len(list), append(list, &bound{act.Compute.By, row, map[string]fact.Value{}})
			}
			for k, v := range values {
				if _, taken := list[at].values[k]; !taken {
					list[at].values[k] = v
				}
			}
		}
	}
	slices.SortStableFunc(list, func(a, b *bound) int { return cmp.Or(cmp.Compare(a.calc, b.calc), cmp.Compare(a.row, b.row)) })
	var out []sketch
	for _, b := range list {
		if s, ok := w.sketch(j, *b, list); ok {
			out = append(out, s)
		}
	}
	if s, ok := w.boltOrder(j, bolts); ok {
		out = append(out, s)
	}
	return out
}

// counted is a number of bolts that a rule of this joint would compute with, whatever else it lacks.
func (w *work) counted(r *rules.Rule, joint, from string) (float64, bool) {
	mem := w.session.Memory()
	if w.kb.Fact(from) == nil {
		return 0, false
	}
	if _, _, here := mem.Truth(r.ID, joint); !here {
		return 0, false
	}
	v, ok, clash := mem.Value(mem.Key(joint, from))
	return v.Num.SI, ok && !clash && v.Answered() && v.Type == fact.Number
}

// holds reports whether a rule computes at a joint, or would but for inputs of the calculation that are not known.
func (w *work) holds(r *rules.Rule, joint string, c *rules.Compute) bool {
	truth, lacks, bound := w.session.Memory().Truth(r.ID, joint)
	if !bound || truth == fact.False {
		return false
	}
	from := slices.Collect(maps.Values(c.From))
	for _, l := range lacks {
		if !slices.Contains(from, l.Fact) {
			return false
		}
	}
	return truth == fact.True || len(lacks) > 0
}

// valuesFor are the known inputs of a calculation, and the fact of its first row of readings.
func (w *work) valuesFor(joint string, c *rules.Compute) (values map[string]fact.Value, row string) {
	values = map[string]fact.Value{}
	mem := w.session.Memory()
	for _, input := range slices.Sorted(maps.Keys(c.From)) {
		from := c.From[input]
		if w.kb.Fact(from) == nil {
			if v, err := (derive.Library{}).Constant(c.By, input, from); err == nil {
				values[input] = v
			}
			continue
		}
		if v, ok, clash := mem.Value(mem.Key(joint, from)); ok && !clash && v.Answered() {
			values[input] = v
			if v.Type == fact.Readings && row == "" {
				row = from
			}
		}
	}
	return values, row
}

// sketch runs a bound calculation; ok is false where something is missing, or another picture shows the same.
func (w *work) sketch(j assembly.Joint, b bound, all []*bound) (sketch, bool) {
	calc, ok := catalogue.ByName(b.calc)
	if !ok {
		return sketch{}, false
	}
	if b.calc == "ovality" && slices.ContainsFunc(all, func(o *bound) bool { return o.calc == "oring-local-squeeze" && o.row == b.row && b.row != "" }) {
		return sketch{}, false
	}
	if b.calc == "hose-fit" {
		near := false
		for input, f := range drawnFrom {
			v, known, clash := w.session.Memory().Value(w.session.Key(j.ID, f))
			if w.kb.Fact(f) != nil && known && !clash && v.Answered() {
				b.values[input] = v
				near = near || strings.HasPrefix(input, "clamp-to-")
			}
		}
		if !near { // two diameters alone are no picture of a hose end
			return sketch{}, false
		}
		if calc, ok = catalogue.ByName("hose-end"); !ok {
			return sketch{}, false
		}
	}
	lib := derive.Library{Tables: kb.Published()}
	in, err := lib.Inputs(calc, b.values)
	if err != nil {
		return sketch{}, false
	}
	out, err := calc.Run(in)
	if err != nil {
		return sketch{}, false
	}
	if b.calc == "hose-fit" { // drawn with what hose-end does not ask for
		for _, input := range []string{"wall", "band-width"} {
			if v, ok := b.values[input]; ok {
				in.Num[input] = catalogue.Num{SI: v.Num.SI, U: v.Num.U}
			}
		}
	}
	about := picture.About{Key: j.ID, Of: cmp.Or(j.Title, j.ID), Inch: inInches(b.values)}
	if b.row != "" {
		about.Key += "-" + b.row
		if f := w.kb.Fact(b.row); f != nil {
			about.Of += ", " + strings.ToLower(f.Title[:min(1, len(f.Title))]) + f.Title[min(1, len(f.Title)):]
		}
	}
	in.Shown = map[unit.Dimension]string{}
	if about.Inch {
		in.Shown[unit.LengthDim] = "in"
	}
	return sketch{about, calc, in, out}, true
}

// boltOrder is the pattern of the bolts where their number is known and published.
func (w *work) boltOrder(j assembly.Joint, n float64) (sketch, bool) {
	calc, ok := catalogue.ByName("bolt-order")
	if !ok || n < 3 {
		return sketch{}, false
	}
	in := catalogue.In{Text: map[string]string{"bolts": fmt.Sprintf("%.0f", n)}, Tables: kb.Published()}
	out, err := calc.Run(in)
	if err != nil { // no order is published for this number
		return sketch{}, false
	}
	return sketch{picture.About{Key: j.ID, Of: cmp.Or(j.Title, j.ID)}, calc, in, out}, true
}

// inInches reports whether lengths were given in inches.
func inInches(values map[string]fact.Value) bool {
	inch := 0
	see := func(m fact.Measure) {
		switch {
		case m.Dim != unit.LengthDim || m.Unit == "":
		case m.Unit == "in" || m.Unit == "thou":
			inch++
		default:
			inch--
		}
	}
	for _, v := range values {
		see(v.Num)
		for _, r := range v.Rows {
			see(r.Measure)
		}
	}
	return inch > 0
}
