package rank

import "math"

// weighedBlock is a joint whose sets of causes are weighed one by one: for each configuration a network of its own, in which the
// configuration is part of the base rates.
type weighedBlock struct {
	c       *compiled
	acts    *family
	configs []*weighedConfig // nil where the configuration has no weight
}

type weighedConfig struct {
	w    *weigher
	unit scaled // what the weigher's weight 1 is worth with the switch on
	off  scaled
}

func newWeighedBlock(b *Block, c *compiled, acts *family) *weighedBlock {
	g := &weighedBlock{c: c, acts: acts, configs: make([]*weighedConfig, 2*len(acts.masks))}
	on, off := b.switchWeights()
	explained := make([]float64, len(c.bits))
	for config := range g.configs {
		weight := c.under(acts.outer(config), explained)
		if weight.v == 0 {
			continue
		}
		d := *c
		d.outer, d.bits = 0, make([]bit, len(c.bits))
		x := &weighedConfig{off: weight.times(off * c.off)}
		for j, bt := range c.bits {
			d.bits[j] = bit{leak: bt.leak + (1-bt.leak)*explained[j], finding: bt.finding}
			for _, l := range bt.links {
				if l.v < c.n {
					d.bits[j].links = append(d.bits[j].links, l)
				}
			}
			x.off = x.off.times(d.bits[j].leak)
		}
		x.w = newWeigher(&d)
		ln := x.w.log - c.logBase
		if x.unit = weight.times(on); x.w.state != impossible && !math.IsInf(ln, -1) {
			e := math.Round(ln / math.Ln2)
			x.unit = x.unit.times(math.Exp(ln - e*math.Ln2))
			x.unit.e += int(e)
		} else {
			x.unit = scaled{}
		}
		g.configs[config] = x
	}
	return g
}

// weigh goes through the sets of every configuration and gives how many it weighed. A branch is left out if it is at most cut of
// the whole joint; coef says what the configurations count for, nil that nothing is known of it.
func (g *weighedBlock) weigh(cut float64, coef []float64, limit int) (weighed int) {
	worth := make([]scaled, len(g.configs))
	var whole scaled
	for config, x := range g.configs {
		if x == nil {
			continue
		}
		worth[config] = x.unit
		if coef != nil {
			worth[config] = x.unit.times(coef[config])
		}
		all := x.w.sum + x.w.rest
		if x.w.weighed == 0 {
			all = 1 // the bound of the whole
		}
		whole = whole.plus(worth[config].times(all))
	}
	for config, x := range g.configs {
		if x == nil {
			continue
		}
		x.w.weigh(cut/worth[config].over(whole), max(1, limit-weighed)) // endless where it counts for nothing
		weighed += x.w.weighed
	}
	return weighed
}

// configSums is what the sets of a configuration add up to, in all and with each cause.
type configSums struct {
	all, off float64 // off is a factor of the switch that is off
	with     []float64
}

// swept gives the tables with the given part of the bound of what was left out: 0 is the lower bound, 1 the upper.
func (g *weighedBlock) swept(part float64) *swept {
	return g.tables(func(_ int, w *weigher) configSums {
		s := configSums{all: w.sum + part*w.rest, off: 1, with: make([]float64, g.c.n)}
		for k, i := range w.order {
			s.with[i] = w.with[k] + part*w.restWith[k]
		}
		for _, i := range w.certain {
			s.with[i] = s.all
		}
		return s
	})
}

