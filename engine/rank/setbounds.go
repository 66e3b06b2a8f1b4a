package rank

import (
	"cmp"
	"math"
	"slices"
)

// SolveTop encloses the posterior of every cause by weighing sets of causes one by one, the likely branches only, until the
// order of the top causes is certain or budget sets are weighed. certain says that the order of the top causes by their bounds is
// that of the truth. Low and High always enclose; Exact is false. It serves networks in which many positive findings are open at
// once and few causes explain them.
//
// Every branch that is left out is bounded above by the tangent of each finding's factor (see relax), chosen anew for each first
// cause; the sum of these bounds is all that can be missing. The bound is a product over the causes that may follow, so that it also
// says how much of it each cause can have. Work: budget times the number of positive findings; it grows with
// the number of causes that are likely together, not with the number of findings that are open at once.
func SolveTop(n Network, top, budget int) (post Posterior, certain bool, err error) {
	if err := n.check(); err != nil {
		return Posterior{}, false, err
	}
	c := compile(n.Prior, nil, n.Findings)
	if c.impossible {
		return Posterior{}, false, ErrImpossible
	}
	post, certain = c.solveTop(top, budget)
	return post, certain, nil
}

func (c *compiled) solveTop(top, budget int) (post Posterior, certain bool) {
	post = Posterior{
		P: make([]float64, c.n), GivenSomeCause: make([]float64, c.n), Low: make([]float64, c.n), High: make([]float64, c.n),
		LogLow: math.Inf(-1), LogHigh: math.Inf(1), compiled: c,
	}
	for i := range post.High {
		post.High[i] = 1
	}
	w := newWeigher(c)
	if w.state != weighable {
		return post, false
	}
	left := budget
	for cut := firstCut; left > 0 && cut > lastCut; cut *= cutStep {
		w.weigh(cut*math.Max(w.alone+w.sum, 1e-6), left)
		left -= w.weighed
		w.read(&post)
		if certain = w.sureOrder(&post, top); certain {
			break
		}
	}
	return post, certain
}

// Of a network that is too wide, so many causes are put in order by sets, with so many sets.
const (
	wideTop    = 5
	wideBudget = 1_000_000
)

// narrow puts the tighter of two pairs of bounds in place, and the estimate of the one whose evidence is bounded closer.
func (p *Posterior) narrow(o Posterior) {
	if o.LogHigh-o.LogLow < p.LogHigh-p.LogLow {
		p.P, p.GivenSomeCause, p.NoCause, p.LogEvidence = o.P, o.GivenSomeCause, o.NoCause, o.LogEvidence
	}
	p.LogLow, p.LogHigh = math.Max(p.LogLow, o.LogLow), math.Min(p.LogHigh, o.LogHigh)
	p.ExpectedCauses = 0
	for i := range p.P {
		p.Low[i], p.High[i] = math.Max(p.Low[i], o.Low[i]), math.Min(p.High[i], o.High[i])
		p.P[i] = math.Max(p.Low[i], math.Min(p.High[i], p.P[i]))
		p.ExpectedCauses += p.P[i]
	}
}

// A branch is left out if its bound is below cut times what is known of the whole; each round cuts less.
const (
	firstCut = 1e-3
	cutStep  = 1.0 / 16
	lastCut  = 1e-16
)

// sureOrder reports whether the order of the first causes by post.P is that of the truth. The whole is the same for every cause,
// so that its own bounds play no part.
func (w *weigher) sureOrder(post *Posterior, top int) bool {
	low, high := make([]float64, w.c.n), make([]float64, w.c.n)
	for k, i := range w.order {
		low[i], high[i] = w.with[k], w.with[k]+w.restWith[k]
	}
	for _, i := range w.certain {
		low[i], high[i] = w.sum, w.sum+w.rest
	}
	return sureOrder(post.P, low, high, top)
}

// sureOrder reports whether each of the first in the order of p has its low above the high of all that follow it.
func sureOrder(p, low, high []float64, top int) bool {
	order := make([]int, len(p))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p[b], p[a]) })
	for k := 0; k < top && k < len(order); k++ {
		for _, i := range order[k+1:] {
			if high[i]*(1+roundingSlack) >= low[order[k]] {
				return false
			}
		}
	}
	return true
}

// read narrows the bounds of post by the last round.
func (w *weigher) read(post *Posterior) {
	known := w.sum + w.alone
	if !(known > 0) || math.IsInf(w.rest, 1) || math.IsNaN(w.rest) {
		return
	}
	post.LogLow = math.Max(post.LogLow, math.Log(known)+w.log-boundSlack)
	post.LogHigh = math.Min(post.LogHigh, math.Log(known+w.rest)+w.log+boundSlack)
	post.LogEvidence = math.Log(known+w.rest/2) + w.log
	set := func(i int, low, high, p float64) {
		post.Low[i] = math.Max(post.Low[i], clamp01(low-boundSlack))
		post.High[i] = math.Min(post.High[i], clamp01(high+boundSlack))
		post.P[i] = math.Max(post.Low[i], math.Min(post.High[i], p))
	}
	in := make([]bool, w.c.n)
	for k, i := range w.order {
		in[i] = true
		with, rest := w.with[k], w.restWith[k]
		set(i, with/(known+w.rest-rest), (with+rest)/(known+rest), (with+rest/2)/(known+w.rest/2))
	}
	for _, i := range w.certain {
		in[i] = true
		set(i, 1, 1, 1)
	}
	for i, some := range in {
		if !some {
			set(i, 0, 0, 0)
		}
	}
	post.NoCause, post.ExpectedCauses = w.alone/(known+w.rest/2), 0
	for i, p := range post.P {
		post.ExpectedCauses += p
		if some := 1 - post.NoCause; some > 0 {
			post.GivenSomeCause[i] = clamp01(p / some)
		}
	}
}
