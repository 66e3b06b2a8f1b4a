package rank

import "math"

// setLimit is how many state values the search for the most probable set may hold.
const setLimit = 1 << 24

// MostProbableSet gives the set of causes with the largest posterior probability, and that probability. Of several equal sets it
// takes the one found first, absent before present.
//
// It is a search in the order of the sweep with a bound that looks ahead: the worth of each state if the rest could be chosen
// knowing which findings were explained. Work: one backward pass with the larger branch instead of the sum, then a few thousand
// states' worth for each partial set that the bound cannot dismiss; the number of these is small unless many causes are likely.
func (p Posterior) MostProbableSet() (set []int, prob float64, err error) {
	c, pl := p.compiled, p.plan
	if c == nil || pl == nil {
		return nil, 0, ErrTooWide
	}
	total := 0
	for k := range pl.steps {
		total += 1 << pl.steps[k].width
	}
	if total > setLimit {
		return nil, 0, ErrTooWide
	}
	m := &setSearch{c: c, p: pl, bound: make([]input, len(pl.steps)), store: make([]float64, 1<<pl.width), chosen: make([]bool, c.n)}
	m.best = scaled{}
	m.bounds()
	m.unexplained = make([]float64, len(c.bits))
	for j, b := range c.bits {
		m.unexplained[j] = 1 - b.leak
	}
	m.descend(0, scaled{1, 0}, nil)
	if m.best.v == 0 {
		return nil, 0, ErrImpossible
	}
	set = []int{}
	for i, on := range m.bestSet {
		if on {
			set = append(set, i)
		}
	}
	return set, math.Exp(m.best.log() - (p.LogEvidence - pl.looseLog - c.logBase)), nil
}

type setSearch struct {
	c           *compiled
	p           *plan
	bound       []input // before each step, after its findings are opened
	store       []float64
	unexplained []float64 // probability that the chosen causes leave a bit unexplained
	chosen      []bool
	best        scaled
	bestSet     []bool
}

// bounds is the backward pass with max in place of the sum.
func (m *setSearch) bounds() {
	size := 1 << m.p.width
	buf := make([]float64, 2*size+staySize(m.p.width))
	beta, e := append(buf[0:0:size], 1), 0
	scratch := buf[size:]
	for k := len(m.p.steps) - 1; k >= 0; k-- {
		st := &m.p.steps[k]
		for i := len(st.closes) - 1; i >= 0; i-- {
			beta = closeBack(beta, st.closes[i])
		}
		v := scratch[:len(beta)]
		st.stayBack(v, beta, scratch)
		moveBack(v, st.links)
		for i, x := range v {
			beta[i] = math.Max(m.c.absent[st.cause]*beta[i], m.c.present[st.cause]*x)
		}
		e += rescale(beta)
		m.bound[k] = input{append([]float64(nil), beta...), e}
		for i := len(st.opens) - 1; i >= 0; i-- {
			beta = openBack(beta, m.c.bits[st.opens[i]].leak)
		}
	}
}

// descend decides the cause of step k. Given the decisions so far the open findings are independent, so the bound of a partial
// set is a product vector times the bound vector, folded one finding at a time. open lists the open bits by position.
func (m *setSearch) descend(k int, weight scaled, open []int) {
	if weight.v == 0 {
		return
	}
	if k == len(m.p.steps) {
		if m.best.v == 0 || weight.over(m.best) > 1 {
			m.best, m.bestSet = weight, append([]bool(nil), m.chosen...)
		}
		return
	}
	st := &m.p.steps[k]
	open = append(append([]int(nil), open...), st.opens...)
	top := weight.times(m.fold(m.bound[k].v, open))
	top.e += m.bound[k].e
	if m.best.v > 0 && top.over(m.best) <= 1-1e-12 {
		return
	}
	cause := st.cause
	branch := func(present bool) {
		saved := make([]float64, len(st.links))
		w := weight.times(m.c.absent[cause])
		if present {
			w = weight.times(m.c.present[cause])
			for i, l := range st.links {
				saved[i] = m.unexplained[open[l.pos]]
				m.unexplained[open[l.pos]] *= 1 - l.q
			}
		}
		rest := append([]int(nil), open...)
		for _, pos := range st.closes {
			w = w.times(1 - m.unexplained[rest[pos]])
			rest = append(rest[:pos], rest[pos+1:]...)
		}
		m.chosen[cause] = present
		m.descend(k+1, w, rest)
		m.chosen[cause] = false
		if present {
			for i, l := range st.links {
				m.unexplained[open[l.pos]] = saved[i]
			}
		}
	}
	branch(false)
	branch(true)
}

func (m *setSearch) fold(bound []float64, open []int) float64 {
	v := m.store[:len(bound)]
	copy(v, bound)
	for pos := len(open) - 1; pos >= 0; pos-- {
		u := m.unexplained[open[pos]]
		half := len(v) / 2
		lo, hi := v[:half], v[half:]
		for i, x := range hi {
			lo[i] = u*lo[i] + (1-u)*x
		}
		v = lo
	}
	return v[0]
}
