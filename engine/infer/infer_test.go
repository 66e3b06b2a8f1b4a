package infer_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/infer"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
	"seepwright/rules/load"
	"seepwright/rules/unit"
)

// A chain of three steps, a contradiction and a calculation, all invented.
const chain = `
joint: plug
title: A plug
case kind: radial_oring
looks like: a plug
works by: fitting
fails by: not fitting
---
fact: depth
ask: How deep?
answer: quantity
dimension: length
---
fact: shallow
ask: Is it shallow?
answer: yes-no
engine: yes
---
fact: pinched
ask: Is it pinched?
answer: yes-no
---
fact: cut
ask: Is it cut?
answer: yes-no
engine: yes
---
fact: doubled
ask: Twice as deep?
answer: quantity
dimension: length
engine: yes
---
fact: wet
ask: Wet?
answer: several
options: [{id: top, title: on top}, {id: side, title: at the side}, {id: below, title: below}]
---
rule: a-shallow
says: Under two millimetres is shallow.
when: depth < 2 mm
then: [{conclude: shallow is yes}]
---
rule: a-deep
says: Two millimetres and more is deep.
when: depth >= 2 mm
then: [{conclude: shallow is no}]
---
rule: b-pinched
says: Shallow pinches.
when: shallow is yes
then: [{conclude: pinched is yes}]
---
rule: c-cut
says: What is pinched and wet on top is cut.
when: pinched is yes and wet is top
then: [{conclude: cut is yes}]
---
rule: d-double
says: Twice.
when: depth < 100 mm
then: [{compute: {by: twice, from: {x: depth}, into: {y: doubled}}}]
`

// twice is the only calculation of this test.
type twice struct{}

func (twice) Calculate(_ string, in map[string]fact.Value) (map[string]fact.Value, error) {
	m := in["x"].Num
	m.SI, m.U = 2*m.SI, 2*m.U
	return map[string]fact.Value{"y": fact.MakeNumber(m)}, nil
}
func (twice) Constant(string, string, string) (fact.Value, error) {
	return fact.Value{}, nil
}

func base(t testing.TB) *rules.Knowledge {
	files := fstest.MapFS{}
	facts, ruleDocs, _ := strings.Cut(chain, "---\nrule: ")
	files["plug.yaml"] = &fstest.MapFile{Data: []byte(facts)}
	for _, doc := range strings.Split(ruleDocs, "---\nrule: ") {
		name, _, _ := strings.Cut(doc, "\n")
		files[name+".yaml"] = &fstest.MapFile{Data: []byte("rule: " + doc)}
	}
	k, bad := load.Read(files, load.Options{Prefix: "kb"})
	require.Zero(t, bad.Errors(), "%v", bad)
	return k
}

func mm(x, u float64) fact.Value {
	return fact.MakeNumber(fact.Measure{SI: x / 1e3, U: u / 1e3, Dim: unit.LengthDim, Unit: "mm"})
}

func key(name string) fact.Key { return fact.Key{Joint: "joint", Fact: name} }

func truth(m *infer.Memory, name string) fact.Truth {
	v, ok, clash := m.Value(key(name))
	if !ok || clash || !v.Answered() {
		return fact.Unknown
	}
	return fact.Of(v.Yes)
}

func memory(t testing.TB) *infer.Memory {
	return infer.New(infer.Compile(base(t)), assembly.Single("plug"), twice{})
}

func TestAnAnswerSetsOffAChainAndItsWithdrawalTakesTheChainBack(t *testing.T) {
	m := memory(t)
	m.Tell(key("wet"), fact.MakeSeveral([]string{"top"}, nil), infer.Answered)
	assert.Equal(t, fact.Unknown, truth(m, "cut"))
	m.Tell(key("depth"), mm(1.5, 0.05), infer.Answered)
	assert.Equal(t, fact.True, truth(m, "shallow"))
	assert.Equal(t, fact.True, truth(m, "pinched"))
	assert.Equal(t, fact.True, truth(m, "cut"))
	v, ok, _ := m.Value(key("doubled"))
	require.True(t, ok)
	assert.InDelta(t, 0.003, v.Num.SI, 1e-12)
	assert.Equal(t, []fact.Key{key("depth"), key("wet")}, m.RestsOn(key("cut")))

	m.Withdraw(key("depth"))
	for _, f := range []string{"shallow", "pinched", "cut"} {
		assert.Equal(t, fact.Unknown, truth(m, f), f)
	}
	_, ok, _ = m.Value(key("wet"))
	assert.True(t, ok, "what did not rest on it stays")
}

func TestAReadingTooCloseToTheLimitDecidesNothing(t *testing.T) {
	m := memory(t)
	m.Tell(key("depth"), mm(1.98, 0.05), infer.Answered)
	assert.Equal(t, fact.Unknown, truth(m, "shallow"))
	m.Tell(key("depth"), mm(1.98, 0.01), infer.Answered)
	assert.Equal(t, fact.True, truth(m, "shallow"))
}

func TestTwoValuesOfOneFactMakeItContradictedAndUnknown(t *testing.T) {
	m := memory(t)
	m.Tell(key("wet"), fact.MakeSeveral([]string{"top"}, nil), infer.Answered)
	m.Tell(key("pinched"), fact.MakeYesNo(false), infer.Answered)
	m.Tell(key("depth"), mm(1, 0.05), infer.Answered)
	_, ok, clash := m.Value(key("pinched"))
	assert.False(t, ok)
	assert.True(t, clash)
	assert.Len(t, m.Supports(key("pinched")), 2, "both reasons are kept")
	assert.Equal(t, fact.Unknown, truth(m, "cut"))
	m.Withdraw(key("pinched"))
	assert.Equal(t, fact.True, truth(m, "cut"), "without the clashing answer the conclusion stands again")
}

