package optimum

// greedy follows the batches of largest rate without checks, on memory of its own that is
// used again from one course to the next. The leading repairs of a cluster are worked out
// anew only when something they rest on has changed.
type greedy struct {
	s      *state
	first  [][]int // useful repairs by cluster at the start
	lists  [][]int // what is left of them
	place  []int   // list of each repair, -1 = none
	leads  []lead
	dirty  []bool
	faults []undo
	sets   []undo
	picked []bool
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
	if s.mass < vanish {
		return 0
	}
	g := greedy{}
	g.lay(s)
	v := min(g.course(false), s.mass*s.x.LastResort)
	g.lay(s)
	return min(v, g.course(true))
}

func (g *greedy) lay(s *state) {
	if g.s == nil {
		g.s = s.fork()
		_, g.first = s.places()
		g.place = make([]int, len(s.x.Repairs))
	} else {
		n := g.s
		copy(n.done, s.done)
		copy(n.wet, s.wet)
		copy(n.fault, s.fault)
		n.open, n.mass = s.open, s.mass
	}
	g.lists = append(g.lists[:0], g.first...)
	for i := range g.place {
		g.place[i] = -1
	}
	for i, l := range g.lists {
		for _, r := range l {
			g.place[r] = i
		}
	}
	g.leads = make([]lead, len(g.lists))
	g.dirty = make([]bool, len(g.lists))
	g.picked = make([]bool, len(g.lists))
	for i := range g.dirty {
		g.dirty[i] = true
	}
}

// try makes an attempt that back can take back.
func (g *greedy) try(r int) float64 {
	for _, f := range g.s.x.fixes[r] {
		g.faults = append(g.faults, undo{f, g.s.fault[f]})
		for _, e := range g.s.x.holds[f] {
			g.sets = append(g.sets, undo{e, g.s.wet[e]})
		}
	}
	c, _ := g.s.attempt(r)
	return c
}

type mark struct {
	open         uint64
	mass         float64
	faults, sets int
}

func (g *greedy) mark() mark { return mark{g.s.open, g.s.mass, len(g.faults), len(g.sets)} }

func (g *greedy) back(m mark, repairs []int) {
	for i := len(g.faults) - 1; i >= m.faults; i-- {
		g.s.fault[g.faults[i].i] = g.faults[i].was
	}
	for i := len(g.sets) - 1; i >= m.sets; i-- {
		g.s.wet[g.sets[i].i] = g.sets[i].was
	}
	for _, r := range repairs {
		g.s.done[r]--
	}
	g.faults, g.sets, g.s.open, g.s.mass = g.faults[:m.faults], g.sets[:m.sets], m.open, m.mass
}

func (g *greedy) lead(i int, single bool) lead {
	x, m := g.s.x, g.mark()
	best, t, made := lead{}, 0.0, 0
	for k, r := range g.lists[i] {
		t += g.try(r)
		made++
		rate := (m.mass - g.s.mass) / max(t+x.closeCost(g.s.open&x.shut)+x.Retest, 1e-12)
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

func (g *greedy) course(single bool) float64 {
	s, x := g.s, g.s.x
	t, best := 0.0, s.mass*x.LastResort
	for s.mass > vanish {
		for i := range g.lists {
			if g.dirty[i] {
				g.leads[i], g.dirty[i] = g.lead(i, single), false
			}
			g.picked[i] = false
		}
		i := g.next()
		if i < 0 || g.leads[i].rate*x.LastResort < giveUp*s.mass {
			break
		}
		t += g.round(i, single)
		if t >= best {
			return best
		}
		best = min(best, t+s.mass*x.LastResort)
	}
	if s.mass <= vanish {
		best = min(best, t)
	}
	return best
}

// round makes the batch that begins with a list's leading repairs and its retest.
func (g *greedy) round(i int, single bool) float64 {
	s, x := g.s, g.s.x
	start, before := g.mark(), s.mass
	minutes, rate := 0.0, g.leads[i].rate
	g.picked[i] = true
	for _, r := range g.lists[i][:g.leads[i].n] {
		minutes += g.try(r)
	}
	g.take(i, g.leads[i].n)
	for !single {
		i = g.next()
		if i < 0 || g.leads[i].rate < rate/4 {
			break
		}
		g.picked[i] = true
		m, t, kept := g.mark(), minutes, 0
		made := g.lists[i][:g.leads[i].n]
		good := m
		for k, r := range made {
			t += g.try(r)
			now := (before - s.mass) / max(t+x.closeCost(s.open&x.shut)+x.Retest, 1e-12)
			if now > rate {
				kept, rate, minutes, good = k+1, now, t, g.mark()
			}
		}
		g.back(good, made[kept:])
		g.take(i, kept)
	}
	cost := before*minutes + s.retest(before)
	for _, u := range g.faults[start.faults:] {
		for _, r := range x.mends(u.i) {
			if p := g.place[r]; p >= 0 {
				g.dirty[p] = true
			}
		}
	}
	if s.open != start.open {
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
