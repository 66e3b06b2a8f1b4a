package rank

import (
	"errors"
	"fmt"
)

// ErrImpossible says that the evidence has probability 0 under the model, so that no posterior exists.
var ErrImpossible = errors.New("the answers contradict each other: no combination of causes can give them all")

// ErrCycle says that joints stand above each other in a circle.
var ErrCycle = errors.New("joints stand above each other in a circle")

// ErrTooWide says that more is open at once than the exact method can hold and that no bounds are offered for this result.
var ErrTooWide = errors.New("too many findings are open at once for an exact result")

// InputError says which number or index of the model is out of its domain.
type InputError struct {
	Where string // the part of the model, as a path
	What  string // what is wrong and what is allowed
}

func (e *InputError) Error() string { return e.Where + ": " + e.What }

func badInput(where, format string, args ...any) error {
	return &InputError{Where: where, What: fmt.Sprintf(format, args...)}
}

func isProbability(p float64) bool { return p >= 0 && p <= 1 } // false for NaN

func notProbability(p float64) string {
	return fmt.Sprintf("%v is not a probability; use a number from 0 to 1", p)
}

// probability checks that p is a number from 0 to 1.
func probability(where string, p float64) error {
	if !isProbability(p) {
		return badInput(where, "%s", notProbability(p))
	}
	return nil
}

func probabilities(where string, ps []float64) error {
	for i, p := range ps {
		if !isProbability(p) {
			return probability(fmt.Sprintf("%s[%d]", where, i), p)
		}
	}
	return nil
}

// checkFindings checks findings whose links may name the causes 0..causes-1. Paths are written only for errors.
func checkFindings(where string, findings []Finding, causes int) error {
	seen := make([]int, causes) // by cause: the last finding that links it, counted from 1
	for i := range findings {
		f := &findings[i]
		if f.State == Unknown {
			continue
		}
		part, what := "", ""
		switch {
		case f.State != Positive && f.State != Negative:
			what = fmt.Sprintf("state %d is none of Unknown, Positive, Negative", f.State)
		case !isProbability(f.Leak):
			part, what = ".Leak", notProbability(f.Leak)
		case !isProbability(f.Base):
			part, what = ".Base", notProbability(f.Base)
		}
		for _, l := range f.Links {
			if what != "" {
				break
			}
			switch {
			case l.Cause < 0 || l.Cause >= causes:
				what = fmt.Sprintf("link to cause %d; there are causes 0 to %d", l.Cause, causes-1)
			case seen[l.Cause] == i+1:
				what = fmt.Sprintf("two links to cause %d; join them into one", l.Cause)
			case !isProbability(l.Q) || !isProbability(l.Cap):
				what = fmt.Sprintf("link to cause %d has Q %v and Cap %v; both must be from 0 to 1", l.Cause, l.Q, l.Cap)
			default:
				seen[l.Cause] = i + 1
			}
		}
		if what != "" {
			id := ""
			if f.ID != "" {
				id = " (" + f.ID + ")"
			}
			return badInput(fmt.Sprintf("%s[%d]%s%s", where, i, id, part), "%s", what)
		}
	}
	return nil
}
