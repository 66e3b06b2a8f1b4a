// Package network turns knowledge and findings into the probabilistic network of an
// assembly: priors by history and context, and the rate at which every cause shows every sign.
// It solves nothing (package rank does) and asks nothing.
package network

import (
	"slices"

	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/fact"
)

// Figures are the numbers of our own judgement that the network needs. They stand in the
// knowledge base's table of estimates.
type Figures struct {
	Faults                       map[rules.History]float64
	ContextLeast, ContextMost    float64
	SwitchDisturbed, SwitchOther float64
	JointsLeaking                float64
	RunsDown                     float64
	ElsewhereWithAbove           float64
	NotInKB                      float64
	LeakMost, LeakLeast          float64
	SharedAtOnce                 int     // most shared causes of one assembly that are taken to be present together
	PassFirst, PassAgain         float64 // chance that a joint that was opened is tight for all that closing it can spoil
	Success, SuccessSpecialist   float64
}

// FiguresOf reads the figures from a knowledge base; what is missing there has the value
// that the design fixes.
func FiguresOf(kb *rules.Knowledge) Figures {
	get := func(name string, or float64) float64 {
		if x, ok := kb.Estimate(name); ok {
			return x
		}
		return or
	}
	f := Figures{Faults: map[rules.History]float64{}}
	for h, or := range map[rules.History]float64{rules.AfterRefit: 1.5, rules.BackInWeeks: 1.3, rules.LongService: 1.1, rules.Disturbed: 1.3} {
		f.Faults[h] = get("faults-"+string(h), or)
	}
	f.ContextLeast, f.ContextMost = get("context-floor", 0.05), get("context-ceiling", 20)
	f.SwitchDisturbed, f.SwitchOther = get("switch-disturbed", 1), get("switch-other", 0.15)
	f.JointsLeaking = get("joints-leaking", 1.2)
	f.RunsDown = get("runs-down", 0.5)
	f.ElsewhereWithAbove = get("elsewhere-with-above", 0.5)
	f.NotInKB = get("not-in-kb", 0.03)
	f.PassFirst, f.PassAgain = get("pass-first-time", 0.8), get("pass-failed-before", 0.55)
	f.Success, f.SuccessSpecialist = get("success", 0.95), get("success-specialist", 0.98)
	f.SharedAtOnce = max(1, int(get("shared-at-once", 2)))
	f.LeakMost, f.LeakLeast = get("leak-cap", 0.02), get("leak-floor", 0.002)
	return f
}

// Model is one joint kind in one history: its causes, their priors, and the rates at which
// they show signs.
type Model struct {
	Kind      string
	History   rules.History
	Causes    []*rules.Cause // local causes, sorted by id, without the elsewhere row
	Away      *rules.Cause   // the elsewhere row, or nil
	Prior     []float64      // per local cause, and last the unknown cause
	AwayPrior float64
	Total     float64 // sum of all shares, the unknown one included
	kb        *rules.Knowledge
	fig       Figures
	shares    []float64 // local causes, then unknown
	awayShare float64
	listed    map[obs][]float64 // per local cause, then the elsewhere row; -1 = not listed
	verdictSp map[obs]float64   // facts that decide a cause: the best specificity
	facts     []string          // facts that are signs here, sorted
}

// obs is one yes-no observation: a fact, or one option of a fact.
type obs struct{ fact, option string }

// Unknown is the index of the cause "not in this knowledge base".
func (m *Model) Unknown() int { return len(m.Causes) }

// NewModel prepares a kind in a history.
func NewModel(kb *rules.Knowledge, kind string, h rules.History) (*Model, error) {
	m := &Model{Kind: kind, History: h, kb: kb, fig: FiguresOf(kb), listed: map[obs][]float64{}, verdictSp: map[obs]float64{}}
	for _, c := range kb.CausesOf(kind) {
		if c.Elsewhere {
			m.Away = c
		} else {
			m.Causes = append(m.Causes, c)
		}
	}
	all := m.rows()
	for _, c := range m.Causes {
		m.shares = append(m.shares, ShareOf(all, c, h))
	}
	if m.Away != nil {
		m.awayShare = ShareOf(all, m.Away, h)
	}
	known := m.awayShare
	for _, s := range m.shares {
		known += s
	}
	unknown := known * m.fig.NotInKB / (1 - m.fig.NotInKB)
	m.shares = append(m.shares, unknown)
	m.Total = known + unknown
	if err := m.scale(); err != nil {
		return nil, err
	}
	for i, c := range all {
		for _, s := range c.Signs {
			m.list(i, obs{s.Fact, s.Option}, s.Shows)
		}
		for _, f := range c.FoundBy {
			if f.Fact != "" {
				o := obs{f.Fact, f.Opt}
				m.list(i, o, f.Se)
				m.verdictSp[o] = max(m.verdictSp[o], f.Sp)
			}
		}
	}
	for o := range m.listed {
		m.facts = append(m.facts, o.fact)
	}
	slices.Sort(m.facts)
	m.facts = slices.Compact(m.facts)
	return m, nil
}

