package engine

import (
	"cmp"
	"slices"
	"strings"

	"seepwright/engine/infer"
	"seepwright/engine/network"
	"seepwright/rules"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
)

// severity orders the run verdicts from the mildest to the gravest.
var severity = map[string]int{"dry": 0, "leave": 1, "watched": 2, "stop": 3}

// places lists the joints and, first, the job as a whole.
func (s *Session) places() []string { return append([]string{""}, s.asm.IDs()...) }

// holding lists the stops that hold, by their own condition or because a rule names them, the
// gravest first: a refusal, then a reason to stop at once, then one that refuses some acts and
// lets the rest go on; ties by id.
func (s *Session) holding() []*rules.Stop {
	var out []*rules.Stop
	for _, st := range s.kb.Stops {
		if st.When.Cond != nil && slices.ContainsFunc(s.places(), func(p string) bool { return st.When.Cond.Eval(s.mem.Env(p)).Truth == fact.True }) {
			out = append(out, st)
		}
	}
	for _, f := range s.mem.Active() {
		if st := s.kb.Stop(f.Action.Stop); st != nil && !slices.Contains(out, st) {
			out = append(out, st)
		}
	}
	gravity := func(st *rules.Stop) int {
		switch {
		case st.Refuses:
			return 2
		case len(st.Acts) == 0:
			return 1
		}
		return 0
	}
	slices.SortFunc(out, func(a, b *rules.Stop) int {
		return cmp.Or(gravity(b)-gravity(a), cmp.Compare(a.ID, b.ID))
	})
	return out
}

// stop is the gravest reason to stop at once, or nil. Acts that another one refuses, and how to
// make safe for them, stand beside it.
func (s *Session) stop() *StopNow {
	list := s.holding()
	if len(list) == 0 {
		return nil
	}
	first := list[0]
	now := &StopNow{ID: first.ID, Reason: first.Reason, MakeSafe: nonNil(slices.Clone(first.MakeSafe)), ReferTo: first.ReferTo, Refuses: first.Refuses, GoesOn: len(first.Acts) > 0}
	acts := actsOf(list)
	for _, st := range list[1:] {
		if len(st.Acts) > 0 {
			now.MakeSafe = uniq(append(now.MakeSafe, st.MakeSafe...))
		}
	}
	for _, a := range acts {
		now.Acts = append(now.Acts, a.Words())
	}
	// Where nothing is in play but what may not be mended there is nothing to plan.
	if len(acts) > 0 && !slices.ContainsFunc(s.inPlay(), func(id string) bool {
		j, _ := s.asm.Joint(id)
		k := s.kb.Joint(j.Kind)
		return k == nil || !slices.Contains(acts, k.Act)
	}) {
		now.Refuses, now.GoesOn = true, false
	}
	return now
}

// actsOf are the acts that these stops refuse.
func actsOf(list []*rules.Stop) []rules.Act {
	var out []rules.Act
	for _, st := range list {
		for _, a := range st.Acts {
			if !slices.Contains(out, a) {
				out = append(out, a)
			}
		}
	}
	return out
}

// run is the verdict on running the machine. Without a permission that is known to hold,
// the verdict is stop: an unanswered question counts as the dangerous case.
func (s *Session) run(stop *StopNow) Run {
	if stop != nil {
		return Run{Verdict: "stop", Because: []string{stop.Reason}}
	}
	var worst *Run
	for _, j := range s.inPlay() {
		v := s.runOf(j)
		if worst == nil || severity[v.Verdict] > severity[worst.Verdict] {
			worst = &v
		}
	}
	if worst == nil {
		return Run{Verdict: "stop", Because: []string{"nothing is known yet"}}
	}
	return *worst
}

// inPlay lists the wet joints; when none is known to be wet, those not known to be dry; when
// all are dry, all.
func (s *Session) inPlay() []string {
	var wet, open []string
	for _, j := range s.asm.Joints {
		v, ok, _ := s.mem.Value(s.mem.Key(j.ID, network.WetFact))
		switch {
		case ok && v.Answered() && v.Yes:
			wet = append(wet, j.ID)
		case !ok || !v.Answered():
			open = append(open, j.ID)
		}
	}
	if len(wet) > 0 {
		return wet
	}
	if len(open) > 0 {
		return open
	}
	// All are dry: those that were retested speak for the rest, which never were wet.
	var spoken []string
	for _, j := range s.asm.IDs() {
		if slices.ContainsFunc(s.mem.Active(), func(f infer.Fired) bool { return f.Action.Run != nil && f.Joint == j }) {
			spoken = append(spoken, j)
		}
	}
	if len(spoken) > 0 {
		return spoken
	}
	return s.asm.IDs()
}

func (s *Session) runOf(joint string) Run {
	said := map[string]*Run{}
	for _, f := range s.mem.Active() {
		a := f.Action.Run
		if a == nil || f.Joint != joint && f.Joint != "" {
			continue
		}
		if r := said[a.Verdict]; r == nil {
			said[a.Verdict] = &Run{Verdict: a.Verdict, Limit: a.Limit, LookEvery: a.LookEvery, Because: []string{a.Because}}
		} else if !slices.Contains(r.Because, a.Because) {
			r.Because = append(r.Because, a.Because)
		}
	}
	// Dry is concluded from a retest alone: how much it leaked before is past. Of the
	// others the gravest holds.
	for _, v := range []string{"stop", "dry", "watched", "leave"} {
		if said[v] != nil {
			return *said[v]
		}
	}
	lack := s.lacking(joint)
	if len(lack) == 0 {
		return Run{Verdict: "stop", Because: []string{"nothing here permits running it: the leak, the fluid or the place is not harmless"}}
	}
	return Run{Verdict: "stop", Because: []string{"until this is known: " + strings.Join(lack, "; ")}}
}

