package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/report"
	"seepwright/engine/measure/catalogue"
	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/ringsize"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// size answers the two questions about standard rings.
func (a *app) size() *cobra.Command {
	c := &cobra.Command{
		Use:   "size",
		Short: "which O-ring is this, and which standard ring fits this gland best",
		Long: "Two questions about standard O-rings. Both search the sizes of AS568, of JIS B\n" +
			"2401 (as far as the tables carry it) and rings in round millimetres, and give\n" +
			"several answers with what parts them, never only one.",
		Example: "  seepwright size ring inside=\"24.9 mm\" section=\"3.5 mm\"\n" +
			"  seepwright size gland groove=\"25.5 mm\" bore=\"31.1 mm\" width=\"4.8 mm\"",
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(a.sizeRing(), a.sizeGland())
	return c
}

// sizing are the flags of both questions.
type sizing struct{ in, format, units string }

func (s *sizing) flags(c *cobra.Command) {
	c.Flags().StringVar(&s.in, "in", "", "a YAML file with inputs:, or - for standard input")
	c.Flags().StringVar(&s.format, "format", "text", "text or json")
	c.Flags().StringVar(&s.units, "units", "", "metric or inch for the results (default: as given)")
}

// ringInputs and glandInputs are read like the inputs of a calculation.
var (
	ringInputs = catalogue.Calculation{Name: "size ring", Title: "Which ring is this", Inputs: []catalogue.Input{
		lengthIn("inside", "inside diameter of the free ring"), lengthIn("outside", "outside diameter of the free ring"), lengthIn("section", "thickness of its cord"),
		lengthIn("length", "length of the ring, cut through and laid straight"),
		{Name: "used", Title: "the ring has run and may have swollen, stretched or set", Words: []string{"no", "yes"}, Optional: true},
	}}
	glandInputs = catalogue.Calculation{Name: "size gland", Title: "Which ring fits this gland best", Inputs: append([]catalogue.Input{
		lengthIn("groove", "diameter at the bottom of the groove"), lengthIn("bore", "bore, of a groove in the inner part"), lengthIn("rod", "rod, of a groove in the housing"),
		lengthIn("depth", "depth of a groove in a face, any gap that stays open included"), lengthIn("outer", "outer wall of a groove in a face"), lengthIn("inner", "inner wall of a groove in a face"),
		lengthIn("width", "width of the groove"),
		lengthIn("groove-tolerance", "tolerance of the groove diameter, plus and minus"), lengthIn("mate-tolerance", "tolerance of bore or rod, plus and minus"),
		lengthIn("depth-tolerance", "tolerance of the depth, plus and minus"), lengthIn("width-tolerance", "tolerance of the width, plus and minus"),
		{Name: "pressure", Title: "side of the pressure on a face groove", Words: []string{"inside", "outside"}, Optional: true},
		{Name: "duty", Title: "what the ring does", Words: []string{"static", "moving"}, Optional: true},
	}, shareInputs()...)}
)

func lengthIn(name, title string) catalogue.Input {
	return catalogue.Input{Name: name, Title: title, Dim: unit.LengthDim, Optional: true}
}

// bandNames are the limits that can be typed.
var bandNames = []string{"squeeze", "stretch", "interference", "fill"}

func shareInputs() []catalogue.Input {
	var out []catalogue.Input
	for _, n := range bandNames {
		out = append(out, catalogue.Input{Name: "least-" + n, Title: "least " + n + " wanted", Dim: unit.RatioDim, Optional: true},
			catalogue.Input{Name: "greatest-" + n, Title: "greatest " + n + " allowed", Dim: unit.RatioDim, Optional: true})
	}
	return out
}

func (a *app) sizeRing() *cobra.Command {
	var s sizing
	c := &cobra.Command{
		Use:   "ring section=SIZE inside=SIZE [INPUT=SIZE ...]",
		Short: "which standard ring is this, by diameter and section",
		Long: "Lay the ring free on a flat surface. Give its section=, and one of inside=,\n" +
			"outside=, or length= of the ring cut through and laid straight; more than one\n" +
			"sharpens the answer. After the size may stand an uncertainty (+- 0.1 mm) or an\n" +
			"instrument (by vernier). used=yes allows for a ring that has run: swollen,\n" +
			"stretched or set.",
		Example: "  seepwright size ring inside=\"24.9 mm\" section=\"3.5 mm\"\n" +
			"  seepwright size ring outside=\"1.26 in +- 0.004 in\" \\\n" +
			"    section=\"0.139 in by micrometer\" --units inch\n" +
			"  seepwright size ring length=\"134 mm +- 1 mm\" section=\"5.3 mm\" used=yes",
		RunE: func(_ *cobra.Command, args []string) error { return a.runSize(ringInputs, args, s, a.whichRing) },
	}
	s.flags(c)
	return c
}

func (a *app) sizeGland() *cobra.Command {
	var s sizing
	c := &cobra.Command{
		Use:   "gland groove=SIZE bore=SIZE [INPUT=SIZE ...]",
		Short: "which standard ring fits this gland best; what would fit if none",
		Long: "Groove in the inner part (piston, spigot, plug): groove= and bore=.\n" +
			"Groove in the housing: groove= and rod=.\n" +
			"Groove in a face: depth=, and outer= for pressure from inside or inner= for\n" +
			"pressure from outside; with both walls the width follows, and pressure= says\n" +
			"the side.\n" +
			"All: width=, and groove-tolerance=, mate-tolerance=, depth-tolerance=,\n" +
			"width-tolerance= for parts off a drawing. duty=moving takes the limits of\n" +
			"reciprocating rings. Limits of your own or of the maker: least-squeeze=\n" +
			"greatest-squeeze=, and the same with stretch, interference, fill.",
		Example: "  seepwright size gland groove=\"25.5 mm +- 0.03 mm\" bore=\"31.1 mm\" \\\n" +
			"    width=\"4.8 mm\"\n" +
			"  seepwright size gland groove=\"1.25 in\" rod=\"1.028 in\" width=\"0.19 in\" \\\n" +
			"    duty=moving\n" +
			"  seepwright size gland depth=\"2.65 mm\" outer=\"31.6 mm\" width=\"4.9 mm\"",
		RunE: func(_ *cobra.Command, args []string) error { return a.runSize(glandInputs, args, s, a.whichGland) },
	}
	s.flags(c)
	return c
}

// answered is what a question about sizes comes back with.
type answered interface {
	View() []report.Block
	JSON() any
}

// runSize reads the inputs, asks the question and prints the answer.
func (a *app) runSize(spec catalogue.Calculation, args []string, s sizing, ask func(inputs, report.Worked) (answered, error)) error {
	if err := oneOf("--format", s.format, []string{"text", "json"}); err != nil {
		return err
	}
	if err := oneOf("--units", s.units, []string{"", "metric", "inch"}); err != nil {
		return err
	}
	texts, loose, bad := inputsFromArgs(spec, args)
	if len(loose) > 0 {
		bad = append(bad, source.Finding{Place: source.Place{File: loose[0]}, Code: "no-value", What: "it is not said what this is", Hint: `an input is a name, = and a quantity, such as section="3.5 mm"`})
	}
	if s.in != "" {
		more, worse := a.inputsFromFile(s.in)
		bad = append(bad, worse...)
		for k, v := range more {
			texts[k] = v
		}
	}
	k, err := kb.Load(kb.Kinds()[0]) // for the table of instruments
	if err != nil {
		return fault(err)
	}
	in, worse := readInputs(spec, texts, k.Instruments)
	bad = append(bad, worse...)
	bad = append(bad, wrongWords(spec, texts)...)
	if bad.Errors() > 0 {
		return faults(bad.Sort())
	}
	in.Tools = toolsOf(k)
	in.Shown = shownIn(in.shown, s.units)
	out, err := ask(in, report.Worked{In: in.In})
	if err != nil {
		return inputFault{fmt.Errorf("%s: %w", spec.Name, err)}
	}
	if s.format == "json" {
		return writeJSON(a.out, out.JSON())
	}
	return report.Text(a.out, out.View(), a.width())
}

func wrongWords(spec catalogue.Calculation, texts map[string]rules.AnswerText) source.Findings {
	var bad source.Findings
	for _, i := range spec.Inputs {
		if t, ok := texts[i.Name]; ok && i.Dim == "" && !slices.Contains(i.Words, t.Scalar) {
			bad = append(bad, source.Finding{Place: t.Place, Code: "unknown-option", What: fmt.Sprintf("%s is not %q", i.Name, t.Scalar), Hint: "say " + strings.Join(i.Words, " or ")})
		}
	}
	return bad
}

// The uncertainty (k = 2) of a ring whose size is given without one: a calliper on soft rubber, and a tape or rule
// along a cut ring. Estimates.
const (
	byCalliper = 0.1 * unit.Millimetre
	byRule     = 0.5 * unit.Millimetre
)

func (a *app) whichRing(in inputs, w report.Worked) (answered, error) {
	sizes, err := ringSizes(kb.Published())
	if err != nil {
		return nil, err
	}
	out := report.RingFound{Worked: w, Tools: in.Tools}
	for _, q := range []struct {
		name string
		of   ringsize.Quantity
		u    unit.Length
	}{{"inside", ringsize.Inside, byCalliper}, {"outside", ringsize.Outside, byCalliper}, {"section", ringsize.Section, byCalliper}, {"length", ringsize.Length, byRule}} {
		n, ok := in.Num[q.name]
		if !ok {
			continue
		}
		r := ringsize.Reading{Of: q.of, At: unit.Length(n.SI), U: unit.Length(n.U)}
		if r.U == 0 {
			r.U = q.u
			out.Assumed = append(out.Assumed, r)
		}
		out.Readings = append(out.Readings, r)
	}
	if in.Text["used"] == "yes" {
		out.Used = ringsize.Worn()
	}
	out.Found, err = ringsize.Identify(sizes, out.Readings, out.Used)
	return out, err
}

func (a *app) whichGland(in inputs, w report.Worked) (answered, error) {
	place, err := placeOf(in)
	if err != nil {
		return nil, err
	}
	sizes, err := ringSizes(kb.Published())
	if err != nil {
		return nil, err
	}
	bands, limits, err := bandsFor(kb.Published(), place.Kind, in.Text["duty"])
	if err != nil {
		return nil, err
	}
	if err := ownLimits(in, &bands, limits); err != nil {
		return nil, err
	}
	out := report.GlandFound{Worked: w, Place: place, Limits: limits}
	out.Best, err = ringsize.ForPlace(sizes, place, bands)
	return out, err
}

// placeOf makes out of the sizes given which gland it is.
func placeOf(in inputs) (ringsize.Place, error) {
	has := func(name string) bool { _, ok := in.Num[name]; return ok }
	dim := func(name, tol string) ringsize.Dim {
		return ringsize.Dim{At: unit.Length(in.Num[name].SI), U: unit.Length(in.Num[name].U), Tol: unit.Length(in.Num[tol].SI)}
	}
	p := ringsize.Place{Width: dim("width", "width-tolerance")}
	face := has("depth") || has("outer") || has("inner")
	switch {
	case face && (has("bore") || has("rod") || has("groove")):
		return p, fmt.Errorf("these are the sizes of two kinds of gland: give groove and bore, groove and rod, or depth with outer or inner")
	case face:
		return facePlace(p, in, has, dim)
	case !has("groove"):
		return p, fmt.Errorf("the groove is missing: give groove=\"... mm\" with bore or rod, or depth with outer or inner for a groove in a face")
	case has("bore") == has("rod"):
		return p, fmt.Errorf("give the bore (groove in the inner part) or the rod (groove in the housing), one of the two")
	case in.Text["pressure"] != "":
		return p, fmt.Errorf("pressure= belongs to a groove in a face: give depth with outer or inner, or leave it out")
	case has("bore"):
		p.Kind, p.Groove, p.Mate = gland.Piston, dim("groove", "groove-tolerance"), dim("bore", "mate-tolerance")
	default:
		p.Kind, p.Groove, p.Mate = gland.Rod, dim("groove", "groove-tolerance"), dim("rod", "mate-tolerance")
	}
	return p, nil
}

func facePlace(p ringsize.Place, in inputs, has func(string) bool, dim func(name, tol string) ringsize.Dim) (ringsize.Place, error) {
	side := in.Text["pressure"]
	both := has("outer") && has("inner")
	switch {
	case !has("depth"):
		return p, fmt.Errorf("the depth of the groove is missing: give depth=\"... mm\"")
	case both && side == "":
		return p, fmt.Errorf("which wall holds the ring? say pressure=inside or pressure=outside")
	case side == "inside" && !has("outer"):
		return p, fmt.Errorf("with pressure from inside the ring lies against the outer wall: give outer=\"... mm\"")
	case side == "outside" && !has("inner"):
		return p, fmt.Errorf("with pressure from outside the ring lies on the inner wall: give inner=\"... mm\"")
	case !has("outer") && !has("inner"):
		return p, fmt.Errorf("the wall that holds the ring is missing: give outer (pressure from inside) or inner (pressure from outside)")
	}
	p.Depth = dim("depth", "depth-tolerance")
	p.Kind, p.Groove = gland.FaceOutside, dim("inner", "groove-tolerance")
	if side == "inside" || side == "" && has("outer") {
		p.Kind, p.Groove = gland.FaceInside, dim("outer", "groove-tolerance")
	}
	if both {
		if has("width") {
			return p, fmt.Errorf("the width follows from outer and inner: leave it out, or one of the two walls")
		}
		outer, inner := in.Num["outer"], in.Num["inner"]
		if outer.SI <= inner.SI {
			return p, fmt.Errorf("the outer wall is not larger than the inner: swap the two")
		}
		p.Width.At, p.Width.U = unit.Length(outer.SI-inner.SI)/2, unit.Length(outer.U+inner.U)/2
	}
	return p, nil
}

// ownLimits puts typed limits in the place of the published ones.
func ownLimits(in inputs, b *ringsize.Bands, limits []report.Limit) error {
	into := map[string]*ringsize.Limits{"squeeze": &b.Squeeze, "fill": &b.Fill, limits[1].Of: &b.Hold}
	for _, name := range bandNames {
		lo, okLo := in.Num["least-"+name]
		hi, okHi := in.Num["greatest-"+name]
		if !okLo && !okHi {
			continue
		}
		l, ok := into[name]
		if !ok {
			return fmt.Errorf("this gland holds its ring by %s, not by %s: leave the limits of %s out", limits[1].Of, name, name)
		}
		if okLo {
			l.Least = unit.Ratio(lo.SI)
		}
		if okHi {
			l.Greatest = unit.Ratio(hi.SI)
		}
		i := slices.IndexFunc(limits, func(x report.Limit) bool { return x.Of == name })
		limits[i].Limits, limits[i].From, limits[i].Standing = *l, "given by you", ""
		if name == "fill" && b.FillWorst <= l.Greatest { // who allows more fill allows it over the tolerances too
			b.FillWorst = 0
		}
	}
	if b.FillWorst == 0 {
		i := slices.IndexFunc(limits, func(x report.Limit) bool { return x.OneSided })
		limits[i].Off = true
	}
	return nil
}
