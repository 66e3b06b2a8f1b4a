package ruletest

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/engine/network"
	"seepwright/engine/rank"
	"seepwright/rules"
)

// bench is a solved case with its answers told once, to be ranked again and again against
// changed knowledge. It plans nothing.
type bench struct {
	c       *rules.Case
	s       *engine.Session
	history rules.History // of its first joint
	places  []place       // the ranking with the knowledge as it is
	seen    map[observation]bool
}

// place is one cause of one joint in a ranking.
type place struct {
	joint, cause string
	p            float64
}

// observation is what a cause can show: a yes-no fact, or one option of another, at a kind of
// joint. For a choice the option is left out: one answer bears on all of its options.
type observation struct{ kind, fact, option string }

// newBench opens a case and ranks it.
func newBench(b *engine.Brain, kb *rules.Knowledge, c *rules.Case) (*bench, error) {
	var rep Report
	s, err := open(b, c, &rep)
	if err != nil {
		return nil, err
	}
	if !rep.Passed() {
		return nil, errors.New(c.Place.String() + ": " + c.ID + ": " + strings.Join(rep.Fails, "; "))
	}
	x := &bench{c: c, s: s, seen: map[observation]bool{}}
	n, err := x.network(kb, network.NewModels(kb))
	if err != nil {
		return nil, err
	}
	x.history = n.Joints[0].History
	for i, blk := range n.Rank.Blocks {
		for _, f := range blk.Findings {
			name, option, _ := strings.Cut(f.ID, "=")
			x.seen[observation{n.Joints[i].Kind, name, option}] = true
		}
	}
	x.places, err = ranking(n)
	return x, err
}

// network builds the network of the case from other knowledge than that of its session. What
// the rules concluded stays as it was: only rates and shares may differ.
func (x *bench) network(kb *rules.Knowledge, models *network.Models) (*network.Network, error) {
	return network.Build(kb, models, x.s.Assembly(), x.s.Memory(), x.c.History, nil)
}

// ranking lists all causes of all joints, the likeliest first, as a result shows them.
// Probabilities are rounded far below what is shown, so that the last bits, which depend on
// the order of sums, do not decide between equals.
func ranking(n *network.Network) ([]place, error) {
	sv, err := rank.NewSolver(n.Rank, 0)
	if err != nil {
		return nil, err
	}
	post := sv.Posterior()
	var out []place
	add := func(joint, cause string, p float64) {
		out = append(out, place{joint, cause, math.Round(min(1, max(0, p))*1e9) / 1e9})
	}
	for b, j := range n.Joints {
		for i, c := range j.Model.Causes {
			add(j.ID, c.ID, post.Cause[b][i])
		}
		add(j.ID, engine.UnknownCause, post.Cause[b][j.Model.Unknown()])
		if j.Model.Away != nil {
			add(j.ID, j.Model.Away.ID, post.Arrives[b])
		}
	}
	for i, c := range n.Shared {
		add("", c.ID, post.Shared[i])
	}
	slices.SortFunc(out, func(a, b place) int {
		return cmp.Or(cmp.Compare(b.p, a.p), cmp.Compare(a.joint, b.joint), cmp.Compare(a.cause, b.cause))
	})
	return out, nil
}

// rankOf is where a cause stands, from 1; 0 = nowhere.
func rankOf(list []place, cause string) int {
	return 1 + slices.IndexFunc(list, func(x place) bool { return x.cause == cause })
}

// firsts is how many causes of a ranking count as shown.
const firsts = 6

// moved reports whether the case would show another ranking: its true cause no longer stands
// where it must, or the first six causes are not the same in the same order.
func (x *bench) moved(now []place) bool {
	true1 := causeID(x.c.Cause)
	if rankOf(x.places, true1) <= top(x.c) && rankOf(now, true1) > top(x.c) {
		return true
	}
	same := func(a, b place) bool { return a.joint == b.joint && a.cause == b.cause }
	return !slices.EqualFunc(x.places[:min(firsts, len(x.places))], now[:min(firsts, len(now))], same)
}
