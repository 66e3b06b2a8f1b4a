package report

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Text writes blocks for a screen of the given width (at least 40), without colour and
// without any character that a pipe or a message would garble.
func Text(w io.Writer, blocks []Block, width int) error {
	width = max(width, 40)
	var b strings.Builder
	hang, item := 0, 0 // of notes; of the item that they stand under
	for _, x := range blocks {
		switch x.Kind {
		case Verdict:
			b.WriteString(Wrap(x.Text, width, 0, "", ""))
		case Heading:
			b.WriteString("\n" + Wrap(x.Text, width, 0, "", "") + strings.Repeat("-", min(width, utf8.RuneCountInString(x.Text))) + "\n")
			hang = 0
		case Para:
			b.WriteString(Wrap(x.Text, width, 0, "", ""))
			hang = 2
		case Item:
			b.WriteString(Wrap(x.Text, width, 2, "- ", "  "))
			hang, item = 2, 2
		case Numbered:
			lead := x.Mark + ". "
			b.WriteString(Wrap(x.Text, width, len(lead), lead, strings.Repeat(" ", len(lead))))
			hang, item = len(lead), len(lead)
		case Box:
			b.WriteString(Wrap(x.Text, width, 4, "[ ] ", "    "))
			hang = 4
		case Sub:
			pad := strings.Repeat(" ", item)
			b.WriteString(Wrap(x.Text, width, item+2, pad+"- ", pad+"  "))
			hang = item + 2
		case Note:
			pad := strings.Repeat(" ", hang)
			b.WriteString(Wrap(x.Text, width, hang, pad, pad))
		}
	}
	_, err := fmt.Fprint(w, b.String())
	return err
}

// Wrap breaks text into lines of at most width letters; the first line starts with lead, the
// others with pad. A word that is too long for a line is broken; a number keeps its unit.
func Wrap(text string, width, indent int, lead, pad string) string {
	room := max(width-indent, 8)
	var b strings.Builder
	b.Grow(len(text) + len(text)/8 + 16)
	n, lines := 0, 0 // letters on this line; lines begun
	begin := func() {
		if lines > 0 {
			b.WriteString("\n" + pad)
		} else {
			b.WriteString(lead)
		}
		n = 0
		lines++
	}
	begin()
	words := strings.Fields(text)
	for i, word := range words {
		word = printable(word)
		k := utf8.RuneCountInString(word)
		need := k
		if i+1 < len(words) && carries(word, words[i+1]) && k+1+utf8.RuneCountInString(words[i+1]) <= room {
			need += 1 + utf8.RuneCountInString(words[i+1])
		}
		if n > 0 && n+1+need > room {
			begin()
		}
		for ; k > room; k -= room {
			cut := []rune(word)
			b.WriteString(string(cut[:room]))
			word = string(cut[room:])
			begin()
		}
		if n > 0 {
			b.WriteByte(' ')
			n++
		}
		b.WriteString(word)
		n += k
	}
	b.WriteByte('\n')
	return b.String()
}

// units are the short marks that stay on the line of their number.
var units = []string{"%", "mm", "um", "cm", "m", "bar", "mbar", "kPa", "MPa", "N", "kN", "C", "K", "s", "min", "h", "days", "mL", "L", "g", "kg", "V", "W", "o'clock", "Shore"}

// Bind keeps each number on the line of its unit and of its doubt, by a space that does not break.
func Bind(text string) string {
	words := strings.Split(text, " ")
	var b strings.Builder
	for i, w := range words {
		b.WriteString(w)
		switch {
		case i+1 == len(words):
		case w == "±" || words[i+1] == "±" || w != "" && carries(w, words[i+1]):
			b.WriteString("\u00a0")
		default:
			b.WriteByte(' ')
		}
	}
	return b.String()
}

// carries tells a number with its unit behind it.
func carries(number, unit string) bool {
	last := number[len(number)-1]
	return last >= '0' && last <= '9' && slices.Contains(units, strings.TrimRight(unit, ".,;:)"))
}

// printable takes out what would command a terminal instead of being shown.
func printable(word string) string {
	if strings.IndexFunc(word, unicode.IsControl) < 0 {
		return word
	}
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return unicode.ReplacementChar
		}
		return r
	}, word)
}
