package interview

import (
	"errors"

	"seepwright/engine"
)

// Outcome is what it turned out to be.
type Outcome struct {
	Joint, Cause, Said, Done string
}

// mostCauses is how many causes are listed when the person is asked what it was.
const mostCauses = 8

// Dry asks, when a saved case is taken up again, whether it is dry now; and if so, what it
// was and what was done. ok is false when it is not dry.
func (t *Talk) Dry(r *engine.Result) (o Outcome, ok bool, err error) {
	for {
		n, err := t.YesNo(Question{ID: "dry-now", Ask: "Is it dry now?", Blank: "no", Why: "What it proved to be is kept with the case, and teaches the next one. No share is changed by it in silence."})
		if err != nil || n != 1 {
			return o, false, err
		}
		o, err = t.proven(r)
		if errors.Is(err, errBack) {
			continue
		}
		return o, err == nil, err
	}
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
