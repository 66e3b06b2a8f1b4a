package rank

import (
	"math"
	"math/bits"
)

// coupling is the order in which the joints are taken together: those above first. The state has a bit for each joint that
// stands above a later one, each shared cause that a later joint has, and, at position 0, "liquid was seen somewhere".
type coupling struct {
	steps []coupleStep
	known bool // position 0 is in use
	width int
}

type coupleStep struct {
	block  int
	opens  []int // shared causes appended to the state
	shared []int // positions of the joint's shared causes, in its order
	above  []int // positions of the joints above
	keeps  bool  // append whether this joint leaks
	closes []int // positions to sum out afterwards, falling
}

// newCoupling orders the joints: of those whose joints above are done, the one that opens fewest and closes most. A joint that
// stands above itself, directly or not, is ErrCycle.
func newCoupling(a *Assembly) (*coupling, error) {
	n := len(a.Blocks)
	leakReaders, sharedReaders := make([]int, n), make([]int, len(a.Shared))
	for _, b := range a.Blocks {
		for _, up := range b.Above {
			leakReaders[up]++
		}
		for _, s := range b.Shared {
			sharedReaders[s.Cause]++
		}
	}
	const knownToken = -1
	leakToken := func(j int) int { return len(a.Shared) + j }
	cp := &coupling{known: a.Known == Positive}
	var open []int // tokens by position
	if cp.known {
		open = append(open, knownToken)
	}
	at := func(token int) int {
		for pos, t := range open {
			if t == token {
				return pos
			}
		}
		return -1
	}
	done := make([]bool, n)
	for range a.Blocks {
		best, bestKey := -1, math.MaxInt
		for j, b := range a.Blocks {
			ready := !done[j]
			key := 0
			for _, up := range b.Above {
				ready = ready && done[up]
				if leakReaders[up] == 1 {
					key--
				}
			}
			if !ready {
				continue
			}
			if leakReaders[j] > 0 {
				key++
			}
			for _, s := range b.Shared {
				if at(s.Cause) < 0 {
					key++
				}
				if sharedReaders[s.Cause] == 1 {
					key--
				}
			}
			if key < bestKey {
				best, bestKey = j, key
			}
		}
		if best < 0 {
			return nil, ErrCycle
		}
		done[best] = true
		b := a.Blocks[best]
		st := coupleStep{block: best, keeps: leakReaders[best] > 0}
		for _, s := range b.Shared {
			if at(s.Cause) < 0 {
				open = append(open, s.Cause)
				st.opens = append(st.opens, s.Cause)
			}
			st.shared = append(st.shared, at(s.Cause))
			sharedReaders[s.Cause]--
		}
		for _, up := range b.Above {
			st.above = append(st.above, at(leakToken(up)))
			leakReaders[up]--
		}
		if st.keeps {
			open = append(open, leakToken(best))
		}
		cp.width = max(cp.width, len(open))
		for pos := len(open) - 1; pos >= 0; pos-- {
			t := open[pos]
			if t != knownToken && (t < len(a.Shared) && sharedReaders[t] == 0 || t >= len(a.Shared) && leakReaders[t-len(a.Shared)] == 0) {
				st.closes = append(st.closes, pos)
				open = append(open[:pos], open[pos+1:]...)
			}
		}
		cp.steps = append(cp.steps, st)
	}
	return cp, nil
}

// circumstances are the numbers and the evidence of the coupling that a solve may vary.
type circumstances struct {
	known      State
	misread    float64
	shared     []float64
	wet, leaks []State
	// By joint: weights of "from a place not on the list" absent and present, and of each activation off and on given its cause.
	elseAbsent, elsePresent []float64
	actOff, actOn           [][]float64
	runDown                 []float64
}

func newCircumstances(a *Assembly) circumstances {
	c := circumstances{known: a.Known, misread: a.WetMisread, shared: a.Shared}
	for _, b := range a.Blocks {
		c.wet, c.leaks = append(c.wet, b.Wet), append(c.leaks, b.Leaks)
		c.elseAbsent, c.elsePresent = append(c.elseAbsent, 1-b.Elsewhere), append(c.elsePresent, b.Elsewhere)
		off, on := make([]float64, len(b.Shared)), make([]float64, len(b.Shared))
		for k, s := range b.Shared {
			off[k], on[k] = 1-s.Acts, s.Acts
		}
		c.actOff, c.actOn = append(c.actOff, off), append(c.actOn, on)
		c.runDown = append(c.runDown, b.RunDown)
	}
	return c
}

