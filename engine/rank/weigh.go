package rank

import (
	"math"
	"slices"
)

// weigher weighs sets in one fixed order of causes. Weights are relative to the set of the certain causes alone and scaled so
// that the bound of the whole is 1.
type weigher struct {
	c       *compiled
	state   weigherState
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

	// Of the last round. alone is the set of no cause at all and stands beside sum. What is left out is bounded in all by rest and,
	// as far as a cause is present in it, by restWith; what is left out without the cause is then bounded by their difference.
	limit, weighed   int
	cut              float64
	sum, alone, rest float64
	none             float64   // weight of the set of the certain causes alone, without the findings
	with, restWith   []float64 // by place; the causes that may be present or not
	chosen           []int
	first            []*tilt  // by place of the first cause
	kept             *setList // where the sets of a round go; nil to forget them
}

// weigherState says whether there is anything to weigh.
type weigherState int8

// The states: sets can be weighed; no set has any weight; the numbers are beyond what a weight can hold, so that the whole is only
// bounded by the weights without the findings.
const (
	weighable weigherState = iota
	impossible
	hopeless
)

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
			return w.cannotBe()
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
	for j, b := range c.bits {
		if w.known[j] == 0 && !slices.ContainsFunc(b.links, func(l bitLink) bool { return c.present[l.v] > 0 }) {
			return w.cannotBe()
		}
	}
	bare := w.log
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
	w.none = math.Exp(-whole)
	w.with, w.restWith, w.first = make([]float64, len(w.order)), make([]float64, len(w.order)), make([]*tilt, len(w.order))
	if !(w.none > 0) || math.IsInf(w.none, 1) {
		w.state, w.log = hopeless, bare
		for _, o := range w.odds {
			w.log += math.Log1p(o)
		}
	}
	return w
}

func (w *weigher) cannotBe() *weigher {
	w.state, w.order, w.certain = impossible, nil, nil
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

// weigh goes through the sets; a branch is left out if its bound is at most cut. After limit sets it only bounds what is left.
func (w *weigher) weigh(cut float64, limit int) {
	w.cut, w.limit, w.weighed, w.sum, w.alone, w.rest = cut, limit, 0, 0, 0, 0
	if w.state == impossible {
		return
	}
	clear(w.with)
	clear(w.restWith)
	if w.state == hopeless {
		w.rest = 1
		for k := range w.restWith {
			w.restWith[k] = 1
		}
		return
	}
	w.chosen = w.chosen[:0]
	clear(w.root.left)
	depth := make([]float64, 3*len(w.start)*(len(w.order)+1))
	copy(depth, w.start)
	for j, u := range w.start {
		depth[len(w.start)+j] = math.Pow(u, -w.root.slope[j])
	}
	copy(depth[2*len(w.start):], w.known)
	w.branch(w.none, 0, &w.root, depth)
	w.settle(&w.root)
	for k, x := range w.restWith {
		w.restWith[k] = math.Min(x, w.rest)
	}
}

// branch weighs the set chosen so far and the sets that add to it causes from place k on. vectors holds, for this depth and then
// for each deeper one, what each bit has unexplained, its power, and what is explained.
func (w *weigher) branch(weight float64, k int, t *tilt, vectors []float64) {
	m := len(w.start)
	w.weighed++
	u, up, known, deeper := vectors[:m], vectors[m:2*m], vectors[2*m:3*m], vectors[3*m:]
	here, base := weight, weight
	for j, x := range known {
		here *= x
		base *= t.factor(j, u[j], x, up[j])
	}
	if len(w.chosen)+len(w.certain) == 0 {
		w.alone = here
	} else {
		if w.kept != nil && here > 0 {
			w.kept.add(here, w)
		}
		w.sum += here
		for _, i := range w.chosen {
			w.with[i] += here
		}
	}
	for i := k; i < len(w.order); i++ {
		if all := base * t.beyond[i]; all <= w.cut || w.weighed >= w.limit { // all sets with something more
			w.leave(all)
			t.left[i] += base * t.after[i]
			return
		}
		w.weighed++
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
		w.chosen = append(w.chosen, i)
		switch {
		case bound <= w.cut:
			w.leave(bound)
			t.left[i+1] += bound
		case len(w.chosen) == 1:
			own := w.tiltOf(i, v)
			for j, x := range v {
				vp[j] = math.Pow(x, -own.slope[j])
			}
			w.branch(next, i+1, own, deeper)
			w.settle(own)
		default:
			w.branch(next, i+1, t, deeper)
		}
		w.chosen = w.chosen[:len(w.chosen)-1]
	}
}

// leave counts a bound of sets that all contain the chosen causes.
func (w *weigher) leave(bound float64) {
	w.rest += bound
	for _, i := range w.chosen {
		w.restWith[i] += bound
	}
}

// setList is a list of sets with their weights; the causes of a set end where those of the next one begin.
type setList struct {
	weight []float64
	end    []int
	causes []int32
}

func (l *setList) add(weight float64, w *weigher) {
	for _, k := range w.chosen {
		l.causes = append(l.causes, int32(w.order[k]))
	}
	for _, i := range w.certain {
		l.causes = append(l.causes, int32(i))
	}
	l.weight, l.end = append(l.weight, weight), append(l.end, len(l.causes))
}
