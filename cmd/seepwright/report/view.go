package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/engine/plan"
)

// Kind is the part that a block plays on the page.
type Kind int

// The kinds of block. Numbered items carry their number in Mark, boxes are to be ticked.
const (
	Verdict Kind = iota
	Heading
	Para
	Item
	Numbered
	Box
	Note // belongs to the item above
	Sub  // one of several things under the item above
)

// Block is one piece of a page: text and Markdown are drawn from the same blocks.
type Block struct {
	Kind Kind
	Mark string
	Text string
}

// Options set how much is said.
type Options struct {
	Explain bool // figures, factors, reasons
	Plan    bool // the whole plan; otherwise only what to do next
}

type page struct{ blocks []Block }

func (p *page) add(k Kind, format string, args ...any) {
	p.blocks = append(p.blocks, Block{Kind: k, Text: fmt.Sprintf(format, args...)})
}

func (p *page) mark(k Kind, mark, format string, args ...any) {
	p.blocks = append(p.blocks, Block{Kind: k, Mark: mark, Text: fmt.Sprintf(format, args...)})
}

// Section is a part of the page.
type Section int

// The sections in the order in which a page has them.
const (
	MayRun Section = iota
	WasTried
	Where
	Causes
	WhatIf
	NextStep
	Measured
	Granted
	Mindful
	ThePlan
	TillThen
	Warnings
	Figures
)

// View decides what is said of a result, in which order: the run verdict first.
func View(r *engine.Result, o Options) []Block {
	list := []Section{MayRun, WasTried, Where, Causes, WhatIf, NextStep, Measured, Granted, Mindful}
	if o.Plan {
		list = append(list, ThePlan)
	}
	list = append(list, TillThen, Warnings)
	if o.Explain {
		list = append(list, Figures)
	}
	return Pick(r, o, list...)
}

// Pick says only the sections named.
func Pick(r *engine.Result, o Options, sections ...Section) []Block {
	p := &page{}
	for _, s := range sections {
		switch s {
		case MayRun:
			p.verdict(r)
		case WasTried:
			p.tried(r)
		case Where:
			p.where(r)
		case Causes:
			p.causes(r, o)
		case WhatIf:
			p.whatIf(r)
		case NextStep:
			p.next(r)
		case Measured:
			p.measured(r, o)
		case Granted:
			p.open(r)
		case ThePlan:
			p.plan(r)
		case Mindful:
			p.mindful(r)
		case TillThen:
			p.tillThen(r)
		case Warnings:
			p.cautions(r, o)
		case Figures:
			p.explain(r)
		}
	}
	return p.blocks
}

func (p *page) verdict(r *engine.Result) {
	line := RunWords(r.Run.Verdict)
	if r.Run.Limit != "" {
		line += ": " + r.Run.Limit
	}
	p.add(Verdict, "%s", line)
	if r.Run.LookEvery != "" {
		p.add(Para, "Look again: %s.", strings.TrimSuffix(r.Run.LookEvery, "."))
	}
	for _, b := range r.Run.Because {
		p.add(Para, "Because: %s", b)
	}
	if s := r.Stop; s != nil {
		for _, m := range s.MakeSafe {
			p.add(Box, "%s", m)
		}
		p.add(Para, "Then: %s.", strings.TrimSuffix(s.ReferTo, "."))
		if len(s.Acts) > 0 {
			p.add(Para, "Not here and not by you: %s.", strings.Join(s.Acts, "; "))
		}
		if s.Refuses {
			p.add(Para, "seepwright stops at this kind of work: no plan is written. What follows only helps you to say what you saw.")
		}
	}
	if r.Impossible != "" {
		p.add(Para, "These answers do not fit together: %s.", r.Impossible)
	}
	for _, c := range r.Contra {
		p.add(Para, "Two answers clash: %s is both %s (%s). It counts as not known until one of them is changed.", c.Fact, strings.Join(c.Values, " and "), strings.Join(c.From, "; "))
	}
}

// worthSaying is the chance from which on a leak made by the closing itself is named.
const worthSaying = 0.05

