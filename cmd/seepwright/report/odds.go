// Package report says a result: as text for a narrow screen, as Markdown, as JSON, and as a
// card that survives being pasted into a message.
// It decides nothing; all it says stands in the result.
package report

import (
	"fmt"
	"math"
)

// Odds puts a probability into steps that the knowledge behind it can bear: tenths in the
// middle, "1 in N" at the ends.
func Odds(p float64) string {
	switch {
	case p >= 0.975:
		return "almost certain"
	case p >= 0.95:
		return "more than 9 in 10"
	case p >= 0.075:
		return fmt.Sprintf("about %.0f in 10", math.Round(p*10))
	case p >= 0.04:
		return "about 1 in 20"
	case p >= 0.015:
		return "about 1 in 50"
	case p >= 0.0075:
		return "about 1 in 100"
	}
	return "less than 1 in 100"
}

// Minutes rounds to what a fitter would say: fives, and below ten as they are.
func Minutes(m float64) string {
	switch {
	case m < 0.75:
		return "no time"
	case m < 10:
		return fmt.Sprintf("%.0f min", math.Round(m))
	case m < 120:
		return fmt.Sprintf("%.0f min", 5*math.Round(m/5))
	}
	h := math.Round(m/30) / 2
	if h == math.Trunc(h) {
		return fmt.Sprintf("%.0f h", h)
	}
	return fmt.Sprintf("%.1f h", h)
}

// Strength says in words how far an answer moved a cause.
func Strength(factor float64) string {
	f := factor
	if f < 1 {
		f = 1 / f
	}
	switch {
	case f >= 10:
		return "strongly"
	case f >= 3:
		return "clearly"
	case f >= 1.5:
		return "somewhat"
	}
	return "slightly"
}
