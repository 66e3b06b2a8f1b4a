// Package infer draws conclusions: it fires rules to a fixpoint over what is known of an
// assembly and keeps the reason of every conclusion.
// It knows no probabilities and asks no questions.
//
// What it costs. Every fact of a joint has one slot, which knows the rules that read it and
// the value that it shows. An answer makes the tests of its slot again, each once for all rules
// that share it, and wakes the rules whose truth that changes, and those that are no row of
// tests; each is looked at once, after all that it reads, and goes on only when the value
// shown by what it concludes becomes another. So an answer or its withdrawal grows with the conditions of
// the rules that it reaches, times the logarithm of the number of rules woken at once (the
// agenda is a heap), plus the reasons held by the facts that it changes. It does not grow
// with the number of rules, of facts or of answers given before, but for the caches of the
// processor. Compile and New grow with all conditions and conclusions. Active, Waiting and
// Refusals look through the rules.
package infer

import (
	"cmp"
	"slices"

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
	when  *cond.Cond // of the rule; beside the rest, because most rules looked at stay unknown
	rule  *rules.Rule
	joint string
	at    int // its place in the order of rule id and joint
	rank  int
	truth fact.Truth
	lacks []cond.Lack // of the condition only once asked for: see lacking
	asked bool
	// counted: it is a row of tests, see tally.go; lacks then hold as long as version is that of the memory.
	counted bool
	version int
	names   []string // facts it reads, sorted
	reads   []*slot  // where they are kept
	then    []*slot  // where each conclusion goes, in the order of the actions
	only    *support // of a row of tests with one conclusion and nothing else: its reason
	puts    []*slot  // what it supports at the moment
	queue   bool
	note    string // why a calculation was refused
}

// Memory holds answers and conclusions. The result depends only on the answers, not on
// their order: rules without loops have one fixpoint.
type Memory struct {
	kb      *rules.Knowledge
	book    *Rulebook
	asm     *assembly.Assembly
	calc    Calculator
	slots   map[fact.Key]*slot
	all     []*instance
	acting  []*instance // those with actions other than facts
	tallies []tally     // by the place of a rule
	version int         // counts answers and withdrawals
	agenda  agenda
	runs    int
	joints  map[string]assembly.Joint
	known   []fact.Key // room for the inputs of the rule that fires
}

// Rulebook is what can be said of rules before any answer: what each reads, and the order in
// which they fire. Making one costs more than working a case; keep it for many.
type Rulebook struct {
	kb    *rules.Knowledge
	ranks map[string]int
	reads map[string][]string // rule id -> facts it looks at, sorted
	rows  map[string][]piece  // rule id -> its tests, once asked for
}

// Compile reads the rules of a knowledge base.
func Compile(kb *rules.Knowledge) *Rulebook {
	b := &Rulebook{kb: kb, reads: make(map[string][]string, len(kb.Rules)), rows: map[string][]piece{}}
	for _, r := range kb.Rules {
		b.reads[r.ID] = Reads(kb, r)
	}
	b.ranks = b.ranking()
	return b
}

// New binds the rules to the joints of the assembly and fires what needs no answer.
func New(book *Rulebook, asm *assembly.Assembly, calc Calculator) *Memory {
	kb := book.kb
	m := &Memory{kb: kb, book: book, asm: asm, calc: calc, slots: map[fact.Key]*slot{}, joints: map[string]assembly.Joint{}}
	for _, j := range asm.Joints {
		m.joints[j.ID] = j
		s := m.slot(fact.Key{Joint: j.ID, Fact: "joint"})
		s.list = []*support{{Support: Support{Value: fact.MakeChoice(j.Kind), Origin: Given}}}
		s.show()
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
		m.agenda.push(in)
	}
	m.settle()
	return m
}

func (m *Memory) bind(r *rules.Rule, joint string, rank int) {
	in := &instance{when: r.When.Cond, rule: r, joint: joint, at: len(m.all), rank: rank, names: m.book.reads[r.ID]}
	m.all, m.tallies = append(m.all, in), append(m.tallies, tally{})
	if slices.ContainsFunc(r.Then, acts) {
		m.acting = append(m.acting, in)
	}
	in.reads = make([]*slot, len(in.names))
	row := m.book.pieces(r)
	for i, name := range in.names {
		s := m.slot(m.Key(joint, name))
		in.reads[i] = s
		if row != nil {
			continue
		}
		if n := len(s.readers); n == 0 || s.readers[n-1] != in { // two names can be kept in one place
			s.readers = append(s.readers, in)
		}
	}
	in.then = make([]*slot, len(r.Then))
	for i, a := range r.Then {
		if a.Conclude != nil {
			in.then[i] = m.slot(m.Key(joint, a.Conclude.Fact))
		}
	}
	if row != nil {
		m.count(in, row)
		in.prepare()
	}
}

