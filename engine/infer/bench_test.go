package infer_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"seepwright/engine/infer"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
)

// Made-up rules for measuring: n rules of three conditions each over n/10 asked facts, so
// that some 30 rules read each fact whatever n is.

func drawnFact(i int) string { return fmt.Sprintf("f%06d", i) }

func yesNo(id string, engine bool) *rules.Fact {
	return &rules.Fact{Head: rules.Head{ID: id}, Ask: id, Answer: fact.YesNo, Scope: fact.JointScope, Engine: engine}
}

func ruleOf(t testing.TB, id, when, concludes string) *rules.Rule {
	c, bad := cond.Parse(when)
	require.Empty(t, bad)
	return &rules.Rule{Head: rules.Head{ID: id}, Says: id + " holds.", When: rules.When{Text: when, Cond: c},
		Then: []rules.Action{{Conclude: &rules.Conclude{Fact: concludes, Value: fact.MakeYesNo(true)}}}}
}

// drawn gives n rules of three conditions over n/10 facts; each concludes a fact of its own.
func drawn(t testing.TB, n int) *rules.Knowledge {
	r := rand.New(rand.NewPCG(7, uint64(n)))
	k := &rules.Knowledge{Joints: []*rules.Joint{{Head: rules.Head{ID: "plug"}}}}
	for i := range n / 10 {
		k.Facts = append(k.Facts, yesNo(drawnFact(i), false))
	}
	for i := range n {
		parts := make([]string, 3)
		for j := range parts {
			parts[j] = drawnFact(r.IntN(n/10)) + " is yes"
		}
		made := fmt.Sprintf("made-%06d", i)
		k.Facts = append(k.Facts, yesNo(made, true))
		k.Rules = append(k.Rules, ruleOf(t, fmt.Sprintf("r%06d", i), strings.Join(parts, " and "), made))
	}
	return k
}

// mostKnown answers 60 in 100 of the facts and gives the keys of those that are left.
func mostKnown(m *infer.Memory, n int) (left []fact.Key) {
	for i, p := range rand.New(rand.NewPCG(3, 4)).Perm(n / 10) {
		if k := key(drawnFact(p)); i < n/10*6/10 {
			m.Tell(k, fact.MakeYesNo(true), infer.Answered)
		} else {
			left = append(left, k)
		}
	}
	return left
}

func sizes(b *testing.B, run func(b *testing.B, n int)) {
	for _, n := range []int{1000, 10000, 100000} {
		b.Run(fmt.Sprintf("rules=%d", n), func(b *testing.B) { run(b, n) })
	}
}

// answering tells open facts one after another and takes each back eight later, so that
// neither finds its memory warm from the other; only the half asked for is timed.
func answering(b *testing.B, n int, answer bool) {
	m := infer.New(infer.Compile(drawn(b, n)), assembly.Single("plug"), twice{})
	left := mostKnown(m, n)
	start := m.Looked()
	var each []time.Duration
	timed := func(count bool, do func()) {
		at := time.Now()
		do()
		if count {
			each = append(each, time.Since(at))
		}
	}
	for i := 0; b.Loop(); i++ {
		timed(answer, func() { m.Tell(left[i%len(left)], fact.MakeYesNo(true), infer.Answered) })
		timed(!answer, func() { m.Withdraw(left[(i+len(left)-8)%len(left)]) })
	}
	var sum time.Duration
	for _, d := range each {
		sum += d
	}
	slices.Sort(each)
	b.ReportMetric(float64(sum.Nanoseconds())/float64(len(each)), "ns/op")
	b.ReportMetric(float64(each[len(each)/2].Nanoseconds()), "p50-ns/op") // what others do on the machine hardly moves it
	b.ReportMetric(float64(m.Looked()-start)/float64(2*b.N), "looks/op")
}

// BenchmarkAnswer is one answer more where 60 in 100 facts are known.
func BenchmarkAnswer(b *testing.B) {
	sizes(b, func(b *testing.B, n int) { answering(b, n, true) })
}

// BenchmarkWithdraw takes one such answer back.
func BenchmarkWithdraw(b *testing.B) {
	sizes(b, func(b *testing.B, n int) { answering(b, n, false) })
}

// BenchmarkChain is one answer that sets off a chain of all rules, and its withdrawal.
func BenchmarkChain(b *testing.B) {
	sizes(b, func(b *testing.B, n int) {
		k := &rules.Knowledge{Joints: []*rules.Joint{{Head: rules.Head{ID: "plug"}}}}
		k.Facts = append(k.Facts, yesNo(drawnFact(0), false))
		for i := range n {
			k.Facts = append(k.Facts, yesNo(drawnFact(i+1), true))
			k.Rules = append(k.Rules, ruleOf(b, fmt.Sprintf("r%06d", i), drawnFact(i)+" is yes", drawnFact(i+1)))
		}
		m := infer.New(infer.Compile(k), assembly.Single("plug"), twice{})
		for b.Loop() {
			m.Tell(key(drawnFact(0)), fact.MakeYesNo(true), infer.Answered)
			m.Withdraw(key(drawnFact(0)))
		}
	})
}

// BenchmarkBind compiles the rules and binds them to a joint.
func BenchmarkBind(b *testing.B) {
	sizes(b, func(b *testing.B, n int) {
		k := drawn(b, n)
		for b.Loop() {
			infer.New(infer.Compile(k), assembly.Single("plug"), twice{})
		}
	})
}
