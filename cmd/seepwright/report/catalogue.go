package report

import (
	"fmt"
	"slices"
	"strings"

	"seepwright/engine/measure/catalogue"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// CatalogueIndex names every calculation in one line.
func CatalogueIndex(list []catalogue.Calculation) []Block {
	p := &page{}
	p.add(Heading, "What can be worked out")
	for _, c := range list {
		p.add(Item, "%s: %s", c.Name, c.Title)
	}
	return p.blocks
}

// CatalogueView lists the calculations with what they take and give.
func CatalogueView(list []catalogue.Calculation, tables catalogue.Tables) []Block {
	p := &page{}
	for _, c := range list {
		p.add(Heading, "%s: %s", c.Name, c.Title)
		ports(p, c, tables)
	}
	return p.blocks
}

// CalculationHelp says all of one calculation, with an example that runs.
func CalculationHelp(c catalogue.Calculation, tables catalogue.Tables, rough []table.Row) []Block {
	p := &page{}
	p.add(Verdict, "%s: %s", c.Name, c.Title)
	ports(p, c, tables)
	p.add(Heading, "A real example")
	for _, line := range continued("seepwright measure "+c.Name, exampleArgs(c), 76) {
		p.add(Para, "%s", line)
	}
	if c.Blind != "" {
		p.add(Heading, "What this cannot see")
		p.add(Para, "%s", c.Blind)
	}
	if len(rough) > 0 {
		p.add(Heading, "Without the instrument")
		for _, r := range rough {
			roughly(p, r)
		}
	}
	p.add(Heading, "How and from where")
	for _, o := range c.Outputs {
		p.add(Item, "%s: %s", o.Name, o.Formula)
		p.add(Note, "Source: %s.", Origin(o.Source, o.Standing))
	}
	return p.blocks
}

func ports(p *page, c catalogue.Calculation, tables catalogue.Tables) {
	if c.About != "" {
		p.add(Para, "%s", c.About)
	}
	for _, i := range c.Inputs {
		kind := string(i.Dim)
		if kind == "" {
			kind = "a word"
		}
		s := fmt.Sprintf("takes %s (%s): %s", i.Name, kind, i.Title)
		if words, err := catalogue.Choices(i, tables); err == nil && len(words) > 0 {
			s += ": " + strings.Join(words, ", ")
		}
		if i.Rows {
			s += "; a row of readings"
		}
		switch {
		case slices.Contains(c.LimitInputs(), i.Name):
			s += "; a limit, may be left out"
			if i.Default != "" {
				s += " (then " + i.Default + ")"
			}
		case i.Default != "":
			s += "; if not given " + i.Default
		case i.Optional:
			s += "; may be left out"
		}
		p.add(Item, "%s", s)
	}
	for _, o := range c.Outputs {
		d := string(o.Dim)
		if d == "" {
			d = "words"
		}
		p.add(Item, "gives %s (%s): %s", o.Name, d, o.Title)
	}
}

// continued breaks a command into lines that a shell takes as one.
func continued(command string, args []string, width int) []string {
	lines := []string{command}
	for _, arg := range args {
		last := &lines[len(lines)-1]
		if len(*last)+1+len(arg) > width {
			*last += " \\"
			lines = append(lines, arg)
			continue
		}
		*last += " " + arg
	}
	return lines
}

// exampleArgs writes the worked example as arguments for a shell, in the order of the inputs.
func exampleArgs(c catalogue.Calculation) []string {
	quote := func(s string) string {
		if strings.ContainsAny(s, " ;&|()<>'*?#$") {
			return `"` + s + `"`
		}
		return s
	}
	var out []string
	for _, i := range c.Inputs {
		text, ok := c.Example[i.Name]
		if !ok {
			continue
		}
		if !i.Rows {
			out = append(out, quote(i.Name+"="+text))
			continue
		}
		for _, part := range strings.Split(text, ";") {
			at, value, _ := strings.Cut(part, "=")
			at, value = strings.TrimSpace(at), strings.TrimSpace(value)
			if at != "" {
				value += "@" + at
			}
			out = append(out, quote(i.Name+"="+value))
		}
	}
	return out
}

// CatalogueJSON lists the same for a program.
func CatalogueJSON(list []catalogue.Calculation, tables catalogue.Tables) any {
	type port struct {
		Name      string   `json:"name"`
		Title     string   `json:"title"`
		Dimension string   `json:"dimension"`
		Unit      string   `json:"unit,omitempty"`
		Words     []string `json:"words,omitempty"`
		Rows      bool     `json:"rows,omitempty"`
		Optional  bool     `json:"optional,omitempty"`
		Limit     bool     `json:"limit,omitempty"`
		Default   string   `json:"default,omitempty"`
		Formula   string   `json:"formula,omitempty"`
		Source    string   `json:"source,omitempty"`
	}
	type entry struct {
		Name      string            `json:"name"`
		Title     string            `json:"title"`
		About     string            `json:"about,omitempty"`
		CannotSee string            `json:"cannotSee,omitempty"`
		Inputs    []port            `json:"inputs"`
		Outputs   []port            `json:"outputs"`
		Example   map[string]string `json:"example"`
	}
	out := []entry{}
	for _, c := range list {
		e := entry{Name: c.Name, Title: c.Title, About: c.About, CannotSee: c.Blind, Example: c.Example, Inputs: []port{}, Outputs: []port{}}
		for _, i := range c.Inputs {
			words, _ := catalogue.Choices(i, tables)
			e.Inputs = append(e.Inputs, port{Name: i.Name, Title: i.Title, Dimension: string(i.Dim), Unit: unit.Standard(i.Dim).Symbol, Words: words, Rows: i.Rows, Optional: i.Optional, Limit: slices.Contains(c.LimitInputs(), i.Name), Default: i.Default})
		}
		for _, o := range c.Outputs {
			e.Outputs = append(e.Outputs, port{Name: o.Name, Title: o.Title, Dimension: string(o.Dim), Unit: unit.Standard(o.Dim).Symbol, Formula: o.Formula, Source: o.Source})
		}
		out = append(out, e)
	}
	return out
}
