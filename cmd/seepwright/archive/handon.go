package archive

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"seepwright/cmd/seepwright/journal"
	"seepwright/engine/learn"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// dayZero is the day on which every case is opened that is handed on.
var dayZero = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// LeftOut counts what a case to hand on does not say any more.
type LeftOut map[string]int

// handing makes a case to hand on.
type handing struct {
	kb     *rules.Knowledge
	from   time.Time
	joints map[string]string // old id -> new
	access map[string]string
	words  map[string]string // circuits and twins -> new
	kinds  map[string]string // new joint id -> kind
	left   LeftOut
}

// HandOn is a copy of a case without personal data: nothing in it was typed freely. It keeps
// kinds of joints, answers that the knowledge base understands, readings, remedies and causes
// by their ids, minutes and how retests came out. Names, titles, notes, photos, parts, fluids
// and own words are left out; joints and steps of access get new names; and all times are moved
// together so that the case was opened on 2000-01-01, their distances to the minute.
func HandOn(c *journal.Case, kb *rules.Knowledge, asm *assembly.Assembly) (*journal.Case, LeftOut) {
	h := &handing{kb: kb, from: c.Head.Opened, joints: map[string]string{}, access: map[string]string{}, words: map[string]string{}, kinds: map[string]string{}, left: LeftOut{}}
	if h.from.IsZero() && len(c.Log) > 0 {
		h.from = c.Log[0].At
	}
	out := journal.New()
	h.unit(out, c, asm)
	out.Head = journal.Head{ID: "case", Title: "a case that was handed on", Unit: "unit", Opened: dayZero, Form: journal.Form}
	if !c.Head.Open() && slices.Contains(journal.Ends, c.Head.End) {
		out.Head.Closed, out.Head.End = h.time(c.Head.Closed), c.Head.End
	}
	h.gone("names of people", c.Head.By)
	h.gone("titles and names of units", c.Head.Title, c.Head.Unit)
	if slices.Contains(rules.Histories(), rules.History(c.File.History.Text)) {
		out.File.History.Text = c.File.History.Text
	}
	h.answers(out.File.Answers, c.File.Answers)
	for id, list := range c.File.Joints {
		if to, ok := h.joints[id]; ok {
			out.File.Joints[to] = map[string]rules.AnswerText{}
			h.answers(out.File.Joints[to], list)
			if len(out.File.Joints[to]) == 0 {
				delete(out.File.Joints, to)
			}
		}
	}
	for _, t := range c.File.Tried {
		kept := answer.Tried{Wet: t.Wet}
		kept.Joint.Text = h.joints[t.Joint.Text]
		for _, d := range t.Did {
			if h.remedy(d.Text) {
				kept.Did = append(kept.Did, answer.Word{Text: d.Text})
			}
		}
		if len(kept.Did) > 0 {
			out.File.Tried = append(out.File.Tried, kept)
		}
	}
	for _, p := range c.Proven {
		h.gone("own words", p.Said, p.Done)
		q := journal.Proven{Joint: h.joints[p.Joint]}
		if h.kb.Joint(p.Kind) != nil || p.Kind == learn.Shared {
			q.Kind = p.Kind
		}
		if h.cause(q.Kind, q.Joint, p.Cause) {
			q.Cause = p.Cause
		}
		out.Proven = append(out.Proven, q)
	}
	for _, m := range c.Confirmed {
		joint, id, ok := strings.Cut(m, "/")
		if !ok {
			joint, id = "", m
		}
		if h.kb.Fact(id) != nil && (joint == "" || h.joints[joint] != "") {
			out.Confirm(h.joints[joint], id)
		}
	}
	for _, e := range c.Log {
		if k, ok := h.entry(e); ok {
			out.Add(k)
		}
	}
	return out, h.left
}

func (h *handing) gone(what string, texts ...string) {
	for _, s := range texts {
		if s != "" {
			h.left[what]++
		}
	}
}

func (h *handing) time(t time.Time) time.Time {
	d := t.Sub(h.from).Truncate(time.Minute)
	return dayZero.Add(max(d, 0))
}

