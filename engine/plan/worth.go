package plan

import (
	"cmp"
	"slices"

	"seepwright/engine/rank"
	"seepwright/rules"
)

// treated is one cause that a cure takes away, and how surely.
type treated struct {
	item    int
	success float64
}

// cure is one remedy at one joint (or, for a shared cause, at all joints it acts on) with all
// the causes that it cures there.
type cure struct {
	blocks  []int // joints that are opened for it when the remedy opens
	shared  bool
	remedy  *rules.Remedy
	minutes float64
	items   []treated
	causes  []rank.CauseRef // as items
}

// bench is all possible cures, and what it costs to open each joint.
type bench struct {
	layout
	wet     []rank.State
	cures   []cure
	at      [][]int // cures by joint; last the shared ones
	reach   []reach
	opened  []bool
	pass    []float64
	retest  float64
	resort  float64
	look    float64   // proving a repair that opened nothing
	found   float64   // how well the looks at an opened joint find what is wrong
	looking []float64 // by joint: minutes of the looks once it is open
	now     belief
	course  policy  // what one would do now
	minutes float64 // and what that is expected to cost
}

// prepare lists the cures of all joints. A cause is cured by any remedy of its list; causes
// with the same remedy at the same joint share its minutes.
func (p *Problem) prepare() bench {
	b := bench{layout: newLayout(p.Net.Rank.Blocks, len(p.Net.Shared)), retest: p.fig("retest-minutes"), resort: p.fig("last-resort-minutes"), look: p.fig("short-retest-minutes"), found: p.fig("found-when-open")}
	b.at = make([][]int, len(p.Net.Joints)+1)
	for i, j := range p.Net.Joints {
		b.reach = append(b.reach, p.reachOf(j))
		b.opened = append(b.opened, p.opened(j.ID))
		b.pass = append(b.pass, p.pass(j.ID))
		b.wet = append(b.wet, p.Net.Rank.Blocks[i].Wet)
		known := map[string]int{}
		for k, c := range j.Model.Causes {
			p.cures(&b, known, i, c, rank.CauseRef{Block: i, Cause: k}, []int{i})
		}
		p.cures(&b, known, i, j.Model.Away, rank.CauseRef{Block: i, Cause: len(p.Net.Rank.Blocks[i].Prior)}, []int{i})
	}
	known := map[string]int{}
	for s, c := range p.Net.Shared {
		var acts []int
		for i := range p.Net.Joints {
			for _, a := range p.Net.Rank.Blocks[i].Shared {
				if a.Cause == s && b.wet[i] != rank.Negative {
					acts = append(acts, i)
				}
			}
		}
		p.cures(&b, known, len(p.Net.Joints), c, rank.CauseRef{Block: rank.SharedBlock, Cause: s}, acts)
	}
	b.looking = p.looking()
	b.resort += b.retest
	var wet []int
	for j := range p.Net.Joints {
		if f := p.Post.JointLeaks[j]; f > 0.3 || len(p.Net.Joints) == 1 {
			wet = append(wet, j)
		}
	}
	off, back := b.access(wet)
	b.resort += off + back // whoever does it has to get there too
	b.now = b.believe(b.marginals(p.Post.Marginals), b.faults(p.Post.Marginals))
	b.course, b.minutes = b.plan(&b.now)
	return b
}

func (b *bench) faults(m rank.Marginals) []float64 {
	out := make([]float64, b.groups())
	for g := range out {
		out[g] = b.fault(m, b.wet, g)
	}
	return out
}

// cures adds what cures one cause. known holds the remedies already met at that place.
func (p *Problem) cures(b *bench, known map[string]int, place int, c *rules.Cause, ref rank.CauseRef, blocks []int) {
	if c == nil {
		return
	}
	for _, rr := range c.Remedies {
		r := p.KB.Remedy(rr.Remedy)
		if r == nil {
			continue
		}
		k, ok := known[r.ID]
		if !ok {
			k = len(b.cures)
			known[r.ID] = k
			b.at[place] = append(b.at[place], k)
			minutes := cmp.Or(rr.Minutes, r.Minutes, p.fig("remedy-"+r.Kind))
			if c.Shared && r.Opens {
				minutes *= float64(max(1, len(blocks))) // the same work at every joint
			}
			b.cures = append(b.cures, cure{shared: c.Shared, remedy: r, minutes: minutes})
		}
		q := &b.cures[k]
		for _, j := range blocks {
			if !slices.Contains(q.blocks, j) {
				q.blocks = append(q.blocks, j)
			}
		}
		success := p.fig("success")
		if r.Specialist {
			success = p.fig("success-specialist")
		}
		q.items = append(q.items, treated{b.item(ref), cmp.Or(rr.Success, r.Success, success)})
		q.causes = append(q.causes, ref)
	}
}

