package journal

import (
	"slices"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"seepwright/rules"
)

// Entry is one line of the log: when, what, and what belongs to it.
type Entry struct {
	At     time.Time
	By     string
	Joint  string // joint id, "" for the whole unit
	What   What
	Name   string           // Answered, Measured, TookBack: the fact; Retest: the step, an option of dry-at-retest, or AsItStands; Closed: one of Ends
	Value  rules.AnswerText // Answered, Measured
	With   string           // Measured: the instrument
	Said   string           // in one's own words: the note, what was done, why
	Did    []string         // Did: ids of remedies
	Parts  []string         // parts used
	Fluids []string         // fluids, lubricants and sealants used
	Photos []string         // paths, as seen from the file

	Minutes     float64 // hands-on, or how long a state was held
	Ranked      []Chance
	Run         string // the verdict then: stop, watched, leave, dry
	Next        string // what was to be done next, as said
	Tissue      string // Retest: dry, damp or wet
	Amount      string // Retest: how much, as "a drop a minute"
	Gauge       string // Retest: "1.0 bar to 0.98 bar"
	Temperature string // Retest: "18 C to 21 C"
	Level       string // Retest: what the level did
}

// What is the kind of an entry; it is also the key that the entry has in the file.
type What string

// The kinds of entries.
const (
	Answered What = "answered"
	TookBack What = "took back"
	Measured What = "measured"
	Ranked   What = "ranked"
	Note     What = "note"
	Did      What = "did"
	Opened   What = "opened" // a joint, or an access step, was opened
	Retest   What = "retest"
	Closed   What = "closed"
	Reopened What = "reopened"
)

// AsItStands is the step of a retest of which was only said that it was dry or wet.
const AsItStands = "as-it-stands"

// Tissues are what a tissue can show.
var Tissues = []string{"dry", "damp", "wet"}

// Chance is one cause as it was ranked then.
type Chance struct {
	Joint  string
	Cause  string
	Chance float64 // 0 to 1
}

func (c *Chance) fields() []field {
	return []field{{"joint", &c.Joint}, {"cause", &c.Cause}, {"chance", &c.Chance}}
}

// leads is where the value of the leading key goes, by kind.
func (e *Entry) leads() map[What]any {
	return map[What]any{
		Answered: &e.Name, TookBack: &e.Name, Measured: &e.Name, Ranked: &e.Ranked, Note: &e.Said,
		Did: &e.Did, Opened: &e.Name, Retest: &e.Name, Closed: &e.Name, Reopened: &e.Said,
	}
}

// fields are the keys that an entry of its kind may have.
func (e *Entry) fields() []field {
	list := []field{{"at", &e.At}, {"by", &e.By}, {string(e.What), e.leads()[e.What]}, {"joint", &e.Joint}}
	own := map[What][]field{
		Answered: {{"value", &e.Value}},
		Measured: {{"value", &e.Value}, {"with", &e.With}},
		Ranked:   {{"run", &e.Run}, {"next", &e.Next}},
		Did:      {{"parts", &e.Parts}, {"fluids", &e.Fluids}, {"minutes", &e.Minutes}},
		Opened:   {{"minutes", &e.Minutes}},
		Retest: {{"tissue", &e.Tissue}, {"amount", &e.Amount}, {"gauge", &e.Gauge}, {"temperature", &e.Temperature},
			{"level", &e.Level}, {"minutes", &e.Minutes}},
	}
	list = append(list, own[e.What]...)
	if e.leads()[e.What] != any(&e.Said) {
		list = append(list, field{"said", &e.Said})
	}
	return append(list, field{"photos", &e.Photos})
}

// kinds lists what an entry can be.
func kinds() []string {
	return []string{string(Answered), string(TookBack), string(Measured), string(Ranked), string(Note), string(Did), string(Opened), string(Retest), string(Closed), string(Reopened)}
}

