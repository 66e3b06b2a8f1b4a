package rank

import (
	"math"
	"slices"
)

// enclosure is what two solves say of an assembly in which some joints are too wide: one with tables that are never smaller than
// the true ones and one with tables that are never larger.
type enclosure struct {
	up, down  solution
	ratio     float64 // Z lower over Z upper
	low, high Marginals
}

// encloseBy solves the assembly with the upper and the lower tables. Every probability of the network is a sum of products of
// table entries with factors that are not negative, and so lies between the two.
func (s *Solver) encloseBy(upper, lower []*swept) (enclosure, error) {
	c := newCircumstances(&s.a)
	touched := make([]bool, len(upper))
	for j := range upper {
		touched[j] = !s.wide[j] && upper[j].acts.n >= fewActs || upper[j].s != nil && s.wide[j]
	}
	e := enclosure{up: s.solve(upper, touched, s.cp, c)}
	if e.up.err != nil {
		return e, e.up.err
	}
	if e.down = s.solve(lower, touched, s.cp, c); e.down.err == nil {
		e.ratio = math.Exp(math.Min(0, e.down.posterior().LogEvidence-e.up.posterior().LogEvidence))
	} else { // the lower network can be impossible where the true one is not
		e.down.Marginals = newMarginals(&s.a)
	}
	e.low = e.up.combine(e.down.Marginals, func(a, b float64) float64 { l, _ := enclose(a, b, e.ratio); return l })
	e.high = e.up.combine(e.down.Marginals, func(a, b float64) float64 { _, h := enclose(a, b, e.ratio); return h })
	return e, nil
}

// fewActs is how many shared causes a joint may have for its causes by configuration to be worth keeping.
const fewActs = 3

// sure reports whether the order of the first causes is that of the truth.
func (e *enclosure) sure(refs []CauseRef, p Marginals, top int) bool {
	list := make([][]float64, 3)
	for _, r := range refs {
		list[0] = append(list[0], p.Of(r))
		list[1] = append(list[1], e.down.Of(r)*e.ratio)
		list[2] = append(list[2], e.up.Of(r))
	}
	return sureOrder(list[0], list[1], list[2], top)
}

// A joint that is too wide is weighed with so many sets, all rounds together, until the first causes stand in order.
const (
	blockTop    = wideTop
	blockBudget = 600_000
	keepBudget  = 40_000 // answers are weighed on the sets that so many looks find
	roundGrowth = 4      // a round takes about so many times the sets of the last one
	weakRatio   = 0.5    // below it, too many causes are likely together for sets to be weighed
)

// bound encloses the posterior where some joints are too wide: by weighing their sets of causes, and, where too many are likely
// together, also by replacing some of their findings by bounds. What comes closer stays as the estimate from which factors and
// look-ahead are taken.
func (s *Solver) bound() error {
	e, err := s.weighSets()
	if err != nil {
		return err
	}
	low, high := e.low, e.high
	if !s.sure && e.ratio < weakRatio {
		blocks, post, z, logBase := slices.Clone(s.blocks), s.post, s.z, s.logBase
		r, err := s.relaxFindings()
		switch {
		case err != nil:
			return err
		case r.ratio < e.ratio:
			s.blocks, s.post, s.z, s.logBase = blocks, post, z, logBase
			clear(s.relaxed)
		}
		low, high = low.combine(r.low, math.Max), high.combine(r.high, math.Min)
	}
	s.post.Marginals = s.post.combine(low, math.Max).combine(high, math.Min)
	s.post.Low, s.post.High = &low, &high
	return nil
}

