package archive

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Words turns ids into what is shown; what it does not know it gives back with blanks.
type Words struct {
	Kind   func(kind string) string
	Cause  func(kind, cause string) string
	Remedy func(id string) string
	Wrap   func(text, lead, pad string) string // one paragraph, broken into lines, with its end
}

// shownUnits and shownAgain are how many units and joints a summary shows in full.
const (
	shownUnits  = 20
	shownCauses = 8
	shownAgain  = 10
	shownWork   = 10
)

// Text is the summary to be read.
func (s Summary) Text(w Words) string {
	var b strings.Builder
	say := func(lead, format string, args ...any) {
		b.WriteString(w.Wrap(fmt.Sprintf(format, args...), lead, strings.Repeat(" ", len(lead))))
	}
	head := func(title string) { b.WriteString("\n" + title + "\n" + strings.Repeat("-", len(title)) + "\n") }
	if s.Cases == 0 {
		say("", "There is no case to put together.")
	} else {
		say("", "%s from %s to %s: %d open, %d closed dry, %d ended otherwise.", count(s.Cases, "case"), day(s.First), day(s.Last), s.Open, s.Dry, s.Other)
	}
	for _, u := range s.Unread {
		why := u.Why
		if !strings.Contains(why, u.Path) {
			why = u.Path + ": " + why
		}
		say("", "Cannot be read, and does not count: %s", why)
	}
	if s.Cases == 0 {
		return b.String()
	}
	head("What failed where")
	s.failed(say, w)
	head("How long repairs last")
	s.last(say, w)
	head("First retest after work")
	if n := s.Retest.Passed + s.Retest.Failed; n > 0 {
		say("", "%d of %d cases passed, %d did not. Of %s that ended no retest was logged.", s.Retest.Passed, n, s.Retest.Failed, count(s.Retest.None, "case"))
	} else {
		say("", "No retest after work is logged.")
	}
	head("Minutes")
	if s.Time.All == 0 {
		say("", "No minutes are written down.")
		return b.String()
	}
	say("", "%s written down in all.", minutes(s.Time.All))
	if s.Time.Jobs > 0 {
		say("", "Of %s with named remedies: %s spent, %s planned by the knowledge base, without opening (%+.0f %%).", count(s.Time.Jobs, "job"), minutes(s.Time.Spent), minutes(s.Time.Planned), 100*(s.Time.Spent/s.Time.Planned-1))
	}
	for i, x := range s.Work {
		if i == shownWork {
			say("  ", "and %d more ways of work.", len(s.Work)-i)
			break
		}
		var did []string
		for _, id := range x.Did {
			did = append(did, w.Remedy(id))
		}
		say("  ", "%s: %s each, %.0f planned, %s", strings.Join(did, " + "), minutes(x.Spent/float64(x.Times)), x.Planned/float64(x.Times), times(x.Times))
	}
	return b.String()
}

func (s Summary) failed(say func(lead, format string, args ...any), w Words) {
	if len(s.Failed) == 0 {
		say("", "Nothing is proven yet.")
		return
	}
	type group struct {
		unit string
		n    int
		rows []Failed
	}
	var units []*group
	for _, f := range s.Failed {
		i := slices.IndexFunc(units, func(g *group) bool { return g.unit == f.Unit })
		if i < 0 {
			units = append(units, &group{unit: f.Unit})
			i = len(units) - 1
		}
		units[i].n += f.Cases
		units[i].rows = append(units[i].rows, f)
	}
	slices.SortStableFunc(units, func(a, b *group) int { return cmp.Compare(b.n, a.n) })
	for i, g := range units {
		if i == shownUnits {
			say("", "and %d more units; --format json has them all.", len(units)-i)
			return
		}
		unit := g.unit
		if unit == "" {
			unit = "units that are not named"
		}
		say("", "%s: %d", unit, g.n)
		for j, f := range g.rows {
			if j == shownCauses {
				say("      ", "and %d more", len(g.rows)-j)
				break
			}
			what := "told in words"
			if f.Cause != "" {
				what = w.Cause(f.Kind, f.Cause)
			}
			at := f.Joint
			switch {
			case f.Kind == "shared":
				at = "whole unit"
			case f.Kind != "" && at != "":
				at += " (" + w.Kind(f.Kind) + ")"
			case at == "":
				at = w.Kind(f.Kind)
			}
			if at != "" {
				what = at + ": " + what
			}
			say(fmt.Sprintf("%4d  ", f.Cases), "%s", what)
		}
	}
}

func (s Summary) last(say func(lead, format string, args ...any), w Words) {
	l := s.Lasted
	if l.Repairs == 0 {
		say("", "No case of a named unit was closed dry.")
	} else {
		say("", "%s closed dry: %d leaked again at the same joint, %d still hold as far as is known.", count(l.Repairs, "repair"), l.Again, l.Hold)
		say("", "%s", l.median())
		for _, a := range l.After {
			if a.Share == 1 {
				say("  ", "dry after %s: all of %d that were watched longer", span(a.Days), a.Watched)
				continue
			}
			say("  ", "dry after %s: %.0f %% (95 %% limits %.0f to %.0f %%; %d watched longer)", span(a.Days), 100*a.Share, 100*a.Low, 100*a.High, a.Watched)
		}
	}
	if l.Unnamed > 0 {
		say("", "Left out: %s of no named unit, of which nobody can say whether they held.", count(l.Unnamed, "dry closing"))
	}
	for _, k := range s.Kinds {
		if k.Again > 0 && len(s.Kinds) > 1 {
			say("  ", "%s: %s, %d leaked again. %s", w.Kind(k.Kind), count(k.Repairs, "repair"), k.Again, k.median())
		}
	}
	for i, a := range s.Again {
		if i == shownAgain {
			say("  ", "and %d more joints that leaked again.", len(s.Again)-i)
			break
		}
		at := a.Unit
		if a.Joint != "" {
			at += ", " + a.Joint
		}
		say("  ", "again: %s: %s after %s, soonest after %s", at, times(a.Times), count(a.Repairs, "repair"), days(a.Shortest))
	}
	if l.Repairs > 0 {
		say("", "How it is reckoned: product-limit estimate; a repair that still holds counts up to today, one whose unit was replaced up to then.")
	}
}

func (l Lasted) median() string {
	switch {
	case l.Median != nil:
		return fmt.Sprintf("Half last %s or less (of %s, %d of which leaked again).", days(*l.Median), count(l.Repairs, "repair"), l.Again)
	case l.Again == 0:
		return fmt.Sprintf("None has leaked again in up to %s.", days(l.Longest))
	}
	return fmt.Sprintf("More than half hold, so there is no middle one yet (of %s, watched up to %s).", count(l.Repairs, "repair"), days(l.Longest))
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

func day(t time.Time) string { return t.Local().Format(time.DateOnly) }

func days(d float64) string {
	if d < 1 {
		return "less than a day"
	}
	return count(int(d+0.5), "day")
}

func span(days int) string {
	switch days {
	case 7:
		return "a week"
	case 365:
		return "a year"
	case 730:
		return "two years"
	}
	return count(days, "day")
}

func minutes(m float64) string {
	if m >= 600 {
		return fmt.Sprintf("%.0f h", m/60)
	}
	return fmt.Sprintf("%.0f min", m)
}
