package uncertain

import "math"

// Verdict says on which side of a limit a measured value lies.
type Verdict int

// The three verdicts of ISO 14253-1.
const (
	NotProven Verdict = iota // the interval straddles the limit: too close to call with this instrument
	Conforms
	DoesNotConform
)

func (v Verdict) String() string {
	return [...]string{"not proven", "conforms", "does not conform"}[v]
}

// Below compares a value with an upper limit: it conforms only where y + g <= limit and
// fails only where y - g >= limit, g being the guard band.
// Source: ISO 14253-1, decision rule (seen in summaries); standing: confirmed at second hand.
// A rounding slack of 1e-12 of the limit keeps a reading exactly on the edge from flipping.
func Below(y, guard, limit float64) Verdict {
	slack := 1e-12 * math.Max(math.Abs(limit), math.Abs(y))
	switch {
	case y+guard <= limit+slack:
		return Conforms
	case y-guard >= limit-slack:
		return DoesNotConform
	}
	return NotProven
}

// Above compares a value with a lower limit; see Below.
func Above(y, guard, limit float64) Verdict { return Below(-y, guard, -limit) }

// OneSidedGuard is the smaller guard band 1.65 u (95 % one-sided) for U = 2 u.
// Source: common practice with ISO 14253-1; standing: from memory.
func OneSidedGuard(U float64) float64 { return 1.65 * U / 2 }

// ChanceBelow is the probability that the true value lies below the limit, for a normal
// spread with standard uncertainty U/2. With U = 0 it is 1 or 0.
func ChanceBelow(y, U, limit float64) float64 {
	if U <= 0 {
		if y <= limit {
			return 1
		}
		return 0
	}
	return 0.5 * math.Erfc((y-limit)/(U/2)/math.Sqrt2)
}
