package report

import (
	"fmt"

	"seepwright/engine/learn"
	"seepwright/rules/unit"
)

// Learned is what confirmed outcomes make of the shares.
type Learned struct {
	From   string
	Worth  float64
	Groups []learn.Group
	Aside  []learn.Outcome                            // without a dry retest
	Says   func(r learn.Row, n, worth float64) string // one share in a sentence
	Wrote  []string                                   // files
	Use    string                                     // the command that uses them, "" when nothing was written
}

// View says every share that the outcomes speak for, before and after, and the rest in a sum.
func (l Learned) View() []Block {
	p := &page{}
	n, none := 0.0, 0.0
	for _, g := range l.Groups {
		n += g.N
		none += g.NotListed
	}
	p.add(Verdict, "%s confirmed cases in %s; the shares of the knowledge base count as %s cases each.", unit.Show(n+none, 4), l.From, unit.Show(l.Worth, 4))
	for _, o := range l.Aside {
		p.add(Item, "%s: not closed by a dry retest, so it counts for nothing", o.Place)
	}
	for _, g := range l.Groups {
		p.add(Heading, "%s, %s", g.Kind, g.History)
		rest, restAfter, others := 0.0, 0.0, 0
		for _, r := range g.Rows {
			if r.Count == 0 {
				rest, restAfter, others = rest+r.Before, restAfter+r.After, others+1
				continue
			}
			p.add(Item, "%s (%s): %s", r.Cause.Title, r.Cause.ID, l.Says(r, g.N, l.Worth))
		}
		if others > 0 && g.N > 0 {
			p.add(Para, "The other %d causes together: %s %% before, now %s %%.", others, unit.Show(100*rest, 3), unit.Show(100*restAfter, 3))
		}
		if g.NotListed > 0 {
			p.add(Para, "%s more had a cause that is not in this knowledge base. They move no share; a cause that comes up again deserves a document of its own: seepwright kb new cause.", unit.Show(g.NotListed, 4))
		}
	}
	p.add(Heading, "What became of it")
	if l.Use == "" {
		p.add(Para, "Nothing was written. With --write DIR these shares are laid in a folder of yours.")
		return p.blocks
	}
	for _, f := range l.Wrote {
		p.add(Item, "%s", f)
	}
	p.add(Para, "Use them with: %s", l.Use)
	return p.blocks
}

// JSON is the same for a program, with every cause.
func (l Learned) JSON() any {
	groups := []map[string]any{}
	for _, g := range l.Groups {
		rows := []map[string]any{}
		for _, r := range g.Rows {
			rows = append(rows, map[string]any{"cause": r.Cause.ID, "title": r.Cause.Title, "before": r.Before, "count": r.Count, "after": r.After})
		}
		groups = append(groups, map[string]any{"kind": g.Kind, "history": g.History, "cases": g.N, "not_listed": g.NotListed, "shares": rows})
	}
	aside, wrote := []string{}, []string{}
	for _, o := range l.Aside {
		aside = append(aside, fmt.Sprint(o.Place))
	}
	return map[string]any{"schema": 1, "outcomes": l.From, "worth": l.Worth, "groups": groups, "set_aside": aside, "wrote": append(wrote, l.Wrote...)}
}
