package plan

import (
	"math"
	"slices"

	"seepwright/engine/infer"
	"seepwright/rules"
)

// Each input that is still missing for a conclusion halves what an answer is worth for it;
// where more than mostMissing are missing it counts for nothing.
const mostMissing = 3

// verdicts probes what rules would conclude at a joint from these facts together, and says
// which of them bear on it: a row of readings is worth what its verdict is worth.
func (p *Problem) verdicts(i int, given []*rules.Fact) (out []probe, useful map[string]bool) {
	useful = map[string]bool{}
	var goals []string
	known := 1.0
	have := map[string]bool{}
	for _, f := range given {
		have[f.ID] = true
		if len(p.Index.leads[f.ID]) > 0 {
			known = min(known, p.known(f))
		}
		for _, g := range p.Index.leads[f.ID] {
			if !slices.Contains(goals, g) {
				goals = append(goals, g)
			}
		}
	}
	for _, id := range goals {
		g := p.KB.Fact(id)
		if g == nil || have[id] || p.answered(i, id) {
			continue
		}
		at := p.speaksOf(i, g)
		if !slices.ContainsFunc(at, func(b int) bool { return p.Net.Joints[b].Model.IsSign(id) }) {
			continue
		}
		lack := p.lacks(i, id, have, 6)
		if lack > mostMissing {
			continue
		}
		pr := p.signs(at, g, known*math.Pow(0.5, float64(lack)))
		if len(pr) == 0 {
			continue
		}
		out = append(out, pr...)
		for _, f := range given {
			if slices.Contains(p.Index.leads[f.ID], id) {
				useful[f.ID] = true
			}
		}
	}
	return out, useful
}

func (p *Problem) answered(i int, id string) bool {
	_, ok, clash := p.Mem.Value(p.Mem.Key(p.Net.Joints[i].ID, id))
	return ok || clash
}

// lacks counts the facts that are still missing before a rule can conclude this one, by the
// rule that needs fewest. depth guards against rules that go in circles.
func (p *Problem) lacks(i int, id string, have map[string]bool, depth int) int {
	const never = 100
	if have[id] || p.answered(i, id) {
		return 0
	}
	makers := p.Index.makers[id]
	if len(makers) == 0 {
		return 1
	}
	if depth == 0 {
		return never
	}
	best := never
	for _, r := range makers {
		if !r.Job && !rules.Applies(r.For, p.Net.Joints[i].Kind) {
			continue
		}
		n := 0
		for _, f := range p.Index.reads[r.ID] {
			if n += p.lacks(i, f, have, depth-1); n >= best {
				break
			}
		}
		best = min(best, n)
	}
	return best
}

// remember lists what rules read and make.
func (x *Index) remember(kb *rules.Knowledge) {
	x.makers, x.reads = map[string][]*rules.Rule{}, map[string][]string{}
	for _, r := range kb.Rules {
		x.reads[r.ID] = infer.Reads(kb, r)
		for _, a := range r.Then {
			switch {
			case a.Conclude != nil:
				x.makers[a.Conclude.Fact] = append(x.makers[a.Conclude.Fact], r)
			case a.Compute != nil:
				for _, f := range a.Compute.Into {
					x.makers[f] = append(x.makers[f], r)
				}
			}
		}
	}
}