// rows lists the local causes and, last, the elsewhere row.
func (m *Model) rows() []*rules.Cause {
	if m.Away == nil {
		return m.Causes
	}
	return append(slices.Clone(m.Causes), m.Away)
}

// scale turns shares into priors: in the ratio of the shares, adding up to the expected
// number of faults once it is known that the joint leaks.
func (m *Model) scale() error {
	shares := append(slices.Clone(m.shares), m.awayShare)
	priors, _, err := rank.ScalePriors(shares, m.fig.Faults[m.History])
	if err != nil {
		return err
	}
	m.Prior, m.AwayPrior = priors[:len(priors)-1], priors[len(priors)-1]
	return nil
}

// GivenLeak gives the chance of every local cause, the unknown cause and the elsewhere row
// when nothing but "it leaks" is known.
func (m *Model) GivenLeak() []float64 {
	all := append(slices.Clone(m.Prior), m.AwayPrior)
	none := 1.0
	for _, p := range all {
		none *= 1 - p
	}
	for i := range all {
		all[i] /= 1 - none
	}
	return all
}

func (m *Model) list(row int, o obs, rate float64) {
	if m.listed[o] == nil {
		l := make([]float64, len(m.Causes)+1)
		for i := range l {
			l[i] = -1
		}
		m.listed[o] = l
	}
	m.listed[o][row] = rate
}

// ShareOf is the share of a cause in a history. A kind without a column for the history
// takes the mean of after-refit and long-service (the design's rule).
func ShareOf(kind []*rules.Cause, c *rules.Cause, h rules.History) float64 {
	has := slices.ContainsFunc(kind, func(o *rules.Cause) bool { _, ok := o.Share[h]; return ok })
	if has {
		return c.Share[h]
	}
	return (c.Share[rules.AfterRefit] + c.Share[rules.LongService]) / 2
}

// per picks the number of a history by the same rule.
func per(p rules.PerHistory, h rules.History) (float64, bool) {
	if x, ok := p[h]; ok {
		return x, true
	}
	a, okA := p[rules.AfterRefit]
	l, okL := p[rules.LongService]
	switch {
	case okA && okL:
		return (a + l) / 2, true
	case okA:
		return a, true
	case okL:
		return l, true
	}
	return 0, false
}

// base is how often an observation shows in any leak of this kind: the given figure, else
// the mean of the listed values weighted by share, causes that do not list it counting
// nothing. Never below the floor of misreadings.
func (m *Model) base(o obs) float64 {
	if f := m.kb.Fact(o.fact); f != nil {
		if o.option == "" {
			if x, ok := per(f.Base, m.History); ok {
				return x
			}
		}
		for _, opt := range f.Options {
			if opt.ID == o.option {
				if x, ok := per(opt.Base, m.History); ok {
					return x
				}
			}
		}
	}
	sum := 0.0
	for i, r := range m.listed[o] {
		if r >= 0 {
			sum += r * m.share(i)
		}
	}
	return max(m.fig.LeakLeast, sum/max(m.Total, 1e-9))
}

// share is the share of a row: local causes, then the elsewhere row.
func (m *Model) share(row int) float64 {
	if row == len(m.Causes) {
		return m.awayShare
	}
	return m.shares[row]
}

// Rates are the observed rates of one yes-no observation with one cause alone: local
// causes, the unknown cause, then "arrived from elsewhere"; and the leak.
type Rates struct {
	Rate []float64
	Leak float64
	Base float64
}

