// Package infer draws conclusions: it fires rules to a fixpoint over what is known of an
// assembly and keeps the reason of every conclusion.
// It knows no probabilities and asks no questions.
package infer

import (
	"slices"
	"sort"

	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
)

// Origin tells where a value comes from.
type Origin string

// Answered by the person; Given in the assembly file or by the engine; Concluded or
// Computed by a rule.
const (
	Answered  Origin = "answered"
	Given     Origin = "given"
	Concluded Origin = "concluded"
	Computed  Origin = "computed"
)

// Support is one reason for a value. A fact may have several.
type Support struct {
	Value  fact.Value
	Origin Origin
	Rule   string     // Concluded, Computed
	Joint  string     // the joint for which the rule spoke; "" for a rule of the whole job
	Says   string     // the rule's sentence
	By     string     // Computed: the calculation
	Inputs []fact.Key // what the rule read, sorted
}

// Calculator runs a named calculation: input name to value, output name to value. It
// returns what it could not do as an error in words.
type Calculator interface {
	// Calculate computes the outputs of the calculation from values of facts.
	Calculate(name string, in map[string]fact.Value) (map[string]fact.Value, error)
	// Constant reads an input that was written as a quantity in the rule.
	Constant(name, input, text string) (fact.Value, error)
}

// instance is one rule bound to one joint ("" for a rule of the whole job).
type instance struct {
	rule  *rules.Rule
	joint string
	truth fact.Truth
	lacks []cond.Lack
	rank  int
	puts  []fact.Key // keys that it supports at the moment
	queue bool
	note  string // why a calculation was refused
}

// Memory holds answers and conclusions. The result depends only on the answers, not on
// their order: rules without loops have one fixpoint.
type Memory struct {
	kb      *rules.Knowledge
	book    *Rulebook
	asm     *assembly.Assembly
	calc    Calculator
	known   map[fact.Key][]Support
	readers map[fact.Key][]*instance
	all     []*instance
	agenda  []*instance
	runs    int
	joints  map[string]assembly.Joint
}

// Rulebook is what can be said of rules before any answer: what each reads, and the order in
// which they fire. Making one costs more than working a case; keep it for many.
type Rulebook struct {
	kb    *rules.Knowledge
	ranks map[string]int
	reads map[string][]string // rule id -> facts it looks at, sorted
}

// Compile reads the rules of a knowledge base.
func Compile(kb *rules.Knowledge) *Rulebook {
	b := &Rulebook{kb: kb, reads: make(map[string][]string, len(kb.Rules))}
	for _, r := range kb.Rules {
		b.reads[r.ID] = Reads(kb, r)
	}
	b.ranks = b.ranking()
	return b
}

// New binds the rules to the joints of the assembly and fires what needs no answer.
func New(book *Rulebook, asm *assembly.Assembly, calc Calculator) *Memory {
	kb := book.kb
	m := &Memory{kb: kb, book: book, asm: asm, calc: calc, known: map[fact.Key][]Support{}, readers: map[fact.Key][]*instance{}, joints: map[string]assembly.Joint{}}
	for _, j := range asm.Joints {
		m.joints[j.ID] = j
		m.known[fact.Key{Joint: j.ID, Fact: "joint"}] = []Support{{Value: fact.MakeChoice(j.Kind), Origin: Given}}
	}
	for _, r := range kb.Rules {
		if r.Job {
			m.bind(r, "", book.ranks[r.ID])
			continue
		}
		for _, j := range asm.Joints {
			if rules.Applies(r.For, j.Kind) {
				m.bind(r, j.ID, book.ranks[r.ID])
			}
		}
	}
	for _, in := range m.all {
		m.enqueue(in)
	}
	m.settle()
	return m
}

func (m *Memory) bind(r *rules.Rule, joint string, rank int) {
	in := &instance{rule: r, joint: joint, rank: rank}
	m.all = append(m.all, in)
	for _, name := range m.book.reads[r.ID] {
		k := m.Key(joint, name)
		m.readers[k] = append(m.readers[k], in)
	}
}

// Key is where a fact of a joint is kept, by its scope.
func (m *Memory) Key(joint, name string) fact.Key {
	f := m.kb.Fact(name)
	if f == nil {
		return fact.Key{Joint: joint, Fact: name}
	}
	switch f.Scope {
	case fact.Assembly, fact.Job:
		return fact.Key{Fact: name}
	case fact.Circuit:
		if c := m.joints[joint].Circuit; c != "" {
			return fact.Key{Joint: "circuit:" + c, Fact: name}
		}
		return fact.Key{Fact: name}
	}
	return fact.Key{Joint: joint, Fact: name}
}

