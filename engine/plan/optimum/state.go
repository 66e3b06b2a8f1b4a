package optimum

import (
	"cmp"
	"slices"
)

// state is where a job stands in a model of any size. It is copied, never changed, by steps.
type state struct {
	x    *machine
	open uint64
	done []uint8
	used []bool    // checks made
	w    []float64 // chance of each possibility together with the answers
	has  []float64 // likewise of each fault: that it was there at the start
	remain
	sets float64 // chance that something of the start is left
	// closed are the clusters that were closed since the start; where something of the start
	// is left each of them may be spoilt besides, with its own chance. Where nothing is left
	// and it still leaks, it is by the patterns of spoilt clusters in bad.
	closed uint64
	bad    []pattern
}

// pattern is a set of clusters that closing has spoilt, with its chance.
type pattern struct {
	spoilt uint64
	p      float64
}

func (x *machine) start() *state {
	s := &state{x: x, open: x.opened, done: make([]uint8, len(x.Repairs)), used: make([]bool, len(x.Checks)), w: x.weight, has: make([]float64, len(x.Faults))}
	for e, set := range x.sets {
		for _, f := range set {
			s.has[f] += s.w[e]
		}
	}
	s.remain = x.remaining(s.done)
	s.sets = dot(s.w, s.wet)
	return s
}

// mass is the chance of the state: that it still leaks, together with the answers.
func (s *state) mass() float64 {
	t := s.sets
	for _, b := range s.bad {
		t += b.p
	}
	return t
}

// answer is the state after the a-th answer of a check. A leak that a closing made is told by
// no check: it keeps its share of every answer.
func (s *state) answer(c, a int) *state {
	n := *s
	n.used = slices.Clone(s.used)
	n.used[c] = true
	n.open |= s.x.path[s.x.checkAt[c]]
	room := make([]float64, len(s.w)+len(s.has))
	n.w, n.has = room[:len(s.w):len(s.w)], room[len(s.w):]
	n.sets = 0
	all := 0.0
	for i, p := range s.x.tells[c][a] {
		w := s.w[i] * p
		n.w[i] = w
		n.sets += w * s.wet[i]
		all += w * (1 - s.wet[i])
		for _, f := range s.x.sets[i] {
			n.has[f] += w
		}
	}
	if len(s.bad) > 0 {
		was := 0.0
		for i, p := range s.w {
			was += p * (1 - s.wet[i])
		}
		n.bad = slices.Clone(s.bad)
		for i := range n.bad {
			n.bad[i].p *= all / max(was, 1e-300)
		}
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

// attempt makes a repair on a fork: its minutes with openings, and what the cures cost beside
// them, times their chance.
func (s *state) attempt(r int) (minutes, mending float64) {
	x := s.x
	path := x.path[x.mendAt[r]]
	minutes = x.openCost(path&^s.open) + x.Repairs[r].Minutes
	s.open |= path
	s.done[r]++
	mend, wide := x.Repairs[r].Mend, x.wide[r]
	for i, f := range x.fixes[r] {
		left := s.fault[f]
		if left == 0 {
			continue
		}
		s.fault[f] = left * (1 - x.chance[r][i])
		if mend != nil {
			mending += s.has[f] * left * x.chance[r][i] * mend[i]
		}
		if wide {
			continue // all sets below, each once
		}
		for _, e := range x.holds[f] {
			wet := x.wetness(e, s.fault)
			s.sets -= s.w[e] * (s.wet[e] - wet)
			s.wet[e] = wet
		}
	}
	if wide {
		s.sets = 0
		for e := range s.wet {
			s.wet[e] = x.wetness(e, s.fault)
			s.sets += s.w[e] * s.wet[e]
		}
	}
	s.sets = max(0, s.sets)
	return minutes, mending
}

// wetness is the chance that something of a set is left, by what is left of each fault.
func (x *machine) wetness(e int, left []float64) float64 {
	set := x.sets[e]
	if len(set) == 1 {
		return left[set[0]]
	}
	dry := 1.0
	for _, f := range set {
		dry *= 1 - left[f]
	}
	return 1 - dry
}

// promise is the chance that a repair cures something that is there, for putting repairs in order.
func (s *state) promise(r int) float64 {
	if int(s.done[r]) >= s.x.tries(r) {
		return 0
	}
	p := 0.0
	for i, f := range s.x.fixes[r] {
		if s.fault[f] == 0 {
			continue
		}
		p += s.has[f] * s.fault[f] * s.x.chance[r][i]
	}
	for _, b := range s.bad {
		if b.spoilt&^s.x.path[s.x.mendAt[r]] == 0 {
			p += b.p
		}
	}
	return p
}

// gain is what a batch made on a fork takes from the chance of a wet retest, s being the
// state before it.
func (s *state) gain(n *state) float64 {
	x := s.x
	cured := s.sets - n.sets
	if x.spoils == 0 {
		return cured
	}
	again := n.open & x.shut & x.spoils
	t := cured * x.pass(s.closed|again)
	for _, b := range s.bad {
		if b.spoilt&^again == 0 {
			t += b.p * x.pass(again)
		}
	}
	return t
}

// retest closes a fork after its attempts, s being the state before them: minutes times the
// chance of the state.
func (s *state) retest(n *state) float64 {
	x := s.x
	shut := n.open & x.shut
	before := s.mass()
	t := before * (x.closeCost(shut) + x.Retest)
	if x.spoils != 0 {
		again := shut & x.spoils
		n.closed = s.closed | again
		n.bad = x.close(s.bad, again, s.sets-n.sets, n.closed)
	}
	n.open &^= x.shut
	return t + (before-n.mass())*x.closeCost(n.open)
}

// vague is the chance of a pattern of spoilt clusters below which it is not followed.
const vague = 1e-7

// close draws anew the clusters that are closed again: from what was spoilt before, and from
// what was cured just now, of which all closed clusters may be spoilt. What is not spoilt is dry.
func (x *machine) close(bad []pattern, again uint64, cured float64, closed uint64) []pattern {
	all := make(map[uint64]float64, 8)
	var draw func(k int, set, spoilt uint64, p float64)
	draw = func(k int, set, spoilt uint64, p float64) {
		if p < vague {
			return
		}
		for ; k < len(x.Clusters); k++ {
			if set>>k&1 == 1 {
				pass := x.Clusters[k].Pass
				draw(k+1, set, spoilt|1<<k, p*(1-pass))
				p *= pass
			}
		}
		all[spoilt] += p
	}
	for _, b := range bad {
		draw(0, again, b.spoilt&^again, b.p)
	}
	draw(0, closed, 0, cured)
	var out []pattern
	for spoilt, p := range all {
		if spoilt != 0 {
			out = append(out, pattern{spoilt, p})
		}
	}
	slices.SortFunc(out, func(a, b pattern) int { return cmp.Compare(a.spoilt, b.spoilt) })
	return out
}

// pass is the chance that closing these clusters spoils nothing.
func (x *machine) pass(set uint64) float64 {
	p := 1.0
	for i := range x.Clusters {
		if set>>i&1 == 1 {
			p *= x.Clusters[i].Pass
		}
	}
	return p
}
