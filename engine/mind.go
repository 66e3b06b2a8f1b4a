package engine

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"seepwright/engine/network"
	"seepwright/engine/rank"
)

// Mind says what would change the ranking and what carries it: open answers that would put another cause first, values at which
// the verdict on a measurement turns, the ranking without each answer, and which causes are probably there together.
type Mind struct {
	Silent  string     `json:"silent,omitempty"` // why nothing is said; the lists are empty then
	First   []Chance   `json:"first"`            // the first three as things stand
	Topples []Topple   `json:"topples"`          // what would put another first, cheapest first
	Steady  []Chance   `json:"steady"`           // leading causes that nothing tried would put first
	Tried   Tried      `json:"tried"`
	Flips   []Flip     `json:"flips"`
	Without []Without  `json:"without"` // answers that change the first three or move the first, taken out one at a time
	Carried bool       `json:"one_answer_carries_first"`
	Both    *Together  `json:"both"` // the two causes most probably both there; null when that is hardly so
	Sets    []CauseSet `json:"sets"`
}

// Chance is a cause with its probability.
type Chance struct {
	Joint       string  `json:"joint"`
	Cause       string  `json:"cause"`
	Title       string  `json:"title"`
	Probability float64 `json:"probability"`
}

func (c Chance) ref() string { return c.Joint + "/" + c.Cause }

// Tried counts what was tried. Numbers and readings have no list of answers and are not tried.
type Tried struct {
	Joints   []string `json:"joints"` // where the open questions were asked; whether it is wet is asked of all joints
	Answers  int      `json:"answers"`
	Pairs    int      `json:"pairs"`
	AllPairs bool     `json:"all_pairs"` // where pairs were needed, every one was tried
}

// Without is the ranking without one answer and all that was concluded from it.
type Without struct {
	Finding      string   `json:"finding"`
	Joint        string   `json:"joint"`
	Says         string   `json:"says"`
	First        []Chance `json:"first"`         // the first three then
	ChangesFirst bool     `json:"changes_first"` // another cause is first then
	Factor       float64  `json:"factor"`        // odds of the cause that is first now, over its odds without the answer
}

// Together is two causes and the probability that both are there.
type Together struct {
	A           Chance  `json:"a"`
	B           Chance  `json:"b"`
	Probability float64 `json:"probability"`
}

// CauseSet is a set of causes that are there with no other, and the probability of just that.
type CauseSet struct {
	Causes      []Chance `json:"causes"`
	Probability float64  `json:"probability"`
}

const (
	leaders     = 6    // causes that are spoken of
	movesFirst  = 1.5  // factor in the odds of the first from which an answer is named
	leastBoth   = 0.03 // below this two causes together are not spoken of
	leastChance = 0.01 // open answers less likely than this are not offered as a reason to think again
	mostJoints  = 3    // joints whose open questions are tried, those of the leading causes aside
	mostPairs   = 60   // pairs of answers tried for one cause
)

// Mind works out what would change the mind. It costs hundreds of solves and is no part of a Result; the session is the same
// afterwards.
func (s *Session) Mind() (*Mind, error) {
	m := &Mind{First: []Chance{}, Topples: []Topple{}, Steady: []Chance{}, Flips: []Flip{}, Tried: Tried{Joints: []string{}}, Without: []Without{}, Sets: []CauseSet{}}
	n, sv, err := s.Network()
	switch {
	case errors.Is(err, rank.ErrImpossible):
		m.Silent = "these answers cannot all be true; look again at the ones you are least sure of"
		return m, nil
	case err != nil:
		return nil, fmt.Errorf("ranking: %w", err)
	}
	post := sv.Posterior()
	if !post.Exact {
		m.Silent = "too many answers bear on one joint for exact chances; between bounds it is not certain what would change the order"
		return m, nil
	}
	now := inOrder(n, post.Marginals)
	m.First = now[:min(3, len(now))]
	m.Flips = s.flips()
	if err := s.leaveOut(m, n, sv, now); err != nil {
		return nil, err
	}
	if err := s.together(m, n, sv); err != nil {
		return nil, err
	}
	if stop := s.stop(); stop != nil && stop.Refuses {
		return m, nil // no look is named at work that is left to others
	}
	return m, s.topples(m, n, sv, now)
}

// inOrder lists all causes of a network, the most probable first. Of several joints, "it comes from
// elsewhere" is no cause that one could mend there, and is left out.
func inOrder(n *network.Network, p rank.Marginals) []Chance {
	var out []Chance
	for _, x := range slots(n) {
		if x.away && len(n.Joints) > 1 {
			continue
		}
		out = append(out, Chance{x.ranked.Joint, x.ranked.Cause, x.ranked.Title, tidy(x.of(p))})
	}
	slices.SortFunc(out, func(a, b Chance) int {
		return cmp.Or(cmp.Compare(b.Probability, a.Probability), cmp.Compare(a.Joint, b.Joint), cmp.Compare(a.Cause, b.Cause))
	})
	return out
}

