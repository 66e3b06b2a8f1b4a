// Package refuse holds the one error with which a calculation declines: what is wrong
// with which quantity, and what to give instead.
// It knows no formula; every measure package decides for itself what lies outside its domain.
package refuse

import (
	"fmt"
	"math"
)

// Error is a refused calculation. It is always meant for a person at the bench.
type Error struct {
	Quantity string // the quantity that cannot be used, in trade terms
	Why      string // why not
	Instead  string // what to give or do instead
}

func (e *Error) Error() string {
	s := e.Quantity + " " + e.Why
	if e.Instead != "" {
		s += ": " + e.Instead
	}
	return s
}

// Because builds a refusal.
func Because(quantity, why, instead string) error { return &Error{quantity, why, instead} }

// Positive refuses a number that is not a finite number above nought.
func Positive(quantity string, x float64) error {
	if finite(x) && x > 0 {
		return nil
	}
	return &Error{quantity, "is " + say(x) + ", and that is not a usable size", "give a number above 0"}
}

// NotNegative refuses a number that is not finite or is below nought.
func NotNegative(quantity string, x float64) error {
	if finite(x) && x >= 0 {
		return nil
	}
	return &Error{quantity, "is " + say(x), "give 0 or a number above 0"}
}

// Finite refuses what is not a number.
func Finite(quantity string, x float64) error {
	if finite(x) {
		return nil
	}
	return &Error{quantity, "is not a number", "read it again and give a number"}
}

// Within refuses a number outside lo to hi, both included.
func Within(quantity string, x, lo, hi float64, instead string) error {
	if finite(x) && x >= lo && x <= hi {
		return nil
	}
	return &Error{quantity, fmt.Sprintf("is %s, outside %g to %g", say(x), lo, hi), instead}
}

// First is the first refusal of several checks, nil when there is none.
func First(errs ...error) error {
	for _, e := range errs {
		if e != nil {
			return e
		}
	}
	return nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

func say(x float64) string {
	if !finite(x) {
		return "not a number"
	}
	return fmt.Sprintf("%.6g", x)
}
