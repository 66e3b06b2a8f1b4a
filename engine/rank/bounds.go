package rank

import "math"

// relaxedWidth is how many open findings a relaxed network keeps exact.
const relaxedWidth = 14

// relaxation says which positive findings are replaced by factors of single causes, with the choice that makes each bound
// tight: near is where the upper bound touches, explainer the one cause that the lower bound keeps.
type relaxation map[int]relaxed // by index of the finding

type relaxed struct {
	near      float64
	explainer int // variable; -1 for none
}

// chooseRelaxation picks findings until the plan is at most limit wide: of those open at the widest step the one that is the
// least surprise, because it says least. believed is a guess of each variable's probability; nil means the priors.
func chooseRelaxation(c *compiled, limit int, believed []float64) relaxation {
	if believed == nil {
		believed = make([]float64, c.n+c.outer)
		for v := range believed {
			believed[v] = c.present[v] / (c.absent[v] + c.present[v])
			if math.IsNaN(believed[v]) {
				believed[v] = 0
			}
		}
	}
	r := relaxation{}
	for {
		d, _ := c.relax(r)
		p := newPlan(d)
		if p.width <= limit {
			return r
		}
		pick, least := -1, math.Inf(1)
		for _, j := range p.widest() {
			surprise := 1 - d.bits[j].leak
			for _, l := range d.bits[j].links {
				surprise *= 1 - l.q*believed[l.v]
			}
			if surprise < least {
				pick, least = j, surprise
			}
		}
		b := d.bits[pick]
		choice := relaxed{near: theta(b.leak), explainer: -1}
		strongest := -1.0
		for _, l := range b.links {
			choice.near += believed[l.v] * theta(l.q)
			if x := believed[l.v] * l.q; x > strongest {
				strongest, choice.explainer = x, l.v
			}
		}
		r[b.finding] = choice
	}
}

// widest lists the bits that are open at the widest step.
func (p *plan) widest() []int {
	var open, widest []int
	for _, st := range p.steps {
		open = append(open, st.opens...)
		if len(open) > len(widest) {
			widest = append([]int(nil), open...)
		}
		for _, pos := range st.closes {
			open = append(open[:pos], open[pos+1:]...)
		}
	}
	return widest
}

// relax replaces findings by factors that are never smaller (upper) and never larger (lower) than theirs.
//
// Upper: the factor is f = 1 - exp(-z), z = the sum of theta over leak and present causes; ln f is concave in z, so its tangent
// lies above it and is a product over the causes. With a certain link
// the bound is 1. Lower: all links but one are dropped, which can only make the finding less likely.
func (c *compiled) relax(r relaxation) (upper, lower *compiled) {
	if len(r) == 0 {
		return c, c
	}
	upper, lower = c.copyWithoutBits(), c.copyWithoutBits()
	for _, b := range c.bits {
		choice, ok := r[b.finding]
		if !ok {
			upper.bits, lower.bits = append(upper.bits, b), append(lower.bits, b)
			continue
		}
		upper.tangent(b, choice.near)
		lower.keepOne(b, choice.explainer)
	}
	return upper, lower
}

func (c *compiled) copyWithoutBits() *compiled {
	d := *c
	d.absent, d.present = append([]float64(nil), c.absent...), append([]float64(nil), c.present...)
	d.bits = nil
	return &d
}

func (c *compiled) tangent(b bit, near float64) {
	for _, l := range b.links {
		if l.q >= 1 {
			return
		}
	}
	near = math.Max(near, nearestTouch)
	slope := 1 / math.Expm1(near)
	c.logBase += math.Log(-math.Expm1(-near)) + slope*(theta(b.leak)-near)
	for _, l := range b.links {
		c.present[l.v] *= math.Exp(slope * theta(l.q))
	}
}

func (c *compiled) keepOne(b bit, v int) {
	q := -1.0
	for _, l := range b.links {
		if l.v == v {
			q = l.q
		}
	}
	if q < 0 { // its explainer is gone; 0 is below any factor
		c.impossible = true
		return
	}
	c.absent[v] *= b.leak
	c.present[v] *= b.leak + (1-b.leak)*q
	if v < c.n {
		c.off *= b.leak
	}
}

// boundSlack widens bounds by more than the rounding of the sweeps they come from.
const boundSlack = 1e-10

// roundingSlack is more than the rounding of a posterior near 1, which its complement carries in full.
const roundingSlack = 1e-13

// nearestTouch keeps the tangent from being so steep that a single strong cause takes over the upper network.
const nearestTouch = 0.3

// enclose gives bounds of a posterior from its values in the upper and the lower network; ratio is Z lower over Z upper. The
// truth is with/(with + without), where each part lies between its two values.
func enclose(upper, lower, ratio float64) (low, high float64) {
	low, high = 0, 1
	if d := lower*ratio + (1 - upper + roundingSlack); d > 0 {
		low = lower * ratio / d
	}
	if d := upper + roundingSlack + math.Max(0, 1-lower-roundingSlack)*ratio; d > 0 {
		high = (upper + roundingSlack) / d
	}
	return clamp01(low - boundSlack), clamp01(high + boundSlack)
}

// boundRounds is how often the relaxation is chosen anew from the last estimate; the bounds of all rounds hold together.
const boundRounds = 3

// solveBounded solves the upper and the lower network exactly and encloses each posterior. The work is that of exact solves with
// limit open findings.
func solveBounded(c *compiled, limit int) (Posterior, error) {
	var believed []float64
	post := Posterior{LogLow: math.Inf(-1), LogHigh: math.Inf(1), P: make([]float64, c.n), GivenSomeCause: make([]float64, c.n)}
	post.Low, post.High = make([]float64, c.n), make([]float64, c.n)
	for i := range post.High {
		post.High[i] = 1
	}
	for range boundRounds {
		upper, lower := c.relax(chooseRelaxation(c, limit, believed))
		up, err := solveExact(upper, newPlan(upper))
		if err != nil {
			return Posterior{}, err
		}
		down, err := solveExact(lower, newPlan(lower))
		if err != nil { // the lower network can be impossible where the true one is not
			down = Posterior{P: make([]float64, c.n), LogEvidence: math.Inf(-1)}
		}
		ratio := math.Exp(math.Min(0, down.LogEvidence-up.LogEvidence))
		for i := range up.P {
			low, high := enclose(up.P[i], down.P[i], ratio)
			post.Low[i], post.High[i] = math.Max(post.Low[i], low), math.Min(post.High[i], high)
		}
		post.LogLow, post.LogHigh = math.Max(post.LogLow, down.LogEvidence), math.Min(post.LogHigh, up.LogEvidence)
		post.NoCause, post.LogEvidence = up.NoCause, up.LogEvidence
		copy(post.P, up.P)
		copy(post.GivenSomeCause, up.GivenSomeCause)
		believed = up.P
	}
	post.ExpectedCauses = 0
	for i := range post.P {
		post.P[i] = math.Max(post.Low[i], math.Min(post.High[i], post.P[i]))
		post.ExpectedCauses += post.P[i]
	}
	return post, nil
}
