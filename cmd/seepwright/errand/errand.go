// Package errand is the slip for one walk to the machine: the looks that are worth their
// minutes, in walking order, grouped by the state in which the machine must stand, with room to
// write; and the reading of what was written on it. It chooses no looks and keeps no answers.
package errand

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// Slip is one walk.
type Slip struct {
	Code    string   `json:"slip"` // of the questions and their order; an answered slip is held against it
	Case    string   `json:"case,omitempty"`
	Unit    string   `json:"unit,omitempty"`
	Stop    string   `json:"stop,omitempty"` // a reason to stop, before any look
	Safe    []string `json:"make_safe,omitempty"`
	Minutes float64  `json:"minutes"`
	Groups  []Group  `json:"groups"`
}

// Group are the looks that are made in one state.
type Group struct {
	State string `json:"state"`
	Looks []Look `json:"looks"`
	needs []string
}

// Look is one look.
type Look struct {
	Number    int        `json:"number"`
	Title     string     `json:"title"`
	Check     string     `json:"check,omitempty"`
	Joint     string     `json:"joint"`
	Place     string     `json:"place,omitempty"` // title of the joint, where there are several
	How       string     `json:"how,omitempty"`
	Minutes   float64    `json:"minutes"`
	Tools     []string   `json:"tools"`
	Borrow    []string   `json:"borrow,omitempty"`
	Cautions  []string   `json:"cautions"` // in words; each stands once on a slip
	Wipes     []string   `json:"wipes_out,omitempty"`
	Why       string     `json:"why,omitempty"`
	Questions []Question `json:"questions"`
}

// Question is one thing to note.
type Question struct {
	Mark    string   `json:"mark"` // "2b"
	Joint   string   `json:"joint"`
	Fact    string   `json:"fact"`
	Ask     string   `json:"ask"`
	Options []string `json:"options,omitempty"` // in their order; a number means one of them
	Unit    string   `json:"unit,omitempty"`
	Several bool     `json:"several,omitempty"`
}

// Of draws up the slip of a result: its errand, or where the next thing is a single look, that.
// It has no looks when the next thing is a question that needs no walk.
func Of(s *engine.Session, r *engine.Result) Slip {
	out := Slip{Unit: s.Assembly().Title, Groups: []Group{}}
	if r.Stop != nil {
		out.Stop, out.Safe = r.Stop.Reason, r.Stop.MakeSafe
	}
	walk := r.Errand
	if len(walk) == 0 && r.Next != nil && r.Next.Check != "" {
		walk = []plan.Next{*r.Next}
	}
	said := map[string]bool{}
	code := fnv.New32a()
	number := 0
	for _, n := range walk {
		l := look(s, n)
		if len(l.Questions) == 0 {
			continue
		}
		number++
		l.Number = number
		for _, c := range r.Cautions {
			if slices.Contains(n.Caution, c.ID) && !said[c.ID] {
				said[c.ID] = true
				l.Cautions = append(l.Cautions, c.Warning)
			}
		}
		for i := range l.Questions {
			q := &l.Questions[i]
			q.Mark = fmt.Sprint(number)
			if len(l.Questions) > 1 {
				q.Mark += string(rune('a' + i%26))
			}
			fmt.Fprintf(code, "%s %s/%s\n", q.Mark, q.Joint, q.Fact)
		}
		out.put(l, stateOf(s.Knowledge(), n))
		out.Minutes += n.Minutes
	}
	out.Code = fmt.Sprintf("%04x", code.Sum32()&0xffff)
	return out
}

// Questions are all questions of a slip in their order.
func (s Slip) Questions() []Question {
	var out []Question
	for _, g := range s.Groups {
		for _, l := range g.Looks {
			out = append(out, l.Questions...)
		}
	}
	return out
}

// Looks are all looks of a slip in their order.
func (s Slip) Looks() []Look {
	var out []Look
	for _, g := range s.Groups {
		out = append(out, g.Looks...)
	}
	return out
}

