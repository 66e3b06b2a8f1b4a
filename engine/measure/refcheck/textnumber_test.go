package refcheck

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"seepwright/rules/unit"
)

// tolerance reads what may follow a number: a tolerance, the other end of a range, a partner or a list.
func (r *reader) tolerance(it *item) {
	x := it.nums[0]
	rest := r.rest()
	if m := plusMinus.FindStringSubmatch(rest); m != nil {
		t := float(m[1])
		r.at += len(m[0])
		if strings.HasPrefix(strings.TrimLeft(r.rest(), " "), "%") && !(it.has && it.unit.dim == unit.RatioDim) {
			r.at += strings.Index(r.rest(), "%") + 1
			t *= math.Abs(x) / 100
		}
		it.lo, it.hi, it.spread = x-t, x+t, true
		return
	}
	if m := limitsHead.FindStringSubmatch(rest); m != nil && signedLimits(m[0], m[1], m[2]) {
		a, b := float(squash(m[1])), float(squash(m[2]))
		it.lo, it.hi, it.spread = x+min(a, b), x+max(a, b), true
		r.at += len(m[0])
		return
	}
	for _, re := range []*regexp.Regexp{rangeHead, hyphenHead} {
		if m := re.FindStringSubmatch(rest); m != nil {
			y := float(m[1])
			if re == hyphenHead && y <= x {
				continue
			}
			it.nums = []float64{x, y}
			it.lo, it.hi, it.spread = min(x, y), max(x, y), true
			r.at += len(m[0])
			return
		}
	}
	if m := pairHead.FindStringSubmatch(rest); m != nil {
		it.nums = append(it.nums, float(m[1]))
		r.at += len(m[0])
		return
	}
	for !it.has {
		m := listHead.FindStringSubmatch(r.rest())
		if m == nil || m[0][0] == ',' && len(it.nums) < 2 && !commaList.MatchString(r.rest()) {
			return
		}
		if _, n := unitAt(r.rest()); n > 0 && r.rest()[0] == ' ' {
			return // "1.6e-4 1/K"
		}
		it.nums = append(it.nums, float(m[1]))
		r.at += len(m[0])
	}
}

// commaList is a list of readings: two numbers alone after a comma, where one could be another statement.
var commaList = regexp.MustCompile(`^(?:,\s*` + plain + `){2}`)

// signedLimits tells "(0/-0.1)" and "+0.1/-0" from a pair of sizes.
func signedLimits(all, a, b string) bool {
	signed := strings.ContainsAny(a[:1], "+-") || strings.ContainsAny(b[:1], "+-")
	return signed && (strings.Contains(all, "(") || strings.Contains(all, "/") && strings.ContainsAny(a[:1], "+-"))
}

// readNumber reads "1 1/2", "3/8", "12,5" or "1.6e-4". Digits that could be thousands are refused.
func (r *reader) readNumber(text string) (x float64, n int, ok bool) {
	if m := mixedHead.FindStringSubmatch(text); m != nil {
		x, ok = fraction(m[0])
		return x, len(m[0]), ok
	}
	if m := fractionHead.FindStringSubmatch(text); m != nil && float(m[1]) < float(m[2]) {
		x, ok = fraction(m[0])
		return x, len(m[0]), ok
	}
	s := numberHead.FindString(text)
	if s == "" {
		return 0, 1, false
	}
	if lead, tail, found := strings.Cut(strings.TrimLeft(s, "+-"), ","); found && len(tail) == 3 && lead != "0" {
		r.fail("%q could be a decimal comma or thousands", s)
		return 0, len(s), false
	}
	return float(s), len(s), true
}

func fraction(s string) (float64, bool) {
	whole, part, mixed := strings.Cut(s, " ")
	if !mixed {
		part, whole = whole, "0"
	}
	a, b, frac := strings.Cut(part, "/")
	if !frac {
		return float(part), true
	}
	if float(b) == 0 {
		return 0, false
	}
	return float(whole) + float(a)/float(b), true
}

func squash(s string) string { return strings.ReplaceAll(s, " ", "") }

var powerOfTen = regexp.MustCompile(`\s?[x*×]\s?10\^?(-?\d+)$`)

// float is 0 for text that is no number; callers pass what an expression has matched.
func float(s string) float64 {
	s = powerOfTen.ReplaceAllString(strings.Replace(s, ",", ".", 1), "e$1")
	x, _ := strconv.ParseFloat(s, 64)
	return x
}
