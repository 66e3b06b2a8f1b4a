package infer

import (
	"maps"
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

func (e env) Value(name string) (fact.Value, bool, bool) { return e.m.Value(e.m.Key(e.joint, name)) }

// Env is the view of the memory from one joint ("" for the whole job).
func (m *Memory) Env(joint string) cond.Env { return env{m, joint} }

// Value lets the rule's own condition read the slots that were found when it was bound.
func (in *instance) Value(name string) (fact.Value, bool, bool) {
	for i, n := range in.names { // a rule reads few facts
		if n == name {
			s := in.reads[i]
			return s.value, s.ok, s.clash
		}
	}
	return fact.Value{}, false, false
}

// settle fires what the agenda holds, lowest rank first, until nothing changes. Without
// loops every rule is looked at once after all that it reads; the bound only guards against
// a knowledge base with loops that was never checked.
func (m *Memory) settle() {
	for bound := 50 * (len(m.all) + 1); len(m.agenda) > 0 && bound > 0; bound-- {
		m.fire(m.agenda.pop())
	}
	m.agenda.clear()
}

// saying is a value that a rule gives to a slot.
type saying struct {
	at *slot
	Support
}

// say adds a value; the last of two for the same slot stands.
func say(list []saying, at *slot, s Support) []saying {
	if i := slices.IndexFunc(list, func(o saying) bool { return o.at == at }); i >= 0 {
		list[i].Support = s
		return list
	}
	return append(list, saying{at, s})
}

// fire evaluates one rule and brings its conclusions up to date.
func (m *Memory) fire(in *instance) {
	if in.counted {
		in.truth = m.tallies[in.at].truth()
		m.tallies[in.at].now = in.truth
	} else {
		m.runs++
		in.truth = in.when.Truth(in)
	}
	in.lacks, in.asked, in.note = nil, in.truth != fact.Unknown, ""
	if in.only != nil {
		m.fireOnly(in)
		return
	}
	var room [2]saying // most rules conclude one fact
	fresh := room[:0]
	if in.truth == fact.True {
		for i, a := range in.rule.Then {
			switch {
			case a.Conclude != nil:
				fresh = say(fresh, in.then[i], Support{Value: a.Conclude.Value, Origin: Concluded})
			case a.Compute != nil:
				res := m.compute(in, a.Compute)
				for _, output := range slices.Sorted(maps.Keys(a.Compute.Into)) {
					if v, ok := res[output]; ok {
						fresh = say(fresh, m.slot(m.Key(in.joint, a.Compute.Into[output])), Support{Value: v, Origin: Computed, By: a.Compute.By})
					}
				}
			}
		}
	}
	for _, s := range in.puts {
		if !slices.ContainsFunc(fresh, func(o saying) bool { return o.at == s }) {
			s.drop(in)
			m.changed(s)
		}
	}
	in.puts = in.puts[:0]
	if len(fresh) == 0 {
		return
	}
	m.known = in.appendInputs(m.known[:0])
	var inputs []fact.Key // shared by all conclusions of this rule
	for i := range fresh {
		f := &fresh[i]
		in.puts = append(in.puts, f.at)
		old := f.at.find(in)
		if old != nil && slices.Equal(old.Inputs, m.known) {
			inputs = old.Inputs
		} else if inputs == nil {
			inputs = slices.Clone(m.known)
		}
		f.Rule, f.Joint, f.Says, f.Inputs = in.rule.ID, in.joint, in.rule.Says, inputs
		switch {
		case old == nil:
			f.at.add(&support{f.Support, in})
		case old.Value.Same(f.Value):
			old.Support = f.Support // other facts may now be among the reasons
			continue
		default:
			old.Support = f.Support
		}
		m.changed(f.at)
	}
}

// lacking lists what keeps the rule unknown. Few rules are ever asked, so the condition is
// looked at again instead of keeping a list at every turn.
func (in *instance) lacking(version int) []cond.Lack {
	if !in.asked || in.counted && in.version != version {
		in.lacks, in.asked, in.version = in.when.Eval(in).Lacks, true, version
	}
	return in.lacks
}

// appendInputs lists what the rule read and found known.
func (in *instance) appendInputs(out []fact.Key) []fact.Key {
	for _, s := range in.reads {
		if s.ok {
			out = append(out, s.key)
		}
	}
	return out
}

// compute runs a calculation when every input that the rule names is known: an input left out
// in silence would give a number that looks right and means something else. What the
// calculation refuses is kept as a note, not dropped.
func (m *Memory) compute(in *instance, c *rules.Compute) map[string]fact.Value {
	args := map[string]fact.Value{}
	for _, input := range slices.Sorted(maps.Keys(c.From)) {
		from := c.From[input]
		if m.kb.Fact(from) == nil {
			v, err := m.calc.Constant(c.By, input, from)
			if err != nil {
				in.note = err.Error()
				return nil
			}
			args[input] = v
			continue
		}
		v, ok, clash := in.Value(from)
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
	return res
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
	for _, in := range m.acting {
		if in.truth != fact.True {
			continue
		}
		inputs := in.appendInputs(nil)
		for _, a := range in.rule.Then {
			if acts(a) {
				out = append(out, Fired{in.rule, in.joint, a, inputs})
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
			out = append(out, Undecided{in.rule, in.joint, in.lacking(m.version)})
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
			return in.truth, in.lacking(m.version), true
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
		s := m.slots[k]
		if s == nil {
			return
		}
		for _, s := range s.list {
			if s.by == nil {
				out = append(out, k)
				continue
			}
			for _, in := range s.Inputs {
				walk(in)
			}
		}
	}
	walk(k)
	slices.SortFunc(out, byKey)
	return slices.Compact(out)
}

// Looked counts how many times a rule was looked at since the memory was made.
func (m *Memory) Looked() int { return m.runs }
