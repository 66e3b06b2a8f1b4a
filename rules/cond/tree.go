package cond

import (
	"sort"
	"strings"

	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// node is a part of a parsed condition.
type node interface {
	write(b *strings.Builder)
	facts(into map[string]bool)
	check(v Vocabulary, report func(Problem))
	eval(env Env) Outcome
	truth(env Env) fact.Truth
}

// name is a fact as written, with its place.
type name struct {
	id string
	at int
}

// amount is a quantity as written. Its unit has no symbol when none was given.
type amount struct {
	text   string
	number float64
	unit   unit.Unit
	at     int
}

type (
	// junction is a row of parts joined by the same word: "and" or "or".
	junction struct {
		word  string
		parts []node
	}
	negation struct{ of node }
	// choice is NAME is [not] OPTION or one of several options.
	choice struct {
		fact    name
		not     bool
		oneOf   bool
		options []name
	}
	// comparison is NAME sign QUANTITY, or NAME sign NAME.
	comparison struct {
		fact  name
		sign  string
		limit amount
		other name // other.id is empty when there is a limit
	}
	// between is NAME is between LOW and HIGH, both ends included.
	between struct {
		fact      name
		low, high amount
	}
)

// String is the condition in its plain form: it parses to the same tree.
func (c *Cond) String() string {
	if c == nil || c.root == nil {
		return ""
	}
	var b strings.Builder
	c.root.write(&b)
	return b.String()
}

// Facts lists the facts that the condition reads, sorted, each once.
func (c *Cond) Facts() []string {
	if c == nil || c.root == nil {
		return nil
	}
	set := map[string]bool{}
	c.root.facts(set)
	out := make([]string, 0, len(set))
	for id := range set {
		out = append(out, id)
	}
	sort.Strings(out)
	return out
}

// Parts lists the conditions that must all hold: what "and" joins at the top, else the
// condition itself. The nil condition has none.
func (c *Cond) Parts() []*Cond {
	if c == nil || c.root == nil {
		return nil
	}
	var out []*Cond
	var add func(n node)
	add = func(n node) {
		if j, ok := n.(*junction); ok && j.word == "and" {
			for _, p := range j.parts {
				add(p)
			}
			return
		}
		out = append(out, &Cond{root: n})
	}
	add(c.root)
	return out
}

// OnlyFact is the fact that the condition reads, when there is no other.
func (c *Cond) OnlyFact() (id string, ok bool) {
	if c == nil || c.root == nil {
		return "", false
	}
	return only(c.root)
}

func only(n node) (string, bool) {
	switch n := n.(type) {
	case *choice:
		return n.fact.id, true
	case *between:
		return n.fact.id, true
	case *comparison:
		return n.fact.id, n.other.id == "" || n.other.id == n.fact.id
	case *negation:
		return only(n.of)
	case *junction:
		id, ok := only(n.parts[0])
		for _, p := range n.parts[1:] {
			if o, same := only(p); !ok || !same || o != id {
				return "", false
			}
		}
		return id, ok
	}
	return "", false
}

// SingleAtom reports whether the condition is nothing but "FACT is OPTION" or "FACT is yes",
// as a sign must be. The option is "" for yes.
func (c *Cond) SingleAtom() (factID, option string, ok bool) {
	if c == nil {
		return "", "", false
	}
	a, ok := c.root.(*choice)
	if !ok || a.not || len(a.options) != 1 || a.options[0].id == "no" {
		return "", "", false
	}
	option = a.options[0].id
	if option == "yes" {
		option = ""
	}
	return a.fact.id, option, true
}

func (j *junction) write(b *strings.Builder) {
	for i, p := range j.parts {
		if i > 0 {
			b.WriteString(" " + j.word + " ")
		}
		// "and" binds tighter than "or", so only the other nestings need brackets.
		inner, nested := p.(*junction)
		bracket(b, p, nested && (j.word == "and" || inner.word == "or"))
	}
}

func (n *negation) write(b *strings.Builder) {
	b.WriteString("not ")
	_, nested := n.of.(*junction)
	bracket(b, n.of, nested)
}

func bracket(b *strings.Builder, n node, need bool) {
	if need {
		b.WriteString("(")
	}
	n.write(b)
	if need {
		b.WriteString(")")
	}
}

func (a *choice) write(b *strings.Builder) {
	b.WriteString(a.fact.id + " is ")
	if a.not {
		b.WriteString("not ")
	}
	if !a.oneOf {
		b.WriteString(a.options[0].id)
		return
	}
	ids := make([]string, len(a.options))
	for i, o := range a.options {
		ids[i] = o.id
	}
	b.WriteString("one of (" + strings.Join(ids, ", ") + ")")
}

func (c *comparison) write(b *strings.Builder) {
	b.WriteString(c.fact.id + " " + c.sign + " ")
	if c.other.id != "" {
		b.WriteString(c.other.id)
		return
	}
	b.WriteString(c.limit.text)
}

func (c *between) write(b *strings.Builder) {
	b.WriteString(c.fact.id + " is between " + c.low.text + " and " + c.high.text)
}

func (j *junction) facts(into map[string]bool) {
	for _, p := range j.parts {
		p.facts(into)
	}
}

func (n *negation) facts(into map[string]bool) { n.of.facts(into) }
func (a *choice) facts(into map[string]bool)   { into[a.fact.id] = true }
func (c *between) facts(into map[string]bool)  { into[c.fact.id] = true }
func (c *comparison) facts(into map[string]bool) {
	into[c.fact.id] = true
	if c.other.id != "" {
		into[c.other.id] = true
	}
}
