package job

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"seepwright/cmd/seepwright/journal"
	"seepwright/rules/table"
)

// Due is something that is to be done by or from a time.
type Due struct {
	At    time.Time // zero where there is no date: at each run
	Joint string
	Kind  DueKind
	What  string
	Until bool // not before At: something must set or settle first
}

// DueKind says of what kind it is.
type DueKind string

// What can be due.
const (
	Cure    DueKind = "cure"
	Proof   DueKind = "retest"
	Renip   DueKind = "re-nip"
	Watch   DueKind = "recheck"
	Replace DueKind = "stop-gap"
)

// Week and month are the times of the recheck. Source: method of the retest, 5 to 10 hours or a
// week, then 25 to 50 hours or a month; standing: common practice.
const (
	week  = 7 * 24 * time.Hour
	month = 30 * 24 * time.Hour
)

// settles is the longest wait of a line of the reassembly that is a settling before first use.
// Longer ones speak of what is seen after the first heat, which the retest counts. Standing: estimate.
const settles = 6 * 60

// Overdue reports whether it should have been done by now.
func (d Due) Overdue(now time.Time) bool { return !d.Until && !d.At.IsZero() && d.At.Before(now) }

// Due lists what falls due, what has a date first.
func (j *Job) Due() []Due {
	var out []Due
	out = append(out, j.cures()...)
	out = append(out, j.stopGaps()...)
	for _, id := range j.tested() {
		out = append(out, j.proofs(id)...)
	}
	h := j.Case.Head
	if h.ID != "" && !h.Open() && h.End == journal.Dry && !slices.ContainsFunc(out, func(d Due) bool { return d.Kind == Watch }) {
		out = append(out, j.afterwards("", h.Closed)...)
	}
	slices.SortStableFunc(out, func(a, b Due) int {
		if a.At.IsZero() != b.At.IsZero() {
			if a.At.IsZero() {
				return 1
			}
			return -1
		}
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Joint, b.Joint))
	})
	return out
}

// cures are the times that sealants, fillers and gaskets need before they are loaded.
func (j *Job) cures() []Due {
	var out []Due
	for i, e := range j.Case.Log {
		if e.What != journal.Did || j.loadedSince(i, e.Joint) {
			continue
		}
		for _, id := range e.Did {
			r := j.remedy(id)
			if r == nil || r.Wait == 0 || r.Specialist {
				continue
			}
			d := Due{At: e.At.Add(minutes(r.Wait)), Joint: e.Joint, Kind: Cure}
			switch r.Kind {
			case "new-seal", "dress": // what was put in must set or settle; machining waits for a shop
				d.Until = true
				d.What = fmt.Sprintf("%s: no pressure before, it needs %s", j.remedyTitle(id), span(minutes(r.Wait)))
			case "adjust":
				d.Kind = Watch
				d.What = fmt.Sprintf("%s: look again, cold, after %s", j.remedyTitle(id), span(minutes(r.Wait)))
			default:
				continue
			}
			out = append(out, d)
		}
		k := j.kind(j.place(e.Joint))
		if k == nil || !j.opens(e) {
			continue
		}
		for _, s := range k.Reassembly {
			at := e.At.Add(minutes(s.Wait))
			if s.Wait > 0 && s.Wait <= settles && !slices.ContainsFunc(out, func(d Due) bool { return d.At.Equal(at) && d.Joint == e.Joint }) {
				out = append(out, Due{At: at, Joint: e.Joint, Kind: Cure, Until: true, What: s.Do})
			}
		}
	}
	return out
}

// loadedSince reports whether the joint was filled, worked on again or wet after an entry.
func (j *Job) loadedSince(i int, joint string) bool {
	return slices.ContainsFunc(j.Case.Log[i+1:], func(e journal.Entry) bool {
		return (e.What == journal.Retest && number(j.KB, e.Name) != 0 || j.mends(e)) && j.at(e, joint)
	})
}

