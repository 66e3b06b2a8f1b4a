package rank

import "slices"

// Alternative is the posterior of another assembly that has the same joints and shared causes and differs in
// what is known of some of them. Sweeps of joints that are the same in both are kept, so that
// it costs little more than Factors of the joints that differ. It falls back on a new solver
// where the two do not compare.
func (s *Solver) Alternative(a Assembly) (AssemblyPosterior, error) {
	if err := a.check(); err != nil {
		return AssemblyPosterior{}, err
	}
	if !s.compares(&a) {
		return SolveAssembly(a)
	}
	cp, err := newCoupling(&a)
	if err != nil {
		return AssemblyPosterior{}, err
	}
	changed := make([]*Block, len(a.Blocks))
	for j := range a.Blocks {
		if !sameEvidence(&a.Blocks[j], &s.a.Blocks[j]) {
			changed[j] = &a.Blocks[j]
		}
	}
	blocks, touched := s.replace(changed)
	r := s.solve(blocks, touched, cp, newCircumstances(&a))
	release(blocks, touched)
	for _, b := range blocks {
		if b.approx {
			return SolveAssembly(a)
		}
	}
	if r.err != nil {
		return AssemblyPosterior{}, r.err
	}
	post := r.posterior()
	post.Exact = true
	return post, nil
}

// compares reports whether the sweeps of this solver mean the same in the other assembly.
func (s *Solver) compares(a *Assembly) bool {
	if !s.post.Exact || len(a.Blocks) != len(s.a.Blocks) || a.AtOnce != s.a.AtOnce || !slices.EqualFunc(a.Shared, s.a.Shared, bothPossible) {
		return false
	}
	for j := range a.Blocks {
		b, o := &a.Blocks[j], &s.a.Blocks[j]
		if len(b.Prior) != len(o.Prior) || !slices.Equal(b.Shared, o.Shared) || !slices.Equal(b.Above, o.Above) || !bothPossible(b.Elsewhere, o.Elsewhere) || !bothPossible(b.RunDown, o.RunDown) {
			return false
		}
	}
	return true
}

// bothPossible reports whether two chances are both above 0 or both 0.
func bothPossible(p, q float64) bool { return p > 0 == (q > 0) }

// sameEvidence reports whether two blocks would be swept alike.
func sameEvidence(a, b *Block) bool {
	return a.Weight == b.Weight && slices.Equal(a.Prior, b.Prior) && slices.EqualFunc(a.Findings, b.Findings, func(f, g Finding) bool {
		return f.ID == g.ID && f.State == g.State && f.Leak == g.Leak && f.Base == g.Base && slices.Equal(f.Links, g.Links)
	})
}

// Same reports whether two assemblies stand for the same network with the same evidence.
func (a *Assembly) Same(o *Assembly) bool {
	return a.Known == o.Known && a.WetMisread == o.WetMisread && a.AtOnce == o.AtOnce && slices.Equal(a.Shared, o.Shared) && slices.EqualFunc(a.Blocks, o.Blocks, func(b, c Block) bool {
		return b.Elsewhere == c.Elsewhere && b.RunDown == c.RunDown && b.Wet == c.Wet && b.Leaks == c.Leaks &&
			slices.Equal(b.Above, c.Above) && slices.Equal(b.Shared, c.Shared) && sameEvidence(&b, &c)
	})
}
