package rank

import (
	"fmt"
	"math"
)

// FindingRef names a piece of evidence of an assembly: a finding of a joint by its index, or WetRef, LeaksRef, KnownRef.
type FindingRef struct{ Block, Finding int }

// Values of FindingRef.Finding for the evidence that is no Finding. KnownRef does not read Block.
const (
	WetRef   = -1
	LeaksRef = -2
	KnownRef = -3
)

// Factors says what a group of evidence did: for each item its odds with all evidence over its odds with the group taken back.
// 1 is "no matter", below 1 "lowers it". They do not depend on the order in which answers were given. Each is limited to
// smallestFactor..1/smallestFactor; what was certain either way has 1.
type Factors struct{ Marginals }

const smallestFactor = 1e-9

// Factors takes each group of evidence back together and compares. One answer may feed several findings: they belong in one
// group. Work: one forward and one backward sweep of each joint that a group touches; other joints cost a small sum, after
// 2^(1+s) backward sweeps once for a joint with s shared causes.
func (s *Solver) Factors(groups [][]FindingRef) ([]Factors, error) {
	out := make([]Factors, len(groups))
	for g, group := range groups {
		without, err := s.without(groupName(g), group)
		if err != nil {
			return nil, err
		}
		out[g].Marginals = s.post.combine(without, oddsFactor)
	}
	return out, nil
}

func groupName(g int) string { return fmt.Sprintf("group %d", g) }

func oddsFactor(with, without float64) float64 {
	if with == without {
		return 1
	}
	f := with * (1 - without) / ((1 - with) * without)
	if math.IsNaN(f) {
		return 1
	}
	return math.Max(smallestFactor, math.Min(1/smallestFactor, f))
}

func (s *Solver) without(where string, group []FindingRef) (Marginals, error) {
	c := newCircumstances(&s.a)
	cp := s.cp
	changed := make([]*Block, len(s.a.Blocks))
	for _, ref := range group {
		if ref.Finding == KnownRef {
			c.known = Unknown
			a := s.a
			a.Known = Unknown
			var err error
			if cp, err = newCoupling(&a); err != nil {
				return Marginals{}, err
			}
			continue
		}
		if ref.Block < 0 || ref.Block >= len(s.a.Blocks) {
			return Marginals{}, badInput(where, "joint %d; there are joints 0 to %d", ref.Block, len(s.a.Blocks)-1)
		}
		b := &s.a.Blocks[ref.Block]
		switch {
		case ref.Finding == WetRef:
			c.wet[ref.Block] = Unknown
		case ref.Finding == LeaksRef:
			c.leaks[ref.Block] = Unknown
		case ref.Finding < 0 || ref.Finding >= len(b.Findings):
			return Marginals{}, badInput(where, "finding %d of joint %d; there are findings 0 to %d", ref.Finding, ref.Block, len(b.Findings)-1)
		default:
			if changed[ref.Block] == nil {
				d := *b
				d.Findings = append([]Finding(nil), b.Findings...)
				changed[ref.Block] = &d
			}
			changed[ref.Block].Findings[ref.Finding].State = Unknown
		}
	}
	blocks, touched := s.replace(changed)
	r := s.solve(blocks, touched, cp, c)
	release(blocks, touched)
	return r.Marginals, r.err
}

// replace sweeps the changed joints anew and keeps the others.
func (s *Solver) replace(changed []*Block) (blocks []*swept, touched []bool) {
	blocks = append([]*swept(nil), s.blocks...)
	touched = make([]bool, len(blocks))
	for j, b := range changed {
		if b != nil {
			blocks[j], touched[j] = s.resweep(j, b), true
		}
	}
	return blocks, touched
}

// release gives back the memory of the sweeps of one solve.
func release(blocks []*swept, touched []bool) {
	for j, b := range blocks {
		if touched[j] {
			b.release()
		}
	}
}

// FactorsOf is Solver.Factors for a single use.
func FactorsOf(a Assembly, groups [][]FindingRef) ([]Factors, error) {
	s, err := NewSolver(a, 0)
	if err != nil {
		return nil, err
	}
	return s.Factors(groups)
}
