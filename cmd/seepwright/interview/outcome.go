package interview

import (
	"errors"
	"slices"

	"seepwright/engine"
	"seepwright/engine/network"
	"seepwright/rules"
)

// Outcome is what it turned out to be.
type Outcome struct {
	Joint, Cause, Said, Done string
}

// mostCauses is how many causes are listed when the person is asked what it was.
const mostCauses = 8

// Now is how a case stands that is taken up again.
type Now int

// The ways it can stand.
const (
	NotTried Now = iota
	StillWet
	DryNow
)

// Dry asks, when a saved case is taken up again, whether it is dry now; and if so, what it
// was and what was done.
func (t *Talk) Dry(r *engine.Result) (o Outcome, now Now, err error) {
	for {
		n, err := t.YesNo(Question{ID: "dry-now", Ask: "Is it dry now?", Blank: "nothing done yet", Why: "What it proved to be is kept with the case, and teaches the next one. No share is changed by it in silence. Work that left it wet counts too: it rules out what it cured."})
		switch {
		case err != nil || n != 1 && n != 0:
			return o, NotTried, err
		case n == 0:
			return o, StillWet, nil
		}
		o, err = t.proven(r)
		if errors.Is(err, errBack) {
			continue
		}
		return o, DryNow, err
	}
}

// mostRemedies is how many are listed when the person is asked what was done.
const mostRemedies = 12

// Tried asks what was done since, and where it is wet again. It gives one entry for each
// joint that was worked on; none when nothing was done.
func (t *Talk) Tried(s *engine.Session, r *engine.Result) ([]network.Tried, error) {
	titles := map[string]string{}
	for _, j := range r.Joints {
		titles[j.Joint] = j.Title
	}
	var list []Option
	var work []network.Tried
	kb := s.Knowledge()
	put := func(joint string, rr rules.RemedyRef) {
		x := kb.Remedy(rr.Remedy)
		known := slices.ContainsFunc(work, func(w network.Tried) bool { return w.Joint == joint && w.Did[0] == rr.Remedy })
		if x == nil || known || len(list) == mostRemedies {
			return
		}
		title := x.Title
		if len(r.Joints) > 1 {
			title += " (" + titles[joint] + ")"
		}
		list, work = append(list, Option{x.ID, title}), append(work, network.Tried{Joint: joint, Did: []string{x.ID}})
	}
	for _, x := range r.Ranking {
		c := kb.Cause(x.Kind + "/" + x.Cause)
		if c == nil || x.Joint == "" {
			continue
		}
		for _, rr := range c.Remedies {
			put(x.Joint, rr)
		}
	}
	if len(list) == 0 {
		return nil, nil
	}
	is, _, none, kind, err := t.Many(Question{ID: "what-was-tried", Ask: "What was done since?", Options: list, Note: "numbers; Enter = nothing of these", Blank: "nothing of these", Many: true})
	if err != nil || none || kind == blank || len(is) == 0 {
		return nil, err
	}
	var out []network.Tried
	for _, n := range is {
		i := slices.IndexFunc(out, func(o network.Tried) bool { return o.Joint == work[n].Joint })
		if i < 0 {
			out = append(out, network.Tried{Joint: work[n].Joint, Wet: true})
			i = len(out) - 1
		}
		out[i].Did = append(out[i].Did, work[n].Did...)
	}
	if len(out) < 2 {
		return out, nil
	}
	list = nil
	for _, o := range out {
		list = append(list, Option{o.Joint, titles[o.Joint]})
	}
	wet, _, none, _, err := t.Many(Question{ID: "where-wet-again", Ask: "Which of them is wet again?", Options: list, Note: "numbers", Many: true})
	if err != nil {
		return nil, err
	}
	for i := range out {
		out[i].Wet = !none && slices.Contains(wet, i)
	}
	return out, nil
}

func (t *Talk) proven(r *engine.Result) (o Outcome, err error) {
	titles := map[string]string{}
	for _, j := range r.Joints {
		titles[j.Joint] = j.Title
	}
	var list []Option
	top := r.Ranking[:min(mostCauses, len(r.Ranking))]
	for _, x := range top {
		title := x.Title
		if len(r.Joints) > 1 && x.Joint != "" {
			title += " (" + titles[x.Joint] + ")"
		}
		list = append(list, Option{x.Cause, title})
	}
	list = append(list, Option{"other", "something else"}, Option{"not-known", "nobody knows; it stopped"})
	for {
		n, err := t.Pick(Question{ID: "what-was-it", Ask: "What was it?", Options: list, Back: true})
		if err != nil {
			return o, err
		}
		o = Outcome{}
		if n < len(top) {
			o.Joint, o.Cause = top[n].Joint, top[n].Cause
		} else if list[n].ID == "not-known" {
			o.Said = "not known"
		} else {
			o.Said, err = t.Words(Question{ID: "what-else", Ask: "In a few words?", Back: true})
			if errors.Is(err, errBack) {
				continue
			}
			if err != nil {
				return o, err
			}
		}
		o.Done, err = t.Words(Question{ID: "what-was-done", Ask: "What was done about it?", Blank: "not said", Back: true})
		if errors.Is(err, errBack) {
			continue
		}
		return o, err
	}
}
