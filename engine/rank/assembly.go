package rank

import (
	"fmt"
	"math"
)

// SharedAct says that a shared cause, where present, acts on this joint with probability Acts, independently of other joints.
type SharedAct struct {
	Cause int // index into Assembly.Shared
	Acts  float64
}

// Block is one joint.
//
// Its switch is on with probability Weight: the joint then leaks of itself and its causes have their priors, given that at least
// one is present. Off: none of them acts. An activation of a shared cause makes the joint leak whatever the switch says. Liquid
// arrives from outside with probability 1 - (1 - Elsewhere) * product of (1 - RunDown) over the joints of Above that leak.
type Block struct {
	ID        string
	Weight    float64   // prior of the switch; 1 for a joint known to leak of itself. Without any cause that can be present it has no effect
	Prior     []float64 // causes of this joint alone, before "at least one present"
	Elsewhere float64   // prior of "from a place not on the list"
	Above     []int     // joints whose liquid runs down to this one
	RunDown   float64   // probability that the liquid of a leaking joint above runs to this one
	Shared    []SharedAct
	// Findings is the evidence at this joint only. Link.Cause: 0 to n-1 the causes, ArrivesIndex() liquid that arrives from
	// outside, ActivationIndex(k) the activation of Shared[k].
	Findings []Finding
	Wet      State // "the joint is wet": leaks of itself, or liquid arrives; misread with Assembly.WetMisread
	Leaks    State // "the joint leaks of itself", seen after clean, dry, powder; not misread
}

// ArrivesIndex is the index in links of "liquid arrives from outside".
func (b Block) ArrivesIndex() int { return len(b.Prior) }

// ActivationIndex is the index in links of the activation of Shared[k].
func (b Block) ActivationIndex(k int) int { return len(b.Prior) + 1 + k }

// Assembly is several joints with what they share.
type Assembly struct {
	Blocks []Block
	Shared []float64 // priors of the shared causes
	AtOnce int       // most shared causes that are present together, their priors given that; 0 is no limit
	Known  State     // Positive: liquid was seen, so at least one joint leaks of itself or liquid arrives somewhere. Negative: none of that
	// WetMisread is the probability that Wet is read wrongly, the same for wet and dry.
	WetMisread float64
}

// Marginals is one number for each thing that can be true of an assembly.
type Marginals struct {
	JointLeaks []float64   // the joint leaks of itself: its switch is on or a shared cause acts on it
	Cause      [][]float64 // by joint and cause: present, with the switch on
	Elsewhere  []float64   // by joint: liquid comes from a place not on the list
	Arrives    []float64   // by joint: liquid arrives from outside: a place not on the list, or a leaking joint above
	Shared     []float64   // the shared causes
}

func newMarginals(a *Assembly) Marginals {
	n := len(a.Blocks)
	m := Marginals{
		JointLeaks: make([]float64, n), Elsewhere: make([]float64, n), Arrives: make([]float64, n),
		Cause: make([][]float64, n), Shared: make([]float64, len(a.Shared)),
	}
	for j := range a.Blocks {
		m.Cause[j] = make([]float64, len(a.Blocks[j].Prior))
	}
	return m
}

// combine makes a new set of numbers of two of the same shape.
func (m Marginals) combine(o Marginals, f func(a, b float64) float64) Marginals {
	each := func(a, b []float64) []float64 {
		r := make([]float64, len(a))
		for i := range a {
			r[i] = f(a[i], b[i])
		}
		return r
	}
	r := Marginals{
		JointLeaks: each(m.JointLeaks, o.JointLeaks), Elsewhere: each(m.Elsewhere, o.Elsewhere),
		Arrives: each(m.Arrives, o.Arrives), Shared: each(m.Shared, o.Shared), Cause: make([][]float64, len(m.Cause)),
	}
	for j := range m.Cause {
		r.Cause[j] = each(m.Cause[j], o.Cause[j])
	}
	return r
}