func look(s *engine.Session, n plan.Next) Look {
	l := Look{Title: n.Title, Check: n.Check, Joint: n.Joint, How: n.How, Minutes: max(n.Minutes, 0), Tools: nonNil(n.Tools), Borrow: n.Borrow, Cautions: []string{}, Why: n.Why}
	j, _ := s.Assembly().Joint(n.Joint)
	if len(s.Assembly().Joints) > 1 {
		l.Place = cmp.Or(j.Title, n.Joint)
	}
	kb := s.Knowledge()
	ids := n.Fills
	if c := kb.Check(n.Check); c != nil {
		l.Wipes = c.Destroys
	} else {
		ids = []string{n.Fact}
	}
	for _, id := range ids {
		f := kb.Fact(id)
		if f == nil || f.Engine || !rules.Applies(f.For, j.Kind) {
			continue
		}
		mem := s.Memory()
		if _, known, _ := mem.Value(mem.Key(n.Joint, id)); known || f.AskIf != nil && f.AskIf.Cond.Eval(mem.Env(n.Joint)).Truth == fact.False {
			continue
		}
		q := Question{Joint: n.Joint, Fact: id, Ask: f.Ask, Several: f.Answer == fact.Several}
		switch f.Answer {
		case fact.YesNo:
			q.Options = []string{"yes", "no"}
		case fact.Choice, fact.Several:
			for _, o := range f.Options {
				q.Options = append(q.Options, cmp.Or(o.Title, o.ID))
			}
		case fact.Clock:
			q.Unit = "o'clock, seen from"
		case fact.Number, fact.Readings:
			if u := unit.Standard(f.Dim); f.Dim != unit.CountDim && u.Symbol != "1" {
				q.Unit = u.Symbol
			}
		}
		l.Questions = append(l.Questions, q)
	}
	return l
}

func nonNil(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}

// put puts a look into the group before it where that state will do, so that the machine is not
// brought into another one for nothing.
func (s *Slip) put(l Look, needs []string) {
	if k := len(s.Groups); k > 0 {
		g := &s.Groups[k-1]
		if contains(g.needs, needs) || contains(needs, g.needs) && !running(needs) {
			if len(needs) > len(g.needs) {
				g.needs, g.State = needs, strings.Join(needs, ", ")
			}
			g.Looks = append(g.Looks, l)
			return
		}
	}
	state := strings.Join(needs, ", ")
	if state == "" {
		state = "as it stands"
	}
	s.Groups = append(s.Groups, Group{State: state, Looks: []Look{l}, needs: needs})
}

func contains(all, some []string) bool {
	return !slices.ContainsFunc(some, func(x string) bool { return !slices.Contains(all, x) })
}

func running(needs []string) bool {
	return slices.ContainsFunc(needs, func(s string) bool { return slices.Contains([]string{"running", "hot", "under pressure"}, s) })
}

// stateOf says in which state the machine stands for a look; nothing where any will do.
func stateOf(kb *rules.Knowledge, n plan.Next) []string {
	c := kb.Check(n.Check)
	var out []string
	if c != nil && len(c.Needs) > 0 {
		for _, s := range c.Needs {
			switch s {
			case rules.PressureZero:
				out = append(out, "without pressure")
			case rules.LoadBlocked:
				out = append(out, "load down or blocked")
			case rules.Pressurised:
				out = append(out, "under pressure")
			case rules.AnyState:
				return nil
			default:
				out = append(out, string(s))
			}
		}
		slices.Sort(out)
		return out
	}
	switch rules.Stage(n.Stage) {
	case rules.Running:
		return []string{"running"}
	case rules.Static:
		return []string{"filled, standing still"}
	case rules.Hot:
		return []string{"hot"}
	case rules.OneFastener, rules.CoverOff, rules.Opened, rules.Bench:
		return []string{"stopped", "without pressure"}
	}
	return nil
}
