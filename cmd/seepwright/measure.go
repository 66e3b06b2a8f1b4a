package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"gopkg.in/yaml.v3"

	"seepwright/cmd/seepwright/report"
	"seepwright/engine/derive"
	"seepwright/engine/measure/catalogue"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/fact"
	"seepwright/rules/lint"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// measure runs one calculation of the library by itself.
func (a *app) measure() *cobra.Command {
	var in, format, units string
	var list bool
	c := &cobra.Command{
		Use:   "measure WHAT [INPUT=QUANTITY ...]",
		Short: "work out one thing from measurements: oring-fit, flatness, bolt-load, hose-fit, drips ...",
		Long: "Every input is a name, = and a quantity with its unit; an uncertainty or an instrument may\n" +
			"follow. A row of readings is given by repeating the name, with @ and the place.\n" +
			"seepwright measure --list names every calculation with what it takes and gives.",
		Example: "  seepwright measure oring-fit cord=\"3.53 mm\" groove-diameter=\"32.4 mm\" bore-diameter=\"38.1 mm\"\n" +
			"  seepwright measure ovality diameters=\"38.10 mm@12:00\" diameters=\"38.28 mm@3:00\"\n" +
			"  seepwright measure push-out diameter=\"1.5 in\" pressure=\"22 psi\"\n" +
			"  seepwright measure bolt-load torque=\"18 lbf ft\" bolt-diameter=\"8 mm\" --units inch\n" +
			"  seepwright measure drips drops=3 time=\"1 min\"\n" +
			"  seepwright measure oring-fit --in sizes.yaml --format json",
		RunE: func(_ *cobra.Command, args []string) error {
			if err := oneOf("--format", format, []string{"text", "json"}); err != nil {
				return err
			}
			if err := oneOf("--units", units, []string{"", "metric", "inch"}); err != nil {
				return err
			}
			if list {
				return a.measureList(format)
			}
			if len(args) == 0 {
				return fmt.Errorf("what is to be worked out? one of %s", strings.Join(derive.Names(), ", "))
			}
			calc, ok := catalogue.ByName(args[0])
			if !ok {
				return fmt.Errorf("no calculation is called %q: %s", args[0], orList(source.DidYouMean(args[0], derive.Names()), derive.Names()))
			}
			texts, bad := inputsFromArgs(calc, args[1:])
			if in != "" {
				more, worse := a.inputsFromFile(in)
				bad = append(bad, worse...)
				for k, v := range more {
					texts[k] = v
				}
			}
			if bad.Errors() > 0 {
				return faults(bad.Sort())
			}
			return a.work(calc, texts, format, units)
		},
	}
	c.Flags().StringVar(&in, "in", "", "a YAML file with inputs:, or - for standard input")
	c.Flags().StringVar(&format, "format", "text", "text or json")
	c.Flags().StringVar(&units, "units", "", "metric or inch for the results (default: as given)")
	c.Flags().BoolVar(&list, "list", false, "name every calculation with its inputs and outputs")
	return c
}

func orList(hint string, names []string) string {
	if hint != "" {
		return hint
	}
	return "known are " + strings.Join(names, ", ")
}

// inputsFromArgs reads name=quantity; a repeated name makes a row of readings.
func inputsFromArgs(calc catalogue.Calculation, args []string) (map[string]rules.AnswerText, source.Findings) {
	out := map[string]rules.AnswerText{}
	var bad source.Findings
	for _, arg := range args {
		name, value, ok := strings.Cut(arg, "=")
		if !ok {
			bad = append(bad, source.Finding{Place: source.Place{File: arg}, Code: "no-value", What: "an input is a name, = and a quantity", Hint: `such as cord="3.53 mm"`})
			continue
		}
		name = strings.TrimSpace(name)
		t := out[name]
		t.Place = source.Place{File: name}
		value, at, _ := strings.Cut(value, "@")
		if rowsOf(calc, name) {
			t.List = append(t.List, strings.TrimSpace(value))
			t.At = append(t.At, strings.TrimSpace(at))
		} else {
			t.Scalar = strings.TrimSpace(value)
		}
		out[name] = t
	}
	return out, bad
}

func rowsOf(calc catalogue.Calculation, name string) bool {
	return slices.ContainsFunc(calc.Inputs, func(i catalogue.Input) bool { return i.Name == name && i.Rows })
}

