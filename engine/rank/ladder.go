package rank

import "math"

// ladder takes the answers to one yes/no or graded question from highest to lowest. "Exactly this answer" is "at most this
// answer" less "at most the next", and "at most" needs no bit of the state: it only caps the weights. "At most the highest" is
// what is believed now. So m answers cost m - 1 sweeps of the present width instead of m of twice the size.
//
// It is a difference, so it is used only where the answer keeps a fair part of its rung: the error then stays near 1e-13. Other
// answers are solved on their own.
type ladder struct {
	s       *Solver
	answers [][]Change
	atMost  []*Outcome
}

// fairPart is the least part of "at most this" that "exactly this" must have to be taken as a difference.
const fairPart = 1e-3

// outcome is the outcome of answer i by difference; not ok where the ladder does not lead there.
func (l *ladder) outcome(i int) (o Outcome, ok bool, err error) {
	if l.atMost[i] != nil && l.lowest(i) {
		return *l.atMost[i], true, nil
	}
	if i+1 >= len(l.answers) || !l.follows(i) {
		return Outcome{}, false, nil
	}
	upper, err := l.rung(i)
	if err != nil {
		return Outcome{}, false, err
	}
	lower, err := l.rung(i + 1)
	if err != nil {
		return Outcome{}, false, err
	}
	p := upper.P - lower.P
	if p < fairPart*upper.P || p <= 0 {
		return Outcome{}, false, nil
	}
	if lower.P == 0 {
		return *upper, true, nil
	}
	o.P = p
	o.Posterior.Marginals = upper.Posterior.combine(lower.Posterior.Marginals, func(a, b float64) float64 {
		return clamp01((upper.P*a - lower.P*b) / p)
	})
	o.Posterior.LogEvidence = l.s.post.LogEvidence + math.Log(p)
	o.Posterior.Exact = upper.Posterior.Exact && lower.Posterior.Exact
	return o, true, nil
}

// lowest reports whether "at most this answer" is the answer itself.
func (l *ladder) lowest(i int) bool {
	_, f, ok := single(l.answers[i])
	return ok && f.State == Negative
}

// rung is the outcome of "at most answer i".
func (l *ladder) rung(i int) (*Outcome, error) {
	if l.atMost[i] != nil {
		return l.atMost[i], nil
	}
	block, f, _ := single(l.answers[i])
	all := f.Base == 1
	for _, k := range f.Links {
		all = all && k.Cap == 1
	}
	if all {
		now := Outcome{P: 1, Posterior: l.s.post}
		now.Posterior.Low, now.Posterior.High = nil, nil
		l.atMost[i] = &now
		return &now, nil
	}
	f.State = Negative
	o, err := l.s.outcome([]Change{{Block: block, Add: []Finding{f}}})
	if err != nil {
		return nil, err
	}
	l.atMost[i] = &o
	return &o, nil
}

// follows says whether answer i+1 is the rung below answer i: the same links, each capped to what is left without answer i.
func (l *ladder) follows(i int) bool {
	block, f, ok := single(l.answers[i])
	nextBlock, g, nextOK := single(l.answers[i+1])
	if !ok || !nextOK || block != nextBlock || f.State != Positive || g.State == Unknown || len(f.Links) != len(g.Links) {
		return false
	}
	if !alike(g.Base, f.Base*(1-f.Leak)) {
		return false
	}
	for k, a := range f.Links {
		if b := g.Links[k]; a.Cause != b.Cause || !alike(b.Cap, a.Cap*(1-a.Q)) {
			return false
		}
	}
	return true
}

func alike(a, b float64) bool { return math.Abs(a-b) <= 1e-15 }

// single gives the finding of an answer that is one finding at one joint and nothing else.
func single(answer []Change) (block int, f Finding, ok bool) {
	if len(answer) != 1 || len(answer[0].Add) != 1 || answer[0].Wet != Unknown || answer[0].Leaks != Unknown {
		return 0, Finding{}, false
	}
	return answer[0].Block, answer[0].Add[0], true
}