// YesNo gives the rates of a yes-no observation.
func (m *Model) YesNo(factID, option string) Rates {
	o := obs{factID, option}
	listed := m.listed[o]
	base := m.base(o)
	sp, verdict := m.verdictSp[o]
	unlisted := base
	r := Rates{Base: base}
	if verdict {
		r.Leak = 1 - sp
		unlisted = r.Leak
	} else {
		least := base
		for _, x := range listed {
			if x >= 0 {
				least = min(least, x)
			}
		}
		r.Leak = max(m.fig.LeakLeast, min(m.fig.LeakMost, least))
		if f := m.kb.Fact(factID); f != nil && f.Misread > 0 {
			r.Leak = f.Misread
		}
	}
	n := len(m.Causes)
	r.Rate = make([]float64, n+2)
	mean := 0.0
	for i := range n {
		x := unlisted
		if listed != nil && listed[i] >= 0 {
			x = listed[i]
		}
		r.Rate[i] = x
		mean += x * m.shares[i]
	}
	away := unlisted
	if listed != nil && listed[n] >= 0 {
		away = listed[n]
	}
	r.Rate[n+1] = away
	mean += away * m.awayShare
	r.Rate[n] = mean / max(m.Total-m.shares[n], 1e-9)
	return r
}

// Graded gives, per cause as in Rates, the distribution over the options of a choice,
// highest first; within a history only over the options that are evidence there. ok is
// false when the fact is no evidence in this history.
func (m *Model) Graded(f *rules.Fact) (options []string, dist [][]float64, ok bool) {
	for _, o := range f.Options {
		if w, limited := f.Within[m.History]; limited && !slices.Contains(w, o.ID) {
			continue
		}
		options = append(options, o.ID)
	}
	if len(options) < 2 {
		return nil, nil, false
	}
	base := make([]float64, len(options))
	sum := 0.0
	for i, o := range options {
		base[i] = m.base(obs{f.ID, o})
		sum += base[i]
	}
	for i := range base {
		base[i] /= sum
	}
	n := len(m.Causes)
	dist = make([][]float64, n+2)
	mean := make([]float64, len(options))
	add := func(row int, share float64) []float64 {
		d := m.distribution(f, row, options, base)
		for i, x := range d {
			mean[i] += share * x
		}
		return d
	}
	for i := range n {
		dist[i] = add(i, m.shares[i])
	}
	dist[n+1] = add(n, m.awayShare)
	total := 0.0
	for _, x := range mean {
		total += x
	}
	for i := range mean {
		mean[i] /= max(total, 1e-9)
	}
	dist[n] = mean
	return options, dist, true
}

// distribution of one row over options: listed rates as they are (scaled down when they
// add up to more than 1), what is left over the unlisted options in proportion to base.
func (m *Model) distribution(f *rules.Fact, row int, options []string, base []float64) []float64 {
	d := make([]float64, len(options))
	sum, spare := 0.0, 0.0
	for i, o := range options {
		d[i] = -1
		if l := m.listed[obs{f.ID, o}]; l != nil && l[row] >= 0 {
			d[i] = l[row]
			sum += d[i]
		} else {
			spare += base[i]
		}
	}
	return fill(d, base, sum, spare)
}

func fill(d, base []float64, sum, spare float64) []float64 {
	scale := 1.0
	if sum > 1 || spare == 0 && sum > 0 {
		scale = 1 / sum
	}
	left := max(0, 1-sum)
	for i := range d {
		switch {
		case d[i] >= 0:
			d[i] *= scale
		case spare > 0:
			d[i] = left * base[i] / spare
		}
	}
	return d
}

// Shared gives the rate of a yes-no observation, or the distribution over options, of a
// shared cause acting at a joint of this kind; what it does not list shows at base.
func (m *Model) sharedRate(c *rules.Cause, o obs) (rate float64, listed bool) {
	for _, s := range c.Signs {
		if s.Fact == o.fact && s.Option == o.option {
			return s.Shows, true
		}
	}
	return 0, false
}

func (m *Model) sharedGrades(c *rules.Cause, f *rules.Fact, options []string) []float64 {
	d, base := make([]float64, len(options)), make([]float64, len(options))
	sum, spare := 0.0, 0.0
	for i, o := range options {
		base[i] = m.base(obs{f.ID, o})
		d[i] = -1
		if r, ok := m.sharedRate(c, obs{f.ID, o}); ok {
			d[i] = r
			sum += r
		} else {
			spare += base[i]
		}
	}
	return fill(d, base, sum, spare)
}

// Facts lists the facts that are signs of this kind, sorted.
func (m *Model) Facts() []string { return m.facts }

// IsSign reports whether an answer to the fact is evidence about this kind.
func (m *Model) IsSign(factID string) bool {
	_, ok := slices.BinarySearch(m.facts, factID)
	return ok
}

// Listed is the rate that a cause of this kind lists for an observation.
func (m *Model) Listed(cause string, f fact.Key, option string) (float64, bool) {
	for i, c := range m.rows() {
		if c.ID == cause {
			if l := m.listed[obs{f.Fact, option}]; l != nil && l[i] >= 0 {
				return l[i], true
			}
		}
	}
	return 0, false
}
