package interview

import (
	"cmp"
	"errors"
	"slices"
	"strconv"
	"strings"

	"seepwright/rules"
)

// holds are the words for what holds a joint together.
var holds = map[rules.Hold]string{
	"clamp":       "a hose pushed over a stub, with a clip or clamp round it",
	"pushed-in":   "a pipe or plug pushed into a hole, held by a plate, clip or bolt beside it",
	"bolts":       "two flat faces drawn together by bolts or screws round the edge",
	"centre-bolt": "a cap or cover drawn on by one bolt or rod through its middle",
	"band":        "two rims held by a band, a V-shaped clamp or a bridge",
	"thread":      "something screwed in: a plug, a pipe, a sensor, a bolt through a ring",
	"union-nut":   "a nut that draws a pipe end into a body",
	"press-fit":   "a part pressed into a hole, nothing to undo",
	"solder":      "soldered, brazed or welded",
	"one-piece":   "no joint at all: solid metal or plastic",
	"exchanger":   "the body of a cooler, radiator or exchanger: plates, tubes, fins",
	"by-hand":     "a cap, tap or cock that is worked by hand",
}

// motions are the words for what moves at it.
var motions = []Option{{"no", "nothing moves"}, {string(rules.Turns), "a shaft turns in it"}, {string(rules.Slides), "a rod or piston slides in it"}}

// seals are the words for joints that are told by what moves in them.
var seals = map[rules.Motion]string{rules.Turns: "a seal on a shaft that turns", rules.Slides: "a seal on a rod or piston that slides"}

// byLooks puts kinds that hold in the same way beside each other.
func byLooks(kinds []*rules.Joint) []*rules.Joint {
	out := slices.Clone(kinds)
	place := func(k *rules.Joint) int {
		n := 0
		if len(k.HeldBy) > 0 {
			n = slices.Index(rules.Holds(), k.HeldBy[0])
		}
		if k.Moves != "" {
			n += 100
		}
		return n
	}
	slices.SortStableFunc(out, func(a, b *rules.Joint) int {
		return cmp.Or(cmp.Compare(place(a), place(b)), cmp.Compare(label(a), label(b)))
	})
	return out
}

// Answers to the question of the kind that name no kind.
const (
	lookCloser = "look-closer" // "I don't know, ask me"
	stayOpen   = "stay-open"   // "any of these"
	everyKind  = "list"        // "show me all of them"
	otherKind  = "other"
)

// fewKinds are shown at once without asking what holds them first; of mostShown at most stands
// beside each what it looks like. More would not stand on one screen of 24 lines.
const (
	fewKinds  = 8
	mostShown = 6
)

// Kind asks which kind of joint it is: first what holds it together or moves in it, then which
// of the kinds that are like that; who knows a word of its name types that. "" = none of them.
// Who does not know is asked one thing after the other, and chooses among the kinds that fit, or
// leaves several in play: then their ids come with commas between.
func (t *Talk) Kind(kinds []*rules.Joint) (string, error) {
	for {
		some, err := t.firstLook(kinds)
		switch {
		case errors.Is(err, errBack):
			continue
		case err != nil:
			return "", err
		case some == nil:
			t.NotKnown()
			return "", nil
		case len(some) == 1 && some[0].named:
			return some[0].ID, nil
		}
		list := make([]*rules.Joint, len(some))
		for i, k := range some {
			list[i] = k.Joint
		}
		if id, err := t.kindOf(list); !errors.Is(err, errBack) {
			return id, err
		}
	}
}

// found is a kind that fits; named when the person gave its name.
type found struct {
	*rules.Joint
	named bool
}

func all(kinds []*rules.Joint) []found {
	var out []found
	for _, k := range kinds {
		out = append(out, found{Joint: k})
	}
	return out
}

