package rank

import (
	"math"
	"slices"
)

// SolveTop encloses the posterior of every cause by weighing sets of causes one by one, the likely branches only, until the
// order of the top causes is certain or budget sets are weighed. certain says that the order of the top causes by their bounds is
// that of the truth. Low and High always enclose; Exact is false. It serves networks in which many positive findings are open at
// once and few causes explain them.
//
// Every branch that is left out is bounded above by the tangent of each finding's factor (see relax), chosen anew for each first
// cause; the sum of these bounds is all that can be missing. Work: budget times the number of positive findings; it grows with
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
	if !w.ok {
		return post, false
	}
	left := budget
	for cut := firstCut; left > 0 && cut > lastCut; cut *= cutStep {
		w.weigh(cut, left)
		left -= w.weighed
		w.read(&post)
		if certain = post.topCertain(top); certain {
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

// topCertain reports whether the bounds leave no doubt about the order of the first causes.
func (p *Posterior) topCertain(top int) bool {
	order := make([]int, len(p.P))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case p.P[a] > p.P[b]:
			return -1
		case p.P[a] < p.P[b]:
			return 1
		}
		return 0
	})
	for k := 0; k < top && k < len(order); k++ {
		for _, i := range order[k+1:] {
			if p.High[i] >= p.Low[order[k]] {
				return false
			}
		}
	}
	return true
}

// weigher weighs sets in one fixed order of causes. Weights are relative to the set of the certain causes alone and scaled so
// that the bound of the whole is 1.
type weigher struct {
	c       *compiled
	ok      bool
	order   []int // causes that may be present or not, the likely ones first
	certain []int
	odds    []float64   // by place in order
	stay    [][]float64 // by place and bit: 1 - q
	theta   [][]float64
	gives   [][]float64 // by place and bit: q
	start   []float64   // by bit: unexplained by the base rate and the certain causes
	known   []float64   // by bit: explained by them; kept apart since 1 - start would lose the digits of rare base rates
	log     float64     // logarithm of the weight 1
	root    tilt

	limit, weighed int
	cut            float64
	sum, rest      float64
	none           float64
	with           []float64 // by place
	chosen         []int
}

// tilt is one choice of slopes with what follows from it.
type tilt struct {
	slope []float64 // by bit
	touch []float64 // by bit: the unexplained probability at which the tangent touches
	scale []float64 // by bit: bound of the factor = scale * unexplained^-slope above touch
	lift  [][]float64
	after []float64 // by place: product over the causes from there on
}

func newWeigher(c *compiled) *weigher {
	w := &weigher{c: c, start: make([]float64, len(c.bits)), known: make([]float64, len(c.bits))}
	q := make([][]float64, c.n)
	for i := range q {
		q[i] = make([]float64, len(c.bits))
	}
	for j, b := range c.bits {
		w.start[j], w.known[j] = 1-b.leak, b.leak
		for _, l := range b.links {
			q[l.v][j] = l.q
		}
	}
	w.log = c.logBase + float64(c.chainExp)*math.Ln2
	for i := range c.n {
		switch {
		case c.absent[i] == 0 && c.present[i] == 0:
			return w
		case c.absent[i] == 0:
			w.certain = append(w.certain, i)
			w.log += math.Log(c.present[i])
			for j := range w.start {
				w.known[j] += w.start[j] * q[i][j]
				w.start[j] *= 1 - q[i][j]
			}
			continue
		}
		w.log += math.Log(c.absent[i])
		if c.present[i] > 0 {
			w.order = append(w.order, i)
		}
	}
	w.place(q)
	believed := w.optimise(w.start, 0, &w.root)
	// The likely causes first: then the rest of a branch is small.
	by := make([]int, len(w.order))
	for k := range by {
		by[k] = k
	}
	slices.SortStableFunc(by, func(a, b int) int {
		switch {
		case believed[a] > believed[b]:
			return -1
		case believed[a] < believed[b]:
			return 1
		}
		return 0
	})
	order := make([]int, len(by))
	for k, from := range by {
		order[k] = w.order[from]
	}
	w.order = order
	w.place(q)
	w.optimise(w.start, 0, &w.root)
	whole := math.Log(w.root.after[0])
	for j, u := range w.start {
		whole += math.Log(w.root.factor(j, u, w.known[j], math.Pow(u, -w.root.slope[j])))
	}
	w.log += whole
	w.rest = 0
	w.none = math.Exp(-whole)
	w.ok = w.none > 0 && !math.IsInf(w.none, 1) && !math.IsNaN(w.none)
	w.with = make([]float64, len(w.order))
	return w
}

