package infer

import (
	"cmp"
	"slices"

	"seepwright/rules"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
)

// env lets a condition read the memory from the place of one joint.
type env struct {
	m     *Memory
	joint string
}

func (e env) Value(name string) (fact.Value, bool, bool) { return e.m.value(e.m.Key(e.joint, name)) }

// Env is the view of the memory from one joint ("" for the whole job).
func (m *Memory) Env(joint string) cond.Env { return env{m, joint} }

// settle fires what the agenda holds, lowest rank first, until nothing changes. Without
// loops every rule is looked at once after all that it reads; the bound only guards against
// a knowledge base with loops that was never checked.
func (m *Memory) settle() {
	bound := 50 * (len(m.all) + 1)
	for len(m.agenda) > 0 && bound > 0 {
		bound--
		best := 0
		for i, in := range m.agenda {
			if in.rank < m.agenda[best].rank {
				best = i
			}
		}
		in := m.agenda[best]
		m.agenda = slices.Delete(m.agenda, best, best+1)
		in.queue = false
		m.fire(in)
	}
	m.agenda = m.agenda[:0]
}

// fire evaluates one rule and brings its conclusions up to date.
func (m *Memory) fire(in *instance) {
	m.runs++
	out := in.rule.When.Cond.Eval(m.Env(in.joint))
	in.truth, in.lacks, in.note = out.Truth, out.Lacks, ""
	fresh := map[fact.Key]Support{}
	if out.Truth == fact.True {
		inputs := m.inputs(in)
		for _, a := range in.rule.Then {
			switch {
			case a.Conclude != nil:
				fresh[m.Key(in.joint, a.Conclude.Fact)] = Support{Value: a.Conclude.Value, Origin: Concluded, Rule: in.rule.ID, Joint: in.joint, Says: in.rule.Says, Inputs: inputs}
			case a.Compute != nil:
				for k, s := range m.compute(in, a.Compute) {
					s.Inputs = inputs
					fresh[k] = s
				}
			}
		}
	}
	for _, k := range in.puts {
		if _, still := fresh[k]; !still {
			m.put(k, without(m.known[k], in))
		}
	}
	in.puts = in.puts[:0]
	for _, k := range sortedKeys(fresh) {
		s := fresh[k]
		if old := find(m.known[k], in); old == nil || !old.Value.Same(s.Value) {
			m.put(k, append(without(m.known[k], in), s))
		}
		in.puts = append(in.puts, k)
	}
}

// ours tells the support that this rule gave from all others.
func ours(in *instance) func(Support) bool {
	return func(s Support) bool { return s.Rule == in.rule.ID && s.Joint == in.joint }
}

func without(list []Support, in *instance) []Support {
	return slices.DeleteFunc(slices.Clone(list), ours(in))
}

func find(list []Support, in *instance) *Support {
	if i := slices.IndexFunc(list, ours(in)); i >= 0 {
		return &list[i]
	}
	return nil
}

