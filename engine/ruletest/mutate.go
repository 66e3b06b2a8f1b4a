package ruletest

import (
	"cmp"
	"fmt"
	"slices"

	"seepwright/engine"
	"seepwright/engine/network"
	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/source"
)

// Mutant is one sign of one cause that was dropped or flipped.
//
// Dropped: it shows at the base rate of the kind, as if the cause said nothing of it; what a
// decisive check shows comes then at the rate of its false alarms, 1 - Sp. Flipped: its rate
// r becomes 1 - r. A change by less than a quarter, of the rate and of its complement, says
// the same in other words (one half flipped, or a rate that is the base rate anyway) and is
// not tried.
type Mutant struct {
	Cause  string // KIND/ID
	Fact   string
	Option string // "" for a yes-no fact
	Place  source.Place
	How    string // drop | flip
	Cases  int    // solved cases in which the fact is known
	Felt   string // a case that changed: "" = none did
}

// String is one line, such as "radial-oring/bore-oval: drop wet-spread is one-sector".
func (m Mutant) String() string {
	says := m.Fact + " is yes"
	if m.Option != "" {
		says = m.Fact + " is " + m.Option
	}
	return fmt.Sprintf("%s: %s %s", m.Cause, m.How, says)
}

// Mutate drops and flips every sign and every decisive observation of every cause, one at a
// time, and looks for a solved case that changes: its true cause no longer stands among as
// many as the case asks for, or the first six causes are not the same in the same order. A
// sign that no case feels could be wrong and nobody would know.
//
// Cases are ranked without the planner; only rates change, so what is known in a case is
// worked out once. of picks the causes; nil = all.
func Mutate(kb *rules.Knowledge, of func(*rules.Cause) bool) ([]Mutant, error) {
	type opened struct {
		x   *bench
		err error
	}
	var cases []*bench
	for _, o := range parallel(kb, kb.Cases, func() *engine.Brain { return engine.NewBrain(kb) }, func(b *engine.Brain, c *rules.Case) opened {
		x, err := newBench(b, kb, c)
		return opened{x, err}
	}) {
		if o.err != nil {
			return nil, o.err
		}
		cases = append(cases, o.x)
	}
	pristine := network.NewModels(kb)
	var jobs []job
	for i, c := range kb.Causes {
		if of != nil && !of(c) {
			continue
		}
		more, err := jobsOf(kb, pristine, i, c)
		if err != nil {
			return nil, err
		}
		jobs = append(jobs, more...)
	}
	return parallel(kb, jobs, func() *rules.Knowledge { return pliable(kb) }, func(own *rules.Knowledge, j job) Mutant {
		return j.run(own, cases)
	}), nil
}

// job is a mutation to be tried. sign and found are indexes into the lists of the cause; one
// of them is -1.
type job struct {
	Mutant
	cause       int
	sign, found int
	kinds       []string
	answer      fact.Type
	rate        rules.PerHistory // the changed rate
}

func jobsOf(kb *rules.Knowledge, pristine *network.Models, i int, c *rules.Cause) ([]job, error) {
	kinds := []string{c.For}
	if c.Shared {
		kinds = c.Joints
	}
	var out []job
	add := func(j job, rate float64, drop func(h rules.History) float64) {
		f := kb.Fact(j.Fact)
		if f == nil {
			return
		}
		j.Cause, j.cause, j.kinds, j.answer = c.Ref(), i, kinds, f.Answer
		for how, change := range map[string]func(rules.History) float64{"drop": drop, "flip": func(rules.History) float64 { return 1 - rate }} {
			j.How, j.rate = how, rules.PerHistory{}
			worth := false
			for _, h := range rules.Histories() {
				j.rate[h] = change(h)
				worth = worth || !alike(rate, j.rate[h])
			}
			if worth {
				out = append(out, j)
			}
		}
	}
	for k, s := range c.Signs {
		base := rules.PerHistory{}
		for _, h := range rules.Histories() {
			m, err := pristine.Of(kinds[0], h)
			if err != nil {
				return nil, err
			}
			base[h] = m.YesNo(s.Fact, s.Option).Base
		}
		add(job{Mutant: Mutant{Fact: s.Fact, Option: s.Option, Place: s.Place}, sign: k, found: -1}, s.Shows, func(h rules.History) float64 { return base[h] })
	}
	for k, f := range c.FoundBy {
		if f.Fact != "" {
			add(job{Mutant: Mutant{Fact: f.Fact, Option: f.Opt, Place: f.Place}, sign: -1, found: k}, f.Se, func(rules.History) float64 { return 1 - f.Sp })
		}
	}
	slices.SortFunc(out, func(a, b job) int {
		return cmp.Or(cmp.Compare(a.Fact, b.Fact), cmp.Compare(a.Option, b.Option), cmp.Compare(a.How, b.How))
	})
	return out, nil
}

// alike reports whether two rates say nearly the same.
func alike(r, s float64) bool {
	near := func(a, b float64) bool { return max(a, b) <= 1.25*min(a, b) }
	return near(r, s) && near(1-r, 1-s)
}

// pliable is a copy of the knowledge whose causes can be changed without harm to the rest.
func pliable(kb *rules.Knowledge) *rules.Knowledge {
	own := *kb
	own.Causes = make([]*rules.Cause, len(kb.Causes))
	for i, c := range kb.Causes {
		copied := *c
		copied.Signs, copied.FoundBy = slices.Clone(c.Signs), slices.Clone(c.FoundBy)
		own.Causes[i] = &copied
	}
	own.Reindex()
	return &own
}

// run changes the cause, asks the cases, and puts the cause back.
func (j job) run(own *rules.Knowledge, cases []*bench) Mutant {
	c := own.Causes[j.cause]
	rate := func() *float64 {
		if j.sign >= 0 {
			return &c.Signs[j.sign].Shows
		}
		return &c.FoundBy[j.found].Se
	}()
	was := *rate
	defer func() { *rate = was }()
	models := map[rules.History]*network.Models{} // a changed rate may hang on the history
	m := j.Mutant
	// The cases of the cause itself come first: they feel it most often.
	for _, mine := range []bool{true, false} {
		for _, x := range cases {
			if (causeID(x.c.Cause) == c.ID) != mine || !j.bears(x) {
				continue
			}
			m.Cases++
			if m.Felt != "" {
				continue
			}
			*rate = j.rate[x.history]
			if models[x.history] == nil {
				models[x.history] = network.NewModels(own)
			}
			n, err := x.network(own, models[x.history])
			if err == nil {
				now, bad := ranking(n)
				// Answers that have become impossible are a change too.
				if bad == nil && !x.moved(now) {
					continue
				}
			}
			m.Felt = x.c.ID
		}
	}
	return m
}

// bears reports whether a case knows the fact that is changed, at a joint of the right kind.
func (j job) bears(x *bench) bool {
	option := j.Option
	if j.answer == fact.Choice {
		option = ""
	}
	return slices.ContainsFunc(j.kinds, func(kind string) bool { return x.seen[observation{kind, j.Fact, option}] })
}
