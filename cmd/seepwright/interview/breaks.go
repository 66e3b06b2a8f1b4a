package interview

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/engine/infer"
	"seepwright/rules/fact"
)

// broken shows a stop that has come up, at once. It reports whether the interview ends here.
func (l *Loop) broken(r *engine.Result) (bool, error) {
	if r.Stop == nil || r.Stop.ID == l.Shown {
		if r.Stop == nil {
			l.Shown = ""
		}
		return false, nil
	}
	s := r.Stop
	l.Shown = s.ID
	l.Talk.Tell("\nSTOP. %s", s.Reason)
	for _, m := range s.MakeSafe {
		l.Talk.Say(wrap(m, l.Talk.Width, "[ ] ", "    "))
	}
	if len(s.Acts) > 0 {
		l.Talk.Tell("Not here and not by you: %s.", strings.Join(s.Acts, "; "))
	}
	if s.ReferTo != "" {
		l.Talk.Tell("Then: %s", s.ReferTo)
	}
	if s.Refuses {
		l.Talk.Tell("seepwright goes no further at this kind of work: no check and no plan.")
		_, err := l.Talk.Words(Question{ID: "stop", Ask: "Enter = end here. b = that answer was wrong.", Blank: "end", Back: true})
		if errors.Is(err, errBack) {
			l.Shown = ""
			return false, l.undo()
		}
		l.ended = true
		return true, err
	}
	n, err := l.Talk.YesNo(Question{ID: "stop", Ask: "Is that done? y = go on to the cause, n = end here, b = that answer was wrong.", Back: true})
	if errors.Is(err, errBack) {
		l.Shown = ""
		return false, l.undo()
	}
	l.ended = n == 0 && err == nil
	return n == 0, err
}

// undo reopens the last answer, or any that was loaded.
func (l *Loop) undo() error {
	if len(l.trail) == 0 {
		return l.change("Which answer was wrong?")
	}
	e := l.trail[len(l.trail)-1]
	l.trail = l.trail[:len(l.trail)-1]
	return l.reopen(e)
}

// clash shows the two reasons of the newest contradicted fact and asks which of them holds.
func (l *Loop) clash(r *engine.Result) error {
	mem := l.Session.Memory()
	c := r.Contra[len(r.Contra)-1]
	for _, x := range r.Contra {
		if len(l.trail) > 0 && slices.Contains(l.trail[len(l.trail)-1].keys, fact.Key{Joint: x.Joint, Fact: x.Fact}) {
			c = x
		}
	}
	k := fact.Key{Joint: c.Joint, Fact: c.Fact}
	supports := mem.Supports(k)
	l.Talk.Tell("\nTwo things clash here. It counts as not known until one of them gives way.")
	var list []Option
	for i, s := range supports {
		why := "you said so"
		if s.Rule != "" {
			why = "worked out: " + s.Says
		} else if s.Origin == infer.Given {
			why = "the unit's file says so"
		}
		list = append(list, Option{fmt.Sprint(i), l.say(k, s.Value) + " (" + why + ")"})
	}
	n, err := l.Talk.Pick(Question{ID: "clash", Ask: "Which of them holds?", Options: list, Unsure: true, Back: true})
	if err != nil || n < 0 {
		return err
	}
	if supports[n].Rule != "" {
		// What was worked out holds: what was said goes.
		l.changed()
		mem.Withdraw(k)
		return l.Keep()
	}
	for _, s := range supports {
		if s.Rule != "" && s.Value.Clash(supports[n].Value) {
			return l.doubt(s)
		}
	}
	return nil
}

// doubt asks which of the answers behind a conclusion is to be given anew.
func (l *Loop) doubt(s infer.Support) error {
	mem := l.Session.Memory()
	var keys []fact.Key
	var list []Option
	var visit func(in []fact.Key, depth int)
	visit = func(in []fact.Key, depth int) {
		for _, k := range in {
			if v, ok := answered(mem, k); ok {
				if !slices.Contains(keys, k) {
					keys, list = append(keys, k), append(list, Option{k.String(), l.say(k, v)})
				}
				continue
			}
			for _, x := range mem.Supports(k) {
				if depth < 8 {
					visit(x.Inputs, depth+1)
				}
			}
		}
	}
	visit(s.Inputs, 0)
	if len(keys) == 0 {
		return nil
	}
	n, err := l.Talk.Pick(Question{ID: "clash/which", Ask: "Then one of these must be wrong. Which one would you answer anew?", Options: list, Blank: "none"})
	if err != nil || n < 0 {
		return err
	}
	k := keys[n]
	return l.reopen(entry{item{joint: l.anyJoint(k.Joint), fact: k.Fact}, []fact.Key{k}})
}
