package catalogue

import (
	"slices"
	"strings"

	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// Inputs that several calculations of rings share.
var (
	ringIDIn    = Input{Name: "ring-id", Title: "inside diameter of the free ring", Dim: unit.LengthDim, Optional: true}
	ringIDTolIn = tolIn("ring-id-tolerance", "tolerance of the ring's inside diameter, plus and minus")
	cordTolIn   = tolIn("cord-tolerance", "tolerance of the cord, plus and minus")
	widthIn     = Input{Name: "groove-width", Title: "width of the groove", Dim: unit.LengthDim, Optional: true}
	widthTolIn  = tolIn("width-tolerance", "tolerance of the groove width, plus and minus")
	dutyIn      = Input{Name: "duty", Title: "whether the ring slides", Words: []string{"static", "moving"}, Optional: true, Default: "static"}
	fillIn      = Input{Name: "greatest-fill", Title: "greatest groove fill allowed, over the tolerances", Dim: unit.RatioDim, Optional: true}
)

func tolIn(name, title string) Input {
	return Input{Name: name, Title: title, Dim: unit.LengthDim, Optional: true, Default: "0 mm"}
}

// limitRow is a row of the table of limits, by quantity, duty and a piece of its source ("" takes the first).
// ok is false where no tables were handed over or the row is not there.
func limitRow(g given, quantity, duty, source string) (table.Row, bool) {
	if g.tables == nil {
		return table.Row{}, false
	}
	t, err := g.table("oring-limits")
	if err != nil {
		return table.Row{}, false
	}
	for _, r := range t.Where(table.Is("name", quantity), table.Is("duty", duty)) {
		if strings.Contains(r.Source(), source) {
			return r, true
		}
	}
	return table.Row{}, false
}

// tabled is a limit of ours out of the table of limits.
func tabled(quantity string, duty func(given) string, source, head string) func(given, found) (Figure, error) {
	return func(g given, _ found) (Figure, error) {
		r, ok := limitRow(g, quantity, duty(g), source)
		if !ok {
			return Figure{}, nil
		}
		si, ok := r.SI(head)
		if !ok {
			return Figure{}, nil
		}
		return Figure{si, r.Source() + " (" + r.Text("duty") + ")", r.Standing()}, nil
	}
}

// outputOf is a limit of ours that the formula has read from a table into an output; none where it is not there.
func outputOf(output, from string) func(given, found) (Figure, error) {
	return func(_ given, f found) (Figure, error) {
		x, ok := f.num[output]
		if !ok {
			return Figure{}, nil
		}
		return Figure{x, from, confirmed}, nil
	}
}

// always is a duty that does not depend on the input.
func always(duty string) func(given) string { return func(given) string { return duty } }

func dutyOf(g given) string { return g.word["duty"] }

// The limits of squeeze that hold when the person gives none: wide bands of the handbooks, kept apart for static and
// moving rings. They are judged over the tolerances.
const (
	bandGuide    = "seal design guide"
	bandHandbook = "Mechanical Engineers"
	bandNotebook = "notebook"
)

// leastSqueeze is the floor: 10 % for a static ring; for a moving one 8 %, the lower end of the hydraulic glands.
func leastSqueeze(g given, f found) (Figure, error) {
	if dutyOf(g) == "moving" {
		return tabled("squeeze-least-over-tolerance", always("reciprocating-hydraulic"), "", "least_pct")(g, f)
	}
	return tabled("squeeze", always("static"), bandGuide, "least_pct")(g, f)
}

// thinCord is the section up to which the published glands squeeze more: 0.070 in with its tolerance.
const thinCord = 1.86e-3

// mostSqueeze is the ceiling: 30 % for a static ring and 20 % for a moving one; for thin sections, whose published
// glands go further, 40 and 30 %.
func mostSqueeze(g given, f found) (Figure, error) {
	thin := g.num["cord"] <= thinCord
	switch moving := dutyOf(g) == "moving"; {
	case moving && thin:
		return tabled("squeeze", always("moving"), bandGuide, "greatest_pct")(g, f)
	case moving:
		return tabled("squeeze", always("reciprocating"), "", "greatest_pct")(g, f)
	case thin:
		return tabled("squeeze", always("static"), bandGuide, "greatest_pct")(g, f)
	}
	return tabled("squeeze", always("static"), bandHandbook, "greatest_pct")(g, f)
}

// leastFace and mostFace are the band of a face seal: 10 to 35 %, up to 40 % for thin sections.
func leastFace(g given, f found) (Figure, error) {
	return tabled("squeeze", always("face-static"), bandNotebook, "least_pct")(g, f)
}

func mostFace(g given, f found) (Figure, error) {
	if g.num["cord"] <= thinCord {
		return tabled("squeeze", always("static"), bandGuide, "greatest_pct")(g, f)
	}
	return tabled("squeeze", always("face-static"), bandNotebook, "greatest_pct")(g, f)
}

// bands says which published bands of squeeze there are for a duty, and which of them is judged and why.
func (f *found) bands(g given, duties ...string) {
	if g.tables == nil {
		return
	}
	t, err := g.table("oring-limits")
	if err != nil {
		return
	}
	var said []string
	for _, d := range duties {
		for _, r := range t.Where(table.Is("name", "squeeze"), table.Is("duty", d)) {
			lo, hi := r.Show("least_pct"), r.Show("greatest_pct")
			switch {
			case lo != "" && hi != "":
				said = append(said, strings.TrimSuffix(lo, " %")+" to "+hi)
			case hi != "":
				said = append(said, "up to "+hi)
			}
		}
	}
	f.note("The published bands of squeeze differ (%s). Judged is the wide one named with the limit, for worn parts outside the narrow ones still seal; new parts should come near the middle.", strings.Join(said, ", "))
}

// radialBands are the bands of a radial ring, static or moving.
func (f *found) radialBands(g given) {
	if dutyOf(g) == "moving" {
		f.bands(g, "moving", "reciprocating")
		return
	}
	f.bands(g, "radial-static", "static")
}

// mostFill is the ceiling of fill with every size at its worst limit: 90 %.
var mostFill = tabled("fill-worst-case", always("any"), "", "greatest_pct")

// gapTables are the published tables of extrusion gaps in one role: those that decide, or the cautious one.
func gapTables(g given, role string) ([]gland.GapTable, *table.Table, error) {
	t, err := g.table("oring-extrusion-gap")
	if err != nil {
		return nil, nil, err
	}
	var out []gland.GapTable
	for _, name := range t.Choices() {
		one := gland.GapTable{Name: name}
		for _, r := range t.Where(table.Is("name", name), table.Is("role", role)) {
			h, _ := r.SI("hardness_ShoreA")
			from, _ := r.SI("p_from_MPa")
			to, _ := r.SI("p_to_MPa")
			gap, _ := r.SI("gap_mm")
			one.Bands = append(one.Bands, gland.Band{Hardness: unit.Hardness(h), From: unit.Pressure(from), To: unit.Pressure(to), Gap: unit.Length(gap)})
		}
		if len(one.Bands) > 0 {
			out = append(out, one)
		}
	}
	return out, t, nil
}

// tolerances refuses a tolerance below 0 by its name.
func (g given) tolerances() error {
	var names []string
	for k := range g.num {
		if strings.HasSuffix(k, "-tolerance") {
			names = append(names, k)
		}
	}
	slices.Sort(names)
	for _, k := range names {
		if err := refuse.NotNegative("the "+strings.ReplaceAll(k, "-", " "), g.num[k]); err != nil {
			return err
		}
	}
	return nil
}

// span is a size with its tolerance, both inputs.
func (g given) span(size, tolerance string) gland.Span {
	if _, ok := g.num[size]; !ok {
		return gland.Span{}
	}
	return gland.PlusMinus(g.length(size), g.length(tolerance))
}

// bounds notes the nominal figure, the worst case and the statistical range of one result. Without
// tolerances there is no statistical range to speak of, and it is left out.
func bounds[T ~float64](f *found, name string, b gland.Bounds[T], statistical bool) {
	f.num[name], f.num[name+"-min"], f.num[name+"-max"] = float64(b.Nominal), float64(b.Least), float64(b.Greatest)
	if statistical && b.Greatest > b.Least {
		f.num[name+"-rss-min"], f.num[name+"-rss-max"] = float64(b.StatLeast), float64(b.StatGreatest)
	}
}

// boundOutputs describes what bounds notes.
func boundOutputs(name, title string, dim unit.Dimension, formula, source, standing string, statistical bool) []Output {
	out := []Output{
		{name, title, dim, formula, source, standing},
		{name + "-min", title + ", least over the tolerances", dim, formula + ", every size at its worst limit", source + "; worst-case stack, JIS B 2406", standing},
		{name + "-max", title + ", greatest over the tolerances", dim, formula + ", every size at its worst limit", source + "; worst-case stack, JIS B 2406", standing},
	}
	if !statistical {
		return out
	}
	return append(out,
		Output{name + "-rss-min", title + ", least of nearly all assemblies", dim, "nominal - root of the sum of squares of what each tolerance takes", "root-sum-square stack", practice},
		Output{name + "-rss-max", title + ", greatest of nearly all assemblies", dim, "nominal + root of the sum of squares of what each tolerance gives", "root-sum-square stack", practice})
}

// overTolerances says the range of a share over the tolerances, "" where there is none.
func overTolerances(o *Out, name string) string {
	lo, hi := o.Num[name+"-min"], o.Num[name+"-max"]
	if lo.SI == hi.SI {
		return ""
	}
	return ", from " + o.say(Num{SI: lo.SI}, unit.RatioDim) + " to " + o.say(Num{SI: hi.SI}, unit.RatioDim) + " over the tolerances"
}
