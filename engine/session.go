// Package engine ties chaining, ranking and planning together: answers go in, a Result
// comes out.
// It knows no terminal, no file and no network; the same answers always give the same result.
package engine

import (
	"errors"
	"fmt"
	"slices"
	"sort"

	"seepwright/engine/derive"
	"seepwright/engine/infer"
	"seepwright/engine/network"
	"seepwright/engine/plan"
	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

// Session is one case being worked on.
type Session struct {
	kb      *rules.Knowledge
	asm     *assembly.Assembly
	mem     *infer.Memory
	models  *network.Models
	assume  rules.History
	feeds   map[string]bool // facts that change the ranking by way of rules or priors
	reading map[string]bool // facts that some rule, cause, target or caution reads
	moves   map[string]bool // facts that can change the ranking, through rules or at once
	index   *plan.Index
	waiting []infer.Undecided // rules that cannot say yet, at the last Result
	tried   []network.Tried
	counted map[fact.Key]bool // numbers of failures that were counted, not told
}

// Options are what the command line can set.
type Options struct {
	History rules.History // taken for granted where the answers do not say; "" = after-refit
	Units   string        // metric | inch: how computed values are shown; "" = as given
}

// ErrNoJoint is returned for an assembly without a joint of a known kind.
var ErrNoJoint = errors.New("no joint of a kind that this knowledge base knows")

// Brain is a knowledge base made ready for cases. Making one costs more than working a case;
// keep it for many. It is not safe for concurrent use.
type Brain struct {
	kb      *rules.Knowledge
	book    *infer.Rulebook
	models  *network.Models
	feeds   map[string]bool
	reading map[string]bool
	moves   map[string]bool
	index   *plan.Index
}

// NewBrain makes a knowledge base ready. It must have been checked.
func NewBrain(kb *rules.Knowledge) *Brain {
	b := &Brain{kb: kb, book: infer.Compile(kb), models: network.NewModels(kb), index: plan.NewIndex(kb)}
	b.reading = readers(kb)
	b.moves, b.feeds = movers(kb)
	return b
}

// NewSession starts a single case. The knowledge base must have been checked.
func NewSession(kb *rules.Knowledge, asm *assembly.Assembly, o Options) (*Session, error) {
	return NewBrain(kb).NewSession(asm, o)
}

// NewSession starts a case.
func (b *Brain) NewSession(asm *assembly.Assembly, o Options) (*Session, error) {
	kb := b.kb
	if o.History == "" {
		o.History = rules.AfterRefit
	}
	if !slices.ContainsFunc(asm.Joints, func(j assembly.Joint) bool { return kb.Joint(j.Kind) != nil }) {
		return nil, ErrNoJoint
	}
	s := &Session{kb: kb, asm: asm, assume: o.History, models: b.models, feeds: b.feeds, reading: b.reading, moves: b.moves, index: b.index, counted: map[fact.Key]bool{}}
	s.mem = infer.New(b.book, asm, derive.Library{Units: o.Units, Tables: kb.Tables})
	return s, nil
}

// readers lists all facts that anything reads.
func readers(kb *rules.Knowledge) map[string]bool {
	all := map[string]bool{network.WetFact: true, network.ProvenFact: true, network.InsideFact: true, network.WorkFact: true, network.HistoryFact: true}
	see := func(w *rules.When) {
		if w != nil {
			for _, f := range w.Cond.Facts() {
				all[f] = true
			}
		}
	}
	for _, c := range kb.Causes {
		for i := range c.Context {
			see(&c.Context[i].When)
			if f := c.Context[i].Unless; f != "" {
				all[f] = true
			}
		}
		for _, g := range c.Signs {
			all[g.Fact] = true
		}
		for _, f := range c.FoundBy {
			all[f.Fact] = true
		}
	}
	for _, r := range kb.Rules {
		for _, f := range infer.Reads(kb, r) {
			all[f] = true
		}
	}
	for _, t := range kb.Targets {
		see(t.When)
		for _, f := range []string{t.Fact, t.LimitBy, t.LowBy, t.Maker} {
			all[f] = true
		}
	}
	for _, c := range kb.Cautions {
		see(c.When)
	}
	for _, st := range kb.Stops {
		see(&st.When)
	}
	return all
}

// movers lists the facts that can change the ranking, signs among them, and of these the ones
// that do it by way of rules or priors: context, what the network reads itself, and all from
// which a rule moves a cause or concludes another of these facts.
func movers(kb *rules.Knowledge) (moves, feeds map[string]bool) {
	moves = map[string]bool{network.WetFact: true, network.ProvenFact: true}
	feeds = map[string]bool{network.WorkFact: true, network.HistoryFact: true, network.InsideFact: true}
	for _, c := range kb.Causes {
		for _, x := range c.Context {
			for _, f := range x.When.Cond.Facts() {
				feeds[f] = true
			}
			if x.Unless != "" {
				feeds[x.Unless] = true
			}
		}
		for _, g := range c.Signs {
			moves[g.Fact] = true
		}
		for _, f := range c.FoundBy {
			moves[f.Fact] = true
		}
	}
	for f := range feeds {
		moves[f] = true
	}
	for grown := true; grown; {
		grown = false
		for _, r := range kb.Rules {
			bears := false
			for _, a := range r.Then {
				for _, mv := range []*rules.MoveCause{a.Raise, a.Lower} {
					if mv != nil && mv.Unless != "" && !feeds[mv.Unless] {
						moves[mv.Unless], feeds[mv.Unless], grown = true, true, true
					}
				}
				bears = bears || a.Find != nil || a.Exclude != nil || a.Raise != nil || a.Lower != nil || a.Conclude != nil && moves[a.Conclude.Fact]
				if a.Compute != nil {
					for _, f := range a.Compute.Into {
						bears = bears || moves[f]
					}
				}
			}
			if !bears {
				continue
			}
			for _, f := range infer.Reads(kb, r) {
				if !feeds[f] {
					moves[f], feeds[f], grown = true, true, true
				}
			}
		}
	}
	return moves, feeds
}

// Knowledge is the knowledge base of the session.
func (s *Session) Knowledge() *rules.Knowledge { return s.kb }

// Assembly is the unit of the session.
func (s *Session) Assembly() *assembly.Assembly { return s.asm }

// Memory is what is known; the interview reads it to see what was concluded.
func (s *Session) Memory() *infer.Memory { return s.mem }

// Key is where an answer about a joint is kept. For a fact of a wider scope the joint does
// not matter.
func (s *Session) Key(joint, factID string) fact.Key { return s.mem.Key(joint, factID) }

// Answer records what the person said. An answer of scope like-joints is copied to the
// twins that have none of their own. It returns the keys that were set.
func (s *Session) Answer(joint, factID string, v fact.Value) ([]fact.Key, error) {
	f := s.kb.Fact(factID)
	if f == nil {
		return nil, fmt.Errorf("no fact is called %q", factID)
	}
	keys := []fact.Key{s.mem.Key(joint, factID)}
	if f.Scope == fact.LikeJoints {
		for _, t := range s.asm.Twins(joint) {
			k := s.mem.Key(t, factID)
			if !slices.ContainsFunc(s.mem.Supports(k), func(x infer.Support) bool { return x.Origin == infer.Answered }) {
				keys = append(keys, k)
			}
		}
	}
	for _, k := range keys {
		if s.counted[k] { // the person knows better
			s.mem.Withdraw(k)
			delete(s.counted, k)
		}
		s.mem.Tell(k, v, infer.Answered)
	}
	return keys, nil
}

// Give records what the assembly file says.
func (s *Session) Give(joint, factID string, v fact.Value) {
	s.mem.Tell(s.mem.Key(joint, factID), v, infer.Given)
}

// Withdraw takes an answer back, and with it what rested on it and nothing else.
func (s *Session) Withdraw(joint, factID string) { s.mem.Withdraw(s.mem.Key(joint, factID)) }

// Network builds the network of what is known now and solves it.
func (s *Session) Network() (*network.Network, *rank.Solver, error) {
	n, err := network.Build(s.kb, s.models, s.asm, s.mem, s.assume, s.tried)
	if err != nil {
		return nil, nil, err
	}
	sv, err := rank.NewSolver(n.Rank, 0)
	if err != nil {
		return n, nil, err
	}
	return n, sv, nil
}

// Result says all there is to say now; with ask.Brief only what the next question needs:
// no plan, no reasons, no ties, no list of what is open.
func (s *Session) Result(ask plan.Person) (*Result, error) {
	r := &Result{Schema: 1, Exact: true, Joints: []JointOdds{}, Ranking: []Ranked{}, Findings: s.findings(), Contra: s.contradicted(),
		Targets: []Target{}, Errand: []plan.Next{}, Meanwhile: []Meanwhile{}, Cautions: []Caution{}, Ties: []Tie{}, Tried: []Attempt{}, Unanswered: []Open{}, Assumed: []string{}}
	s.waiting = s.mem.Waiting()
	r.Stop = s.stop()
	r.Run = s.run(r.Stop)
	r.Assumed = append(r.Assumed, s.assumed()...)
	n, sv, err := s.Network()
	switch {
	case errors.Is(err, rank.ErrImpossible):
		r.Impossible = "these answers cannot all be true of this joint as the knowledge base sees it; look again at the ones you are least sure of"
		r.NothingMore = r.Impossible
		r.Plan = plan.Plan{HaveReady: []string{}, Steps: []plan.Step{}, Sums: []string{}}
		r.Cautions = s.cautions(nil)
		return r, nil
	case err != nil:
		return nil, fmt.Errorf("ranking: %w", err)
	}
	defer sv.Release()
	post := sv.Posterior()
	if err := s.rank(r, n, sv, post, ask.Brief); err != nil {
		return nil, err
	}
	r.Targets = s.targets(r.Ranking)
	r.Tried = s.attempts(n, sv, ask.Brief)
	if s.cured(n) && (r.Stop == nil || r.Stop.GoesOn) {
		r.Cured = true
		if r.Stop == nil && !slices.ContainsFunc(n.Joints, func(j network.Joint) bool { return s.spoken(j.ID) }) { // else the rules know better
			r.Run = Run{Verdict: "watched", LookEvery: lookWhenDry, Because: s.curedBy(n)}
		}
		r.NothingMore, r.Plan = dryNow, plan.Plan{HaveReady: []string{}, Steps: []plan.Step{}, Sums: []string{}}
		r.Cautions = s.cautions(nil)
		return r, nil
	}
	d := plan.Problem{KB: s.kb, Index: s.index, Asm: s.asm, Mem: s.mem, Net: n, Solver: sv, Post: post, Person: ask, Refused: r.Stop != nil && r.Stop.Refuses, Acts: actsOf(s.holding()), Settles: s.settles}.Decide()
	r.Next, r.NothingMore, r.Errand, r.Plan = d.Next, d.NothingMore, d.Errand, d.Plan
	if d.TooLarge != "" {
		r.Assumed = append(r.Assumed, d.TooLarge)
	}
	if !ask.Brief {
		r.Ties = s.ties(r)
		r.Unanswered = s.unanswered()
		r.Meanwhile = s.meanwhile(r)
	}
	r.Cautions = s.cautions(r)
	return r, nil
}

// findings lists all that is known, answers and conclusions.
func (s *Session) findings() []Finding {
	out := []Finding{}
	for _, k := range s.mem.Keys() {
		v, ok, _ := s.mem.Value(k)
		f := s.kb.Fact(k.Fact)
		if !ok || f == nil || k.Fact == "joint" {
			continue
		}
		g := Finding{Fact: k.Fact, Joint: k.Joint, Title: title(f), Text: Say(f, v), From: []string{}}
		g.Value, g.Unit, g.Uncertainty = plainValue(v)
		for _, sup := range s.mem.Supports(k) {
			from := string(sup.Origin)
			if sup.Rule != "" {
				from = "rule " + sup.Rule
				if sup.By != "" {
					from += " by " + sup.By
				}
				g.Says = sup.Says
			}
			g.From = append(g.From, from)
		}
		out = append(out, g)
	}
	return out
}

func (s *Session) contradicted() []Contra {
	out := []Contra{}
	for _, k := range s.mem.Keys() {
		if _, _, clash := s.mem.Value(k); !clash {
			continue
		}
		c := Contra{Fact: k.Fact, Joint: k.Joint, Values: []string{}, From: []string{}}
		for _, sup := range s.mem.Supports(k) {
			c.Values = append(c.Values, Say(s.kb.Fact(k.Fact), sup.Value))
			from := string(sup.Origin)
			if sup.Rule != "" {
				from = "rule " + sup.Rule + ": " + sup.Says
			}
			c.From = append(c.From, from)
		}
		out = append(out, c)
	}
	return out
}

// assumed lists what was taken for granted.
func (s *Session) assumed() []string {
	var out []string
	for _, j := range s.asm.Joints {
		if s.kb.Joint(j.Kind) == nil {
			out = append(out, fmt.Sprintf("%s: joints of kind %q are not in this knowledge base; prove where the first wet spot is before opening anything", label(j), j.Kind))
			continue
		}
		if _, ok, _ := s.mem.Value(s.mem.Key(j.ID, network.HistoryFact)); !ok {
			out = append(out, fmt.Sprintf("%s: history not told, taken as %s", label(j), s.assume))
		}
	}
	for _, f := range s.mem.Refusals() {
		out = append(out, fmt.Sprintf("%s: not computed (%s): %s", f.Joint, f.Rule, f.Says))
	}
	return out
}

// unanswered lists the questions that something reads and that nobody has answered, by stage.
func (s *Session) unanswered() []Open {
	out := []Open{}
	seen := map[fact.Key]bool{}
	order := map[rules.Stage]int{}
	for i, st := range rules.Stages() {
		order[st] = i
	}
	for _, j := range s.asm.Joints {
		for _, f := range s.kb.Facts {
			if f.Engine || !s.reading[f.ID] || !rules.Applies(f.For, j.Kind) {
				continue
			}
			k := s.mem.Key(j.ID, f.ID)
			if _, ok, _ := s.mem.Value(k); ok || seen[k] {
				continue
			}
			if f.AskIf != nil && f.AskIf.Cond.Eval(s.mem.Env(j.ID)).Truth == fact.False {
				continue
			}
			seen[k] = true
			out = append(out, Open{Fact: f.ID, Joint: k.Joint, Ask: f.Ask, Stage: string(f.Stage)})
		}
	}
	sort.SliceStable(out, func(a, b int) bool {
		return order[rules.Stage(out[a].Stage)] < order[rules.Stage(out[b].Stage)]
	})
	return out
}

func label(j assembly.Joint) string {
	if j.Title != "" {
		return j.Title
	}
	return j.ID
}

func title(f *rules.Fact) string {
	if f.Title != "" {
		return f.Title
	}
	return f.Ask
}

// retell puts an answer back that was taken away to see what rests on it.
func (s *Session) retell(k fact.Key, v fact.Value) { s.mem.Tell(k, v, infer.Answered) }