func TestOnlyRulesThatReadAChangedFactAreLookedAt(t *testing.T) {
	m := memory(t)
	before := m.Looked()
	m.Tell(key("wet"), fact.MakeSeveral([]string{"side"}, nil), infer.Answered)
	assert.Equal(t, 1, m.Looked()-before, "only c-cut reads it")
}

func TestTheOrderOfAnswersDoesNotMatter(t *testing.T) {
	answers := []struct {
		fact string
		v    fact.Value
	}{
		{"depth", mm(1.2, 0.05)}, {"wet", fact.MakeSeveral([]string{"top"}, []string{"side"})},
		{"pinched", fact.MakeYesNo(true)}, {"depth", mm(3, 0.05)}, {"depth", mm(1.1, 0.02)},
	}
	final := func(order []int) map[fact.Key]string {
		m := memory(t)
		for _, i := range order {
			if answers[i].fact != "depth" {
				m.Tell(key(answers[i].fact), answers[i].v, infer.Answered)
			}
		}
		m.Tell(key("depth"), mm(3, 0.05), infer.Answered)
		m.Tell(key("depth"), mm(1.1, 0.02), infer.Answered)
		out := map[fact.Key]string{}
		for _, k := range m.Keys() {
			v, ok, _ := m.Value(k)
			out[k] = v.String()
			if !ok {
				out[k] = "clash"
			}
		}
		return out
	}
	want := final([]int{0, 1, 2, 3, 4})
	r := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		assert.Equal(t, want, final(r.Perm(5)))
	}
}

// either is concluded from any of two facts, by two rules of which one reads both.
func either(t testing.TB) *rules.Knowledge {
	k := &rules.Knowledge{Joints: []*rules.Joint{{Head: rules.Head{ID: "plug"}}}}
	for _, id := range []string{"a", "b"} {
		k.Facts = append(k.Facts, yesNo(id, false))
	}
	k.Facts = append(k.Facts, yesNo("c", true))
	k.Rules = append(k.Rules, ruleOf(t, "r-any", "a is yes or b is yes", "c"), ruleOf(t, "s-one", "b is yes", "c"))
	return k
}

func TestReasonsFollowTheAnswersThatStandAndNotTheirOrder(t *testing.T) {
	yes := fact.MakeYesNo(true)
	fresh := func() *infer.Memory { return infer.New(infer.Compile(either(t)), assembly.Single("plug"), twice{}) }
	one, other := fresh(), fresh()
	one.Tell(key("a"), yes, infer.Answered)
	one.Tell(key("b"), yes, infer.Answered)
	other.Tell(key("b"), yes, infer.Answered)
	other.Tell(key("a"), yes, infer.Answered)
	assert.Equal(t, one.Supports(key("c")), other.Supports(key("c")))
	assert.Equal(t, []fact.Key{key("a"), key("b")}, one.RestsOn(key("c")))

	one.Withdraw(key("a"))
	assert.Equal(t, []fact.Key{key("b")}, one.RestsOn(key("c")), "an answer taken back is no reason any more")
	one.Withdraw(key("b"))
	_, ok, _ := one.Value(key("c"))
	assert.False(t, ok)
	assert.Empty(t, one.Keys()[1:], "only the kind of the joint is left")
}

func TestTheOrderOfRulesAndAnswersDoesNotMatterAndWithdrawalLeavesNoTrace(t *testing.T) {
	const n = 200
	yes := fact.MakeYesNo(true)
	r := rand.New(rand.NewPCG(5, 6))
	k := drawn(t, n)
	for i := range n / 10 { // a second layer, with several rules for one fact and with clashes
		id := fmt.Sprintf("t%03d", i)
		k.Facts = append(k.Facts, yesNo(id, true))
		for j := range 3 {
			x := ruleOf(t, fmt.Sprintf("u%03d-%d", i, j), fmt.Sprintf("made-%06d is yes or made-%06d is yes", r.IntN(n), r.IntN(n)), id)
			x.Then[0].Conclude.Value = fact.MakeYesNo(r.IntN(4) > 0)
			k.Rules = append(k.Rules, x)
		}
	}
	final := func(answers []int, extra []int) map[fact.Key][]infer.Support {
		m := infer.New(infer.Compile(k), assembly.Single("plug"), twice{})
		for i, a := range answers {
			m.Tell(key(drawnFact(a)), yes, infer.Answered)
			if i < len(extra) {
				m.Tell(key(drawnFact(extra[i])), fact.MakeYesNo(i%2 == 0), infer.Answered)
			}
		}
		for _, a := range extra {
			m.Withdraw(key(drawnFact(a)))
		}
		out := map[fact.Key][]infer.Support{}
		for _, key := range m.Keys() {
			out[key] = m.Supports(key)
		}
		return out
	}
	want := final([]int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}, nil)
	require.Greater(t, len(want), 15, "something follows")
	for range 30 {
		assert.Equal(t, want, final(r.Perm(10), nil))
		extra := r.Perm(10)
		for i := range extra {
			extra[i] += 10
		}
		assert.Equal(t, want, final(r.Perm(10), extra), "told and taken back")
	}
	slices.Reverse(k.Rules)
	again := final(r.Perm(10), nil)
	for key, list := range again {
		slices.SortStableFunc(list, func(a, b infer.Support) int { return strings.Compare(a.Rule, b.Rule) })
		assert.Equal(t, want[key], list)
	}
	assert.Len(t, again, len(want))
}

func BenchmarkOneAnswer(b *testing.B) {
	m := memory(b)
	m.Tell(key("wet"), fact.MakeSeveral([]string{"top"}, nil), infer.Answered)
	for i := range b.N {
		m.Tell(key("depth"), mm(1+float64(i%3), 0.05), infer.Answered)
	}
}
