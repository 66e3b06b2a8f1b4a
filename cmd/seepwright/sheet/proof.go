package sheet

import (
	"cmp"
	"slices"
	"strings"

	"seepwright/cmd/seepwright/report"
)

// The fact that holds at which steps of the retest a joint was dry; its options are R0, R1 ...
const dryAtRetest = "dry-at-retest"

// retested says what is known of one step of the retest: from the record, else from the answers.
func (b *builder) retested(step string) []string {
	f := b.KB.Fact(dryAtRetest)
	n := 0
	for _, d := range strings.TrimPrefix(step, "r") {
		n = 10*n + int(d-'0')
	}
	if f == nil || n >= len(f.Options) {
		return nil
	}
	option := f.Options[n].ID
	var out []string
	logged := map[string]bool{}
	for _, t := range b.Record.Retests {
		if t.Step != option {
			continue
		}
		logged[t.Joint] = true
		var said []string
		for _, x := range []string{t.Tissue, t.Amount, t.Temperature, t.Gauge} {
			if x != "" {
				said = append(said, x)
			}
		}
		if t.Minutes > 0 {
			said = append(said, report.Minutes(t.Minutes))
		}
		out = append(out, strings.TrimSpace(b.place(t.Joint)+moment(t.At)+" "+strings.Join(said, ", ")))
	}
	for _, g := range b.Result.Findings {
		v, ok := g.Value.(map[string][]string)
		if g.Fact != dryAtRetest || !ok || logged[g.Joint] || logged[""] {
			continue
		}
		switch {
		case slices.Contains(v["is"], option):
			out = append(out, b.place(g.Joint)+"dry, as answered")
		case slices.Contains(v["not"], option):
			out = append(out, b.place(g.Joint)+"NOT dry, as answered")
		}
	}
	return out
}

// place names the joint before what is said of it.
func (b *builder) place(joint string) string {
	if t := cmp.Or(b.titles[joint], joint); t != "" && len(b.Result.Joints) > 1 {
		return t + ": "
	}
	return ""
}

// proofHead says once how the retest is judged.
func (b *builder) proofHead(s *Section) {
	if slices.ContainsFunc(s.Items, func(i Item) bool { return i.Proof != nil }) {
		s.Says = "In this order, each for the whole of its time. Dry tissue passes a joint, a steady needle does not. Wet at an early step is the least lost: go back."
	}
}

// again says when to look after the repair.
func (b *builder) again() Section {
	s := Section{ID: "again", Title: "When to look again"}
	said := b.Result.Plan.LookAgain
	if b.over() {
		said = b.Result.Run.LookEvery
	}
	if said == "" {
		return s
	}
	s.Items = append(s.Items, Item{Text: report.Capital(sentence(said))})
	for range 3 {
		s.Items = append(s.Items, Item{Field: &Field{Label: "Looked on (date), seen", Long: true}})
	}
	return s
}

// leadOf is the chance from which on the stop-gap of a cause is worth a line.
const leadOf = 0.1

// meanwhile are the measures that may stand for a while, each with its limit and a date; none
// where the machine must not run.
func (b *builder) meanwhile() Section {
	s := Section{ID: "meanwhile", Title: "Until it can be mended", Says: "Only within what the run verdict allows, only for the cause that is proved, and only to the date."}
	if b.over() || b.Result.Run.Verdict == "stop" {
		return s
	}
	var said []string
	for _, x := range report.Shown(b.Result) {
		c := b.KB.Cause(x.Kind + "/" + x.Cause)
		if c == nil || x.Probability < leadOf || c.StopGap.Measure == "" || c.StopGap.Allowed == "no" || slices.Contains(said, c.StopGap.Measure) {
			continue
		}
		said = append(said, c.StopGap.Measure)
		text := x.Title + ": " + sentence(c.StopGap.Measure)
		if c.StopGap.Limit != "" {
			text += " Limit: " + sentence(c.StopGap.Limit)
		}
		s.Items = append(s.Items, Item{Tick: text}, Item{Field: &Field{Label: "Fitted on (date), by", Long: true}}, Item{Field: &Field{Label: "Off again at the latest on (date)", Long: true}})
	}
	return s
}

// mostTools is how many instruments of the sheet have a line of their own in the sign-off.
const mostTools = 5

// sign is the sign-off.
func (b *builder) sign(refused bool) Section {
	s := Section{ID: "sign", Title: "Signed"}
	line := func(label string) { s.Items = append(s.Items, Item{Field: &Field{Label: label, Long: true}}) }
	if refused {
		line("Made safe by (name, date, time)")
		line("Handed over to (name, date, time)")
		return s
	}
	line("Done by (name)")
	line("Date and time")
	for _, t := range b.tools[:min(mostTools, len(b.tools))] {
		line(report.Capital(t) + ": its number, calibrated on (date)")
	}
	line("Other instrument: its number, calibrated on (date)")
	line("What was left undone")
	line("Why, and who does it by when")
	return s
}
