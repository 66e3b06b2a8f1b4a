package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"seepwright/engine/network"
	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/fact"
)

// look is one open question or check and what it would save.
type look struct {
	Next
	stage  rules.Stage
	checks *rules.Check
	hint   float64 // cheap estimate of how much it would move, to cut the list
	known  float64
	probes []probe
	place  int // order of walking
}

// probe is one fact at one joint with its possible answers.
type probe struct {
	block   int
	fact    *rules.Fact
	answers [][]rank.Change
}

// probes lists the ways in which a fact can come out at a joint. Options of a "several"
// fact are probed one by one.
func (p *Problem) probes(block int, f *rules.Fact) []probe {
	j := p.Net.Joints[block]
	change := func(v fact.Value) []rank.Change {
		return []rank.Change{{Block: block, Add: p.Net.Findings(block, f, v)}}
	}
	state := func(v bool) rank.State {
		if v {
			return rank.Positive
		}
		return rank.Negative
	}
	var out []probe
	switch {
	case f.ID == network.WetFact || f.ID == network.ProvenFact:
		var answers [][]rank.Change
		for _, yes := range []bool{true, false} {
			c := rank.Change{Block: block}
			if f.ID == network.WetFact {
				c.Wet = state(yes)
			} else {
				c.Leaks = state(yes)
			}
			answers = append(answers, []rank.Change{c})
		}
		out = append(out, probe{block, f, answers})
	case !j.Model.IsSign(f.ID):
	case f.Answer == fact.YesNo:
		out = append(out, probe{block, f, [][]rank.Change{change(fact.MakeYesNo(true)), change(fact.MakeYesNo(false))}})
	case f.Answer == fact.Several:
		for _, o := range f.Options {
			yes := p.Net.Findings(block, f, fact.MakeSeveral([]string{o.ID}, nil))
			if len(yes) == 0 {
				continue
			}
			no := p.Net.Findings(block, f, fact.MakeSeveral(nil, []string{o.ID}))
			out = append(out, probe{block, f, [][]rank.Change{{{Block: block, Add: yes}}, {{Block: block, Add: no}}}})
		}
	case f.Answer == fact.Choice:
		var answers [][]rank.Change
		for _, o := range f.Options {
			if c := change(fact.MakeChoice(o.ID)); len(c[0].Add) > 0 {
				answers = append(answers, c)
			}
		}
		if len(answers) > 1 {
			out = append(out, probe{block, f, answers})
		}
	}
	return out
}

