package plan

import (
	"cmp"
	"slices"

	"seepwright/engine/network"
	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
)

// probe is one thing that can turn out, with its possible answers: either changes of the
// network (an answer that is a sign), or other odds of the causes (an answer that is context).
type probe struct {
	fact    *rules.Fact
	option  string // of a "several" fact
	blocks  []int  // joints that the answer speaks of
	known   float64
	answers [][]rank.Change
	context []supposed
}

// supposed is one answer to a question of context: how likely it is thought to be, and by what
// it multiplies the odds of items.
type supposed struct {
	p     float64
	times map[int]float64
}

// signs lists the ways in which a fact can come out as a sign at these joints. Options of a
// "several" fact are probed one by one. A fact of a wider scope speaks of all its joints at once.
func (p *Problem) signs(blocks []int, f *rules.Fact, known float64) []probe {
	var at []int
	for _, b := range blocks {
		if f.ID == network.WetFact || f.ID == network.ProvenFact || p.Net.Joints[b].Model.IsSign(f.ID) {
			at = append(at, b)
		}
	}
	if len(at) == 0 {
		return nil
	}
	made := func(v fact.Value) []rank.Change {
		var out []rank.Change
		for _, b := range at {
			if add := p.Net.Findings(b, f, v); len(add) > 0 {
				out = append(out, rank.Change{Block: b, Add: add})
			}
		}
		return out
	}
	one := func(answers ...[]rank.Change) []probe {
		answers = slices.DeleteFunc(answers, func(c []rank.Change) bool { return len(c) == 0 })
		if len(answers) < 2 {
			return nil
		}
		return []probe{{fact: f, blocks: at, known: known, answers: answers}}
	}
	switch {
	case f.ID == network.WetFact:
		return one([]rank.Change{{Block: at[0], Wet: rank.Positive}}, []rank.Change{{Block: at[0], Wet: rank.Negative}})
	case f.ID == network.ProvenFact:
		return one([]rank.Change{{Block: at[0], Leaks: rank.Positive}}, []rank.Change{{Block: at[0], Leaks: rank.Negative}})
	case f.Answer == fact.YesNo:
		return one(made(fact.MakeYesNo(true)), made(fact.MakeYesNo(false)))
	case f.Answer == fact.Several:
		var out []probe
		for _, o := range f.Options {
			for _, pr := range one(made(fact.MakeSeveral([]string{o.ID}, nil)), made(fact.MakeSeveral(nil, []string{o.ID}))) {
				pr.option = o.ID
				out = append(out, pr)
			}
		}
		return out
	case f.Answer == fact.Choice:
		var answers [][]rank.Change
		for _, o := range f.Options {
			answers = append(answers, made(fact.MakeChoice(o.ID)))
		}
		return one(answers...)
	}
	return nil
}

// supposing lets a condition see one more answer.
type supposing struct {
	cond.Env
	fact string
	v    fact.Value
}

func (e *supposing) Value(name string) (fact.Value, bool, bool) {
	if name == e.fact {
		return e.v, true, false
	}
	return e.Env.Value(name)
}

// context is the probe of a fact that raises or lowers causes: each answer multiplies the odds
// of the causes that it speaks of.
func (p *Problem) context(b *bench, blocks []int, f *rules.Fact, known float64) (probe, bool) {
	moves := p.Index.moves[f.ID]
	if len(moves) == 0 {
		return probe{}, false
	}
	values := p.values(f, blocks[0])
	if len(values) < 2 {
		return probe{}, false
	}
	pr := probe{fact: f, blocks: blocks, known: known}
	for _, v := range values {
		pr.context = append(pr.context, supposed{v.p, map[int]float64{}})
	}
	moved := false
	shared := make([]map[int]float64, len(values)) // context of a shared cause is the mean over its joints
	for _, j := range blocks {
		env := p.Mem.Env(p.Net.Joints[j].ID)
		with := &supposing{Env: env, fact: f.ID}
		for _, mv := range moves {
			if len(mv.kinds) > 0 && !slices.Contains(mv.kinds, p.Net.Joints[j].Kind) {
				continue
			}
			items := p.moved(b, j, mv)
			if len(items) == 0 || network.Known(env, mv.less) {
				continue
			}
			was := mv.when.Cond.Eval(env).Truth == fact.True
			for k, v := range values {
				with.v = v.value
				if was == (mv.when.Cond.Eval(with).Truth == fact.True) {
					continue
				}
				by := mv.times
				if was {
					by = 1 / by
				}
				moved = true
				for _, i := range items {
					if i < b.start[b.n] {
						pr.context[k].times[i] = cmp.Or(pr.context[k].times[i], 1) * by
						continue
					}
					if shared[k] == nil {
						shared[k] = map[int]float64{}
					}
					shared[k][i] += (by - 1) / float64(len(p.Net.Joints))
				}
			}
		}
	}
	for k := range values {
		for i, by := range shared[k] {
			pr.context[k].times[i] = max(1+by, 0.05)
		}
	}
	return pr, moved
}

// moved lists the items that a context moves at a joint.
func (p *Problem) moved(b *bench, j int, mv move) []int {
	is := func(c *rules.Cause) bool {
		if mv.cause != nil {
			return mv.cause == c
		}
		return c != nil && network.Names(mv.ref, c)
	}
	var out []int
	m := p.Net.Joints[j].Model
	for k, c := range m.Causes {
		if is(c) {
			out = append(out, b.start[j]+k)
		}
	}
	if m.Away != nil && is(m.Away) {
		out = append(out, b.start[j+1]-1)
	}
	for s, c := range p.Net.Shared {
		if is(c) {
			out = append(out, b.start[b.n+s])
		}
	}
	return out
}

// likely is one possible answer and how likely it is thought to be before it is given.
type likely struct {
	value fact.Value
	p     float64
}

// values lists the possible answers to a question. Where the knowledge base does not say how
// often each is given, all count alike.
func (p *Problem) values(f *rules.Fact, block int) []likely {
	h := p.Net.Joints[block].History
	switch f.Answer {
	case fact.YesNo:
		yes := 0.5
		if x, ok := f.Base[h]; ok {
			yes = x
		}
		return []likely{{fact.MakeYesNo(true), yes}, {fact.MakeYesNo(false), 1 - yes}}
	case fact.Choice:
		var out []likely
		sum := 0.0
		for _, o := range f.Options {
			x, ok := o.Base[h]
			if !ok {
				x = 1 / float64(len(f.Options))
			}
			out = append(out, likely{fact.MakeChoice(o.ID), x})
			sum += x
		}
		for i := range out {
			out[i].p /= max(sum, 1e-12)
		}
		return out
	}
	return nil
}

// known is the chance that the person can answer.
func (p *Problem) known(f *rules.Fact) float64 {
	switch {
	case f.Known > 0:
		return f.Known
	case f.Answer == fact.Number || f.Answer == fact.Readings:
		if isOutside(f.Stage) {
			return p.fig("known-size")
		}
		return p.fig("known-outside")
	case f.Stage == rules.Told:
		return p.fig("known-history")
	}
	return p.fig("known-outside")
}
