package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/fact"
)

// historyFacts are asked right after the safety questions, because everything else is read
// in their light.
var historyFacts = []string{"last-work", "first-wet"}

// Decide gives the next step, the errand and the plan.
func (p Problem) Decide() Decision {
	d := Decision{Errand: []Next{}, Plan: Plan{HaveReady: []string{}, Steps: []Step{}, Sums: []string{}}}
	if n := p.safety(); n != nil {
		d.Next = n
	}
	if p.Refused {
		if d.Next == nil {
			d.NothingMore = "this work is refused: make it safe and hand it over; no check here would change that"
		}
		return d
	}
	b := p.prepare()
	list := p.value(&b, p.candidates(&b))
	if d.Next == nil {
		if n := p.history(); n != nil {
			d.Next = n
		}
	}
	if d.Next == nil && len(list) > 0 && list[0].Saves > p.cost(list[0]) {
		n := p.finish(list[0])
		d.Next = &n
	}
	d.Errand = p.errand(list)
	if d.Next == nil {
		d.NothingMore = p.nothing(list)
	}
	d.Plan = p.write(&b)
	if !p.Post.Exact {
		d.TooLarge = "the chances are bounds here: too many answers bear on one joint to be exact in time"
	}
	return d
}

// safety is the first unanswered safety question, or nil.
func (p *Problem) safety() *Next {
	var first []*rules.Fact
	for _, f := range p.KB.Facts {
		if f.First > 0 && f.Safety && !f.Engine {
			first = append(first, f)
		}
	}
	slices.SortStableFunc(first, func(a, b *rules.Fact) int { return cmp.Compare(a.First, b.First) })
	for _, f := range first {
		joint := p.Net.Joints[0].ID
		k := p.Mem.Key(joint, f.ID)
		if _, ok, _ := p.Mem.Value(k); ok {
			continue
		}
		if f.AskIf != nil && f.AskIf.Cond.Eval(p.Mem.Env(joint)).Truth == fact.False {
			continue
		}
		return &Next{Fact: f.ID, Joint: k.Joint, Title: f.Ask, Kind: "rule-out", Stage: string(f.Stage), Minutes: 0.5, Why: cmp.Or(f.Why, "safety comes first: it decides whether it may be run and what is done to make it safe")}
	}
	return nil
}

// history is the first unanswered question of what was done and when.
func (p *Problem) history() *Next {
	for _, id := range historyFacts {
		f := p.KB.Fact(id)
		if f == nil {
			continue
		}
		for _, j := range p.Net.Joints {
			k := p.Mem.Key(j.ID, id)
			if _, ok, _ := p.Mem.Value(k); ok || j.LastWork != "" && id == "last-work" {
				continue
			}
			if v, ok, _ := p.Mem.Value(p.Mem.Key(j.ID, "joint-wet")); ok && v.Answered() && !v.Yes {
				continue // it is dry: nobody needs its history
			}
			if !p.open(j, f) {
				continue
			}
			return &Next{Fact: id, Joint: k.Joint, Title: f.Ask, Kind: "rule-out", Stage: string(f.Stage), Minutes: 0.5, Why: cmp.Or(f.Why, "the same sign means different things after a refit and after years")}
		}
	}
	return nil
}

// finish puts the words to a valued look.
func (p *Problem) finish(l look) Next {
	n := l.Next
	n.Kind = p.purpose()
	n.Why = p.why(l)
	n.Minutes = l.Minutes + p.setup(l.stage)
	if n.Tools == nil {
		n.Tools = []string{}
	}
	return n
}

// errand is one walk: at most six looks of the same state as the best one, each worth its
// minutes, photograph first and never a look after one that destroys what it reads.
func (p *Problem) errand(list []look) []Next {
	out := []Next{}
	var state rules.Stage
	var pick []look
	for _, l := range list {
		if l.stage == rules.Told || l.checks == nil && l.Minutes <= 0 {
			continue
		}
		cost := l.Minutes
		if state == "" {
			cost = p.cost(l)
		}
		if l.Saves <= cost {
			continue
		}
		if state == "" {
			state = l.stage
		}
		if l.stage == state && len(pick) < int(p.fig("looks-per-errand")) {
			pick = append(pick, l)
		}
	}
	slices.SortStableFunc(pick, func(a, b look) int { return cmp.Compare(a.place, b.place) })
	for _, l := range evidenceOrder(pick) {
		out = append(out, p.finish(l))
	}
	return out
}

// evidenceOrder moves a look before any other that destroys the evidence it reads.
func evidenceOrder(list []look) []look {
	out := slices.Clone(list)
	for pass := 0; pass < len(out); pass++ {
		moved := false
		for i := range out {
			for k := i + 1; k < len(out); k++ {
				if out[i].checks != nil && out[k].checks != nil && out[i].Joint == out[k].Joint && overlap(out[i].checks.Destroys, out[k].checks.Shows) && !overlap(out[k].checks.Destroys, out[i].checks.Shows) {
					l := out[k]
					out = slices.Insert(slices.Delete(out, k, k+1), i, l)
					moved = true
				}
			}
		}
		if !moved {
			break
		}
	}
	return out
}

func overlap(a, b []string) bool {
	return slices.ContainsFunc(a, func(s string) bool { return slices.Contains(b, s) })
}

// nothing says why no question is worth asking, with its sum.
func (p *Problem) nothing(list []look) string {
	if len(list) == 0 {
		return "nothing that can be seen from here would still change the plan"
	}
	l := list[0]
	return fmt.Sprintf("nothing more is worth asking now: the best of what is open (%s) would cost %s min and save %s",
		strings.TrimSuffix(l.Title, "."), minutes(p.cost(l)), minutes(max(0, l.Saves)))
}

// minutes rounds as a person would say it.
func minutes(m float64) string {
	switch {
	case m < 1:
		return "less than 1"
	case m < 10:
		return fmt.Sprintf("%.0f", m)
	}
	return fmt.Sprintf("%.0f", 5*float64(int(m/5+0.5)))
}