func (p *page) tried(r *engine.Result) {
	if len(r.Tried) == 0 {
		return
	}
	p.add(Heading, "What was tried")
	for _, t := range r.Tried {
		place := ""
		if len(r.Joints) > 1 && t.Title != "" {
			place = " (" + t.Title + ")"
		}
		if t.Retest == engine.RetestDry {
			p.add(Item, "%s%s: dry", t.Says, place)
			continue
		}
		p.add(Item, "%s%s: still wet", t.Says, place)
		if t.Spoilt >= worthSaying {
			p.add(Note, "That closing it made a leak of its own: %s.", Odds(t.Spoilt))
		}
	}
}

func (p *page) where(r *engine.Result) {
	if len(r.Kinds) > 0 {
		p.add(Heading, "Which kind of joint it is")
		for _, k := range r.Kinds {
			p.add(Item, "%s: %s", k.Title, Odds(k.Probability))
			if k.LooksLike != "" && k.Probability >= worthSaying {
				p.add(Note, "%s", k.LooksLike)
			}
		}
	}
	if len(r.Joints) < 2 {
		return
	}
	p.add(Heading, "Where it leaks")
	list := slices.Clone(r.Joints)
	slices.SortStableFunc(list, func(a, b engine.JointOdds) int {
		switch {
		case a.Probability > b.Probability:
			return -1
		case a.Probability < b.Probability:
			return 1
		}
		return strings.Compare(a.Joint, b.Joint)
	})
	for _, j := range list {
		wet := ""
		switch j.Wet {
		case "yes":
			wet = ", wet"
		case "no":
			wet = ", dry"
		}
		p.add(Item, "%s: %s%s", j.Title, Odds(j.Probability), wet)
		if away := elsewhere(r, j.Joint); j.Wet == "yes" && away >= 0.3 && away > j.Probability {
			p.add(Note, "More likely wetted from above or from elsewhere (%s).", Odds(away))
		}
	}
}

// elsewhere is the chance that liquid at a joint comes from another place.
func elsewhere(r *engine.Result, joint string) float64 {
	for _, x := range r.Ranking {
		if x.Joint == joint && x.Family == engine.ElsewhereFamily {
			return x.Probability
		}
	}
	return 0
}

// Shown lists the causes that deserve a line: the leading six, and no cause below 1 in 100
// unless something speaks for it. Of several joints, "it comes from elsewhere" is said where
// the joints are listed, because it is no cause that one could mend there.
func Shown(r *engine.Result) []engine.Ranked {
	var out []engine.Ranked
	for _, x := range r.Ranking {
		if len(r.Joints) > 1 && x.Family == engine.ElsewhereFamily {
			continue
		}
		if len(out) == 6 || x.Probability < 0.01 && x.Probability <= 2*x.Prior {
			break
		}
		out = append(out, x)
	}
	return out
}

func (p *page) causes(r *engine.Result, o Options) {
	list := Shown(r)
	if len(list) == 0 {
		return
	}
	if r.Cured {
		p.add(Heading, "What it was, most likely")
	} else {
		p.add(Heading, "Likely causes (more than one may be true)")
	}
	if list[0].Probability < 0.35 && !r.Cured {
		p.add(Para, "No cause stands out yet. The next check is worth more than a guess.")
	}
	if !r.Exact {
		p.add(Para, "Too many answers bear on one joint to be exact in time; the chances are bounds that hold the true value (see --format json).")
	}
	titles := joints(r)
	for i, x := range list {
		place := ""
		switch {
		case len(r.Kinds) > 0:
			place = " (" + x.Kind + ")"
		case x.Shared:
			place = " (all like joints at once)"
		case len(r.Joints) > 1:
			place = " (" + titles[x.Joint] + ")"
		}
		chance := Odds(x.Probability)
		if o.Explain {
			chance += fmt.Sprintf(" [%.1f %%]", 100*x.Probability)
		}
		p.mark(Numbered, fmt.Sprint(i+1), "%s%s: %s", x.Title, place, chance)
		if x.Means != "" && (i < 3 || o.Explain) {
			p.add(Note, "%s", x.Means)
		}
		if s := evidence(r, x, o); s != "" {
			p.add(Note, "%s", s)
		}
	}
	for _, t := range r.Ties {
		var names []string
		for _, c := range t.Causes {
			if s := titleOf(r, c); s != "" {
				names = append(names, s)
			}
		}
		if len(names) < 2 {
			continue
		}
		s := "Too close to call: " + strings.Join(names, " / ") + "."
		if t.Says != "" {
			s += " What splits them: " + strings.TrimSuffix(t.Says, ".") + "."
		}
		p.add(Para, "%s", s)
	}
}