func (h *handing) remedy(id string) bool { return h.kb.Remedy(id) != nil }

func (h *handing) cause(kind, joint, id string) bool {
	if k := h.kinds[joint]; kind == "" {
		kind = k
	}
	return slices.ContainsFunc(h.kb.Causes, func(c *rules.Cause) bool { return c.ID == id && (c.Shared || kind == "" || c.For == kind) })
}

// unit copies the unit with new names.
func (h *handing) unit(out, c *journal.Case, asm *assembly.Assembly) {
	h.joints["joint"] = "joint"
	if h.kb.Joint(c.File.Joint.Text) != nil {
		out.File.Joint.Text = c.File.Joint.Text
		h.kinds["joint"] = c.File.Joint.Text
		return
	}
	if asm == nil {
		return
	}
	delete(h.joints, "joint")
	count := map[string]int{}
	for _, j := range asm.Joints {
		kind := j.Kind
		if h.kb.Joint(kind) == nil {
			kind = "unknown"
		}
		count[kind]++
		id := fmt.Sprintf("%s-%d", kind, count[kind])
		h.joints[j.ID], h.kinds[id] = id, kind
		h.gone("titles and names of units", j.Title)
	}
	for i, a := range asm.Access {
		h.access[a.ID] = fmt.Sprintf("access-%d", i+1)
		h.gone("titles and names of units", a.Title)
	}
	copied := &assembly.Assembly{Title: "unit", Answers: map[string]rules.AnswerText{}}
	h.answers(copied.Answers, asm.Answers)
	for _, t := range asm.Tools {
		if h.kb.Instrument(t) != nil {
			copied.Tools = append(copied.Tools, t)
		}
	}
	h.gone("parts and fluids", asm.Ready...)
	for _, j := range asm.Joints {
		id := h.joints[j.ID]
		k := assembly.Joint{
			ID: id, Kind: h.kinds[id], Like: h.word("alike", j.Like), Circuit: h.word("circuit", j.Circuit), Above: h.each(h.joints, j.Above), BlownFrom: h.each(h.joints, j.BlownFrom),
			Answers: map[string]rules.AnswerText{},
		}
		if slices.Contains([]string{"remade", "disturbed", "untouched"}, j.LastWork) {
			k.LastWork = j.LastWork
		}
		if slices.Contains([]string{"yes", "no"}, j.Leaked) {
			k.Leaked = j.Leaked
		}
		h.answers(k.Answers, j.Answers)
		copied.Joints = append(copied.Joints, k)
	}
	for _, a := range asm.Access {
		copied.Access = append(copied.Access, assembly.Access{ID: h.access[a.ID], Title: h.access[a.ID], Off: a.Off, Back: a.Back, Needs: h.each(h.access, a.Needs), Uncovers: h.each(h.joints, a.Uncovers)})
	}
	var b strings.Builder
	if _, err := copied.WriteTo(&b); err == nil && len(copied.Joints) > 0 {
		out.File.Assembly.Inline = []byte(b.String())
	}
}

// word gives each word of a sort a number in the order in which it comes.
func (h *handing) word(sort, s string) string {
	if s == "" {
		return ""
	}
	if h.words[sort+s] == "" {
		n := 1
		for k := range h.words {
			if strings.HasPrefix(k, sort) {
				n++
			}
		}
		h.words[sort+s] = fmt.Sprintf("%s-%d", sort, n)
	}
	return h.words[sort+s]
}

func (h *handing) each(names map[string]string, list []string) []string {
	var out []string
	for _, s := range list {
		if n, ok := names[s]; ok {
			out = append(out, n)
		}
	}
	return out
}

func (h *handing) answers(to, from map[string]rules.AnswerText) {
	for id, v := range from {
		if kept, ok := h.answer(id, v); ok {
			to[id] = kept
		}
	}
}

