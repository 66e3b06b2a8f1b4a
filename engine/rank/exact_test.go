package rank

import (
	"fmt"
	"math/big"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The same brute force in exact fractions. All numbers drawn are 64ths, which a float holds exactly.

func rat(x float64) *big.Rat { return new(big.Rat).SetFloat64(x) }

func mul(xs ...*big.Rat) *big.Rat {
	p := big.NewRat(1, 1)
	for _, x := range xs {
		p.Mul(p, x)
	}
	return p
}

func not(x *big.Rat) *big.Rat { return new(big.Rat).Sub(big.NewRat(1, 1), x) }

// either is p where yes and 1 - p where not.
func either(p float64, yes bool) *big.Rat {
	if yes {
		return rat(p)
	}
	return not(rat(p))
}

// exactProbability sums over every answer of an unknown sign.
func (s sign) exactProbability(variables int, on func(v int) bool) *big.Rat {
	if s.state == Unknown {
		sum := new(big.Rat)
		if s.graded {
			for seen := range s.base {
				s.state, s.seen = Positive, seen
				sum.Add(sum, s.exactProbability(variables, on))
			}
			return sum
		}
		for _, state := range []State{Positive, Negative} {
			s.state = state
			sum.Add(sum, s.exactProbability(variables, on))
		}
		return sum
	}
	if s.graded {
		most, below := big.NewRat(1, 1), big.NewRat(1, 1)
		count := func(p []float64) {
			above := new(big.Rat)
			for _, x := range p[:s.seen] {
				above.Add(above, rat(x))
			}
			most.Mul(most, not(above))
			below.Mul(below, not(above.Add(above, rat(p[s.seen]))))
		}
		count(s.base)
		for v := range variables {
			if d, ok := s.dist[v]; ok && on(v) {
				count(d)
			}
		}
		return most.Sub(most, below)
	}
	silent := not(rat(s.leak))
	for v := range variables {
		if q, ok := s.q[v]; ok && on(v) {
			silent.Mul(silent, not(rat(q)))
		}
	}
	if s.state == Negative {
		return silent
	}
	return not(silent)
}

func sixtyFourth(r *rand.Rand) float64 {
	switch r.Intn(12) {
	case 0:
		return 0
	case 1:
		return 1
	}
	return float64(1+r.Intn(63)) / 64
}

// parts is a distribution over answers in 64ths.
func parts(r *rand.Rand, answers int) []float64 {
	p, left := make([]float64, answers), 64
	for i := range p {
		n := r.Intn(left + 1)
		if i == answers-1 {
			n = left
		}
		p[i] = float64(n) / 64
		left -= n
	}
	return p
}

// exactModel draws two or three joints with a group, a switch, shared causes, joints above and unknown findings.
func exactModel(r *rand.Rand) model {
	n := 2 + r.Intn(2)
	m := model{a: Assembly{WetMisread: float64(r.Intn(8)) / 64, Known: State(r.Intn(2))}}
	for range 1 + r.Intn(2) {
		m.a.Shared = append(m.a.Shared, sixtyFourth(r))
	}
	for j := range n {
		b := Block{Weight: sixtyFourth(r), Elsewhere: sixtyFourth(r), RunDown: sixtyFourth(r), Wet: State(r.Intn(3)), Leaks: State(max(0, r.Intn(8)-5))}
		for range 1 + r.Intn(3) {
			b.Prior = append(b.Prior, sixtyFourth(r))
		}
		for k := range m.a.Shared {
			if r.Intn(3) > 0 {
				b.Shared = append(b.Shared, SharedAct{k, sixtyFourth(r)})
			}
		}
		for up := range j {
			if r.Intn(3) > 0 {
				b.Above = append(b.Above, up)
			}
		}
		variables := len(b.Prior) + 1 + len(b.Shared)
		var signs []sign
		for k := range 2 + r.Intn(2) {
			s := sign{state: State(r.Intn(3)), q: map[int]float64{}, dist: map[int][]float64{}}
			if k == 0 {
				s.graded, s.seen, s.base = true, r.Intn(3), parts(r, 3)
				s.state = State(r.Intn(2))
				for v := range variables {
					s.dist[v] = parts(r, 3)
				}
			} else {
				s.leak = sixtyFourth(r) / 4
				for v := range variables {
					if r.Intn(2) == 0 {
						s.q[v] = sixtyFourth(r)
					}
				}
			}
			signs = append(signs, s)
			b.Findings = append(b.Findings, s.finding())
		}
		m.a.Blocks = append(m.a.Blocks, b)
		m.signs = append(m.signs, signs)
	}
	return m
}

// class is what the rest of an assembly sees of a joint.
type class struct{ leaks, elsewhere, arrives bool }

// byClass is the weight of a joint by class, all of it and the part with each cause present. Weights are times P(at least one
// cause) of the joint, so that nothing is divided.
type byClass map[class][]*big.Rat // 0: all, 1+i: with cause i

func (m model) exactJoint(j, shared int) byClass {
	b := m.a.Blocks[j]
	n := len(b.Prior)
	some := big.NewRat(1, 1)
	for _, p := range b.Prior {
		some.Mul(some, not(rat(p)))
	}
	some = not(some)
	out := byClass{}
	for set := range 1 << n {
		local := mul(not(rat(b.Weight)), some)
		if set > 0 {
			local = rat(b.Weight)
			for i, p := range b.Prior {
				local.Mul(local, either(p, set>>i&1 == 1))
			}
		} else if some.Sign() == 0 {
			local = big.NewRat(1, 1)
		}
		for acts := range 1 << len(b.Shared) {
			w := mul(local)
			for k, s := range b.Shared {
				act := s.Acts
				if shared>>s.Cause&1 == 0 {
					act = 0
				}
				w.Mul(w, either(act, acts>>k&1 == 1))
			}
			for _, arrives := range []bool{false, true} {
				leaks := set > 0 || acts > 0
				e := mul(w)
				for _, s := range m.signs[j] {
					e.Mul(e, s.exactProbability(n+1+len(b.Shared), func(v int) bool {
						switch {
						case v < n:
							return set>>v&1 == 1
						case v == n:
							return arrives
						}
						return acts>>(v-n-1)&1 == 1
					}))
				}
				if b.Wet != Unknown {
					e.Mul(e, either(m.a.WetMisread, (leaks || arrives) != (b.Wet == Positive)))
				}
				if b.Leaks != Unknown && leaks != (b.Leaks == Positive) || e.Sign() == 0 {
					continue
				}
				for _, elsewhere := range []bool{false, true} {
					if elsewhere && !arrives {
						continue
					}
					c := class{leaks, elsewhere, arrives}
					if out[c] == nil {
						for range n + 1 {
							out[c] = append(out[c], new(big.Rat))
						}
					}
					p := mul(e, either(b.Elsewhere, elsewhere))
					out[c][0].Add(out[c][0], p)
					for i := range n {
						if set>>i&1 == 1 {
							out[c][1+i].Add(out[c][1+i], p)
						}
					}
				}
			}
		}
	}
	return out
}

func (m model) exact() (z *big.Rat, sums map[string]*big.Rat) {
	n := len(m.a.Blocks)
	z, sums = new(big.Rat), map[string]*big.Rat{}
	add := func(what string, w *big.Rat) {
		if sums[what] == nil {
			sums[what] = new(big.Rat)
		}
		sums[what].Add(sums[what], w)
	}
	for shared := range 1 << len(m.a.Shared) {
		ps := big.NewRat(1, 1)
		for k, p := range m.a.Shared {
			ps.Mul(ps, either(p, shared>>k&1 == 1))
		}
		if ps.Sign() == 0 {
			continue
		}
		tables := make([]byClass, n)
		for j := range tables {
			tables[j] = m.exactJoint(j, shared)
		}
		at := make([]class, n)
		var choose func(j int)
		choose = func(j int) {
			if j < n {
				for c := range tables[j] {
					at[j] = c
					choose(j + 1)
				}
				return
			}
			anything := false
			here := make([]*big.Rat, n) // all that is not the joint's own table
			w := mul(ps)
			for j, b := range m.a.Blocks {
				c := at[j]
				anything = anything || c.leaks || c.arrives
				here[j] = big.NewRat(1, 1)
				if !c.elsewhere {
					dry := big.NewRat(1, 1)
					for _, up := range b.Above {
						if at[up].leaks {
							dry.Mul(dry, not(rat(b.RunDown)))
						}
					}
					if here[j] = dry; c.arrives {
						here[j] = not(dry)
					}
				}
				w.Mul(w, here[j])
				w.Mul(w, tables[j][c][0])
			}
			if m.a.Known == Positive && !anything || w.Sign() == 0 {
				return
			}
			z.Add(z, w)
			for k := range m.a.Shared {
				if shared>>k&1 == 1 {
					add(fmt.Sprint("shared ", k), w)
				}
			}
			for j := range n {
				c := at[j]
				if c.leaks {
					add(fmt.Sprint("leaks ", j), w)
				}
				if c.elsewhere {
					add(fmt.Sprint("elsewhere ", j), w)
				}
				if c.arrives {
					add(fmt.Sprint("arrives ", j), w)
				}
				share := new(big.Rat).Quo(w, tables[j][c][0])
				for i, part := range tables[j][c][1:] {
					add(fmt.Sprint("cause ", j, " ", i), mul(share, part))
				}
			}
		}
		choose(0)
	}
	return z, sums
}

func TestThreeHundredAssembliesAgreeWithExactFractions(t *testing.T) {
	r := rand.New(rand.NewSource(21))
	solved := 0
	for k := 0; solved < 300; k++ {
		require.Less(t, k, 1500)
		m := exactModel(r)
		z, sums := m.exact()
		post, err := SolveAssembly(m.a)
		if z.Sign() == 0 {
			require.ErrorIs(t, err, ErrImpossible, "assembly %d", k)
			continue
		}
		require.NoError(t, err, "assembly %d", k)
		solved++
		check := func(got float64, what ...any) {
			name := fmt.Sprint(what...)
			want := 0.0
			if sums[name] != nil {
				want, _ = new(big.Rat).Quo(sums[name], z).Float64()
			}
			assert.InDelta(t, want, got, 1e-12, "assembly %d %s", k, name)
		}
		for i, p := range post.Shared {
			check(p, "shared ", i)
		}
		for j := range m.a.Blocks {
			check(post.JointLeaks[j], "leaks ", j)
			check(post.Elsewhere[j], "elsewhere ", j)
			check(post.Arrives[j], "arrives ", j)
			for i, p := range post.Cause[j] {
				check(p, "cause ", j, " ", i)
			}
		}
		require.False(t, t.Failed())
	}
}