func sortedKeys(m map[fact.Key]Support) []fact.Key {
	out := make([]fact.Key, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.SortFunc(out, func(a, b fact.Key) int {
		return cmp.Or(cmp.Compare(a.Joint, b.Joint), cmp.Compare(a.Fact, b.Fact))
	})
	return out
}

// inputs lists what the rule read and found known.
func (m *Memory) inputs(in *instance) []fact.Key {
	var out []fact.Key
	for _, name := range m.book.reads[in.rule.ID] {
		k := m.Key(in.joint, name)
		if _, ok, _ := m.value(k); ok {
			out = append(out, k)
		}
	}
	return out
}

// compute runs a calculation when every input that the rule names is known: an input left out
// in silence would give a number that looks right and means something else. What the
// calculation refuses is kept as a note, not dropped.
func (m *Memory) compute(in *instance, c *rules.Compute) map[fact.Key]Support {
	args := map[string]fact.Value{}
	for input, from := range c.From {
		if m.kb.Fact(from) == nil {
			v, err := m.calc.Constant(c.By, input, from)
			if err != nil {
				in.note = err.Error()
				return nil
			}
			args[input] = v
			continue
		}
		v, ok, clash := m.value(m.Key(in.joint, from))
		if ok && v.Answered() {
			args[input] = v
			continue
		}
		why := cond.NotAsked
		switch {
		case clash:
			why = cond.Contradicted
		case ok && v.State == fact.CantTell:
			why = cond.CantTell
		case ok && v.State == fact.CantGet:
			why = cond.CantGet
		}
		in.truth = fact.Unknown
		in.lacks = append(in.lacks, cond.Lack{Fact: from, Reason: why})
	}
	if in.truth != fact.True {
		return nil
	}
	res, err := m.calc.Calculate(c.By, args)
	if err != nil {
		in.note = err.Error()
		return nil
	}
	out := map[fact.Key]Support{}
	for output, name := range c.Into {
		v, ok := res[output]
		if !ok {
			continue
		}
		out[m.Key(in.joint, name)] = Support{Value: v, Origin: Computed, Rule: in.rule.ID, Joint: in.joint, Says: in.rule.Says, By: c.By}
	}
	return out
}

// Fired is one action of a rule whose condition holds.
type Fired struct {
	Rule   *rules.Rule
	Joint  string
	Action rules.Action
	Inputs []fact.Key
}

// Active lists the actions of all rules that hold, other than concluded and computed
// facts, in the order of rule id and joint.
func (m *Memory) Active() []Fired {
	var out []Fired
	for _, in := range m.all {
		if in.truth != fact.True {
			continue
		}
		for _, a := range in.rule.Then {
			if a.Conclude == nil && a.Compute == nil {
				out = append(out, Fired{in.rule, in.joint, a, m.inputs(in)})
			}
		}
	}
	return out
}

// Undecided is a rule that cannot say yet, and what it lacks.
type Undecided struct {
	Rule  *rules.Rule
	Joint string
	Lacks []cond.Lack
}

// Waiting lists the rules that cannot say yet, in the order of rule id and joint.
func (m *Memory) Waiting() []Undecided {
	var out []Undecided
	for _, in := range m.all {
		if in.truth == fact.Unknown {
			out = append(out, Undecided{in.rule, in.joint, in.lacks})
		}
	}
	return out
}

// Refusal is a calculation that would not answer, in words.
type Refusal struct {
	Rule, Joint, Says string
}

// Refusals lists calculations that refused their inputs.
func (m *Memory) Refusals() []Refusal {
	var out []Refusal
	for _, in := range m.all {
		if in.note != "" {
			out = append(out, Refusal{in.rule.ID, in.joint, in.note})
		}
	}
	return out
}

// Truth is the truth of one rule at one joint; ok is false when it is not bound there.
func (m *Memory) Truth(rule, joint string) (t fact.Truth, lacks []cond.Lack, ok bool) {
	for _, in := range m.all {
		if in.rule.ID == rule && in.joint == joint {
			return in.truth, in.lacks, true
		}
	}
	return fact.Unknown, nil, false
}

// RestsOn lists the answers on which the value of a key rests, walking its reasons down.
func (m *Memory) RestsOn(k fact.Key) []fact.Key {
	seen := map[fact.Key]bool{}
	var out []fact.Key
	var walk func(fact.Key)
	walk = func(k fact.Key) {
		if seen[k] {
			return
		}
		seen[k] = true
		for _, s := range m.known[k] {
			if s.Rule == "" {
				out = append(out, k)
				continue
			}
			for _, in := range s.Inputs {
				walk(in)
			}
		}
	}
	walk(k)
	slices.SortFunc(out, func(a, b fact.Key) int {
		return cmp.Or(cmp.Compare(a.Joint, b.Joint), cmp.Compare(a.Fact, b.Fact))
	})
	return slices.Compact(out)
}

// Looked counts how many times a rule was looked at since the memory was made.
func (m *Memory) Looked() int { return m.runs }
