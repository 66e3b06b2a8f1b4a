// Package answer reads what a person typed, or wrote in an answers file, against the fact
// that was asked for; and writes answers so that they read back the same.
// It asks nothing and judges nothing: whether a plausible answer matters is the engine's business.
package answer

import (
	"fmt"
	"strings"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// Codes of what can be wrong with an answer.
const (
	BadAnswer       = "bad-answer"
	EmptyAnswer     = "empty-answer"
	UnknownOption   = "unknown-option"
	BothWays        = "option-both-ways"
	BadQuantity     = "bad-quantity"
	WrongDimension  = "wrong-dimension"
	UnknownTool     = "unknown-instrument"
	WrongTool       = "wrong-instrument"
	ImplausibleCode = "implausible-answer"
)

// MaxLetters is the longest answer that is read.
const MaxLetters = 4000

// Mistake is an answer that cannot be read: what is wrong and what to do.
type Mistake struct {
	Code string
	What string
	Hint string
}

func (m *Mistake) Error() string {
	if m.Hint == "" {
		return m.What
	}
	return m.What + ": " + m.Hint
}

// Implausible is an answer that was understood but lies outside what this fact can honestly
// be. An interview asks again whether it is meant; a file reader reports it as an error.
type Implausible struct {
	Value    fact.Value
	Expected string // such as "0.5 mm to 12 mm"
}

func (i *Implausible) Error() string {
	return fmt.Sprintf("%s is hard to believe here: expected %s; check the unit and the decimal mark", i.Value, i.Expected)
}

func mistake(code, hint, format string, args ...any) *Mistake {
	return &Mistake{code, fmt.Sprintf(format, args...), hint}
}

// ReadText reads an answer as typed. The error is a *Mistake, or an *Implausible, with
// which the value is returned too. Options are given by id or title; numbering them is the
// business of whoever shows them.
func ReadText(f *rules.Fact, text string, tools Instruments) (fact.Value, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return fact.Value{}, mistake(EmptyAnswer, "answer it, or write cant-tell", "nothing was answered")
	}
	if len([]rune(text)) > MaxLetters {
		return fact.Value{}, mistake(BadAnswer, "keep to what was asked", "the answer is longer than %d letters", MaxLetters)
	}
	if s, ok := stateOf(text); ok && !isOption(f, text) {
		return fact.None(f.Answer, s), nil
	}
	switch f.Answer {
	case fact.YesNo:
		return yesNo(text)
	case fact.Choice:
		id, err := option(f, text)
		if err != nil {
			return fact.Value{}, err
		}
		return fact.MakeChoice(id), nil
	case fact.Several:
		return severalText(f, text)
	case fact.Number:
		m, err := quantity(f, text, tools)
		if err != nil {
			return fact.Value{}, err
		}
		return believable(f, fact.MakeNumber(m))
	case fact.Clock:
		return clock(text)
	case fact.Readings:
		return rowText(f, text, tools)
	}
	return fact.Value{}, mistake(BadAnswer, "mend the answer type of this fact", "the fact %q has no answer type that can be read", f.ID)
}

// Read reads an answer of a file. All that is wrong comes as findings at the answer's place.
func Read(f *rules.Fact, in rules.AnswerText, tools Instruments) (fact.Value, []source.Finding) {
	v, err := read(f, in, tools)
	if err == nil {
		return v, nil
	}
	found := source.Finding{Place: in.Place, Code: BadAnswer, What: fmt.Sprintf("%s: %s", f.ID, err.Error())}
	switch e := err.(type) {
	case *Mistake:
		found.Code, found.What, found.Hint = e.Code, fmt.Sprintf("%s: %s", f.ID, e.What), e.Hint
	case *Implausible:
		found.Code = ImplausibleCode
		found.What = fmt.Sprintf("%s: %s is hard to believe here", f.ID, e.Value)
		found.Hint = "expected " + e.Expected + "; check the unit and the decimal mark"
	}
	return v, []source.Finding{found}
}

func read(f *rules.Fact, in rules.AnswerText, tools Instruments) (fact.Value, error) {
	switch {
	case in.Is != nil || in.Not != nil:
		if f.Answer != fact.Several {
			return fact.Value{}, mistake(BadAnswer, "write "+formOf(f), "is and not belong to a fact with several answers")
		}
		return several(f, in.Is, in.Not)
	case in.List == nil:
		text := in.Scalar
		if in.Unit != "" {
			text += " " + in.Unit
		}
		return ReadText(f, text, tools)
	case f.Answer == fact.Several:
		return several(f, in.List, nil)
	case f.Answer == fact.Readings:
		return row(f, in.List, in.At, in.Unit, tools)
	case len(in.List) == 1 && len(in.At) == 0:
		return ReadText(f, in.List[0], tools)
	}
	return fact.Value{}, mistake(BadAnswer, "write "+formOf(f), "a list, but %q takes one answer", f.ID)
}

// ReadGiven reads all answers of one joint or one assembly, and names facts that do not exist.
func ReadGiven(k *rules.Knowledge, given map[string]rules.AnswerText) (map[string]fact.Value, source.Findings) {
	out := make(map[string]fact.Value, len(given))
	var all source.Findings
	for id, in := range given {
		f := k.Fact(id)
		if f == nil {
			names := make([]string, len(k.Facts))
			for i, x := range k.Facts {
				names[i] = x.ID
			}
			all = append(all, source.Finding{Place: in.Place, Code: "unknown-name", What: fmt.Sprintf("no fact is called %q", id), Hint: source.DidYouMean(id, names)})
			continue
		}
		v, found := Read(f, in, k.Instruments)
		all = append(all, found...)
		if len(found) == 0 {
			out[id] = v
		}
	}
	return out, all.Sort()
}

// stateOf reads the two answers without knowledge.
func stateOf(text string) (fact.State, bool) {
	switch fold(text) {
	case "cant-tell", "can-not-tell", "cannot-tell", "dont-know", "do-not-know", "not-known", "?":
		return fact.CantTell, true
	case "cant-get-at", "cant-get-at-it", "cannot-get-at", "cannot-get-at-it", "cant-reach", "cant-reach-it", "cannot-reach-it":
		return fact.CantGet, true
	}
	return "", false
}

// fold brings the spellings of one word together: Can't tell, cant_tell, cant-tell.
func fold(s string) string {
	s = strings.NewReplacer("'", "", "’", "", "_", " ", "-", " ").Replace(strings.ToLower(s))
	return strings.Join(strings.Fields(strings.Trim(s, " .!")), "-")
}

// formOf says how an answer to this fact is written.
func formOf(f *rules.Fact) string {
	switch f.Answer {
	case fact.YesNo:
		return "yes or no"
	case fact.Choice:
		return "one of " + strings.Join(optionIDs(f), ", ")
	case fact.Several:
		return "any of " + strings.Join(optionIDs(f), ", ")
	case fact.Clock:
		return `a clock position such as "4:30 seen from front"`
	}
	return fmt.Sprintf("%s such as %q", f.Dim.Named(), "2 "+unit.Standard(f.Dim).Symbol)
}