// inputsFromFile reads `inputs:` of a YAML file.
func (a *app) inputsFromFile(name string) (map[string]rules.AnswerText, source.Findings) {
	in := a.in
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, source.Findings{{Place: source.Place{File: name}, Code: "unreadable", What: "the file cannot be read: " + reason(err), Hint: "check the name after --in"}}
		}
		defer f.Close()
		in = f
	}
	data, err := io.ReadAll(io.LimitReader(in, answer.MaxFile+1))
	if err != nil || len(data) > answer.MaxFile {
		return nil, source.Findings{{Place: source.Place{File: name}, Code: "too-large", What: "the file cannot be read, or is larger than 1 MB", Hint: "inputs have a few lines"}}
	}
	var doc yaml.Node
	if err := yaml.NewDecoder(bytes.NewReader(data)).Decode(&doc); err != nil {
		return nil, answer.SyntaxFault(name, data, err)
	}
	at := source.Place{File: name, Line: 1, Col: 1}
	if len(doc.Content) != 1 || doc.Content[0].Kind != yaml.MappingNode {
		return nil, source.Findings{{Place: at, Code: "no-inputs", What: "the file has no inputs", Hint: "begin with inputs: and put NAME: QUANTITY under it"}}
	}
	out := map[string]rules.AnswerText{}
	var bad source.Findings
	root := doc.Content[0]
	for i := 0; i+1 < len(root.Content); i += 2 {
		k, v := root.Content[i], root.Content[i+1]
		if k.Value != "inputs" || v.Kind != yaml.MappingNode {
			bad = append(bad, source.Finding{Place: source.Place{File: name, Line: k.Line, Col: k.Column}, Code: "unknown-field", What: fmt.Sprintf("only inputs: with NAME: QUANTITY under it is known here, not %q", k.Value)})
			continue
		}
		for j := 0; j+1 < len(v.Content); j += 2 {
			t, more := answer.FromNode(v.Content[j+1], name)
			bad = append(bad, more...)
			out[v.Content[j].Value] = t
		}
	}
	return out, bad
}

// work reads the inputs against the calculation, runs it and prints what it gives.
func (a *app) work(calc catalogue.Calculation, texts map[string]rules.AnswerText, format, units string) error {
	k, err := kb.Load(kb.Kinds()[0]) // for the table of instruments
	if err != nil {
		return fault(err)
	}
	args, bad := readInputs(calc, texts, answer.Instruments(k.Instruments))
	if bad.Errors() > 0 {
		return faults(bad.Sort())
	}
	m := report.Worked{Calculation: calc, Inputs: texts, Units: units}
	out, err := calc.Run(args.In)
	if err != nil {
		m.Refused = err.Error()
	}
	m.Out, m.Shown = out, args.shown
	if format == "json" {
		if err := writeJSON(a.out, m.JSON()); err != nil {
			return err
		}
	} else if err := report.Text(a.out, m.View(), a.width()); err != nil {
		return err
	}
	if m.Refused != "" {
		return inputFault{fmt.Errorf("%s: refused: %s", calc.Name, m.Refused)}
	}
	return nil
}

// inputs are values ready for a calculation, and the unit in which most were given.
type inputs struct {
	catalogue.In
	shown map[unit.Dimension]string
}

func readInputs(calc catalogue.Calculation, texts map[string]rules.AnswerText, tools answer.Instruments) (inputs, source.Findings) {
	in := inputs{catalogue.In{Num: map[string]catalogue.Num{}, Rows: map[string][]catalogue.Row{}}, map[unit.Dimension]string{}}
	var bad source.Findings
	var names []string
	for _, spec := range calc.Inputs {
		names = append(names, spec.Name)
		t, ok := texts[spec.Name]
		if !ok {
			if !spec.Optional && spec.Default == "" {
				bad = append(bad, source.Finding{Place: source.Place{File: spec.Name}, Code: "missing-input", What: fmt.Sprintf("%s needs %s (%s)", calc.Name, spec.Name, spec.Title), Hint: fmt.Sprintf(`give it as %s="... %s"`, spec.Name, unit.Standard(spec.Dim).Symbol)})
			}
			continue
		}
		f := &rules.Fact{Head: rules.Head{ID: spec.Name}, Ask: spec.Title, Answer: fact.Number, Dim: spec.Dim}
		if spec.Rows {
			f.Answer = fact.Readings
			if t.Scalar != "" && len(t.List) == 0 {
				t.List, t.Scalar = []string{t.Scalar}, ""
			}
		}
		v, more := answer.Read(f, t, tools)
		bad = append(bad, more...)
		if source.Findings(more).Errors() > 0 || !v.Answered() {
			continue
		}
		if spec.Rows {
			for _, r := range v.Rows {
				in.Rows[spec.Name] = append(in.Rows[spec.Name], catalogue.Row{At: r.At, Num: catalogue.Num{SI: r.SI, U: r.U}})
				in.shown[spec.Dim] = r.Unit
			}
			continue
		}
		in.Num[spec.Name] = catalogue.Num{SI: v.Num.SI, U: v.Num.U}
		in.shown[spec.Dim] = v.Num.Unit
	}
	for name, t := range texts {
		if !slices.Contains(names, name) {
			bad = append(bad, source.Finding{Place: t.Place, Code: "unknown-input", What: fmt.Sprintf("%s has no input %q", calc.Name, name), Hint: orList(source.DidYouMean(name, names), names)})
		}
	}
	return in, bad
}

func (a *app) measureList(format string) error {
	if format == "json" {
		return writeJSON(a.out, report.CatalogueJSON(catalogue.All()))
	}
	return report.Text(a.out, report.CatalogueView(catalogue.All()), a.width())
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
