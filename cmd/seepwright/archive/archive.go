// Package archive tells what many cases say together: what failed where, how long repairs
// lasted, what is due; and it hands cases on as JSON, CSV or without personal data.
// It finds no files, asks nothing and knows no knowledge base; what it needs of that is handed
// to it.
package archive

import (
	"slices"
	"time"

	"seepwright/cmd/seepwright/journal"
)

// repair is one closing that was dry, and what became of it.
type repair struct {
	unit, joint, kind, cause string
	from                     time.Time
	again                    time.Time // when it leaked again; zero: it was not seen to
}

// Closing is one end of a case as its log has it.
type closing struct {
	at     time.Time
	joints []place
	again  time.Time
}

// place is a joint with what it proved to be.
type place struct{ joint, kind, cause string }

// places are the joints of a case with what they proved to be, each joint once; where nothing
// is proven, the joints that were worked on until a time.
func places(l *journal.Line, until time.Time) []place {
	var out []place
	put := func(p place) {
		if !slices.ContainsFunc(out, func(q place) bool { return q.joint == p.joint }) {
			out = append(out, p)
		}
	}
	for _, p := range l.Proven {
		put(place{p.Joint, p.Kind, p.Cause})
	}
	if len(out) > 0 {
		return out
	}
	for _, e := range l.Work {
		if e.What == journal.Did && e.Joint != "" && !e.At.After(until) {
			put(place{joint: e.Joint})
		}
	}
	return out
}

// closings are the dry closings of a case in their order. What a case that was opened again was
// first held to be no longer stands in it; then the joints that were worked on until then count.
func closings(l *journal.Line) []closing {
	var out []closing
	last := func() *closing {
		if len(out) == 0 || !out[len(out)-1].again.IsZero() {
			return nil
		}
		return &out[len(out)-1]
	}
	for _, e := range l.Work {
		switch {
		case e.What == journal.Closed && e.Name == journal.Dry:
			out = append(out, closing{at: e.At})
		case e.What == journal.Reopened, e.What == journal.Retest && leaked(e):
			if c := last(); c != nil {
				c.again = e.At
			}
		}
	}
	if len(out) == 0 && l.Head.End == journal.Dry {
		out = append(out, closing{at: l.Head.Closed}) // a log that an editor cut
	}
	for i := range out {
		c := &out[i]
		if i == len(out)-1 && l.Head.End == journal.Dry {
			c.joints = places(l, c.at)
			continue
		}
		c.joints = places(&journal.Line{Work: l.Work}, c.at)
		if len(c.joints) == 0 {
			c.joints = places(l, c.at)
		}
	}
	for i := range out {
		if len(out[i].joints) == 0 {
			out[i].joints = []place{{}}
		}
	}
	return out
}

func leaked(e journal.Entry) bool { return e.Tissue == "wet" || e.Tissue == "damp" }

// end is when a unit was given up: nothing that was mended on it can be watched any longer.
type end struct {
	unit string
	at   time.Time
}

// repairs are all dry closings of cases that name their unit, and when the same joint of the
// same unit leaked again: when its case was opened again, a retest behind the closing was not
// dry, or the next case of that unit was opened in which that joint proved at fault, or, where
// nothing is proven, was worked on.
func repairs(cases []journal.Line) (list []repair, ends []end, unnamed int) {
	type key struct{ unit, joint string }
	next := map[key][]time.Time{}
	for i := range cases {
		l := &cases[i]
		if l.Head.Unit == "" {
			continue
		}
		for _, p := range places(l, time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)) {
			k := key{l.Head.Unit, p.joint}
			next[k] = append(next[k], l.Head.Opened)
		}
		if l.Head.End == "replaced" {
			ends = append(ends, end{l.Head.Unit, l.Head.Closed})
		}
	}
	for _, t := range next {
		slices.SortFunc(t, time.Time.Compare)
	}
	for i := range cases {
		l := &cases[i]
		for _, c := range closings(l) {
			if l.Head.Unit == "" {
				unnamed++
				continue
			}
			for _, p := range c.joints {
				r := repair{unit: l.Head.Unit, joint: p.joint, kind: p.kind, cause: p.cause, from: c.at, again: c.again}
				if r.again.IsZero() {
					times := next[key{r.unit, r.joint}]
					if at, _ := slices.BinarySearchFunc(times, c.at.Add(time.Second), time.Time.Compare); at < len(times) {
						r.again = times[at]
					}
				}
				list = append(list, r)
			}
		}
	}
	return list, ends, unnamed
}

// spell is how long a repair held until now, or until its unit was replaced.
func (r repair) spell(now time.Time, ends []end) Spell {
	to, failed := now, false
	if !r.again.IsZero() {
		to, failed = r.again, true
	}
	for _, e := range ends {
		if e.unit == r.unit && e.at.After(r.from) && e.at.Before(to) {
			to, failed = e.at, false
		}
	}
	return Spell{Days: max(0, to.Sub(r.from).Hours()/24), Failed: failed}
}
