package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"seepwright/engine/infer"
	"seepwright/engine/network"
	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// Attempt is work that was tried, as a result tells it.
type Attempt struct {
	Joint  string   `json:"joint"` // "" = the unit as a whole
	Title  string   `json:"title"` // of the joint
	Did    []string `json:"did"`   // ids of remedies
	Says   string   `json:"says"`  // the remedies in words
	Retest string   `json:"retest"`
	Spoilt float64  `json:"spoilt,omitempty"` // chance that the closing itself made a leak, after a wet retest
}

// retest words.
const (
	RetestWet = "wet"
	RetestDry = "dry"
)

// Try records work and how the retest after it came out, in the order in which it was done. All
// answers count as having been given of the joint as it was before. The error says what is wrong
// with the names.
func (s *Session) Try(t network.Tried) error {
	list, err := s.Remedies(t.Joint)
	if err != nil {
		return err
	}
	var ids []string
	for _, r := range list {
		ids = append(ids, r.ID)
	}
	if len(t.Did) == 0 {
		return fmt.Errorf("no remedy is named: say what was done, such as %s", strings.Join(ids[:min(3, len(ids))], ", "))
	}
	for _, id := range t.Did {
		switch r := s.kb.Remedy(id); {
		case slices.Contains(ids, id):
		case r != nil:
			return fmt.Errorf("%q is no remedy for anything here: known are %s", id, strings.Join(ids, ", "))
		default:
			return fmt.Errorf("no remedy is called %q: %s", id, cmp.Or(source.DidYouMean(id, ids), "known are "+strings.Join(ids, ", ")))
		}
	}
	s.tried = append(s.tried, t)
	s.countFailures()
	return nil
}

// Untry takes the last attempt back.
func (s *Session) Untry() {
	if len(s.tried) > 0 {
		s.tried = s.tried[:len(s.tried)-1]
		s.countFailures()
	}
}

// Tried lists the attempts.
func (s *Session) Tried() []network.Tried { return slices.Clone(s.tried) }

// failuresFact is how often a joint has leaked again after work on it.
const failuresFact = "times-failed"

// countFailures tells the memory how often each joint leaked again, where the person did not.
func (s *Session) countFailures() {
	f := s.kb.Fact(failuresFact)
	if f == nil {
		return
	}
	for _, j := range s.asm.Joints {
		k := s.mem.Key(j.ID, failuresFact)
		if s.kb.Joint(j.Kind) == nil || s.told(k).Origin != "" && !s.counted[k] {
			continue
		}
		n := 0
		for _, t := range s.tried {
			if t.Wet && (t.Joint == "" || t.Joint == j.ID) {
				n++
			}
		}
		s.mem.Withdraw(k)
		delete(s.counted, k)
		if n > 0 {
			s.mem.Tell(k, fact.MakeNumber(fact.Measure{SI: float64(n), Dim: unit.CountDim}), infer.Given)
			s.counted[k] = true
		}
	}
}