func joints(r *engine.Result) map[string]string {
	m := map[string]string{}
	for _, j := range r.Joints {
		m[j.Joint] = j.Title
	}
	return m
}

func titleOf(r *engine.Result, ref string) string {
	for _, x := range r.Ranking {
		if x.Joint+"/"+x.Cause == ref {
			if len(r.Joints) > 1 && x.Family == engine.ElsewhereFamily {
				return ""
			}
			if len(r.Joints) > 1 && !x.Shared {
				return x.Title + " (" + joints(r)[x.Joint] + ")"
			}
			return x.Title
		}
	}
	return ""
}

// evidence says what speaks for and against a cause.
func evidence(r *engine.Result, x engine.Ranked, o Options) string {
	var yes, no []string
	names := joints(r)
	for i, b := range x.Because {
		if i > 0 && !o.Explain && Strength(b.Factor) == "slightly" {
			continue
		}
		s := b.Says
		if at, _, ok := strings.Cut(b.Finding, "/"); ok && at != x.Joint && names[at] != "" {
			s = names[at] + ", " + s
		}
		if o.Explain {
			s += fmt.Sprintf(" (odds x%.2g)", b.Factor)
		} else {
			s += " (" + Strength(b.Factor) + ")"
		}
		switch {
		case b.Factor > 1.05:
			yes = append(yes, s)
		case b.Factor < 0.95:
			no = append(no, s)
		}
	}
	if !o.Explain {
		no = no[:min(1, len(no))]
	}
	var parts []string
	if len(yes) > 0 {
		parts = append(parts, "For: "+strings.Join(yes, "; ")+".")
	}
	if len(no) > 0 {
		parts = append(parts, "Against: "+strings.Join(no, "; ")+".")
	}
	return strings.Join(parts, " ")
}

func (p *page) next(r *engine.Result) {
	if r.Stop != nil && r.Stop.Refuses {
		return
	}
	p.add(Heading, "Do this next")
	if r.Next == nil {
		p.add(Para, "%s.", Capital(strings.TrimSuffix(r.NothingMore, ".")))
	} else {
		p.step(r, *r.Next, Para, "")
	}
	if len(r.Errand) > 1 {
		p.add(Heading, "One walk to the machine")
		for i, n := range r.Errand {
			p.step(r, n, Box, fmt.Sprint(i+1))
		}
	}
}

func (p *page) step(r *engine.Result, n plan.Next, k Kind, mark string) {
	what := n.Title
	if len(r.Joints) > 1 && n.Joint != "" {
		if t, ok := joints(r)[n.Joint]; ok {
			what += " (" + t + ")"
		}
	}
	p.mark(k, mark, "%s", what)
	if n.How != "" && n.Check != "" {
		p.add(Note, "%s", n.How)
	}
	s := Minutes(n.Minutes)
	if n.Saves >= 1 {
		s += ", saves about " + Minutes(n.Saves)
	}
	if n.Why != "" {
		s += "; " + strings.TrimSuffix(n.Why, ".")
	}
	p.add(Note, "%s.", Capital(s))
	if len(n.Borrow) > 0 {
		p.add(Note, "Borrow: %s.", strings.Join(n.Borrow, ", "))
	}
}