// Reads lists the facts that a rule looks at, sorted.
func Reads(kb *rules.Knowledge, r *rules.Rule) []string {
	var out []string
	if r.When.Cond != nil {
		out = append(out, r.When.Cond.Facts()...)
	}
	for _, a := range r.Then {
		if a.Compute != nil {
			for _, from := range a.Compute.From {
				if kb.Fact(from) != nil {
					out = append(out, from)
				}
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// ranking orders rules so that a rule comes after all rules whose conclusions it reads.
// Loops, which the check of a knowledge base reports, keep an arbitrary but fixed order.
func (b *Rulebook) ranking() map[string]int {
	kb := b.kb
	makers := map[string][]*rules.Rule{}
	for _, r := range kb.Rules {
		for _, f := range writes(r) {
			makers[f] = append(makers[f], r)
		}
	}
	rank := map[string]int{}
	var visit func(r *rules.Rule, trail map[string]bool) int
	visit = func(r *rules.Rule, trail map[string]bool) int {
		if n, ok := rank[r.ID]; ok {
			return n
		}
		if trail[r.ID] {
			return 0
		}
		trail[r.ID] = true
		n := 0
		for _, f := range b.reads[r.ID] {
			for _, mk := range makers[f] {
				n = max(n, visit(mk, trail)+1)
			}
		}
		delete(trail, r.ID)
		rank[r.ID] = n
		return n
	}
	for _, r := range kb.Rules {
		visit(r, map[string]bool{})
	}
	return rank
}

// writes lists the facts that a rule can conclude.
func writes(r *rules.Rule) []string {
	var out []string
	for _, a := range r.Then {
		if a.Conclude != nil {
			out = append(out, a.Conclude.Fact)
		}
		if a.Compute != nil {
			for _, f := range a.Compute.Into {
				out = append(out, f)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func (m *Memory) enqueue(in *instance) {
	if !in.queue {
		in.queue = true
		m.agenda = append(m.agenda, in)
	}
}

// Tell records an answer (or a given value); an earlier answer to the same key goes.
func (m *Memory) Tell(k fact.Key, v fact.Value, from Origin) {
	m.put(k, slices.DeleteFunc(slices.Clone(m.known[k]), func(s Support) bool { return s.Rule == "" }))
	m.put(k, append([]Support{{Value: v, Origin: from}}, m.known[k]...))
	m.settle()
}

// Withdraw takes an answer back, and with it what rested on it and nothing else.
func (m *Memory) Withdraw(k fact.Key) {
	m.put(k, slices.DeleteFunc(slices.Clone(m.known[k]), func(s Support) bool { return s.Rule == "" }))
	m.settle()
}

// put replaces the supports of a key and wakes its readers when the value it shows changed.
func (m *Memory) put(k fact.Key, list []Support) {
	before, had, clash := m.value(k)
	if len(list) == 0 {
		delete(m.known, k)
	} else {
		m.known[k] = list
	}
	after, has, clashes := m.value(k)
	if had == has && clash == clashes && before.Same(after) {
		return
	}
	for _, in := range m.readers[k] {
		m.enqueue(in)
	}
}

// Value is what holds of a key: supports that agree are merged, the sharpest number wins;
// supports that clash make it contradicted, which counts as unknown.
func (m *Memory) Value(k fact.Key) (v fact.Value, ok, contradicted bool) { return m.value(k) }

func (m *Memory) value(k fact.Key) (v fact.Value, ok, contradicted bool) {
	list := m.known[k]
	for i, s := range list {
		for _, o := range list[i+1:] {
			if s.Value.Clash(o.Value) {
				return fact.Value{}, false, true
			}
		}
		switch {
		case !ok || !v.Answered():
			v, ok = s.Value, true
		case !s.Value.Answered():
		case v.Type == fact.Several && s.Value.Type == fact.Several:
			v = fact.MakeSeveral(append(slices.Clone(v.Is), s.Value.Is...), append(slices.Clone(v.Not), s.Value.Not...))
		case v.Type == fact.Number && s.Value.Type == fact.Number && s.Value.Num.U < v.Num.U:
			v = s.Value
		}
	}
	return v, ok, false
}

// Supports lists the reasons for a value.
func (m *Memory) Supports(k fact.Key) []Support { return m.known[k] }

// Keys lists all keys with a value, sorted by joint and fact.
func (m *Memory) Keys() []fact.Key {
	out := make([]fact.Key, 0, len(m.known))
	for k := range m.known {
		out = append(out, k)
	}
	sort.Slice(out, func(i, j int) bool {
		if out[i].Joint != out[j].Joint {
			return out[i].Joint < out[j].Joint
		}
		return out[i].Fact < out[j].Fact
	})
	return out
}

// Answers lists the keys that the person answered, sorted.
func (m *Memory) Answers() []fact.Key {
	return slices.DeleteFunc(m.Keys(), func(k fact.Key) bool {
		return !slices.ContainsFunc(m.known[k], func(s Support) bool { return s.Origin == Answered })
	})
}
