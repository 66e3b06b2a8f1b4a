package infer_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/infer"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

// mixed is made-up knowledge in which rules of every form read each other's conclusions.
func mixed(t testing.TB, r *rand.Rand, n int) *rules.Knowledge {
	k := &rules.Knowledge{Joints: []*rules.Joint{{Head: rules.Head{ID: "plug"}}}}
	for i := range 8 {
		k.Facts = append(k.Facts, yesNo(drawnFact(i), false))
	}
	for i := range n {
		read := func() string { // told facts, and what earlier rules conclude
			if i > 0 && r.IntN(3) == 0 {
				return fmt.Sprintf("made-%06d", r.IntN(i))
			}
			return drawnFact(r.IntN(8))
		}
		word := func() string { return []string{"yes", "no"}[r.IntN(2)] }
		when := read() + " is " + word()
		for range r.IntN(3) {
			switch r.IntN(4) {
			case 0:
				when += " and (" + read() + " is " + word() + " or " + read() + " is " + word() + ")"
			case 1:
				when += " and not " + read() + " is " + word()
			default:
				when += " and " + read() + " is " + word()
			}
		}
		made := fmt.Sprintf("made-%06d", r.IntN(i+1)) // several rules may say the same, or clash
		if k.Fact(made) == nil {
			made = fmt.Sprintf("made-%06d", i)
		}
		k.Facts = append(k.Facts, yesNo(fmt.Sprintf("made-%06d", i), true))
		rule := ruleOf(t, fmt.Sprintf("r%06d", i), when, fmt.Sprintf("made-%06d", i))
		if made != fmt.Sprintf("made-%06d", i) && r.IntN(4) == 0 {
			rule.Then = append(rule.Then, rules.Action{Conclude: &rules.Conclude{Fact: fmt.Sprintf("made-%06d", i), Value: fact.MakeYesNo(r.IntN(2) == 0)}})
		}
		k.Rules = append(k.Rules, rule)
	}
	return k
}

// Whatever is answered, corrected and taken back, every rule has the truth that its condition
// has now, and all is as if only what stands now had been answered.
func TestCountingTestsGivesWhatLookingAtEveryRuleGives(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 5))
		k := mixed(t, r, 25)
		m := infer.New(infer.Compile(k), assembly.Single("plug"), twice{})
		stands := map[fact.Key]fact.Value{}
		for range 40 {
			at := key(drawnFact(r.IntN(8)))
			switch r.IntN(4) {
			case 0:
				m.Withdraw(at)
				delete(stands, at)
			case 1:
				stands[at] = fact.Value{Type: fact.YesNo, State: fact.CantTell}
				m.Tell(at, stands[at], infer.Answered)
			default:
				stands[at] = fact.MakeYesNo(r.IntN(2) == 0)
				m.Tell(at, stands[at], infer.Answered)
			}
		}
		fresh := infer.New(infer.Compile(k), assembly.Single("plug"), twice{})
		for at, v := range stands {
			fresh.Tell(at, v, infer.Answered)
		}
		for _, rule := range k.Rules {
			got, lacks, ok := m.Truth(rule.ID, "joint")
			require.True(t, ok)
			want := rule.When.Cond.Eval(m.Env("joint"))
			assert.Equal(t, want.Truth, got, "seed %d: %s", seed, rule.When.Text)
			if got == fact.Unknown {
				assert.Equal(t, want.Lacks, lacks, "seed %d: %s", seed, rule.When.Text)
			}
		}
		require.Equal(t, fresh.Keys(), m.Keys(), "seed %d", seed)
		for _, at := range m.Keys() {
			assert.Equal(t, fresh.Supports(at), m.Supports(at), "seed %d: %s", seed, at)
		}
	}
}
