package errand

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"seepwright/cmd/seepwright/report"
)

// Text draws the slip for a screen or a strip of paper of that many letters.
func (s Slip) Text(w io.Writer, width int) error {
	var b strings.Builder
	put := func(lead, pad, format string, args ...any) {
		b.WriteString(report.Wrap(fmt.Sprintf(format, args...), width, utf8.RuneCountInString(pad), lead, pad))
	}
	put("", "", "%s", s.head())
	for _, line := range s.stops() {
		put("", "", "%s", line)
	}
	for _, g := range s.Groups {
		b.WriteByte('\n')
		put("", "", "%s", strings.ToUpper(g.State[:1])+g.State[1:]+":")
		for _, l := range g.Looks {
			for _, c := range l.Cautions {
				put("", "  ", "CAUTION: %s", c)
			}
			put("[ ] ", "    ", "%d. %s, %s", l.Number, l.name(), spell(l.Minutes))
			if n := l.notes(); n != "" {
				put("    ", "    ", "%s", n)
			}
			for _, q := range l.Questions {
				b.WriteString(q.line(l, width))
			}
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Least and usual room to write, in letters.
const (
	leastRoom = 12
	usualRoom = 40
)

// line is a question with room to write: at the end of its last line where that is enough, else
// on a line of its own.
func (q Question) line(l Look, width int) string {
	const indent = 7
	pad := strings.Repeat(" ", indent)
	text := q.text(l)
	unit := q.Unit
	if unit != "" {
		unit = " " + unit
	}
	lead := fmt.Sprintf("    %-3s", q.Mark)
	out := ""
	last := lead
	if text != "" {
		out = strings.TrimSuffix(report.Wrap(text, width, indent, lead, pad), "\n")
		last = out[strings.LastIndex(out, "\n")+1:]
	} else {
		out = lead
	}
	after := utf8.RuneCountInString(unit)
	room := width - utf8.RuneCountInString(last) - 1 - after
	if room >= leastRoom {
		return out + " " + strings.Repeat("_", min(room, usualRoom)) + unit + "\n"
	}
	return out + "\n" + pad + strings.Repeat("_", max(min(width-indent-after, usualRoom), 6)) + unit + "\n"
}

// text is what is asked; a question that is the title of its look is not said twice.
func (q Question) text(l Look) string {
	ask := q.Ask
	if ask == l.Title {
		ask = ""
	}
	return strings.TrimSpace(ask + " " + q.options())
}

// Markdown writes the slip as a list to tick.
func (s Slip) Markdown(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n\n", escaper.Replace(s.head()))
	for _, line := range s.stops() {
		fmt.Fprintf(&b, "**%s**\n\n", escaper.Replace(line))
	}
	for _, g := range s.Groups {
		fmt.Fprintf(&b, "## %s\n\n", escaper.Replace(strings.ToUpper(g.State[:1])+g.State[1:]))
		for _, l := range g.Looks {
			for _, c := range l.Cautions {
				fmt.Fprintf(&b, "- **Caution:** %s\n", escaper.Replace(c))
			}
			fmt.Fprintf(&b, "- [ ] **%d. %s**, %s\n", l.Number, escaper.Replace(l.name()), spell(l.Minutes))
			if n := l.notes(); n != "" {
				fmt.Fprintf(&b, "  %s\n", escaper.Replace(n))
			}
			for _, q := range l.Questions {
				fmt.Fprintf(&b, "  - %s %s ____________ %s\n", q.Mark, escaper.Replace(q.text(l)), escaper.Replace(q.Unit))
			}
		}
		b.WriteByte('\n')
	}
	_, err := io.WriteString(w, b.String())
	return err
}

var escaper = strings.NewReplacer(`\`, `\\`, "*", `\*`, "_", `\_`, "`", "\\`", "<", "&lt;", "[", `\[`, "|", `\|`, "#", `\#`, "\n", " ")

func (s Slip) head() string {
	out := "Errand"
	if s.Case != "" {
		out += " for " + s.Case
	} else if s.Unit != "" {
		out += " for " + s.Unit
	}
	return fmt.Sprintf("%s: %s, one walk, about %s. Slip %s.", out, looks(len(s.Looks())), spell(s.Minutes), s.Code)
}

func (s Slip) stops() []string {
	if s.Stop == "" {
		return nil
	}
	out := []string{"STOP: " + s.Stop}
	for _, m := range s.Safe {
		out = append(out, "First: "+m)
	}
	return out
}

func looks(n int) string {
	if n == 1 {
		return "1 look"
	}
	return fmt.Sprintf("%d looks", n)
}

func (l Look) name() string {
	if l.Place != "" {
		return l.Title + " (" + l.Place + ")"
	}
	return l.Title
}

// notes are how it is done, with what, and what it wipes out.
func (l Look) notes() string {
	var out []string
	if l.How != "" {
		out = append(out, ended(l.How))
	}
	if len(l.Tools) > 0 {
		out = append(out, "With: "+strings.Join(l.Tools, ", ")+".")
	}
	if len(l.Borrow) > 0 {
		out = append(out, "Borrow: "+strings.Join(l.Borrow, ", ")+".")
	}
	if len(l.Wipes) > 0 {
		out = append(out, "Photograph first, it wipes out the "+strings.Join(l.Wipes, ", ")+".")
	}
	return strings.Join(out, " ")
}

// ended ends a sentence that has no end of its own.
func ended(s string) string {
	if strings.HasSuffix(s, ".") || strings.HasSuffix(s, "?") || strings.HasSuffix(s, "!") {
		return s
	}
	return s + "."
}

// options are the answers that can be given; where they are many words each has its number.
func (q Question) options() string {
	if len(q.Options) == 0 {
		return ""
	}
	if len(q.Options) == 2 && q.Options[0] == "yes" {
		return "yes / no"
	}
	var out []string
	for i, o := range q.Options {
		out = append(out, fmt.Sprintf("%d %s", i+1, o))
	}
	s := strings.Join(out, " / ")
	if q.Several {
		s += " / 0 none of these"
	}
	return s
}

// spell says minutes: below ten as they are, then in fives, then in hours.
func spell(m float64) string {
	switch {
	case m < 1:
		return "a minute"
	case m < 10:
		return fmt.Sprintf("%.0f min", m)
	case m < 120:
		return fmt.Sprintf("%.0f min", 5*math.Round(m/5))
	}
	return fmt.Sprintf("%g h", math.Round(m/30)/2)
}
