package main

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"seepwright/cmd/seepwright/readings"
	"seepwright/engine/measure/catalogue"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/fact"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// takeInputs gathers the inputs of a calculation from the command line, from files and from a pipe.
func (a *app) takeInputs(calc catalogue.Calculation, args []string, m measuring) (map[string]rules.AnswerText, source.Findings) {
	main, bad := mainRow(calc, m.row)
	if bad.Errors() > 0 {
		return nil, bad
	}
	texts, loose, bad := inputsFromArgs(calc, args)
	if m.in != "" {
		more, worse := a.inputsFromFile(m.in)
		bad = append(bad, worse...)
		for k, v := range more {
			texts[k] = v
		}
	}
	from := m.from
	if slices.Contains(loose, "-") {
		from, loose = "-", slices.DeleteFunc(loose, func(s string) bool { return s == "-" })
	}
	if len(loose) > 0 {
		rows, worse := readings.Parse("reading", []byte(strings.Join(loose, " ")), m.unit)
		bad = append(bad, worse...)
		bad = append(bad, fill(calc, main, rows, texts)...)
	}
	if _, given := texts[main]; from == "" && main != "" && !given && m.in != "-" && needed(calc, main) && piped(a.in) {
		from = "-"
	}
	if from != "" {
		rows, worse := a.readingsFrom(from, m.unit)
		bad = append(bad, worse...)
		bad = append(bad, fill(calc, main, rows, texts)...)
	}
	return texts, bad
}

// mainRow is the input that readings without a name belong to, "" when the calculation takes none.
func mainRow(calc catalogue.Calculation, asked string) (string, source.Findings) {
	var rows []string
	for _, i := range calc.Inputs {
		if i.Rows {
			rows = append(rows, i.Name)
		}
	}
	if asked != "" && !slices.Contains(rows, asked) {
		return "", source.Findings{{Place: source.Place{File: "--row"}, Code: "unknown-input", What: fmt.Sprintf("%s takes no row of readings %q", calc.Name, asked), Hint: orList(source.DidYouMean(asked, rows), rows)}}
	}
	if asked == "" && len(rows) > 0 {
		asked = rows[0]
	}
	return asked, nil
}

func needed(calc catalogue.Calculation, input string) bool {
	return slices.ContainsFunc(calc.Inputs, func(i catalogue.Input) bool { return i.Name == input && !i.Optional })
}

// piped reports whether something is piped or redirected into the program.
func piped(in io.Reader) bool {
	f, ok := in.(*os.File)
	if !ok {
		return false
	}
	st, err := f.Stat()
	return err == nil && (st.Mode()&os.ModeNamedPipe != 0 || st.Mode().IsRegular())
}

func (a *app) readingsFrom(name, assume string) (readings.Rows, source.Findings) {
	shown := name
	if name == "-" {
		shown = "standard input"
	}
	f, err := a.readerOf(name)
	if err != nil {
		return nil, source.Findings{{Place: source.Place{File: shown}, Code: "unreadable", What: "the file cannot be read: " + reason(err), Hint: "check the name after --from"}}
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, readings.MaxFile+1))
	if err != nil {
		return nil, source.Findings{{Place: source.Place{File: shown}, Code: "unreadable", What: "the file cannot be read: " + reason(err)}}
	}
	return readings.Parse(shown, data, assume)
}

// fill puts rows of readings under the inputs they are called after; a single row with another name, and a plain list,
// belong to the main row.
func fill(calc catalogue.Calculation, main string, rows readings.Rows, texts map[string]rules.AnswerText) source.Findings {
	var bad source.Findings
	var names []string
	for n := range rows {
		names = append(names, n)
	}
	slices.Sort(names)
	for _, name := range names {
		list := rows[name]
		if len(list) == 0 {
			continue
		}
		input := name
		if !rowsOf(calc, name) {
			if main == "" {
				bad = append(bad, source.Finding{Place: list[0].Place, Code: "unknown-input", What: calc.Name + " takes no row of readings", Hint: "give its inputs as NAME=QUANTITY"})
				continue
			}
			if name != "" && len(names) > 1 {
				bad = append(bad, source.Finding{Place: list[0].Place, Code: "unknown-input", What: fmt.Sprintf("%s takes no readings called %q", calc.Name, name), Hint: "call the column like an input of the calculation, such as " + main})
				continue
			}
			input = main
		}
		t := texts[input]
		t.Place = list[0].Place
		for _, r := range list {
			t.List, t.At = append(t.List, r.Value), append(t.At, r.At)
		}
		texts[input] = t
	}
	return bad
}

// inputsFromArgs reads name=quantity; a repeated name makes a row of readings. What has no name comes back by itself.
func inputsFromArgs(calc catalogue.Calculation, args []string) (named map[string]rules.AnswerText, loose []string, bad source.Findings) {
	named = map[string]rules.AnswerText{}
	for _, arg := range args {
		name, value, ok := strings.Cut(arg, "=")
		name = strings.TrimSpace(name)
		switch {
		case !ok && (arg == "-" || arg != "" && strings.ContainsAny(arg[:1], "0123456789+-.")):
			loose = append(loose, arg)
			continue
		case !ok:
			bad = append(bad, source.Finding{Place: source.Place{File: arg}, Code: "no-value", What: "an input is a name, = and a quantity", Hint: `such as cord="3.53 mm"; a reading begins with a number`})
			continue
		}
		t := named[name]
		t.Place = source.Place{File: name}
		if rowsOf(calc, name) {
			value, at, _ := strings.Cut(value, "@")
			t.List = append(t.List, strings.TrimSpace(value))
			t.At = append(t.At, strings.TrimSpace(at))
		} else {
			if t.Scalar != "" {
				bad = append(bad, source.Finding{Place: t.Place, Code: "duplicate-key", What: name + " is given twice", Hint: "give it once"})
			}
			t.Scalar = strings.TrimSpace(value)
		}
		named[name] = t
	}
	return named, loose, bad
}

