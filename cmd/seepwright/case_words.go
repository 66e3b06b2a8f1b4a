package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seepwright/cmd/seepwright/journal"
	"seepwright/cmd/seepwright/report"
	"seepwright/engine"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/fact"
)

// caseWords puts ids of a case into words. What the knowledge does not know keeps its id, so
// that an old record can always be shown.
type caseWords struct {
	kb     *rules.Knowledge
	titles map[string]string // of joints
	kinds  map[string]string // of joints
}

func (a *app) wordsOf(c *journal.Case) caseWords {
	w := caseWords{kb: &rules.Knowledge{}, titles: map[string]string{}, kinds: map[string]string{}}
	_, kinds, err := a.overlaid(nil)
	if err != nil {
		return w
	}
	asm, _, err := a.assemblyFor(start{}, c.File, kinds)
	if err != nil || asm == nil {
		return w
	}
	for _, j := range asm.Joints {
		w.kinds[j.ID] = j.Kind
		if len(asm.Joints) > 1 {
			w.titles[j.ID] = j.Title
			if j.Title == "" {
				w.titles[j.ID] = j.ID
			}
		}
	}
	known := slices.DeleteFunc(asm.Kinds(), func(k string) bool { return !slices.Contains(kinds, k) })
	if k, err := a.knowledge(nil, known...); err == nil && len(known) > 0 {
		w.kb = k
	}
	return w
}

func (w caseWords) joint(id string) string {
	if t := w.titles[id]; t != "" {
		return t
	}
	if _, known := w.kinds[id]; known || id == "" {
		return ""
	}
	return id
}

func (w caseWords) cause(joint, kind, id string) string {
	if kind == "" {
		kind = w.kinds[joint]
	}
	for _, only := range w.kinds {
		if kind == "" && len(w.kinds) == 1 {
			kind = only
		}
	}
	if c := w.kb.Cause(kind + "/" + id); c != nil {
		return c.Title
	}
	for _, c := range w.kb.Causes {
		if c.Shared && c.ID == id {
			return c.Title
		}
	}
	return strings.ReplaceAll(id, "-", " ")
}

func (w caseWords) fact(id string) string {
	if f := w.kb.Fact(id); f != nil && f.Title != "" {
		return f.Title
	}
	return strings.ReplaceAll(id, "-", " ")
}

func (w caseWords) value(id string, v rules.AnswerText) string {
	if f := w.kb.Fact(id); f != nil {
		if x, _ := answer.Read(f, v, w.kb.Instruments); x.State != "" {
			return engine.Say(f, x)
		}
	}
	return answerWords(v)
}

// answerWords is an answer as it was written.
func answerWords(v rules.AnswerText) string {
	switch {
	case len(v.Is)+len(v.Not) > 0:
		s := strings.Join(v.Is, ", ")
		if len(v.Not) > 0 {
			s += "; not " + strings.Join(v.Not, ", ")
		}
		return s
	case len(v.List) > 0:
		var out []string
		for i, x := range v.List {
			if i < len(v.At) && v.At[i] != "" {
				x = v.At[i] + ": " + x
			}
			out = append(out, x)
		}
		return strings.Join(out, ", ") + " " + v.Unit
	}
	return strings.TrimSpace(v.Scalar + " " + v.Unit)
}

// entry is one line of the log in words.
func (w caseWords) entry(e journal.Entry) string {
	at := ""
	if n := w.joint(e.Joint); n != "" {
		at = n + ": "
	}
	var parts []string
	put := func(format string, args ...any) { parts = append(parts, fmt.Sprintf(format, args...)) }
	switch e.What {
	case journal.Answered:
		put("%s = %s", w.fact(e.Name), w.value(e.Name, e.Value))
	case journal.Measured:
		put("measured %s = %s", w.fact(e.Name), w.value(e.Name, e.Value))
		if e.With != "" {
			put("with %s", e.With)
		}
	case journal.TookBack:
		put("took back: %s", w.fact(e.Name))
	case journal.Ranked:
		var list []string
		for _, c := range e.Ranked {
			s := w.cause(c.Joint, "", c.Cause)
			if n := w.joint(c.Joint); n != "" {
				s += " (" + n + ")"
			}
			list = append(list, s+" "+percent(c.Chance))
		}
		put("thought then: %s", strings.Join(list, ", "))
		if e.Run != "" {
			put("%s", report.RunWords(e.Run))
		}
	case journal.Note:
		put("note: %s", e.Said)
	case journal.Opened:
		put("opened: %s", w.opened(e.Name))
	case journal.Did:
		var list []string
		for _, id := range e.Did {
			t := strings.ReplaceAll(id, "-", " ")
			if r := w.kb.Remedy(id); r != nil {
				t = r.Title
			}
			list = append(list, t)
		}
		put("did: %s", strings.Join(list, ", "))
	case journal.Retest:
		put("retest, %s: %s", w.step(e.Name), e.Tissue)
		for _, x := range [][2]string{{"amount", e.Amount}, {"gauge", e.Gauge}, {"temperature", e.Temperature}, {"level", e.Level}} {
			if x[1] != "" {
				put("%s %s", x[0], x[1])
			}
		}
	case journal.Closed:
		put("%s", endWords(e.Name))
	case journal.Reopened:
		put("opened again: %s", e.Said)
	}
	if e.Said != "" && e.What != journal.Note && e.What != journal.Reopened {
		if e.What == journal.Did && len(e.Did) == 0 {
			parts[0] += e.Said
		} else {
			put("%s", e.Said)
		}
	}
	if len(e.Parts) > 0 {
		put("parts: %s", strings.Join(e.Parts, ", "))
	}
	if len(e.Fluids) > 0 {
		put("used: %s", strings.Join(e.Fluids, ", "))
	}
	if e.Minutes > 0 {
		put("%s min", strconv.FormatFloat(e.Minutes, 'f', -1, 64))
	}
	if len(e.Photos) > 0 {
		put("photos: %s", strings.Join(e.Photos, ", "))
	}
	return at + strings.Join(parts, "; ")
}

// percent is a chance of the log. Ranked chances are kept in hundredths.
func percent(p float64) string {
	if p < 0.01 {
		return "below 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}

func (w caseWords) opened(name string) string {
	if n := w.joint(name); n != "" {
		return n
	}
	return name
}

// step is a step of the retest in words.
func (w caseWords) step(id string) string {
	if f := w.kb.Fact("dry-at-retest"); f != nil {
		return engine.Say(f, fact.MakeSeveral([]string{id}, nil))
	}
	return strings.ReplaceAll(id, "-", " ")
}
