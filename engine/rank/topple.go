package rank

import (
	"fmt"
	"math"
	"slices"
)

// Question is an open question with the changes of each of its answers, as for LookAhead.
type Question struct {
	ID      string
	Answers [][]Change
}

// AnswerRef names an answer of a list of questions.
type AnswerRef struct{ Question, Answer int }

// Toppling says what would put a cause before the one that is first now.
type Toppling struct {
	Rival   CauseRef
	Answers []AnswerRef // one answer, else two answers of different questions; none if neither one nor a pair that was tried does it
	P       float64     // probability that these answers come, given what is known
	Rivals  float64     // posterior of the rival after them
	Firsts  float64     // posterior, after them, of the cause that is first now
	// Complete says that every single answer and, where no single one did it, every pair was tried: no smaller set exists and no
	// more probable one of the same size.
	Complete bool
}

// Topplings gives for each of the named causes but the first, in the order of their ranking, the smallest set of open answers
// that would put it before the first; of sets of the same size the most probable, of equals the one named first. pairs is the
// most pairs of answers that may be tried for one rival; they are tried in the order of what their answers do singly. Each result
// is exact as LookAhead is. Work: one look-ahead for every question, and one solve for every pair that is tried.
func (s *Solver) Topplings(refs []CauseRef, questions []Question, pairs int) ([]Toppling, error) {
	if err := s.a.checkRefs("refs", refs); err != nil {
		return nil, err
	}
	if len(refs) < 2 {
		return nil, nil
	}
	t := &toppler{s: s, questions: questions, pairs: map[[2]AnswerRef]Outcome{}}
	for q, question := range questions {
		out, err := s.LookAhead(question.Answers)
		if err != nil {
			return nil, fmt.Errorf("question %d (%s): %w", q, question.ID, err)
		}
		for a, o := range out {
			if o.P > 0 {
				t.singles = append(t.singles, answered{AnswerRef{q, a}, o})
			}
		}
	}
	order := s.post.Ranking(refs)
	out := make([]Toppling, 0, len(order)-1)
	for _, rival := range order[1:] {
		r, err := t.topple(order[0].CauseRef, rival.CauseRef, pairs)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

type answered struct {
	ref AnswerRef
	out Outcome
}

type toppler struct {
	s         *Solver
	questions []Question
	singles   []answered
	pairs     map[[2]AnswerRef]Outcome
}

func (t *toppler) topple(first, rival CauseRef, limit int) (Toppling, error) {
	r := Toppling{Rival: rival, Complete: true}
	take := func(o Outcome, answers ...AnswerRef) {
		a, b := o.Posterior.Of(rival), o.Posterior.Of(first)
		if a > b && o.P > r.P {
			r.Answers, r.P, r.Rivals, r.Firsts = answers, o.P, a, b
		}
	}
	shift := make([]float64, len(t.singles))
	for i, a := range t.singles {
		take(a.out, a.ref)
		shift[i] = math.Log(a.out.Posterior.Of(rival)) - math.Log(a.out.Posterior.Of(first))
		if math.IsNaN(shift[i]) { // neither can be after this answer
			shift[i] = math.Inf(-1)
		}
	}
	if r.Answers != nil {
		return r, nil
	}
	type pair struct {
		a, b int
		push float64
	}
	var list []pair
	for a := range t.singles {
		for b := a + 1; b < len(t.singles); b++ {
			if t.singles[a].ref.Question != t.singles[b].ref.Question {
				list = append(list, pair{a, b, shift[a] + shift[b]})
			}
		}
	}
	slices.SortStableFunc(list, func(x, y pair) int {
		switch {
		case x.push > y.push:
			return -1
		case x.push < y.push:
			return 1
		}
		return 0
	})
	if len(list) > limit {
		list, r.Complete = list[:max(0, limit)], false
	}
	// In the order of the questions again, so that of equals the one named first is kept.
	slices.SortFunc(list, func(x, y pair) int {
		if x.a != y.a {
			return x.a - y.a
		}
		return x.b - y.b
	})
	for _, p := range list {
		key := [2]AnswerRef{t.singles[p.a].ref, t.singles[p.b].ref}
		o, ok := t.pairs[key]
		if !ok {
			var err error
			both := append(slices.Clip(t.changes(key[0])), t.changes(key[1])...)
			if o, err = t.s.outcome(both); err != nil {
				return Toppling{}, err
			}
			t.pairs[key] = o
		}
		if o.P > 0 {
			take(o, key[0], key[1])
		}
	}
	return r, nil
}

func (t *toppler) changes(a AnswerRef) []Change { return t.questions[a.Question].Answers[a.Answer] }
