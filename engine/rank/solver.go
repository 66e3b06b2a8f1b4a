package rank

import (
	"math"
	"sync"
)

// Solver answers several questions about one assembly and keeps the sweeps of the joints that a question does not touch. It
// holds on to the assembly's slices, which must not change afterwards. It is safe for concurrent use.
type Solver struct {
	a       Assembly
	width   int
	cp      *coupling
	blocks  []*swept
	relaxed []relaxation // by joint; nil where the joint is exact
	z       scaled
	logBase float64
	post    AssemblyPosterior
}

// NewSolver checks the assembly and solves it. width is the most positive findings of one joint that may be open at once before
// bounds take the place of the exact result; 0 means DefaultWidth. Evidence of probability 0 is ErrImpossible.
func NewSolver(a Assembly, width int) (*Solver, error) {
	if err := a.check(); err != nil {
		return nil, err
	}
	if width <= 0 || width > DefaultWidth {
		width = DefaultWidth
	}
	cp, err := newCoupling(&a)
	if err != nil {
		return nil, err
	}
	if cp.width > DefaultWidth {
		return nil, ErrTooWide
	}
	s := &Solver{a: a, width: width, cp: cp, blocks: make([]*swept, len(a.Blocks)), relaxed: make([]relaxation, len(a.Blocks))}
	exact := true
	for j := range a.Blocks {
		c := s.compile(&a.Blocks[j])
		p := newPlan(c)
		if p.width > width {
			exact = false
			s.relaxed[j] = relaxation{}
			continue // bounded below
		}
		s.blocks[j] = sweepBlock(&a.Blocks[j], c, p, true)
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

// resweep sweeps a changed joint, with the same relaxation as the unchanged one so that the two compare.
func (s *Solver) resweep(j int, b *Block) *swept {
	c := s.compile(b)
	limit := s.width
	if s.relaxed[j] != nil {
		c, _ = c.relax(s.relaxed[j])
		limit = min(s.width, relaxedWidth)
	}
	p := newPlan(c)
	approx := p.width > limit+1 // one more than the limit is allowed for a new answer
	if approx {
		c, _ = c.relax(chooseRelaxation(c, limit, nil))
		p = newPlan(c)
	}
	w := sweepBlock(b, c, p, true)
	w.approx = approx
	return w
}

// solution is one solve of the whole.
type solution struct {
	Marginals
	z       scaled
	logBase float64
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
	out.JointLeaks, out.Arrives, out.Elsewhere, out.Shared = r.leaks, r.arrives, r.elsewhere, r.shared
	out.Cause = make([][]float64, len(blocks))
	both(len(blocks), touched == nil, func(j int) {
		b := blocks[j]
		if touched == nil || touched[j] {
			out.Cause[j] = b.causes(r.coef[j])
		} else {
			out.Cause[j] = make([]float64, b.c.n)
			for config, part := range b.causesByConfig() {
				if k := r.coef[j][config]; k != 0 {
					for i, x := range part {
						out.Cause[j][i] += k * x
					}
				}
			}
		}
		for i, p := range out.Cause[j] {
			out.Cause[j][i] = clamp01(p)
		}
	})
	return out
}

// both runs f for 0..n-1; several at once if that pays. f must touch only its own index.
func both(n int, parallel bool, f func(j int)) {
	if !parallel || n < 2 {
		for j := 0; j < n; j++ {
			f(j)
		}
		return
	}
	var wg sync.WaitGroup
	for j := 0; j < n; j++ {
		wg.Add(1)
		go func() {
			defer wg.Done()
			f(j)
		}()
	}
	wg.Wait()
}
