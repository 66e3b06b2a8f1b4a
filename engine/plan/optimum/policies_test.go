package optimum

import (
	"fmt"
	"math/bits"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The simple policies of the reference instances, as its README defines them: if their costs
// agree, the model below them is the same.
type simple struct {
	batches bool
	memo    map[string]float64
	checked map[string]float64
	rolled  map[string]float64
}

func (p *simple) key(s *state) string { return fmt.Sprint(s.open, s.done, s.used) + fmt.Sprint(s.w) }

// sets are the batches in the order of their masks, each repair adding a possible fault.
func (p *simple) sets(s *state) []bunch {
	var out []bunch
	for mask := 1; mask < 1<<len(s.x.Repairs); mask++ {
		if !p.batches && bits.OnesCount(uint(mask)) > 1 {
			continue
		}
		n, set, ok := s.fork(), []int{}, true
		for r := range s.x.Repairs {
			if mask>>r&1 == 1 {
				ok = ok && n.promiseAny(r)
				n.attempt(r)
				set = append(set, r)
			}
		}
		if ok {
			out = append(out, s.bunch(set))
		}
	}
	return out
}

// promiseAny reports whether a repair adds a fault that is still possible.
func (s *state) promiseAny(r int) bool {
	for _, f := range s.x.fixes[r] {
		for _, e := range s.x.holds[f] {
			if s.fault[f] > 0 && s.w[e] > 0 && (s.wet[e] > 0 || len(s.x.sets[e]) > 1) {
				return true
			}
		}
	}
	return false
}

func (p *simple) best(s *state) (bunch, bool) {
	var win bunch
	for _, b := range p.sets(s) {
		if b.rate > win.rate+1e-12*s.mass() {
			win = b
		}
	}
	return win, win.rate > 0 && win.rate/s.mass() > 1/s.x.LastResort-1e-12
}

func (p *simple) greedy(s *state) float64 {
	if s.mass() < vanish {
		return 0
	}
	k := p.key(s)
	if v, ok := p.memo[k]; ok {
		return v
	}
	v := s.mass() * s.x.LastResort
	if b, ok := p.best(s); ok {
		v = b.minutes + p.greedy(b.after)
	}
	p.memo[k] = v
	return v
}

func (p *simple) withChecks(s *state) float64 {
	if s.mass() < vanish {
		return 0
	}
	k := p.key(s)
	if v, ok := p.checked[k]; ok {
		return v
	}
	best, check := p.greedy(s), -1
	for c := range s.x.Checks {
		if s.used[c] {
			continue
		}
		if v := s.mass()*s.checkCost(c) + p.greedy(s.answer(c, 0)) + p.greedy(s.answer(c, 1)); v < best-1e-9*s.mass() {
			best, check = v, c
		}
	}
	v := s.mass() * s.x.LastResort
	if check >= 0 {
		v = s.mass()*s.checkCost(check) + p.withChecks(s.answer(check, 0)) + p.withChecks(s.answer(check, 1))
	} else if b, ok := p.best(s); ok {
		v = b.minutes + p.withChecks(b.after)
	}
	p.checked[k] = v
	return v
}

func (p *simple) rollout(s *state) float64 {
	if s.mass() < vanish {
		return 0
	}
	k := p.key(s)
	if v, ok := p.rolled[k]; ok {
		return v
	}
	best := s.mass() * s.x.LastResort
	goOn := func() float64 { return s.mass() * s.x.LastResort }
	lower := 1e18
	take := func(v float64, then func() float64) {
		if v < lower-1e-9*s.mass() {
			lower, goOn = v, then
		}
	}
	for c := range s.x.Checks {
		if !s.used[c] {
			cost, no, yes := s.mass()*s.checkCost(c), s.answer(c, 0), s.answer(c, 1)
			take(cost+p.withChecks(no)+p.withChecks(yes), func() float64 { return cost + p.rollout(no) + p.rollout(yes) })
		}
	}
	for _, b := range p.sets(s) {
		take(b.minutes+p.withChecks(b.after), func() float64 { return b.minutes + p.rollout(b.after) })
	}
	take(best, func() float64 { return best })
	v := goOn()
	p.rolled[k] = v
	return v
}

func policy(batches bool) *simple {
	return &simple{batches, map[string]float64{}, map[string]float64{}, map[string]float64{}}
}

func TestSimplePoliciesCostWhatTheReferenceSays(t *testing.T) {
	for _, r := range references(t) {
		t.Run(r.ID, func(t *testing.T) {
			x, err := prepare(r.model())
			require.NoError(t, err)
			one, sets := policy(false), policy(true)
			a, s := r.Answers, x.start()
			assert.InEpsilon(t, a.Perfect, x.perfect(), 1e-9, "perfect information")
			assert.InEpsilon(t, a.Greedy, one.greedy(s), 1e-9, "greedy")
			assert.InEpsilon(t, a.GreedyChecks, one.withChecks(s), 1e-9, "greedy with checks")
			assert.InEpsilon(t, a.Batch, sets.greedy(s), 1e-9, "batches")
			assert.InEpsilon(t, a.BatchChecks, sets.withChecks(s), 1e-9, "batches with checks")
			assert.InEpsilon(t, a.Rollout, sets.rollout(s), 1e-9, "rollout")
			assert.InEpsilon(t, a.OpenFixAll, openAndFix(x), 1e-9, "open all, fix all")
			assert.InEpsilon(t, a.OpenCheck, openAndCheck(x, one), 1e-9, "open all, check all")
		})
	}
}

func openAndFix(x *machine) float64 {
	all := uint64(1)<<len(x.Clusters) - 1
	best := 1e18
	for mask := range 1 << len(x.Repairs) {
		cured, t := map[int]bool{}, 0.0
		for r := range x.Repairs {
			if mask>>r&1 == 1 {
				t += x.Repairs[r].Minutes
				for _, f := range x.fixes[r] {
					cured[f] = true
				}
			}
		}
		if len(cured) == len(x.Faults) {
			best = min(best, t)
		}
	}
	return best + x.openCost(all) + x.closeCost(all) + x.Retest
}

func openAndCheck(x *machine, p *simple) float64 {
	s := x.start()
	s.open = uint64(1)<<len(x.Clusters) - 1
	var tell func(s *state, c int) float64
	tell = func(s *state, c int) float64 {
		if c == len(x.Checks) {
			return p.greedy(s)
		}
		return s.mass()*x.Checks[c].Minutes + tell(s.answer(c, 0), c+1) + tell(s.answer(c, 1), c+1)
	}
	return x.openCost(s.open) + tell(s, 0)
}