// acts tells an action that states no fact.
func acts(a rules.Action) bool { return a.Conclude == nil && a.Compute == nil }

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

// ranking orders rules so that a rule comes after all rules whose conclusions it reads. It
// looks at every fact that a rule reads or writes once. Loops, which the check of a
// knowledge base reports, keep an arbitrary but fixed order.
func (b *Rulebook) ranking() map[string]int {
	makers := map[string][]*rules.Rule{}
	for _, r := range b.kb.Rules {
		for _, f := range writes(r) {
			makers[f] = append(makers[f], r)
		}
	}
	const open = -1 // on the trail from the rule asked for: meeting it again is a loop
	rank := make(map[string]int, len(b.kb.Rules))
	least := make(map[string]int, len(makers)) // fact -> rank of the rules that may read it
	var visit func(r *rules.Rule) int
	wait := func(f string) int {
		if n, ok := least[f]; ok {
			return max(n, 0)
		}
		least[f] = open
		n := 0
		for _, r := range makers[f] {
			n = max(n, visit(r)+1)
		}
		least[f] = n
		return n
	}
	visit = func(r *rules.Rule) int {
		if n, ok := rank[r.ID]; ok {
			return max(n, 0)
		}
		rank[r.ID] = open
		n := 0
		for _, f := range b.reads[r.ID] {
			if len(makers[f]) > 0 {
				n = max(n, wait(f))
			}
		}
		rank[r.ID] = n
		return n
	}
	for _, r := range b.kb.Rules {
		visit(r)
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

// Tell records an answer (or a given value); an earlier answer to the same key goes.
func (m *Memory) Tell(k fact.Key, v fact.Value, from Origin) {
	m.answer(k, &support{Support: Support{Value: v, Origin: from}})
}

// Withdraw takes an answer back, and with it what rested on it and nothing else.
func (m *Memory) Withdraw(k fact.Key) { m.answer(k, nil) }

func (m *Memory) answer(k fact.Key, given *support) {
	m.version++
	s := m.slot(k)
	s.tell(given)
	m.changed(s)
	m.settle()
}

// changed wakes the readers of a slot when the value it shows is another.
func (m *Memory) changed(s *slot) {
	before, had, clash := s.value, s.ok, s.clash
	if s.show(); had == s.ok && clash == s.clash && before.Same(s.value) {
		return
	}
	m.recount(s)
	for _, in := range s.readers {
		m.agenda.push(in)
	}
}

// Value is what holds of a key: supports that agree are merged, the sharpest number wins;
// supports that clash make it contradicted, which counts as unknown.
func (m *Memory) Value(k fact.Key) (v fact.Value, ok, contradicted bool) {
	if s := m.slots[k]; s != nil {
		return s.value, s.ok, s.clash
	}
	return fact.Value{}, false, false
}

// Supports lists the reasons for a value: what was told first, then what rules say, in the
// order of rule id and joint. The list is the caller's own.
func (m *Memory) Supports(k fact.Key) []Support {
	s := m.slots[k]
	if s == nil || len(s.list) == 0 {
		return nil
	}
	out := make([]Support, len(s.list))
	for i, x := range s.list {
		out[i] = x.Support
	}
	return out
}

// Keys lists all keys with a value, sorted by joint and fact.
func (m *Memory) Keys() []fact.Key {
	out := make([]fact.Key, 0, len(m.slots))
	for k, s := range m.slots {
		if len(s.list) > 0 {
			out = append(out, k)
		}
	}
	slices.SortFunc(out, byKey)
	return out
}

// Answers lists the keys that the person answered, sorted.
func (m *Memory) Answers() []fact.Key {
	return slices.DeleteFunc(m.Keys(), func(k fact.Key) bool {
		return !slices.ContainsFunc(m.slots[k].list, func(s *support) bool { return s.Origin == Answered })
	})
}

func byKey(a, b fact.Key) int {
	return cmp.Or(cmp.Compare(a.Joint, b.Joint), cmp.Compare(a.Fact, b.Fact))
}