// open reports whether a fact can still be asked at a joint.
func (p *Problem) open(j network.Joint, f *rules.Fact) bool {
	if f.Engine || !rules.Applies(f.For, j.Kind) {
		return false
	}
	if _, ok, clash := p.Mem.Value(p.Mem.Key(j.ID, f.ID)); ok || clash {
		return false
	}
	if f.AskIf != nil && f.AskIf.Cond.Eval(p.Mem.Env(j.ID)).Truth == fact.False {
		return false
	}
	return p.Person.CantTell[f.Stage] < 2
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

// candidates lists all open questions and checks that could be had now: told and outside
// ones, states, one fastener; and, at joints that are apart, the looks at opened parts.
func (p *Problem) candidates(b *bench) []look {
	var out []look
	filled := map[string]bool{} // joint/fact that some check already carries
	for i, j := range p.Net.Joints {
		for _, c := range p.KB.Checks {
			if !rules.Applies(c.For, j.Kind) || !isOutside(c.Stage) && !b.opened[i] || p.Person.CantTell[c.Stage] >= 2 {
				continue
			}
			l := look{stage: c.Stage, checks: c, known: 1, place: i}
			for _, id := range c.Fills {
				f := p.KB.Fact(id)
				if f == nil || !p.open(j, f) {
					continue
				}
				if pr := p.probes(i, f); len(pr) > 0 {
					l.probes = append(l.probes, pr...)
					l.Fills = append(l.Fills, id)
					filled[j.ID+"/"+id] = true
				}
			}
			if len(l.probes) == 0 {
				continue
			}
			l.known = p.known(l.probes[0].fact)
			l.Check, l.Joint, l.Title, l.How = c.ID, j.ID, cmp.Or(c.Title, c.ID), c.How
			l.Minutes, l.Stage, l.Tools, l.Caution = c.Minutes, string(c.Stage), c.Tools, c.Cautions
			l.Borrow = p.borrow(c.Tools)
			out = append(out, l)
		}
		for _, f := range p.KB.Facts {
			if !isOutside(f.Stage) && !b.opened[i] || !p.open(j, f) || filled[j.ID+"/"+f.ID] && f.Stage != rules.Told {
				continue
			}
			if pr := p.probes(i, f); len(pr) > 0 {
				l := look{stage: f.Stage, known: p.known(f), probes: pr, place: i}
				l.Fact, l.Joint, l.Title, l.How = f.ID, j.ID, f.Ask, f.How
				l.Minutes, l.Stage, l.Tools = max(f.Minutes, 0.5), string(f.Stage), f.Tools
				l.Borrow = p.borrow(f.Tools)
				l.Why = f.Why
				out = append(out, l)
			}
		}
	}
	return out
}

// borrow lists the instruments that are needed and that the person did not tick.
func (p *Problem) borrow(tools []string) []string {
	var out []string
	if len(p.Person.Tools) == 0 {
		return nil
	}
	for _, t := range tools {
		if in := p.KB.Instrument(t); in != nil && !slices.Contains(p.Person.Tools, t) {
			out = append(out, cmp.Or(in.Title, in.ID))
		}
	}
	return out
}

// mostExact is how many open questions are valued exactly at each decision; the others
// are cut by a cheap estimate of how much they could move.
const mostExact = 24

// value works out what each candidate saves, best first. The saving is the expected minutes
// until dry now, less the same after each possible answer, times the chance that the person
// can answer. A check is worth at least its best single fact.
func (p *Problem) value(b *bench, list []look) []look {
	now, _ := p.worth(p.Post.Marginals, b)
	for i := range list {
		for _, pr := range list[i].probes {
			list[i].hint = max(list[i].hint, p.hint(pr))
		}
		list[i].hint *= list[i].known
	}
	slices.SortStableFunc(list, func(x, y look) int { return cmp.Compare(y.hint, x.hint) })
	list = list[:min(mostExact, len(list))]
	for i := range list {
		l := &list[i]
		slices.SortStableFunc(l.probes, func(x, y probe) int { return cmp.Compare(p.hint(y), p.hint(x)) })
		for _, pr := range l.probes[:min(2, len(l.probes))] {
			outs, err := p.Solver.LookAhead(pr.answers)
			if err != nil {
				continue
			}
			then := 0.0
			for _, o := range outs {
				if o.P > 0 {
					w, _ := p.worth(o.Posterior.Marginals, b)
					then += o.P * w
				}
			}
			l.Saves = max(l.Saves, l.known*(now-then))
		}
	}
	slices.SortStableFunc(list, func(x, y look) int {
		return cmp.Or(cmp.Compare(y.Saves-p.cost(y), x.Saves-p.cost(x)), cmp.Compare(y.hint, x.hint), cmp.Compare(x.Joint, y.Joint), cmp.Compare(x.Check+x.Fact, y.Check+y.Fact))
	})
	return list
}

// cost is what a look costs now: its own minutes, what its state costs once, and a tenth of
// its waiting.
func (p *Problem) cost(l look) float64 {
	m := l.Minutes + p.setup(l.stage)
	if l.checks != nil {
		m += p.fig("waiting-weight") * l.checks.Wait / 10
	}
	if len(l.Borrow) > 0 {
		m += 30
	}
	return m
}

// hint estimates, with one cause at a time, how far the answers could move the ranking:
// the mutual information between answer and cause. It only cuts the list.
func (p *Problem) hint(pr probe) float64 {
	if pr.fact.ID == network.WetFact || pr.fact.ID == network.ProvenFact {
		q := p.Post.JointLeaks[pr.block]
		return entropy(q) * 0.8
	}
	cause := p.Post.Cause[pr.block]
	sum := p.Post.Arrives[pr.block]
	for _, q := range cause {
		sum += q
	}
	if sum <= 0 {
		return 0
	}
	total, inner := make([]float64, len(pr.answers)), 0.0
	for k := range append(cause, 0) {
		w := p.Post.Arrives[pr.block]
		if k < len(cause) {
			w = cause[k]
		}
		w /= sum
		rates := make([]float64, len(pr.answers))
		norm := 0.0
		for a, ch := range pr.answers {
			rates[a] = likelihood(ch, k)
			norm += rates[a]
		}
		for a := range rates {
			if norm > 0 {
				rates[a] /= norm
			}
			total[a] += w * rates[a]
			inner += w * plogp(rates[a])
		}
	}
	h := 0.0
	for _, t := range total {
		h -= plogp(t)
	}
	return max(0, h+inner) * min(1, p.Post.JointLeaks[pr.block]+p.Post.Arrives[pr.block])
}

// likelihood of the findings of one answer with cause k alone.
func likelihood(ch []rank.Change, k int) float64 {
	l := 1.0
	for _, c := range ch {
		for _, f := range c.Add {
			q, lim := 0.0, 1.0
			for _, x := range f.Links {
				if x.Cause == k {
					q, lim = x.Q, x.Cap
				}
			}
			if f.State == rank.Positive {
				l *= lim * (1 - (1-f.Leak)*(1-q))
			} else {
				l *= lim * f.Base
			}
		}
	}
	return l
}

func entropy(q float64) float64 { return -plogp(q) - plogp(1-q) }

func plogp(x float64) float64 {
	if x <= 0 {
		return 0
	}
	return x * math.Log(x)
}

// purpose says in the words of a consultant what a question is for.
func (p *Problem) purpose() string {
	best, second := 0.0, 0.0
	for i := range p.Net.Joints {
		for _, q := range p.Post.Cause[i] {
			if q > best {
				best, second = q, best
			} else if q > second {
				second = q
			}
		}
	}
	switch {
	case best > 0.6 && second < best/3:
		return "confirm"
	case best > 0.3:
		return "tell-apart"
	}
	return "rule-out"
}

// why says in one sentence what the answer would do.
func (p *Problem) why(l look) string {
	if l.Why != "" {
		return l.Why
	}
	names := p.splits(l)
	switch {
	case len(names) > 1:
		return fmt.Sprintf("it tells %q from %q", names[0], names[1])
	case len(names) == 1:
		return fmt.Sprintf("it speaks for or against %q", names[0])
	}
	return "it narrows down which joint leaks"
}

// splits names the two causes that the look would move most.
func (p *Problem) splits(l look) []string {
	type move struct {
		name string
		by   float64
	}
	var moves []move
	for _, pr := range l.probes {
		if len(pr.answers) == 0 || len(pr.answers[0]) == 0 {
			continue
		}
		m := p.Net.Joints[pr.block].Model
		for k, c := range m.Causes {
			r := likelihood(pr.answers[0], k)
			moves = append(moves, move{c.Title, p.Post.Cause[pr.block][k] * math.Abs(math.Log((r+0.01)/(m.YesNo(pr.fact.ID, "").Base+0.01)))})
		}
	}
	slices.SortStableFunc(moves, func(a, b move) int { return cmp.Compare(b.by, a.by) })
	var out []string
	for _, mv := range moves {
		if len(out) < 2 && mv.by > 0 && !slices.Contains(out, mv.name) {
			out = append(out, mv.name)
		}
	}
	return out
}
