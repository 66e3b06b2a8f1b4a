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
	prior   float64
	session *Session
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
		a.kinds = append(a.kinds, amongKind{id, 1 / float64(len(kinds)), s})
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

// asks reports whether a fact may be asked while the kind is open: every kind must know it.
func (a *Among) asks(f *rules.Fact) bool {
	return !slices.ContainsFunc(a.kinds, func(k amongKind) bool { return !rules.Applies(f.For, k.id) })
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

// Odds are the chances of the kinds, likeliest first.
func (a *Among) Odds() ([]KindOdds, error) {
	logs := make([]float64, len(a.kinds))
	top := math.Inf(-1)
	for i, k := range a.kinds {
		n, sv, err := k.session.Network()
		switch {
		case errors.Is(err, rank.ErrImpossible):
			logs[i] = math.Inf(-1)
			continue
		case err != nil:
			return nil, fmt.Errorf("kind %s: %w", k.id, err)
		}
		sv.Release()
		fit, err := a.fit(n)
		if err != nil {
			return nil, fmt.Errorf("kind %s: %w", k.id, err)
		}
		logs[i] = math.Log(k.prior) + fit
		top = max(top, logs[i])
	}
	out := make([]KindOdds, len(a.kinds))
	sum := 0.0
	for i, k := range a.kinds {
		j := a.kb.Joint(k.id)
		out[i] = KindOdds{Kind: k.id, Title: cmp.Or(j.Title, j.ID), LooksLike: j.LooksLike}
		if math.IsInf(top, -1) {
			out[i].Probability = 1 // nothing fits: none is ruled out more than another
		} else {
			out[i].Probability = math.Exp(logs[i] - top)
		}
		sum += out[i].Probability
	}
	for i := range out {
		out[i].Probability /= sum
	}
	slices.SortStableFunc(out, func(x, y KindOdds) int {
		return cmp.Or(cmp.Compare(y.Probability, x.Probability), cmp.Compare(x.Kind, y.Kind))
	})
	return out, nil
}

// hardlyKind is the chance below which a kind has no say in what may be run and what to beware of.
const hardlyKind = 0.02

// Result ranks the causes of all kinds together. After the questions of safety and history the
// next one is that which tells most of the kind; there is no plan until the kind is known.
func (a *Among) Result(ask plan.Person) (*Result, error) {
	odds, err := a.Odds()
	if err != nil {
		return nil, err
	}
	var out *Result
	for _, o := range odds {
		i := slices.IndexFunc(a.kinds, func(k amongKind) bool { return k.id == o.Kind })
		person := ask
		person.Brief = true // no plan
		person.Asks = a.asks
		r, err := a.kinds[i].session.Result(person)
		if err != nil {
			return nil, err
		}
		for k := range r.Ranking {
			r.Ranking[k].Probability *= o.Probability
			r.Ranking[k].Prior *= a.kinds[i].prior
		}
		if out == nil {
			out = r
			continue
		}
		out.Ranking = append(out.Ranking, r.Ranking...)
		out.Exact = out.Exact && r.Exact
		if o.Probability < hardlyKind {
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
	if f := a.nextFact(out); f == nil || !f.Safety && f.First == 0 {
		if out.Next, err = a.telling(odds); err != nil {
			return nil, err
		}
	}
	out.Joints[0].Kind = ""
	out.Bounds, out.Targets, out.Errand = nil, []Target{}, []plan.Next{}
	out.Plan = plan.Plan{HaveReady: []string{}, Steps: []plan.Step{}, Sums: []string{"a plan is made when the kind of joint is known"}}
	if out.Next == nil {
		out.NothingMore = "what is left to ask depends on the kind: look which of these it is"
	}
	return out, nil
}

func (a *Among) nextFact(r *Result) *rules.Fact {
	if r.Next == nil {
		return nil
	}
	return a.kb.Fact(r.Next.Fact)
}

// leastTold is what a question must tell of the kind to be worth asking, in nats; often is how many people
// can answer one of which it is not said.
const (
	leastTold = 0.01
	often     = 0.7
)

// telling is the open question, common to all kinds, whose answer says most of the kind: the
// mutual information of the two, times the chance that the person can answer. nil = none is worth asking.
func (a *Among) telling(odds []KindOdds) (*plan.Next, error) {
	type solved struct {
		n      *network.Network
		sv     *rank.Solver
		chance float64
	}
	var nets []solved
	for _, o := range odds {
		i := slices.IndexFunc(a.kinds, func(k amongKind) bool { return k.id == o.Kind })
		if o.Probability < 1e-6 {
			continue
		}
		n, sv, err := a.kinds[i].session.Network()
		if err != nil {
			continue // the answers do not fit this kind
		}
		defer sv.Release()
		nets = append(nets, solved{n, sv, o.Probability})
	}
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
	lead := a.kinds[slices.IndexFunc(a.kinds, func(k amongKind) bool { return k.id == odds[0].Kind })].session
	var best *rules.Fact
	most := leastTold
	for _, f := range a.kb.Facts {
		if _, ok, clash := lead.mem.Value(lead.mem.Key(lead.asm.Joints[0].ID, f.ID)); !a.common[f.ID] || f.Engine || ok || clash || f.Stage != rules.Told && f.Stage != rules.Outside && f.Stage != rules.Running {
			continue
		}
		if f.AskIf != nil && f.AskIf.Cond.Eval(lead.mem.Env(lead.asm.Joints[0].ID)).Truth == fact.False {
			continue
		}
		info := 0.0
		switch f.Answer {
		case fact.YesNo:
			var err error
			if info, err = told(f, fact.MakeYesNo(true), fact.MakeYesNo(false)); err != nil {
				return nil, err
			}
		case fact.Choice:
			var values []fact.Value
			for _, o := range f.Options {
				values = append(values, fact.MakeChoice(o.ID))
			}
			var err error
			if info, err = told(f, values...); err != nil {
				return nil, err
			}
		case fact.Several: // its most telling option
			for _, o := range f.Options {
				x, err := told(f, fact.MakeSeveral([]string{o.ID}, nil), fact.MakeSeveral(nil, []string{o.ID}))
				if err != nil {
					return nil, err
				}
				info = max(info, x)
			}
		}
		if info *= cmp.Or(f.Known, often); info > most {
			best, most = f, info
		}
	}
	if best == nil {
		return nil, nil
	}
	return &plan.Next{Fact: best.ID, Joint: lead.mem.Key(lead.asm.Joints[0].ID, best.ID).Joint, Title: best.Ask, Kind: "tell-apart", Stage: string(best.Stage),
		Minutes: max(best.Minutes, 0.5), Tools: []string{}, How: best.How, Why: "it tells which kind of joint this is"}, nil
}
