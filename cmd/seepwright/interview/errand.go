package interview

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/rules"
	"seepwright/rules/fact"
)

// mostLooks is how many looks one walk to the machine holds.
const mostLooks = 6

// offer shows a look at the machine that is worth its minutes and asks what to do with it.
func (l *Loop) offer(r *engine.Result) (bool, error) {
	n := *r.Next
	l.describe(r, n)
	walk := l.walk(r, n)
	second := "I go and look"
	if len(walk) > 1 {
		second = fmt.Sprintf("I go and look: a list of %d, one walk", len(walk))
	}
	why := n.Why
	pick, err := l.Talk.Pick(Question{ID: "look", Ask: "What now?", Back: true, Why: why, Mind: l.mind(), Options: []Option{
		{"answer", "I can answer it now"}, {"go", second}, {"leave", "leave it out"}, {"enough", "enough: show the result"}}})
	if errors.Is(err, errBack) {
		if len(l.trail) == 0 {
			return false, l.change("Which answer is to be changed?")
		}
		return false, l.undo()
	}
	if err != nil {
		return true, err
	}
	switch pick {
	case 0:
		l.enqueue(n)
	case 1:
		return l.send(r, walk)
	case 2:
		for _, id := range n.Fills {
			l.putOff(l.Session.Key(n.Joint, id), l.kb().Fact(id))
		}
	case 3:
		return true, nil
	}
	return false, nil
}

// describe says what the look is, what it needs and what it costs.
func (l *Loop) describe(r *engine.Result, n plan.Next) {
	l.Talk.Tell("\nLOOK: %s", l.where(n))
	for _, c := range l.words(r, n.Caution) {
		l.Talk.Tell("CAUTION: %s", c)
	}
	if n.How != "" {
		l.Talk.Tell("%s", n.How)
	}
	s := "About " + spell(n.Minutes)
	if n.Saves >= 1 {
		s += ", saves about " + spell(n.Saves)
	}
	if c := l.kb().Check(n.Check); c != nil {
		if needs := states(c.Needs); needs != "" {
			s += "; the machine " + needs
		}
		if len(c.Destroys) > 0 {
			s += "; photograph first, it wipes out the " + strings.Join(c.Destroys, ", ")
		}
		if c.CommitsTo != "" {
			s += "; commits you to: " + strings.TrimSuffix(c.CommitsTo, ".")
		}
	}
	l.Talk.Tell("%s.", s)
	if len(n.Tools) > 0 {
		l.Talk.Tell("With: %s.", strings.Join(n.Tools, ", "))
	}
	if len(n.Borrow) > 0 {
		l.Talk.Tell("Borrow: %s.", strings.Join(n.Borrow, ", "))
	}
}

func (l *Loop) where(n plan.Next) string {
	if len(l.Session.Assembly().Joints) > 1 && n.Joint != "" {
		return n.Title + " (" + l.title(n.Joint) + ")"
	}
	return n.Title
}

// words are the warnings of the cautions that a step names.
func (l *Loop) words(r *engine.Result, ids []string) []string {
	var out []string
	for _, c := range r.Cautions {
		if slices.Contains(ids, c.ID) {
			out = append(out, c.Warning)
		}
	}
	return out
}

// states says in words which state a look needs.
func states(list []rules.State) string {
	var out []string
	for _, s := range list {
		switch s {
		case rules.PressureZero:
			out = append(out, "without pressure")
		case rules.LoadBlocked:
			out = append(out, "load down or blocked")
		case rules.Pressurised:
			out = append(out, "under pressure")
		case rules.AnyState:
			return "in any state"
		default:
			out = append(out, string(s))
		}
	}
	return strings.Join(out, ", ")
}

// walk is the list of looks for one walk, the one offered among them.
func (l *Loop) walk(r *engine.Result, n plan.Next) []plan.Next {
	out := []plan.Next{}
	for _, e := range r.Errand {
		if e.Check == n.Check && e.Joint == n.Joint {
			out = slices.Clone(r.Errand)
		}
	}
	if len(out) == 0 {
		out = []plan.Next{n}
		for _, e := range r.Errand {
			if e.Stage == n.Stage {
				out = append(out, e)
			}
		}
	}
	return out[:min(mostLooks, len(out))]
}

// send prints the slip for a walk to the machine and waits for the answers.
func (l *Loop) send(r *engine.Result, walk []plan.Next) (bool, error) {
	l.slipOf(r, walk)
	_, err := l.Talk.Words(Question{ID: "back-from-look", Ask: "Back? Then one after the other; leave open what you did not see.", Blank: "answer now"})
	if err != nil {
		return true, err
	}
	for _, n := range walk {
		l.enqueue(n)
	}
	return false, nil
}

// slipOf prints the looks as a list to take along: what to do, and what to note.
func (l *Loop) slipOf(r *engine.Result, walk []plan.Next) {
	total := 0.0
	said := map[string]bool{}
	l.Talk.Tell("\nTO LOOK AT, IN THIS ORDER")
	for i, n := range walk {
		total += n.Minutes
		for _, id := range n.Caution {
			if !said[id] {
				said[id] = true
				for _, c := range l.words(r, []string{id}) {
					l.Talk.Tell("CAUTION: %s", c)
				}
			}
		}
		l.Talk.Say(wrap(fmt.Sprintf("%d. %s", i+1, l.where(n)), l.Talk.Width, "[ ] ", "    "))
		if n.How != "" {
			l.Talk.Say(wrap(n.How, l.Talk.Width, "    ", "    "))
		}
		for _, id := range fills(n) {
			if f := l.kb().Fact(id); f != nil && l.asks(n.Joint, f) {
				l.Talk.Say(wrap(f.Ask+" "+strings.Join(titles(f), " / ")+" ____", l.Talk.Width, "    - ", "      "))
			}
		}
	}
	l.Talk.Tell("About %s in all.", spell(total))
}

func titles(f *rules.Fact) []string {
	switch f.Answer {
	case fact.YesNo:
		return []string{"yes / no"}
	case fact.Choice, fact.Several:
		var out []string
		for _, o := range f.Options {
			if o.Title != "" {
				out = append(out, o.Title)
			} else {
				out = append(out, o.ID)
			}
		}
		return out
	}
	return nil
}

func fills(n plan.Next) []string {
	if n.Check == "" {
		return []string{n.Fact}
	}
	return n.Fills
}

// enqueue puts the questions of a look into the line; each may be left open.
func (l *Loop) enqueue(n plan.Next) {
	for _, id := range fills(n) {
		l.queue = append(l.queue, item{joint: l.anyJoint(n.Joint), fact: id, why: n.Why, open: true})
	}
}

// spell says minutes as a fitter would: below ten as they are, then in fives, then in hours.
func spell(m float64) string {
	switch {
	case m < 1:
		return "a minute"
	case m < 10:
		return fmt.Sprintf("%.0f min", m)
	case m < 120:
		return fmt.Sprintf("%.0f min", 5*math.Round(m/5))
	}
	return fmt.Sprintf("%g h", math.Round(m/30)/2)
}
