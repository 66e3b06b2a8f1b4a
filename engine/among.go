package engine

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"seepwright/engine/network"
	"seepwright/engine/plan"
	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

// Among is a case on one joint of which it is not known what kind it is. Each kind is a case of
// its own; what was answered about questions that all of them know says how likely each kind
// is. It is a mixture: the kinds exclude each other, and a cause has the chance of its kind
// times its chance there.
type Among struct {
	kb     *rules.Knowledge
	kinds  []amongKind
	common map[string]bool // facts that every kind reads as signs
}

type amongKind struct {
	id      string
	session *Session
}

// amongSolved is the case of one kind solved; n is nil where the answers do not fit it.
type amongSolved struct {
	n      *network.Network
	sv     *rank.Solver
	fit    float64 // logarithm of the chance of the answers to common questions
	chance float64 // of the kind
}

// KindOdds is how likely the joint is of one kind.
type KindOdds struct {
	Kind        string  `json:"kind"`
	Title       string  `json:"title"`
	LooksLike   string  `json:"looks_like"`
	Probability float64 `json:"probability"`
}

// NewAmong starts a case that may be of any of these kinds, each as likely as the other.
func (b *Brain) NewAmong(kinds []string, o Options) (*Among, error) {
	a := &Among{kb: b.kb, common: map[string]bool{}}
	for _, id := range kinds {
		s, err := b.NewSession(assembly.Single(id), o)
		if err != nil {
			return nil, fmt.Errorf("kind %s: %w", id, err)
		}
		a.kinds = append(a.kinds, amongKind{id, s})
	}
	if len(a.kinds) == 0 {
		return nil, ErrNoJoint
	}
	for i, k := range a.kinds {
		m, err := k.session.models.Of(k.id, k.session.assume)
		if err != nil {
			return nil, err
		}
		had := a.common
		a.common = map[string]bool{}
		for _, f := range m.Facts() {
			a.common[f] = i == 0 || had[f]
		}
	}
	for f, all := range a.common {
		if !all {
			delete(a.common, f)
		}
	}
	return a, nil
}

// Sessions lists the cases, one for each kind.
func (a *Among) Sessions() []*Session {
	var out []*Session
	for _, k := range a.kinds {
		out = append(out, k.session)
	}
	return out
}

// Answer records what the person said, for every kind that the question is about. The error
// says that it is about none.
func (a *Among) Answer(factID string, v fact.Value) error {
	f := a.kb.Fact(factID)
	if f == nil {
		return fmt.Errorf("no fact is called %q", factID)
	}
	some := false
	for _, k := range a.kinds {
		if !rules.Applies(f.For, k.id) {
			continue
		}
		some = true
		if _, err := k.session.Answer(k.session.asm.Joints[0].ID, factID, v); err != nil {
			return err
		}
	}
	if !some {
		return fmt.Errorf("%s is a question about %s, and none of these kinds is in play", factID, strings.Join(f.For, ", "))
	}
	return nil
}

// fit is the logarithm of the chance of all answers to common questions, given that the joint
// is of this kind and leaks.
func (a *Among) fit(n *network.Network) (float64, error) {
	with, without := n.Rank, n.Rank
	with.Blocks, without.Blocks = slices.Clone(n.Rank.Blocks), slices.Clone(n.Rank.Blocks)
	with.Blocks[0].Findings, without.Blocks[0].Findings = nil, nil
	for _, f := range n.Rank.Blocks[0].Findings {
		if name, _, _ := strings.Cut(f.ID, "="); a.common[name] {
			with.Blocks[0].Findings = append(with.Blocks[0].Findings, f)
		}
	}
	p, err := rank.SolveAssembly(with)
	if err != nil {
		return 0, err
	}
	q, err := rank.SolveAssembly(without)
	if err != nil {
		return 0, err
	}
	return p.LogEvidence - q.LogEvidence, nil
}