// stopGaps are temporary measures with their limit, until the joint is worked on anew.
func (j *Job) stopGaps() []Due {
	var out []Due
	var t *table.Table
	if j.Tables != nil {
		t, _ = j.Tables.Table("stop-gaps") // without it a stop-gap has no date, and says so
	}
	for i, e := range j.Case.Log {
		for _, id := range e.Did {
			r := j.remedy(id)
			if r == nil || !slices.Contains(r.Cautions, "tag-it") || j.relieved(i, e, id) {
				continue
			}
			d := Due{Joint: e.Joint, Kind: Replace, What: j.remedyTitle(id) + ": give it a date, and put the real repair in its place"}
			if r.Limit != "" {
				d.What += ". Limit: " + strings.TrimSuffix(r.Limit, ".")
			}
			if t != nil {
				if rows := t.Where(table.Is("name", id)); len(rows) > 0 {
					row := rows[0]
					if life, ok := row.SI("life_h"); ok {
						d.At = e.At.Add(time.Duration(life * float64(time.Second)))
						d.What = j.remedyTitle(id) + ": the real repair by then"
					}
					if look := row.Text("look"); look != "" {
						d.What += "; looked at " + look
					}
					if never := row.Text("never"); never != "" {
						d.What += "; never for " + never
					}
				}
			}
			out = append(out, d)
		}
	}
	return out
}

// relieved reports whether something else was done at the joint after a stop-gap.
func (j *Job) relieved(i int, gap journal.Entry, id string) bool {
	return slices.ContainsFunc(j.Case.Log[i+1:], func(e journal.Entry) bool {
		return e.What == journal.Did && (e.Joint == gap.Joint || gap.Joint == "") && slices.ContainsFunc(e.Did, func(o string) bool {
			r := j.remedy(o)
			return o != id && r != nil && r.Kind != "locate" && !slices.Contains(r.Cautions, "tag-it")
		})
	})
}

// proofs are the steps of the retest of one joint that have to wait for their time.
func (j *Job) proofs(joint string) []Due {
	log := j.tests(joint)
	last := map[string]time.Time{}
	var first, hot time.Time
	for _, e := range log {
		if e.Tissue != "dry" {
			continue
		}
		if first.IsZero() {
			first = e.At
		}
		last[e.Name] = e.At
		if n := number(j.KB, e.Name); n >= 3 && n <= heatSoak {
			hot = e.At
		}
	}
	if first.IsZero() {
		return nil
	}
	var out []Due
	set := j.Settling(joint)
	for _, s := range j.Steps() {
		if s.Refused != "" || !last[s.ID].IsZero() {
			continue
		}
		d := Due{Joint: joint, Kind: Proof, What: s.Title}
		switch {
		case s.Number == nextMorning && !hot.IsZero():
			d.At = hot.Add(s.Wait)
		case s.Number == tightness && set.May != "" && !hot.IsZero():
			d.At, d.Kind = hot.Add(12*time.Hour), Renip
			d.What = fmt.Sprintf("Tighten again, cold and without pressure: %s. %s", set.May, sentence(set.Not))
		case s.Number > tightness && s.Number < lastStep && !last[stepID(j, nextMorning)].IsZero():
			d.At = last[stepID(j, nextMorning)].Add(24 * time.Hour)
		default:
			continue
		}
		out = append(out, d)
	}
	if cold := last[stepID(j, nextMorning)]; !cold.IsZero() {
		looks := 0
		for _, e := range log {
			if number(j.KB, e.Name) == lastStep && e.Tissue == "dry" {
				looks++
			}
		}
		out = append(out, j.afterwards(joint, cold)[min(looks, 2):]...)
	}
	return out
}

func stepID(j *Job, n int) string {
	if f := j.KB.Fact(dryFact); f != nil && n < len(f.Options) {
		return f.Options[n].ID
	}
	return ""
}

// afterwards are the two rechecks of a repair that was dry.
func (j *Job) afterwards(joint string, since time.Time) []Due {
	return []Due{
		{At: since.Add(week), Joint: joint, Kind: Watch, What: "Recheck after a week, or 5 to 10 hours of running: a dry tissue, and the level at its mark"},
		{At: since.Add(month), Joint: joint, Kind: Watch, What: "Recheck after a month, or 25 to 50 hours of running: not even damp"},
	}
}

// span says a time as a person would.
func span(d time.Duration) string {
	switch {
	case d >= 48*time.Hour:
		return fmt.Sprintf("%.0f days", d.Hours()/24)
	case d >= 2*time.Hour:
		return fmt.Sprintf("%.0f hours", d.Hours())
	}
	return fmt.Sprintf("%.0f minutes", d.Minutes())
}

// sentence begins with a capital and ends with a full stop.
func sentence(s string) string {
	s = strings.TrimSuffix(strings.TrimSpace(s), ".")
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:] + "."
}