// stroke is one attempt: a set of cures made before one retest. Either all of them are made,
// or the joint is opened, looked at, and what the looks show is mended.
type stroke struct {
	cures   []int
	looks   bool
	found   float64 // chance that a cure is made where it is needed: 1, or how well the looks find it
	joints  []int   // joints opened for it
	minutes float64
	dry     float64 // chance that nothing is left after it and all before it
}

// policy is a sequence of attempts; after the last comes the last resort.
type policy []stroke

// mostInSet is how many cures one attempt may hold, mostTries how many attempts are foreseen.
const (
	mostInSet = 8
	mostTries = 4
)

// plan finds a good policy for a belief and its expected minutes: again and again the set of
// cures with the largest gain in "nothing left" per minute, as long as that beats the last resort.
func (b *bench) plan(v *belief) (policy, float64) {
	var out policy
	x := v.untreated(&b.layout)
	total, dry, exact := 0.0, 0.0, 0.0
	done := make([]bool, len(b.cures))
	for len(out) < mostTries && 1-dry > 0.02 {
		s, after := b.best(&x, done, exact)
		if len(s.cures) == 0 {
			break
		}
		gain := (after - exact) * b.passOf(s)
		if gain/s.minutes <= (1-dry)/b.resort {
			break
		}
		total += (1 - dry) * s.minutes
		for _, i := range s.cures {
			done[i] = true
			x.treat(&b.cures[i], s.found)
		}
		exact = after
		dry += gain
		s.dry = dry
		out = append(out, s)
	}
	return out, total + (1-dry)*b.resort
}

// follow is what a given policy costs under another belief.
func (b *bench) follow(c policy, v *belief) float64 {
	x := v.untreated(&b.layout)
	total, dry, exact := 0.0, 0.0, 0.0
	for _, s := range c {
		total += (1 - dry) * s.minutes
		for _, i := range s.cures {
			x.treat(&b.cures[i], s.found)
		}
		after := x.dry()
		dry = min(1, dry+(after-exact)*b.passOf(s))
		exact = after
	}
	return total + (1-dry)*b.resort
}

// passOf is the chance that all joints opened in an attempt are put together tight.
func (b *bench) passOf(s stroke) float64 {
	x := 1.0
	for _, j := range s.joints {
		x *= b.pass[j]
	}
	return x
}

// best is the set with the largest gain per minute: at each joint growing sets of what needs
// no opening and of everything, and then unions over joints.
func (b *bench) best(x *left, done []bool, before float64) (stroke, float64) {
	var win stroke
	winAfter, winRate := before, 0.0
	try := func(s stroke, after float64) {
		if rate := (after - before) * b.passOf(s) / s.minutes; rate > winRate {
			win, winAfter, winRate = s, after, rate
		}
	}
	type part struct {
		cures []int
		rate  float64
	}
	var parts []part
	for place := range b.at {
		if place < b.n && x.b.rho[place] < 1e-9 {
			continue
		}
		for _, opens := range []bool{false, true} {
			set, rate := b.grow(x, place, opens, done, before, try)
			if len(set) > 0 {
				parts = append(parts, part{set, rate})
			}
		}
	}
	if b.groups() == 1 {
		return win, winAfter
	}
	slices.SortStableFunc(parts, func(p, q part) int { return cmp.Compare(q.rate, p.rate) })
	var y left
	x.copyTo(&y)
	var union []int
	for _, p := range parts {
		for _, i := range p.cures {
			if !slices.Contains(union, i) {
				union = append(union, i)
				y.treat(&b.cures[i], b.found)
			}
		}
		s := stroke{cures: slices.Clone(union), looks: true, found: b.found}
		b.priceLooks(x, &s)
		try(s, y.dry())
	}
	return win, winAfter
}