// seen is the probability of the joint's own wet and leak evidence.
func (c *circumstances) seen(j, leak, arrives int) float64 {
	if c.known == Negative && leak+arrives > 0 {
		return 0
	}
	if c.leaks[j] == Positive && leak == 0 || c.leaks[j] == Negative && leak == 1 {
		return 0
	}
	wet := leak+arrives > 0
	switch {
	case c.wet[j] == Unknown:
		return 1
	case wet == (c.wet[j] == Positive):
		return 1 - c.misread
	}
	return c.misread
}

// fold turns numbers by activations that are on into means by shared causes that are present: out[x] = sum over on of
// P(exactly on | x) v[on]. It works bit by bit, so the work is k 2^k and not 4^k. v is overwritten.
func (c *circumstances) fold(j int, v []float64) []float64 {
	for k := range c.actOn[j] {
		off, on := c.actOff[j][k], c.actOn[j][k]
		for i := range v {
			if i>>k&1 == 1 {
				v[i] = off*v[i^1<<k] + on*v[i]
			}
		}
	}
	return v
}

// unfold is the transpose of fold: out[on] = sum over x of P(exactly on | x) v[x].
func (c *circumstances) unfold(j int, v []float64) []float64 {
	for k := range c.actOn[j] {
		off, on := c.actOff[j][k], c.actOn[j][k]
		for i := range v {
			if i>>k&1 == 1 {
				v[i^1<<k] += off * v[i]
				v[i] *= on
			}
		}
	}
	return v
}

// coupled is the result of the sweep over the joints. coef[j] weighs the configurations of joint j for its causes.
type coupled struct {
	z                         scaled
	leaks, elsewhere, arrives []float64
	shared                    []float64
	coef                      [][]float64
	alphas                    [][]float64
	tables                    [][]float64
	c                         *circumstances
}

// outcome lists the four outcomes of a joint: bit 0 it leaks of itself, bit 1 liquid arrives.
const outcomes = 4

// table folds the activations: by shared causes x and outcome, P(joint's evidence and outcome's leak | x, arrival).
func (w *swept) table(c *circumstances, j int) []float64 {
	sets := 1 << w.acts
	g := make([]float64, sets*outcomes)
	leaks, quiet := make([]float64, sets), make([]float64, sets)
	for d := 0; d < 2; d++ {
		for on := range leaks {
			leaks[on], quiet[on] = w.on[on<<1|d], 0
			if on == 0 {
				quiet[on] = w.off[d]
			} else {
				leaks[on] += w.off[on<<1|d]
			}
		}
		c.fold(j, leaks)
		c.fold(j, quiet)
		for x := range leaks {
			g[x*outcomes+2*d], g[x*outcomes+2*d+1] = quiet[x], leaks[x]
		}
	}
	return g
}

// forward gives the probability of the evidence; the vectors for the way back are kept.
func (cp *coupling) forward(blocks []*swept, c *circumstances) *coupled {
	r := &coupled{c: c}
	alpha, e := []float64{1}, 0
	if cp.known {
		alpha = []float64{1, 0}
	}
	for k := range cp.steps {
		st := &cp.steps[k]
		for _, s := range st.opens {
			alpha = openBit(append(make([]float64, 0, 2*len(alpha)), alpha...), c.shared[s])
		}
		r.alphas = append(r.alphas, alpha)
		g := blocks[st.block].table(c, st.block)
		r.tables = append(r.tables, g)
		next := make([]float64, len(alpha)<<bit01(st.keeps))
		cp.each(st, c, alpha, g, func(from, to, _, _ int, w, _ float64) { next[to] += alpha[from] * w })
		for _, pos := range st.closes {
			next = sumOut(next, pos)
		}
		e += blocks[st.block].exp + rescale(next)
		alpha = next
	}
	if cp.known {
		alpha = closeBit(alpha, 0)
	}
	r.z = scaled{alpha[0], e}
	return r
}

