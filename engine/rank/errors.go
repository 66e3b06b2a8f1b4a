package rank

import (
	"errors"
	"fmt"
	"math"
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

// probability checks that p is a number from 0 to 1.
func probability(where string, p float64) error {
	if math.IsNaN(p) || p < 0 || p > 1 {
		return badInput(where, "%v is not a probability; use a number from 0 to 1", p)
	}
	return nil
}

func probabilities(where string, ps []float64) error {
	for i, p := range ps {
		if math.IsNaN(p) || p < 0 || p > 1 {
			return probability(fmt.Sprintf("%s[%d]", where, i), p)
		}
	}
	return nil
}

// checkFinding checks one finding whose links may name the causes 0..causes-1.
func checkFinding(where string, f Finding, causes int) error {
	if f.State == Unknown {
		return nil
	}
	if f.ID != "" {
		where += " (" + f.ID + ")"
	}
	if f.State != Positive && f.State != Negative {
		return badInput(where, "state %d is none of Unknown, Positive, Negative", f.State)
	}
	if err := probability(where+".Leak", f.Leak); err != nil {
		return err
	}
	if err := probability(where+".Base", f.Base); err != nil {
		return err
	}
	seen := make([]bool, causes)
	for _, l := range f.Links {
		if l.Cause < 0 || l.Cause >= causes {
			return badInput(where, "link to cause %d; there are causes 0 to %d", l.Cause, causes-1)
		}
		if seen[l.Cause] {
			return badInput(where, "two links to cause %d; join them into one", l.Cause)
		}
		seen[l.Cause] = true
		if math.IsNaN(l.Q) || l.Q < 0 || l.Q > 1 || math.IsNaN(l.Cap) || l.Cap < 0 || l.Cap > 1 {
			return badInput(where, "link to cause %d has Q %v and Cap %v; both must be from 0 to 1", l.Cause, l.Q, l.Cap)
		}
	}
	return nil
}
