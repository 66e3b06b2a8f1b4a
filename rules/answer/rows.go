package answer

import (
	"fmt"
	"regexp"
	"strings"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// MaxReadings is the longest row that is read.
const MaxReadings = 10000

var (
	// A place before a reading: "3:00 12.03 mm", "3 o'clock 12.03 mm", "90 deg: 12.03 mm".
	clockPlace = regexp.MustCompile(`^(?i)(?:at\s+)?(\d{1,2}:\d{2}|\d{1,2}\s*o['’]?clock)[:\s]\s*(\S.*)$`)
	otherPlace = regexp.MustCompile(`^(?:at\s+)?([^:]+):\s+(\S.*)$`)
	// Readings are parted by ; or a line, or by a comma with a blank after it, which no
	// decimal comma has.
	between = regexp.MustCompile(`\s*(?:;|\n|,\s)\s*`)
	bare    = regexp.MustCompile(`^[+-]?[0-9]+(?:[.,][0-9]+)?$`)
)

// rowText reads a row as typed: "12.03; 12.01; 12.05 mm by micrometer", "3:00 12.03 mm;
// 6:00 12.01 mm", "12.03 12.01 12.05 mm".
func rowText(f *rules.Fact, text string, tools Instruments) (fact.Value, error) {
	var items []string
	for _, item := range between.Split(text, -1) {
		if item = strings.TrimSpace(item); item != "" {
			items = append(items, apart(item)...)
		}
	}
	return row(f, items, nil, "", tools)
}

// apart splits "12.03 12.01 12.05 mm" where bare numbers follow each other.
func apart(item string) []string {
	words := strings.Fields(item)
	var out []string
	for len(words) > 1 && bare.MatchString(words[0]) && bare.MatchString(words[1]) {
		out, words = append(out, words[0]), words[1:]
	}
	if len(out) == 0 {
		return []string{item}
	}
	return append(out, strings.Join(words, " "))
}

// row reads the readings one by one. What only the last one says (unit, uncertainty,
// instrument) holds for those before it that say nothing of it. Each reading carries its whole
// uncertainty; that half of it is common to the row is the business of the calculations.
func row(f *rules.Fact, items, at []string, common string, tools Instruments) (fact.Value, error) {
	if len(items) == 0 {
		return fact.Value{}, mistake(EmptyAnswer, "write the readings as a list, or cant-tell", "there are no readings")
	}
	if len(items) > MaxReadings {
		return fact.Value{}, mistake(BadAnswer, "leave some out", "there are %d readings; %d are read", len(items), MaxReadings)
	}
	tail := common
	if tail == "" {
		tail = tailOf(items[len(items)-1])
	}
	rows := make([]fact.Reading, len(items))
	for i, item := range items {
		place := ""
		if i < len(at) {
			place = strings.TrimSpace(at[i])
		}
		if place == "" {
			place, item = placeOf(item)
		}
		m, err := quantity(f, complete(item, tail), tools)
		if err != nil {
			return fact.Value{}, inReading(i, item, err)
		}
		rows[i] = fact.Reading{At: place, Measure: m}
	}
	return believable(f, fact.MakeReadings(rows))
}

func inReading(i int, item string, err error) error {
	if m, ok := err.(*Mistake); ok {
		return mistake(m.Code, m.Hint, "reading %d (%s): %s", i+1, strings.TrimSpace(item), m.What)
	}
	return fmt.Errorf("reading %d: %w", i+1, err)
}

func placeOf(item string) (place, rest string) {
	item = strings.TrimSpace(item)
	for _, re := range []*regexp.Regexp{clockPlace, otherPlace} {
		if m := re.FindStringSubmatch(item); m != nil {
			return strings.TrimSpace(m[1]), m[2]
		}
	}
	return "", item
}

// tailOf is what follows the number in a reading: "mm by micrometer".
func tailOf(item string) string {
	_, item = placeOf(item)
	if _, rest, err := unit.Number(item); err == nil {
		return strings.TrimSpace(rest)
	}
	return ""
}

// complete adds to a reading what it leaves to the row.
func complete(item, tail string) string {
	if tail == "" {
		return item
	}
	own := tailOf(item)
	if own == "" {
		return item + " " + tail
	}
	_, spread, by := cut("0 " + own)
	_, rowSpread, rowBy := cut("0 " + tail)
	if spread == "" && rowSpread != "" && by == "" {
		item += " +/- " + rowSpread
	}
	if by == "" && rowBy != "" {
		item += " by " + rowBy
	}
	return item
}