func rowsOf(calc catalogue.Calculation, name string) bool {
	return slices.ContainsFunc(calc.Inputs, func(i catalogue.Input) bool { return i.Name == name && i.Rows })
}

// inputsFromFile reads `inputs:` of a YAML file.
func (a *app) inputsFromFile(name string) (map[string]rules.AnswerText, source.Findings) {
	in, err := a.readerOf(name)
	if err != nil {
		return nil, source.Findings{{Place: source.Place{File: name}, Code: "unreadable", What: "the file cannot be read: " + reason(err), Hint: "check the name after --in"}}
	}
	defer in.Close()
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

// inputs are values ready for a calculation, and the unit in which each dimension was given first.
type inputs struct {
	catalogue.In
	shown map[unit.Dimension]string
}

// readInputs reads every text against the input it is for.
func readInputs(calc catalogue.Calculation, texts map[string]rules.AnswerText, tools answer.Instruments) (inputs, source.Findings) {
	in := inputs{catalogue.In{Num: map[string]catalogue.Num{}, Rows: map[string][]catalogue.Row{}, Text: map[string]string{}}, map[unit.Dimension]string{}}
	var bad source.Findings
	var names []string
	for _, spec := range calc.Inputs {
		names = append(names, spec.Name)
		t, ok := texts[spec.Name]
		switch {
		case !ok && !spec.Optional && spec.Default == "":
			bad = append(bad, source.Finding{Place: source.Place{File: spec.Name}, Code: "missing-input", What: fmt.Sprintf("%s needs %s (%s)", calc.Name, spec.Name, spec.Title), Hint: howToGive(spec)})
		case !ok:
		case spec.Dim == "":
			in.Text[spec.Name] = t.Scalar
		default:
			bad = append(bad, in.read(spec, t, tools)...)
		}
	}
	for name, t := range texts {
		if !slices.Contains(names, name) {
			bad = append(bad, source.Finding{Place: t.Place, Code: "unknown-input", What: fmt.Sprintf("%s has no input %q", calc.Name, name), Hint: orList(source.DidYouMean(name, names), names)})
		}
	}
	return in, bad
}

// show keeps the unit that comes first: that of the part, not that of a limit after it.
func (in *inputs) show(d unit.Dimension, u string) {
	if in.shown[d] == "" {
		in.shown[d] = u
	}
}

func howToGive(spec catalogue.Input) string {
	switch {
	case spec.Dim == "":
		return "give it as " + spec.Name + "=WORD"
	case spec.Rows:
		return fmt.Sprintf(`give the readings one after the other, such as "10 %s@12:00", or --from FILE`, unit.Standard(spec.Dim).Symbol)
	}
	return fmt.Sprintf(`give it as %s="... %s"`, spec.Name, unit.Standard(spec.Dim).Symbol)
}

func (in *inputs) read(spec catalogue.Input, t rules.AnswerText, tools answer.Instruments) source.Findings {
	if spec.Parted {
		q, err := unit.Parse(t.Scalar, spec.Dim)
		if err != nil {
			return source.Findings{{Place: t.Place, Code: answer.BadQuantity, What: err.Error(), Hint: "give a number, such as 1.25"}}
		}
		in.Num[spec.Name] = catalogue.Num{SI: q.SI()}
		return nil
	}
	f := &rules.Fact{Head: rules.Head{ID: spec.Name}, Ask: spec.Title, Answer: fact.Number, Dim: spec.Dim, UsedOn: spec.On}
	if spec.Signed {
		f.Least = &fact.Measure{SI: math.Inf(-1), Dim: spec.Dim}
	}
	if spec.Rows {
		f.Answer = fact.Readings
		if t.Scalar != "" && len(t.List) == 0 {
			t.List, t.Scalar = []string{t.Scalar}, ""
		}
	}
	v, bad := answer.Read(f, t, tools)
	for i := range bad { // on the command line the place already is the name
		if bad[i].File == spec.Name {
			bad[i].What = strings.TrimPrefix(bad[i].What, spec.Name+": ")
		}
	}
	if source.Findings(bad).Errors() > 0 || !v.Answered() {
		return bad
	}
	if !spec.Rows {
		in.Num[spec.Name] = catalogue.Num{SI: v.Num.SI, U: v.Num.U}
		in.show(spec.Dim, v.Num.Unit)
		return bad
	}
	for _, r := range v.Rows {
		in.Rows[spec.Name] = append(in.Rows[spec.Name], catalogue.Row{At: r.At, Num: catalogue.Num{SI: r.SI, U: r.U}})
		in.show(spec.Dim, r.Unit)
	}
	return bad
}
