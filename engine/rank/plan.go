package rank

import (
	"math"
	"math/bits"
	"slices"
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
	store    int     // most state values to remember, see storeLimit
	looseLog float64 // logarithm of the leaks of loose bits that nothing outside can explain either
}

// planWidth is the width from which a second order is worth trying.
const planWidth = 8

// newPlan orders the causes greedily by one of three rules, whichever is cheapest: the cause that opens fewest and closes most,
// the cause that opens fewest, or all causes of the finding that can be closed with fewest others open. Bits that an outer
// variable reads stay open to the end. Work: causes squared, for sets of up to 64 findings.
func newPlan(c *compiled) *plan {
	best := newPlanner(c).byCause(func(opens, closes int) int { return (opens-closes)*64 + opens })
	if best.width <= planWidth {
		return best
	}
	for _, p := range []*plan{
		newPlanner(c).byCause(func(opens, closes int) int { return opens*64 - closes }),
		newPlanner(c).byFinding(),
	} {
		if p.cost < best.cost {
			best = p
		}
	}
	return best
}

// planner is the state of the greedy ordering. Sets of bits are words of 64.
type planner struct {
	p        *plan
	words    int
	reads    [][]link // by cause: bit (as pos) and q
	sets     []uint64 // by cause: its bits, words to a cause
	isOpen   []uint64 // bits that are or were open
	isLast   []uint64 // bits with one reader left
	readers  []int
	position []int
	open     []int
	opens    []int // arenas of the steps
	closes   []int
	links    []link
}

func newPlanner(c *compiled) *planner {
	words := (len(c.bits) + 63) / 64
	o := &planner{
		p: &plan{steps: make([]step, 0, c.n), store: storeLimit}, words: words, reads: make([][]link, c.n), sets: make([]uint64, words*c.n),
		isOpen: make([]uint64, words), isLast: make([]uint64, words), readers: make([]int, len(c.bits)), position: make([]int, len(c.bits)),
		opens: make([]int, 0, len(c.bits)), closes: make([]int, 0, len(c.bits)),
	}
	counts, total := make([]int, c.n), 0
	for _, b := range c.bits {
		for _, l := range b.links {
			if l.v < c.n && c.present[l.v] > 0 {
				counts[l.v]++
				total++
			}
		}
	}
	o.links = make([]link, 0, total)
	arena := make([]link, total)
	for i, n := range counts {
		o.reads[i], arena = arena[:0:n], arena[n:]
	}
	for j, b := range c.bits {
		outer := false
		for _, l := range b.links {
			if l.v >= c.n {
				outer = true
			} else if c.present[l.v] > 0 {
				o.reads[l.v] = append(o.reads[l.v], link{j, l.q})
				o.sets[l.v*words+j/64] |= 1 << (j % 64)
				o.readers[j]++
			}
		}
		switch {
		case o.readers[j] == 0:
			o.p.loose = append(o.p.loose, j)
			if !outer {
				o.p.looseLog += math.Log(b.leak)
			}
		case outer:
			o.readers[j]++ // never closed here
		}
		o.mark(j)
	}
	return o
}

func (o *planner) mark(j int) {
	if o.readers[j] == 1 {
		o.isLast[j/64] |= 1 << (j % 64)
	} else {
		o.isLast[j/64] &^= 1 << (j % 64)
	}
}

// idle takes the causes without a positive finding and gives the others.
func (o *planner) idle() (waiting []int) {
	for i, r := range o.reads {
		if len(r) == 0 {
			o.take(i)
		} else {
			waiting = append(waiting, i)
		}
	}
	return waiting
}

// byFinding closes one finding after another: the one whose remaining causes open fewest, and of these close most, others.
func (o *planner) byFinding() *plan {
	readersOf := make([][]int, len(o.readers))
	for _, i := range o.idle() {
		for _, r := range o.reads[i] {
			readersOf[r.pos] = append(readersOf[r.pos], i)
		}
	}
	taken := make([]bool, len(o.reads))
	opened, left := make([]uint64, o.words), make([]int, len(o.readers))
	for {
		best, bestKey := -1, math.MaxInt
		for j, causes := range readersOf {
			copy(opened, o.isOpen)
			copy(left, o.readers)
			some, closes := false, 0
			for _, i := range causes {
				if taken[i] {
					continue
				}
				some = true
				for _, r := range o.reads[i] {
					opened[r.pos/64] |= 1 << (r.pos % 64)
					if left[r.pos]--; left[r.pos] == 0 {
						closes++
					}
				}
			}
			if !some {
				continue
			}
			opens := 0
			for k, set := range opened {
				opens += bits.OnesCount64(set &^ o.isOpen[k])
			}
			if key := (opens-closes)*64 + opens; key < bestKey {
				best, bestKey = j, key
			}
		}
		if best < 0 {
			o.p.kept = o.open
			return o.p
		}
		var group []int
		for _, i := range readersOf[best] {
			if !taken[i] {
				taken[i] = true
				group = append(group, i)
			}
		}
		o.takeLeast(group, func(opens, closes int) int { return (opens-closes)*64 + opens })
	}
}

// byCause takes always the cause with the least key.
func (o *planner) byCause(key func(opens, closes int) int) *plan {
	o.takeLeast(o.idle(), key)
	o.p.kept = o.open
	return o.p
}

func (o *planner) takeLeast(waiting []int, key func(opens, closes int) int) {
	for len(waiting) > 0 {
		best, bestKey := 0, math.MaxInt
		for w, i := range waiting {
			opens, closes := 0, 0
			for k, set := range o.sets[i*o.words : (i+1)*o.words] {
				opens += bits.OnesCount64(set &^ o.isOpen[k])
				closes += bits.OnesCount64(set & o.isLast[k])
			}
			if k := key(opens, closes); k < bestKey {
				best, bestKey = w, k
			}
		}
		i := waiting[best]
		waiting = append(waiting[:best], waiting[best+1:]...)
		o.take(i)
	}
}

func (o *planner) take(i int) {
	p, reads := o.p, o.reads[i]
	s := step{cause: i, turn: len(p.steps)}
	opens, closes, links := len(o.opens), len(o.closes), len(o.links)
	for _, r := range reads {
		j := r.pos
		if o.isOpen[j/64]>>(j%64)&1 == 0 {
			o.isOpen[j/64] |= 1 << (j % 64)
			o.position[j] = len(o.open)
			o.open = append(o.open, j)
			o.opens = append(o.opens, j)
		}
		o.links = append(o.links, link{o.position[j], r.q})
	}
	s.opens, s.links = o.opens[opens:len(o.opens):len(o.opens)], o.links[links:len(o.links):len(o.links)]
	slices.SortFunc(s.links, func(a, b link) int { return a.pos - b.pos })
	s.width = len(o.open)
	for k := len(s.links) - 1; k >= 0; k-- { // from the highest position down
		at := s.links[k].pos
		j := o.open[at]
		o.readers[j]--
		if o.readers[j] == 0 {
			o.closes = append(o.closes, at)
			o.open = append(o.open[:at], o.open[at+1:]...)
		}
		o.mark(j)
	}
	s.closes = o.closes[closes:len(o.closes):len(o.closes)]
	if len(s.closes) > 0 {
		for at, j := range o.open {
			o.position[j] = at
		}
	}
	p.steps = append(p.steps, s)
	p.width = max(p.width, s.width)
	p.cost += math.Ldexp(float64(len(s.links)+2), s.width)
}
