package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/fact"
)

// historyFacts are asked right after the safety questions, because everything else is read
// in their light.
var historyFacts = []string{"last-work", "first-wet"}

// Decide gives the next step, the errand and the plan.
func (p Problem) Decide() Decision {
	d := Decision{Errand: []Next{}, Plan: Plan{HaveReady: []string{}, Steps: []Step{}, Sums: []string{}}}
	d.Next = p.safety()
	if p.Refused {
		if d.Next == nil {
			d.NothingMore = "this work is refused: make it safe and hand it over; no check here would change that"
		}
		return d
	}
	if p.Person.First && d.Next == nil {
		d.Next = p.history()
	}
	if p.Person.First || p.Person.Brief && d.Next != nil {
		return d
	}
	if p.Index == nil {
		p.Index = NewIndex(p.KB)
	}
	b := p.prepare()
	list, err := p.advise(&b, p.candidates(&b))
	if err != nil {
		d.NothingMore = err.Error()
		return d
	}
	if d.Next == nil {
		d.Next = p.history()
	}
	if d.Next == nil {
		if l, ok := p.choose(list); ok {
			n := p.finish(&b, l)
			d.Next = &n
		}
	}
	d.Errand = p.errand(&b, list)
	if d.Next == nil {
		d.Next = p.settling()
	}
	if d.Next == nil {
		d.NothingMore = p.nothing(list)
	}
	if len(b.scene.sets) == 0 && d.NothingMore != "" {
		d.NothingMore = "by what was answered no joint is at fault; if liquid is still lost, say which joint is wet, or look again at the ones that were called dry"
	}
	if !p.Person.Brief {
		d.Plan = p.write(&b)
	}
	if !p.Post.Exact {
		d.TooLarge = "the chances are bounds here: too many answers bear on one joint to be exact in time"
	}
	return d
}

// choose is the question or look with the most to gain. The first few questions that can be
// answered where one sits go before a walk to the machine, as long as they gain something
// worth speaking of beside it.
func (p *Problem) choose(list []look) (look, bool) {
	if len(list) == 0 || list[0].Saves <= list[0].cost {
		return look{}, false
	}
	if p.asked() < int(p.fig("questions-before-looks")) {
		for _, l := range list {
			if gain := l.Saves - l.cost; l.seated() && gain > (list[0].Saves-list[0].cost)/5 && gain > 0 {
				return l, true
			}
		}
	}
	return list[0], true
}

// asked counts the answers beyond safety and history.
func (p *Problem) asked() int {
	n := 0
	for _, k := range p.Mem.Answers() {
		if f := p.KB.Fact(k.Fact); f != nil && !f.Safety && f.First == 0 {
			n++
		}
	}
	return n
}

// settling is a question that would not change the plan but decides whether the machine may
// run meanwhile.
func (p *Problem) settling() *Next {
	if p.Settles == nil {
		return nil
	}
	for _, id := range p.Settles() {
		f := p.KB.Fact(id)
		if f == nil || f.Stage != rules.Told && f.Stage != rules.Outside {
			continue
		}
		for i, j := range p.Net.Joints {
			if p.Net.Rank.Blocks[i].Wet == rank.Negative || !p.open(j, f) {
				continue
			}
			return &Next{Fact: id, Joint: p.Mem.Key(j.ID, id).Joint, Title: f.Ask, Kind: "rule-out", Stage: string(f.Stage), Minutes: max(f.Minutes, 0.5), Why: cmp.Or(f.Why, "it decides whether it may be run meanwhile"), How: f.How}
		}
	}
	return nil
}

// safety is the first unanswered safety question, or nil. A question whose condition is not
// decided yet waits while another of them, still open, may decide it: a waterline is asked of
// coolant only once it is known where the coolant goes. Nothing is left out by waiting.
func (p *Problem) safety() *Next {
	var first []*rules.Fact
	for _, f := range p.KB.Facts {
		if f.First > 0 && f.Safety && !f.Engine {
			first = append(first, f)
		}
	}
	slices.SortStableFunc(first, func(a, b *rules.Fact) int { return cmp.Compare(a.First, b.First) })
	var waiting *Next
	for _, f := range first {
		for i, j := range p.Net.Joints {
			if !p.safetyOpen(f, i) {
				continue
			}
			next := &Next{Fact: f.ID, Joint: p.Mem.Key(j.ID, f.ID).Joint, Title: f.Ask, Kind: "rule-out", Stage: string(f.Stage), Minutes: 0.5, Why: cmp.Or(f.Why, "safety comes first: it decides whether it may be run and what is done to make it safe")}
			if f.AskIf != nil && f.AskIf.Cond.Eval(p.Mem.Env(j.ID)).Truth == fact.Unknown && slices.ContainsFunc(first, func(g *rules.Fact) bool {
				return g != f && slices.Contains(f.AskIf.Cond.Facts(), g.ID) && p.safetyOpen(g, i)
			}) {
				waiting = cmp.Or(waiting, next)
				continue
			}
			return next
		}
	}
	return waiting // where two wait for one another
}

// safetyOpen reports whether a safety question can still be put at a joint.
func (p *Problem) safetyOpen(f *rules.Fact, i int) bool {
	j := p.Net.Joints[i]
	if !rules.Applies(f.For, j.Kind) || i > 0 && f.Scope != fact.JointScope && f.Scope != fact.LikeJoints {
		return false // one of the whole is asked once
	}
	if i > 0 && p.Net.Rank.Blocks[i].Wet == rank.Negative {
		return false
	}
	if _, ok, _ := p.Mem.Value(p.Mem.Key(j.ID, f.ID)); ok {
		return false
	}
	return f.AskIf == nil || f.AskIf.Cond.Eval(p.Mem.Env(j.ID)).Truth != fact.False
}

