package rank

import (
	"errors"
	"math"
	"strconv"
)

// Change is what an answer would add at one joint: findings, and whether it is wet or leaks of itself. Unknown leaves as is.
type Change struct {
	Block      int
	Add        []Finding
	Wet, Leaks State
}

// Outcome is one possible answer: its probability under the evidence so far, and the posterior if it is given. An impossible
// answer has P = 0 and no posterior.
type Outcome struct {
	P         float64
	Posterior AssemblyPosterior
}

// LookAhead gives the outcome of each answer to one open question. The probabilities add up to 1 if the answers are all the
// answers there are. An answer is a list of changes at any joints; an empty list is an answer that says nothing.
//
// Work: per answer one forward and one backward sweep of each joint that it changes findings of; other joints as in Factors. The
// last of a complete set of yes/no or graded answers, and a likely yes, cost less: see ladder.
func (s *Solver) LookAhead(answers [][]Change) ([]Outcome, error) {
	for i, answer := range answers {
		if err := s.checkAnswer("answer "+strconv.Itoa(i), answer); err != nil {
			return nil, err
		}
	}
	l := &ladder{s: s, answers: answers, atMost: make([]*Outcome, len(answers))}
	out := make([]Outcome, len(answers))
	for i, answer := range answers {
		o, ok, err := l.outcome(i)
		if err == nil && !ok {
			o, err = s.outcome(answer)
		}
		if err != nil {
			return nil, err
		}
		out[i] = o
	}
	return out, nil
}

func (s *Solver) checkAnswer(where string, answer []Change) error {
	for _, ch := range answer {
		if ch.Block < 0 || ch.Block >= len(s.a.Blocks) {
			return badInput(where, "joint %d; there are joints 0 to %d", ch.Block, len(s.a.Blocks)-1)
		}
		b := &s.a.Blocks[ch.Block]
		if err := checkFindings(where+".Add", ch.Add, len(b.Prior)+1+len(b.Shared)); err != nil {
			return err
		}
	}
	return nil
}

// outcome solves with one answer added.
func (s *Solver) outcome(answer []Change) (Outcome, error) {
	c := newCircumstances(&s.a)
	changed := make([]*Block, len(s.a.Blocks))
	clash := false
	for _, ch := range answer {
		clash = set(&c.leaks[ch.Block], ch.Leaks) || clash
		clash = set(&c.wet[ch.Block], ch.Wet) || clash
		if len(ch.Add) == 0 {
			continue
		}
		d := s.a.Blocks[ch.Block]
		if changed[ch.Block] != nil {
			d = *changed[ch.Block]
		}
		d.Findings = append(append([]Finding(nil), d.Findings...), ch.Add...)
		changed[ch.Block] = &d
	}
	if clash {
		return Outcome{}, nil
	}
	blocks, touched := s.replace(changed)
	r := s.solve(blocks, touched, s.cp, c)
	release(blocks, touched)
	if errors.Is(r.err, ErrImpossible) {
		return Outcome{}, nil
	}
	if r.err != nil {
		return Outcome{}, r.err
	}
	o := Outcome{P: clamp01(r.z.over(s.z) * math.Exp(r.logBase-s.logBase)), Posterior: r.posterior()}
	o.Posterior.Exact = s.post.Exact
	for _, b := range blocks {
		o.Posterior.Exact = o.Posterior.Exact && !b.approx
	}
	return o, nil
}

// set puts a state in place of another; it says true where the two contradict each other.
func set(old *State, s State) bool {
	if s == Unknown {
		return false
	}
	clash := *old != Unknown && *old != s
	*old = s
	return clash
}

// LookAhead is Solver.LookAhead for a single use and answers at one joint.
func LookAhead(a Assembly, block int, answers [][]Finding) ([]Outcome, error) {
	s, err := NewSolver(a, 0)
	if err != nil {
		return nil, err
	}
	changes := make([][]Change, len(answers))
	for i, add := range answers {
		changes[i] = []Change{{Block: block, Add: add}}
	}
	return s.LookAhead(changes)
}
