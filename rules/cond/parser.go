package cond

import (
	"errors"
	"fmt"
	"strings"

	"seepwright/rules/unit"
)

// The limits keep a hostile or broken file from costing more than a message.
const (
	MaxLetters = 2000 // blanks do not count
	MaxNesting = 50   // brackets and "not" within one another
)

// Codes of the problems, each with its own explanation in the documentation of findings.
const (
	Syntax         = "condition-syntax"
	TooLong        = "condition-too-long"
	TooDeep        = "condition-too-deep"
	BadQuantity    = "bad-quantity"
	UnknownName    = "unknown-name"
	UnknownOption  = "unknown-option"
	WrongDimension = "wrong-dimension"
	NotAQuantity   = "not-a-quantity"
	NeedsLimit     = "needs-limit"
	EmptyRange     = "empty-range"
)

// Codes lists all codes that this package gives.
func Codes() []string {
	return []string{BadQuantity, TooDeep, Syntax, TooLong, EmptyRange, NeedsLimit, NotAQuantity, UnknownName, UnknownOption, WrongDimension}
}

// Parse reads a condition. It returns either a condition or all problems found, in the order
// of the text. A blank text is the nil condition, which is always true.
func Parse(text string) (*Cond, []Problem) {
	letters := 0
	for _, r := range text {
		if !isSpace(r) {
			letters++
		}
	}
	if letters == 0 {
		return nil, nil
	}
	if letters > MaxLetters {
		return nil, []Problem{{TooLong, 0, 1, fmt.Sprintf("the condition has %d letters; %d are allowed", letters, MaxLetters),
			"make two rules of it: the first concludes a fact, the second reads that fact"}}
	}
	p := &parser{lex: newLexer(text)}
	root := p.either(0)
	for t := p.lex.next(); t.kind != end; t = p.lex.next() {
		switch {
		case p.lost: // only the first thing that does not fit is worth a message
		case t.kind == shut:
			p.problem(Syntax, t, "a closing bracket without an opening one", "take it out, or add \"(\" before it")
		default:
			p.expected(t, `"and", "or" or the end`)
		}
		p.lost = true
	}
	if len(p.problems) > 0 {
		return nil, p.problems
	}
	return &Cond{Text: text, root: root}, nil
}

// MustParse is Parse for conditions written in code; it panics on a mistake.
func MustParse(text string) *Cond {
	c, problems := Parse(text)
	if len(problems) > 0 {
		panic(fmt.Sprintf("condition %q: %s", text, problems[0].What))
	}
	return c
}

type parser struct {
	lex      lexer
	problems []Problem
	lost     bool // a problem was just reported; what follows would be its echo
}

func (p *parser) problem(code string, t token, what, hint string) {
	p.problems = append(p.problems, Problem{Code: code, At: t.at, Len: t.len(), What: what, Hint: hint})
}

func (p *parser) expected(t token, what string) {
	found := fmt.Sprintf("found %q", t.text)
	if t.kind == end {
		found = "the condition ends here"
	}
	p.problem(Syntax, t, found+" where "+what+" is wanted", hintFor(t))
}

func hintFor(t token) string {
	switch strings.ToLower(t.text) {
	case "&", "&&":
		return `write "and"`
	case "|", "||":
		return `write "or"`
	case "!":
		return `write "not", or "is not"`
	case "==", "equals", "are", "was":
		return `write "is" for an answer, "=" for a quantity`
	case "and", "or", "not", "is":
		if t.text != strings.ToLower(t.text) {
			return "write it in small letters: " + strings.ToLower(t.text)
		}
	}
	return ""
}

// recover steps to where the next part can begin: "and", "or", a bracket that closes one
// already open, or the end.
func (p *parser) recover() {
	for depth := 0; ; {
		t := p.lex.peek()
		switch {
		case t.kind == end, depth == 0 && (t.kind == shut || t.is("and") || t.is("or")):
			return
		case t.kind == open:
			depth++
		case t.kind == shut:
			depth--
		}
		p.lex.next()
	}
}

// either is: both {"or" both}
func (p *parser) either(depth int) node {
	return p.row("or", func() node { return p.both(depth) })
}

// both is: single {"and" single}
func (p *parser) both(depth int) node {
	return p.row("and", func() node { return p.single(depth) })
}

func (p *parser) row(word string, part func() node) node {
	parts := []node{part()}
	for p.lex.peek().is(word) {
		p.lex.next()
		p.lost = false
		parts = append(parts, part())
	}
	if len(parts) == 1 {
		return parts[0]
	}
	return &junction{word, parts}
}

// single is: "not" single | "(" either ")" | atom
func (p *parser) single(depth int) node {
	t := p.lex.peek()
	if depth >= MaxNesting && (t.is("not") || t.kind == open) {
		p.problem(TooDeep, t, fmt.Sprintf("brackets more than %d deep", MaxNesting), "make two rules of it")
		p.lex.at, p.lost = len(p.lex.text), true // anything after it would be an echo
		return nil
	}
	switch {
	case t.is("not"):
		p.lex.next()
		return &negation{p.single(depth + 1)}
	case t.kind == open:
		p.lex.next()
		inner := p.either(depth + 1)
		c := p.lex.peek()
		if c.kind == shut {
			p.lex.next()
			p.lost = false
			return inner
		}
		if !p.lost {
			if c.kind == end {
				p.problem(Syntax, t, "this bracket is never closed", `add ")"`)
			} else {
				p.expected(c, `"and", "or" or ")"`)
			}
			p.lost = true
		}
		p.recover()
		if p.lex.peek().kind == shut {
			p.lex.next()
		}
		return inner
	}
	return p.atom()
}

