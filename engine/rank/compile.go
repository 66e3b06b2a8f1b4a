package rank

import "math"

// bit is a positive finding that is not certain of itself: it needs one bit of the state.
type bit struct {
	leak    float64
	links   []bitLink // variables with q > 0 that can be present
	finding int
}

type bitLink struct {
	v int // variable: causes first, then the outer ones
	q float64
}

// compiled is a network with its evidence folded in: weights of each variable absent and present, and the positive findings.
// The n causes go through the sweep; outer variables (what a joint receives from outside: arriving liquid, activations) do not.
type compiled struct {
	n          int
	outer      int
	absent     []float64 // causes: 1 - prior; outer: 1
	present    []float64 // causes: prior times the caps; outer: the caps
	bits       []bit
	logBase    float64
	impossible bool
	chainExp   int     // power of two taken out of the weights of certain causes
	off        float64 // factor when no cause acts at all (a switch that is off); differs from 1 only in relaxed networks
}

// compile folds the findings into the weights. Its work grows with the number of links of answered findings.
// possible says which outer variables can be true at all.
func compile(prior []float64, possible []bool, findings []Finding) *compiled {
	n, outer := len(prior), len(possible)
	c := &compiled{n: n, outer: outer, absent: make([]float64, n+outer), present: make([]float64, n+outer), off: 1}
	for i := range c.absent {
		c.absent[i], c.present[i] = 1, 1
		if i < n {
			c.absent[i], c.present[i] = 1-prior[i], prior[i]
		} else if !possible[i-n] {
			c.present[i] = 0
		}
	}
	base := scaled{1, 0}
	for _, f := range findings {
		if f.State == Unknown {
			continue
		}
		base = base.times(f.Base)
		for _, l := range f.Links {
			c.present[l.Cause] *= l.Cap
			if l.Cause < n && c.absent[l.Cause] == 0 && c.present[l.Cause] > 0 {
				// Nothing to compare with: without this, a certain cause could fade to 0 under many caps.
				f, e := math.Frexp(c.present[l.Cause])
				c.present[l.Cause] = f
				c.chainExp += e
			}
		}
	}
	for i, f := range findings {
		if f.State != Positive || f.Leak >= 1 {
			continue
		}
		b := bit{leak: f.Leak, finding: i}
		for _, l := range f.Links {
			if l.Q > 0 && c.present[l.Cause] > 0 {
				b.links = append(b.links, bitLink{l.Cause, l.Q})
			}
		}
		c.bits = append(c.bits, b)
	}
	if base.v == 0 {
		c.impossible = true
		return c
	}
	c.logBase = base.log()
	return c
}

// forced is a copy in which cause i is fixed.
func (c *compiled) forced(i int, present bool) *compiled {
	d := *c
	if present {
		d.absent = append([]float64(nil), c.absent...)
		d.absent[i] = 0
	} else {
		d.present = append([]float64(nil), c.present...)
		d.present[i] = 0
	}
	return &d
}

// theta is the strength of a probability in the exponent: 1 - exp(-theta) = q.
func theta(q float64) float64 { return -math.Log1p(-q) }
