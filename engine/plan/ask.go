package plan

import (
	"cmp"
	"slices"
	"strings"

	"seepwright/engine/abreast"
	"seepwright/engine/network"
	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/fact"
)

// look is one open question or check and what it would save.
type look struct {
	Next
	stage      rules.Stage
	checks     *rules.Check
	known      bool // what most people saw already
	probes     []probe
	best, next telling     // of its facts the two that tell most
	table      [][]float64 // by answer and possibility: chance of the answer
	place      int         // order of walking
	cost       float64
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
	if f.Stage.Loaded() && p.refuses(rules.UnderPressure) && !p.keepsClear(f) {
		return false
	}
	return p.Person.CantTell[f.Stage] < 2
}

// speaksOf lists the joints of which an answer at one joint would speak: of a fact of wider
// scope, and of one that is asked once for like joints, more than that joint.
func (p *Problem) speaksOf(i int, f *rules.Fact) []int {
	here := p.Net.Joints[i]
	k := p.Mem.Key(here.ID, f.ID)
	out := []int{i}
	for o, j := range p.Net.Joints {
		if o == i || !rules.Applies(f.For, j.Kind) {
			continue
		}
		same := p.Mem.Key(j.ID, f.ID) == k
		if twin := f.Scope == fact.LikeJoints && here.Like != "" && j.Like == here.Like && j.Kind == here.Kind; twin {
			_, ok, _ := p.Mem.Value(p.Mem.Key(j.ID, f.ID))
			same = same || !ok
		}
		if same {
			out = append(out, o)
		}
	}
	slices.Sort(out)
	return out
}

// probes of a fact at a joint: as a sign and as context. A fact that speaks of several joints is probed at the first of them that matters.
func (p *Problem) probes(b *bench, i int, f *rules.Fact, idle []bool) []probe {
	blocks := p.speaksOf(i, f)
	if first := slices.IndexFunc(blocks, func(o int) bool { return !idle[o] }); first >= 0 && blocks[first] != i {
		return nil
	}
	known := p.known(f)
	out := p.signs(blocks, f, known)
	if pr, ok := p.context(b, blocks, f, known); ok {
		out = append(out, pr)
	}
	return out
}

// hardly is the chance of being at fault below which a joint of several is left alone;
// mostJoints is how many are looked at closely while none is known to be wet.
const (
	hardly     = 0.03
	mostJoints = 6
)

// candidates lists all open questions and checks that could be had now: told and outside
// ones, states, one fastener; and, at joints that are apart, the looks at opened parts. Joints
// known to be dry, those that are hardly at fault, and those of which it is not known whether
// they are wet (where one is known to be, or past the likeliest few), are left alone but for
// that question.
func (p *Problem) candidates(b *bench) []*look {
	setup := p.setups()
	idle := make([]bool, len(p.Net.Joints))
	fault := func(i int) float64 { return p.Post.JointLeaks[i] + p.Post.Arrives[i] }
	var order []int
	for i := range idle {
		order = append(order, i)
	}
	slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(fault(y), fault(x)) })
	found := slices.Contains(b.wet, rank.Positive)
	for n, i := range order {
		idle[i] = len(idle) > 1 && (b.wet[i] == rank.Negative || b.wet[i] == rank.Unknown && (found || n >= mostJoints) || fault(i) < hardly)
	}
	proving := map[string]bool{} // what only a retest can tell is no question about a leak
	for _, c := range p.KB.Checks {
		if strings.HasPrefix(c.ID, retestPrefix) {
			for _, id := range c.Fills {
				proving[id] = true
			}
		}
	}
	by := make([][]*look, len(p.Net.Joints))
	abreast.Each(len(by), func(i int) { by[i] = p.looks(b, i, idle, proving) })
	out := slices.Concat(by...)
	for _, l := range out {
		l.cost += l.Minutes // getting into the state is a stage of access of the model
		l.Minutes += setup[l.stage]
		if len(l.Borrow) > 0 {
			l.cost += p.fig("borrow-minutes")
		}
	}
	return out
}

// looks are the candidates at one joint.
func (p *Problem) looks(b *bench, i int, idle []bool, proving map[string]bool) (out []*look) {
	j := p.Net.Joints[i]
	filled := map[string]bool{} // facts that some check carries
	had := map[string][]probe{}
	probes := func(f *rules.Fact) []probe {
		if pr, ok := had[f.ID]; ok {
			return pr
		}
		pr := p.probes(b, i, f, idle)
		had[f.ID] = pr
		return pr
	}
	for _, c := range p.KB.Checks {
		if idle[i] || strings.HasPrefix(c.ID, retestPrefix) || !rules.Applies(c.For, j.Kind) || !isOutside(c.Stage) && !b.opened[i] || p.Person.CantTell[c.Stage] >= 2 {
			continue
		}
		if p.barred(c) {
			continue
		}
		l := &look{stage: c.Stage, checks: c, place: i}
		var open []*rules.Fact
		for _, id := range c.Fills {
			if f := p.KB.Fact(id); f != nil && p.open(j, f) {
				open = append(open, f)
			}
		}
		verdicts, useful := p.verdicts(i, open)
		l.probes = verdicts
		for _, f := range open {
			pr := probes(f)
			if len(pr) == 0 && !useful[f.ID] {
				continue
			}
			l.probes = append(l.probes, pr...)
			l.Fills = append(l.Fills, f.ID)
			if f.Stage != rules.Told {
				filled[f.ID] = true
			}
		}
		if len(l.probes) == 0 {
			continue
		}
		l.Check, l.Joint, l.Title, l.How = c.ID, j.ID, cmp.Or(c.Title, c.ID), c.How
		l.Minutes, l.Stage, l.Tools, l.Caution = c.Minutes, string(c.Stage), c.Tools, c.Cautions
		l.Borrow = p.borrow(c.Tools)
		l.cost = p.waiting(c.Wait, c.MayRun || c.Kind == rules.Attempt) // a try stays while the machine works
		out = append(out, l)
	}
	for _, f := range p.KB.Facts {
		if idle[i] && f.ID != network.WetFact || !isOutside(f.Stage) && !b.opened[i] || filled[f.ID] && !seen(f) || proving[f.ID] || !p.open(j, f) {
			continue
		}
		pr := probes(f)
		if verdicts, _ := p.verdicts(i, []*rules.Fact{f}); len(verdicts) > 0 {
			pr = append(slices.Clone(pr), verdicts...)
		}
		if len(pr) > 0 {
			l := &look{stage: f.Stage, probes: pr, place: i, known: seen(f)}
			l.Fact, l.Joint, l.Title, l.How = f.ID, p.Mem.Key(j.ID, f.ID).Joint, f.Ask, f.How
			l.Minutes, l.Stage, l.Tools = max(f.Minutes, 0.5), string(f.Stage), f.Tools
			l.Borrow = p.borrow(f.Tools)
			l.Why = f.Why
			out = append(out, l)
		}
	}
	return out
}

// seen reports whether a fact is a general observation that most people made already, when
// they found the leak: it can be asked before any check that would fill it.
func seen(f *rules.Fact) bool {
	return f.Stage == rules.Outside && len(f.For) == 0 && f.Known >= 0.7
}

// seated reports whether a question can be answered where one sits.
func (l *look) seated() bool {
	return l.checks == nil && (l.stage == rules.Told || l.known)
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