// firstLook asks what holds the joint together, on one short screen; nil = it is none of them.
func (t *Talk) firstLook(kinds []*rules.Joint) ([]found, error) {
	if len(kinds) <= fewKinds {
		return t.list(kinds)
	}
	var list []Option
	for _, h := range rules.Holds() {
		if len(heldBy(kinds, h)) > 0 {
			list = append(list, Option{string(h), holds[h]})
		}
	}
	for _, m := range motions[1:] {
		if len(moving(kinds, rules.Motion(m.ID))) > 0 {
			list = append(list, Option{m.ID, seals[rules.Motion(m.ID)]})
		}
	}
	list = append(list, Option{lookCloser, "I don't know: ask me what one can see"}, Option{everyKind, "list: show me all kinds by name"}, Option{otherKind, "none of these: another kind of joint"})
	s, some, err := t.name(kinds, Question{ID: "kind", Ask: "What does the joint look like?", Options: list, Note: "Or type a word of its name, such as: banjo, lip, o-ring.",
		Why: "Each kind fails in its own ways. Then you see those that are like this, with what they look like."})
	if err != nil || some != nil {
		return some, err
	}
	switch s {
	case otherKind:
		return nil, nil
	case everyKind:
		return t.list(kinds)
	case lookCloser:
		some, err := t.narrow(kinds)
		return all(some), err
	case string(rules.Turns), string(rules.Slides):
		return all(moving(kinds, rules.Motion(s))), nil
	}
	return all(heldBy(kinds, rules.Hold(s))), nil
}

// Group is some kinds that are alike at first sight.
type Group struct {
	Looks string
	Kinds []*rules.Joint
}

// Groups sorts kinds by what is seen first, each kind once.
func Groups(kinds []*rules.Joint) []Group {
	var out []Group
	seen := map[string]bool{}
	add := func(looks string, some []*rules.Joint) {
		some = slices.DeleteFunc(some, func(k *rules.Joint) bool { return seen[k.ID] })
		for _, k := range some {
			seen[k.ID] = true
		}
		if len(some) > 0 {
			out = append(out, Group{looks, some})
		}
	}
	for _, h := range rules.Holds() {
		add(holds[h], heldBy(kinds, h))
	}
	for _, m := range motions[1:] {
		add(seals[rules.Motion(m.ID)], moving(kinds, rules.Motion(m.ID)))
	}
	add("others", slices.Clone(kinds))
	return out
}

// heldBy are the kinds at rest that are held so.
func heldBy(kinds []*rules.Joint, h rules.Hold) []*rules.Joint {
	return slices.DeleteFunc(byLooks(kinds), func(k *rules.Joint) bool { return k.Moves != "" || !slices.Contains(k.HeldBy, h) })
}

func moving(kinds []*rules.Joint, m rules.Motion) []*rules.Joint {
	return slices.DeleteFunc(byLooks(kinds), func(k *rules.Joint) bool { return k.Moves != m })
}

// list shows all kinds by name, in columns where there are many; nil = it is none of them.
func (t *Talk) list(kinds []*rules.Joint) ([]found, error) {
	q := Question{ID: "kind", Ask: "What does the joint look like?", Why: "Each kind fails in its own ways."}
	order := byLooks(kinds)
	for _, k := range order {
		q.Options = append(q.Options, Option{k.ID, label(k)})
		q.Why += "\n" + label(k) + ": " + k.LooksLike
	}
	if len(kinds) > fewKinds {
		q.ID, q.Ask, q.Why, q.Columns, q.Back = "kind-by-name", "Which of these is it?", "", true, true
		slices.SortStableFunc(order, func(a, b *rules.Joint) int { return cmp.Compare(brief(a), brief(b)) })
		for i, k := range order {
			q.Options[i] = Option{k.ID, brief(k)}
		}
	}
	if len(kinds) > 1 {
		q.Options = append(q.Options, Option{lookCloser, "I don't know: ask me"})
	}
	q.Options = append(q.Options, Option{otherKind, "none of these"})
	s, some, err := t.name(kinds, q)
	switch {
	case err != nil || some != nil:
		return some, err
	case s == otherKind:
		return nil, nil
	case s == lookCloser:
		some, err := t.narrow(kinds)
		return all(some), err
	}
	i := slices.IndexFunc(kinds, func(k *rules.Joint) bool { return k.ID == s })
	return []found{{kinds[i], true}}, nil
}

// name reads one of the options, by its number or letters, or a word of the name of a kind.
func (t *Talk) name(kinds []*rules.Joint, q Question) (option string, some []found, err error) {
	for {
		s, err := t.line(q)
		if err != nil {
			return "", nil, err
		}
		if _, e := strconv.Atoi(s); e != nil {
			if i := slices.IndexFunc(q.Options, func(o Option) bool { return fold(o.ID) == fold(s) }); i >= 0 {
				return q.Options[i].ID, nil, nil
			}
			if some := called(kinds, s); len(some) > 0 {
				return "", some, nil
			}
		}
		n, complaint := find(q.Options, s)
		if complaint == "" {
			return q.Options[n].ID, nil, nil
		}
		t.Tell("%s", complaint)
		q.Again = true
	}
}

