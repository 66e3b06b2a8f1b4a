package optimum

import (
	"cmp"
	"slices"
)

// Step is a state of the best policy and what follows from it. Chance is how often it is
// reached; Rest is the least expected minutes from here on.
type Step struct {
	Chance, Rest float64
	Now          Action
	Next         float64 // expected minutes of the best step of another first choice; equal to Rest if none
	at           key
	e            *Exact
}

// Start is the first step of the best policy.
func (e *Exact) Start() Step { return e.step(e.begin) }

// FirstSteps lists every check, and every repair of a batch, that can come first in a best
// policy, within tol minutes, as "check ID", "repair ID" or "last resort", in order.
func (e *Exact) FirstSteps(tol float64) []string {
	var out []string
	all, best := e.all(e.begin)
	for _, o := range all {
		if o.v > best+tol {
			continue
		}
		switch o.a.Kind {
		case CheckStep:
			out = append(out, "check "+o.a.Check)
		case RepairStep:
			for _, r := range e.action(0, o.a.after).Repairs {
				out = append(out, "repair "+r)
			}
		default:
			out = append(out, "last resort")
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

type option struct {
	a Action
	v float64
}

// all lists the steps at a state, none cut off, with their values.
func (e *Exact) all(k key) ([]option, float64) {
	mass := e.mass(k)
	if mass < vanish {
		return nil, 0
	}
	var out []option
	e.each(k, mass, func() float64 { return e.x.LastResort*mass*2 + 1e18 }, func(a Action, v float64) { out = append(out, option{a, v / mass}) })
	best := out[0].v
	for _, o := range out {
		best = min(best, o.v)
	}
	return out, best
}

func (e *Exact) step(k key) Step {
	s := Step{at: k, e: e, Chance: e.mass(k) / e.mass(e.begin)}
	all, best := e.all(k)
	if len(all) == 0 {
		return s
	}
	s.Rest, s.Next = best, best
	win := slices.IndexFunc(all, func(o option) bool { return o.v <= best+1e-9 })
	s.Now = all[win].a
	if s.Now.Kind == RepairStep {
		s.Now = e.action(k.done, s.Now.after)
	}
	others := slices.DeleteFunc(all, func(o option) bool {
		return o.a.Kind == s.Now.Kind && (o.a.Kind != CheckStep || o.a.check == s.Now.check)
	})
	if len(others) > 0 {
		s.Next = slices.MinFunc(others, func(a, b option) int { return cmp.Compare(a.v, b.v) }).v
	}
	return s
}

// After is the step that follows: yes = the check was positive, or the retest was not dry; of
// a check with more answers yes is the second. ok is false when the job has ended or the answer
// cannot come.
func (s Step) After(yes bool) (next Step, ok bool) {
	k, x := s.at, s.e.x
	switch s.Now.Kind {
	case CheckStep:
		k.open |= x.path[x.checkAt[s.Now.check]]
		answer := uint64(1)
		if yes {
			answer = 2
		}
		k.answers |= answer << s.e.ask[s.Now.check]
	case RepairStep:
		if !yes {
			return Step{}, false
		}
		for r := range x.Repairs {
			if s.e.made(s.Now.after, r) > s.e.made(k.done, r) {
				k.open |= x.path[x.mendAt[r]]
			}
		}
		k.open &^= x.shut
		k.done = s.Now.after
	default:
		return Step{}, false
	}
	if s.e.mass(k) < vanish {
		return Step{}, false
	}
	return s.e.step(k), true
}
