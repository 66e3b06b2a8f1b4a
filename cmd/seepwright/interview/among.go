package interview

import (
	"fmt"

	"seepwright/engine"
	"seepwright/engine/plan"
)

// When one kind stands out no more is asked about the kind; and no more than so many questions
// are asked before the person is asked to look.
const (
	standsOut     = 0.9
	mostKindAsked = 8
)

// Among asks the questions that every kind in play knows, until one kind stands out or nothing
// is left to ask, and then which it is. The questions of safety were asked before. keep is called
// after every answer. "" = the person cannot tell; then the result is that of all kinds together.
func (t *Talk) Among(a *engine.Among, keep func(factID string) error) (string, *engine.Result, error) {
	first := a.Sessions()[0]
	kb := first.Knowledge()
	for asked := 0; ; asked++ {
		r, err := a.Result(plan.Person{})
		if err != nil {
			return "", nil, err
		}
		if r.Next == nil || kb.Fact(r.Next.Fact).Safety || asked == mostKindAsked || r.Kinds[0].Probability >= standsOut {
			kind, err := t.settleKind(r)
			return kind, r, err
		}
		f := kb.Fact(r.Next.Fact)
		got, err := t.fact(f, kb.Instruments, about{id: first.Key("joint", f.ID).String(), why: r.Next.Why})
		if err != nil {
			return "", r, err
		}
		if err := a.Answer(f.ID, got.value); err != nil {
			return "", r, err
		}
		if err := keep(f.ID); err != nil {
			return "", r, err
		}
	}
}

// settleKind shows how likely each kind is and asks which it is.
func (t *Talk) settleKind(r *engine.Result) (string, error) {
	t.Tell("\nBy what you said the joint is:")
	var list []Option
	for _, k := range r.Kinds {
		t.Say(wrap(fmt.Sprintf("%s: %.0f in 100. %s", k.Title, 100*k.Probability, k.LooksLike), t.Width, "- ", "  "))
		list = append(list, Option{k.Kind, k.Title})
	}
	list = append(list, Option{"open", "I cannot tell: rank the causes of all of them together"})
	n, err := t.Pick(Question{ID: "which-kind", Ask: "Look at it again. Which is it?", Options: list, Why: "Each kind fails in its own ways; the plan needs to know which it is."})
	if err != nil || n < 0 || list[n].ID == "open" {
		return "", err
	}
	return list[n].ID, nil
}