// weighSets weighs the sets of causes of the wide joints, ever smaller ones, until the order of the first causes is sure or the
// budget is spent.
func (s *Solver) weighSets() (e enclosure, err error) {
	s.weighed = make([]*weighedBlock, len(s.a.Blocks))
	for j := range s.weighed {
		if s.wide[j] {
			s.weighed[j] = newWeighedBlock(&s.a.Blocks[j], s.compile(&s.a.Blocks[j]), s.cp.acts[j])
		}
	}
	tables := func(f func(g *weighedBlock) *swept) []*swept {
		blocks := slices.Clone(s.blocks)
		for j, g := range s.weighed {
			if g != nil {
				blocks[j] = f(g)
			}
		}
		return blocks
	}
	refs := s.a.allCauses()
	keepCut := firstCut
	left, last, first := blockBudget, 0, true
	for cut := firstCut; left > roundGrowth*last && cut > lastCut && !s.sure; cut *= cutStep {
		last = 0
		for j, g := range s.weighed {
			if g != nil {
				last += g.weigh(cut, s.coef[j], max(1, left-last))
			}
		}
		left -= last
		if last <= keepBudget {
			keepCut = cut
		}
		next, err := s.encloseBy(tables(func(g *weighedBlock) *swept { return g.swept(1) }), tables(func(g *weighedBlock) *swept { return g.swept(0) }))
		if err != nil {
			return e, err
		}
		if !first {
			next.low, next.high = e.low.combine(next.low, math.Max), e.high.combine(next.high, math.Min)
		}
		e, s.coef, first = next, next.up.coef, false
		middle := e.down.combine(e.up.Marginals, func(a, b float64) float64 { return (a*e.ratio + b) / (1 + e.ratio) })
		s.sure = e.sure(refs, middle, blockTop)
	}
	middle := s.solve(tables(func(g *weighedBlock) *swept { return g.swept(0.5) }), nil, s.cp, newCircumstances(&s.a))
	if middle.err != nil {
		return e, middle.err
	}
	for j, g := range s.weighed {
		if g != nil {
			g.keep(keepCut, s.coef[j], keepBudget)
		}
	}
	s.blocks = tables((*weighedBlock).estimate)
	// What answers are compared with rests on the same sets as they do. Evidence that no likely set explains leaves no such sets.
	if err := s.settle(s.solve(s.blocks, nil, s.cp, newCircumstances(&s.a))); err != nil {
		s.blocks = tables(func(g *weighedBlock) *swept { return g.swept(0.5) })
		s.z, s.logBase = middle.z, middle.logBase
	}
	s.post = middle.posterior()
	return e, nil
}

// weighOnce estimates the tables of a changed joint from its likely sets. coef says what the configurations count for, nil that
// nothing is known of it.
func (s *Solver) weighOnce(b *Block, c *compiled, acts *family, coef []float64) *swept {
	g := newWeighedBlock(b, c, acts)
	last := 0
	for cut, left := firstCut, keepBudget; left > roundGrowth*last && cut > lastCut; cut *= cutStep {
		last = g.weigh(cut, coef, roundGrowth*keepBudget)
		left -= last
	}
	return g.swept(0)
}

// settle makes a solve the one that answers are compared with.
func (s *Solver) settle(r solution) error {
	if r.err == nil {
		s.z, s.logBase, s.post = r.z, r.logBase, r.posterior()
	}
	return r.err
}

// relaxFindings replaces findings of the wide joints by factors of single causes. Its work does not grow with how many causes are
// likely together.
func (s *Solver) relaxFindings() (all enclosure, err error) {
	var believed [][]float64
	for round := range boundRounds {
		down := slices.Clone(s.blocks)
		for j := range s.a.Blocks {
			if !s.wide[j] {
				continue
			}
			b := &s.a.Blocks[j]
			c := s.compile(b)
			var guess []float64
			if believed != nil {
				guess = believed[j]
			}
			s.relaxed[j] = chooseRelaxation(c, min(s.width, relaxedWidth), guess)
			upper, lower := c.relax(s.relaxed[j])
			s.blocks[j] = sweepBlock(b, upper, newPlan(upper), s.cp.acts[j], true)
			down[j] = sweepBlock(b, lower, newPlan(lower), s.cp.acts[j], true)
		}
		e, err := s.encloseBy(s.blocks, down)
		if err != nil {
			return e, err
		}
		if round > 0 {
			e.low, e.high = all.low.combine(e.low, math.Max), all.high.combine(e.high, math.Min)
			e.ratio = math.Max(e.ratio, all.ratio)
		}
		all = e
		if err := s.settle(e.up); err != nil {
			return e, err
		}
		believed = make([][]float64, len(s.a.Blocks))
		for j, b := range s.a.Blocks {
			believed[j] = append(slices.Clone(e.up.Cause[j]), e.up.Arrives[j])
			for _, sh := range b.Shared {
				believed[j] = append(believed[j], e.up.Shared[sh.Cause]*sh.Acts)
			}
		}
	}
	return all, nil
}