// AssemblyPosterior is the answer of SolveAssembly: the posterior of each item of Marginals.
type AssemblyPosterior struct {
	Marginals
	LogEvidence float64 // natural logarithm of P(evidence); an estimate if not Exact
	// Exact says that the numbers are exact up to rounding. If it is false, too many positive findings were open at once: Low
	// and High then enclose the truth and the numbers themselves are an estimate between. In look-ahead the bounds are left out.
	Exact     bool
	Low, High *Marginals
}

// SolveAssembly computes the posterior of every joint, cause and arrival of an assembly.
//
// Work: one forward and one backward sweep over the causes of each joint (see the package comment), 4 vectors for each set of
// shared causes that may act on a joint together, and for each set that may be present together one small sweep over the joints
// with a bit for each joint that stands above a later one. Without a limit there are 2^s sets of s shared causes; with at most two
// at once there are 79 sets of twelve.
func SolveAssembly(a Assembly) (AssemblyPosterior, error) {
	s, err := NewSolver(a, 0)
	if err != nil {
		return AssemblyPosterior{}, err
	}
	s.Release()
	return s.Posterior(), nil
}

// maxSharedSets is the most sets of shared causes that may act on one joint together, and twice that in an assembly.
const maxSharedSets = 1 << 10

func (a *Assembly) check() error {
	if err := probabilities("Shared", a.Shared); err != nil {
		return err
	}
	if err := probability("WetMisread", a.WetMisread); err != nil {
		return err
	}
	if a.AtOnce < 0 {
		return badInput("AtOnce", "%d shared causes at once; use 0 for no limit", a.AtOnce)
	}
	if a.Known < Unknown || a.Known > Negative {
		return badInput("Known", "state %d is none of Unknown, Positive, Negative", a.Known)
	}
	for j := range a.Blocks {
		if err := a.checkBlock(j); err != nil {
			return err
		}
	}
	return nil
}

func (a *Assembly) checkBlock(j int) error {
	b := &a.Blocks[j]
	where := fmt.Sprintf("Blocks[%d]", j)
	if b.ID != "" {
		where += " (" + b.ID + ")"
	}
	if err := probabilities(where+".Prior", b.Prior); err != nil {
		return err
	}
	for _, p := range []struct {
		name string
		p    float64
	}{{"Weight", b.Weight}, {"Elsewhere", b.Elsewhere}, {"RunDown", b.RunDown}} {
		if err := probability(where+"."+p.name, p.p); err != nil {
			return err
		}
	}
	seen := map[int]bool{}
	for _, up := range b.Above {
		if up < 0 || up >= len(a.Blocks) || seen[up] {
			return badInput(where+".Above", "joint %d; name each of the joints 0 to %d at most once", up, len(a.Blocks)-1)
		}
		seen[up] = true
	}
	if sizeOfFamily(len(b.Shared), a.AtOnce, maxSharedSets) > maxSharedSets {
		return badInput(where+".Shared", "%d shared causes act on this joint; at most %d sets of them can be handled", len(b.Shared), maxSharedSets)
	}
	seen = map[int]bool{}
	for _, s := range b.Shared {
		if s.Cause < 0 || s.Cause >= len(a.Shared) || seen[s.Cause] {
			return badInput(where+".Shared", "shared cause %d; name each of 0 to %d at most once", s.Cause, len(a.Shared)-1)
		}
		seen[s.Cause] = true
		if err := probability(where+".Shared.Acts", s.Acts); err != nil {
			return err
		}
	}
	if err := checkFindings(where+".Findings", b.Findings, len(b.Prior)+1+len(b.Shared)); err != nil {
		return err
	}
	if b.Wet < Unknown || b.Wet > Negative || b.Leaks < Unknown || b.Leaks > Negative {
		return badInput(where, "Wet %d or Leaks %d is none of Unknown, Positive, Negative", b.Wet, b.Leaks)
	}
	return nil
}

// atLeastOne is 1 - product of (1 - p), without the cancellation that a tiny result would suffer.
func atLeastOne(ps []float64) float64 {
	var sum float64
	for _, p := range ps {
		sum += math.Log1p(-p)
	}
	return -math.Expm1(sum)
}
