package plan

import (
	"slices"

	"seepwright/engine/network"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

// figures are the numbers of our own judgement that planning needs. They stand in the
// knowledge base's table of estimates; here is what holds where that table is silent.
var figures = map[string]float64{
	"waiting-weight": 0.1, "waiting-share": 8.0 / 24, "pass-first-time": 0.80, "pass-failed-before": 0.55, "off-share": 0.5, "cover-share": 0.4,
	"access-minutes": 15, "access-an-hour": 60, "access-half-a-day": 240, "access-a-day": 480,
	"retest-minutes": 60, "short-retest-minutes": 10, "bench-test-minutes": 45, "bench-test-se": 0.90, "bench-test-sp": 0.95,
	"known-outside": 0.80, "known-history": 0.60, "known-size": 0.10, "last-resort-minutes": 480, "borrow-minutes": 30,
	"looks-per-errand": 6, "trip-minutes": 3, "questions-before-looks": 4, "setup-running": 10, "setup-static": 20, "setup-hot": 30, "setup-one-fastener": 5,
	"remedy-adjust": 5, "remedy-clean": 10, "remedy-new-seal": 15, "remedy-dress": 45, "remedy-replace": 60, "remedy-machine": 120, "remedy-locate": 20,
	"found-when-open": 0.85, "success": 0.95, "success-specialist": 0.98,
}

func (p *Problem) fig(name string) float64 {
	if x, ok := p.KB.Estimate(name); ok {
		return x
	}
	return figures[name]
}

// reach is what it costs to get at a joint and to part it, off and back on.
type reach struct {
	steps     []assembly.Access
	off, back float64 // of the joint itself, without the access steps
	known     bool    // access was told, not taken for granted
}

// reachOf lists the access steps to a joint. A joint without any costs what the person said
// of its size, else an hour in all.
func (p *Problem) reachOf(j network.Joint) reach {
	r := reach{steps: p.Asm.Path(j.ID)}
	r.known = len(r.steps) > 0
	if !r.known {
		size := "an-hour"
		if v, ok, _ := p.Mem.Value(p.Mem.Key(j.ID, "access-size")); ok && v.Answered() {
			size, r.known = v.Option, true
		}
		all := p.fig("access-" + size)
		r.off, r.back = all*p.fig("off-share"), all*(1-p.fig("off-share"))
	}
	if kind := p.KB.Joint(j.Kind); kind != nil {
		r.off += kind.OpenMinutes
		r.back += kind.ShutMinutes
	}
	return r
}

// access is what it costs to get at these joints and back, each shared step paid once.
func (b *bench) access(joints []int) (off, back float64) {
	var paid []string
	for _, j := range joints {
		r := &b.reach[j]
		back += r.back
		if !b.opened[j] {
			off += r.off
		}
		for i := range r.steps {
			s := &r.steps[i]
			if slices.Contains(paid, s.ID) {
				continue
			}
			paid = append(paid, s.ID)
			back += s.Back
			if !b.opened[j] {
				off += s.Off
			}
		}
	}
	return off, back
}

// opened says which joints are apart now: something was answered about them that can only be
// seen when they are, and they were not closed for a retest since.
func (p *Problem) opened() map[string]bool {
	apart := map[string]bool{}
	for _, k := range p.Mem.Answers() {
		f := p.KB.Fact(k.Fact)
		v, ok, _ := p.Mem.Value(k)
		if f != nil && ok && v.Answered() && (f.Stage == rules.Opened || f.Stage == rules.Bench) {
			apart[k.Joint] = !p.Net.Retested(k.Joint)
		}
	}
	return apart
}

// failed reports whether this joint leaked again after an earlier repair.
func (p *Problem) failed(joint string) bool {
	v, ok, _ := p.Mem.Value(p.Mem.Key(joint, "times-failed"))
	return ok && v.Answered() && v.Type == fact.Number && v.Num.SI >= 1
}

// pass is the chance that a joint that is opened and put together again is tight for all
// that the assembling itself can spoil.
func (p *Problem) pass(joint string) float64 {
	if p.failed(joint) {
		return p.fig("pass-failed-before")
	}
	return p.fig("pass-first-time")
}

// setups is what each state costs once before the first look in it; a state in which
// something was answered already is paid for.
func (p *Problem) setups() map[rules.Stage]float64 {
	out := map[rules.Stage]float64{}
	for _, st := range []rules.Stage{rules.Running, rules.Static, rules.Hot, rules.OneFastener} {
		out[st] = p.fig("setup-" + string(st))
	}
	for _, k := range p.Mem.Answers() {
		if f := p.KB.Fact(k.Fact); f != nil {
			if v, ok, _ := p.Mem.Value(k); ok && v.Answered() {
				delete(out, f.Stage)
			}
		}
	}
	return out
}

// waiting is what minutes of waiting weigh against minutes of work: one tenth, and of a long
// wait only the hours in which anybody works. A check during which the machine may run costs
// no waiting; with a deadline all of it counts.
func (p *Problem) waiting(minutes float64, mayRun bool) float64 {
	const night = 8 * 60
	switch {
	case p.Person.Deadline > 0:
		return minutes
	case mayRun:
		return 0
	case minutes > night:
		minutes *= p.fig("waiting-share")
	}
	return minutes * p.fig("waiting-weight")
}

// outsideStages can be had without parting the joint.
var outsideStages = []rules.Stage{rules.Told, rules.Outside, rules.Running, rules.Static, rules.Hot, rules.OneFastener}

func isOutside(st rules.Stage) bool { return slices.Contains(outsideStages, st) }
