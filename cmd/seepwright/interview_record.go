package main

import (
	"math"
	"slices"

	"seepwright/cmd/seepwright/journal"
	"seepwright/cmd/seepwright/report"
	"seepwright/engine"
)

// save writes the case: the record where it is one, else a plain file.
func (d *desk) save() error {
	var err error
	if d.held != nil {
		err = d.held.Save()
	} else {
		err = journal.Save(d.path, d.saved)
	}
	d.wrote = d.wrote || err == nil
	return fault(err)
}

// log adds to the log of a record.
func (d *desk) log(list ...journal.Entry) {
	if d.held != nil || d.saved.Head.ID != "" {
		for i := range list {
			list[i].At, list[i].By = d.app.now(), d.start.record.by
		}
		d.saved.Add(list...)
	}
}

// mostRanked is how many causes the log keeps of each step.
const mostRanked = 3

// rank notes in a record what is thought now, where it is not what was thought before.
func (d *desk) rank(r *engine.Result) {
	e := journal.Entry{What: journal.Ranked, Run: r.Run.Verdict}
	for _, x := range report.Shown(r) {
		if len(e.Ranked) < mostRanked {
			joint := x.Joint
			if len(r.Joints) == 1 {
				joint = ""
			}
			e.Ranked = append(e.Ranked, journal.Chance{Joint: joint, Cause: x.Cause, Chance: math.Round(100*x.Probability) / 100})
		}
	}
	if r.Next != nil {
		e.Next = r.Next.Title
	}
	for i := len(d.saved.Log) - 1; i >= 0; i-- {
		if was := d.saved.Log[i]; was.What == journal.Ranked {
			if slices.Equal(was.Ranked, e.Ranked) && was.Run == e.Run {
				return
			}
			break
		}
	}
	if len(e.Ranked) > 0 {
		d.log(e)
	}
}
