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
	if last := w.c[len(w.c)-1]; last.dry < enough && !slices.ContainsFunc(w.c, stroke.opens) {
		if s, ok := w.b.stripDown(last); ok {
			w.c = append(w.c, s)
			w.plan.Sums = append(w.plan.Sums, w.orElse())
		}
	}
	all := w.c
	for k, s := range all {
		if !s.opens() {
			continue
		}
		if w.p.refuses(rules.UnderPressure) { // a try would be looked at while it runs
			w.c = all[k:]
			return nil
		}
		apart := w.apart(s)
		if k == 0 || all[k-1].dry >= enough && !apart {
			return nil
		}
		w.c = all[k:]
		if apart {
			return nil // it lies open already: what needs no opening is done in the same go
		}
		return all[:k]
	}
	return nil
}

// worthWriting is the chance of dry from which on a strip-down is written although the last
// resort costs no more: most people open it all the same.
const worthWriting = 0.3

// orElse says that the last resort is no dearer.
func (w *writer) orElse() string {
	return fmt.Sprintf("by these odds another unit, or sending the part out, costs no more in the end than opening it (about %s min): decide that before a spanner is set", minutes(w.b.resort))
}

// apart reports whether all that an attempt opens lies open already.
func (w *writer) apart(s stroke) bool {
	return s.opens() && !slices.ContainsFunc(s.joints, func(j int) bool { return !w.b.opened[j] })
}

// opens reports whether an attempt opens a joint.
func (s stroke) opens() bool { return len(s.joints) > 0 }

// stripDown is the search of the joint that gains most per minute, for readers who will open
// it although the last resort is no dearer.
func (b *bench) stripDown(last stroke) (stroke, bool) {
	var win stroke
	best := 0.0
	for j := range b.n {
		s := stroke{looks: true, joints: []int{j}, failed: b.resort}
		off, back := b.access(s.joints)
		s.minutes = off + back + b.retest + b.looking[j]
		gain := 0.0
		for _, k := range b.at[j] {
			c := &b.cures[k]
			m := b.mass(c)
			if m < 1e-3 {
				continue
			}
			s.cures = append(s.cures, k)
			gain += m
			s.minutes += m * c.minutes
		}
		gain = min(1, gain) * b.found * b.pass[j] * (1 - last.dry)
		if rate := gain / s.minutes; rate > best && gain > 0 {
			s.dry = min(1, last.dry+gain)
			win, best = s, rate
		}
	}
	return win, best > 0
}

// tryFirst writes the attempts that open nothing as a part of their own, with the look that
// ends them.
func (w *writer) tryFirst(tries []stroke) {
	if len(tries) == 0 {
		return
	}
	minutesOf := 0.0
	for _, s := range tries {
		n := len(w.plan.Steps)
		s.extras = nil
		w.mend(s)
		for i := range w.plan.Steps[n:] {
			w.plan.Steps[n+i].Part = "try"
		}
		minutesOf += s.minutes
	}
	last := tries[len(tries)-1]
	w.add(Step{Part: "try", Action: "Run it with somebody there, look with dry tissue, and again cold next morning. Dry: stop here", Stage: string(rules.Running), Minutes: 10, Why: "nothing is opened that need not be"})
	w.plan.Sums = append(w.plan.Sums, fmt.Sprintf("first without opening anything: about %s min, %.0f in 100 that it is dry after it", minutes(minutesOf), 100*last.dry))
}
