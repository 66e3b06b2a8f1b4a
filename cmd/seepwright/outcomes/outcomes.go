// Package outcomes reads lists of confirmed causes and writes what was learned from them as a
// folder of knowledge.
// It computes no shares; that is the business of engine/learn.
package outcomes

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"seepwright/engine/learn"
	"seepwright/rules"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// MaxFile is the largest list that is read, in bytes. Ten thousand cases have a little over 1 MB.
const MaxFile = 8 << 20

// List is what a file of outcomes says.
type List struct {
	Outcomes []learn.Outcome
	Aside    []learn.Outcome // not closed by a dry retest: they count for nothing
}

// Read reads a list of outcomes and reports all that is wrong with it, with line and column.
func Read(in io.Reader, name string, kb *rules.Knowledge) (List, source.Findings) {
	r := &reader{file: name, kb: kb, named: map[string]source.Place{}}
	data, err := io.ReadAll(io.LimitReader(in, MaxFile+1))
	start := &yaml.Node{Line: 1, Column: 1}
	switch {
	case err != nil:
		return List{}, source.Findings{{Place: source.Place{File: name}, Code: "unreadable", What: "the file cannot be read: " + err.Error()}}
	case len(data) > MaxFile:
		r.fail(start, "too-large", "is it the right file?", "the file is larger than %d kB", MaxFile>>10)
		return List{}, r.bad
	case !utf8.Valid(data):
		r.fail(start, "not-text", "save the file as UTF-8", "this is not a text in UTF-8")
		return List{}, r.bad
	}
	root, err := parse(data)
	switch {
	case err != nil:
		r.fail(&yaml.Node{Line: lineOf(err), Column: 1}, "yaml-syntax", "check the indentation, the colons and the quotes near this line", "this is not YAML")
	case root == nil:
		r.fail(start, "empty-file", example, "there is no outcome in this file")
	case root.Kind != yaml.SequenceNode:
		r.fail(root, "wrong-form", example, "a list of outcomes is wanted here")
	case len(root.Content) == 0:
		r.fail(root, "empty-file", example, "there is no outcome in this file")
	default:
		for _, n := range root.Content {
			r.outcome(n)
		}
	}
	return r.list, r.bad.Sort()
}

const example = "begin each with a dash: - {kind: radial-oring, history: after-refit, cause: ring-nicked}"

// parse reads one document. A fault in the library becomes an error.
func parse(data []byte) (root *yaml.Node, err error) {
	defer func() {
		if r := recover(); r != nil {
			root, err = nil, fmt.Errorf("%v", r)
		}
	}()
	var doc yaml.Node
	if err := yaml.Unmarshal(data, &doc); err != nil && !errors.Is(err, io.EOF) {
		return nil, err
	}
	if len(doc.Content) == 0 || doc.Content[0].Tag == "!!null" {
		return nil, nil
	}
	return doc.Content[0], nil
}

func lineOf(err error) int {
	line := 1
	if _, rest, ok := strings.Cut(err.Error(), "line "); ok {
		if _, e := fmt.Sscanf(rest, "%d", &line); e != nil {
			return 1
		}
	}
	return max(line, 1)
}

type reader struct {
	file  string
	kb    *rules.Knowledge
	list  List
	bad   source.Findings
	named map[string]source.Place
}

func (r *reader) at(n *yaml.Node) source.Place {
	return source.Place{File: r.file, Line: max(n.Line, 1), Col: max(n.Column, 1)}
}

func (r *reader) fail(n *yaml.Node, code, hint, format string, args ...any) {
	r.bad = append(r.bad, source.Finding{Place: r.at(n), Code: code, What: fmt.Sprintf(format, args...), Hint: hint})
}

var fields = []string{"case", "cause", "causes", "history", "kind", "note", "retest", "weight"}

