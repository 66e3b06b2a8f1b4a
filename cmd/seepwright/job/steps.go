package job

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"seepwright/cmd/seepwright/journal"
	"seepwright/rules"
)

// Facts that the retest fills.
const (
	dryFact  = "dry-at-retest"
	firstWet = "wet-at-retest"
	dayDry   = "whole-day-dry"
	wetFact  = "joint-wet"
)

// Numbers of the steps that mean something of their own.
const (
	coldPressure = 2
	heatSoak     = 5
	nextMorning  = 6
	tightness    = 7
	lastStep     = 9
)

// Step is one step of the staged retest. Its id is an option of the fact dry-at-retest, whose
// options stand in the order of the steps, from 0.
type Step struct {
	ID       string
	Number   int
	Title    string
	How      string
	Minutes  float64 // how long the state is held
	Wait     time.Duration
	Stage    rules.Stage
	Cautions []string
	Refused  string // why it is left out here; "" = it may be made
	Controls bool   // only by the machine's own controls, with nobody near
}

const retestPrefix = "retest-"

// Steps lists the steps of the retest as they may be made on this job. Where a stop leaves
// pressure tests and searches under pressure to others, what is left is done by the machine's
// own controls, as the check that keeps everybody clear says.
func (j *Job) Steps() []Step {
	f := j.KB.Fact(dryFact)
	if f == nil {
		return nil
	}
	clear := slices.IndexFunc(j.KB.Checks, func(c *rules.Check) bool { return strings.HasPrefix(c.ID, retestPrefix) && c.Clear })
	var out []Step
	for n, o := range f.Options {
		i := slices.IndexFunc(j.KB.Checks, func(c *rules.Check) bool {
			return strings.HasPrefix(c.ID, retestPrefix+"r") && strings.HasPrefix(c.ID, retestPrefix+"r"+string(rune('0'+n))+"-")
		})
		if i < 0 || n > lastStep {
			continue
		}
		c := j.KB.Checks[i]
		s := Step{ID: o.ID, Number: n, Title: cmp.Or(c.Title, o.Title, o.ID), How: c.How, Minutes: c.Minutes, Wait: minutes(c.Wait), Stage: c.Stage, Cautions: c.Cautions}
		switch {
		case j.refuses(c.Act):
			s.Refused = "no " + strings.TrimSuffix(c.Act.Words(), " of one's own") + " of one's own here"
		case j.refuses(rules.UnderPressure) && c.Stage == rules.Static:
			s.Refused = "nobody is near it while it may hold pressure"
		case j.refuses(rules.UnderPressure) && c.Stage.Loaded() && clear < 0:
			s.Refused = "nobody is near it while it runs or holds pressure"
		case j.refuses(rules.UnderPressure) && c.Stage.Loaded():
			by := j.KB.Checks[clear]
			s.Controls, s.How, s.Cautions = true, by.How, by.Cautions
		}
		if s.Refused != "" && j.Result.Stop != nil {
			s.Refused += ": " + strings.TrimSuffix(j.Result.Stop.Reason, ".")
		}
		out = append(out, s)
	}
	return out
}

func minutes(m float64) time.Duration { return time.Duration(m * float64(time.Minute)) }

// step finds a step by its id.
func (j *Job) step(id string) (Step, bool) {
	for _, s := range j.Steps() {
		if s.ID == id {
			return s, true
		}
	}
	return Step{}, false
}

// FindStep reads the name of a step as a person says it: R2, 2, cold-pressure.
func (j *Job) FindStep(name string) (Step, bool) {
	name = strings.ToLower(strings.TrimSpace(name))
	name = strings.TrimPrefix(strings.TrimPrefix(name, "step"), " ")
	for _, s := range j.Steps() {
		n := string(rune('0' + s.Number))
		if name == s.ID || name == "r"+n || name == n {
			return s, true
		}
	}
	return Step{}, false
}

func number(kb *rules.Knowledge, id string) int {
	if f := kb.Fact(dryFact); f != nil {
		return slices.IndexFunc(f.Options, func(o rules.Option) bool { return o.ID == id })
	}
	return -1
}

// tests is the log of the retest of a joint that is under way: since it was last worked on,
// opened, or wet.
func (j *Job) tests(joint string) []journal.Entry {
	var out []journal.Entry
	for _, e := range j.Case.Log {
		switch {
		case e.What == journal.Reopened, e.What == journal.Opened && j.at(e, joint), j.mends(e) && j.at(e, joint):
			out = nil
		case e.What == journal.Retest && j.at(e, joint):
			if e.Tissue == "wet" {
				out = nil
				continue
			}
			out = append(out, e)
		}
	}
	return out
}

// tested are the joints that have to prove themselves: those that were worked on or opened and,
// where no work names a joint, those that are or were wet, or the only one.
func (j *Job) tested() []string {
	var out []string
	all := j.joints()
	for _, e := range j.Case.Log {
		id := j.place(e.Joint)
		if (j.mends(e) || e.What == journal.Opened || e.What == journal.Retest) && j.kind(id) != nil && !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	if len(out) == 0 {
		for _, id := range all {
			if len(all) == 1 || j.wasWet(id) {
				out = append(out, id)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b string) int { return cmp.Compare(slices.Index(all, a), slices.Index(all, b)) })
	return out
}

// Tested are the joints that have to prove themselves at the retest.
func (j *Job) Tested() []string { return j.tested() }

// wasWet reports whether the joint is wet, or was said to be in this case.
func (j *Job) wasWet(joint string) bool {
	if j.value(joint, wetFact) == "yes" {
		return true
	}
	return slices.ContainsFunc(j.Case.Log, func(e journal.Entry) bool {
		return e.What == journal.Answered && e.Name == wetFact && e.Joint == joint && e.Value.Scalar == "yes"
	})
}

// NextStep is the first step that a joint has still to pass; none when all are dry.
func (j *Job) NextStep(joint string) (Step, bool) {
	done := map[string]bool{}
	most := -1
	for _, e := range j.tests(joint) {
		if e.Tissue == "dry" {
			done[e.Name] = true
			most = max(most, number(j.KB, e.Name))
		}
	}
	opened := j.wasParted(joint)
	for _, s := range j.Steps() {
		switch {
		case done[s.ID] || s.Refused != "":
		case s.Number < most && s.Number == 0: // the list before the fill is no test of what is filled since
		case s.Number == 0 && !opened: // nothing was drained
		case s.Number == tightness && j.Settling(joint).May == "":
		default:
			return s, true
		}
	}
	return Step{}, false
}

// wasParted reports whether the joint was opened since its last retest was wet.
func (j *Job) wasParted(joint string) bool {
	return slices.Contains(j.opened(j.round()), joint)
}

// Passed reports whether a joint was dry at every step up to the cold morning that may be made.
func (j *Job) Passed(joint string) bool {
	s, some := j.NextStep(joint)
	return !some || s.Number > nextMorning
}
