package archive

import (
	"fmt"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// event is what a reader of calendars gets.
type event map[string]string

// parseCalendar reads the part of RFC 5545 that due dates use, strictly, and written from the
// document, not from the writer.
func parseCalendar(text string) ([]event, error) {
	if !strings.HasSuffix(text, "\r\n") || strings.Count(text, "\n") != strings.Count(text, "\r\n") || strings.Count(text, "\r") != strings.Count(text, "\r\n") {
		return nil, fmt.Errorf("a line does not end in CRLF")
	}
	var lines []string
	for _, l := range strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		if len(l) > 75 {
			return nil, fmt.Errorf("%d octets: %q", len(l), l)
		}
		if !utf8.ValidString(l) {
			return nil, fmt.Errorf("a letter is broken in two: %q", l)
		}
		if strings.HasPrefix(l, " ") {
			if len(lines) == 0 {
				return nil, fmt.Errorf("it begins with a continuation")
			}
			lines[len(lines)-1] += l[1:]
			continue
		}
		lines = append(lines, l)
	}
	var out []event
	var open []string
	var now event
	seen := map[string]bool{}
	for _, l := range lines {
		head, value, ok := strings.Cut(l, ":")
		if !ok {
			return nil, fmt.Errorf("no property: %q", l)
		}
		name, param, _ := strings.Cut(head, ";")
		switch name {
		case "BEGIN":
			open = append(open, value)
			if value == "VEVENT" {
				now = event{}
			}
			continue
		case "END":
			if len(open) == 0 || open[len(open)-1] != value {
				return nil, fmt.Errorf("END:%s", value)
			}
			open = open[:len(open)-1]
			if value == "VEVENT" {
				for _, must := range []string{"UID", "DTSTAMP", "DTSTART"} {
					if now[must] == "" {
						return nil, fmt.Errorf("an event without %s", must)
					}
				}
				if seen[now["UID"]] {
					return nil, fmt.Errorf("the UID %s twice", now["UID"])
				}
				seen[now["UID"]] = true
				out = append(out, now)
				now = nil
			}
			continue
		}
		if now == nil {
			seen[name] = true
			continue
		}
		if _, twice := now[name]; twice {
			return nil, fmt.Errorf("%s twice", name)
		}
		form := map[string]string{"DTSTAMP": "20060102T150405Z", "DTSTART": "20060102", "DTEND": "20060102"}[name]
		if form != "" {
			if _, err := time.Parse(form, value); err != nil || name != "DTSTAMP" && param != "VALUE=DATE" {
				return nil, fmt.Errorf("%s is %q", head, value)
			}
		}
		if name == "SUMMARY" || name == "DESCRIPTION" {
			var b strings.Builder
			for i := 0; i < len(value); i++ {
				switch c := value[i]; {
				case c == '\\' && i+1 < len(value):
					i++
					switch value[i] {
					case 'n', 'N':
						b.WriteByte('\n')
					case '\\', ';', ',':
						b.WriteByte(value[i])
					default:
						return nil, fmt.Errorf("no escape: \\%c", value[i])
					}
				case c == ';' || c == ',' || c == '\\' || c < ' ':
					return nil, fmt.Errorf("%q stands bare in a text", c)
				default:
					b.WriteByte(c)
				}
			}
			value = b.String()
		}
		now[name] = value
	}
	if len(open) > 0 || !seen["VERSION"] || !seen["PRODID"] {
		return nil, fmt.Errorf("the calendar is not whole")
	}
	return out, nil
}

func TestACalendarSaysWhatIsDue(t *testing.T) {
	list := []Date{
		{At: on(7), Case: "2026-05-04-cooler", Unit: pumphouse, Joint: "pad", Kind: "recheck", What: "Recheck after a week; a dry tissue, and the level"},
		{At: on(100), Unit: pumphouse, Kind: "service", What: "renew the coolant", Notes: []string{"with it: rings\\caps"}},
		{What: "without a date"},
	}
	text := Calendar(list, monday)
	events, err := parseCalendar(text)
	require.NoError(t, err)
	require.Len(t, events, 2)
	assert.Equal(t, pumphouse+", pad: "+list[0].What, events[0]["SUMMARY"])
	assert.Equal(t, "seepwright case show 2026-05-04-cooler", events[0]["DESCRIPTION"])
	assert.Equal(t, on(7).Local().Format("20060102"), events[0]["DTSTART"])
	assert.Equal(t, on(8).Local().Format("20060102"), events[0]["DTEND"])
	assert.Equal(t, "with it: rings\\caps", events[1]["DESCRIPTION"])
	moved := list[0]
	moved.At = on(20)
	again, err := parseCalendar(Calendar([]Date{moved}, on(1)))
	require.NoError(t, err)
	assert.Equal(t, events[0]["UID"], again[0]["UID"], "what is due stays the same when its day moves")
	none, err := parseCalendar(Calendar(nil, monday))
	require.NoError(t, err)
	assert.Empty(t, none)
}

func TestAnyTextComesBackFromACalendar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Date{At: monday, What: rapid.String().Draw(t, "what"), Unit: rapid.String().Draw(t, "unit"), Notes: []string{rapid.StringN(0, 300, -1).Draw(t, "note")}}
		events, err := parseCalendar(Calendar([]Date{d}, monday))
		require.NoError(t, err)
		require.Len(t, events, 1)
		plainly := func(s string) string {
			return strings.Map(func(r rune) rune {
				if r < ' ' && r != '\n' || r == 0x7f {
					return ' '
				}
				return r
			}, strings.ReplaceAll(s, "\r\n", "\n"))
		}
		want := d.What
		if d.Unit != "" {
			want = d.Unit + ": " + want
		}
		assert.Equal(t, plainly(want), events[0]["SUMMARY"])
		assert.Equal(t, plainly(d.Notes[0]), events[0]["DESCRIPTION"])
	})
}

func TestDatesAreReadInTheirGroups(t *testing.T) {
	text := DueText([]Date{
		{At: on(-3), Case: "c", Joint: "pad", What: "Recheck after a week"}, {At: on(-1), What: "fill it", Until: true}, {At: on(9), Unit: "pump", What: "renew the rings", Notes: []string{"sum"}},
		{What: "look"},
	}, on(0), words)
	assert.Equal(t, "Overdue\n  2026-05-01  pad: Recheck after a week [c]\n\nDue\n  2026-05-03  not before: fill it\n  2026-05-13  pump: renew the rings\n              sum\n\nAt each run, without a date\n  look\n", text)
	assert.Equal(t, "Nothing is due that the cases know of.\n", DueText(nil, monday, words))
}
