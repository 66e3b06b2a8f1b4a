package rank

// fixer gives the probability of the evidence together with some causes fixed present or absent, and keeps the sweeps of joints
// by what is fixed at them. It serves one call and one goroutine.
type fixer struct {
	s     *Solver
	swept map[fixedJoint]*swept
}

// fixedJoint is a joint with a letter for each cause: free, absent or present.
type fixedJoint struct {
	joint  int
	causes string
}

// The letters of what is fixed.
const (
	free    = '?'
	absent  = '0'
	present = '1'
)

// fixing says what is fixed: by joint the causes and then the place not on the list, and the shared causes.
type fixing struct {
	joints [][]byte
	shared []byte
}

func newFixer(s *Solver) *fixer { return &fixer{s: s, swept: map[fixedJoint]*swept{}} }

func (a *Assembly) nothingFixed() fixing {
	f := fixing{joints: make([][]byte, len(a.Blocks)), shared: letters(len(a.Shared))}
	for j := range a.Blocks {
		f.joints[j] = letters(len(a.Blocks[j].Prior) + 1)
	}
	return f
}

func letters(n int) []byte {
	b := make([]byte, n)
	for i := range b {
		b[i] = free
	}
	return b
}

// with is a copy in which c is fixed.
func (f fixing) with(c CauseRef, letter byte) fixing {
	g := fixing{joints: append([][]byte(nil), f.joints...), shared: f.shared}
	if c.Block == SharedBlock {
		g.shared = append([]byte(nil), f.shared...)
		g.shared[c.Cause] = letter
		return g
	}
	g.joints[c.Block] = append([]byte(nil), f.joints[c.Block]...)
	g.joints[c.Block][c.Cause] = letter
	return g
}

// restAbsent is a copy in which everything that is free is absent.
func (f fixing) restAbsent() fixing {
	rest := func(from []byte) []byte {
		to := append([]byte(nil), from...)
		for i, l := range to {
			if l == free {
				to[i] = absent
			}
		}
		return to
	}
	g := fixing{joints: make([][]byte, len(f.joints)), shared: rest(f.shared)}
	for j := range f.joints {
		g.joints[j] = rest(f.joints[j])
	}
	return g
}

// z is the probability of the evidence and of what is fixed, on the scale of the solver's own. Work: one forward sweep of each
// joint that was not yet fixed in this way.
func (x *fixer) z(f fixing) scaled {
	s := x.s
	c := newCircumstances(&s.a)
	weight := scaled{1, 0}
	for k, l := range f.shared {
		switch p := s.a.Shared[k]; l {
		case absent:
			weight = weight.times(1 - p)
			c.fixShared(k, 0)
		case present:
			weight = weight.times(p)
			c.fixShared(k, 1)
		}
	}
	blocks := make([]*swept, len(s.blocks))
	for j := range blocks {
		n := len(s.a.Blocks[j].Prior)
		switch f.joints[j][n] {
		case absent:
			c.elsePresent[j] = 0
		case present:
			c.elseAbsent[j] = 0
		}
		key := fixedJoint{j, string(f.joints[j][:n])}
		if x.swept[key] == nil {
			x.swept[key] = x.sweep(key)
		}
		blocks[j] = x.swept[key]
	}
	r := s.cp.forward(blocks, &c)
	return scaled{r.z.v * weight.v, r.z.e + weight.e}.normal()
}

func (c *circumstances) fixShared(k int, p float64) {
	c.shared = append([]float64(nil), c.shared...)
	c.shared[k] = p
}

func (x *fixer) sweep(key fixedJoint) *swept {
	old := x.s.blocks[key.joint]
	d := *old.c
	d.absent, d.present = append([]float64(nil), d.absent...), append([]float64(nil), d.present...)
	for i, l := range key.causes {
		switch l {
		case absent:
			d.present[i] = 0
		case present:
			d.absent[i] = 0
			d.off = 0 // a cause that is present has its switch on
		}
	}
	w := sweepBlock(&x.s.a.Blocks[key.joint], &d, old.p, old.acts, false)
	w.release() // its tables are all that is needed
	return w
}

// Pair gives the joint posterior of two different causes of an assembly; either may be a place not on the list or a shared
// cause. ErrTooWide where the posterior is not exact. Work: at most four forward sweeps of the joints of the two.
func (s *Solver) Pair(a, b CauseRef) (PairPosterior, error) {
	if err := s.a.checkRefs("Pair", []CauseRef{a, b}); err != nil {
		return PairPosterior{}, err
	}
	if a == b {
		return PairPosterior{}, badInput("Pair", "cause %d of joint %d twice; use two different causes", a.Cause, a.Block)
	}
	if !s.post.Exact {
		return PairPosterior{}, ErrTooWide
	}
	x, f := newFixer(s), s.a.nothingFixed()
	var z [4]scaled
	var total scaled
	for k, l := range []string{"00", "10", "01", "11"} {
		z[k] = x.z(f.with(a, l[0]).with(b, l[1]))
		total = total.plus(z[k])
	}
	return PairPosterior{Neither: z[0].over(total), OnlyA: z[1].over(total), OnlyB: z[2].over(total), Both: z[3].over(total)}, nil
}
