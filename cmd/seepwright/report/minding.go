package report

import (
	"strings"

	"seepwright/engine"
)

// unruled is how many warnings the list at the end has at most where some of them are only
// not ruled out. What is known to hold is never left out.
const unruled = 8

// mindful is the practice that the answers call for: what was told was taken for a rule, and
// the rule says what to mind. It stands before the plan, because the plan is where it counts.
func (p *page) mindful(r *engine.Result) {
	first := true
	for _, c := range r.Cautions {
		if !c.Told {
			continue
		}
		if first {
			p.add(Heading, "Mind this, from what you said")
			first = false
		}
		p.add(Item, "%s", CautionWords(c))
	}
}

// cautions are the warnings that stand at no step of the plan: all that hold, and of those
// that nobody ruled out as many as the list has room for.
func (p *page) cautions(r *engine.Result, o Options) {
	said := map[string]bool{}
	if o.Plan && (r.Stop == nil || !r.Stop.Refuses) {
		for _, s := range r.Plan.Steps {
			for _, id := range s.Cautions {
				said[id] = true
			}
		}
	}
	first, shown, left := true, 0, 0
	for _, c := range r.Cautions {
		if said[c.ID] || c.Told {
			continue
		}
		if !c.Known && shown >= unruled {
			left++
			continue
		}
		if first {
			p.add(Heading, "Cautions (local codes and licensed practice come first)")
			first = false
		}
		shown++
		p.add(Item, "%s", CautionWords(c))
	}
	if left > 0 {
		p.add(Para, "And %d more that nobody has ruled out yet: answer the safety questions to shorten this list.", left)
	}
}

// tillThen is what may be done until it is mended, and what keeps it from coming back.
func (p *page) tillThen(r *engine.Result) {
	if len(r.Meanwhile) == 0 || r.Cured || r.Stop != nil && r.Stop.Refuses {
		return
	}
	p.add(Heading, "Until it is mended, and afterwards")
	names := joints(r)
	for _, m := range r.Meanwhile {
		title := m.Title
		if len(r.Joints) > 1 && m.Joint != "" {
			title = names[m.Joint] + ": " + title
		}
		switch m.Allowed {
		case "yes":
			p.add(Item, "%s, for the time being: %s. Limit: %s.", title, bare(m.Measure), bare(m.Limit))
		case "short":
			p.add(Item, "%s, for a short time: %s. Limit: %s.", title, bare(m.Measure), bare(m.Limit))
		default:
			p.add(Item, "%s: no temporary measure. If it is left: %s.", title, bare(m.IfIgnored))
		}
		if m.Prevent != "" {
			p.add(Note, "So that it does not come back: %s.", bare(m.Prevent))
		}
	}
	p.add(Para, "None of this changes whether it may run: that stands at the top.")
}

// bare is a sentence without its full stop.
func bare(s string) string { return strings.TrimSuffix(strings.TrimSpace(s), ".") }