// atom is one comparison or one "is". On a problem it steps to the next part.
func (p *parser) atom() node {
	before := len(p.problems)
	n := p.bareAtom()
	if len(p.problems) > before {
		p.lost = true
		p.recover()
		return nil
	}
	return n
}

func (p *parser) bareAtom() node {
	fact, ok := p.name("the name of a fact")
	if !ok {
		return nil
	}
	t := p.lex.next()
	switch {
	case t.is("is"):
		return p.afterIs(fact)
	case t.kind == sign:
		return p.afterSign(fact, t)
	}
	if t.kind == end || t.kind == shut || t.is("and") || t.is("or") {
		p.lex.at = t.at
		p.problem(Syntax, token{word, fact.id, fact.at}, fmt.Sprintf("%q is not yet a condition", fact.id),
			fmt.Sprintf("write \"%s is yes\", or what it is compared with", fact.id))
		return nil
	}
	p.expected(t, `"is" or one of < <= > >= =`)
	return nil
}

// name reads a fact or an option: small letters, digits and hyphens.
func (p *parser) name(wanted string) (name, bool) {
	t := p.lex.peek()
	if t.kind != word || keyword(t.text) {
		p.expected(t, wanted)
		if t.kind == stray {
			p.lex.next()
		}
		return name{}, false
	}
	p.lex.next()
	if !plain(t.text) {
		p.problem(Syntax, t, fmt.Sprintf("%q is no name", t.text), "names have small letters, digits and hyphens: "+kebab(t.text))
		return name{}, false
	}
	return name{t.text, t.at}, true
}

func keyword(s string) bool {
	switch s {
	case "and", "or", "not", "is", "between":
		return true
	}
	return false
}

func plain(s string) bool {
	for i, r := range s {
		if !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '-' && i > 0) {
			return false
		}
	}
	return !strings.HasSuffix(s, "-")
}

func kebab(s string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(s) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0:
			b.WriteByte('-')
		}
	}
	return strings.Trim(b.String(), "-")
}

func (p *parser) afterIs(fact name) node {
	t := p.lex.peek()
	not := t.is("not")
	if not {
		p.lex.next()
		t = p.lex.peek()
	}
	if t.is("between") {
		if not {
			p.problem(Syntax, t, `"is not between" is not understood`, fmt.Sprintf("write \"not %s is between ...\"", fact.id))
		}
		p.lex.next()
		return p.afterBetween(fact)
	}
	if t.is("one") {
		p.lex.next()
		if p.lex.peek().is("of") {
			p.lex.next()
			options, ok := p.options()
			if !ok {
				return nil
			}
			return &choice{fact: fact, not: not, oneOf: true, options: options}
		}
		return &choice{fact: fact, not: not, options: []name{{"one", t.at}}}
	}
	o, ok := p.name(`an answer (yes, no or an option)`)
	if !ok {
		return nil
	}
	return &choice{fact: fact, not: not, options: []name{o}}
}

// options is: "(" OPTION {"," OPTION} ")"
func (p *parser) options() (list []name, ok bool) {
	if t := p.lex.peek(); t.kind != open {
		p.expected(t, `"(" after "one of"`)
		return nil, false
	}
	p.lex.next()
	for {
		o, ok := p.name("an option")
		if !ok {
			return nil, false
		}
		list = append(list, o)
		switch t := p.lex.next(); t.kind {
		case comma:
		case shut:
			return list, true
		default:
			p.lex.at = t.at
			p.expected(t, `"," or ")"`)
			return nil, false
		}
	}
}

func (p *parser) afterSign(fact name, t token) node {
	if n := p.lex.peek(); n.kind == sign && n.at == t.at+t.len() {
		p.lex.next()
		p.problem(Syntax, token{sign, t.text + n.text, t.at}, fmt.Sprintf("no comparison is written %q", t.text+n.text), "use one of < <= > >= =")
		return nil
	}
	if p.lex.numberAhead() {
		limit, ok := p.amount()
		if !ok {
			return nil
		}
		return &comparison{fact: fact, sign: t.text, limit: limit}
	}
	other, ok := p.name("a quantity or the name of a fact")
	if !ok {
		return nil
	}
	return &comparison{fact: fact, sign: t.text, other: other}
}

func (p *parser) afterBetween(fact name) node {
	low, ok := p.between()
	if !ok {
		return nil
	}
	if t := p.lex.peek(); !t.is("and") {
		p.expected(t, `"and" and the upper limit`)
		if !t.is("or") { // after "or" the limit can still be read
			return nil
		}
	}
	p.lex.next()
	high, ok := p.between()
	if !ok {
		return nil
	}
	return &between{fact, low, high}
}

func (p *parser) between() (amount, bool) {
	if !p.lex.numberAhead() {
		p.expected(p.lex.peek(), "a quantity")
		return amount{}, false
	}
	return p.amount()
}

func (p *parser) amount() (amount, bool) {
	t, a, err := p.lex.quantity()
	if err != nil {
		what, bad := err.Error(), (*unit.BadQuantity)(nil)
		if errors.As(err, &bad) {
			what = fmt.Sprintf("%q is no quantity: %s", t.text, bad.What)
		}
		p.problem(BadQuantity, t, what, `a quantity is a number and a unit, such as "0.05 mm" or "30 %"`)
		return amount{}, false
	}
	a.at = t.at
	return a, true
}