// measured judges what was measured: in full what is missed or not proven and what was
// solved for these parts, in one line each what is good.
func (p *page) measured(r *engine.Result, o Options) {
	var list []engine.Target
	for _, t := range r.Targets {
		if t.Measured != "" {
			list = append(list, t)
		}
	}
	if len(list) == 0 {
		return
	}
	p.add(Heading, "Measured against its target")
	good := 0
	for _, t := range list {
		place := ""
		if len(r.Joints) > 1 {
			place = joints(r)[t.Joint] + ": "
		}
		if t.Verdict == "met" {
			if good++; good <= 4 || o.Explain {
				p.add(Item, "good: %s%s %s (wanted %s; %s)", place, lowerFirst(t.Title), t.Measured, t.Limit, t.Margin)
			}
			continue
		}
		verdict := map[string]string{"missed": "NOT GOOD", "not proven": "TOO CLOSE TO CALL"}[t.Verdict]
		p.add(Item, "%s: %s%s %s, wanted %s; %s", verdict, place, lowerFirst(t.Title), t.Measured, t.Limit, t.Margin)
		if t.Settle != "" {
			p.add(Note, "To settle it: %s.", t.Settle)
		}
		p.add(Note, "Source: %s.", Origin(t.Source, t.Standing))
	}
	if good > 4 && !o.Explain {
		p.add(Item, "good: %d more (--explain shows them)", good-4)
	}
}

func (p *page) open(r *engine.Result) {
	if len(r.Assumed) == 0 {
		return
	}
	p.add(Heading, "Taken for granted")
	for _, a := range r.Assumed {
		p.add(Item, "%s", a)
	}
}

func (p *page) plan(r *engine.Result) {
	if r.Stop != nil && r.Stop.Refuses || len(r.Plan.Steps) == 0 {
		return
	}
	p.add(Heading, "The plan: about %s of work until it is dry", Minutes(r.Plan.Minutes))
	if len(r.Plan.HaveReady) > 0 {
		p.add(Para, "Have ready: %s.", strings.Join(r.Plan.HaveReady, ", "))
	}
	names := joints(r)
	warn := map[string]string{}
	for _, c := range r.Cautions {
		warn[c.ID] = c.Warning
	}
	for _, part := range Parts {
		first := true
		for _, s := range r.Plan.Steps {
			if s.Part != part.ID {
				continue
			}
			if first {
				p.add(Heading, "%s", part.Title)
				first = false
			}
			text := s.Action
			if len(r.Joints) > 1 && s.Joint != "" {
				text = names[s.Joint] + ": " + text
			}
			if s.Minutes >= 0.75 {
				text += " (" + Minutes(s.Minutes) + ")"
			}
			if s.Wait > 0 {
				text += " (wait " + Minutes(s.Wait) + ")"
			}
			for _, c := range s.Cautions {
				if warn[c] != "" {
					p.add(Para, "CAUTION: %s", warn[c])
				}
				warn[c] = "" // said once
			}
			p.add(Box, "%s", text)
			if s.Why != "" {
				p.add(Note, "%s.", Capital(strings.TrimSuffix(s.Why, ".")))
			}
		}
	}
	if r.Plan.LookAgain != "" {
		p.add(Para, "Look again: %s.", r.Plan.LookAgain)
	}
	if len(r.Plan.Sums) > 0 {
		p.add(Heading, "The sums behind it")
		for _, s := range r.Plan.Sums {
			p.add(Item, "%s", s)
		}
	}
}

func (p *page) explain(r *engine.Result) {
	p.add(Heading, "What is known, and from where")
	for _, f := range r.Findings {
		place := f.Joint
		if place != "" {
			place += ": "
		}
		s := fmt.Sprintf("%s%s = %s (%s)", place, f.Title, f.Text, strings.Join(f.From, "; "))
		p.add(Item, "%s", s)
		if f.Says != "" {
			p.add(Note, "%s", f.Says)
		}
	}
	p.add(Heading, "The figures")
	for i, x := range r.Ranking {
		if i == 15 {
			break
		}
		p.add(Item, "%s/%s: %.2f %% (before these answers %.2f %%), family %s", x.Joint, x.Cause, 100*x.Probability, 100*x.Prior, x.Family)
	}
	if !math.IsNaN(r.Plan.Lower) {
		p.add(Para, "Expected minutes until dry %.0f; by the same odds no plan could need fewer than about %.0f. Shares and chances are estimates of the trade, not counts.", r.Plan.Minutes, r.Plan.Lower)
	}
}
