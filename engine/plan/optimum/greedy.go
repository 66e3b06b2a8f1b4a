package optimum

import "slices"

// greedy follows the batches of largest rate without checks, on memory of its own that is
// used again from one course to the next. The leading repairs of a cluster are worked out
// anew only when something they rest on has changed.
type greedy struct {
	s      *state
	first  [][]int // useful repairs by cluster at the start
	placed placing
	lists  [][]int // what is left of them
	place  []int   // list of each repair, -1 = none
	leads  []lead
	dirty  []bool
	faults []undo
	sets   []undo
	picked []bool
	log    [][]int // the batches made, where they are kept
	keep   bool
}

type lead struct {
	n    int
	rate float64
}

type undo struct {
	i   int
	was float64
}

// giveUp is the share of the last resort's own rate below which a course is not followed
// further. The rates of what is left grow as attempts fail, so it is well below 1.
const giveUp = 0.25

// base is the cost, times the chance of the state, of going on without checks: the better of
// the batches of largest rate, and of single repairs of largest rate, each ended by the last
// resort where that is cheaper.
func (s *state) base() float64 {
	if s.mass() < vanish {
		return 0
	}
	g, _ := s.x.idle.Get().(*greedy)
	if g == nil {
		g = &greedy{}
	}
	g.first = nil
	g.lay(s)
	v, _ := g.course(false)
	if !s.x.quick {
		g.lay(s)
		w, _ := g.course(true)
		v = min(v, w)
	}
	s.x.idle.Put(g)
	return v
}

// course is the base policy as the batches that it makes; after them comes the last resort.
func (s *state) course() [][]int {
	if s.mass() < vanish {
		return nil
	}
	g := greedy{keep: true}
	g.lay(s)
	v, n := g.course(false)
	out := g.log[:n]
	g.log = nil
	g.lay(s)
	if w, n := g.course(true); w < v {
		out = g.log[:n]
	}
	return out
}

// along is what these batches cost from a state, times its chance, left for the last resort
// where that is cheapest.
func (s *state) along(batches [][]int) float64 {
	t, best := 0.0, s.mass()*s.x.LastResort
	for _, repairs := range batches {
		repairs = slices.DeleteFunc(slices.Clone(repairs), func(r int) bool { return int(s.done[r]) >= s.x.tries(r) })
		if len(repairs) == 0 || s.mass() < vanish {
			continue
		}
		b := s.bunch(repairs)
		t, s = t+b.minutes, b.after
		best = min(best, t+s.mass()*s.x.LastResort)
	}
	if s.mass() < vanish {
		best = min(best, t)
	}
	return best
}

func (g *greedy) lay(s *state) {
	if g.s == nil {
		g.s = s.fork()
		g.place = make([]int, len(s.x.Repairs))
	} else {
		n := *s
		n.done = append(g.s.done[:0], s.done...)
		n.wet = append(g.s.wet[:0], s.wet...)
		n.fault = append(g.s.fault[:0], s.fault...)
		*g.s = n
	}
	if g.first == nil {
		_, g.first = s.placesIn(&g.placed)
	}
	g.faults, g.sets = g.faults[:0], g.sets[:0]
	g.lists = append(g.lists[:0], g.first...)
	for i := range g.place {
		g.place[i] = -1
	}
	for i, l := range g.lists {
		for _, r := range l {
			g.place[r] = i
		}
	}
	g.leads, g.dirty, g.picked = g.leads[:0], g.dirty[:0], g.picked[:0]
	for range g.lists {
		g.leads, g.dirty, g.picked = append(g.leads, lead{}), append(g.dirty, true), append(g.picked, false)
	}
}

// try makes an attempt that back can take back: minutes, and mending times its chance.
func (g *greedy) try(r int) (minutes, mending float64) {
	for _, f := range g.s.x.fixes[r] {
		g.faults = append(g.faults, undo{f, g.s.fault[f]})
		if g.s.x.wide[r] {
			continue
		}
		for _, e := range g.s.x.holds[f] {
			g.sets = append(g.sets, undo{e, g.s.wet[e]})
		}
	}
	if g.s.x.wide[r] {
		for e, was := range g.s.wet {
			g.sets = append(g.sets, undo{e, was})
		}
	}
	return g.s.attempt(r)
}

// mark is where a fork stood before attempts.
type mark struct {
	state        // its slices are those of the fork and change with it
	faults, undo int
}

func (g *greedy) mark() mark { return mark{*g.s, len(g.faults), len(g.sets)} }

