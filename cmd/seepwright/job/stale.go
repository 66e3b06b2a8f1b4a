package job

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"seepwright/cmd/seepwright/journal"
	"seepwright/rules"
	"seepwright/rules/fact"
)

// Stale is an answer that no longer speaks of what is there. It is never taken back by itself:
// it is what was found.
type Stale struct {
	Joint string
	Fact  string
	Why   string // a sentence
	Again bool   // it can be had again: measure or look anew before relying on it
	Group string // answers that are out of date for one reason
}

// momentary are the facts that hold for the hour in which they were said. Hands go near by them.
var momentary = []string{"state-now", "growing", "water-rising"}

// Momentary is the group of those facts.
const Momentary = "the state of the machine"

// fresh is how long an answer about the state of the machine is believed. Standing: estimate.
const fresh = 12 * time.Hour

// Stale lists the answers that are out of date: because the part was changed that they speak
// of, because the joint was opened and what they read is gone, because work was done since the
// leak was described, or because they spoke of the hour.
func (j *Job) Stale() []Stale {
	if j.KB == nil || j.Unit == nil {
		return nil
	}
	said := map[[2]string]int{} // by joint and fact: where in the log it was said last
	for i, e := range j.Case.Log {
		if e.What == journal.Answered || e.What == journal.Measured {
			said[[2]string{e.Joint, e.Name}] = i
		}
	}
	var out []Stale
	one := func(joint, id string) {
		f := j.KB.Fact(id)
		if f == nil {
			return
		}
		i, ok := said[[2]string{joint, id}]
		at := j.Case.Head.Opened
		if ok {
			at = j.Case.Log[i].At
		} else {
			i = -1 // it was there before the log began
		}
		if s, stale := j.outdated(joint, f, at, j.Case.Log[i+1:]); stale {
			out = append(out, s)
		}
	}
	for _, id := range sortedKeys(j.Case.File.Answers) {
		one("", id)
	}
	for _, joint := range sortedKeys(j.Case.File.Joints) {
		for _, id := range sortedKeys(j.Case.File.Joints[joint]) {
			one(joint, id)
		}
	}
	return out
}

func sortedKeys[V any](m map[string]V) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// outdated decides about one answer that was given at a time, by what was done since.
func (j *Job) outdated(joint string, f *rules.Fact, at time.Time, since []journal.Entry) (Stale, bool) {
	s := Stale{Joint: joint, Fact: f.ID}
	name := f.Title
	if name == "" {
		name = strings.ReplaceAll(f.ID, "-", " ")
	}
	name = strings.TrimSuffix(name, "?")
	place := j.place(joint)
	if slices.Contains(momentary, f.ID) {
		if j.Now.Sub(at) < fresh {
			return s, false
		}
		s.Again, s.Group = true, Momentary
		s.Why = fmt.Sprintf("%s was said on %s and may be otherwise now: look again before hands go near.", name, day(at))
		return s, true
	}
	if f.Scope == fact.Assembly || f.Scope == fact.Job || f.Scope == fact.Circuit {
		return s, false // what the joint holds and where it stands is not changed by work on it
	}
	for _, e := range since {
		if e.What != journal.Did && e.What != journal.Opened || place != "" && !j.at(e, place) {
			continue
		}
		if e.What == journal.Did && e.Joint == "" && len(j.Unit.Joints) > 1 && !j.unitWide(e) {
			continue
		}
		when := day(e.At)
		switch {
		case f.ID == dryFact || f.ID == firstWet || f.ID == dayDry:
			if e.What == journal.Opened || j.mends(e) {
				s.Again, s.Group = true, "an earlier retest"
				s.Why = fmt.Sprintf("%s speaks of the retest before %s: the joint was worked on since, the retest begins anew.", name, when)
			}
		case e.What == journal.Did && j.renews(e, place, f):
			s.Again, s.Group = true, "what was renewed"
			s.Why = fmt.Sprintf("%s is of %s, before this was done (%s): %s. It says what was there; look or measure again before relying on it.", name, day(at), when, lower(j.work(e)))
		case (e.What == journal.Opened || j.opens(e)) && j.readsClosed(f) && !j.describes(f):
			s.Group = "what opening wipes out"
			s.Why = fmt.Sprintf("%s was seen before the joint was opened on %s. It cannot be seen again; it stays as found.", name, when)
		case e.What == journal.Did && j.mends(e) && j.describes(f):
			s.Group = "the leak before the work"
			s.Why = fmt.Sprintf("%s describes the leak before %s (%s). How it is now, the retest says.", name, when, lower(j.work(e)))
		}
	}
	return s, s.Why != ""
}