// entry reads one line of the log.
func (r *sectionReader) entry(n *yaml.Node) (e Entry, ok bool) {
	if n.Kind != yaml.MappingNode {
		r.fail(n, "", "this is no entry of the log")
		return e, false
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if !slices.Contains(kinds(), n.Content[i].Value) {
			continue
		}
		if e.What != "" {
			r.fail(n.Content[i], "make two entries of it", "an entry of the log says one thing, but this says %s and %s", e.What, n.Content[i].Value)
			return e, false
		}
		e.What = What(n.Content[i].Value)
	}
	if e.What == "" {
		r.fail(n, "it has at: and one of "+strings.Join(kinds(), ", "), "this entry of the log does not say what was done")
		return e, false
	}
	before := len(r.bad)
	r.fields(n, "the entry "+string(e.What), e.fields())
	if e.At.IsZero() && len(r.bad) == before {
		r.fail(n, "write at: 2026-05-04T16:30:00+02:00", "this entry of the log has no date")
	}
	if e.Tissue != "" && !slices.Contains(Tissues, e.Tissue) {
		r.fail(n, "", "a tissue is %s, but this says %q", strings.Join(Tissues, ", "), e.Tissue)
	}
	return e, len(r.bad) == before
}

// node writes the entry. Its leading key is written even where it says nothing by itself, as
// did: [] does of work that is told in one's own words.
func (e *Entry) node() *yaml.Node {
	list := e.fields()
	m := mapping(list)
	for i, f := range list {
		if f.key != string(e.What) || node(f.to) != nil {
			continue
		}
		empty := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
		if _, text := f.to.(*string); text {
			empty = word("")
		}
		at := len(mapping(list[:i]).Content)
		m.Content = slices.Insert(m.Content, at, word(f.key), empty)
	}
	return m
}

// Add puts entries at the end of the log. Times go up, whatever the clock of the machine did.
func (c *Case) Add(list ...Entry) {
	for _, e := range list {
		e.At = e.At.Truncate(time.Second)
		if n := len(c.Log); n > 0 && e.At.Before(c.Log[n-1].At) {
			e.At = c.Log[n-1].At
		}
		c.Log = append(c.Log, e)
	}
}

// Changes are the entries that lead from one state of the answers to another.
func Changes(before, after *Case, at time.Time, by string) []Entry {
	var out []Entry
	one := func(joint string, was, is map[string]rules.AnswerText) {
		for _, id := range sortedKeys(was, is) {
			old, had := was[id]
			now, has := is[id]
			switch {
			case had && !has:
				out = append(out, Entry{At: at, By: by, What: TookBack, Name: id, Joint: joint})
			case has && (!had || !same(old, now)):
				out = append(out, Entry{At: at, By: by, What: Answered, Name: id, Joint: joint, Value: now})
			}
		}
	}
	one("", before.File.Answers, after.File.Answers)
	for _, j := range sortedKeys(before.File.Joints, after.File.Joints) {
		one(j, before.File.Joints[j], after.File.Joints[j])
	}
	return out
}

// same compares two answers but for where they stand.
func same(a, b rules.AnswerText) bool {
	return a.Scalar == b.Scalar && a.Unit == b.Unit && slices.Equal(a.List, b.List) && slices.Equal(a.At, b.At) && slices.Equal(a.Is, b.Is) && slices.Equal(a.Not, b.Not)
}

func sortedKeys[V any](a, b map[string]V) []string {
	var out []string
	for k := range a {
		out = append(out, k)
	}
	for k := range b {
		if _, ok := a[k]; !ok {
			out = append(out, k)
		}
	}
	slices.Sort(out)
	return out
}

// Close ends a case.
func (c *Case) Close(end string, at time.Time, by, said string) {
	c.Add(Entry{At: at, By: by, What: Closed, Name: end, Said: said})
	c.Head.Closed, c.Head.End = c.Log[len(c.Log)-1].At, end
}

// Reopen goes on with a case that was closed. What it was said to be stays in the log, and no
// longer stands as proven.
func (c *Case) Reopen(at time.Time, by, why string) {
	for _, p := range c.Proven {
		was := p.Said
		if p.Cause != "" {
			was = p.Cause
		}
		why += "; it was thought to be " + was
		if p.Joint != "" {
			why += " (" + p.Joint + ")"
		}
	}
	c.Add(Entry{At: at, By: by, What: Reopened, Said: why})
	c.Proven = nil
	c.Head.Closed, c.Head.End = time.Time{}, ""
}

// Worked reports whether anything was done since the last retest, so that it may be dry now.
func (c *Case) Worked() bool {
	for _, e := range slices.Backward(c.Log) {
		switch e.What {
		case Did:
			return true
		case Retest, Closed, Reopened:
			return false
		}
	}
	return false
}
