package rank

import "math"

// SharedBlock is the Block of a CauseRef that names a shared cause.
const SharedBlock = -1

// CauseRef names a cause of a joint, or with Cause = Block.ArrivesIndex() the place not on the list whose liquid arrives there,
// or with Block = SharedBlock a shared cause.
type CauseRef struct{ Block, Cause int }

// DryIf is the probability, under all evidence, that nothing leaks but what is treated: every present cause, every place not on
// the list and every activation belongs to the treated. A shared cause that is present but acts on no joint leaves it dry.
//
// Work: one forward sweep with the untreated causes fixed absent, which costs little for these; no backward sweep.
func (s *Solver) DryIf(treated []CauseRef) (float64, error) {
	if err := s.a.checkRefs("treated", treated); err != nil {
		return 0, err
	}
	in := make(map[CauseRef]bool, len(treated))
	for _, t := range treated {
		in[t] = true
	}
	c := newCircumstances(&s.a)
	blocks := make([]*swept, len(s.blocks))
	for j := range s.blocks {
		b, old := &s.a.Blocks[j], s.blocks[j]
		d := *old.c
		d.present = append([]float64(nil), d.present...)
		for i := range b.Prior {
			if !in[CauseRef{j, i}] {
				d.present[i] = 0
			}
		}
		if !in[CauseRef{j, b.ArrivesIndex()}] {
			c.elsePresent[j] = 0
		}
		for k, sh := range b.Shared {
			if !in[CauseRef{SharedBlock, sh.Cause}] {
				c.actOn[j][k] = 0
			}
		}
		blocks[j] = s.sweepAs(j, old, &d)
		blocks[j].release() // its tables are all that is needed
	}
	r := s.cp.forward(blocks, &c)
	return clamp01(math.Max(0, r.z.over(s.z))), nil
}

// DryIf is Solver.DryIf for a single use.
func DryIf(a Assembly, treated []CauseRef) (float64, error) {
	s, err := NewSolver(a, 0)
	if err != nil {
		return 0, err
	}
	return s.DryIf(treated)
}