// grow tries growing sets at one place and gives the set that takes away most per minute.
func (b *bench) grow(x *left, place int, opens bool, done []bool, before float64, try func(stroke, float64)) (set []int, rate float64) {
	type option struct {
		i    int
		mass float64
	}
	var list []option
	any := false
	for _, i := range b.at[place] {
		c := &b.cures[i]
		if done[i] || c.remedy.Opens && !opens {
			continue
		}
		if m := x.mass(c); m > 1e-4 {
			list = append(list, option{i, m})
			any = any || c.remedy.Opens
		}
	}
	if len(list) == 0 || opens && !any {
		return nil, 0
	}
	slices.SortStableFunc(list, func(p, q option) int {
		return cmp.Compare(q.mass/(b.cures[q.i].minutes+1), p.mass/(b.cures[p.i].minutes+1))
	})
	var y left
	x.copyTo(&y)
	var cures []int
	for _, o := range list {
		c := &b.cures[o.i]
		m := y.mass(c)
		if m < o.mass/4 || len(cures) == mostInSet {
			continue // what is in the set already cures most of it
		}
		y.treat(c, 1)
		cures = append(cures, o.i)
		s := stroke{cures: slices.Clone(cures), found: 1}
		s.minutes, s.joints = b.price(cures)
		try(s, y.dry())
	}
	if !any {
		return nil, 0
	}
	// Or open, look, and mend what is found.
	s := stroke{looks: true, found: b.found}
	x.copyTo(&y)
	mass := 0.0
	for _, o := range list {
		if o.mass < 1e-3 {
			continue
		}
		s.cures = append(s.cures, o.i)
		mass += y.mass(&b.cures[o.i])
		y.treat(&b.cures[o.i], b.found)
	}
	b.priceLooks(x, &s)
	if len(s.joints) == 0 {
		return nil, 0
	}
	try(s, y.dry())
	return s.cures, mass / s.minutes
}

// priceLooks is the cost of opening, looking, and mending what is found: of the cures, each
// counts as often as it is expected to be needed.
func (b *bench) priceLooks(x *left, s *stroke) {
	var mend float64
	s.joints = s.joints[:0]
	total := 0.0
	for _, i := range s.cures {
		c := &b.cures[i]
		m := x.mass(c)
		mend += m * c.minutes
		total += m
		for _, j := range c.blocks {
			if c.remedy.Opens && !slices.Contains(s.joints, j) {
				s.joints = append(s.joints, j)
			}
		}
	}
	slices.Sort(s.joints)
	off, back := b.access(s.joints)
	s.minutes = off + back + b.retest + mend/max(total, 1)
	for _, j := range s.joints {
		s.minutes += b.looking[j]
	}
}

// price is the cost of an attempt: access paid once for all joints that it opens, the cures,
// putting back, and proving it.
func (b *bench) price(cures []int) (minutes float64, joints []int) {
	for _, i := range cures {
		c := &b.cures[i]
		minutes += c.minutes
		if !c.remedy.Opens {
			continue
		}
		for _, j := range c.blocks {
			if !slices.Contains(joints, j) {
				joints = append(joints, j)
			}
		}
	}
	if len(joints) == 0 {
		return minutes + b.look, nil
	}
	slices.Sort(joints)
	off, back := b.access(joints)
	return minutes + off + back + b.retest, joints
}

// mostLooking is how many minutes of looks one opened joint gets at most.
const mostLooking = 40

// looking is what the looks cost that decide the likely causes once a joint is open.
func (p *Problem) looking() []float64 {
	out := make([]float64, len(p.Net.Joints))
	for j := range out {
		seen := map[string]bool{}
		for k, c := range p.Net.Joints[j].Model.Causes {
			if p.Post.Cause[j][k] < worthALook {
				continue
			}
			for _, f := range c.FoundBy {
				if k := p.KB.Check(f.Check); k != nil && !seen[k.ID] && !isOutside(k.Stage) {
					seen[k.ID] = true
					out[j] += k.Minutes
				}
			}
		}
		out[j] = min(out[j], mostLooking)
	}
	return out
}

// floor is the perfect-information bound: with every cause known beforehand, the cheapest
// direct cure of each, weighted with its chance; what no cure reaches counts nothing.
func (b *bench) floor(m rank.Marginals) float64 {
	item := b.marginals(m)
	cheap := make([]float64, len(item))
	for i := range cheap {
		cheap[i] = b.resort
	}
	for i, c := range b.cures {
		cost, _ := b.price([]int{i})
		for _, t := range c.items {
			cheap[t.item] = min(cheap[t.item], cost)
		}
	}
	sum, mass := 0.0, 0.0
	for i, q := range item {
		sum += q * cheap[i]
		mass += q
	}
	if mass <= 0 {
		return 0
	}
	return sum / max(mass, 1)
}
