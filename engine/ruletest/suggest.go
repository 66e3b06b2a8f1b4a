package ruletest

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// Suggested are answers with which a rule fires and answers with which it is silent, as one
// writes them into its tests, and the facts that would settle it when nothing is known.
type Suggested struct {
	Fires, Silent string
	Settles       []string
}

// maxTried bounds how many combinations of answers are tried for one condition.
const maxTried = 20000

// Suggest looks for such answers by trying those that the condition can tell apart. The error
// says why there are none.
func Suggest(k *rules.Knowledge, r *rules.Rule) (Suggested, error) {
	if r.When.Cond == nil {
		return Suggested{}, fmt.Errorf("the rule has no condition, so it is never silent")
	}
	nothing := r.When.Cond.Eval(values{})
	if nothing.Truth != fact.Unknown {
		return Suggested{}, fmt.Errorf("the condition %q is settled before anything is known", r.When.Text)
	}
	var out Suggested
	for _, l := range nothing.Lacks {
		out.Settles = append(out.Settles, l.Fact)
	}
	ids := r.When.Cond.Facts()
	slices.Sort(ids)
	choices := make([][]rules.AnswerText, len(ids))
	count := 1
	for i, id := range ids {
		f := k.Fact(id)
		if f == nil {
			return out, fmt.Errorf("no fact is called %q", id)
		}
		if choices[i] = answers(f, r.When.Text); len(choices[i]) == 0 {
			return out, fmt.Errorf("the fact %q is answered by %s, for which no answer can be made up; write the tests by hand", id, f.Answer)
		}
		if count *= len(choices[i]) + 1; count > maxTried {
			return out, fmt.Errorf("the condition has too many answers to try; cut it into two rules")
		}
	}
	for n := range count {
		given := map[string]rules.AnswerText{}
		for i, id := range ids {
			step := len(choices[i]) + 1
			if at := n % step; at > 0 { // 0: nothing is known of it
				given[id] = choices[i][at-1]
			}
			n /= step
		}
		known, bad := answer.ReadGiven(k, given)
		if len(bad) > 0 {
			continue
		}
		switch text := inWords(given); r.When.Cond.Truth(values(known)) {
		case fact.True:
			out.Fires = shorter(out.Fires, text)
		case fact.False:
			out.Silent = shorter(out.Silent, text)
		}
	}
	switch {
	case out.Fires == "":
		return out, fmt.Errorf("no answers were found that make %q true", r.When.Text)
	case out.Silent == "":
		return out, fmt.Errorf("no answers were found that make %q false", r.When.Text)
	}
	return out, nil
}

// shorter keeps the answers that say less; the first of two that say as much.
func shorter(old, new string) string {
	if old == "" || strings.Count(new, ":") < strings.Count(old, ":") {
		return new
	}
	return old
}

// values is what is known, for a condition.
type values map[string]fact.Value

func (v values) Value(name string) (fact.Value, bool, bool) {
	x, ok := v[name]
	return x, ok, false
}

var amountText = regexp.MustCompile(`[-+]?[0-9][0-9.,]*`)

// answers are some answers of a fact: all options, or amounts around those of the condition.
func answers(f *rules.Fact, condition string) []rules.AnswerText {
	var out []rules.AnswerText
	switch f.Answer {
	case fact.YesNo:
		return []rules.AnswerText{{Scalar: "yes"}, {Scalar: "no"}}
	case fact.Choice:
		for _, o := range f.Options {
			out = append(out, rules.AnswerText{Scalar: o.ID})
		}
	case fact.Several:
		for _, o := range f.Options {
			out = append(out, rules.AnswerText{Is: []string{o.ID}}, rules.AnswerText{Not: []string{o.ID}})
		}
	case fact.Number:
		for _, at := range amountText.FindAllStringIndex(condition, -1) {
			x, _, err := unit.Number(condition[at[0]:at[1]])
			if err != nil {
				continue
			}
			u := ""
			if rest := strings.Fields(condition[at[1]:]); len(rest) > 0 {
				u = strings.Trim(rest[0], "()")
			}
			for _, part := range []float64{0.5, 1.5} {
				text := strings.TrimSpace(unit.Show(x*part, 4) + " " + u)
				if _, err := unit.Parse(text, f.Dim); err == nil {
					out = append(out, rules.AnswerText{Scalar: text})
				}
			}
		}
	}
	return out
}

// inWords writes answers as they stand in a test.
func inWords(given map[string]rules.AnswerText) string {
	var parts []string
	for _, id := range slices.Sorted(maps.Keys(given)) {
		a := given[id]
		switch {
		case len(a.Is) > 0:
			parts = append(parts, fmt.Sprintf("%s: {is: [%s]}", id, strings.Join(a.Is, ", ")))
		case len(a.Not) > 0:
			parts = append(parts, fmt.Sprintf("%s: {not: [%s]}", id, strings.Join(a.Not, ", ")))
		default:
			parts = append(parts, id+": "+a.Scalar)
		}
	}
	return "{" + strings.Join(parts, ", ") + "}"
}