func (g *greedy) back(m mark, repairs []int) {
	for i := len(g.faults) - 1; i >= m.faults; i-- {
		g.s.fault[g.faults[i].i] = g.faults[i].was
	}
	for i := len(g.sets) - 1; i >= m.undo; i-- {
		g.s.wet[g.sets[i].i] = g.sets[i].was
	}
	for _, r := range repairs {
		g.s.done[r]--
	}
	g.faults, g.sets, g.s.open, g.s.sets = g.faults[:m.faults], g.sets[:m.undo], m.open, m.sets
}

func (g *greedy) lead(i int, single bool) lead {
	m := g.mark()
	best, t, mending, made := lead{}, 0.0, 0.0, 0
	for k, r := range g.lists[i] {
		c, mend := g.try(r)
		t, mending = t+c, mending+mend
		made++
		rate := m.rate(g.s, t, mending)
		if rate <= best.rate {
			break
		}
		best = lead{k + 1, rate}
		if single {
			break
		}
	}
	g.back(m, g.lists[i][:made])
	return best
}

// next is the list with the highest rate that is not yet picked, -1 when there is none.
func (g *greedy) next() int {
	win := -1
	for i, l := range g.leads {
		if !g.picked[i] && l.n > 0 && (win < 0 || l.rate > g.leads[win].rate) {
			win = i
		}
	}
	return win
}

// course gives the cost times the chance, and after how many batches the last resort is best.
func (g *greedy) course(single bool) (cost float64, batches int) {
	s, x := g.s, g.s.x
	t, best, n, rounds := 0.0, s.mass()*x.LastResort, 0, 0
	for s.mass() > vanish {
		for i := range g.lists {
			if g.dirty[i] {
				g.leads[i], g.dirty[i] = g.lead(i, single), false
			}
			g.picked[i] = false
		}
		i := g.next()
		if i < 0 || g.leads[i].rate*x.LastResort < giveUp*s.mass() {
			break
		}
		t += g.round(i, single)
		rounds++
		if t >= best {
			return best, n
		}
		if v := t + s.mass()*x.LastResort; v < best {
			best, n = v, rounds
		}
	}
	if s.mass() <= vanish && t < best {
		best, n = t, rounds
	}
	return best, n
}

// round makes the batch that begins with a list's leading repairs and its retest.
func (g *greedy) round(i int, single bool) float64 {
	s, x := g.s, g.s.x
	start := g.mark()
	minutes, mending, rate := 0.0, 0.0, g.leads[i].rate
	g.picked[i] = true
	var all []int
	if g.keep {
		all = append(all, g.lists[i][:g.leads[i].n]...)
	}
	for _, r := range g.lists[i][:g.leads[i].n] {
		c, mend := g.try(r)
		minutes, mending = minutes+c, mending+mend
	}
	g.take(i, g.leads[i].n)
	for !single {
		i = g.next()
		if i < 0 || g.leads[i].rate < rate/4 {
			break
		}
		g.picked[i] = true
		m, t, mends, kept := g.mark(), minutes, mending, 0
		made := g.lists[i][:g.leads[i].n]
		good := m
		for k, r := range made {
			c, mend := g.try(r)
			t, mends = t+c, mends+mend
			if now := start.rate(s, t, mends); now > rate {
				kept, rate, minutes, mending, good = k+1, now, t, mends, g.mark()
			}
		}
		if g.keep {
			all = append(all, made[:kept]...)
		}
		g.back(good, made[kept:])
		g.take(i, kept)
	}
	if g.keep {
		g.log = append(g.log, all)
	}
	cost := start.mass()*minutes + mending + start.retest(s)
	for _, u := range g.faults[start.faults:] {
		for _, r := range x.mends(u.i) {
			if p := g.place[r]; p >= 0 {
				g.dirty[p] = true
			}
		}
	}
	if s.open != start.open || len(s.bad)+len(start.bad) > 0 {
		for p := range g.dirty {
			g.dirty[p] = true
		}
	}
	g.faults, g.sets = g.faults[:0], g.sets[:0]
	return cost
}

// take drops from a list the repairs made that cannot be made again.
func (g *greedy) take(i, n int) {
	var rest []int
	for k, r := range g.lists[i] {
		if k >= n || int(g.s.done[r]) < g.s.x.tries(r) {
			rest = append(rest, r)
		}
	}
	if n > 0 {
		g.lists[i] = rest
		g.dirty[i] = true
	}
}
