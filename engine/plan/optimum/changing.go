package optimum

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Changing is the optimum of a model in which work changes what there is to find: refits make
// faults, checks answer by the faults present when they are made, bench tests may be made on
// a repaired part before it goes back (once after each repair), and an earlier answer says
// little of a fault made later. A state is what was done and answered in order, so the work
// grows with the number of histories: a few faults, repairs and checks.
type Changing struct {
	x      *machine
	cures  []uint64 // by repair
	makes  [][]fresh
	shuts  [][]fresh // by cluster
	sees   [][]float64
	states int
	memo   map[string]float64
	over   bool
	start  *moment
}

type fresh struct {
	fault uint64
	miss  float64
}

// SolveChanging finds the optimum within so many states (0 = 300 000). The error is a
// TooLarge, or says what is wrong with the model.
func SolveChanging(m Model, states int) (*Changing, error) {
	x, err := (&machine{Model: m}).number()
	if err != nil {
		return nil, err
	}
	if states <= 0 {
		states = 300_000
	}
	if x.sampled || len(m.Faults) > 63 || len(m.Repairs) > 31 || len(m.Checks) > 31 {
		return nil, TooLarge{states}
	}
	c := &Changing{x: x, states: states, memo: map[string]float64{}, makes: make([][]fresh, len(m.Repairs)), shuts: make([][]fresh, len(m.Clusters))}
	for r := range m.Repairs {
		var set uint64
		for _, f := range x.fixes[r] {
			set |= 1 << f
		}
		c.cures = append(c.cures, set)
	}
	for _, k := range m.Checks {
		q := make([]float64, len(m.Faults))
		for i, f := range m.Faults {
			q[i] = k.Positive[f.ID]
		}
		c.sees = append(c.sees, q)
	}
	for i, f := range m.Refits {
		fault := slices.IndexFunc(m.Faults, func(v Fault) bool { return v.ID == f.Fault })
		repair := slices.IndexFunc(m.Repairs, func(v Repair) bool { return v.ID == f.Repair })
		cluster := slices.IndexFunc(m.Clusters, func(v Cluster) bool { return v.ID == f.Cluster })
		if fault < 0 || (repair < 0) == (cluster < 0) || !(f.Pass >= 0 && f.Pass <= 1) {
			return nil, fmt.Errorf("refit %d needs a fault, one cluster or one repair of the model, and a pass rate from 0 to 1", i+1)
		}
		n := fresh{1 << fault, 1 - f.Pass}
		if repair >= 0 {
			c.makes[repair] = append(c.makes[repair], n)
		} else {
			c.shuts[cluster] = append(c.shuts[cluster], n)
		}
	}
	start := &moment{tries: make([]int, len(m.Repairs)), made: make([]bool, len(m.Checks))}
	for e, set := range x.sets {
		var mask uint64
		for _, f := range set {
			mask |= 1 << f
		}
		start.belief = append(start.belief, held{mask, x.weight[e]})
	}
	start.belief = gather(start.belief)
	c.start = start
	if c.value(start); c.over {
		return nil, TooLarge{states}
	}
	return c, nil
}

// Value is the least expected minutes.
func (c *Changing) Value() float64 { return c.value(c.start) }

// ChangingStep is a single step of the best policy: a check, one repair, the retest or the
// last resort, with the openings and closings that belong to it. Rest is the least expected
// minutes from before it.
type ChangingStep struct {
	Kind    Kind
	ID      string
	Rest    float64
	c       *Changing
	no, yes *moment
}

// RetestStep is a step of its own only where bench tests may stand before it.
const RetestStep Kind = "retest"

// Start is the first step of the best policy.
func (c *Changing) Start() ChangingStep { return c.step(c.start) }

// After is the step that follows: yes = the check was positive, the retest still wet; after a
// repair both are the same. ok is false when the job has ended or the answer cannot come.
func (s ChangingStep) After(yes bool) (next ChangingStep, ok bool) {
	m := s.no
	if yes {
		m = s.yes
	}
	if m == nil || m.mass() < vanish {
		return ChangingStep{}, false
	}
	return s.c.step(m), true
}

func (c *Changing) step(m *moment) ChangingStep {
	mass, best := m.mass(), math.Inf(1)
	var win ChangingStep
	c.each(m, mass, func() float64 { return best }, func(s ChangingStep, v float64) {
		if v < best-1e-12*mass {
			win, best = s, v
		}
	})
	win.Rest, win.c = best/mass, c
	return win
}

// States is how many states were valued.
func (c *Changing) States() int { return len(c.memo) }

// held is a set of faults present now, with its chance together with what has happened.
type held struct {
	set uint64
	p   float64
}

// moment is a state with its history: two letters an event, events that commute in order.
type moment struct {
	belief  []held
	open    uint64
	waiting bool
	tries   []int
	made    []bool
	events  []string
}

func (m *moment) mass() float64 {
	t := 0.0
	for _, h := range m.belief {
		t += h.p
	}
	return t
}

func gather(b []held) []held {
	slices.SortFunc(b, func(a, c held) int { return cmp.Or(cmp.Compare(a.set, c.set), cmp.Compare(a.p, c.p)) })
	out := b[:0]
	for _, h := range b {
		switch n := len(out); {
		case h.p <= 0:
		case n > 0 && out[n-1].set == h.set:
			out[n-1].p += h.p
		default:
			out = append(out, h)
		}
	}
	return out
}

