package main

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"seepwright/cmd/seepwright/picture"
	"seepwright/cmd/seepwright/report"
	"seepwright/engine"
	"seepwright/engine/derive"
	"seepwright/engine/measure/catalogue"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// pictures are those that a case holds enough for: where the liquid was, then the measured parts joint by joint, the
// likeliest first, then what is likeliest and where the minutes go. What cannot be drawn is left out.
func (a *app) pictures(w *work, r *engine.Result) []picture.Picture {
	var out []picture.Picture
	add := func(d drawable, err error) {
		if err != nil || d == nil {
			return
		}
		if p, err := d.Draw(); err == nil {
			out = append(out, p)
		}
	}
	unitName := ""
	if len(w.asm.Joints) > 1 {
		unitName = w.asm.Title
	}
	add(w.where(r, unitName), nil)
	for _, j := range byOdds(w.asm.Joints, r) {
		for _, s := range w.sketches(j) {
			add(sketches[s.calc.Name](s))
		}
	}
	if len(r.Ranking) > 0 {
		add(w.ranking(r, unitName), nil)
	}
	add(minutesOf(r, unitName), nil)
	return out
}

// byOdds are the joints, those that most likely leak first.
func byOdds(joints []assembly.Joint, r *engine.Result) []assembly.Joint {
	share := map[string]float64{}
	for _, j := range r.Joints {
		share[j.Joint] = j.Probability
	}
	out := slices.Clone(joints)
	slices.SortStableFunc(out, func(a, b assembly.Joint) int { return cmp.Compare(share[b.ID], share[a.ID]) })
	return out
}

// where is what is known of wet and dry.
func (w *work) where(r *engine.Result, of string) drawable {
	p := picture.Where{About: picture.About{Of: of}}
	odds := map[string]engine.JointOdds{}
	for _, j := range r.Joints {
		odds[j.Joint] = j
	}
	for _, j := range w.asm.Joints {
		o, known := odds[j.ID]
		x := picture.WetJoint{ID: j.ID, Title: cmp.Or(j.Title, j.ID), State: picture.Unknown, Above: j.Above, BlownFrom: j.BlownFrom}
		if known {
			x.Share, x.Odds = min(max(o.Probability, 0), 1), report.Odds(o.Probability)
			switch o.Wet {
			case "yes":
				x.State = picture.Wet
			case "no":
				x.State = picture.Dry
			}
		}
		p.Joints = append(p.Joints, x)
	}
	return p
}

// ranking are the bars of the likeliest causes.
func (w *work) ranking(r *engine.Result, of string) drawable {
	p := picture.Ranking{About: picture.About{Of: of}}
	const most = 8
	for i, c := range r.Ranking {
		if i == most {
			p.Rest = fmt.Sprintf("%d more causes, none above %s.", len(r.Ranking)-most, report.Odds(c.Probability))
			break
		}
		x := picture.Chance{Title: c.Title, Odds: report.Odds(c.Probability), Share: min(max(c.Probability, 0), 1), Before: min(max(c.Prior, 0), 1)}
		if j, ok := w.asm.Joint(c.Joint); ok && len(w.asm.Joints) > 1 {
			x.At = cmp.Or(j.Title, j.ID)
		}
		for _, b := range r.Bounds {
			if b.Joint == c.Joint && b.Cause == c.Cause {
				x.Low, x.High = min(max(b.Low, 0), 1), min(max(b.High, 0), 1)
			}
		}
		p.Causes = append(p.Causes, x)
	}
	return p
}

// minutesOf is where the time of the plan goes; nil where there is no plan.
func minutesOf(r *engine.Result, of string) drawable {
	p := picture.Minutes{About: picture.About{Of: of}}
	for _, part := range report.Parts {
		x := picture.PartTime{Title: part.Title}
		for _, s := range r.Plan.Steps {
			if s.Part == part.ID {
				x.Hands, x.Wait = x.Hands+s.Minutes, x.Wait+s.Wait
			}
		}
		if x.Hands+x.Wait > 0 {
			p.Parts = append(p.Parts, x)
		}
	}
	if len(p.Parts) == 0 {
		return nil
	}
	if r.Plan.Minutes > 0 {
		p.Notes = append(p.Notes, "Until it is dry about "+report.Minutes(r.Plan.Minutes)+" of work is expected: not every step will be needed, some may be needed twice.")
	}
	return p
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
			if act.Compute == nil || !w.holds(r, j.ID, act.Compute) {
				continue
			}
			values, row := w.valuesFor(j.ID, act.Compute)
			if n, ok := values["bolts"]; ok && n.Type == fact.Number {
				bolts = max(bolts, n.Num.SI)
			}
			if sketches[act.Compute.By] == nil {
				continue
			}
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
