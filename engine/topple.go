package engine

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

// Topple is the smallest set of open answers that would put a cause first that is not first now.
type Topple struct {
	Rival   Chance       `json:"rival"` // with its probability after the answers
	Now     float64      `json:"now"`   // its probability now
	First   Chance       `json:"first"` // the cause that is first now, after the answers
	Answers []OpenAnswer `json:"answers"`
	Chance  *float64     `json:"chance"` // that all these answers come; null where the knowledge has no rate for one of them
	Minutes float64      `json:"minutes"`
}

// OpenAnswer is one possible answer to an open question, and what it takes to get it.
type OpenAnswer struct {
	Fact    string   `json:"fact"`
	Joint   string   `json:"joint"`
	Asks    string   `json:"asks"` // the question in short
	Value   any      `json:"value"`
	Text    string   `json:"text"`
	Check   string   `json:"check,omitempty"` // the check that tells it
	Stage   string   `json:"stage"`
	Minutes float64  `json:"minutes"`
	Chance  *float64 `json:"chance"`
}

// supposed is an open answer with what it does.
type supposed struct {
	OpenAnswer
	keys    []fact.Key
	value   fact.Value
	changes []rank.Change // what it adds as a sign
	then    []Chance
}

// topples tries every open answer at the joints of the leading causes, and for the leaders that no
// single one puts first, pairs. Answers that only add a sign are added to the solved network;
// all others are really given and taken back, so that rules and priors follow.
func (s *Session) topples(m *Mind, n *network.Network, sv *rank.Solver, now []Chance) error {
	singles, err := s.supposeAll(m, n, sv, now)
	if err != nil {
		return err
	}
	m.Tried.Answers, m.Tried.AllPairs = len(singles), true
	tried := map[[2]int]*supposedPair{}
	for _, rival := range now[1:min(leaders, len(now))] {
		var best *Topple
		for i := range singles {
			best = cheaper(best, topple(rival, now[0], singles[i].then, singles[i].Chance, singles[i].OpenAnswer))
		}
		if best == nil {
			if best, err = s.pairs(m, sv, singles, tried, rival, now[0]); err != nil {
				return err
			}
		}
		if best == nil {
			m.Steady = append(m.Steady, rival)
			continue
		}
		m.Topples = append(m.Topples, *best)
	}
	m.Tried.Pairs = len(tried)
	slices.SortStableFunc(m.Topples, func(a, b Topple) int { return compareCost(&a, &b) })
	return nil
}

// topple is what these answers do for a rival, nil where it does not stand first after them or
// where they hardly ever come.
func topple(rival, first Chance, then []Chance, p *float64, answers ...OpenAnswer) *Topple {
	if then[0].ref() != rival.ref() || p != nil && *p < leastChance {
		return nil
	}
	t := &Topple{Rival: then[0], Now: rival.Probability, First: of(then, first), Answers: answers, Chance: p}
	for _, a := range answers {
		t.Minutes += a.Minutes
	}
	return t
}

// cheaper is the one that is had in an earlier stage, then in fewer minutes, then the more probable.
func cheaper(a, b *Topple) *Topple {
	if a == nil || b != nil && compareCost(b, a) < 0 {
		return b
	}
	return a
}

func compareCost(a, b *Topple) int {
	return cmp.Or(cmp.Compare(a.stage(), b.stage()), cmp.Compare(a.Minutes, b.Minutes), cmp.Compare(b.chance(), a.chance()))
}

func (t *Topple) stage() int {
	last := 0
	for _, a := range t.Answers {
		last = max(last, slices.Index(rules.Stages(), rules.Stage(a.Stage)))
	}
	return last
}

func (t *Topple) chance() float64 {
	if t.Chance == nil {
		return 0
	}
	return *t.Chance
}

type supposedPair struct {
	then []Chance
	p    *float64
}

// pairs tries pairs of answers, those first that singly push the rival most against the first.
func (s *Session) pairs(m *Mind, sv *rank.Solver, singles []supposed, tried map[[2]int]*supposedPair, rival, first Chance) (*Topple, error) {
	type pair struct {
		key  [2]int
		push float64
	}
	rare := func(x *supposed) bool { return x.Chance != nil && *x.Chance < leastChance }
	push := make([]float64, len(singles))
	for i, x := range singles {
		push[i] = math.Log(max(of(x.then, rival).Probability, 1e-12) / max(of(x.then, first).Probability, 1e-12))
	}
	var list []pair
	for i := range singles {
		for k := i + 1; k < len(singles); k++ {
			a, b := &singles[i], &singles[k]
			if !rare(a) && !rare(b) && !slices.ContainsFunc(a.keys, func(x fact.Key) bool { return slices.Contains(b.keys, x) }) {
				list = append(list, pair{[2]int{i, k}, push[i] + push[k]})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b pair) int { return cmp.Compare(b.push, a.push) })
	if len(list) > mostPairs {
		list, m.Tried.AllPairs = list[:mostPairs], false
	}
	var best *Topple
	for _, p := range list {
		a, b := &singles[p.key[0]], &singles[p.key[1]]
		got := tried[p.key]
		if got == nil {
			var err error
			if got, err = s.supposeBoth(sv, a, b); err != nil {
				return nil, err
			}
			tried[p.key] = got
		}
		if got.then != nil {
			best = cheaper(best, topple(rival, first, got.then, got.p, a.OpenAnswer, b.OpenAnswer))
		}
	}
	return best, nil
}

// supposeBoth gives both answers in turn and takes them back.
func (s *Session) supposeBoth(sv *rank.Solver, a, b *supposed) (*supposedPair, error) {
	out := &supposedPair{}
	backA := s.trial(a.keys, &a.value)
	backB := s.trial(b.keys, &b.value)
	then, ok, err := s.solved(sv)
	backB()
	backA()
	if err != nil || !ok {
		return out, err
	}
	out.then = then
	if len(a.changes) > 0 && len(b.changes) > 0 {
		both, err := sv.LookAhead([][]rank.Change{append(slices.Clip(a.changes), b.changes...)})
		if err != nil {
			return nil, fmt.Errorf("%s and %s: %w", a.Fact, b.Fact, err)
		}
		out.p = &both[0].P
	}
	return out, nil
}