// of finds a cause in a list, with probability 0 where it is not there.
func of(list []Chance, c Chance) Chance {
	for _, x := range list {
		if x.ref() == c.ref() {
			return x
		}
	}
	c.Probability = 0
	return c
}

// solved is the ranking of what is known at this moment; ok is false where that cannot be, or
// cannot be had exactly.
func (s *Session) solved(sv *rank.Solver) (list []Chance, ok bool, err error) {
	n, err := network.Build(s.kb, s.models, s.asm, s.mem, s.assume, s.tried)
	if err != nil {
		return nil, false, err
	}
	post, err := sv.Alternative(n.Rank)
	if errors.Is(err, rank.ErrImpossible) || errors.Is(err, rank.ErrTooWide) || err == nil && !post.Exact {
		return nil, false, nil
	}
	if err != nil {
		return nil, false, err
	}
	return inOrder(n, post.Marginals), true, nil
}

// leaveOut ranks without each answer. One that was given once for several like joints is
// taken out at all of them.
func (s *Session) leaveOut(m *Mind, n *network.Network, sv *rank.Solver, now []Chance) error {
	for _, g := range s.given() {
		k := g.keys[0]
		f := s.kb.Fact(k.Fact)
		if f == nil || !s.moves[k.Fact] || !g.value.Answered() {
			continue
		}
		back := s.trial(g.keys, nil)
		then, ok, err := s.solved(sv)
		back()
		if err != nil {
			return err
		}
		if !ok {
			continue
		}
		w := Without{Finding: k.Fact, Joint: k.Joint, Says: sayFinding(f, g.value), First: then[:min(3, len(then))],
			ChangesFirst: then[0].ref() != now[0].ref(), Factor: ratio(now[0].Probability, of(then, now[0]).Probability)}
		changed := !slices.EqualFunc(w.First, m.First, func(a, b Chance) bool { return a.ref() == b.ref() })
		m.Carried = m.Carried || w.ChangesFirst
		if changed || w.Factor > movesFirst || w.Factor < 1/movesFirst {
			m.Without = append(m.Without, w)
		}
	}
	slices.SortStableFunc(m.Without, func(a, b Without) int {
		return cmp.Or(first(b.ChangesFirst, a.ChangesFirst), cmp.Compare(max(b.Factor, 1/b.Factor), max(a.Factor, 1/a.Factor)))
	})
	return nil
}

// first orders what holds before what does not.
func first(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	}
	return -1
}

// together looks for causes that are there at once, among the leaders, and for whole sets.
func (s *Session) together(m *Mind, n *network.Network, sv *rank.Solver) error {
	p := sv.Posterior().Marginals
	named := map[rank.CauseRef]Chance{}
	var refs []rank.CauseRef
	for _, x := range slots(n) {
		ref := rank.CauseRef{Block: x.block, Cause: x.cause}
		if x.block < 0 {
			ref.Block = rank.SharedBlock
		}
		if x.away {
			ref.Cause = n.Rank.Blocks[x.block].ArrivesIndex()
		}
		named[ref] = Chance{x.ranked.Joint, x.ranked.Cause, x.ranked.Title, tidy(x.of(p))}
		if !x.away {
			refs = append(refs, ref)
		}
	}
	lead := p.Ranking(refs)
	lead = lead[:min(leaders, len(lead))]
	for i, a := range lead {
		for _, b := range lead[i+1:] {
			if b.P < leastBoth || m.Both != nil && b.P <= m.Both.Probability {
				break
			}
			pair, err := sv.Pair(a.CauseRef, b.CauseRef)
			if err != nil {
				return fmt.Errorf("two causes together: %w", err)
			}
			if both := tidy(pair.Both); both >= leastBoth && (m.Both == nil || both > m.Both.Probability) {
				m.Both = &Together{named[a.CauseRef], named[b.CauseRef], both}
			}
		}
	}
	sets, err := sv.MostProbableSets(3)
	if errors.Is(err, rank.ErrTooWide) {
		return nil // so many sets are alike that none stands out
	}
	if err != nil {
		return fmt.Errorf("sets of causes: %w", err)
	}
	for _, x := range sets {
		set := CauseSet{Causes: []Chance{}, Probability: tidy(x.P)}
		for _, c := range x.Causes {
			set.Causes = append(set.Causes, named[c])
		}
		m.Sets = append(m.Sets, set)
	}
	return nil
}
