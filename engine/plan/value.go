package plan

import (
	"cmp"
	"fmt"
	"slices"

	"seepwright/engine/abreast"
	"seepwright/engine/plan/optimum"
	"seepwright/rules"
)

// What is weighed between two questions: the looks whose answers move the chances most, one
// step ahead. For the plan many more, two steps ahead.
const (
	briefLooks = 16
	planLooks  = 190
)

// advise lets optimum weigh all looks, and what is done without them. A look saves the
// expected minutes of the best plan that does not begin with a look, less those after it, its
// own minutes not counted: all under the picture of the scene. No look saves less than
// nothing, because what one would do without it can be done with any answer.
func (p *Problem) advise(b *bench, list []*look) ([]look, error) {
	if len(b.scene.sets) == 0 {
		return nil, nil
	}
	open := p.telling(b, list)
	effort := optimum.Effort{Checks: planLooks, Looks: 700, Trades: true, Quick: true}
	if p.Person.Brief {
		effort = optimum.Effort{Checks: briefLooks, Ahead: 1, Quick: true, Rough: true}
	}
	m := p.model(b, open)
	number := map[string]int{} // place of a look by the id of its check
	for i, c := range m.Checks {
		number[c.ID] = i
	}
	var err error
	if b.advice, err = optimum.Advise(m, effort); err != nil {
		return nil, fmt.Errorf("the plan could not be worked out (%w): the ranking stands; go by that, and report the answers that led here", err)
	}
	var out []look
	for _, w := range b.advice.Checks {
		l := *open[number[w.Check]]
		l.cost, l.Saves = w.Minutes, max(0, w.Saves+w.Minutes)
		out = append(out, l)
	}
	for _, w := range b.advice.Errand {
		l := *open[number[w.Check]]
		l.Saves = w.Saves + w.Minutes
		b.errand = append(b.errand, l)
	}
	slices.SortStableFunc(out, func(x, y look) int {
		return cmp.Or(cmp.Compare(y.Saves-y.cost, x.Saves-x.cost), cmp.Compare(x.Joint, y.Joint), cmp.Compare(x.Check+x.Fact, y.Check+y.Fact))
	})
	return out, nil
}

// telling works out what the looks tell; those that tell nothing are left out, and between two
// questions those that tell least for their minutes.
func (p *Problem) telling(b *bench, list []*look) []*look {
	s := &b.scene
	slates := make([]slate, abreast.Workers(len(list)))
	abreast.EachBy(len(list), func(w, i int) {
		list[i].best, list[i].next = p.tellings(s, list[i].probes, &slates[w])
	})
	list = slices.DeleteFunc(list, func(l *look) bool { return l.best.rows == nil })
	if p.Person.Brief {
		worth := func(l *look) float64 { return (l.best.move+l.next.move)*b.resort/2 - l.cost }
		slices.SortStableFunc(list, func(x, y *look) int { return cmp.Compare(worth(y), worth(x)) })
		list = list[:min(3*briefLooks, len(list))]
	}
	abreast.Each(len(list), func(i int) { list[i].table = s.table(list[i].best, list[i].next) })
	return list
}

// purpose says in the words of a consultant what a question is for.
func (p *Problem) purpose() string {
	best, second := 0.0, 0.0
	for i := range p.Net.Joints {
		for _, q := range p.Post.Cause[i] {
			if q > best {
				best, second = q, best
			} else if q > second {
				second = q
			}
		}
	}
	switch {
	case best > 0.6 && second < best/3:
		return "confirm"
	case best > 0.3:
		return "tell-apart"
	}
	return "rule-out"
}

// why says in one sentence what the answer would do.
func (p *Problem) why(s *scene, l look) string {
	if l.Why != "" {
		return l.Why
	}
	names := p.splits(s, l)
	switch {
	case len(names) > 1:
		return fmt.Sprintf("it tells %q from %q", names[0], names[1])
	case len(names) == 1:
		return fmt.Sprintf("it speaks for or against %q", names[0])
	}
	if len(p.Net.Joints) == 1 {
		return "what it tells bears on what is likely here"
	}
	return "it narrows down which joint leaks"
}

// causeOf is the document of an item, nil for the unknown cause.
func (p *Problem) causeOf(l layout, item int) *rules.Cause {
	g := l.group[item]
	if g >= l.n {
		return p.Net.Shared[g-l.n]
	}
	m := p.Net.Joints[g].Model
	switch k := item - l.start[g]; {
	case k < len(m.Causes):
		return m.Causes[k]
	case item == l.start[g+1]-1:
		return m.Away
	}
	return nil
}

// splits names the two causes whose chances differ most between the answers, one that goes
// up and one that goes down.
func (p *Problem) splits(s *scene, l look) []string {
	type moved struct {
		title string
		by    float64
	}
	var up, down moved
	now := s.shares(nil)
	most := 0.0005
	for _, row := range l.table {
		then := s.shares(row)
		lead := 0
		for i := range then {
			if then[i]-now[i] > then[lead]-now[lead] {
				lead = i
			}
		}
		chance := 0.0
		for e, set := range s.sets {
			chance += set.Chance * row[e]
		}
		if by := chance / s.total * (then[lead] - now[lead]); by > most {
			most, up, down = by, moved{}, moved{}
			for i := range then {
				c := p.causeOf(s.layout, i)
				if c == nil {
					continue
				}
				if d := then[i] - now[i]; d > up.by {
					up = moved{c.Title, d}
				} else if d < down.by {
					down = moved{c.Title, d}
				}
			}
		}
	}
	var out []string
	for _, m := range []moved{up, down} {
		if m.title != "" && !slices.Contains(out, m.title) {
			out = append(out, m.title)
		}
	}
	return out
}
