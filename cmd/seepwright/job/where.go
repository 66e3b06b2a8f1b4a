package job

import (
	"fmt"
	"slices"
	"strings"

	"seepwright/cmd/seepwright/journal"
	"seepwright/engine/plan"
	"seepwright/rules"
)

// Phase is a part of the job.
type Phase string

// The phases in their order.
const (
	Locate   Phase = "locate"
	Diagnose Phase = "diagnose"
	Strip    Phase = "plan the strip-down"
	AsFound  Phase = "measure as found"
	Decide   Phase = "reuse, rework or replace"
	Rebuild  Phase = "put it together"
	Retest   Phase = "retest"
	Recheck  Phase = "recheck"
	Ended    Phase = "ended"
)

// Phases lists the phases in their order.
func Phases() []Phase {
	return []Phase{Locate, Diagnose, Strip, AsFound, Decide, Rebuild, Retest, Recheck, Ended}
}

// Place is where one is.
type Place struct {
	Phase Phase
	Round int      // 1, and one more after every retest that was wet
	Says  string   // why it is this phase, as a sentence
	Next  []string // the next lines of the work, in order; few
	Asks  bool     // the next thing is an answer: the interview goes on
	Joint string   // the joint of the next step of the retest, where it is that
	Step  string   // the next step of the retest, an option of dry-at-retest
	Stop  string   // the reason for a stop, which comes before all that
}

// mostNext is how many lines of the work are named at once.
const mostNext = 4

// Where says where one is in the job.
func (j *Job) Where() (p Place) {
	p.Round = 1
	for _, e := range j.Case.Log {
		if failed(e) || e.What == journal.Reopened {
			p.Round++
		}
	}
	r := j.Result
	if r != nil && r.Stop != nil {
		p.Stop = r.Stop.Reason
	}
	h := j.Case.Head
	if h.ID != "" && !h.Open() {
		p.Phase, p.Says = Ended, "The case was closed on "+day(h.Closed)+"."
		return p
	}
	defer p.shorten()
	log := j.round()
	switch {
	case r == nil:
		p.Phase, p.Says, p.Asks = Locate, "It is not known yet which joint or unit it is about.", true
	case len(j.WetAgain()) > 0 && len(j.opened(log)) == 0:
		j.goBack(log, &p)
	case j.retesting(log, &p):
	case j.mended(log, &p):
	case len(j.opened(log)) > 0:
		j.apart(log, &p)
	case r.Stop != nil && r.Stop.Refuses:
		p.Phase, p.Says = Diagnose, "This kind of work is left to others: "+strings.TrimSuffix(r.Stop.ReferTo, ".")+"."
	case r.Next != nil:
		j.asking(&p)
	default:
		j.planned(log, &p)
	}
	return p
}

// shorten leaves of all lines but the first only what is to be done, not how.
func (p *Place) shorten() {
	for i, s := range p.Next {
		if what, _, ok := strings.Cut(s, ": "); ok && i > 0 {
			p.Next[i] = what
		}
	}
}

// round is the log since the last wet retest or since the case was opened again.
func (j *Job) round() []journal.Entry {
	for i := len(j.Case.Log) - 1; i >= 0; i-- {
		if e := j.Case.Log[i]; failed(e) || e.What == journal.Reopened {
			return j.Case.Log[i+1:]
		}
	}
	return j.Case.Log
}

func failed(e journal.Entry) bool { return e.What == journal.Retest && e.Tissue == "wet" }

