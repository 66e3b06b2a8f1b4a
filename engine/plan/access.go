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
	"waiting-weight": 0.1, "pass-first-time": 0.80, "pass-failed-before": 0.55, "off-share": 0.5, "cover-share": 0.4,
	"access-minutes": 15, "access-an-hour": 60, "access-half-a-day": 240, "access-a-day": 480,
	"retest-minutes": 45, "bench-test-minutes": 45, "bench-test-se": 0.90, "bench-test-sp": 0.95,
	"known-outside": 0.80, "known-history": 0.60, "known-size": 0.10, "last-resort-minutes": 480,
	"looks-per-errand": 6, "answers-before-advice": 8, "setup-running": 10, "setup-static": 20, "setup-hot": 30, "setup-one-fastener": 5,
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
	off, back float64 // all access steps and the joint itself
	known     bool    // access was told, not taken for granted
}

// reachOf sums the access steps to a joint that are not yet paid for. A joint without
// access steps costs what the person said of its size, else an hour in all.
func (p *Problem) reachOf(j network.Joint, paid map[string]bool) reach {
	var r reach
	kind := p.KB.Joint(j.Kind)
	path := p.Asm.Path(j.ID)
	for _, s := range path {
		if paid[s.ID] {
			continue
		}
		r.steps = append(r.steps, s)
		r.off += s.Off
		r.back += s.Back
	}
	r.known = len(path) > 0
	if !r.known && !paid["joint:"+j.ID] {
		size := "an-hour"
		if v, ok, _ := p.Mem.Value(p.Mem.Key(j.ID, "access-size")); ok && v.Answered() {
			size, r.known = v.Option, true
		}
		all := p.fig("access-" + size)
		r.off, r.back = r.off+all*p.fig("off-share"), r.back+all*(1-p.fig("off-share"))
	}
	if kind != nil && !paid["joint:"+j.ID] {
		r.off += kind.OpenMinutes
		r.back += kind.ShutMinutes
	}
	return r
}

// opened reports whether the joint is apart now: something was answered about it that can
// only be seen when it is.
func (p *Problem) opened(joint string) bool {
	for _, k := range p.Mem.Answers() {
		if k.Joint != joint {
			continue
		}
		f := p.KB.Fact(k.Fact)
		v, ok, _ := p.Mem.Value(k)
		if f != nil && ok && v.Answered() && (f.Stage == rules.Opened || f.Stage == rules.Bench) {
			return true
		}
	}
	return false
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

// setup is what a state costs once before the first look in it.
func (p *Problem) setup(st rules.Stage) float64 {
	for _, k := range p.Mem.Answers() {
		if f := p.KB.Fact(k.Fact); f != nil && f.Stage == st {
			return 0
		}
	}
	switch st {
	case rules.Running, rules.Static, rules.Hot, rules.OneFastener:
		return p.fig("setup-" + string(st))
	}
	return 0
}

// outsideStages can be had without parting the joint.
var outsideStages = []rules.Stage{rules.Told, rules.Outside, rules.Running, rules.Static, rules.Hot, rules.OneFastener}

func isOutside(st rules.Stage) bool { return slices.Contains(outsideStages, st) }
