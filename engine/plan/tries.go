package plan

import (
	"fmt"
	"slices"

	"seepwright/rules"
)

// enough is the chance of dry from which cheap attempts are a plan of their own. Below it the
// strip-down is written behind them, because most readers will need it.
const enough = 0.5

// tries takes the attempts that open nothing from the front of the course, where a strip-down
// follows that is more likely to be needed than not.
func (w *writer) tries() []stroke {
	if last := w.c.strokes[len(w.c.strokes)-1]; last.dry < enough && !w.c.opens() {
		if s, ok := w.p.stripDown(w.b, w.c); ok {
			w.c.strokes = append(w.c.strokes, s)
			w.plan.Sums = append(w.plan.Sums, fmt.Sprintf("by these odds another unit, or sending the part out, costs no more in the end than opening it (about %s min): decide that before a spanner is set", minutes(w.b.resort)))
		}
	}
	all := w.c.strokes
	for k, s := range all {
		if len(s.joints) == 0 {
			continue
		}
		apart := w.apart(s)
		if k == 0 || all[k-1].dry >= enough && !apart {
			return nil
		}
		w.c = w.p.from(w.b, w.c, k)
		if apart {
			return nil // it lies open already: what needs no opening is done in the same go
		}
		return all[:k]
	}
	return nil
}

// apart reports whether all that an attempt opens lies open already.
func (w *writer) apart(s stroke) bool {
	return len(s.joints) > 0 && !slices.ContainsFunc(s.joints, func(j int) bool { return !w.b.opened[j] })
}

// opens reports whether any attempt of the course opens a joint.
func (c course) opens() bool {
	return slices.ContainsFunc(c.strokes, func(s stroke) bool { return len(s.joints) > 0 })
}

// stripDown is the best attempt that opens a joint, for readers who will open it although the
// last resort is no dearer.
func (p *Problem) stripDown(b *bench, c course) (stroke, bool) {
	x := b.now.untreated(&b.layout)
	done := make([]bool, len(b.cures))
	dry := 0.0
	for _, s := range c.strokes {
		for _, i := range s.cures {
			done[i] = true
			x.treat(&b.cures[i], s.found)
		}
		dry = s.dry
	}
	before := x.dry()
	var win stroke
	rate := 0.0
	for place := range b.n {
		b.grow(&x, place, true, done, before, func(s stroke, after float64) {
			gain := (after - before) * b.passOf(s)
			if len(s.joints) > 0 && gain/s.minutes > rate {
				win, rate = s, gain/s.minutes
				win.dry = min(1, dry+gain)
			}
		})
	}
	return win, rate > 0
}

// from is the course that is left when its first k attempts have not helped.
func (p *Problem) from(b *bench, c course, k int) course {
	out := course{strokes: c.strokes[k:], minutes: c.minutes}
	left, rest := 1-out.strokes[0].dry, 0.0
	whole := left
	for _, s := range out.strokes[1:] {
		rest += left * s.minutes
		left = 1 - s.dry
	}
	if rest += left * b.resort; whole > 1e-6 {
		out.failure = rest / whole
	}
	p.addAnyway(b, &out)
	return out
}

// tryFirst writes the attempts that open nothing as a part of their own, with the look that
// ends them.
func (w *writer) tryFirst(tries []stroke) {
	if len(tries) == 0 {
		return
	}
	extras := w.c.extras
	w.c.extras = nil
	minutesOf := 0.0
	for _, s := range tries {
		n := len(w.plan.Steps)
		w.mend(s)
		for i := range w.plan.Steps[n:] {
			w.plan.Steps[n+i].Part = "try"
		}
		minutesOf += s.minutes
	}
	w.c.extras = extras
	last := tries[len(tries)-1]
	w.add(Step{Part: "try", Action: "Run it with somebody there, look with dry tissue, and again cold next morning. Dry: stop here", Stage: string(rules.Running), Minutes: 10, Why: "nothing is opened that need not be"})
	w.plan.Sums = append(w.plan.Sums, fmt.Sprintf("first without opening anything: about %s min, %.0f in 100 that it is dry after it", minutes(minutesOf), 100*last.dry))
}