func (g *weighedBlock) tables(sums func(config int, w *weigher) configSums) *swept {
	n := len(g.configs)
	s := &swept{c: g.c, acts: g.acts, logBase: g.c.logBase, on: make([]float64, n), off: make([]float64, n), causesOf: make([][]float64, n)}
	s.once.Do(func() {}) // the causes are known
	on, off, of := make([]scaled, n), make([]scaled, n), make([]configSums, n)
	found := false
	for config, x := range g.configs {
		if x == nil {
			continue
		}
		of[config] = sums(config, x.w)
		on[config], off[config] = x.unit.times(of[config].all), x.off.times(of[config].off)
		for _, y := range []scaled{on[config], off[config]} {
			if y.v > 0 && (!found || y.e > s.exp) {
				s.exp, found = y.e, true
			}
		}
	}
	for config, x := range g.configs {
		if x == nil {
			continue
		}
		plain := func(y scaled) float64 { return math.Ldexp(y.v, y.e-s.exp) }
		s.on[config], s.off[config] = plain(on[config]), plain(off[config])
		s.causesOf[config] = of[config].with
		for i, y := range s.causesOf[config] {
			s.causesOf[config][i] = plain(x.unit.times(y))
		}
	}
	return s
}

// keep goes through the sets and keeps them, for answers to be weighed on the same sets: those down to cut of the whole, and
// smaller ones as long as about so many looks find them.
func (g *weighedBlock) keep(cut float64, coef []float64, looks int) {
	for last := 0; cut > lastCut && roundGrowth*last < looks; cut *= cutStep {
		for _, x := range g.configs {
			if x != nil {
				x.w.kept = &setList{}
			}
		}
		if next := g.weigh(cut, coef, roundGrowth*looks); next == last {
			return // all sets are there
		} else {
			last = next
		}
	}
}

// estimate gives the tables from the kept sets.
func (g *weighedBlock) estimate() *swept { return g.answered(nil) }

// answered gives the tables from the kept sets with more findings. Over all the answers to a question they add up to estimate.
func (g *weighedBlock) answered(added []Finding) *swept {
	return g.tables(func(config int, w *weigher) configSums {
		s := configSums{off: 1, with: make([]float64, g.c.n)}
		tests := make([]setTest, 0, len(added))
		for _, f := range added {
			if f.State != Unknown {
				t := newSetTest(f, g.c.n, g.acts.outer(config))
				s.off *= t.factor(nil)
				tests = append(tests, t)
			}
		}
		w.kept.each(func(weight float64, causes []int32) {
			for i := range tests {
				weight *= tests[i].factor(causes)
			}
			s.add(weight, causes)
		})
		return s
	})
}

// among gives the tables from the kept sets of causes that have a weight in c.
func (g *weighedBlock) among(c *compiled) *swept {
	return g.tables(func(_ int, w *weigher) configSums {
		s := configSums{off: 1, with: make([]float64, g.c.n)}
		w.kept.each(func(weight float64, causes []int32) {
			for _, i := range causes {
				if c.present[i] == 0 {
					return
				}
			}
			s.add(weight, causes)
		})
		return s
	})
}

func (s *configSums) add(weight float64, causes []int32) {
	s.all += weight
	for _, i := range causes {
		s.with[i] += weight
	}
}

func (l *setList) each(f func(weight float64, causes []int32)) {
	from := 0
	for k, weight := range l.weight {
		f(weight, l.causes[from:l.end[k]])
		from = l.end[k]
	}
}

// setTest gives the factor of a finding for sets of causes where some outer variables are true.
type setTest struct {
	positive  bool
	base      float64
	silent    float64 // probability that neither base rate nor an outer variable explains it
	cap, stay []float64
}

func newSetTest(f Finding, n, outer int) setTest {
	t := setTest{positive: f.State == Positive, base: f.Base, silent: 1 - f.Leak, cap: make([]float64, n), stay: make([]float64, n)}
	for i := range n {
		t.cap[i], t.stay[i] = 1, 1
	}
	for _, l := range f.Links {
		if l.Cause < n {
			t.cap[l.Cause] *= l.Cap
			t.stay[l.Cause] *= 1 - l.Q
		} else if outer&(1<<(l.Cause-n)) != 0 {
			t.base *= l.Cap
			t.silent *= 1 - l.Q
		}
	}
	return t
}

func (t *setTest) factor(causes []int32) float64 {
	x, silent := t.base, t.silent
	for _, i := range causes {
		x *= t.cap[i]
		silent *= t.stay[i]
	}
	if t.positive {
		x *= 1 - silent
	}
	return x
}
