package interview

import (
	"cmp"
	"errors"
	"slices"
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
	"by-hand":     "a cap, tap or cock that is worked by hand",
}

// motions are the words for what moves at it.
var motions = []Option{{"no", "nothing moves"}, {string(rules.Turns), "a shaft turns in it"}, {string(rules.Slides), "a rod or piston slides in it"}}

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

// Kind asks which kind of joint it is, by its looks; "" = none of them. Who does not know is
// asked what moves at it and what holds it together, and chooses among the kinds that fit, or
// leaves several in play: then their ids come with commas between.
func (t *Talk) Kind(kinds []*rules.Joint) (string, error) {
	for {
		id, err := t.kindOf(byLooks(kinds), true)
		if err != nil || id != lookCloser {
			return id, err
		}
		some, err := t.narrow(kinds)
		if errors.Is(err, errBack) {
			continue
		}
		if err != nil {
			return "", err
		}
		for _, k := range some {
			t.Tell("%s: %s", label(k), k.LooksLike)
		}
		if id, err = t.kindOf(some, false); !errors.Is(err, errBack) {
			return id, err
		}
	}
}

// lookCloser stands for "I don't know, ask me".
const lookCloser = "look-closer"

// stayOpen stands for "any of these".
const stayOpen = "stay-open"

func (t *Talk) kindOf(kinds []*rules.Joint, ask bool) (string, error) {
	var list []Option
	var looks []string
	for _, k := range kinds {
		list = append(list, Option{k.ID, label(k)})
		looks = append(looks, label(k)+": "+k.LooksLike)
	}
	q := Question{ID: "kind", Ask: "What does the joint look like?", Why: "Each kind fails in its own ways.\n" + strings.Join(looks, "\n")}
	if ask && len(kinds) > 1 {
		list = append(list, Option{lookCloser, "I don't know: ask me what one can see"})
	}
	if !ask {
		q.ID, q.Ask, q.Back = "kind-of-these", "Which of these is it?", true
		if len(kinds) > 1 {
			list = append(list, Option{stayOpen, "I can't tell: keep them all in play"})
		}
	}
	list = append(list, Option{"other", "none of these: another kind of joint"})
	q.Options = list
	n, err := t.Pick(q)
	if err != nil {
		return "", err
	}
	switch id := list[n].ID; id {
	case "other":
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
