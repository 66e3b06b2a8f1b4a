package rank

import (
	"math"
	"sort"
)

// DefaultWidth is the most positive findings that may be open at once for an exact result: 2^20 states.
const DefaultWidth = 20

// step takes one cause. Positions count the open findings in the order in which they were opened.
type step struct {
	cause  int
	turn   int   // place in the order
	opens  []int // bits appended to the state
	links  []link
	closes []int // positions, falling
	width  int   // open findings while the cause is taken
}

type link struct {
	pos int
	q   float64
}

// plan is the order of a sweep. It depends on which links exist, not on their strength, so it can be used again for the same
// compiled network with causes fixed.
type plan struct {
	steps    []step
	loose    []int // bits that no cause reads
	kept     []int // bits still open at the end, by position
	width    int
	cost     float64
	looseLog float64 // logarithm of the leaks of loose bits that nothing outside can explain either
}

// newPlan orders the causes greedily by two rules and keeps the cheaper order. Bits that an outer variable reads stay open to the
// end. Work: causes squared times their positive links.
func newPlan(c *compiled) *plan {
	first := greedy(c, func(open, opens, closes int) int { return (opens-closes)*64 + opens })
	second := greedy(c, func(open, opens, closes int) int { return opens*64 - closes })
	if second.cost < first.cost {
		return second
	}
	return first
}

func greedy(c *compiled, key func(open, opens, closes int) int) *plan {
	p := &plan{}
	reads := make([][]link, c.n) // by cause: bit and q
	readers := make([]int, len(c.bits))
	for j, b := range c.bits {
		outer := false
		for _, l := range b.links {
			if l.v >= c.n {
				outer = true
				continue
			}
			if c.present[l.v] > 0 {
				reads[l.v] = append(reads[l.v], link{j, l.q})
				readers[j]++
			}
		}
		if readers[j] == 0 {
			p.loose = append(p.loose, j)
			if !outer {
				p.looseLog += math.Log(b.leak)
			}
		} else if outer {
			readers[j]++ // never closed here
		}
	}
	position := make([]int, len(c.bits))
	for j := range position {
		position[j] = -1
	}
	var open []int
	take := func(i int) {
		s := step{cause: i, turn: len(p.steps)}
		for _, r := range reads[i] {
			if position[r.pos] < 0 {
				position[r.pos] = len(open)
				open = append(open, r.pos)
				s.opens = append(s.opens, r.pos)
			}
			s.links = append(s.links, link{position[r.pos], r.q})
		}
		sort.Slice(s.links, func(a, b int) bool { return s.links[a].pos < s.links[b].pos })
		s.width = len(open)
		for at := len(open) - 1; at >= 0; at-- {
			if last := lastReader(reads[i], open[at], readers); last {
				s.closes = append(s.closes, at)
				open = append(open[:at], open[at+1:]...)
			}
		}
		for _, r := range reads[i] {
			readers[r.pos]--
		}
		for at, j := range open {
			position[j] = at
		}
		p.steps = append(p.steps, s)
		p.width = max(p.width, s.width)
		p.cost += math.Ldexp(float64(len(s.links)+2), s.width)
	}
	var waiting []int
	for i := 0; i < c.n; i++ {
		if len(reads[i]) == 0 {
			take(i)
		} else {
			waiting = append(waiting, i)
		}
	}
	for len(waiting) > 0 {
		best, bestKey := 0, math.MaxInt
		for w, i := range waiting {
			opens, closes := 0, 0
			for _, r := range reads[i] {
				if position[r.pos] < 0 {
					opens++
				}
				if readers[r.pos] == 1 {
					closes++
				}
			}
			if k := key(len(open), opens, closes); k < bestKey {
				best, bestKey = w, k
			}
		}
		i := waiting[best]
		waiting = append(waiting[:best], waiting[best+1:]...)
		take(i)
	}
	p.kept = open
	return p
}

func lastReader(reads []link, j int, readers []int) bool {
	if readers[j] != 1 {
		return false
	}
	for _, r := range reads {
		if r.pos == j {
			return true
		}
	}
	return false
}
