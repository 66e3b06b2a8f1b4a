package optimum

import (
	"cmp"
	"slices"
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
	budget int  // states that may still be valued
	never  bool // what is left is never solved exactly
}

// among values every step at a state by one step on the base, best first; of the checks only
// those listed, nil stands for all.
func (l *lookahead) among(s *state, only []int) []choice {
	out := []choice{{kind: LastStep, value: s.mass * s.x.LastResort}}
	for c := range s.x.Checks {
		if s.used[c] || only != nil && !slices.Contains(only, c) {
			continue
		}
		v := s.mass * s.checkCost(c)
		for _, yes := range []bool{false, true} {
			n := s.answer(c, yes)
			v += n.base()
			l.budget--
		}
		out = append(out, choice{kind: CheckStep, check: c, value: v})
	}
	for _, b := range s.bunches() {
		l.budget--
		out = append(out, choice{kind: RepairStep, bunch: b, value: b.minutes + b.after.base()})
	}
	slices.SortStableFunc(out, func(a, b choice) int { return cmp.Compare(a.value, b.value) })
	return out
}

// value is what a state costs, times its chance, with so many steps of look-ahead.
func (l *lookahead) value(s *state, depth int, only []int) float64 {
	if s.mass < vanish {
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
			c.value = min(c.value, s.mass*s.checkCost(c.check)+l.value(s.answer(c.check, false), depth-1, only)+l.value(s.answer(c.check, true), depth-1, only))
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