// history is the first unanswered question of what was done and when.
func (p *Problem) history() *Next {
	for _, id := range historyFacts {
		f := p.KB.Fact(id)
		if f == nil {
			continue
		}
		for i, j := range p.Net.Joints {
			k := p.Mem.Key(j.ID, id)
			if _, ok, _ := p.Mem.Value(k); ok || j.LastWork != "" && id == "last-work" {
				continue
			}
			if wet := p.Net.Rank.Blocks[i].Wet; wet == rank.Negative || wet == rank.Unknown && len(p.Net.Joints) > 1 {
				continue // not known to be wet: nobody needs its history yet
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
func (p *Problem) finish(b *bench, l look) Next {
	n := l.Next
	n.Kind = p.purpose()
	n.Why = p.why(&b.scene, l)
	if n.Tools == nil {
		n.Tools = []string{}
	}
	return n
}

// firstLook is the check that comes before any that wipes.
const firstLook = "photograph-before-wiping"

// errand is one walk: at most six looks of the same state. The first are those that optimum
// chose for what they save together; a further one is taken along when what it saves alone,
// falling as more is known, is still more than its minutes. Looks come before tries, and none
// after another that destroys what it reads.
func (p *Problem) errand(b *bench, list []look) []Next {
	if len(b.errand) == 0 {
		return []Next{}
	}
	pick := slices.Clone(b.errand)
	state := pick[0].stage
	told := map[string]bool{} // what the walk tells already
	for _, l := range pick {
		for _, id := range l.answers() {
			told[l.Joint+"/"+id] = true
		}
	}
	perfect := max(b.advice.Act-b.advice.Bounds.Perfect, 1)
	rest := 1.0
	for _, l := range pick {
		rest *= 1 - min(1, l.Saves/perfect)
	}
	setup := p.setups()[state]
	paid := setup + p.fig("trip-minutes") // by the first look
	for _, l := range list {
		if l.stage != state || l.seated() || len(pick) == int(p.fig("looks-per-errand")) {
			continue
		}
		fresh := slices.ContainsFunc(l.answers(), func(id string) bool { return !told[l.Joint+"/"+id] })
		if !fresh || slices.ContainsFunc(pick, func(o look) bool { return o.Joint == l.Joint && o.Check == l.Check && o.Fact == l.Fact }) {
			continue
		}
		if rest*l.Saves > l.cost-paid {
			rest *= 1 - min(1, l.Saves/perfect)
			pick = append(pick, l)
			for _, id := range l.answers() {
				told[l.Joint+"/"+id] = true
			}
		}
	}
	slices.SortStableFunc(pick, func(a, b look) int {
		return cmp.Or(cmp.Compare(tries(a), tries(b)), cmp.Compare(a.place, b.place))
	})
	out := []Next{}
	for i, l := range p.photograph(evidenceOrder(pick)) {
		if i > 0 {
			l.Minutes -= setup
		}
		out = append(out, p.finish(b, l))
	}
	return out
}

// answers lists the facts that a look tells.
func (l *look) answers() []string {
	if l.checks == nil {
		return []string{l.Fact}
	}
	return l.Fills
}

// tries puts a remedy on trial after all looks.
func tries(l look) int {
	if l.checks != nil && l.checks.Kind == rules.Attempt {
		return 1
	}
	return 0
}

// photograph puts the photograph before a walk on which something is wiped or moved, if
// nothing was seen of what it shows.
func (p *Problem) photograph(list []look) []look {
	c := p.KB.Check(firstLook)
	wipes := func(l look) bool { return l.checks != nil && len(l.checks.Destroys) > 0 }
	i := slices.IndexFunc(list, wipes)
	if c == nil || i < 0 {
		return list
	}
	l := look{stage: list[i].stage, checks: c, place: list[i].place}
	joint, _ := p.Asm.Joint(list[i].Joint)
	for _, id := range c.Fills {
		if f := p.KB.Fact(id); f != nil && rules.Applies(f.For, joint.Kind) {
			if _, ok, _ := p.Mem.Value(p.Mem.Key(joint.ID, id)); !ok {
				l.Fills = append(l.Fills, id)
			}
		}
	}
	if len(l.Fills) == 0 {
		return list
	}
	l.Check, l.Joint, l.Title, l.How = c.ID, joint.ID, cmp.Or(c.Title, c.ID), c.How
	l.Minutes, l.Stage, l.Tools, l.Caution = c.Minutes, string(c.Stage), c.Tools, c.Cautions
	l.Why = "crust, trail and print are evidence that wiping destroys"
	if k := slices.IndexFunc(list, func(o look) bool { return o.checks == c }); k >= 0 {
		l = list[k]
		list = slices.Delete(list, k, k+1)
	}
	list = slices.Insert(list, 0, l)
	return list[:min(len(list), int(p.fig("looks-per-errand")))]
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
	if len(list) == 0 || list[0].Saves < 0.5 {
		return "nothing that can be seen from here would still change the plan"
	}
	l := list[0]
	return fmt.Sprintf("nothing more is worth asking now: the best of what is open (%s) would cost %s min and save %s",
		strings.TrimSuffix(l.Title, "."), minutes(l.cost), minutes(max(0, l.Saves)))
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
