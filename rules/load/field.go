package load

import (
	"fmt"
	"strings"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// Field describes one field of a document: the reader, the hints, the reference in the
// knowledge base's README and the templates are all made from it.
type Field struct {
	Name    string
	Holds   string   // "text", "per cent", "list of checks" ...
	Help    string   // one sentence for authors
	Must    bool     // an error when missing
	Choices []string // the only values, if limited
	Fields  []Field  // of the entries, if these have fields of their own
	OneOf   bool     // of those fields an entry has exactly one
	Least   float64  // of a number; both 0 = no limits
	Most    float64
}

// field is a Field of documents of type T and how it is read into them.
type field[T any] struct {
	Field
	read func(r *reader, n *node, into *T)
}

type table[T any] []field[T]

func (t table[T]) fields() []Field {
	out := make([]Field, len(t))
	for i, f := range t {
		out[i] = f.Field
	}
	return out
}

func must[T any](f field[T]) field[T] { f.Must = true; return f }

// onlyOne marks a list of entries of which each has exactly one field.
func onlyOne[T any](f field[T]) field[T] { f.OneOf = true; return f }

// readFields reads a mapping by its table. The first skip names were read already.
func readFields[T any](r *reader, n *node, skip int, tab table[T], into *T, what string, each func(name string, key, val *node)) {
	seen := map[string]source.Place{}
	for i := skip; i < len(n.keys); i++ {
		key, val := n.keys[i], n.vals[i]
		if key.form != textForm {
			r.fail(key.at, "wrong-type", "the name of a field was expected here, found "+key.form.String(), "write NAME: VALUE")
			continue
		}
		if first, twice := seen[key.text]; twice {
			r.fail(key.at, "duplicate-key", fmt.Sprintf("%q stands twice in this %s", key.text, what), fmt.Sprintf("the first is in line %d; keep one", first.Line))
			continue
		}
		seen[key.text] = key.at
		f := tab.find(key.text)
		if f == nil && r.commaCut(key, val) {
			continue
		}
		if f == nil {
			r.unknown(key.at, "unknown-field", fmt.Sprintf("%s has no field %q", article(what), key.text), key.text, tab.names())
			continue
		}
		if each != nil {
			each(key.text, key, val)
		}
		if val.form == emptyForm {
			r.fail(val.at, "wrong-type", fmt.Sprintf("%q is empty", key.text), "write "+f.Holds+" after the colon, or take the line out")
			continue
		}
		f.read(r, val, into)
	}
	if r.partial {
		return
	}
	for _, f := range tab {
		if _, ok := seen[f.Name]; f.Must && !ok {
			r.fail(n.at, "missing-field", fmt.Sprintf("this %s has no %q", what, f.Name), "add: "+f.Name+": "+placeholder(f.Field))
		}
	}
}

func article(what string) string {
	if strings.ContainsAny(what[:1], "aeiou") {
		return "an " + what
	}
	return "a " + what
}

func placeholder(f Field) string {
	if len(f.Choices) > 0 {
		return strings.Join(f.Choices, " | ")
	}
	return strings.ToUpper(f.Holds)
}

func (t table[T]) find(name string) *field[T] {
	for i := range t {
		if t[i].Name == name {
			return &t[i]
		}
	}
	return nil
}

func (t table[T]) names() []string {
	var out []string
	for _, f := range t {
		out = append(out, f.Name)
	}
	return out
}

// The makers of fields. Each takes the name, a sentence of help, and where the value goes.

func text[T any](name, help string, to func(*T) *string) field[T] {
	return field[T]{Field{Name: name, Holds: "text", Help: help}, func(r *reader, n *node, d *T) {
		if s, ok := r.text(n, name); ok {
			*to(d) = s
		}
	}}
}

func texts[T any](name, help string, to func(*T) *[]string) field[T] {
	return field[T]{Field{Name: name, Holds: "list of texts", Help: help}, func(r *reader, n *node, d *T) {
		*to(d) = r.texts(n, name)
	}}
}

// id is the name of another document; lint finds out whether it exists.
func id[T any](name, of, help string, to func(*T) *string) field[T] {
	return field[T]{Field{Name: name, Holds: "name of a " + of, Help: help}, func(r *reader, n *node, d *T) {
		if s, ok := r.name(n, name); ok {
			*to(d) = s
		}
	}}
}

// ids is a list of names; one name alone may stand without brackets.
func ids[T any](name, of, help string, to func(*T) *[]string) field[T] {
	return field[T]{Field{Name: name, Holds: "list of names of " + of, Help: help}, func(r *reader, n *node, d *T) {
		*to(d) = r.names(n, name)
	}}
}

func flag[T any](name, help string, to func(*T) *bool) field[T] {
	return field[T]{Field{Name: name, Holds: "yes or no", Help: help, Choices: []string{"yes", "no"}}, func(r *reader, n *node, d *T) {
		if b, ok := r.flag(n, name); ok {
			*to(d) = b
		}
	}}
}

func oneOf[T any, S ~string](name, help string, choices []S, to func(*T) *S) field[T] {
	words := make([]string, len(choices))
	for i, c := range choices {
		words[i] = string(c)
	}
	return field[T]{Field{Name: name, Holds: "one word", Help: help, Choices: words}, func(r *reader, n *node, d *T) {
		if s, ok := r.word(n, name, words); ok {
			*to(d) = S(s)
		}
	}}
}

func manyOf[T any, S ~string](name, help string, choices []S, to func(*T) *[]S) field[T] {
	words := make([]string, len(choices))
	for i, c := range choices {
		words[i] = string(c)
	}
	return field[T]{Field{Name: name, Holds: "list of words", Help: help, Choices: words}, func(r *reader, n *node, d *T) {
		var out []S
		for _, item := range r.items(n, name) {
			if s, ok := r.word(item, name, words); ok {
				out = append(out, S(s))
			}
		}
		*to(d) = out
	}}
}

func percent[T any](name, help string, to func(*T) *float64) field[T] {
	return field[T]{Field{Name: name, Holds: "per cent (30 % or 0.3)", Help: help}, func(r *reader, n *node, d *T) {
		if x, ok := r.percent(n, name); ok {
			*to(d) = x
		}
	}}
}

func number[T any](name, help string, least, most float64, to func(*T) *float64) field[T] {
	return field[T]{Field{Name: name, Holds: "number", Help: help, Least: least, Most: most}, func(r *reader, n *node, d *T) {
		if x, ok := r.number(n, name, least, most); ok {
			*to(d) = x
		}
	}}
}

func whole[T any](name, help string, least, most float64, to func(*T) *int) field[T] {
	return field[T]{Field{Name: name, Holds: "whole number", Help: help, Least: least, Most: most}, func(r *reader, n *node, d *T) {
		x, ok := r.number(n, name, least, most)
		if ok && x != float64(int(x)) {
			r.fail(n.at, "bad-number", fmt.Sprintf("%q is a whole number, found %q", name, n.text), "")
			return
		}
		if ok {
			*to(d) = int(x)
		}
	}}
}

func minutes[T any](name, help string, to func(*T) *float64) field[T] {
	return field[T]{Field{Name: name, Holds: "minutes (a plain number)", Help: help}, func(r *reader, n *node, d *T) {
		if x, ok := r.minutes(n, name, true); ok {
			*to(d) = x
		}
	}}
}

func wait[T any](name, help string, to func(*T) *float64) field[T] {
	return field[T]{Field{Name: name, Holds: "time with its unit (24 h)", Help: help}, func(r *reader, n *node, d *T) {
		if x, ok := r.minutes(n, name, false); ok {
			*to(d) = x
		}
	}}
}

func measure[T any](name, help string, to func(*T) **fact.Measure) field[T] {
	return field[T]{Field{Name: name, Holds: "quantity with its unit (0.05 mm)", Help: help}, func(r *reader, n *node, d *T) {
		if m, ok := r.measure(n, name); ok {
			*to(d) = &m
		}
	}}
}

func dimension[T any](name, help string, to func(*T) *unit.Dimension) field[T] {
	return oneOf(name, help, unit.Dimensions(), to)
}

func perHistory[T any](name, help string, to func(*T) *rules.PerHistory) field[T] {
	return field[T]{Field{Name: name, Holds: "per cent, or one per history ({after-refit: 30 %, long-service: 5 %})", Help: help}, func(r *reader, n *node, d *T) {
		*to(d) = r.perHistory(n, name, *to(d))
	}}
}

func condition[T any](name, help string, to func(*T) *rules.When) field[T] {
	return field[T]{Field{Name: name, Holds: "condition", Help: help}, func(r *reader, n *node, d *T) {
		*to(d) = r.condition(n, name)
	}}
}

func conditionOr[T any](name, help string, to func(*T) **rules.When) field[T] {
	return field[T]{Field{Name: name, Holds: "condition", Help: help}, func(r *reader, n *node, d *T) {
		w := r.condition(n, name)
		*to(d) = &w
	}}
}

// group is one mapping with fields of its own.
func group[T, S any](name, help string, tab table[S], to func(*T) *S) field[T] {
	return field[T]{Field{Name: name, Holds: "names with values", Help: help, Fields: tab.fields()}, func(r *reader, n *node, d *T) {
		if r.mapping(n, name) {
			var s S
			r.whole(func() { readFields(r, n, 0, tab, &s, name, nil) })
			*to(d) = s
		}
	}}
}

// entries is a list of mappings with fields of their own. done sees each entry after its fields were read.
func entries[T, S any](name, help string, tab table[S], add func(d *T, list []S), done func(r *reader, n *node, s *S)) field[T] {
	return field[T]{Field{Name: name, Holds: "list of entries", Help: help, Fields: tab.fields()}, func(r *reader, n *node, d *T) {
		var list []S
		for _, item := range r.items(n, name) {
			if !r.mapping(item, name) {
				continue
			}
			var s S
			r.whole(func() { readFields(r, item, 0, tab, &s, "entry of "+name, nil) })
			if done != nil {
				done(r, item, &s)
			}
			list = append(list, s)
		}
		add(d, list)
	}}
}
