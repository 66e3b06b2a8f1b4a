package engine

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seepwright/engine/network"
	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/fact"
)

// mattering are the joints at which open questions are tried: those of the leading causes, and
// where causes that several joints share lead, the joints most likely to leak, mostJoints in all.
func (s *Session) mattering(n *network.Network, sv *rank.Solver, now []Chance) map[string]bool {
	out := map[string]bool{}
	for _, c := range now[:min(leaders, len(now))] {
		if c.Joint != "" {
			out[c.Joint] = true
		}
	}
	leaks := sv.Posterior().JointLeaks
	byLeak := make([]int, len(leaks))
	for i := range byLeak {
		byLeak[i] = i
	}
	slices.SortStableFunc(byLeak, func(a, b int) int { return cmp.Compare(leaks[b], leaks[a]) })
	for _, b := range byLeak {
		if len(out) < mostJoints && leaks[b] >= leastChance {
			out[n.Joints[b].ID] = true
		}
	}
	return out
}

// supposeAll lists the answers of all open questions at the joints that matter that can move the
// ranking, and whether a joint is wet for all joints.
func (s *Session) supposeAll(m *Mind, n *network.Network, sv *rank.Solver, now []Chance) ([]supposed, error) {
	speaks := s.mattering(n, sv, now)
	m.Tried.Joints = []string{}
	for _, j := range n.Joints {
		if speaks[j.ID] {
			m.Tried.Joints = append(m.Tried.Joints, j.ID)
		}
	}
	ways := s.ways()
	var out []supposed
	seen := map[fact.Key]bool{}
	for b, j := range n.Joints {
		for _, f := range s.kb.Facts {
			if !speaks[j.ID] && f.ID != network.WetFact {
				continue
			}
			k := s.mem.Key(j.ID, f.ID)
			way, can := ways.of(f, j.Kind)
			if seen[k] || !can || !s.open(j, f) {
				continue
			}
			seen[k] = true
			answers, err := s.suppose(n, sv, b, f, way)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", k, err)
			}
			for _, x := range answers {
				if x.then != nil {
					out = append(out, x)
				}
			}
		}
	}
	return out, nil
}

// open reports whether a question can still be asked at a joint and could move the ranking.
func (s *Session) open(j network.Joint, f *rules.Fact) bool {
	if f.Engine || !s.moves[f.ID] || !rules.Applies(f.For, j.Kind) {
		return false
	}
	if _, ok, clash := s.mem.Value(s.mem.Key(j.ID, f.ID)); ok || clash {
		return false
	}
	return f.AskIf == nil || f.AskIf.Cond.Eval(s.mem.Env(j.ID)).Truth != fact.False
}

// suppose works out what each answer to one question would do.
func (s *Session) suppose(n *network.Network, sv *rank.Solver, b int, f *rules.Fact, way OpenAnswer) ([]supposed, error) {
	j := n.Joints[b]
	keys := []fact.Key{s.mem.Key(j.ID, f.ID)}
	if f.Scope == fact.LikeJoints {
		for _, t := range s.asm.Twins(j.ID) {
			if k := s.mem.Key(t, f.ID); s.told(k).Origin == "" {
				keys = append(keys, k)
			}
		}
	}
	var out []supposed
	for _, group := range answersTo(f) {
		list := make([]supposed, len(group))
		signs := make([][]rank.Change, len(group))
		for i, v := range group {
			x := supposed{OpenAnswer: way, keys: keys, value: v, changes: s.asSign(n, f, keys, v)}
			x.Fact, x.Joint, x.Asks, x.Text, x.Chance = f.ID, keys[0].Joint, strings.TrimSuffix(title(f), "?"), Say(f, v), base(f, v, j.History)
			x.Value, _, _ = plainValue(v)
			list[i], signs[i] = x, x.changes
		}
		sign := !slices.ContainsFunc(signs, func(c []rank.Change) bool { return len(c) == 0 })
		if sign {
			outcomes, err := sv.LookAhead(signs)
			if err != nil {
				return nil, err
			}
			for i, o := range outcomes {
				list[i].Chance = &o.P
				if o.P > 0 && !s.feeds[f.ID] && f.ID != network.WetFact && f.ID != network.ProvenFact {
					list[i].then = inOrder(n, o.Posterior.Marginals)
				}
			}
		}
		for i := range list {
			x := &list[i]
			if x.then == nil && (x.Chance == nil || *x.Chance > 0) {
				back := s.trial(keys, &x.value)
				then, ok, err := s.solved(sv)
				back()
				if err != nil {
					return nil, err
				}
				if ok {
					x.then = then
				}
			}
		}
		out = append(out, list...)
	}
	return out, nil
}