// unitWide reports whether work that names no joint is told in remedies, which then were made
// at all of them.
func (j *Job) unitWide(e journal.Entry) bool { return len(e.Did) > 0 }

// sealWords begin the names of facts that speak of a part that is renewed with the seal.
var sealWords = []string{"seal", "ring", "gasket", "cord", "hose", "washer", "lip", "new-seal"}

// renews reports whether work changed what a fact speaks of: the look that decides a cause
// which the work treats, a number that has to be right for that cause, or, where the seal is
// renewed, what was read on the seal itself.
func (j *Job) renews(e journal.Entry, joint string, f *rules.Fact) bool {
	k := j.kind(joint)
	if k == nil {
		return false
	}
	for _, id := range e.Did {
		r := j.remedy(id)
		if r == nil || r.Kind == "locate" {
			continue
		}
		late := f.Stage == rules.Opened || f.Stage == rules.Bench || f.Stage == rules.CoverOff
		if r.Kind == "new-seal" && late && ofSeal(f.ID) {
			return true
		}
		for _, c := range j.KB.Causes {
			if c.For != k.ID && !slices.Contains(c.Joints, k.ID) || !slices.ContainsFunc(c.Remedies, func(x rules.RemedyRef) bool { return x.Remedy == id }) {
				continue
			}
			said := j.decides(c)
			if slices.Contains(said, f.ID) || late && measured(f) && j.shapes(r, f) && slices.ContainsFunc(said, func(id string) bool { return j.leads(f.ID, id, 3) }) {
				return true
			}
		}
	}
	return false
}

// shapes reports whether a remedy changes what was measured on a part: machining and dressing
// that of the metal, a new part that of everything. What a new seal changes is on the seal.
func (j *Job) shapes(r *rules.Remedy, f *rules.Fact) bool {
	switch r.Kind {
	case "dress", "machine":
		return !ofSeal(f.ID)
	case "replace":
		return true
	}
	return false
}

func ofSeal(id string) bool {
	return slices.ContainsFunc(sealWords, func(w string) bool { return id == w || strings.HasPrefix(id, w+"-") })
}

// decides lists the facts by which a cause is found, and those that have to be right.
func (j *Job) decides(c *rules.Cause) []string {
	var out []string
	for _, b := range c.FoundBy {
		if b.Fact != "" {
			out = append(out, b.Fact)
		}
	}
	for _, id := range c.Targets {
		if t := j.KB.Target(id); t != nil {
			out = append(out, t.Fact)
		}
	}
	return out
}

func measured(f *rules.Fact) bool { return f.Answer == fact.Number || f.Answer == fact.Readings }

// leads reports whether rules work one fact out from another, over a few steps.
func (j *Job) leads(from, into string, steps int) bool {
	if steps == 0 {
		return false
	}
	for _, r := range j.KB.Rules {
		for _, a := range r.Then {
			var reads, gives []string
			switch {
			case a.Compute != nil:
				for _, id := range a.Compute.From {
					reads = append(reads, id)
				}
				for _, id := range a.Compute.Into {
					gives = append(gives, id)
				}
			case a.Conclude != nil:
				reads, gives = r.When.Cond.Facts(), []string{a.Conclude.Fact}
			}
			if slices.Contains(reads, from) && slices.ContainsFunc(gives, func(id string) bool { return id == into || j.leads(id, into, steps-1) }) {
				return true
			}
		}
	}
	return false
}

// readsClosed reports whether a fact is read from evidence that opening the joint destroys.
func (j *Job) readsClosed(f *rules.Fact) bool {
	if f.Stage != rules.Outside && f.Stage != rules.OneFastener {
		return false
	}
	return slices.ContainsFunc(j.KB.Checks, func(c *rules.Check) bool {
		return len(c.Shows) > 0 && slices.Contains(c.Fills, f.ID)
	})
}

// describes reports whether a fact tells how the joint leaks: a sign, or how much comes.
func (j *Job) describes(f *rules.Fact) bool {
	if f.Stage != rules.Outside && f.Stage != rules.Told && !f.Stage.Loaded() {
		return false
	}
	return strings.HasPrefix(f.ID, "wet-") || f.ID == wetFact || f.ID == "drops-counted" || f.ID == "caught-volume" || f.ID == "stable-for"
}