// each calls f for every transition of a step: state, next state, index into the table, outcome, weight (the table included) and
// the part of it in which liquid comes from a place not on the list.
func (cp *coupling) each(st *coupleStep, c *circumstances, alpha, g []float64, f func(from, to, cell, outcome int, w, elsewhere float64)) {
	j := st.block
	var seen [outcomes]float64
	for o := range seen {
		seen[o] = c.seen(j, o&1, o>>1)
	}
	for from, v := range alpha {
		if v == 0 {
			continue
		}
		x := 0
		for k, pos := range st.shared {
			x |= (from >> pos & 1) << k
		}
		dry, down := 1.0, 0.0
		for _, pos := range st.above {
			if from>>pos&1 == 1 {
				down += dry * c.runDown[j]
				dry *= 1 - c.runDown[j]
			}
		}
		for o := range seen {
			cell := x*outcomes + o
			w := g[cell] * seen[o]
			if w == 0 {
				continue
			}
			elsewhere := 0.0
			if o>>1 == 1 {
				elsewhere = w * c.elsePresent[j]
				w *= c.elsePresent[j] + c.elseAbsent[j]*down
			} else {
				w *= c.elseAbsent[j] * dry
			}
			to := from
			if st.keeps {
				to |= (o & 1) * len(alpha)
			}
			if cp.known && o != 0 {
				to |= 1
			}
			f(from, to, cell, o, w, elsewhere)
		}
	}
}

// backward fills the marginals and the weights for the causes; forward's evidence must not be 0.
func (cp *coupling) backward(r *coupled, blocks []*swept) {
	n := len(blocks)
	c := r.c
	r.leaks, r.elsewhere, r.arrives, r.coef = make([]float64, n), make([]float64, n), make([]float64, n), make([][]float64, n)
	r.shared = append([]float64(nil), c.shared...)
	beta := []float64{1}
	if cp.known {
		beta = []float64{0, 1}
	}
	for k := len(cp.steps) - 1; k >= 0; k-- {
		st := &cp.steps[k]
		for i := len(st.closes) - 1; i >= 0; i-- {
			beta = spread(beta, st.closes[i])
		}
		j, alpha, g := st.block, r.alphas[k], r.tables[k]
		before := make([]float64, len(alpha))
		cells := make([]float64, len(g)) // weight of all that goes with each cell of the table
		var total, leaks, arrives, elsewhere float64
		cp.each(st, c, alpha, g, func(from, to, cell, o int, w, e float64) {
			b := beta[to]
			before[from] += w * b
			here := alpha[from] * w * b
			total += here
			elsewhere += alpha[from] * e * b
			if o&1 == 1 {
				leaks += here
				cells[cell] += here / g[cell]
			}
			if o>>1 == 1 {
				arrives += here
			}
		})
		r.leaks[j], r.arrives[j], r.elsewhere[j] = clamp01(leaks/total), clamp01(arrives/total), clamp01(elsewhere/total)
		r.coef[j] = make([]float64, len(blocks[j].on))
		part := make([]float64, 1<<blocks[j].acts)
		for d := 0; d < 2; d++ {
			for x := range part {
				part[x] = cells[x*outcomes+2*d+1] / total
			}
			for on, v := range c.unfold(j, part) {
				r.coef[j][on<<1|d] = v
			}
		}
		beta = before
		pos := bits.Len(uint(len(alpha))) - 1 - len(st.opens)
		for i, s := range st.opens {
			var with, all float64
			for state, a := range alpha {
				all += a * beta[state]
				if state>>(pos+i)&1 == 1 {
					with += a * beta[state]
				}
			}
			r.shared[s] = clamp01(with / all)
		}
		for i := len(st.opens) - 1; i >= 0; i-- {
			beta = openBack(beta, c.shared[st.opens[i]])
		}
		rescale(beta)
	}
}

func bit01(b bool) int {
	if b {
		return 1
	}
	return 0
}

// sumOut forgets the bit at position pos.
func sumOut(v []float64, pos int) []float64 {
	half := 1 << pos
	out := make([]float64, 0, len(v)/2)
	for base := 0; base < len(v); base += 2 * half {
		for i := base; i < base+half; i++ {
			out = append(out, v[i]+v[i+half])
		}
	}
	return out
}

// spread is the transpose of sumOut.
func spread(v []float64, pos int) []float64 {
	half := 1 << pos
	out := make([]float64, 0, 2*len(v))
	for base := 0; base < len(v); base += half {
		out = append(out, v[base:base+half]...)
		out = append(out, v[base:base+half]...)
	}
	return out
}
