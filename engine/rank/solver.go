package rank

import (
	"math"

	"seepwright/engine/abreast"
)

// Solver answers several questions about one assembly and keeps the sweeps of the joints that a question does not touch. It
// holds on to the assembly's slices, which must not change afterwards. It is safe for concurrent use.
type Solver struct {
	a       Assembly
	width   int
	cp      *coupling
	blocks  []*swept
	wide    []bool          // by joint: too much is open at once
	relaxed []relaxation    // by joint; nil where the joint is exact or its sets were weighed
	coef    [][]float64     // by joint: what its configurations count for in the whole; nil where nothing is known of it
	weighed []*weighedBlock // by joint: the likely sets of a joint whose sets were weighed
	z       scaled
	logBase float64
	post    AssemblyPosterior
	sure    bool // of a bounded posterior: the order of the first causes is that of the truth
}

// exactCost is the most additions for one pass over a joint that is still exact in time: about 17 findings open at once in a joint
// of 38 causes, a tenth of a second.
const exactCost = 1.2e8

// NewSolver checks the assembly and solves it. width is the most positive findings of one joint that may be open at once before
// bounds take the place of the exact result; 0 means as many as are exact in time, at most DefaultWidth. Evidence of probability 0
// is ErrImpossible.
func NewSolver(a Assembly, width int) (*Solver, error) {
	if err := a.check(); err != nil {
		return nil, err
	}
	most := math.Inf(1)
	if width <= 0 || width > DefaultWidth {
		width, most = DefaultWidth, exactCost
	}
	cp, err := newCoupling(&a)
	if err != nil {
		return nil, err
	}
	s := &Solver{a: a, width: width, cp: cp, blocks: make([]*swept, len(a.Blocks)), relaxed: make([]relaxation, len(a.Blocks))}
	s.wide, s.coef = make([]bool, len(a.Blocks)), make([][]float64, len(a.Blocks))
	exact := true
	for j := range a.Blocks {
		c := s.compile(&a.Blocks[j])
		p := newPlan(c)
		if p.width > width || p.cost > most {
			exact, s.wide[j] = false, true
			continue // bounded below
		}
		s.blocks[j] = sweepBlock(&a.Blocks[j], c, p, cp.acts[j], true)
	}
	if exact {
		r := s.solve(s.blocks, nil, s.cp, newCircumstances(&a))
		if r.err != nil {
			return nil, r.err
		}
		s.z, s.logBase, s.post = r.z, r.logBase, r.posterior()
		s.post.Exact = true
		return s, nil
	}
	if err := s.bound(); err != nil {
		return nil, err
	}
	return s, nil
}

// Posterior is the posterior under all evidence of the assembly. Its slices belong to the solver.
func (s *Solver) Posterior() AssemblyPosterior { return s.post }

// Release gives back the memory of the sweeps for the next solver. The solver must not be asked
// after it; what it gave before stays.
func (s *Solver) Release() {
	for _, b := range s.blocks {
		if b != nil {
			b.release()
		}
	}
	s.blocks = nil
}

// compile folds the evidence of one joint. What cannot happen at all is left out: liquid that has nowhere to come from, shared
// causes that cannot act.
func (s *Solver) compile(b *Block) *compiled {
	possible := make([]bool, 1+len(b.Shared))
	possible[0] = b.Elsewhere > 0 || len(b.Above) > 0 && b.RunDown > 0
	for k, sh := range b.Shared {
		possible[1+k] = sh.Acts > 0 && s.a.Shared[sh.Cause] > 0
	}
	return compile(b.Prior, possible, b.Findings)
}

// answerWidth is how many findings may be open at once for an exact sweep of a changed joint that is otherwise bounded.
const answerWidth = 12

// resweep sweeps a changed joint, in the same way as the unchanged one so that the two compare.
func (s *Solver) resweep(j int, b *Block) *swept {
	c := s.compile(b)
	if s.relaxed[j] != nil {
		c, _ = c.relax(s.relaxed[j])
	}
	p := newPlan(c)
	if s.wide[j] && s.relaxed[j] == nil {
		if had := len(s.a.Blocks[j].Findings); len(b.Findings) > had { // an answer more
			return s.weighed[j].answered(b.Findings[had:])
		}
		if p.width > min(s.width, answerWidth) {
			return s.weighOnce(b, c, s.cp.acts[j], s.coef[j])
		}
		return sweepBlock(b, c, p, s.cp.acts[j], true)
	}
	limit := s.width
	if s.relaxed[j] != nil {
		limit = min(s.width, relaxedWidth)
	}
	approx := p.width > limit+1 // one more than the limit is allowed for a new answer
	if approx && s.relaxed[j] != nil {
		c, _ = c.relax(chooseRelaxation(c, limit, nil))
		p = newPlan(c)
	} else if approx {
		w := s.weighOnce(b, c, s.cp.acts[j], nil)
		w.approx = true
		return w
	}
	return sweepBlock(b, c, p, s.cp.acts[j], true)
}

// sweepAs sweeps a joint with some causes ruled out, for its tables only, in the way of the old one.
func (s *Solver) sweepAs(j int, old *swept, c *compiled) *swept {
	b := &s.a.Blocks[j]
	if old.s != nil {
		return sweepBlock(b, c, old.p, old.acts, false)
	}
	if p := newPlan(c); p.width <= min(s.width, answerWidth) {
		return sweepBlock(b, c, p, old.acts, false)
	}
	return s.weighed[j].among(c)
}

// solution is one solve of the whole.
type solution struct {
	Marginals
	z       scaled
	logBase float64
	coef    [][]float64
	err     error
}

func (r solution) posterior() AssemblyPosterior {
	return AssemblyPosterior{Marginals: r.Marginals, LogEvidence: r.z.log() + r.logBase}
}

// solve couples the joints and reads off the marginals. touched says which joints have a sweep of their own for this solve only;
// the others use their stored causes by configuration. A nil touched is the first solve: one backward sweep each.
func (s *Solver) solve(blocks []*swept, touched []bool, cp *coupling, c circumstances) solution {
	r := cp.forward(blocks, &c)
	out := solution{z: r.z}
	for _, b := range blocks {
		if b.c.impossible {
			return solution{err: ErrImpossible}
		}
		out.logBase += b.logBase
	}
	if r.z.v <= 0 || math.IsNaN(r.z.v) {
		return solution{err: ErrImpossible}
	}
	cp.backward(r, blocks)
	out.coef = r.coef
	out.JointLeaks, out.Arrives, out.Elsewhere, out.Shared = r.leaks, r.arrives, r.elsewhere, r.shared
	out.Cause = make([][]float64, len(blocks))
	causes := func(j int) {
		b := blocks[j]
		if touched == nil || touched[j] {
			out.Cause[j] = b.causes(r.coef[j])
		} else {
			out.Cause[j] = b.mixed(r.coef[j])
		}
		for i, p := range out.Cause[j] {
			out.Cause[j][i] = clamp01(p)
		}
	}
	if touched == nil {
		abreast.Each(len(blocks), causes)
	} else { // small sums
		for j := range blocks {
			causes(j)
		}
	}
	return out
}