func (w *weigher) place(q [][]float64) {
	w.odds, w.stay, w.gives, w.theta = nil, nil, nil, nil
	for _, i := range w.order {
		w.odds = append(w.odds, w.c.present[i]/w.c.absent[i])
		stay, th := make([]float64, len(w.start)), make([]float64, len(w.start))
		for j, x := range q[i] {
			stay[j], th[j] = 1-x, theta(x)
		}
		w.stay, w.gives, w.theta = append(w.stay, stay), append(w.gives, q[i]), append(w.theta, th)
	}
}

// tiltRounds is how often the slopes are fitted to what the tilted causes would give.
const tiltRounds = 12

// optimise fits slopes for the causes from place k on, given what is unexplained so far, and gives the tilted probabilities.
func (w *weigher) optimise(unexplained []float64, k int, t *tilt) (believed []float64) {
	m := len(unexplained)
	believed = make([]float64, len(w.order))
	t.slope, t.touch, t.scale = make([]float64, m), make([]float64, m), make([]float64, m)
	endless := make([]bool, m) // with a certain link no slope holds but 0
	for _, th := range w.theta[min(k, len(w.theta)):] {
		for j, x := range th {
			endless[j] = endless[j] || math.IsInf(x, 1)
		}
	}
	near := make([]float64, m)
	for j, u := range unexplained {
		near[j] = math.Max(-math.Log(u), nearestTouch) + 1
	}
	for range tiltRounds {
		for j := range near {
			t.slope[j] = 0
			if !endless[j] {
				t.slope[j] = 1 / math.Expm1(near[j])
			}
		}
		mean := make([]float64, m)
		for i := k; i < len(w.order); i++ {
			var push float64
			for j, s := range t.slope {
				if s != 0 {
					push += s * w.theta[i][j]
				}
			}
			o := w.odds[i] * math.Exp(math.Min(push, 600))
			believed[i] = o / (1 + o)
			for j, x := range w.theta[i] {
				if !endless[j] {
					mean[j] += believed[i] * x
				}
			}
		}
		for j, u := range unexplained {
			aim := math.Min(math.Max(mean[j]-math.Log(u), nearestTouch), 30)
			near[j] = (near[j] + aim) / 2
		}
	}
	for j := range near {
		if endless[j] {
			t.scale[j] = 1
			continue
		}
		near[j] = -math.Log1p(-1 / (1 + t.slope[j])) // where this slope touches
		t.touch[j] = math.Exp(-near[j])
		t.scale[j] = -math.Expm1(-near[j]) * math.Exp(-t.slope[j]*near[j])
	}
	t.lift = make([][]float64, len(w.order))
	t.after = make([]float64, len(w.order)+1)
	t.after[len(w.order)] = 1
	for i := len(w.order) - 1; i >= k; i-- {
		t.lift[i] = make([]float64, m)
		push := 0.0
		for j, s := range t.slope {
			t.lift[i][j] = 1
			if s != 0 {
				t.lift[i][j] = math.Exp(s * w.theta[i][j])
				push += s * w.theta[i][j]
			}
		}
		t.after[i] = t.after[i+1] * (1 + w.odds[i]*math.Exp(push))
	}
	return believed
}

// factor bounds what a finding is worth together with the tilt of the causes to come; u is what is unexplained, known the rest
// of 1, up is u to the power -slope.
func (t *tilt) factor(j int, u, known, up float64) float64 {
	if u <= t.touch[j] {
		return known
	}
	return t.scale[j] * up
}

