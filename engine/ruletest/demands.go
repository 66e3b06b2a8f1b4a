package ruletest

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"seepwright/engine"
	"seepwright/engine/infer"
	"seepwright/engine/network"
	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/source"
)

// Demand is something that is asked of solved cases and not given.
type Demand struct {
	Case  string // "" when it is asked of a kind or a cause
	Place source.Place
	What  string
}

// String is one line: the case, or what is asked of all of a kind. It names no figures that
// change while the demand is not met.
func (d Demand) String() string {
	if d.Case == "" {
		return d.What
	}
	return d.Case + ": " + d.What
}

const (
	leastUnknown = 3    // signs that a fitter could have at that stage, and has not
	leastLeaning = 2    // answers that fit the look-alike better
	leaning      = 1.05 // by at least so much
	shareOwed    = 0.02 // a cause with this share in any history must have a case
)

// Demands judges whether the solved cases are hard enough to prove anything: what a fitter
// would have at that stage, not the solution with its signs read off the cause.
//
// Of every case: at least three signs of its kind that could be had at its stage are unknown;
// at least two answers fit the named look-alike better than the cause (context included);
// what decides for the cause is not known, unless what decides for the look-alike is known
// too. Of every kind: at least half of the cases stop before the joint is opened. Every cause
// with a share of 2 % in any history has a case.
func Demands(kb *rules.Knowledge) ([]Demand, error) {
	type judged struct {
		list []Demand
		err  error
	}
	var out []Demand
	for _, j := range parallel(kb, kb.Cases, func() *engine.Brain { return engine.NewBrain(kb) }, func(b *engine.Brain, c *rules.Case) judged {
		x, err := newBench(b, kb, c)
		if err != nil {
			return judged{err: err}
		}
		list, err := x.demands(kb)
		return judged{list, err}
	}) {
		if j.err != nil {
			return nil, j.err
		}
		out = append(out, j.list...)
	}
	out = append(out, ofKinds(kb)...)
	return append(out, unsolved(kb)...), nil
}

// demands judges one case.
func (x *bench) demands(kb *rules.Knowledge) ([]Demand, error) {
	var out []Demand
	miss := func(format string, args ...any) {
		out = append(out, Demand{x.c.ID, x.c.Place, fmt.Sprintf(format, args...)})
	}
	models := network.NewModels(kb)
	n, err := x.network(kb, models)
	if err != nil {
		return nil, err
	}
	if x.unknown(kb, n) < leastUnknown {
		miss("fewer than %d signs are unknown that could be had at this stage", leastUnknown)
	}
	cause, like := x.find(kb, x.c.Cause), x.find(kb, x.c.LookLike)
	if cause == nil || like == nil {
		miss("there is no cause %q beside its look-alike %q", x.c.Cause, x.c.LookLike)
		return out, nil
	}
	k, err := x.lean(kb, models, cause.ID, like.ID)
	if err != nil {
		return nil, err
	}
	if k < leastLeaning {
		miss("fewer than %d answers fit %s better than %s", leastLeaning, like.ID, cause.ID)
	}
	if held := x.decided(kb, cause); held != "" && x.decided(kb, like) == "" && len(like.FoundBy) > 0 {
		miss("holds %s, which decides for %s, and nothing that decides for %s", held, cause.ID, like.ID)
	}
	return out, nil
}

// find is a cause by its id or full name, among the kinds of the case and the shared causes.
func (x *bench) find(kb *rules.Knowledge, ref string) *rules.Cause {
	if c := kb.Cause(ref); c != nil {
		return c
	}
	for _, j := range x.s.Assembly().Joints {
		if c := kb.Cause(j.Kind + "/" + ref); c != nil {
			return c
		}
	}
	return kb.Cause(Shared + "/" + ref)
}

// early reports whether a fact of this stage can be had before the joint is opened.
func early(s rules.Stage) bool {
	return slices.Contains([]rules.Stage{rules.Told, rules.Outside, rules.Running, rules.Static, rules.Hot}, s)
}

// unknown counts the signs of the kinds in the case that a person could give at its stage and
// that nobody knows in it.
func (x *bench) unknown(kb *rules.Knowledge, n *network.Network) int {
	open := map[fact.Key]bool{}
	for _, j := range n.Joints {
		for _, id := range j.Model.Facts() {
			f := kb.Fact(id)
			if f == nil || f.Engine || !rules.Applies(f.For, j.Kind) || x.c.Stage == "before-opening" && !early(f.Stage) {
				continue
			}
			key := x.s.Key(j.ID, id)
			if v, ok, _ := x.s.Memory().Value(key); !ok || !v.Answered() {
				open[key] = true
			}
		}
	}
	return len(open)
}

