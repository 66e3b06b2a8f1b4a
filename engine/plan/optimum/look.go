package optimum

import (
	"cmp"
	"slices"

	"seepwright/engine/abreast"
)

// choice is one step with its value times the chance of the state, by a look-ahead.
type choice struct {
	kind  Kind
	check int
	bunch bunch
	value float64
}

// lookahead weighs steps so many ahead, on the base policy; beyond the first step only the
// best wide ones, by one step, are followed.
type lookahead struct {
	wide   int
	budget int     // states that may still be valued
	never  bool    // what is left is never solved exactly
	course [][]int // what would be done without a check at the first state
}

// among values every step at a state by one step on the base, best first; of the checks only
// those listed, nil stands for all.
func (l *lookahead) among(s *state, only []int) []choice {
	out := []choice{{kind: LastStep, value: s.mass() * s.x.LastResort}}
	for c := range s.x.Checks {
		if s.used[c] || only != nil && !slices.Contains(only, c) {
			continue
		}
		l.budget -= len(s.x.tells[c])
		out = append(out, choice{kind: CheckStep, check: c})
	}
	for _, b := range s.bunches() {
		l.budget--
		out = append(out, choice{kind: RepairStep, bunch: b})
	}
	abreast.Each(len(out), func(i int) {
		switch c := &out[i]; c.kind {
		case CheckStep:
			c.value = s.mass() * s.checkCost(c.check)
			for a := range s.x.tells[c.check] {
				n := s.answer(c.check, a)
				c.value += min(n.base(), n.along(l.course)) // so that no answer is worth less than nothing
			}
		case RepairStep:
			c.value = c.bunch.minutes + c.bunch.after.base()
		}
	})
	slices.SortStableFunc(out, func(a, b choice) int { return cmp.Compare(a.value, b.value) })
	return out
}

// value is what a state costs, times its chance, with so many steps of look-ahead.
func (l *lookahead) value(s *state, depth int, only []int) float64 {
	if s.mass() < vanish {
		return 0
	}
	if !l.never {
		if v, ok := s.rest(); ok {
			l.budget--
			return v
		}
	}
	if depth == 0 || l.budget <= 0 {
		return s.base()
	}
	return l.choose(s, depth, only)[0].value
}

// choose ranks the steps of a state; the best ones by one step are looked at more deeply.
func (l *lookahead) choose(s *state, depth int, only []int) []choice {
	out := l.among(s, only)
	if depth <= 1 {
		return out
	}
	only = promising(out)
	for i := range out[:min(l.wide, len(out))] {
		if l.budget <= 0 {
			break
		}
		c := &out[i]
		switch c.kind {
		case CheckStep:
			v := s.mass() * s.checkCost(c.check)
			for a := range s.x.tells[c.check] {
				v += l.value(s.answer(c.check, a), depth-1, only)
			}
			c.value = min(c.value, v)
		case RepairStep:
			c.value = min(c.value, c.bunch.minutes+l.value(c.bunch.after, depth-1, only))
		}
	}
	slices.SortStableFunc(out, func(a, b choice) int { return cmp.Compare(a.value, b.value) })
	return out
}

// followed is how many checks are looked at again behind the first step.
const followed = 8

// promising lists the best checks of a ranking.
func promising(ranked []choice) []int {
	out := []int{}
	for _, c := range ranked {
		if c.kind == CheckStep && len(out) < followed {
			out = append(out, c.check)
		}
	}
	return out
}