// weigh goes through the sets with a cut. After limit sets it only bounds what is left.
func (w *weigher) weigh(cut float64, limit int) {
	w.cut, w.limit, w.weighed, w.sum, w.rest = cut*math.Max(w.sum, 1e-6), limit, 0, 0, 0
	clear(w.with)
	w.chosen = w.chosen[:0]
	depth := make([]float64, 3*len(w.start)*(len(w.order)+1))
	copy(depth, w.start)
	for j, u := range w.start {
		depth[len(w.start)+j] = math.Pow(u, -w.root.slope[j])
	}
	copy(depth[2*len(w.start):], w.known)
	w.branch(w.none, 0, &w.root, depth)
}

// branch weighs the set chosen so far and the sets that add to it causes from place k on. vectors holds, for this depth and then
// for each deeper one, what each bit has unexplained, its power, and what is explained.
func (w *weigher) branch(weight float64, k int, t *tilt, vectors []float64) {
	m := len(w.start)
	w.weighed++
	u, up, known, deeper := vectors[:m], vectors[m:2*m], vectors[2*m:3*m], vectors[3*m:]
	here := weight
	for _, x := range known {
		here *= x
	}
	w.sum += here
	for _, i := range w.chosen {
		w.with[i] += here
	}
	for i := k; i < len(w.order); i++ {
		next := weight * w.odds[i]
		bound := next * t.after[i+1]
		v, vp, vk := deeper[:m], deeper[m:2*m], deeper[2*m:3*m]
		stay, gives, lift := w.stay[i], w.gives[i], t.lift[i]
		for j, x := range u {
			y, p, e := x*stay[j], up[j]*lift[j], known[j]+x*gives[j]
			v[j], vp[j], vk[j] = y, p, e
			if y <= t.touch[j] {
				bound *= e
			} else {
				bound *= t.scale[j] * p
			}
		}
		if bound <= w.cut || w.weighed >= w.limit {
			w.rest += bound
			w.weighed++
			continue
		}
		own := t
		if len(w.chosen) == 0 {
			own = &tilt{}
			w.optimise(v, i+1, own)
			for j, x := range v {
				vp[j] = math.Pow(x, -own.slope[j])
			}
		}
		w.chosen = append(w.chosen, i)
		w.branch(next, i+1, own, deeper)
		w.chosen = w.chosen[:len(w.chosen)-1]
	}
}

// read narrows the bounds of post by the last round.
func (w *weigher) read(post *Posterior) {
	if !(w.sum > 0) || math.IsInf(w.rest, 1) || math.IsNaN(w.rest) {
		return
	}
	all := w.sum + w.rest
	post.LogLow = math.Max(post.LogLow, math.Log(w.sum)+w.log-boundSlack)
	post.LogHigh = math.Min(post.LogHigh, math.Log(all)+w.log+boundSlack)
	post.LogEvidence = math.Log(w.sum+w.rest/2) + w.log
	set := func(i int, low, high, p float64) {
		post.Low[i] = math.Max(post.Low[i], clamp01(low-boundSlack))
		post.High[i] = math.Min(post.High[i], clamp01(high+boundSlack))
		post.P[i] = math.Max(post.Low[i], math.Min(post.High[i], p))
	}
	in := make([]bool, w.c.n)
	for k, i := range w.order {
		in[i] = true
		set(i, w.with[k]/all, (w.with[k]+w.rest)/all, w.with[k]/w.sum)
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
	alone := 0.0
	if len(w.certain) == 0 {
		alone = w.none
		for _, e := range w.known {
			alone *= e
		}
	}
	post.NoCause, post.ExpectedCauses = alone/w.sum, 0
	for i, p := range post.P {
		post.ExpectedCauses += p
		if some := 1 - post.NoCause; some > 0 {
			post.GivenSomeCause[i] = clamp01(p / some)
		}
	}
}
