package interview

import (
	"errors"
	"fmt"
	"strings"

	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/fact"
)

// IsBack reports whether the person asked to go back by one question.
func IsBack(err error) bool { return errors.Is(err, errBack) }

// Note asks for one fact of a slip, which may be left open. The place is the joint's title,
// "" where it is plain; meant is true when a hard-to-believe value was confirmed.
func (t *Talk) Note(f *rules.Fact, tools answer.Instruments, id, place string) (v fact.Value, blank, meant bool, err error) {
	got, err := t.fact(f, tools, about{id: id, place: place, open: true, back: true})
	return got.value, got.blank, got.meant, err
}

// Typed reads an answer as the questions of the interview take it: an option by its number, its
// id, or the first letters of either; y and n; ? and x. The error is a sentence; an
// *answer.Implausible comes with its value.
func Typed(f *rules.Fact, text string, tools answer.Instruments) (fact.Value, error) {
	text = strings.TrimSpace(text)
	switch {
	case text == "?":
		return fact.None(f.Answer, fact.CantTell), nil
	case strings.EqualFold(text, "x"):
		return fact.None(f.Answer, fact.CantGet), nil
	}
	var list []Option
	for _, o := range f.Options {
		list = append(list, Option{o.ID, o.Title})
	}
	v, err := answer.ReadText(f, text, tools)
	switch f.Answer {
	case fact.YesNo:
		if n, ok := yesNo(text); ok {
			return fact.MakeYesNo(n == 1), nil
		}
	case fact.Choice:
		if err == nil {
			return v, nil
		}
		n, complaint := find(list, text)
		if complaint != "" {
			return fact.Value{}, errors.New(complaint)
		}
		return fact.MakeChoice(f.Options[n].ID), nil
	case fact.Several:
		is, not, none, complaint := several(list, text)
		if complaint != "" {
			if err == nil {
				return v, nil
			}
			return fact.Value{}, errors.New(complaint)
		}
		if none {
			for i := range list {
				not = append(not, i)
			}
		}
		return fact.MakeSeveral(ids(f, is), ids(f, not)), nil
	}
	var odd *answer.Implausible
	if err != nil && !errors.As(err, &odd) {
		return v, fmt.Errorf("%s", complaint(f, text, err))
	}
	return v, err
}