// solve solves the case of every kind and weighs the kinds: each is as likely as the other before
// the answers. Where the answers fit none, none is ruled out more than another.
func (a *Among) solve() ([]amongSolved, error) {
	nets := make([]amongSolved, len(a.kinds))
	top := math.Inf(-1)
	for i, k := range a.kinds {
		n, sv, err := k.session.Network()
		if errors.Is(err, rank.ErrImpossible) {
			continue
		}
		if err == nil {
			nets[i] = amongSolved{n: n, sv: sv}
			nets[i].fit, err = a.fit(n)
		}
		if err != nil {
			return nil, fmt.Errorf("kind %s: %w", k.id, err)
		}
		top = max(top, nets[i].fit)
	}
	sum := 0.0
	for i := range nets {
		switch x := &nets[i]; {
		case x.n != nil:
			x.chance = math.Exp(x.fit - top)
		case math.IsInf(top, -1):
			x.chance = 1
		}
		sum += nets[i].chance
	}
	for i := range nets {
		nets[i].chance /= sum
	}
	return nets, nil
}

// Odds are the chances of the kinds, likeliest first.
func (a *Among) Odds() ([]KindOdds, error) {
	nets, err := a.solve()
	if err != nil {
		return nil, err
	}
	release(nets)
	odds, _ := a.odds(nets)
	return odds, nil
}

func release(nets []amongSolved) {
	for _, x := range nets {
		if x.sv != nil {
			x.sv.Release()
		}
	}
}

// odds puts the kinds in order; order gives their places in a.kinds.
func (a *Among) odds(nets []amongSolved) (odds []KindOdds, order []int) {
	for i := range nets {
		order = append(order, i)
	}
	slices.SortFunc(order, func(x, y int) int {
		return cmp.Or(cmp.Compare(nets[y].chance, nets[x].chance), cmp.Compare(a.kinds[x].id, a.kinds[y].id))
	})
	for _, i := range order {
		j := a.kb.Joint(a.kinds[i].id)
		odds = append(odds, KindOdds{Kind: j.ID, Title: cmp.Or(j.Title, j.ID), LooksLike: j.LooksLike, Probability: nets[i].chance})
	}
	return odds, order
}

// hardlyKind is the chance below which a kind has no say in what may be run and what to beware of.
const hardlyKind = 0.02

// Result ranks the causes of all kinds together. After the questions of safety and history the
// next one is that which tells most of the kind; there is no plan until the kind is known.
func (a *Among) Result(ask plan.Person) (*Result, error) {
	nets, err := a.solve()
	if err != nil {
		return nil, err
	}
	defer release(nets)
	odds, order := a.odds(nets)
	ask.Brief, ask.First = true, true
	var out *Result
	for place, i := range order {
		chance := odds[place].Probability
		r, err := a.kinds[i].session.Result(ask)
		if err != nil {
			return nil, err
		}
		for k := range r.Ranking {
			r.Ranking[k].Probability *= chance
			r.Ranking[k].Prior /= float64(len(a.kinds))
		}
		if out == nil {
			out = r
			continue
		}
		out.Ranking = append(out.Ranking, r.Ranking...)
		out.Exact = out.Exact && r.Exact
		if chance < hardlyKind {
			continue
		}
		if r.Stop != nil && (out.Stop == nil || r.Stop.Refuses && !out.Stop.Refuses) {
			out.Stop = r.Stop
		}
		if severity[r.Run.Verdict] > severity[out.Run.Verdict] {
			out.Run = r.Run
		}
		for _, c := range r.Cautions {
			if !slices.ContainsFunc(out.Cautions, func(x Caution) bool { return x.ID == c.ID }) {
				out.Cautions = append(out.Cautions, c)
			}
		}
	}
	slices.SortStableFunc(out.Ranking, func(x, y Ranked) int {
		return cmp.Or(cmp.Compare(y.Probability, x.Probability), cmp.Compare(x.Kind, y.Kind), cmp.Compare(x.Cause, y.Cause))
	})
	out.Kinds = odds
	if out.Next == nil && (out.Stop == nil || !out.Stop.Refuses) {
		if out.Next, err = a.telling(nets, a.kinds[order[0]].session); err != nil {
			return nil, err
		}
		if out.Next == nil {
			out.NothingMore = "what is left to ask depends on the kind: look which of these it is"
		}
	}
	out.Joints[0].Kind = ""
	out.Bounds, out.Targets = nil, []Target{}
	out.Plan.Sums = []string{"a plan is made when the kind of joint is known"}
	return out, nil
}

