package report

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"seepwright/engine"
)

// The card is for a message on a phone.
const (
	cardLines = 20
	cardWidth = 40
)

// Card writes at most 20 lines of at most 40 letters: may I run it; the most likely place
// and why; do this next; the number to reach; do not; when to look again.
func Card(w io.Writer, r *engine.Result) error {
	var out []string
	put := func(label, text string, most int) {
		if text == "" {
			return
		}
		lines := strings.Split(strings.TrimRight(Wrap(label+text, cardWidth, 0, "", ""), "\n"), "\n")
		if len(lines) > most {
			lines = lines[:most]
			last := []rune(lines[most-1])
			if len(last) > cardWidth-3 {
				last = last[:cardWidth-3]
			}
			lines[most-1] = strings.TrimRight(string(last), " ,;:") + "..."
		}
		out = append(out, lines...)
	}
	run := RunWords(r.Run.Verdict)
	if r.Run.Limit != "" {
		run += ": " + r.Run.Limit
	} else if len(r.Run.Because) > 0 {
		run += ": " + r.Run.Because[0]
	}
	put("", run, 4)
	if list := Shown(r); len(list) > 0 && r.Run.Verdict != "dry" && !r.Cured {
		x := list[0]
		s := x.Title
		if len(r.Joints) > 1 && !x.Shared {
			s += ", " + joints(r)[x.Joint]
		}
		s += ", " + Odds(x.Probability)
		for _, b := range x.Because {
			if b.Factor > 1.05 {
				s += "; because " + b.Says
				break
			}
		}
		put("LIKELY: ", s, 4)
	}
	switch {
	case r.Cured:
		put("LOOK: ", r.Run.LookEvery, 3)
	case r.Run.Verdict == "dry":
		put("LOOK: ", r.Run.LookEvery, 3)
		for i, b := range r.Run.Because {
			if i == 0 {
				put("BECAUSE: ", b, 4)
			}
		}
	case r.Stop != nil && len(r.Stop.MakeSafe) > 0:
		put("NOW: ", r.Stop.MakeSafe[0], 3)
		put("THEN: ", r.Stop.ReferTo, 2)
	case r.Next != nil:
		s := r.Next.Title
		if len(r.Joints) > 1 && r.Next.Joint != "" {
			if t := joints(r)[r.Next.Joint]; t != "" {
				s += " (" + t + ")"
			}
		}
		put("NEXT: ", s+", "+Minutes(r.Next.Minutes), 4)
		put("THEN: ", firstMend(r), 2)
	default:
		put("DO: ", firstMend(r), 4)
	}
	if r.Run.Verdict != "dry" {
		put("", number(r), 3)
	}
	put("DO NOT: ", doNot(r), 3)
	put("LOOK AGAIN: ", r.Plan.LookAgain, 2)
	if len(out) > cardLines {
		out = out[:cardLines]
	}
	for _, l := range out {
		if utf8.RuneCountInString(l) > cardWidth {
			l = string([]rune(l)[:cardWidth])
		}
		if _, err := fmt.Fprintln(w, l); err != nil {
			return err
		}
	}
	return nil
}

// firstMend is the first thing that the plan would mend.
func firstMend(r *engine.Result) string {
	for _, s := range r.Plan.Steps {
		if s.Part == "mend" {
			return s.Action
		}
	}
	return ""
}

// number is the one figure to reach and the margin on these parts: a missed or unproven one
// first, then what still has to be measured.
func number(r *engine.Result) string {
	for _, verdict := range []string{"missed", "not proven", "not measured", "met"} {
		for _, t := range r.Targets {
			if t.Verdict != verdict || !t.Strict || strings.HasPrefix(t.Limit, "no figure") {
				continue
			}
			s := fmt.Sprintf("REACH: %s %s", t.Title, t.Limit)
			if t.Measured != "" {
				s += fmt.Sprintf("; is %s, %s", t.Measured, t.Margin)
			}
			return s
		}
	}
	return ""
}

// doNot is the first warning against doing something that is known to hold, or else the
// general one.
func doNot(r *engine.Result) string {
	for _, c := range r.Cautions {
		for _, lead := range []string{"Do not ", "Never "} {
			if rest, ok := strings.CutPrefix(c.Warning, lead); ok && c.Known {
				return rest
			}
		}
	}
	return "tighten more, or put goo over it, before you know why it leaks"
}