// then is the state after an event. Answers that follow one another commute and are put in
// order; nothing else is moved.
func (m *moment) then(event string, belief []held) *moment {
	n := &moment{belief: gather(belief), open: m.open, waiting: m.waiting, tries: slices.Clone(m.tries), made: slices.Clone(m.made)}
	n.events = append(slices.Clone(m.events), event)
	for i := len(n.events) - 1; i > 0 && event[0] <= '1' && n.events[i-1][0] <= '1' && n.events[i][1] < n.events[i-1][1]; i-- {
		n.events[i], n.events[i-1] = n.events[i-1], n.events[i]
	}
	return n
}

func (c *Changing) value(m *moment) float64 {
	mass := m.mass()
	if mass < vanish {
		return 0
	}
	k := "00"
	for _, e := range m.events {
		k += e
	}
	// A cluster stays open when its check is over, and that is part of the history.
	if v, ok := c.memo[k]; ok {
		return v
	}
	if c.over || len(c.memo) >= c.states {
		c.over = true
		return 0
	}
	best := math.Inf(1)
	c.each(m, mass, func() float64 { return best }, func(_ ChangingStep, v float64) { best = min(best, v) })
	c.memo[k] = best
	return best
}

// each yields the steps at a state with their values times its chance; steps whose own
// minutes exceed atMost() are left out.
func (c *Changing) each(m *moment, mass float64, atMost func() float64, yield func(ChangingStep, float64)) {
	x := c.x
	yield(ChangingStep{Kind: LastStep}, mass*x.LastResort)
	for i, k := range x.Checks {
		if m.made[i] || m.waiting && !k.Bench {
			continue
		}
		path := x.path[x.checkAt[i]]
		v := mass * (x.openCost(path&^m.open) + k.Minutes)
		if v > atMost() {
			continue
		}
		no, yes := c.told(m, i, "0", path), c.told(m, i, "1", path)
		if v += c.value(no); v <= atMost() {
			yield(ChangingStep{Kind: CheckStep, ID: k.ID, no: no, yes: yes}, v+c.value(yes))
		}
	}
	for r := range x.Repairs {
		if n, t := c.mended(m, r); n != nil && mass*t <= atMost() {
			yield(ChangingStep{Kind: RepairStep, ID: x.Repairs[r].ID, no: n, yes: n}, mass*t+c.value(n))
		}
	}
	if m.waiting {
		if n, t := c.tested(m); t <= atMost() {
			yield(ChangingStep{Kind: RetestStep, yes: n}, t+c.value(n))
		}
	}
}

func (c *Changing) told(m *moment, i int, yes string, path uint64) *moment {
	b := slices.Clone(m.belief)
	for j := range b {
		no := 1 - c.x.Checks[i].False
		for f, q := range c.sees[i] {
			if b[j].set>>f&1 == 1 {
				no *= 1 - q
			}
		}
		if yes == "1" {
			no = 1 - no
		}
		b[j].p *= no
	}
	n := m.then(yes+string(rune('A'+i)), b)
	n.open |= path
	n.made[i] = true
	return n
}

func (c *Changing) mended(m *moment, r int) (*moment, float64) {
	if m.tries[r] >= c.x.tries(r) || !slices.ContainsFunc(m.belief, func(h held) bool { return h.set&c.cures[r] != 0 }) {
		return nil, math.Inf(1)
	}
	b := slices.Clone(m.belief)
	for i, f := range c.x.fixes[r] {
		b = split(b, c.x.chance[r][i], func(set uint64) uint64 { return set &^ (1 << f) })
	}
	n := m.then("2"+string(rune('A'+r)), draw(b, c.makes[r]))
	path := c.x.path[c.x.mendAt[r]]
	n.open |= path
	n.waiting = true
	n.tries[r]++
	for i, k := range c.x.Checks {
		if k.Bench {
			n.made[i] = false // the part is another one now
		}
	}
	return n, c.x.openCost(path&^m.open) + c.x.Repairs[r].Minutes
}

// tested closes and tests: the state if it is wet, and minutes times the chance.
func (c *Changing) tested(m *moment) (*moment, float64) {
	x := c.x
	b := slices.Clone(m.belief)
	for i := range x.Clusters {
		if m.open&x.shut>>i&1 == 1 {
			b = draw(b, c.shuts[i])
		}
	}
	t := m.mass() * (x.closeCost(m.open&x.shut) + x.Retest)
	n := m.then("3A", b)
	n.open &^= x.shut
	n.waiting = false
	n.belief = slices.DeleteFunc(n.belief, func(h held) bool {
		if h.set == 0 {
			t += h.p * x.closeCost(n.open)
		}
		return h.set == 0
	})
	return n, t
}

// split turns each set into another with a chance.
func split(b []held, chance float64, into func(uint64) uint64) []held {
	var out []held
	for _, h := range b {
		if n := into(h.set); n != h.set {
			out = append(out, held{n, h.p * chance}, held{h.set, h.p * (1 - chance)})
		} else {
			out = append(out, h)
		}
	}
	return gather(out)
}

func draw(b []held, all []fresh) []held {
	for _, f := range all {
		b = split(b, f.miss, func(set uint64) uint64 { return set | f.fault })
	}
	return b
}
