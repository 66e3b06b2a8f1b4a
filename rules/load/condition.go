package load

import (
	"fmt"
	"strings"

	"seepwright/rules"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
	"seepwright/rules/source"
)

// textStart is where the text of a scalar begins in its file, and whether every letter of
// it stands on that line as written, so that columns inside it can be trusted.
func (r *reader) textStart(n *node) (source.Place, bool) {
	at := n.at
	line := []rune(r.sourceLine(at.Line))
	if n.block {
		at.Line++
		next := r.sourceLine(at.Line)
		at.Col = len([]rune(next)) - len([]rune(strings.TrimLeft(next, " "))) + 1
		return at, strings.TrimSpace(next) == strings.TrimSpace(n.text)
	}
	if n.quoted {
		at.Col++
	}
	if at.Col > len(line)+1 {
		return n.at, false
	}
	return at, strings.HasPrefix(string(line[at.Col-1:]), n.text)
}

// condition reads a condition; its names are checked by lint, when all facts are known.
func (r *reader) condition(n *node, field string) rules.When {
	if !r.scalar(n, field, "a condition") {
		return rules.When{}
	}
	at, exact := r.textStart(n)
	w := rules.When{Text: strings.TrimSpace(n.text), Place: at}
	if w.Text == "" {
		r.fail(n.at, "condition-syntax", fmt.Sprintf("%q is an empty condition", field), "write FACT is OPTION, or take the line out: without it the condition always holds")
		return w
	}
	if !exact {
		r.opts.Places.note(at, folded, "", at)
	}
	c, problems := cond.Parse(w.Text)
	for _, p := range problems {
		r.add(r.opts.Places.problem(w, p, exact))
	}
	w.Cond = c
	return w
}

const folded = "\x00folded"

func (p *Places) problem(w rules.When, pr cond.Problem, exact bool) source.Finding {
	at := w.Place
	if exact {
		at.Col += pr.At
	}
	return source.Finding{Place: at, Code: pr.Code, What: pr.What, Hint: pr.Hint, Length: pr.Len}
}

// Problem places a problem of a condition in its file. In folded or escaped text it points
// at the start rather than at a guess.
func (p *Places) Problem(w rules.When, pr cond.Problem) source.Finding {
	_, isFolded := p.find(w.Place, folded, "")
	return p.problem(w, pr, !isFolded)
}

// sign reads the single atom of a sign or of a verdict: FACT is OPTION, or FACT is yes.
func (r *reader) sign(n *node, field string) (factID, option string) {
	w := r.condition(n, field)
	if w.Cond == nil {
		return "", ""
	}
	factID, option, ok := w.Cond.SingleAtom()
	if !ok {
		r.fail(w.Place, "not-a-sign", fmt.Sprintf("%q is more than one answer to one question", w.Text), `a sign is FACT is yes or FACT is OPTION; write one entry for each answer, and put what combines answers under "more likely" or in a rule`)
		return "", ""
	}
	return factID, option
}

// concludes takes FACT is [not] VALUE apart.
func concludes(s string) (factID string, not bool, value string, ok bool) {
	w := strings.FieldsFunc(s, blank)
	if len(w) == 4 && w[2] == "not" {
		not, w = true, []string{w[0], w[1], w[3]}
	}
	if len(w) != 3 || w[1] != "is" || !looseName(w[0]) || !looseName(w[2]) {
		return "", false, "", false
	}
	return w[0], not, w[2], true
}

// conclude reads FACT is VALUE. Whether VALUE is a choice or one of several is settled when
// the fact is known (see settle).
func (r *reader) conclude(n *node) *rules.Conclude {
	if !r.scalar(n, "conclude", "FACT is VALUE") {
		return nil
	}
	factID, not, value, ok := concludes(strings.TrimSpace(n.text))
	if !ok {
		r.fail(n.at, "bad-conclusion", fmt.Sprintf("%q is not a conclusion", n.text), "write FACT is yes, FACT is no or FACT is OPTION")
		return nil
	}
	c := &rules.Conclude{Fact: factID}
	switch {
	case value == "yes" || value == "no":
		c.Value = fact.MakeYesNo((value == "yes") != not)
	case not:
		c.Value = fact.MakeSeveral(nil, []string{value})
	default:
		c.Value = fact.MakeChoice(value)
	}
	return c
}
