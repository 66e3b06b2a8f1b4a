package sheet

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"seepwright/cmd/seepwright/report"
	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// part writes the steps of one part of the plan.
func (b *builder) part(s *Section, id string) {
	place := ""
	said := map[string]bool{}
	for _, st := range b.lines(id) {
		if p, ok := b.proof(st, said); ok {
			s.Items = append(s.Items, Item{Proof: p})
			continue
		}
		if b.over() {
			continue
		}
		b.at(s, &place, st.Joint, st.Joints)
		x := b.step(st, said)
		s.Items = append(s.Items, Item{Step: &x})
	}
	if id == "retest" {
		b.proofHead(s)
	}
}

// lines are the steps of one part of the plan. At the retest what the kind of joint wants looked
// at stands behind the first step that has the unit in that state; behind the last of a run of
// static ones, which is the one under pressure.
func (b *builder) lines(id string) []plan.Step {
	var out, own []plan.Step
	for _, st := range b.Result.Plan.Steps {
		switch {
		case st.Part != id:
		case id == "retest" && st.Check == "":
			own = append(own, st)
		default:
			out = append(out, st)
		}
	}
	for _, st := range own {
		at := slices.IndexFunc(out, func(o plan.Step) bool { return o.Stage == st.Stage })
		if at < 0 {
			out = append(out, st)
			continue
		}
		at++
		for at < len(out) && (out[at].Check == "" || st.Stage == string(rules.Static)) && out[at].Stage == st.Stage {
			at++
		}
		out = slices.Insert(out, at, st)
	}
	return out
}

// step puts a line of the plan into its form; cautions that this section has said in full are
// named again by their mark.
func (b *builder) step(st plan.Step, said map[string]bool) Step {
	b.steps++
	x := Step{No: b.steps, Text: report.Capital(st.Action), Why: report.Capital(sentence(st.Why))}
	if st.Check != "" || st.Remedy != "" || st.Target != "" {
		if head, rest, ok := strings.Cut(st.Action, ": "); ok {
			x.Head, x.Text = report.Capital(head), report.Capital(rest)
		}
	}
	x.Time = duration(st.Minutes, st.Wait)
	for _, id := range st.Cautions {
		x.Warnings = append(x.Warnings, b.warn(id, said))
		if !slices.Contains(b.needed[id], x.No) {
			b.needed[id] = append(b.needed[id], x.No)
		}
	}
	if c := b.KB.Check(st.Check); c != nil && c.Without != "" {
		x.Without = without(c.Without)
	}
	joints := st.Joints
	if len(joints) == 0 {
		joints = []string{st.Joint}
	}
	for _, j := range joints {
		var list []Field
		switch {
		case st.Check != "":
			list = b.found(st.Check, j)
		case st.Target != "":
			list = b.decided(st.Target, j, &x)
		}
		if len(joints) > 1 {
			for i := range list {
				list[i].Label = b.titles[j] + ": " + list[i].Label
			}
		}
		x.Fields = append(x.Fields, list...)
	}
	return x
}

// warn is a caution before work, in full the first time in a section.
func (b *builder) warn(id string, said map[string]bool) Warning {
	w := b.warning(id)
	if said[id] {
		if c := b.KB.Caution(id); c != nil && c.Title != "" {
			w.Text = c.Title + " (as above)."
		}
	}
	if said != nil {
		said[id] = true
	}
	return w
}

// longWait is what is counted in days, in minutes.
const longWait = 2 * 24 * 60

func duration(minutes, wait float64) string {
	var out []string
	if minutes >= 0.75 {
		out = append(out, report.Minutes(minutes))
	}
	switch {
	case wait >= longWait:
		out = append(out, fmt.Sprintf("wait %.0f days", wait/(24*60)))
	case wait > 0:
		out = append(out, "wait "+report.Minutes(wait))
	}
	return strings.Join(out, ", ")
}

const (
	worthAsking = 0.03 // the chance from which on a cause is looked for
	mostFields  = 8    // places to fill in at one step
	mostOptions = 8    // boxes of one field; more is a line to write on
)

// found are the places to write down what a check finds: every number, and what decides about
// a cause that is still likely; else a line.
func (b *builder) found(check, joint string) []Field {
	c := b.KB.Check(check)
	if c == nil {
		return nil
	}
	telling := map[string]bool{}
	for _, x := range b.Result.Ranking {
		if x.Probability < worthAsking || x.Joint != joint && !x.Shared {
			continue
		}
		if d := b.KB.Cause(x.Kind + "/" + x.Cause); d != nil {
			for _, f := range d.FoundBy {
				if f.Check == check {
					telling[f.Fact] = true
				}
			}
		}
	}
	var out []Field
	for _, id := range c.Fills {
		f := b.KB.Fact(id)
		if f == nil || f.Engine || !applies(f, b.kinds[joint]) || len(out) == mostFields {
			continue
		}
		if number := f.Answer == fact.Number || f.Answer == fact.Readings; number || telling[id] {
			out = append(out, b.field(f, joint))
		}
	}
	if len(out) == 0 {
		out = append(out, Field{Label: "Found", Long: true})
	}
	return out
}