// outcome reads one entry.
func (r *reader) outcome(n *yaml.Node) {
	before := r.bad.Errors()
	if n.Kind != yaml.MappingNode {
		r.fail(n, "wrong-form", example, "this is no outcome")
		return
	}
	part := map[string]*yaml.Node{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		switch {
		case !slices.Contains(fields, k.Value):
			r.fail(k, "unknown-key", hint(k.Value, fields), "an outcome has no %q", k.Value)
		case part[k.Value] != nil:
			r.fail(k, "repeated-key", "leave one of them out", "%q stands here a second time", k.Value)
		default:
			part[k.Value] = v
			if k.Value != "causes" && (v.Kind != yaml.ScalarNode || v.Tag == "!!null") {
				r.fail(v, "wrong-form", "write one word or number", "%q holds no list", k.Value)
			}
		}
	}
	if r.bad.Errors() > before {
		return
	}
	o := learn.Outcome{Weight: 1, Place: r.at(n)}
	o.Kind = r.word(n, part["kind"], "kind", r.kinds())
	o.History = rules.History(r.word(n, part["history"], "history", histories()))
	if v := part["weight"]; v != nil {
		o.Weight = r.number(v, "a weight", 1000)
	}
	if v := part["case"]; v != nil {
		o.Case = v.Value
		if first, twice := r.named[o.Case]; twice {
			r.fail(v, "duplicate-id", "a case counts once: take one out", "the case %q stands in line %d too", o.Case, first.Line)
		}
		r.named[o.Case] = r.at(v)
	}
	if r.bad.Errors() == before {
		o.Causes = r.causes(n, part["cause"], part["causes"], o.Kind)
	}
	dry := true
	if v := part["retest"]; v != nil {
		dry = r.word(n, v, "retest", []string{"dry", "wet", "not-made"}) == "dry"
	}
	switch {
	case r.bad.Errors() > before:
	case dry:
		r.list.Outcomes = append(r.list.Outcomes, o)
	default:
		r.list.Aside = append(r.list.Aside, o)
	}
}

// causes reads "cause", or the shares of "causes".
func (r *reader) causes(n, one, many *yaml.Node, kind string) map[string]float64 {
	known := r.known(kind)
	switch {
	case one != nil && many != nil:
		r.fail(many, "repeated-key", "write one cause, or several with their shares", `both "cause" and "causes"`)
	case one != nil:
		return map[string]float64{r.word(n, one, "cause", known): 1}
	case many == nil:
		r.fail(n, "missing-field", "add: cause: NAME", `this outcome has no "cause"`)
	case many.Kind != yaml.MappingNode || len(many.Content) == 0:
		r.fail(many, "wrong-form", "write causes: {ONE: 70 %, OTHER: 30 %}", "causes with their shares are wanted here")
	default:
		out, sum := map[string]float64{}, 0.0
		for i := 0; i+1 < len(many.Content); i += 2 {
			k, v := many.Content[i], many.Content[i+1]
			id := r.word(n, k, "cause", known)
			if _, twice := out[id]; twice {
				r.fail(k, "repeated-key", "leave one of them out", "%q stands here a second time", id)
			}
			out[id] = r.number(v, "a share", 1)
			sum += out[id]
		}
		if sum > 1.0001 {
			r.fail(many, "share-sum", "one case cannot count for more than one: bring them to 100 % or less", "these shares add up to %.4g %%", 100*sum)
		}
		return out
	}
	return nil
}

// number reads a number or a percentage above 0, at most most.
func (r *reader) number(n *yaml.Node, what string, most float64) float64 {
	q, err := unit.Parse(n.Value, unit.RatioDim)
	if n.Kind != yaml.ScalarNode || err != nil || !(q.SI() > 0) || q.SI() > most || math.IsInf(q.SI(), 0) {
		r.fail(n, "bad-number", fmt.Sprintf("write a number above 0, at most %v", most), "%q is not %s", n.Value, what)
		return 0
	}
	return q.SI()
}

func (r *reader) word(entry, n *yaml.Node, field string, known []string) string {
	switch {
	case n == nil:
		r.fail(entry, "missing-field", "add: "+field+": ...", "this outcome has no %q", field)
		return ""
	case n.Kind != yaml.ScalarNode || !slices.Contains(known, n.Value):
		r.fail(n, "unknown-name", hint(n.Value, known), "no %s is called %q", field, n.Value)
		return ""
	}
	return n.Value
}

func hint(word string, known []string) string {
	if h := source.DidYouMean(word, known); h != "" {
		return h
	}
	return "it is one of " + strings.Join(known, ", ")
}

func (r *reader) kinds() []string {
	var out []string
	for _, j := range r.kb.Joints {
		out = append(out, j.ID)
	}
	return append(out, learn.Shared)
}

func histories() []string {
	var out []string
	for _, h := range rules.Histories() {
		out = append(out, string(h))
	}
	return out
}

// known are the causes that an outcome of a kind can have.
func (r *reader) known(kind string) []string {
	if kind == learn.Shared {
		out := []string{learn.NoneShared}
		for _, c := range r.kb.SharedCauses() {
			out = append(out, c.ID)
		}
		return out
	}
	out := []string{learn.NotListed}
	for _, c := range r.kb.CausesOf(kind) {
		out = append(out, c.ID)
	}
	return out
}
