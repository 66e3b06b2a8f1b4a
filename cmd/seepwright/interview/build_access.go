package interview

import (
	"fmt"
	"slices"
	"strings"

	"seepwright/rules/assembly"
)

// perJoint asks one thing of all joints: one answer for all, and then for those that differ,
// until every joint has one. Joints that the person cannot tell get "".
func (b *builder) perJoint(q Question, ids []string) (map[string]string, error) {
	out := map[string]string{}
	for len(ids) > 0 {
		now := q
		if len(out) > 0 {
			now.Ask = b.titles(ids) + ": " + q.Ask
		}
		n, err := b.Pick(now)
		if err != nil {
			return nil, err
		}
		var rest []string
		if len(ids) > 1 && n != unsure {
			list := b.options(ids...)
			differ, _, none, kind, err := b.Many(Question{ID: q.ID + "/except", Ask: "All of them? Or which of them differ?", Options: list, Blank: "all", Back: true})
			if err != nil {
				return nil, err
			}
			if kind != blank && !none {
				for _, i := range differ {
					rest = append(rest, list[i].ID)
				}
			}
		}
		for _, id := range ids {
			if !slices.Contains(rest, id) {
				if n >= 0 {
					out[id] = q.Options[n].ID
				} else {
					out[id] = ""
				}
			}
		}
		ids = rest
	}
	return out, nil
}

func (b *builder) titles(ids []string) string {
	var out []string
	for _, o := range b.options(ids...) {
		out = append(out, o.Title)
	}
	return strings.Join(out, ", ")
}

// sizes are the four sizes of access, off and back on together. The minutes stand in the
// knowledge base's table of estimates; these hold where it is silent.
var sizes = []struct {
	id, title string
	minutes   float64
}{{"minutes", "minutes", 15}, {"an-hour", "about an hour", 60}, {"half-a-day", "half a day", 240}, {"a-day", "a day or more", 480}}

func (b *builder) access() error {
	b.a.Access = nil
	q := Question{ID: "access", Ask: "How long to get at it, off and back on together?", Back: true, Unsure: true, Why: "It decides whether a bench test and a few extra parts pay."}
	for _, s := range sizes {
		q.Options = append(q.Options, Option{s.id, s.title})
	}
	size, err := b.perJoint(q, b.a.IDs())
	if err != nil {
		return err
	}
	share, ok := b.kb.Estimate("off-share")
	if !ok {
		share = 0.5
	}
	for _, s := range sizes {
		var ids []string
		for _, j := range b.a.Joints {
			if size[j.ID] == s.id {
				ids = append(ids, j.ID)
			}
		}
		if len(ids) == 0 {
			continue
		}
		minutes := s.minutes
		if x, ok := b.kb.Estimate("access-" + s.id); ok {
			minutes = x
		}
		once := false
		if len(ids) > 1 && s.id != "minutes" {
			n, err := b.YesNo(Question{ID: "access/once/" + s.id, Ask: fmt.Sprintf("%s: is it the same work for all of these, done once?", s.title), Note: b.titles(ids), Back: true})
			if err != nil {
				return err
			}
			once = n == 1
		}
		if once {
			b.a.Access = append(b.a.Access, assembly.Access{ID: "get-there-" + s.id, Title: "get at " + b.titles(ids), Off: minutes * share, Back: minutes * (1 - share), Uncovers: ids})
			continue
		}
		for _, id := range ids {
			b.a.Access = append(b.a.Access, assembly.Access{ID: "get-at-" + id, Title: "get at " + b.titles([]string{id}), Off: minutes * share, Back: minutes * (1 - share), Uncovers: []string{id}})
		}
	}
	return nil
}

func (b *builder) lastWork() error {
	f := b.kb.Fact("last-work")
	if f == nil {
		return nil
	}
	q := Question{ID: "last-work", Ask: "What was done last to the joints?", Back: true, Unsure: true, Why: reasons("", f)}
	for _, o := range f.Options {
		q.Options = append(q.Options, Option{o.ID, o.Title})
	}
	work, err := b.perJoint(q, b.a.IDs())
	if err != nil {
		return err
	}
	for i := range b.a.Joints {
		b.a.Joints[i].LastWork = work[b.a.Joints[i].ID]
	}
	return nil
}

// wetNow asks which joints are wet. Where a level falls and nothing is wet nobody is asked.
func (b *builder) wetNow() error {
	b.wet = map[string]bool{}
	if b.way == LevelFalls {
		return nil
	}
	list := b.options()
	is, not, none, kind, err := b.Many(Question{ID: "wet-now", Ask: "Which of them are wet now?", Options: list, Back: true, Unsure: true, Why: "Wet below is not wet here: feel with a dry tissue."})
	if err != nil || kind < 0 {
		return err
	}
	if !none && len(is)+len(not) < len(list) && len(is) > 0 {
		n, err := b.YesNo(Question{ID: "wet-now/others", Ask: "Were the others looked at, and are they dry?", Back: true})
		if err != nil {
			return err
		}
		none = n == 1
	}
	for i, o := range list {
		switch {
		case slices.Contains(is, i):
			b.wet[o.ID] = true
		case none || slices.Contains(not, i):
			b.wet[o.ID] = false
		}
	}
	return nil
}

// usual is the highest cost of an instrument that is in every box, or nearly.
const usual = 1

func (b *builder) tools() error {
	b.a.Tools = nil
	var all, common []string
	var list []Option
	for _, in := range b.kb.Instruments {
		title := in.Title
		if title == "" {
			title = in.ID
		}
		all, list = append(all, in.ID), append(list, Option{in.ID, title})
		if in.Cost <= usual {
			common = append(common, in.ID)
		}
	}
	n, err := b.Pick(Question{ID: "tools", Ask: "What have you got to measure with?", Back: true, Blank: "not said",
		Options: []Option{{"usual", "the usual: rule, calliper, feeler gauges, glass, paper"}, {"list", "let me tick them on a list"}, {"all", "everything, a machine shop"}},
		Why:     "Only checks with what you have are proposed; others are marked: borrow."})
	if err != nil {
		return err
	}
	switch n {
	case 0:
		b.a.Tools = common
	case 1:
		is, _, _, _, err := b.Many(Question{ID: "tools/list", Ask: "Which of these? The numbers.", Options: list, Back: true})
		if err != nil {
			return err
		}
		for _, i := range is {
			b.a.Tools = append(b.a.Tools, all[i])
		}
	case 2:
		b.a.Tools = all
	}
	return nil
}
