package rank

import (
	"math"
	"sync"
)

// swept is one joint with its evidence folded in and its causes swept: what the rest of the assembly needs of it.
//
// A configuration says whether liquid arrives (bit 0 of its index) and which set of activations is on (the rest of the index, a
// place of the family). Given the configuration and the switch, the joint's evidence has a probability that the rest of the
// assembly does not touch: the tables on and off.
type swept struct {
	c       *compiled
	p       *plan
	s       *sweep    // nil for a joint whose sets of causes were weighed
	acts    *family   // the sets of activations that can be on together
	approx  bool      // bounded for one solve only
	on, off []float64 // by configuration, times 2^exp; on contains the weight of the switch
	exp     int
	logBase float64
	factor  []float64 // by configuration: what on has beside the sum over the state vector
	worth   [][]float64

	once     sync.Once
	causesOf [][]float64 // by configuration and cause: the part of on in which the cause is present
}

// sweepBlock runs the forward sweep of a joint and fills its tables. With remember it can give causes afterwards.
func sweepBlock(b *Block, c *compiled, p *plan, acts *family, remember bool) *swept {
	w := &swept{c: c, p: p, acts: acts, logBase: c.logBase}
	w.s = p.forward(c, remember)
	configs := 2 * len(acts.masks)
	w.on, w.off = make([]float64, configs), make([]float64, configs)
	w.factor = make([]float64, configs)
	w.worth = make([][]float64, configs)

	onWeight, offWeight := b.switchWeights()
	kept := make([]bool, len(c.bits))
	for _, j := range p.kept {
		kept[j] = true
	}
	loose := make([]bool, len(c.bits))
	for _, j := range p.loose {
		loose[j] = true
	}
	explained := make([]float64, len(c.bits)) // probability that the configuration explains each bit
	scratch := make([]float64, max(1, len(w.s.some)))
	on, off := make([]scaled, configs), make([]scaled, configs)
	var top int
	var found bool
	for config := range on {
		weight := c.under(acts.outer(config), explained)
		if weight.v == 0 {
			continue
		}
		offHere, onHere := weight.times(offWeight*c.off), weight
		for j, bt := range c.bits {
			shown := bt.leak + (1-bt.leak)*explained[j]
			offHere = offHere.times(shown)
			if loose[j] {
				onHere = onHere.times(shown)
			}
		}
		onHere = onHere.times(onWeight)
		lift := w.worthOf(config, explained)
		sum := fold(scratch, w.s.some, lift)
		w.factor[config] = math.Ldexp(onHere.v, onHere.e) // at most 1/atLeastOne; may fall to 0 only with on itself
		on[config] = onHere.times(sum)
		on[config].e += w.s.someExp
		off[config] = offHere
		for _, x := range []scaled{on[config], off[config]} {
			if x.v > 0 && (!found || x.e > top) {
				top, found = x.e, true
			}
		}
	}
	w.exp = top
	for config := range on {
		w.on[config] = math.Ldexp(on[config].v, on[config].e-top)
		w.off[config] = math.Ldexp(off[config].v, off[config].e-top)
	}
	return w
}

// switchWeights gives the weight of the switch on, to be multiplied with sets of causes that are not empty, and of the switch off.
func (b *Block) switchWeights() (on, off float64) {
	if some := atLeastOne(b.Prior); some > 0 {
		return b.Weight / some, 1 - b.Weight
	}
	return 0, 1
}

// outer is a configuration as bits of the outer variables: liquid arrives, then the activations.
func (f *family) outer(config int) int { return f.masks[config>>1]<<1 | config&1 }

// under gives the weight of the outer variables that are true and fills in how likely they explain each bit.
func (c *compiled) under(outer int, explained []float64) scaled {
	clear(explained)
	weight := scaled{1, 0}
	for o := range c.outer {
		if outer&(1<<o) == 0 {
			weight = weight.times(c.absent[c.n+o])
		} else {
			weight = weight.times(c.present[c.n+o])
		}
	}
	for j, bt := range c.bits {
		for _, l := range bt.links {
			if l.v >= c.n && outer&(1<<(l.v-c.n)) != 0 {
				explained[j] += (1 - explained[j]) * l.q
			}
		}
	}
	return weight
}

// release gives the memory of the sweep back; the tables stay.
func (w *swept) release() {
	if w.s != nil {
		w.s.release()
	}
}

// worthOf remembers, by position of the kept bits, how likely the configuration explains what the causes left unexplained.
func (w *swept) worthOf(config int, explained []float64) []float64 {
	lift := make([]float64, len(w.p.kept))
	for pos, j := range w.p.kept {
		lift[pos] = explained[j]
	}
	w.worth[config] = lift
	return lift
}

// fold is the sum over the state vector in which each unexplained bit counts with its lift.
func fold(scratch, v, lift []float64) float64 {
	v = scratch[:copy(scratch, v)]
	for pos := len(lift) - 1; pos >= 0; pos-- {
		half := len(v) / 2
		lo, hi := v[:half], v[half:]
		if e := lift[pos]; e == 0 {
			v = hi
			continue
		} else {
			for i, x := range hi {
				lo[i] = x + e*lo[i]
			}
		}
		v = lo
	}
	return v[0]
}

// causes runs the backward sweep. coef weighs the configurations; the result is, by cause, the weighted part of on in which the
// cause is present. It needs a remembered sweep and grows like the forward one.
func (w *swept) causes(coef []float64) []float64 {
	if w.s == nil {
		return w.mixed(coef)
	}
	worth := make([]float64, 1<<len(w.p.kept))
	part := make([]float64, len(worth))
	out := make([]float64, w.c.n)
	some := false
	for config, k := range coef {
		if k *= w.factor[config]; k == 0 {
			continue
		}
		some = true
		part = append(part[:0], k)
		for _, e := range w.worth[config] {
			n := len(part)
			part = part[:2*n]
			for i, x := range part[:n] {
				part[n+i] = x
				part[i] = x * e
			}
		}
		for i, x := range part {
			worth[i] += x
		}
	}
	if !some {
		return out
	}
	for i, m := range w.s.backward(worth) {
		out[i] = math.Ldexp(m.v, m.e-w.exp)
	}
	return out
}

// mixed is causes from the causes by configuration.
func (w *swept) mixed(coef []float64) []float64 {
	out := make([]float64, w.c.n)
	for config, part := range w.causesByConfig() {
		if k := coef[config]; k != 0 {
			for i, x := range part {
				out[i] += k * x
			}
		}
	}
	return out
}

// causesByConfig is causes for each configuration alone, computed once: from then on any weighting is a small sum.
func (w *swept) causesByConfig() [][]float64 {
	w.once.Do(func() {
		w.causesOf = make([][]float64, len(w.on))
		unit := make([]float64, len(w.on))
		for config := range unit {
			unit[config] = 1
			if w.on[config] > 0 {
				w.causesOf[config] = w.causes(unit)
			}
			unit[config] = 0
		}
	})
	return w.causesOf
}