// lacking names what keeps the permissions from being decided, the safety questions first.
func (s *Session) lacking(joint string) []string {
	var out []string
	for _, f := range s.undecided(joint) {
		if t := lower(title(f)); !slices.Contains(out, t) {
			out = append(out, t)
		}
	}
	if len(out) > 4 {
		out = append(out[:4], "and more")
	}
	return out
}

// settles lists the facts that would decide whether the joints in play may be run, as long as
// nothing else has decided it.
func (s *Session) settles() []string {
	var out []string
	for _, j := range s.inPlay() {
		if s.spoken(j) {
			continue
		}
		for _, f := range s.undecided(j) {
			if !f.Engine && !slices.Contains(out, f.ID) {
				out = append(out, f.ID)
			}
		}
	}
	return out
}

// spoken reports whether a rule has given a verdict for a joint.
func (s *Session) spoken(joint string) bool {
	return slices.ContainsFunc(s.mem.Active(), func(f infer.Fired) bool {
		return f.Action.Run != nil && (f.Joint == joint || f.Joint == "")
	})
}

// undecided lists the facts that keep the permissions from being decided, those of safety first.
func (s *Session) undecided(joint string) []*rules.Fact {
	var first, rest []*rules.Fact
	add := func(id string) {
		f := s.kb.Fact(id)
		switch {
		case f == nil:
		case f.First > 0 || f.Safety:
			first = append(first, f)
		case !f.Engine:
			rest = append(rest, f)
		}
	}
	seen := map[string]bool{}
	var visit func(joint string, lacks []cond.Lack)
	visit = func(joint string, lacks []cond.Lack) {
		for _, l := range lacks {
			if seen[l.Fact] {
				continue
			}
			seen[l.Fact] = true
			add(l.Fact)
			for _, w := range s.waiting {
				if concludes(w.Rule, l.Fact) && (w.Joint == joint || w.Joint == "") {
					visit(joint, w.Lacks)
				}
			}
		}
	}
	for _, w := range s.waiting {
		if w.Joint != joint && w.Joint != "" {
			continue
		}
		if slices.ContainsFunc(w.Rule.Then, func(a rules.Action) bool { return a.Run != nil && a.Run.Verdict != "stop" }) {
			visit(joint, w.Lacks)
		}
	}
	return append(first, rest...)
}

func concludes(r *rules.Rule, factID string) bool {
	return slices.ContainsFunc(r.Then, func(a rules.Action) bool { return a.Conclude != nil && a.Conclude.Fact == factID })
}

// cautions lists the warnings that hold, those that nobody ruled out, and those that the
// plan's steps name.
func (s *Session) cautions(r *Result) []Caution {
	out := []Caution{}
	have := map[string]bool{}
	put := func(c *rules.Caution, known, told bool) {
		if c != nil && !have[c.ID] {
			have[c.ID] = true
			out = append(out, Caution{ID: c.ID, Title: c.Title, Warning: c.Warning, Refer: c.Refer, Known: known, Told: told})
		}
	}
	truth := make([]fact.Truth, len(s.kb.Cautions))
	for i, c := range s.kb.Cautions {
		truth[i] = fact.False
		if c.When == nil {
			continue
		}
		for _, p := range s.places() {
			if truth[i] != fact.True && s.speaksOf(c.When, p) {
				truth[i] = truth[i].Or(c.When.Cond.Eval(s.mem.Env(p)).Truth)
			}
		}
	}
	for _, known := range []fact.Truth{fact.True, fact.Unknown} {
		for i, c := range s.kb.Cautions {
			if c.When != nil && truth[i] == known {
				put(c, known == fact.True, false)
			}
		}
		if known == fact.True {
			for _, f := range s.mem.Active() {
				if f.Action.Caution != "" {
					put(s.kb.Caution(f.Action.Caution), true, true)
				}
			}
		}
	}
	if r == nil {
		return out
	}
	for _, st := range r.Plan.Steps {
		for _, id := range st.Cautions {
			put(s.kb.Caution(id), true, false)
		}
	}
	for _, n := range append(slices.Clone(r.Errand), deref(r.Next)...) {
		for _, id := range n.Caution {
			put(s.kb.Caution(id), true, false)
		}
	}
	return out
}

// speaksOf reports whether a condition can mean this joint ("" = the unit as a whole): a
// question about hoses says nothing of a plug-in pipe, and one about a joint nothing of the
// unit.
func (s *Session) speaksOf(w *rules.When, joint string) bool {
	j, _ := s.asm.Joint(joint)
	for _, name := range w.Cond.Facts() {
		f := s.kb.Fact(name)
		if f == nil {
			continue
		}
		own := f.Scope == fact.JointScope || f.Scope == fact.LikeJoints
		if own && joint == "" || joint != "" && !rules.Applies(f.For, j.Kind) {
			return false
		}
	}
	return true
}

func lower(s string) string {
	if len(s) > 1 && s[1] >= 'a' && s[1] <= 'z' || len(s) > 1 && s[1] == ' ' {
		return strings.ToLower(s[:1]) + s[1:]
	}
	return s
}

func uniq(list []string) []string {
	var out []string
	for _, s := range list {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

func nonNil(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}

func deref[T any](p *T) []T {
	if p == nil {
		return nil
	}
	return []T{*p}
}
