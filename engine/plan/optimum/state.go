package optimum

import "slices"

// state is where a job stands in a model of any size. It is copied, never changed, by steps.
type state struct {
	x    *machine
	open uint64
	done []uint8
	used []bool    // checks made
	w    []float64 // chance of each possibility together with the answers
	remain
	mass float64
}

func (x *machine) start() *state {
	s := &state{x: x, done: make([]uint8, len(x.Repairs)), used: make([]bool, len(x.Checks)), w: x.weight}
	s.remain = x.remaining(s.done)
	s.mass = dot(s.w, s.wet)
	return s
}

// answer is the state after a check, and the minutes of it with its openings.
func (s *state) answer(c int, yes bool) *state {
	n := *s
	n.used = slices.Clone(s.used)
	n.used[c] = true
	n.open |= s.x.path[s.x.checkAt[c]]
	n.w = make([]float64, len(s.w))
	n.mass = 0
	for i, p := range s.x.yes[c] {
		if !yes {
			p = 1 - p
		}
		n.w[i] = s.w[i] * p
		n.mass += n.w[i] * s.wet[i]
	}
	return &n
}

func (s *state) checkCost(c int) float64 {
	return s.x.openCost(s.x.path[s.x.checkAt[c]]&^s.open) + s.x.Checks[c].Minutes
}

// fork is a copy on which attempts can be tried out.
func (s *state) fork() *state {
	n := *s
	n.done = slices.Clone(s.done)
	n.wet = slices.Clone(s.wet)
	n.fault = slices.Clone(s.fault)
	return &n
}

// attempt makes a repair on a fork and gives its minutes with openings and what it takes from
// the chance of a wet retest.
func (s *state) attempt(r int) (cost, gain float64) {
	x := s.x
	path := x.path[x.mendAt[r]]
	cost = x.openCost(path&^s.open) + x.Repairs[r].Minutes
	s.open |= path
	s.done[r]++
	before := s.mass
	for _, f := range x.fixes[r] {
		if s.fault[f] == 0 {
			continue
		}
		s.fault[f] *= 1 - x.success(r)
		for _, e := range x.holds[f] {
			wet := s.fault[f]
			if len(x.sets[e]) > 1 {
				dry := 1.0
				for _, g := range x.sets[e] {
					dry *= 1 - s.fault[g]
				}
				wet = 1 - dry
			}
			s.mass -= s.w[e] * (s.wet[e] - wet)
			s.wet[e] = wet
		}
	}
	s.mass = max(0, s.mass)
	return cost, before - s.mass
}

// promise is the chance that a repair cures something that is there, for putting repairs in order.
func (s *state) promise(r int) float64 {
	if int(s.done[r]) >= s.x.tries(r) {
		return 0
	}
	p := 0.0
	for _, f := range s.x.fixes[r] {
		if s.fault[f] == 0 {
			continue
		}
		for _, e := range s.x.holds[f] {
			p += s.w[e] * s.wet[e]
		}
	}
	return p * s.x.success(r)
}

// retest closes a fork after its attempts: minutes in terms of the chance before the batch.
func (s *state) retest(before float64) float64 {
	t := before * (s.x.closeCost(s.open&s.x.shut) + s.x.Retest)
	s.open &^= s.x.shut
	return t + (before-s.mass)*s.x.closeCost(s.open)
}
