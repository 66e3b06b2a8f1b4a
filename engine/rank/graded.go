package rank

import (
	"fmt"
	"math"
)

// Grades is what one cause alone gives among ordered answers that exclude each other: P[0] is the probability of the highest
// answer. The P may add up to less than 1; the rest is "gives none of them", which ranks below all.
type Grades struct {
	Cause int
	P     []float64
}

// Graded is the noisy-MAX finding: each present cause and the base rate draw one answer each, and the highest one shows. seen is
// the index of the answer that showed, 0 the highest. leak is the distribution of the base rate; nil means that there is none and
// a present cause must have given the answer.
//
// A drawer that would give more than the seen answer is ruled out: Cap = P(at most the seen answer); given that, it gives exactly
// the seen answer with Q = P(the seen answer) / Cap. A yes/no finding is the case of two answers.
func Graded(id string, seen int, links []Grades, leak []float64) (Finding, error) {
	f := Finding{ID: id, State: Positive, Base: 1, Links: make([]Link, 0, len(links))}
	if leak != nil {
		q, most, err := draw(fmt.Sprintf("finding %s, base rate", id), leak, seen)
		if err != nil {
			return Finding{}, err
		}
		f.Leak, f.Base = q, most
	}
	for _, l := range links {
		q, most, err := draw(fmt.Sprintf("finding %s, cause %d", id, l.Cause), l.P, seen)
		if err != nil {
			return Finding{}, err
		}
		f.Links = append(f.Links, Link{Cause: l.Cause, Q: q, Cap: most})
	}
	return f, nil
}

// sumSlack is how far a written distribution may add up beyond 1 through rounding of its decimals.
const sumSlack = 1e-9

// draw gives P(seen)/P(at most seen) and P(at most seen) of one distribution, without a difference of near-equal numbers where
// the distribution is complete.
func draw(where string, p []float64, seen int) (q, most float64, err error) {
	if seen < 0 || seen >= len(p) {
		return 0, 0, badInput(where, "answer %d was seen, but there are answers 0 to %d", seen, len(p)-1)
	}
	if err := probabilities(where, p); err != nil {
		return 0, 0, err
	}
	var total, below float64
	for i, x := range p {
		total += x
		if i > seen {
			below += x
		}
	}
	if total > 1+sumSlack {
		return 0, 0, badInput(where, "the answers add up to %v; they must not exceed 1", total)
	}
	norm := 1.0
	rest := 1 - total // gives none of the answers
	if math.Abs(rest) <= sumSlack {
		norm, rest = total, 0
	}
	most = math.Min(1, (below+p[seen])/norm+rest)
	if most <= 0 {
		return 0, 0, nil
	}
	return math.Min(1, p[seen]/norm/most), most, nil
}
