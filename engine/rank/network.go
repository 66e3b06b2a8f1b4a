package rank

import "math"

// State is the state of a piece of evidence.
type State int8

// The states: not asked, seen, seen to be absent.
const (
	Unknown State = iota
	Positive
	Negative
)

// Link is the part of one cause in one answered finding. A present cause multiplies the probability of the answer by Cap (the
// probability that the cause does not rule the answer out) and, where the finding is Positive, explains it with probability Q.
type Link struct {
	Cause  int
	Q, Cap float64
}

// Finding is one answer with the links of the causes that bear on it. YesNo and Graded build it.
//
// Negative: its factor is Base times the Cap of each present cause. Positive: the same, times the probability that at least one
// of the base rate (Leak) and the present causes (Q) explains it. An Unknown finding has no bearing and is not read.
type Finding struct {
	ID    string
	State State
	Leak  float64 // probability that the base rate alone explains a positive finding
	Base  float64 // factor of the base rate: 1 for a positive yes/no finding, 1 - leak for a negative one
	Links []Link
}

// Network is a flat two-layer network: independent yes/no causes with priors, and findings that are independent given the causes.
type Network struct {
	Prior    []float64
	Findings []Finding
}

// Rate is the link probability of a cause in a yes/no finding: the probability that the cause, present and without the base
// rate, makes the finding show.
type Rate struct {
	Cause int
	Q     float64
}

// YesNo is the noisy-OR finding that shows with probability 1 - (1 - leak) * product of (1 - q) over the present causes.
func YesNo(id string, positive bool, leak float64, links []Rate) Finding {
	f := Finding{ID: id, State: Negative, Leak: leak, Base: 1 - leak, Links: make([]Link, len(links))}
	if positive {
		f.State, f.Base = Positive, 1
	}
	for i, l := range links {
		f.Links[i] = Link{Cause: l.Cause, Q: l.Q, Cap: 1 - l.Q}
		if positive {
			f.Links[i].Cap = 1
		}
	}
	return f
}

// LinkQ turns the rate at which a sign was observed with one cause alone present into the link probability of that cause, with
// the base rate (leak) taken out: q = 1 - (1 - observed)/(1 - leak), at least 0.
func LinkQ(observed, leak float64) float64 {
	if !(observed > leak) {
		return 0
	}
	if observed >= 1 {
		return 1
	}
	return (observed - leak) / (1 - leak)
}

// Posterior is the answer of Solve.
type Posterior struct {
	P              []float64 // P(cause present | evidence)
	GivenSomeCause []float64 // P(cause present | evidence, at least one cause present); 0 where no cause can be present
	LogEvidence    float64   // natural logarithm of P(evidence)
	NoCause        float64   // P(no cause present | evidence)
	ExpectedCauses float64   // sum of P

	// Exact says that P is the posterior up to rounding. If it is false, too many positive findings were open at once: Low and
	// High then enclose each posterior and P is an estimate between them; likewise LogLow and LogHigh.
	Exact           bool
	Low, High       []float64
	LogLow, LogHigh float64 // enclose LogEvidence; equal to it if Exact

	compiled *compiled
	plan     *plan
}

// Solve computes the posterior of every cause. It is exact while at most DefaultWidth positive findings are open at once;
// beyond that it gives bounds and says so (Exact). Evidence of probability 0 is ErrImpossible.
//
// Work: one forward and one backward pass (see the package comment); causes that share no positive finding, not even through
// others, do not multiply each other's work.
func Solve(n Network) (Posterior, error) {
	if err := n.check(); err != nil {
		return Posterior{}, err
	}
	c := compile(n.Prior, nil, n.Findings)
	p := newPlan(c)
	if p.width > DefaultWidth {
		post, err := solveBounded(c, relaxedWidth)
		if err == nil {
			sets, _ := c.solveTop(wideTop, wideBudget)
			post.narrow(sets)
		}
		return post, err
	}
	return solveExact(c, p)
}

func (n Network) check() error {
	if err := probabilities("Prior", n.Prior); err != nil {
		return err
	}
	return checkFindings("Findings", n.Findings, len(n.Prior))
}

func solveExact(c *compiled, p *plan) (Posterior, error) {
	s := p.forward(c, true)
	defer s.release()
	some := scaled{s.some[0], s.someExp}
	none := scaled{s.none[0] * s.noneWeight, s.noneExp}
	z := some.plus(none)
	if c.impossible || z.v <= 0 {
		return Posterior{}, ErrImpossible
	}
	post := Posterior{
		P: make([]float64, c.n), GivenSomeCause: make([]float64, c.n),
		LogEvidence: z.log() + p.looseLog + c.logBase,
		NoCause:     clamp01(none.over(z)),
		Exact:       true, compiled: c, plan: p,
	}
	if math.IsInf(post.LogEvidence, -1) {
		return Posterior{}, ErrImpossible
	}
	for i, m := range s.backward([]float64{1}) {
		post.P[i] = clamp01(m.over(z))
		post.GivenSomeCause[i] = clamp01(m.over(some))
		post.ExpectedCauses += post.P[i]
	}
	post.Low, post.High = post.P, post.P
	post.LogLow, post.LogHigh = post.LogEvidence, post.LogEvidence
	return post, nil
}

// PairPosterior is the joint posterior of two causes.
type PairPosterior struct{ Both, OnlyA, OnlyB, Neither float64 }

// Pair gives the joint posterior of two different causes by fixing both in turn: four forward passes, all terms positive.
func (p Posterior) Pair(a, b int) (PairPosterior, error) {
	if p.compiled == nil || p.plan == nil {
		return PairPosterior{}, ErrTooWide
	}
	if n := p.compiled.n; a < 0 || b < 0 || a >= n || b >= n || a == b {
		return PairPosterior{}, badInput("Pair", "causes %d and %d; use two different causes from 0 to %d", a, b, n-1)
	}
	var z [4]scaled
	var total scaled
	for k := range z {
		c := p.compiled.forced(a, k&1 != 0).forced(b, k&2 != 0)
		s := p.plan.forward(c, false)
		z[k] = scaled{s.some[0], s.someExp}.plus(scaled{s.none[0] * s.noneWeight, s.noneExp})
		s.release()
		total = total.plus(z[k])
	}
	return PairPosterior{Neither: z[0].over(total), OnlyA: z[1].over(total), OnlyB: z[2].over(total), Both: z[3].over(total)}, nil
}
