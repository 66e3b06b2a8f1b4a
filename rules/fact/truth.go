// Package fact holds what can be known about a joint: the three truth values, the values an
// answer can take, measuring uncertainty, and the key under which a value is kept.
// It knows no questions, no rules and no probabilities.
package fact

// Truth is one of Kleene's three values. The zero value is Unknown.
type Truth int8

// The three values. Their order is by knowledge only for Unknown against the others.
const (
	False   Truth = -1
	Unknown Truth = 0
	True    Truth = 1
)

func (t Truth) String() string {
	switch t {
	case True:
		return "true"
	case False:
		return "false"
	}
	return "unknown"
}

// Of turns a plain yes or no into a truth value.
func Of(b bool) Truth {
	if b {
		return True
	}
	return False
}

// Not is strong negation: unknown stays unknown.
func (t Truth) Not() Truth { return -t }

// And is Kleene's strong conjunction: the lower of the two.
func (t Truth) And(o Truth) Truth { return min(t, o) }

// Or is Kleene's strong disjunction: the higher of the two.
func (t Truth) Or(o Truth) Truth { return max(t, o) }
