package plan

import (
	"cmp"
	"slices"

	"seepwright/engine/rank"
	"seepwright/rules"
)

// cure is one remedy at one joint with all the causes that it cures there.
type cure struct {
	block   int
	remedy  *rules.Remedy
	minutes float64
	success float64
	causes  []rank.CauseRef
	lead    *rules.Cause // the cause for whose sake it is done, largest first
	anyway  bool
}

// bench is all possible cures, and what it costs to open each joint.
type bench struct {
	cures  []cure
	reach  []reach
	opened []bool
	pass   []float64
	retest float64
	resort float64
}

// prepare lists the cures of all joints. A cause is cured by the first remedy of its list;
// causes with the same remedy at the same joint share its minutes.
func (p *Problem) prepare() bench {
	b := bench{retest: p.fig("retest-minutes"), resort: p.fig("last-resort-minutes")}
	for i, j := range p.Net.Joints {
		b.reach = append(b.reach, p.reachOf(j, nil))
		b.opened = append(b.opened, p.opened(j.ID))
		b.pass = append(b.pass, p.pass(j.ID))
		at := map[string]int{}
		add := func(c *rules.Cause, ref rank.CauseRef) {
			if c == nil || len(c.Remedies) == 0 {
				return
			}
			rr := c.Remedies[0]
			r := p.KB.Remedy(rr.Remedy)
			if r == nil {
				return
			}
			k, ok := at[r.ID]
			if !ok {
				k = len(b.cures)
				at[r.ID] = k
				b.cures = append(b.cures, cure{block: i, remedy: r, minutes: cmp.Or(rr.Minutes, r.Minutes), success: cmp.Or(rr.Success, r.Success, 0.95), lead: c})
			}
			b.cures[k].causes = append(b.cures[k].causes, ref)
			b.cures[k].anyway = b.cures[k].anyway || c.Anyway
		}
		for k, c := range j.Model.Causes {
			add(c, rank.CauseRef{Block: i, Cause: k})
		}
		add(j.Model.Away, rank.CauseRef{Block: i, Cause: j.Model.Unknown() + 1})
	}
	return b
}

// at is the probability of one cause in a posterior.
func at(m rank.Marginals, c rank.CauseRef, blocks []rank.Block) float64 {
	switch {
	case c.Block == rank.SharedBlock:
		return m.Shared[c.Cause]
	case c.Cause == len(blocks[c.Block].Prior):
		return m.Arrives[c.Block]
	}
	return m.Cause[c.Block][c.Cause]
}

// stroke is one attempt: a set of cures made before one retest.
type stroke struct {
	cures   []int
	joints  []int // joints opened for it
	minutes float64
	dry     float64 // chance that nothing is left after it and all before it
}

// worth is the expected hands-on minutes until dry under a simple policy that reads only
// the marginals: again and again the set of cures at one joint with the largest gain in
// "nothing left" per minute, then the last resort. Used to compare futures with each other;
// the plan itself uses exact chances.
//
// The chance that nothing outside a set is left is taken as if causes were independent
// given that at least one is present: it is 0 for the empty set and 1 for all of them.
func (p *Problem) worth(m rank.Marginals, b *bench) (minutes float64, first stroke) {
	blocks := p.Net.Rank.Blocks
	prob := make([]float64, len(b.cures))
	keep := 1.0 // product of (1 - p) over all that is not yet treated
	for i := range p.Net.Joints {
		keep *= 1 - clamp(m.Cause[i][len(blocks[i].Prior)-1]) // the unknown cause has no cure
	}
	miss := make([]float64, len(b.cures))
	for i, c := range b.cures {
		miss[i] = 1
		for _, r := range c.causes {
			q := clamp(at(m, r, blocks))
			miss[i] *= 1 - q
			prob[i] += q
		}
		keep *= miss[i]
	}
	all := keep
	span := 1 - all
	if span < 1e-12 {
		return 0, stroke{}
	}
	done := make([]bool, len(b.cures))
	left := 1.0 // chance that it still leaks
	product := all
	for round := 0; round < 6 && left > 0.02; round++ {
		st, gain := p.bestStroke(b, prob, miss, done, product, span)
		if gain <= 0 || gain/st.minutes < left/(b.resort*1.5) {
			break
		}
		minutes += left * st.minutes
		for _, c := range st.cures {
			done[c] = true
			product /= miss[c]
		}
		left = max(0, left-gain)
		if round == 0 {
			first = st
		}
	}
	return minutes + left*b.resort, first
}

// bestStroke tries, for each joint, the cures that need no opening, and the growing sets of
// cures by gain per minute.
func (p *Problem) bestStroke(b *bench, prob, miss []float64, done []bool, product, span float64) (stroke, float64) {
	var best stroke
	bestGain, bestRate := 0.0, 0.0
	for j := range p.Net.Joints {
		for _, opens := range []bool{false, true} {
			var idx []int
			for i, c := range b.cures {
				if c.block == j && !done[i] && prob[i] > 1e-4 && (opens || !c.remedy.Opens) {
					idx = append(idx, i)
				}
			}
			slices.SortStableFunc(idx, func(x, y int) int {
				return cmp.Compare(prob[y]/(b.cures[y].minutes+1), prob[x]/(b.cures[x].minutes+1))
			})
			minutes, now, pass := b.retest, product, 1.0
			if !opens {
				minutes = 10
			}
			joints := []int{}
			apart := false
			for n, i := range idx {
				if b.cures[i].remedy.Opens && !apart {
					apart = true
					joints = append(joints, j)
					pass = b.pass[j]
					minutes += b.reach[j].back
					if !b.opened[j] {
						minutes += b.reach[j].off
					}
				}
				minutes += b.cures[i].minutes
				now /= miss[i]
				gain := (now - product) / span * pass
				if rate := gain / minutes; rate > bestRate {
					bestRate, bestGain = rate, gain
					best = stroke{cures: slices.Clone(idx[:n+1]), joints: slices.Clone(joints), minutes: minutes}
				}
			}
		}
	}
	return best, bestGain
}

func clamp(p float64) float64 { return min(max(p, 0), 1-1e-9) }

// floor is the perfect-information bound: with every cause known beforehand, the cheapest
// direct cure of each, weighted with its chance.
func (p *Problem) floor(b *bench) float64 {
	blocks := p.Net.Rank.Blocks
	sum, mass := 0.0, 0.0
	for _, c := range b.cures {
		cost := c.minutes + 10
		if c.remedy.Opens {
			cost = c.minutes + b.retest + b.reach[c.block].back
			if !b.opened[c.block] {
				cost += b.reach[c.block].off
			}
		}
		for _, r := range c.causes {
			q := at(p.Post.Marginals, r, blocks)
			sum += q * min(cost, b.resort)
			mass += q
		}
	}
	if mass <= 0 {
		return 0
	}
	return sum / max(mass, 1)
}