// lean counts the answers without which the odds between look-alike and cause would be
// shorter. With one joint the odds are those of either alone, so that no third cause plays
// into them; causes of several joints are weighed in the whole.
func (x *bench) lean(kb *rules.Knowledge, models *network.Models, cause, like string) (int, error) {
	with, err := x.odds(kb, models, cause, like)
	if err != nil {
		return 0, err
	}
	count := 0
	mem := x.s.Memory()
	for _, key := range mem.Answers() {
		v := mem.Supports(key)[0].Value // what was told stands before what was concluded
		if !v.Answered() {
			continue
		}
		mem.Withdraw(key)
		without, err := x.odds(kb, models, cause, like)
		mem.Tell(key, v, infer.Answered)
		if err != nil {
			return 0, err
		}
		if with > without*leaning {
			count++
		}
	}
	return count, nil
}

// odds of the look-alike against the cause.
func (x *bench) odds(kb *rules.Knowledge, models *network.Models, cause, like string) (float64, error) {
	n, err := x.network(kb, models)
	if err != nil {
		return 0, err
	}
	if len(n.Joints) == 1 {
		b := n.Rank.Blocks[0]
		return alone(b, rowOf(n, like)) / math.Max(alone(b, rowOf(n, cause)), 1e-300), nil
	}
	list, err := ranking(n)
	if err != nil {
		return 0, err
	}
	p := func(id string) float64 {
		best := 1e-9
		for _, y := range list {
			if y.cause == id {
				best = max(best, y.p)
			}
		}
		return best
	}
	return p(like) / p(cause), nil
}

// rowOf is where a cause stands in the links of the only joint; -1 = it does not.
func rowOf(n *network.Network, id string) int {
	m := n.Joints[0].Model
	if m.Away != nil && m.Away.ID == id {
		return n.Rank.Blocks[0].ArrivesIndex()
	}
	return slices.IndexFunc(m.Causes, func(c *rules.Cause) bool { return c.ID == id })
}

// alone is the weight of one cause, if it is the only one there: prior odds times the chance
// of each finding.
func alone(b rank.Block, row int) float64 {
	if row < 0 {
		return 0
	}
	p := b.Elsewhere
	if row < len(b.Prior) {
		p = b.Prior[row]
	}
	w := p / (1 - p)
	for _, f := range b.Findings {
		l := rank.Link{Cap: 1}
		if i := slices.IndexFunc(f.Links, func(l rank.Link) bool { return l.Cause == row }); i >= 0 {
			l = f.Links[i]
		}
		w *= f.Base * l.Cap
		if f.State == rank.Positive {
			w *= 1 - (1-f.Leak)*(1-l.Q)
		}
	}
	return w
}

// decided names what is known that decides for or against a cause: the observation by which a
// check finds it. Where checks only point to signs, it is a sign of the cause that one of them
// fills; but a question that is put of every kind of joint (where it is wet, when) decides
// nothing. "" = nothing is known.
func (x *bench) decided(kb *rules.Knowledge, c *rules.Cause) string {
	known := func(id string) bool {
		return slices.ContainsFunc(x.s.Assembly().IDs(), func(j string) bool {
			v, ok, _ := x.s.Memory().Value(x.s.Key(j, id))
			return ok && v.Answered()
		})
	}
	named := false
	for _, f := range c.FoundBy {
		if f.Fact != "" && known(f.Fact) {
			return f.Fact
		}
		named = named || f.Fact != ""
	}
	if named {
		return ""
	}
	for _, f := range c.FoundBy {
		check := kb.Check(f.Check)
		if check == nil {
			continue
		}
		for _, id := range check.Fills {
			own := kb.Fact(id) != nil && len(kb.Fact(id).For) > 0
			if own && known(id) && slices.ContainsFunc(c.Signs, func(s rules.Sign) bool { return s.Fact == id }) {
				return id
			}
		}
	}
	return ""
}

// ofKinds asks that half of the cases of a kind stop before the joint is opened.
func ofKinds(kb *rules.Knowledge) []Demand {
	all, before := map[string]int{}, map[string]int{}
	for _, c := range kb.Cases {
		all[kindOf(c)]++
		if c.Stage == "before-opening" {
			before[kindOf(c)]++
		}
	}
	var out []Demand
	for _, kind := range sortedNames(all) {
		if 2*before[kind] < all[kind] {
			out = append(out, Demand{What: kind + ": fewer than half of the cases stop before the joint is opened"})
		}
	}
	return out
}

// unsolved lists the causes that matter and have no case.
func unsolved(kb *rules.Knowledge) []Demand {
	has := map[string]bool{}
	for _, c := range kb.Cases {
		has[kindOf(c)+"/"+causeID(c.Cause)] = true
	}
	var out []Demand
	for _, c := range kb.Causes {
		most := 0.0
		for _, s := range c.Share {
			most = max(most, s)
		}
		if most >= shareOwed && !has[c.Ref()] {
			out = append(out, Demand{Place: c.Place, What: c.Ref() + " has no solved case"})
		}
	}
	slices.SortFunc(out, func(a, b Demand) int { return cmp.Compare(a.What, b.What) })
	return out
}