// answer keeps an answer that the knowledge base understands, as that writes it.
func (h *handing) answer(id string, v rules.AnswerText) (rules.AnswerText, bool) {
	f := h.kb.Fact(id)
	if f == nil {
		h.left["answers that the knowledge base does not understand"]++
		return v, false
	}
	x, bad := answer.Read(f, v, h.kb.Instruments)
	if x.State == "" || len(bad) > 0 && bad[0].Code != answer.ImplausibleCode {
		h.left["answers that the knowledge base does not understand"]++
		return v, false
	}
	out := answer.Write(x)
	if f.Answer == fact.Readings {
		for i, at := range out.At {
			if at != "" && !plain(at) {
				h.left["names of places of readings"]++
				out.At[i] = fmt.Sprintf("%d", i+1)
			}
		}
	}
	return out, true
}

// entry copies one entry of the log.
func (h *handing) entry(e journal.Entry) (journal.Entry, bool) {
	h.gone("names of people", e.By)
	h.gone("photos", e.Photos...)
	h.gone("parts and fluids", append(slices.Clone(e.Parts), e.Fluids...)...)
	out := journal.Entry{At: h.time(e.At), What: e.What, Joint: h.joints[e.Joint], Minutes: e.Minutes}
	if e.What == journal.Note {
		h.gone("notes", e.Said)
		return out, false
	}
	h.gone("own words", e.Said)
	if e.Joint != "" && out.Joint == "" {
		return out, false // of a joint that the unit has not
	}
	switch e.What {
	case journal.Answered, journal.Measured:
		v, ok := h.answer(e.Name, e.Value)
		if !ok {
			return out, false
		}
		out.Name, out.Value = e.Name, v
		if h.kb.Instrument(e.With) != nil {
			out.With = e.With
		}
	case journal.TookBack:
		out.Name = e.Name
		return out, h.kb.Fact(e.Name) != nil
	case journal.Ranked:
		for _, c := range e.Ranked {
			if j := h.joints[c.Joint]; h.cause("", j, c.Cause) {
				out.Ranked = append(out.Ranked, journal.Chance{Joint: j, Cause: c.Cause, Chance: c.Chance})
			}
		}
		if slices.Contains([]string{"stop", "watched", "leave", "dry", "run"}, e.Run) {
			out.Run = e.Run
		}
		return out, len(out.Ranked) > 0
	case journal.Opened:
		out.Name = h.access[e.Name]
		if out.Name == "" {
			out.Name = h.joints[e.Name]
		}
		return out, out.Name != ""
	case journal.Did:
		for _, id := range e.Did {
			if h.remedy(id) {
				out.Did = append(out.Did, id)
			}
		}
	case journal.Retest:
		f := h.kb.Fact("dry-at-retest")
		if e.Name != journal.AsItStands && (f == nil || !slices.ContainsFunc(f.Options, func(o rules.Option) bool { return o.ID == e.Name })) {
			return out, false
		}
		out.Name = e.Name
		if slices.Contains(journal.Tissues, e.Tissue) {
			out.Tissue = e.Tissue
		}
		out.Amount, out.Gauge, out.Temperature, out.Level = h.figures(e.Amount), h.figures(e.Gauge), h.figures(e.Temperature), h.figures(e.Level)
	case journal.Closed:
		out.Name = e.Name
		return out, slices.Contains(journal.Ends, e.Name)
	case journal.Reopened:
	default:
		return out, false
	}
	return out, true
}

// figures keeps a text that holds nothing but figures, units and the words between them.
func (h *handing) figures(s string) string {
	if s == "" || plain(s) {
		return s
	}
	h.left["own words"]++
	return ""
}

var numeral = regexp.MustCompile(`^[+-]?[0-9]+([.,:][0-9]+)?$`)

// plain reports whether a text holds nothing but figures, units and the words between them.
func plain(s string) bool {
	for w := range strings.FieldsFuncSeq(s, func(r rune) bool { return strings.ContainsRune(" ;,()/", r) }) {
		w = strings.TrimSuffix(w, ":")
		if numeral.MatchString(w) || slices.Contains([]string{"to", "a", "an", "in", "after", "at", "drop", "drops", "the", "same", "o'clock", "+/-", "-", "line"}, w) {
			continue
		}
		if _, ok := unit.ByName(w); !ok {
			return false
		}
	}
	return true
}
