package main

import (
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/journal"
	"seepwright/cmd/seepwright/picture"
	"seepwright/cmd/seepwright/report"
	"seepwright/engine/derive"
	"seepwright/engine/measure/catalogue"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/lint"
	"seepwright/rules/source"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// measuring are the flags of one run of measure.
type measuring struct {
	in, from, row, unit string // where inputs and readings come from
	maker               []string
	format, units       string
	list, explain       bool
	picture             string // a file, or - for its table
}

// measure runs one calculation of the library by itself.
func (a *app) measure() *cobra.Command {
	var m measuring
	c := &cobra.Command{
		Use:   "measure WHAT [INPUT=QUANTITY ...] [READING ...]",
		Short: "work out one thing from measurements: oring-fit, flatness, bolt-load, hose-fit, drips ...",
		Long: "Says first whether a part is good, not good, or cannot be called with this\n" +
			"instrument; then the figures, what each size would have to be, and where every\n" +
			"figure comes from. An input is a name, = and a quantity with its unit; an\n" +
			"uncertainty (+- 0.01 mm) or an instrument (with vernier) may follow. Readings\n" +
			"stand by themselves, each with its place after @ if it has one; or they come\n" +
			"from a file or a pipe, as plain numbers or as a table with heads (angle_deg,\n" +
			"radius_mm). seepwright measure WHAT --help has a real example of each.",
		Example: "  seepwright measure oring-fit cord=\"3.53 mm\" groove-diameter=\"32.4 mm\" bore-diameter=\"38.1 mm\"\n" +
			"  seepwright measure ovality 38.10mm@12:00 38.28mm@3:00 limit=\"0.15 mm\"\n" +
			"  seepwright measure roundness --unit mm 34.02 34.05 33.98 34.01 34.06 33.97\n" +
			"  seepwright measure roundness --from readings.csv\n" +
			"  seepwright measure roundness --from readings.csv --picture bore.svg\n" +
			"  seepwright measure push-out diameter=\"1.5 in\" pressure=\"22 psi\"\n" +
			"  seepwright measure oring-fit --in sizes.yaml --maker-page \"page 41\" --format json",
		RunE: func(_ *cobra.Command, args []string) error {
			if err := oneOf("--format", m.format, []string{"text", "json"}); err != nil {
				return err
			}
			if err := oneOf("--units", m.units, []string{"", "metric", "inch"}); err != nil {
				return err
			}
			if m.picture == "-" && m.format == "json" {
				return fmt.Errorf("--picture - writes a table among text: leave --format json out, or name a file")
			}
			if m.list {
				return a.measureList(m.format)
			}
			if len(args) == 0 {
				return fmt.Errorf("what is to be worked out? one of %s", strings.Join(derive.Names(), ", "))
			}
			calc, err := calculationNamed(args[0])
			if err != nil {
				return err
			}
			texts, bad := a.takeInputs(calc, args[1:], m)
			if bad.Errors() > 0 {
				return faults(bad.Sort())
			}
			return a.work(calc, texts, m)
		},
	}
	c.Flags().StringVar(&m.in, "in", "", "a YAML `file` with inputs:, or - for standard input")
	c.Flags().StringVar(&m.from, "from", "", "a `file` of readings, numbers or a table; - for standard input")
	c.Flags().StringVar(&m.row, "row", "", "the `input` that bare readings belong to (else the first row)")
	c.Flags().StringVar(&m.unit, "unit", "", "the `unit` of readings that carry none, such as mm")
	c.Flags().StringArrayVar(&m.maker, "maker-page", nil, "the limits given are the maker's, on this `page`; or LIMIT=PAGE")
	c.Flags().StringVar(&m.format, "format", "text", "text or json")
	c.Flags().StringVar(&m.units, "units", "", "metric or inch for the results (default: as given)")
	c.Flags().BoolVar(&m.explain, "explain", false, "with formula and source of every figure")
	c.Flags().StringVar(&m.picture, "picture", "", "draw it to scale into this `file` (SVG), or - for the same as a table")
	c.Flags().BoolVar(&m.list, "list", false, "name every calculation with its inputs and outputs")
	usual := c.HelpFunc()
	c.SetHelpFunc(func(c *cobra.Command, args []string) {
		for _, arg := range args {
			if calc, ok := catalogue.ByName(arg); ok {
				_ = report.Text(a.out, report.CalculationHelp(calc, kb.Published(), roughWays(calc.Name)), a.width())
				return
			}
		}
		for _, arg := range args {
			if arg != "" && arg[0] != '-' && c.Name() == "measure" && arg != "measure" {
				fmt.Fprintf(a.out, "No calculation is called %q: %s.\n", arg, orList(source.DidYouMean(arg, derive.Names()), derive.Names()))
				return
			}
		}
		usual(c, args)
		if c.Name() == "measure" {
			_ = report.Text(a.out, report.CatalogueIndex(catalogue.All()), a.width())
		}
	})
	return c
}

func calculationNamed(name string) (catalogue.Calculation, error) {
	calc, ok := catalogue.ByName(name)
	if !ok {
		return calc, fmt.Errorf("no calculation is called %q: %s", name, orList(source.DidYouMean(name, derive.Names()), derive.Names()))
	}
	return calc, nil
}

func orList(hint string, names []string) string {
	if hint != "" {
		return hint
	}
	return "known are " + strings.Join(names, ", ")
}

// work reads the inputs against the calculation, runs it and prints what it gives.
func (a *app) work(calc catalogue.Calculation, texts map[string]rules.AnswerText, m measuring) error {
	k, err := kb.Load(kb.Kinds()[0]) // for the table of instruments
	if err != nil {
		return fault(err)
	}
	args, bad := readInputs(calc, texts, k.Instruments)
	if bad.Errors() > 0 {
		return faults(bad.Sort())
	}
	if args.Maker, err = makerPages(calc, args.In, m.maker); err != nil {
		return err
	}
	args.Shown = shownIn(args.shown, m.units)
	args.Tables, args.Solve, args.Tools = kb.Published(), true, toolsOf(k)
	w := report.Worked{Calculation: calc, In: args.In, Rough: roughWays(calc.Name), Explain: m.explain}
	if w.Out, err = calc.Run(args.In); err != nil {
		w.Refused = err.Error()
	}
	drawing := sketch{picture.About{Inch: inchesShown(args.Shown)}, calc, args.In, w.Out}
	if m.picture != "" && sketches[calc.Name] == nil {
		_, err := drawing.draw()
		return err
	}
	if m.format == "json" {
		if err := writeJSON(a.out, w.JSON()); err != nil {
			return err
		}
	} else if err := report.Text(a.out, w.View(), a.width()); err != nil {
		return err
	}
	if w.Refused != "" {
		return inputFault{fmt.Errorf("%s: refused: %s", calc.Name, w.Refused)}
	}
	if m.picture == "" {
		return nil
	}
	return a.writePicture(drawing, m.picture)
}

// writePicture draws into a file, whole or not at all; or, for -, prints the same as a table.
func (a *app) writePicture(s sketch, file string) error {
	p, err := s.draw()
	if err != nil {
		return fault(err)
	}
	if file == "-" {
		_, err := fmt.Fprintf(a.out, "\n%s\n%s", p.Title, p.Table.Text(a.width()))
		return err
	}
	if err := journal.WriteWhole(file, strings.NewReader(p.SVG)); err != nil {
		return fault(fmt.Errorf("the picture cannot be written to %s: %s", file, reason(err)))
	}
	fmt.Fprintf(a.err, "drawn: %s\n", file)
	return nil
}

// inchesShown reports whether lengths are written in inches.
func inchesShown(shown map[unit.Dimension]string) bool {
	u, ok := unit.ByName(shown[unit.LengthDim])
	return ok && (u.Symbol == "in" || u.Symbol == "thou")
}

// shownIn are the units of the results: those of the system asked for; else as given, and for what was not given those of
// the system in which most was.
func shownIn(given map[unit.Dimension]string, system string) map[unit.Dimension]string {
	out := maps.Clone(given)
	inch := 0
	for d, u := range given {
		switch q, _ := unit.ByName(u); q.Symbol {
		case unit.Preferred(d, "inch"), "thou", "ft", "ksi", "lbf in":
			inch++
		case unit.Preferred(d, "metric"), "m", "cm", "um", "MPa", "kPa", "kN":
			inch--
		}
	}
	for _, d := range unit.Dimensions() {
		if u := unit.Preferred(d, system); u != "" {
			out[d] = u
		} else if u := unit.Preferred(d, "inch"); system == "" && inch > 0 && u != "" && out[d] == "" {
			out[d] = u
		}
	}
	return out
}

// makerPages gives the page to the limits that were typed: one page for all, or LIMIT=PAGE.
func makerPages(calc catalogue.Calculation, in catalogue.In, pages []string) (map[string]string, error) {
	out := map[string]string{}
	for _, p := range pages {
		if limit, page, ok := strings.Cut(p, "="); ok {
			if !slices.Contains(calc.LimitInputs(), limit) {
				return nil, fmt.Errorf("--maker-page: %q is no limit of %s: %s", limit, calc.Name, orList(source.DidYouMean(limit, calc.LimitInputs()), calc.LimitInputs()))
			}
			out[limit] = page
			continue
		}
		for _, limit := range calc.LimitInputs() {
			if _, typed := in.Num[limit]; typed && out[limit] == "" {
				out[limit] = p
			}
		}
	}
	for limit := range out {
		if _, typed := in.Num[limit]; !typed {
			return nil, fmt.Errorf("--maker-page: the maker's figure itself is missing: give %s as well", limit)
		}
	}
	if len(pages) > 0 && len(out) == 0 {
		return nil, fmt.Errorf("--maker-page: no limit was given that the page could belong to; %s takes %s", calc.Name, strings.Join(calc.LimitInputs(), ", "))
	}
	return out, nil
}

// toolsOf are the instruments as the library wants them.
func toolsOf(k *rules.Knowledge) []catalogue.Tool {
	var out []catalogue.Tool
	for _, i := range k.Instruments {
		t := catalogue.Tool{Title: i.Title, Dim: i.Dim, Cost: i.Cost, Share: i.Share, U: map[string]float64{}}
		for on, u := range i.U {
			t.U[on] = u.SI
		}
		out = append(out, t)
	}
	return out
}

// roughWays are the rows of the table of ways without an instrument that belong to a calculation.
func roughWays(name string) []table.Row {
	t, err := kb.Published().Table("rough-ways")
	if err != nil { // an embedded table that is tested: without it the page only says less
		return nil
	}
	return t.Where(table.Is("name", name))
}

// readerOf opens a file to read, - being standard input.
func (a *app) readerOf(name string) (io.ReadCloser, error) {
	if name == "-" {
		return io.NopCloser(a.in), nil
	}
	return os.Open(name)
}

func (a *app) measureList(format string) error {
	if format == "json" {
		return writeJSON(a.out, report.CatalogueJSON(catalogue.All(), kb.Published()))
	}
	return report.Text(a.out, report.CatalogueView(catalogue.All(), kb.Published()), a.width())
}

// calculations are the signatures of the library as the check of a knowledge base wants them.
func calculations() []lint.Calculation {
	var out []lint.Calculation
	for _, c := range catalogue.All() {
		l := lint.Calculation{Name: c.Name}
		for _, i := range c.Inputs {
			l.Inputs = append(l.Inputs, lint.Port{Name: i.Name, Dim: i.Dim, Rows: i.Rows, Optional: i.Optional || i.Default != ""})
		}
		for _, o := range c.Outputs {
			l.Outputs = append(l.Outputs, lint.Port{Name: o.Name, Dim: o.Dim})
		}
		out = append(out, l)
	}
	return out
}