// opened lists the joints that were parted in this part of the log.
func (j *Job) opened(log []journal.Entry) []string {
	var out []string
	add := func(id string) {
		if j.kind(id) != nil && !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	for _, e := range log {
		switch {
		case e.What == journal.Opened:
			add(e.Name)
		case e.What == journal.Did && j.opens(e):
			add(j.place(e.Joint))
		}
	}
	return out
}

// WetAgain lists the joints that were wet at their last retest and were not worked on since.
func (j *Job) WetAgain() []string {
	var out []string
	for _, id := range j.joints() {
		wet := false
		for _, e := range j.Case.Log {
			switch {
			case e.What == journal.Retest && j.at(e, id):
				wet = e.Tissue == "wet"
			case j.at(e, id) && (j.mends(e) || e.What == journal.Opened), e.What == journal.Reopened:
				wet = false
			}
		}
		if wet {
			out = append(out, id)
		}
	}
	return out
}

// goBack says what comes after a retest that was wet.
func (j *Job) goBack(log []journal.Entry, p *Place) {
	if j.Result.Next != nil {
		j.asking(p)
	} else {
		j.planned(log, p)
	}
	what := "Wet at the retest"
	var names []string
	for _, id := range j.WetAgain() {
		if t := j.Title(id); t != "" {
			names = append(names, t)
		}
	}
	if len(names) > 0 {
		what += ": " + few(names, 4)
	}
	p.Says = what + ". " + p.Says
}

// retesting reports whether a retest has begun, and says how far it is.
func (j *Job) retesting(log []journal.Entry, p *Place) bool {
	begun := slices.ContainsFunc(j.tested(), func(id string) bool { return len(j.tests(id)) > 0 })
	if !begun || len(log) == 0 {
		return false
	}
	for _, id := range j.tested() {
		if step, ok := j.NextStep(id); ok && (p.Step == "" || step.Number < number(j.KB, p.Step)) {
			p.Step, p.Joint = step.ID, id
		}
	}
	step, _ := j.step(p.Step)
	at := ""
	if t := j.Title(p.Joint); t != "" {
		at = " (" + t + ")"
	}
	switch {
	case p.Step == "":
		p.Phase, p.Says = Recheck, "Every step of the retest is dry. Close the case with what it proved to be."
	case step.Number > nextMorning:
		p.Phase, p.Says = Recheck, fmt.Sprintf("Dry up to the cold morning; what is left is the recheck. Next is %s%s.", lower(step.Title), at)
	default:
		p.Phase, p.Says = Retest, fmt.Sprintf("The retest has begun. Next is %s%s.", lower(step.Title), at)
	}
	if p.Step != "" {
		p.Next = []string{step.How}
	}
	return true
}

// mended reports whether work was done that is not retested yet.
func (j *Job) mended(log []journal.Entry, p *Place) bool {
	var did []string
	opens := len(j.opened(log)) > 0
	for _, e := range log {
		if j.mends(e) {
			did = append(did, lower(j.work(e)))
		}
	}
	if len(did) == 0 {
		return false
	}
	for _, id := range j.tested() {
		if step, ok := j.NextStep(id); ok {
			p.Step, p.Joint = step.ID, id
			break
		}
	}
	if !opens {
		step, _ := j.step(p.Step)
		p.Phase, p.Says = Retest, "Done without opening it: "+few(did, 3)+". Now prove it."
		if step.ID != "" {
			p.Next = []string{step.Title + ": " + step.How}
		}
		return true
	}
	p.Phase, p.Says = Rebuild, "Done: "+few(did, 3)+". Now it goes together, and then the retest proves it."
	p.Next = j.together(j.opened(log))
	return true
}

// together are the first lines of putting joints together, as their kinds have them.
func (j *Job) together(open []string) []string {
	var out []string
	for _, id := range open {
		for _, s := range j.kind(id).Reassembly {
			line := s.Do
			if t := j.Title(id); t != "" {
				line += " (" + t + ")"
			}
			if len(out) < mostNext && s.Stage != rules.Bench {
				out = append(out, line)
			}
		}
	}
	return out
}

// apart says what is to be done while joints lie open.
func (j *Job) apart(log []journal.Entry, p *Place) {
	open := j.opened(log)
	var names []string
	for _, id := range open {
		if t := j.Title(id); t != "" {
			names = append(names, t)
		}
	}
	what := "The joint is open."
	if len(names) > 0 {
		what = "Open: " + few(names, 4) + "."
	}
	if looks := j.looksLeft(open); len(looks) > 0 {
		p.Phase, p.Next, p.Asks = AsFound, looks, true
		p.Says = what + " Measure and look before anything is cleaned: what is found now is found once."
		return
	}
	if j.Result.Next != nil {
		p.Phase, p.Next, p.Asks = AsFound, []string{j.line(*j.Result.Next)}, true
		p.Says = what + " Answers are still worth their minutes, and some are found only once."
		return
	}
	p.Phase, p.Next = Decide, j.steps("decide", "mend")
	p.Says = what + " What was to be looked at is known. Decide by the numbers, then do the work."
}

// looksLeft lists the looks at opened parts of the plan that are not made yet, then the numbers
// that decide and were not measured.
func (j *Job) looksLeft(open []string) []string {
	var out []string
	for _, s := range j.Result.Plan.Steps {
		if s.Part == "strip" && (s.Stage == string(rules.Opened) || s.Stage == string(rules.Bench)) && !strings.HasPrefix(s.Action, "Part ") && (s.Joint == "" || slices.Contains(open, s.Joint)) {
			out = append(out, j.stepLine(s))
		}
	}
	var wanted []string
	for _, s := range j.Result.Plan.Steps {
		if s.Part == "decide" {
			wanted = append(wanted, s.Action)
		}
	}
	for _, t := range j.Result.Targets {
		if t.Verdict == "not measured" && t.Strict && slices.Contains(open, t.Joint) && slices.ContainsFunc(wanted, func(s string) bool { return strings.HasPrefix(s, t.Title) }) {
			out = append(out, fmt.Sprintf("Measure %s: %s", lower(t.Title), t.Limit))
		}
	}
	return out[:min(mostNext, len(out))]
}

// asking says that answers are wanted.
func (j *Job) asking(p *Place) {
	n := *j.Result.Next
	p.Phase, p.Asks, p.Next = Diagnose, true, []string{j.line(n)}
	if len(j.Result.Joints) > 1 && !slices.ContainsFunc(j.joints(), func(id string) bool { return j.value(id, wetFact) == "yes" }) {
		p.Phase, p.Says = Locate, "It is not known yet where the liquid comes out."
		return
	}
	p.Says = "Answers are still worth their minutes."
	if len(j.Result.Ranking) > 0 {
		x := j.Result.Ranking[0]
		at := ""
		if t := j.Title(x.Joint); t != "" {
			at = " (" + t + ")"
		}
		p.Says = fmt.Sprintf("So far %s%s leads. Answers are still worth their minutes.", lower(x.Title), at)
	}
}

// line is a question or a look in one line.
func (j *Job) line(n plan.Next) string {
	s := n.Title
	if t := j.Title(n.Joint); t != "" {
		s += " (" + t + ")"
	}
	return s
}

// planned says what comes next when nothing more is worth asking.
func (j *Job) planned(log []journal.Entry, p *Place) {
	p.Phase = Strip
	var off []string
	for _, e := range log {
		if e.What == journal.Opened {
			off = append(off, j.access(e.Name))
		}
	}
	p.Says = "Nothing more is worth asking: the plan stands."
	if len(off) > 0 {
		p.Says = "On the way in; off so far: " + few(off, 4) + "."
	}
	for _, s := range j.Result.Plan.Steps {
		if s.Part != "before" && s.Part != "try" && s.Part != "strip" || slices.Contains(off, s.Action) || len(p.Next) == mostNext {
			continue
		}
		p.Next = append(p.Next, j.stepLine(s))
	}
	if len(j.Result.Plan.Steps) == 0 {
		p.Says = "No work is worth its minutes on what is known."
		if l := j.Result.Plan.LookAgain; l != "" {
			p.Next = []string{"Look again: " + strings.TrimSuffix(l, ".")}
		}
	}
}

// steps are the first lines of some parts of the plan.
func (j *Job) steps(parts ...string) []string {
	var out []string
	for _, s := range j.Result.Plan.Steps {
		if slices.Contains(parts, s.Part) && len(out) < mostNext {
			out = append(out, j.stepLine(s))
		}
	}
	return out
}

func (j *Job) stepLine(s plan.Step) string {
	if t := j.Title(s.Joint); t != "" {
		return s.Action + " (" + t + ")"
	}
	return s.Action
}

// access is the title of a step of access, or of a joint.
func (j *Job) access(id string) string {
	if j.Unit != nil {
		for _, a := range j.Unit.Access {
			if a.ID == id && a.Title != "" {
				return a.Title
			}
		}
		if x, ok := j.Unit.Joint(id); ok && x.Title != "" {
			return x.Title
		}
	}
	return id
}

// few names the first of a list, and how many more there are.
func few(list []string, most int) string {
	if len(list) > most {
		return strings.Join(list[:most], ", ") + fmt.Sprintf(" and %d more", len(list)-most)
	}
	return strings.Join(list, ", ")
}
