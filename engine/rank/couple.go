package rank

import (
	"math"
	"math/bits"
	"slices"
)

// coupling is the order in which the joints are taken together: those above first. Which shared causes are present is the same
// for all joints, so each set of them has a state of its own: a bit for each joint that stands above a later one, and, at position
// 0, "liquid was seen somewhere". The states of all sets lie one after another.
type coupling struct {
	steps []coupleStep
	known bool      // position 0 is in use
	sets  *family   // the shared causes that may be present together
	acts  []*family // by joint: of those that act on it
	local [][]int   // by joint and set: what of the set acts on the joint, as a place of acts
}

type coupleStep struct {
	block  int
	above  []int // positions of the joints above
	keeps  bool  // append whether this joint leaks
	closes []int // positions to sum out afterwards, falling
}

// newCoupling orders the joints: of those whose joints above are done, the one that opens fewest and closes most. A joint that
// stands above itself, directly or not, is ErrCycle; more states than can be handled are ErrTooWide.
func newCoupling(a *Assembly) (*coupling, error) {
	n := len(a.Blocks)
	if sizeOfFamily(len(a.Shared), a.AtOnce, 2*maxSharedSets) > 2*maxSharedSets {
		return nil, ErrTooWide
	}
	cp := &coupling{known: a.Known == Positive, sets: newFamily(len(a.Shared), a.AtOnce), acts: make([]*family, n), local: make([][]int, n)}
	families := map[int]*family{}
	for j, b := range a.Blocks {
		f := families[len(b.Shared)]
		if f == nil {
			f = newFamily(len(b.Shared), a.AtOnce)
			families[len(b.Shared)] = f
		}
		things := make([]int, len(b.Shared))
		for k, s := range b.Shared {
			things[k] = s.Cause
		}
		cp.acts[j], cp.local[j] = f, cp.sets.within(f, things)
	}
	readers := make([]int, n)
	for _, b := range a.Blocks {
		for _, up := range b.Above {
			readers[up]++
		}
	}
	const knownToken = -1
	var open []int // joints by position
	if cp.known {
		open = append(open, knownToken)
	}
	done := make([]bool, n)
	width := 0
	for range a.Blocks {
		best, bestKey := -1, math.MaxInt
		for j, b := range a.Blocks {
			ready := !done[j]
			key := 0
			for _, up := range b.Above {
				ready = ready && done[up]
				if readers[up] == 1 {
					key--
				}
			}
			if readers[j] > 0 {
				key++
			}
			if ready && key < bestKey {
				best, bestKey = j, key
			}
		}
		if best < 0 {
			return nil, ErrCycle
		}
		done[best] = true
		st := coupleStep{block: best, keeps: readers[best] > 0}
		for _, up := range a.Blocks[best].Above {
			st.above = append(st.above, slices.Index(open, up))
			readers[up]--
		}
		if st.keeps {
			open = append(open, best)
		}
		width = max(width, len(open))
		for pos := len(open) - 1; pos >= 0; pos-- {
			if t := open[pos]; t != knownToken && readers[t] == 0 {
				st.closes = append(st.closes, pos)
				open = slices.Delete(open, pos, pos+1)
			}
		}
		cp.steps = append(cp.steps, st)
	}
	if width+bits.Len(uint(len(cp.sets.masks)-1)) > DefaultWidth {
		return nil, ErrTooWide
	}
	return cp, nil
}

// circumstances are the numbers and the evidence of the coupling that a solve may vary.
type circumstances struct {
	known      State
	misread    float64
	shared     []float64
	allSets    float64 // what the sets of shared causes that may be present weigh together
	wet, leaks []State
	// By joint: weights of "from a place not on the list" absent and present, and of each activation off and on given its cause.
	elseAbsent, elsePresent []float64
	actOff, actOn           [][]float64
	runDown                 []float64
}

func newCircumstances(a *Assembly) circumstances {
	c := circumstances{known: a.Known, misread: a.WetMisread, shared: a.Shared, allSets: atMost(a.AtOnce, a.Shared)}
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
// P(exactly on | x) v[on]. It works cause by cause, so the work is the sizes of all sets and not the square of their number. v is
// overwritten.
func (c *circumstances) fold(j int, f *family, v []float64) []float64 {
	for k, pairs := range f.pairs {
		off, on := c.actOff[j][k], c.actOn[j][k]
		for _, p := range pairs {
			v[p[0]] = off*v[p[1]] + on*v[p[0]]
		}
	}
	return v
}

// unfold is the transpose of fold: out[on] = sum over x of P(exactly on | x) v[x].
func (c *circumstances) unfold(j int, f *family, v []float64) []float64 {
	for k, pairs := range f.pairs {
		off, on := c.actOff[j][k], c.actOn[j][k]
		for _, p := range pairs {
			v[p[1]] += off * v[p[0]]
			v[p[0]] *= on
		}
	}
	return v
}

// coupled is the result of the sweep over the joints. coef[j] weighs the configurations of joint j for its causes.
type coupled struct {
	z                         scaled
	weights                   []float64 // priors of the sets of shared causes
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
	sets := len(w.acts.masks)
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
		c.fold(j, w.acts, leaks)
		c.fold(j, w.acts, quiet)
		for x := range leaks {
			g[x*outcomes+2*d], g[x*outcomes+2*d+1] = quiet[x], leaks[x]
		}
	}
	return g
}

// forward gives the probability of the evidence; the vectors for the way back are kept.
func (cp *coupling) forward(blocks []*swept, c *circumstances) *coupled {
	r := &coupled{c: c, weights: cp.sets.weights(c.shared)}
	alpha, e := make([]float64, 0, 2*len(r.weights)), 0
	for i := range r.weights {
		r.weights[i] /= c.allSets
		alpha = append(alpha, r.weights[i])
		if cp.known {
			alpha = append(alpha, 0)
		}
	}
	for k := range cp.steps {
		st := &cp.steps[k]
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
	for _, x := range alpha {
		r.z.v += x
	}
	r.z.e = e
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
	states := len(alpha) / len(cp.sets.masks)
	for from, v := range alpha {
		if v == 0 {
			continue
		}
		x := cp.local[j][from/states]
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
			if st.keeps { // each set has twice the states, those in which this joint leaks last
				to += from/states*states + o&1*states
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
	beta := make([]float64, 0, 2*len(r.weights))
	for range r.weights {
		if cp.known {
			beta = append(beta, 0)
		}
		beta = append(beta, 1)
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
		acts := blocks[j].acts
		part := make([]float64, len(acts.masks))
		for d := 0; d < 2; d++ {
			for x := range part {
				part[x] = cells[x*outcomes+2*d+1] / total
			}
			for on, v := range c.unfold(j, acts, part) {
				r.coef[j][on<<1|d] = v
			}
		}
		beta = before
		rescale(beta)
	}
	// What a set of shared causes counts for, now that all joints have spoken; nothing is known where there are no joints.
	states := len(beta) / len(r.weights)
	var all float64
	with := make([]float64, len(r.shared))
	for set, w := range r.weights {
		w *= beta[set*states] // nothing was seen yet
		if n == 0 {
			w = r.weights[set]
		}
		all += w
		for k := range with {
			if cp.sets.masks[set]>>k&1 == 1 {
				with[k] += w
			}
		}
	}
	for k := range with {
		r.shared[k] = clamp01(with[k] / all)
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