// Remedies lists what can be done at a joint, or with "" at the unit, by id: the remedies of its
// causes and of shared ones.
func (s *Session) Remedies(joint string) ([]*rules.Remedy, error) {
	if _, ok := s.asm.Joint(joint); joint != "" && !ok {
		return nil, fmt.Errorf("no joint of this unit is called %q: %s", joint, cmp.Or(source.DidYouMean(joint, s.asm.IDs()), "it has "+strings.Join(s.asm.IDs(), ", ")))
	}
	var out []*rules.Remedy
	put := func(c *rules.Cause) {
		for _, rr := range c.Remedies {
			if r := s.kb.Remedy(rr.Remedy); r != nil && !slices.Contains(out, r) {
				out = append(out, r)
			}
		}
	}
	for _, j := range s.asm.Joints {
		if joint != "" && j.ID != joint {
			continue
		}
		for _, c := range s.kb.Causes {
			if c.ActsOn(j.Kind) > 0 || !c.Shared && c.For == j.Kind {
				put(c)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b *rules.Remedy) int { return cmp.Compare(a.ID, b.ID) })
	return out, nil
}

// attempts tells what was tried, with the chance that a closing made a leak of its own.
func (s *Session) attempts(n *network.Network, sv *rank.Solver, brief bool) []Attempt {
	out := []Attempt{}
	for i, t := range s.tried {
		a := Attempt{Joint: t.Joint, Did: slices.Clone(t.Did), Retest: RetestDry}
		if j, ok := s.asm.Joint(t.Joint); ok {
			a.Title = label(j)
		}
		if t.Wet {
			a.Retest = RetestWet
		}
		var words []string
		for _, id := range t.Did {
			words = append(words, remedyTitle(s.kb, id))
		}
		a.Says = strings.Join(words, ", ")
		last := !slices.ContainsFunc(s.tried[i+1:], func(o network.Tried) bool { return o.Joint == "" || o.Joint == t.Joint })
		if t.Wet && last && !brief {
			a.Spoilt = s.spoilt(n, sv, t.Joint)
		}
		out = append(out, a)
	}
	return out
}

// spoilt is the chance that nothing but the closing explains a wet retest: by how much the
// evidence is likelier with it than without.
func (s *Session) spoilt(n *network.Network, sv *rank.Solver, joint string) float64 {
	a := n.Rank
	a.Blocks = slices.Clone(a.Blocks)
	found := false
	for b, j := range n.Joints {
		if joint != "" && j.ID != joint {
			continue
		}
		for i, f := range a.Blocks[b].Findings {
			if network.IsRetest(f) && f.State == rank.Positive && f.Leak > 0 {
				a.Blocks[b].Findings = slices.Clone(a.Blocks[b].Findings)
				a.Blocks[b].Findings[i].Leak = 0
				found = true
			}
		}
	}
	if !found {
		return 0
	}
	post, err := sv.Alternative(a)
	if err != nil {
		return 0
	}
	return tidy(1 - math.Exp(post.LogEvidence-sv.Posterior().LogEvidence))
}

// cured reports whether the last retest of everything that was wet is dry.
func (s *Session) cured(n *network.Network) bool {
	some := false
	for _, j := range n.Joints {
		last := -1
		for i, t := range s.tried {
			if t.Joint == "" || t.Joint == j.ID {
				last = i
			}
		}
		wet := len(n.Joints) == 1 || wetState(s, j.ID) == rank.Positive
		switch {
		case last < 0 && wet, last >= 0 && s.tried[last].Wet:
			return false
		case last >= 0:
			some = true
		}
	}
	return some
}

// sayRetest is what was tried last at a joint and how it came out, as a short phrase.
func (s *Session) sayRetest(joint string) string {
	var did []string
	out := ""
	for _, t := range s.tried {
		if t.Joint != "" && t.Joint != joint {
			continue
		}
		for _, id := range t.Did {
			if w := lower(remedyTitle(s.kb, id)); !slices.Contains(did, w) {
				did = append(did, w)
			}
		}
		out = "still wet after: "
		if !t.Wet {
			out = "dry after: "
		}
	}
	return out + strings.Join(did, ", ")
}

func remedyTitle(kb *rules.Knowledge, id string) string {
	if r := kb.Remedy(id); r != nil && r.Title != "" {
		return r.Title
	}
	return id
}

// dryNow is what is said in place of a next step when the last retest was dry.
const dryNow = "the last retest was dry: leave it closed, and note what cured it"

// lookWhenDry is how a repair is watched that was dry at its retest.
const lookWhenDry = "with dry tissue once it has been hot and is cold again, and after a week"

// curedBy says what was done at the joints that are dry now.
func (s *Session) curedBy(n *network.Network) []string {
	var out []string
	for _, j := range n.Joints {
		if len(n.RetestRefs(j.ID)) == 0 {
			continue
		}
		says := s.sayRetest(j.ID)
		if len(n.Joints) > 1 {
			says = label(j.Joint) + ": " + says
		}
		out = append(out, says)
	}
	return out
}
