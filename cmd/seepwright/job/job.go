// Package job says where one is in a repair: which part of the work comes next, what falls due
// and when, which answers no longer speak of what is there, and how a step of the retest came
// out. All of it is derived from the record's log, the knowledge and the result; nothing of it
// is stored. It asks nothing, writes no file and changes no ranking.
package job

import (
	"slices"
	"strings"
	"time"

	"seepwright/cmd/seepwright/journal"
	"seepwright/engine"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/table"
)

// Job is one case at one moment.
type Job struct {
	Case   *journal.Case
	KB     *rules.Knowledge
	Unit   *assembly.Assembly
	Result *engine.Result // nil where not even the joint is known
	Tables Tables         // of published figures
	Now    time.Time
}

// Tables hands over a table of published figures by its name.
type Tables interface {
	Table(name string) (*table.Table, error)
}

// kind is the kind of a joint; nil where the knowledge has none.
func (j *Job) kind(joint string) *rules.Joint {
	if j.Unit == nil || j.KB == nil {
		return nil
	}
	x, _ := j.Unit.Joint(joint)
	return j.KB.Joint(x.Kind)
}

// Title is what a joint is called where there are several, and "" where there is but one.
func (j *Job) Title(joint string) string {
	if j.Unit == nil || len(j.Unit.Joints) < 2 || joint == "" {
		return ""
	}
	if x, ok := j.Unit.Joint(joint); ok && x.Title != "" {
		return x.Title
	}
	return joint
}

// place is the joint that an entry without one means: the only one, where there is but one.
func (j *Job) place(joint string) string {
	if joint == "" && j.Unit != nil && len(j.Unit.Joints) == 1 {
		return j.Unit.Joints[0].ID
	}
	return joint
}

// joints are the ids of all joints of kinds that are known.
func (j *Job) joints() []string {
	var out []string
	if j.Unit == nil {
		return nil
	}
	for _, x := range j.Unit.Joints {
		if j.kind(x.ID) != nil {
			out = append(out, x.ID)
		}
	}
	return out
}

// at reports whether an entry of the log is about a joint: it names it, or the whole unit.
func (j *Job) at(e journal.Entry, joint string) bool {
	if e.What == journal.Opened {
		return e.Joint == joint || e.Name == joint
	}
	return e.Joint == "" || e.Joint == joint
}

// value is what is known of a fact at a joint, in the words of an answers file: an option, yes
// or no; "" where it is not known or no such word.
func (j *Job) value(joint, factID string) string {
	if j.Result == nil {
		return ""
	}
	for _, f := range j.Result.Findings {
		if f.Fact == factID && (f.Joint == joint || f.Joint == "" || strings.HasPrefix(f.Joint, "circuit:")) {
			s, _ := f.Value.(string)
			return s
		}
	}
	return ""
}

// refuses reports whether a stop leaves an act to others.
func (j *Job) refuses(a rules.Act) bool {
	return a != "" && j.Result != nil && j.Result.Stop != nil && slices.Contains(j.Result.Stop.Acts, a.Words())
}

// opens reports whether work parted the joint.
func (j *Job) opens(e journal.Entry) bool {
	return slices.ContainsFunc(e.Did, func(id string) bool { r := j.remedy(id); return r != nil && r.Opens })
}

// mends reports whether an entry is work that may have cured something; finding the place is not.
func (j *Job) mends(e journal.Entry) bool {
	if e.What != journal.Did {
		return false
	}
	return len(e.Did) == 0 || slices.ContainsFunc(e.Did, func(id string) bool { r := j.remedy(id); return r == nil || r.Kind != "locate" })
}

func (j *Job) remedy(id string) *rules.Remedy {
	if j.KB == nil {
		return nil
	}
	return j.KB.Remedy(id)
}

func (j *Job) remedyTitle(id string) string {
	if r := j.remedy(id); r != nil && r.Title != "" {
		return r.Title
	}
	return strings.ReplaceAll(id, "-", " ")
}

// work says what an entry did, in words.
func (j *Job) work(e journal.Entry) string {
	var out []string
	for _, id := range e.Did {
		out = append(out, j.remedyTitle(id))
	}
	if len(out) == 0 {
		out = append(out, e.Said)
	}
	return strings.Join(out, ", ")
}

func day(t time.Time) string { return t.Local().Format(time.DateOnly) }

// When is a time as a person says it: the day, and the hour where that matters.
func When(t time.Time) string { return t.Local().Format("Mon 2006-01-02 15:04") }

func lower(s string) string {
	if len(s) > 1 && s[1] >= 'a' && s[1] <= 'z' {
		return strings.ToLower(s[:1]) + s[1:]
	}
	return s
}
