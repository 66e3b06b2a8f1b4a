package plan

import (
	"slices"

	"seepwright/engine/rank"
)

// belief is a simple picture of a posterior that only needs its marginals, so that hundreds
// of possible futures can be compared in a millisecond.
//
// The causes of one joint (the place not on the list among them) are taken as independent
// given that at least one of them is present; joints, and shared causes, as independent given
// that at least one of them is at fault. Both are scaled so that the marginals come out right.
// With no evidence but "it leaks" the picture of a joint is exact; the plan that is written
// weighs its sets with exact chances.
type belief struct {
	r    []float64 // per item: chance of the cause before "at least one in its group"
	rho  []float64 // per group: chance that it is at fault, before "at least one group"
	none []float64 // per group: product of (1 - r)
	pass float64   // product of (1 - rho)
}

// layout numbers all causes in a row: joint after joint its causes, the unknown one and the
// place not on the list; then the shared causes, each a group of its own.
type layout struct {
	start []int // first item of each group; one more at the end
	group []int // group of each item
	n     int   // joints
}

func newLayout(blocks []rank.Block, shared int) layout {
	l := layout{n: len(blocks)}
	put := func(size int) {
		l.start = append(l.start, len(l.group))
		for range size {
			l.group = append(l.group, len(l.start)-1)
		}
	}
	for _, b := range blocks {
		put(len(b.Prior) + 1)
	}
	for range shared {
		put(1)
	}
	l.start = append(l.start, len(l.group))
	return l
}

func (l layout) items() int  { return len(l.group) }
func (l layout) groups() int { return len(l.start) - 1 }

// item is the number of a cause.
func (l layout) item(c rank.CauseRef) int {
	if c.Block == rank.SharedBlock {
		return l.start[l.n+c.Cause]
	}
	return l.start[c.Block] + c.Cause
}

// fault is the chance that a joint, or a shared cause, is at fault.
func (l layout) fault(m rank.Marginals, wet []rank.State, g int) float64 {
	if g >= l.n {
		return clamp(m.Shared[g-l.n])
	}
	own, far := m.JointLeaks[g], m.Elsewhere[g]
	if wet[g] == rank.Positive {
		return clamp(own + far) // something made it wet; what runs down from above is not its own fault
	}
	return clamp(own + far - own*far)
}

// marginals lists the chances of all items.
func (l layout) marginals(m rank.Marginals) []float64 {
	out := make([]float64, 0, l.items())
	for j := range l.n {
		out = append(out, m.Cause[j]...)
		out = append(out, m.Elsewhere[j])
	}
	return append(out, m.Shared...)
}

// believe makes the picture from the chances of items and of groups.
func (l layout) believe(item, fault []float64) belief {
	b := belief{r: make([]float64, l.items()), rho: make([]float64, l.groups()), none: make([]float64, l.groups()), pass: 1}
	t := scale(fault)
	for g := range b.rho {
		b.rho[g] = min(fault[g]*t, 1-1e-9)
		b.pass *= 1 - b.rho[g]
		lo, hi := l.start[g], l.start[g+1]
		b.none[g] = 1
		if fault[g] < 1e-9 {
			continue
		}
		q := b.r[lo:hi]
		for i := range q {
			q[i] = min(item[lo+i]/fault[g], 1-1e-9)
		}
		s := scale(q)
		for i := range q {
			q[i] *= s
			b.none[g] *= 1 - q[i]
		}
	}
	return b
}

// scale solves s = 1 - product(1 - q s): priors q s then have the marginals q given that at
// least one is present. Where they add up to 1 or less it is a single fault, the limit of small s.
func scale(q []float64) float64 {
	const small = 1e-6
	sum := 0.0
	for _, x := range q {
		sum += x
	}
	if sum <= 1+1e-6 {
		return small
	}
	lo, hi := small, 1.0
	for range 24 {
		s := (lo + hi) / 2
		none := 1.0
		for _, x := range q {
			none *= 1 - x*s
		}
		if 1-none > s {
			lo = s
		} else {
			hi = s
		}
	}
	return (lo + hi) / 2
}

// left is what is not yet treated: per item the chance that it survives what was done, per
// group the product that follows from it.
type left struct {
	b    *belief
	l    *layout
	u    []float64
	prod []float64
}

func (b *belief) untreated(l *layout) left {
	x := left{b: b, l: l, u: make([]float64, l.items()), prod: slices.Clone(b.none)}
	for i := range x.u {
		x.u[i] = 1
	}
	return x
}

// copyTo makes y the same as x without new memory where y has some.
func (x *left) copyTo(y *left) {
	y.b, y.l = x.b, x.l
	y.u = append(y.u[:0], x.u...)
	y.prod = append(y.prod[:0], x.prod...)
}

// treat applies a cure. found is the chance that it is applied where it is needed: below 1
// when looks decide about it.
func (x *left) treat(c *cure, found float64) {
	for _, t := range c.items {
		g := x.l.group[t.item]
		old := 1 - x.b.r[t.item]*x.u[t.item]
		x.u[t.item] *= 1 - t.success*found
		x.prod[g] *= (1 - x.b.r[t.item]*x.u[t.item]) / old
	}
}

// mass is how much of what is left a cure would take away.
func (x *left) mass(c *cure) float64 {
	m := 0.0
	for _, t := range c.items {
		g := x.l.group[t.item]
		m += x.b.rho[g] * x.b.r[t.item] * x.u[t.item] * t.success / max(1-x.b.none[g], 1e-12)
	}
	return m / max(1-x.b.pass, 1e-12)
}

// clean is the chance of a group that nothing of it is left, whether it was at fault or not.
func (x *left) clean(g int) float64 {
	b := x.b
	if b.none[g] >= 1 {
		return 1
	}
	return 1 - b.rho[g] + b.rho[g]*max(0, x.prod[g]-b.none[g])/(1-b.none[g])
}

// dry is the chance that nothing at all is left.
func (x *left) dry() float64 {
	p := 1.0
	for g := range x.prod {
		p *= x.clean(g)
	}
	return min(1, max(0, (p-x.b.pass)/max(1-x.b.pass, 1e-12)))
}

func clamp(p float64) float64 { return min(max(p, 0), 1-1e-9) }
