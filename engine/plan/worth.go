package plan

import (
	"cmp"
	"slices"

	"seepwright/engine/network"
	"seepwright/engine/plan/optimum"
	"seepwright/engine/rank"
	"seepwright/rules"
)

// treated is one cause that a cure takes away, and how surely.
type treated struct {
	item    int
	success float64
	order   int // place of the remedy in the list of the cause: the best stands first
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
	scene   scene
	chance  []float64 // of each item
	advice  optimum.Advice
	errand  []look
	steps   map[string]action // what each repair of the model stands for
}

// prepare lists the cures of all joints. A cause is cured by any remedy of its list; causes
// with the same remedy at the same joint share its minutes.
func (p *Problem) prepare() bench {
	b := bench{layout: newLayout(p.Net.Rank.Blocks, len(p.Net.Shared)), retest: p.fig("retest-minutes"), resort: p.fig("last-resort-minutes"), look: p.fig("short-retest-minutes"), found: p.fig("found-when-open")}
	b.at = make([][]int, len(p.Net.Joints)+1)
	apart := p.opened()
	for i, j := range p.Net.Joints {
		b.reach = append(b.reach, p.reachOf(j))
		b.opened = append(b.opened, apart[j.ID])
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
	b.chance = b.marginals(p.Post.Marginals)
	b.scene = p.scene(&b)
	return b
}

// cures adds what cures one cause. known holds the remedies already met at that place.
func (p *Problem) cures(b *bench, known map[string]int, place int, c *rules.Cause, ref rank.CauseRef, blocks []int) {
	if c == nil {
		return
	}
	for order, rr := range c.Remedies {
		r := p.KB.Remedy(rr.Remedy)
		if r == nil || !p.mendable(r, p.kindsAt(blocks)...) {
			continue // left to others
		}
		if p.failedAt(blocks, r.ID) && slices.ContainsFunc(c.Remedies, func(o rules.RemedyRef) bool { return !p.failedAt(blocks, o.Remedy) }) {
			continue // it left the joint wet, and there is another way
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
		success := network.Success(r, rr, p.fig("success"), p.fig("success-specialist"))
		q.items = append(q.items, treated{b.item(ref), success, order})
		q.causes = append(q.causes, ref)
	}
}

// kindsAt are the kinds of joints.
func (p *Problem) kindsAt(blocks []int) []string {
	var out []string
	for _, i := range blocks {
		out = append(out, p.Net.Joints[i].Kind)
	}
	return out
}

// failedAt reports whether a remedy was tried at all of these joints and left them wet.
func (p *Problem) failedAt(blocks []int, remedy string) bool {
	return len(blocks) > 0 && !slices.ContainsFunc(blocks, func(i int) bool { return !p.Net.Failed(p.Net.Joints[i].ID, remedy) })
}

// stroke is one attempt: a set of cures made before one retest. Either all of them are made,
// or joints are opened and looked at as well, and what the looks show is mended.
type stroke struct {
	cures   []int
	looks   bool
	joints  []int // joints opened for it
	minutes float64
	dry     float64 // chance that the job has ended dry after it and all before it
	failed  float64 // expected minutes from there on if it has not
	extras  []extra // cures added because they cost less than their chance of another strip-down
}

// extra is a cure done anyway, with its sum.
type extra struct {
	cure  int
	trade optimum.Trade
}

// mass is the chance that a cure takes away something that is there.
func (b *bench) mass(c *cure) float64 {
	m := 0.0
	for _, t := range c.items {
		m += b.chance[t.item] * t.success
	}
	return min(1, m)
}

// mostLooking is how many minutes of looks one opened joint gets at most.
const mostLooking = 40

// looking is what the looks cost that decide the likely causes once a joint is open, and that
// have not been made yet.
func (p *Problem) looking() []float64 {
	out := make([]float64, len(p.Net.Joints))
	for j := range out {
		seen := map[string]bool{}
		for k, c := range p.Net.Joints[j].Model.Causes {
			if p.Post.Cause[j][k] < worthALook {
				continue
			}
			for _, f := range c.FoundBy {
				if k := p.KB.Check(f.Check); k != nil && !seen[k.ID] && !isOutside(k.Stage) && p.unknown(j, k) {
					seen[k.ID] = true
					out[j] += k.Minutes
				}
			}
		}
		out[j] = min(out[j], mostLooking)
	}
	return out
}