// called are the kinds that bear a name: the one whose id or title it is, or whose id alone
// begins with it, else all that have the word in a name of theirs.
func called(kinds []*rules.Joint, s string) []found {
	want := fold(s)
	if want == "" {
		return nil
	}
	var begin, have []*rules.Joint
	for _, k := range byLooks(kinds) {
		if fold(k.ID) == want || fold(k.Title) == want {
			return []found{{k, true}}
		}
		if strings.HasPrefix(fold(k.ID)+"-", want+"-") {
			begin = append(begin, k)
		}
		for _, name := range append([]string{k.ID, k.Title}, k.OtherNames...) {
			if strings.Contains("-"+fold(name), "-"+want) {
				have = append(have, k)
				break
			}
		}
	}
	if len(begin) == 1 {
		return []found{{begin[0], true}}
	}
	return all(have)
}

// brief is the first words of a title, enough to know the kind by.
func brief(k *rules.Joint) string {
	s := label(k)
	for _, end := range []string{" (", ", ", " - ", " with ", " that ", " under ", " in a casting"} {
		s, _, _ = strings.Cut(s, end)
	}
	return s
}

// kindOf asks which of some kinds it is; each with what it looks like where that
// stands on one screen.
func (t *Talk) kindOf(kinds []*rules.Joint) (string, error) {
	q := Question{ID: "kind-of-these", Ask: "Which of these is it?", Back: true, Why: "Each kind fails in its own ways."}
	if len(kinds) > mostShown {
		q.Note = "w says what each looks like."
	}
	for _, k := range kinds {
		title := label(k)
		if len(kinds) <= mostShown {
			title += ": " + looks(k, len(kinds))
		}
		q.Options = append(q.Options, Option{k.ID, title})
		q.Why += "\n" + label(k) + ": " + k.LooksLike
	}
	if len(kinds) > 1 {
		q.Options = append(q.Options, Option{stayOpen, "I can't tell: keep them all in play"})
	}
	q.Options = append(q.Options, Option{otherKind, "none of these: another kind of joint"})
	n, err := t.Pick(q)
	if err != nil {
		return "", err
	}
	switch id := q.Options[n].ID; id {
	case otherKind:
		t.NotKnown()
		return "", nil
	case stayOpen:
		var ids []string
		for _, k := range kinds {
			ids = append(ids, k.ID)
		}
		return strings.Join(ids, ","), nil
	default:
		return id, nil
	}
}

// looks is what a kind looks like; among several only its first sentence, so that all of them
// stand on one screen. The key w says the rest.
func looks(k *rules.Joint, of int) string {
	s := k.LooksLike
	if of > 3 {
		if first, _, more := strings.Cut(s, ". "); more {
			s = first + "."
		}
	}
	return s
}

// narrow gives the kinds that fit what one can see; all that fit in part when none fits whole.
func (t *Talk) narrow(kinds []*rules.Joint) ([]*rules.Joint, error) {
	moves, err := t.Pick(Question{ID: "moves", Ask: "Does anything turn or slide at the wet place, when it runs?", Options: motions, Unsure: true, Back: true,
		Why: "A seal on something that moves wears; a joint at rest does not."})
	if err != nil {
		return nil, err
	}
	var list []Option
	for _, h := range rules.Holds() {
		if slices.ContainsFunc(kinds, func(k *rules.Joint) bool { return slices.Contains(k.HeldBy, h) }) {
			list = append(list, Option{string(h), holds[h]})
		}
	}
	held, err := t.Pick(Question{ID: "held-by", Ask: "What holds it together?", Options: list, Unsure: true, Back: true,
		Why: "What holds it together says how it seals, and what a spanner can do."})
	if err != nil {
		return nil, err
	}
	fits := func(k *rules.Joint) (n int) {
		if moves < 0 || string(k.Moves) == motions[moves].ID || k.Moves == "" && motions[moves].ID == "no" {
			n++
		}
		if held < 0 || slices.Contains(k.HeldBy, rules.Hold(list[held].ID)) {
			n++
		}
		return n
	}
	for _, want := range []int{2, 1} {
		some := slices.DeleteFunc(byLooks(kinds), func(k *rules.Joint) bool { return fits(k) < want })
		if len(some) > 0 {
			return some, nil
		}
	}
	return byLooks(kinds), nil
}