// clocks are the places of a row of readings on paper.
var clocks = []string{"12:00", "1:30", "3:00", "4:30"}

// field is the place to write one fact down.
func (b *builder) field(f *rules.Fact, joint string) Field {
	x := Field{Label: strings.TrimSuffix(report.Capital(cmp.Or(f.Title, f.Ask, f.ID)), "?")}
	for _, g := range b.Result.Findings {
		if g.Fact == f.ID && (g.Joint == joint || g.Joint == "") && g.Text != "" {
			x.Known = g.Text
		}
	}
	switch f.Answer {
	case fact.YesNo:
		x.Label, x.Options = cmp.Or(f.Ask, f.Title, f.ID), []string{"yes", "no"}
	case fact.Choice, fact.Several:
		if len(f.Options) <= mostOptions {
			for _, o := range f.Options {
				x.Options = append(x.Options, cmp.Or(o.Title, o.ID))
			}
		} else {
			x.Long = true
		}
	case fact.Clock:
		x.Unit = "o'clock"
	case fact.Readings:
		x.Slots, x.Unit = clocks, b.symbol(f.Dim)
	default:
		x.Unit = b.symbol(f.Dim)
	}
	var hint []string
	for _, t := range b.Result.Targets {
		if t.Fact == f.ID && t.Joint == joint && t.Strict {
			hint = append(hint, "Limit: "+sentence(t.Limit))
			if t.Without != "" {
				hint = append(hint, without(t.Without))
			}
		}
	}
	if in := b.KB.Instrument(f.Instrument); in != nil {
		name := cmp.Or(in.Title, in.ID)
		hint = append([]string{"With: " + sentence(name)}, hint...)
		b.want(name)
	}
	x.Hint = strings.Join(hint, " ")
	return x
}

// without says how to judge it without the instrument.
func without(s string) string {
	if strings.HasPrefix(s, "Not without") || strings.HasPrefix(s, "not without") {
		return report.Capital(sentence(s))
	}
	return "Without the instrument: " + sentence(s)
}

// want notes an instrument for the sign-off.
func (b *builder) want(name string) {
	if !slices.Contains(b.tools, name) {
		b.tools = append(b.tools, name)
	}
}

// symbol is the unit of an empty field.
func (b *builder) symbol(d unit.Dimension) string {
	s := unit.Standard(d).Symbol
	if p := unit.Preferred(d, cmp.Or(b.Units, "metric")); p != "" {
		s = p
	}
	if s == "1" || s == "off" {
		return ""
	}
	return s
}

// decided are the fields of a number that decides, with its limit as solved here.
func (b *builder) decided(target, joint string, x *Step) []Field {
	out := Field{Label: "Measured"}
	if t := b.target(target, joint); t != nil {
		x.Head, x.Text = report.Capital(t.Title), report.Capital(sentence(t.Limit))
		if t.Without != "" {
			x.Text += " " + without(t.Without)
		}
		x.Why += " Limit from: " + sentence(report.Origin(t.Source, t.Standing))
		out.Unit, out.Known = t.Unit, t.Measured
		if t.Measured != "" {
			out.Known += ": " + verdictWords(t.Verdict) + ", " + t.Margin
		}
	} else if t := b.KB.Target(target); t != nil {
		if f := b.KB.Fact(t.Fact); f != nil {
			out.Unit = b.symbol(f.Dim)
		}
	}
	return []Field{out, {Label: "So", Options: []string{"use as it is", "rework", "replace"}}}
}

func (b *builder) target(id, joint string) *engine.Target {
	for i, t := range b.Result.Targets {
		if t.ID == id && t.Joint == joint {
			return &b.Result.Targets[i]
		}
	}
	return nil
}

// retestID tells the steps of the retest among the checks.
var retestID = regexp.MustCompile(`^retest-(r[0-9]+)-`)

// proof is a step of the retest, for a line of the plan that is one.
func (b *builder) proof(st plan.Step, said map[string]bool) (*Proof, bool) {
	c := b.KB.Check(st.Check)
	if st.Part != "retest" || c == nil {
		return nil, false
	}
	p := &Proof{State: report.Capital(cmp.Or(c.Title, c.ID)), Time: duration(st.Minutes, st.Wait), Pass: c.How}
	if m := retestID.FindStringSubmatch(c.ID); m != nil {
		p.Mark = strings.ToUpper(m[1])
		if _, rest, ok := strings.Cut(p.State, ": "); ok {
			p.State = report.Capital(rest)
		}
		p.Done = b.retested(m[1])
	}
	for _, id := range st.Cautions {
		b.proofs[id] = true
		p.Warnings = append(p.Warnings, b.warn(id, said))
	}
	return p, true
}
