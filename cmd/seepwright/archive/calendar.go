package archive

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"
)

// Date is something that falls due.
type Date struct {
	At    time.Time // zero: no date, at each run
	Case  string    // "" where it is of the unit
	Unit  string
	Joint string
	Kind  string
	What  string
	Notes []string
	Until bool // not before At
}

// Calendar writes dates as iCalendar (RFC 5545): an event of a whole day each, with a name that
// stays the same as long as what is due does, so that a calendar that takes it in again moves
// it. What has no date is left out. Lines end in CRLF and are folded at 75 octets.
func Calendar(list []Date, stamp time.Time) string {
	var b strings.Builder
	line := func(name, value string) { b.WriteString(fold(name + ":" + value)) }
	line("BEGIN", "VCALENDAR")
	line("VERSION", "2.0")
	line("PRODID", "-//seepwright//due dates//EN")
	line("CALSCALE", "GREGORIAN")
	for _, d := range list {
		if d.At.IsZero() {
			continue
		}
		at := d.At.Local()
		line("BEGIN", "VEVENT")
		line("UID", d.uid()+"@seepwright.invalid")
		line("DTSTAMP", stamp.UTC().Format("20060102T150405Z"))
		line("DTSTART;VALUE=DATE", at.Format("20060102"))
		line("DTEND;VALUE=DATE", at.AddDate(0, 0, 1).Format("20060102")) // the first day that it is not any more
		title := d.What
		if at := strings.Join(nonempty(d.Unit, d.Joint), ", "); at != "" {
			title = at + ": " + title
		}
		line("SUMMARY", escaped(title))
		if notes := nonempty(append(append([]string{}, d.Notes...), caseLine(d.Case))...); len(notes) > 0 {
			line("DESCRIPTION", escaped(strings.Join(notes, "\n")))
		}
		line("TRANSP", "TRANSPARENT") // it takes no time out of the day
		line("END", "VEVENT")
	}
	line("END", "VCALENDAR")
	return b.String()
}

func caseLine(id string) string {
	if id == "" {
		return ""
	}
	return "seepwright case show " + id
}

// uid names what is due by what stays: not by its date.
func (d Date) uid() string {
	sum := sha256.Sum256([]byte(strings.Join([]string{d.Case, d.Unit, d.Joint, d.Kind, d.What}, "\x00")))
	return hex.EncodeToString(sum[:16])
}

func nonempty(list ...string) []string {
	var out []string
	for _, s := range list {
		if s != "" {
			out = append(out, s)
		}
	}
	return out
}

// escaped writes a text value (RFC 5545, 3.3.11). Other control characters have no place in it.
func escaped(s string) string {
	s = strings.ToValidUTF8(strings.ReplaceAll(s, "\r\n", "\n"), "\ufffd")
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '\\' || r == ';' || r == ',':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r < ' ' || r == 0x7f:
			b.WriteByte(' ')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// fold breaks a line so that none has more than 75 octets, never inside a letter, and ends it
// (RFC 5545, 3.1).
func fold(line string) string {
	var b strings.Builder
	room := 75
	for line != "" {
		n := 0
		for n < len(line) {
			_, size := utf8.DecodeRuneInString(line[n:])
			if n+size > room {
				break
			}
			n += size
		}
		b.WriteString(line[:n] + "\r\n")
		if line = line[n:]; line != "" {
			b.WriteByte(' ')
		}
		room = 74
	}
	return b.String()
}

// DueText is a list of dates to be read.
func DueText(list []Date, now time.Time, w Words) string {
	var b strings.Builder
	group := func(title string, fits func(Date) bool) {
		first := true
		for _, d := range list {
			if !fits(d) {
				continue
			}
			if first {
				if b.Len() > 0 {
					b.WriteByte('\n')
				}
				b.WriteString(title + "\n")
				first = false
			}
			lead := "  "
			if !d.At.IsZero() {
				lead += day(d.At) + "  "
			}
			pad := strings.Repeat(" ", len(lead))
			what := d.What
			if d.Until {
				what = "not before: " + what
			}
			if at := strings.Join(nonempty(d.Unit, d.Joint), ", "); at != "" {
				what = at + ": " + what
			}
			if d.Case != "" {
				what += " [" + d.Case + "]"
			}
			b.WriteString(w.Wrap(what, lead, pad))
			for _, n := range d.Notes {
				b.WriteString(w.Wrap(n, pad, pad))
			}
		}
	}
	late := func(d Date) bool { return !d.At.IsZero() && !d.Until && d.At.Before(now) }
	group("Overdue", late)
	group("Due", func(d Date) bool { return !d.At.IsZero() && !late(d) })
	group("At each run, without a date", func(d Date) bool { return d.At.IsZero() })
	if len(list) == 0 {
		fmt.Fprintln(&b, "Nothing is due that the cases know of.")
	}
	return b.String()
}