// leastTold is what a question must tell of the kind to be worth asking, in nats; often is how many people
// can answer one of which it is not said.
const (
	leastTold = 0.01
	often     = 0.7
)

// telling is the open question, common to all kinds, whose answer says most of the kind: the
// mutual information of the two, times the chance that the person can answer. nil = none is worth asking.
func (a *Among) telling(nets []amongSolved, lead *Session) (*plan.Next, error) {
	nets = slices.DeleteFunc(slices.Clone(nets), func(x amongSolved) bool { return x.n == nil })
	told := func(f *rules.Fact, values ...fact.Value) (float64, error) {
		p := make([][]float64, len(nets)) // by kind and answer
		for k, x := range nets {
			var answers [][]rank.Change
			for _, v := range values {
				answers = append(answers, []rank.Change{{Block: 0, Add: x.n.Findings(0, f, v)}})
			}
			out, err := x.sv.LookAhead(answers)
			if err != nil {
				return 0, err
			}
			sum := 0.0
			for _, o := range out {
				sum += o.P
			}
			for _, o := range out {
				p[k] = append(p[k], o.P/max(sum, 1e-12))
			}
		}
		info := 0.0
		for v := range values {
			all := 0.0
			for k, x := range nets {
				all += x.chance * p[k][v]
			}
			for k, x := range nets {
				if q := p[k][v]; q > 0 && all > 0 {
					info += x.chance * q * math.Log(q/all)
				}
			}
		}
		return info, nil
	}
	here := lead.asm.Joints[0].ID
	var best *rules.Fact
	most := leastTold
	for _, f := range a.kb.Facts {
		if !a.common[f.ID] || f.Engine || f.Stage != rules.Told && f.Stage != rules.Outside {
			continue // what is seen while it runs waits until the kind is known
		}
		if _, ok, clash := lead.mem.Value(lead.mem.Key(here, f.ID)); ok || clash || f.AskIf != nil && f.AskIf.Cond.Eval(lead.mem.Env(here)).Truth == fact.False {
			continue
		}
		info := 0.0
		for _, values := range alternatives(f) {
			x, err := told(f, values...)
			if err != nil {
				return nil, err
			}
			info = max(info, x)
		}
		if info *= cmp.Or(f.Known, often); info > most {
			best, most = f, info
		}
	}
	if best == nil {
		return nil, nil
	}
	return &plan.Next{Fact: best.ID, Joint: lead.mem.Key(here, best.ID).Joint, Title: best.Ask, Kind: "tell-apart", Stage: string(best.Stage),
		Minutes: max(best.Minutes, 0.5), Tools: []string{}, How: best.How, Why: "it tells which kind of joint this is"}, nil
}

// alternatives are the answers to a question that exclude each other; of one that takes several
// options, yes and no to each.
func alternatives(f *rules.Fact) [][]fact.Value {
	switch f.Answer {
	case fact.YesNo:
		return [][]fact.Value{{fact.MakeYesNo(true), fact.MakeYesNo(false)}}
	case fact.Choice:
		var all []fact.Value
		for _, o := range f.Options {
			all = append(all, fact.MakeChoice(o.ID))
		}
		return [][]fact.Value{all}
	case fact.Several:
		var each [][]fact.Value
		for _, o := range f.Options {
			each = append(each, []fact.Value{fact.MakeSeveral([]string{o.ID}, nil), fact.MakeSeveral(nil, []string{o.ID})})
		}
		return each
	}
	return nil
}
