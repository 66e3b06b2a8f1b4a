package cond

import (
	"strings"
	"unicode"

	"seepwright/rules/unit"
)

type kind int

const (
	end   kind = iota
	word       // a name, an option or a keyword
	sign       // < <= > >= =
	open       // (
	shut       // )
	comma      // ,
	stray      // a letter that belongs nowhere
)

// token is a piece of the text; at and len count letters.
type token struct {
	kind kind
	text string
	at   int
}

func (t token) len() int { return max(1, len([]rune(t.text))) }

// is reports whether the token is this keyword.
func (t token) is(w string) bool { return t.kind == word && t.text == w }

// lexer hands out tokens on demand, because only the parser knows whether "3" may begin a
// quantity (whose unit can hold blanks and slashes) or an option such as "3-way".
type lexer struct {
	src   string
	text  []rune
	plain bool // one byte a letter: pieces can be cut from src
	at    int

	seen     token // the token that begins at seenFrom, once it was peeked at
	seenFrom int
	seenEnd  int
}

func newLexer(s string) lexer {
	l := lexer{src: s, text: []rune(s), seenFrom: -1}
	l.plain = strings.IndexFunc(s, func(r rune) bool { return r >= 0x80 }) < 0
	return l
}

// piece is the text from one letter to another.
func (l *lexer) piece(from, to int) string {
	if l.plain {
		return l.src[from:to]
	}
	return string(l.text[from:to])
}

func isSpace(r rune) bool {
	if r < 0x80 {
		return r == ' ' || r >= '\t' && r <= '\r'
	}
	return unicode.IsSpace(r)
}

// wordRune leaves room for slips (bore_oval, Bore.oval), so that they are reported as one bad
// name and not as a row of stray letters.
func wordRune(r rune) bool {
	if r >= 'a' && r <= 'z' {
		return true
	}
	return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '-' || r == '_' || r == '.' || r == '\''
}

func (l *lexer) skip() {
	for l.at < len(l.text) && isSpace(l.text[l.at]) {
		l.at++
	}
}

// next reads one token.
func (l *lexer) next() token {
	if l.at == l.seenFrom {
		l.at = l.seenEnd
		return l.seen
	}
	l.skip()
	if l.at >= len(l.text) {
		return token{kind: end, at: len(l.text)}
	}
	start := l.at
	r := l.text[l.at]
	l.at++
	k := stray
	switch {
	case r == '(':
		k = open
	case r == ')':
		k = shut
	case r == ',':
		k = comma
	case r == '=':
		k = sign
	case r == '<' || r == '>':
		k = sign
		if l.at < len(l.text) && l.text[l.at] == '=' {
			l.at++
		}
	case wordRune(r):
		k = word
		for l.at < len(l.text) && wordRune(l.text[l.at]) {
			l.at++
		}
	}
	return token{k, l.piece(start, l.at), start}
}

// peek reads one token and stays where it is.
func (l *lexer) peek() token {
	at := l.at
	t := l.next()
	l.seen, l.seenFrom, l.seenEnd = t, at, l.at
	l.at = at
	return t
}

// numberAhead reports whether a number begins here.
func (l *lexer) numberAhead() bool {
	l.skip()
	i := l.at
	for i < len(l.text) && i < l.at+2 && strings.ContainsRune("+-.,", l.text[i]) {
		i++
	}
	return i < len(l.text) && l.text[i] >= '0' && l.text[i] <= '9'
}

// quantity reads a number and the longest run of words after it that is a unit. With no
// unit at all the first word after the number is taken for a unit that nobody knows.
func (l *lexer) quantity() (token, amount, error) {
	l.skip()
	start := l.at
	x, rest, err := unit.Number(l.piece(start, len(l.text)))
	if err != nil {
		l.word()
		return l.cut(start), amount{}, err
	}
	l.at = len(l.text) - len([]rune(rest))
	numberEnd := l.at
	best, u := -1, unit.Unit{}
	first := -1
	for n := 0; n < 4; n++ {
		if !l.word() {
			break
		}
		if first < 0 {
			first = l.at
		}
		if got, ok := unit.ByName(l.piece(numberEnd, l.at)); ok {
			best, u = l.at, got
		}
	}
	switch {
	case best >= 0:
		l.at = best
	case first >= 0:
		l.at = first
		t := l.cut(start)
		_, err := unit.Parse(t.text, "")
		return t, amount{}, err
	default:
		l.at = numberEnd
	}
	t := l.cut(start)
	return t, amount{text: t.text, number: x, unit: u}, nil
}

// word steps over one word of a unit; a keyword, a bracket or a sign ends the unit.
func (l *lexer) word() bool {
	from := l.at
	l.skip()
	start := l.at
	for l.at < len(l.text) && !isSpace(l.text[l.at]) && !strings.ContainsRune("()<>=", l.text[l.at]) {
		l.at++
	}
	switch l.piece(start, l.at) {
	case "", "and", "or", "not", "is":
		l.at = from
		return false
	}
	return true
}

func (l *lexer) cut(start int) token {
	return token{word, strings.Join(strings.Fields(l.piece(start, l.at)), " "), start}
}
