package infer

import (
	"math"

	"seepwright/rules"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
)

// Most rules are a row of tests of one fact each, joined by "and". Such a rule is not looked
// at again when a fact changes: every test is made once for all rules that share it, and each
// rule only counts how many of its tests are false and how many are open. The rule wakes
// when the count says another truth than it had. What is touched for a rule that stays as it
// is are four bytes beside those of its neighbours.

// test is a condition on one slot, with the rules that it is a part of.
type test struct {
	text  string
	when  *cond.Cond
	by    *instance // reads the slot under the name that the condition uses
	truth fact.Truth
	rules []int32 // by their place in the order
}

// tally counts the tests of one rule.
type tally struct {
	no, open uint8
	now      fact.Truth // when the rule was last brought up to date
}

func (t tally) truth() fact.Truth {
	switch {
	case t.no > 0:
		return fact.False
	case t.open > 0:
		return fact.Unknown
	}
	return fact.True
}

func (t *tally) count(of fact.Truth, by int) {
	switch of {
	case fact.False:
		t.no = uint8(int(t.no) + by)
	case fact.Unknown:
		t.open = uint8(int(t.open) + by)
	}
}

// piece is one test of a rule, not yet bound.
type piece struct {
	fact, text string
	when       *cond.Cond
}

// pieces takes a rule apart into tests of one fact each; none when it is not such a row, or
// when it calculates: then it has to be looked at whenever an input is another.
func (b *Rulebook) pieces(r *rules.Rule) []piece {
	if p, ok := b.rows[r.ID]; ok {
		return p
	}
	out := make([]piece, 0, 4)
	for _, c := range r.When.Cond.Parts() {
		f, ok := c.OnlyFact()
		if !ok {
			out = nil
			break
		}
		out = append(out, piece{f, c.String(), c})
	}
	for _, a := range r.Then {
		if a.Compute != nil || len(out) > math.MaxUint8 {
			out = nil
		}
	}
	if len(out) == 0 {
		out = nil
	}
	b.rows[r.ID] = out
	return out
}

// count binds a rule to its tests.
func (m *Memory) count(in *instance, row []piece) {
	in.counted = true
	for _, p := range row {
		s := m.slot(m.Key(in.joint, p.fact))
		t := s.test(p, in)
		t.rules = append(t.rules, int32(in.at))
		m.tallies[in.at].count(t.truth, 1)
	}
}

// prepare makes the reason that a row of tests gives for its only conclusion: when all tests
// are true all that it reads is known, so the reason is always the same.
func (in *instance) prepare() {
	if len(in.rule.Then) != 1 || in.then[0] == nil {
		return
	}
	in.only = &support{by: in, Support: Support{Value: in.rule.Then[0].Conclude.Value, Origin: Concluded, Rule: in.rule.ID, Joint: in.joint, Says: in.rule.Says}}
	in.only.Inputs = make([]fact.Key, len(in.reads))
	for i, s := range in.reads {
		in.only.Inputs[i] = s.key
	}
}

// fireOnly gives the only conclusion of a row of tests, or takes it back.
func (m *Memory) fireOnly(in *instance) {
	s := in.then[0]
	switch given := len(in.puts) > 0; {
	case in.truth == fact.True && !given:
		in.puts = in.then
		s.add(in.only)
	case in.truth != fact.True && given:
		in.puts = nil
		s.drop(in)
	default:
		return
	}
	m.changed(s)
}

// test finds the test of a slot, or makes it.
func (s *slot) test(p piece, in *instance) *test {
	for _, t := range s.tests {
		if t.text == p.text {
			return t
		}
	}
	t := &test{text: p.text, when: p.when, by: in}
	t.truth = t.when.Truth(in)
	s.tests = append(s.tests, t)
	return t
}

// recount makes the tests of a slot again and wakes the rules whose truth is another.
func (m *Memory) recount(s *slot) {
	for _, t := range s.tests {
		m.runs += len(t.rules)
		now := t.when.Truth(t.by)
		if now == t.truth {
			continue
		}
		for _, at := range t.rules {
			n := &m.tallies[at]
			n.count(t.truth, -1)
			n.count(now, 1)
			if n.truth() != n.now {
				m.agenda.push(m.all[at])
			}
		}
		t.truth = now
	}
}