// answersTo lists the answers to a question, in groups of which one is true. Options that may
// be seen together are asked one by one. Numbers and readings have no list.
func answersTo(f *rules.Fact) [][]fact.Value {
	var out [][]fact.Value
	switch f.Answer {
	case fact.YesNo:
		out = append(out, []fact.Value{fact.MakeYesNo(true), fact.MakeYesNo(false)})
	case fact.Choice:
		var group []fact.Value
		for _, o := range f.Options {
			group = append(group, fact.MakeChoice(o.ID))
		}
		out = append(out, group)
	case fact.Several:
		for _, o := range f.Options {
			out = append(out, []fact.Value{fact.MakeSeveral([]string{o.ID}, nil), fact.MakeSeveral(nil, []string{o.ID})})
		}
	}
	return out
}

// asSign is what an answer adds to the network as a sign, at all joints that it speaks of.
func (s *Session) asSign(n *network.Network, f *rules.Fact, keys []fact.Key, v fact.Value) []rank.Change {
	var out []rank.Change
	for b, j := range n.Joints {
		if !rules.Applies(f.For, j.Kind) || !slices.Contains(keys, s.mem.Key(j.ID, f.ID)) {
			continue
		}
		state := rank.Negative
		if v.Yes {
			state = rank.Positive
		}
		switch {
		case f.ID == network.WetFact:
			out = append(out, rank.Change{Block: b, Wet: state})
		case f.ID == network.ProvenFact:
			out = append(out, rank.Change{Block: b, Leaks: state})
		case j.Model.IsSign(f.ID):
			if add := n.Findings(b, f, v); len(add) > 0 {
				out = append(out, rank.Change{Block: b, Add: add})
			}
		}
	}
	return out
}

// base is how often an answer is given in any leak, nil where the knowledge does not say.
func base(f *rules.Fact, v fact.Value, h rules.History) *float64 {
	switch v.Type {
	case fact.YesNo:
		if p, ok := f.Base[h]; ok {
			if !v.Yes {
				p = 1 - p
			}
			return &p
		}
	case fact.Choice:
		for _, o := range f.Options {
			if p, ok := o.Base[h]; ok && o.ID == v.Option {
				return &p
			}
		}
	}
	return nil
}

// ways are the checks by the fact that they tell.
type ways map[string][]*rules.Check

// retestPrefix begins the ids of the checks that prove a repair; they are no looks at a leak.
const retestPrefix = "retest-"

func (s *Session) ways() ways {
	w := ways{}
	for _, c := range s.kb.Checks {
		for _, id := range c.Fills {
			w[id] = append(w[id], c)
		}
	}
	return w
}

// of is the cheapest way to the answer of a question at a joint of this kind: what is asked
// without a look at its own cost, else the check that tells it in the earliest stage and the
// fewest minutes. ok is false for what only a retest can tell.
func (w ways) of(f *rules.Fact, kind string) (way OpenAnswer, ok bool) {
	way = OpenAnswer{Stage: string(f.Stage), Minutes: max(f.Minutes, 0.5)}
	if f.Stage == rules.Told {
		return way, true
	}
	var best *rules.Check
	for _, c := range w[f.ID] {
		if strings.HasPrefix(c.ID, retestPrefix) {
			return way, false
		}
		if !rules.Applies(c.For, kind) {
			continue
		}
		at, was := slices.Index(rules.Stages(), c.Stage), 0
		if best != nil {
			was = slices.Index(rules.Stages(), best.Stage)
		}
		if best == nil || at < was || at == was && c.Minutes < best.Minutes {
			best = c
		}
	}
	if best != nil {
		way.Check, way.Stage, way.Minutes = best.ID, string(best.Stage), best.Minutes
	}
	return way, true
}
