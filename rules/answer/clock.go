package answer

import (
	"regexp"
	"strconv"
	"strings"

	"seepwright/rules/fact"
)

var (
	seenFrom  = regexp.MustCompile(`(?i)[\s,]+(?:as\s+)?(?:seen\s+from|looking\s+from|viewed\s+from|from)\s+(?:the\s+)?(\S.*)$`)
	clockFace = regexp.MustCompile(`^(\d{1,2})(?:[:.](\d{2}))?$`)
)

var hourWords = map[string]int{"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
	"ten": 10, "eleven": 11, "twelve": 12, "noon": 12, "top": 12, "bottom": 6}

// clock reads "4:30", "4", "4 o'clock", "half past four", "quarter to 5", "bottom"; each
// may end in "seen from front".
func clock(text string) (fact.Value, error) {
	from := ""
	if at := seenFrom.FindStringSubmatchIndex(text); at != nil {
		from = strings.Join(strings.Fields(text[at[2]:at[3]]), " ")
		text = text[:at[0]]
	}
	bad := mistake(BadAnswer, `write it like "4:30 seen from front"; 12 is at the top`, "%q is no clock position", strings.TrimSpace(text))
	s := strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(text, "’", "'")), " "))
	for _, tail := range []string{"o'clock", "oclock"} {
		s = strings.TrimSpace(strings.TrimSuffix(s, tail))
	}
	shift := 0
	for _, lead := range []struct {
		words   string
		minutes int
	}{{"half past ", 30}, {"quarter past ", 15}, {"a quarter past ", 15}, {"quarter to ", -15}, {"a quarter to ", -15}} {
		if strings.HasPrefix(s, lead.words) {
			s, shift = strings.TrimPrefix(s, lead.words), lead.minutes
		}
	}
	hour, minute := 0, 0
	if h, ok := hourWords[strings.TrimPrefix(s, "the ")]; ok {
		hour = h
	} else {
		m := clockFace.FindStringSubmatch(s)
		if m == nil || m[2] != "" && shift != 0 {
			return fact.Value{}, bad
		}
		hour, _ = strconv.Atoi(m[1])
		minute, _ = strconv.Atoi(m[2])
	}
	if hour < 1 || hour > 12 || minute > 59 {
		return fact.Value{}, mistake(BadAnswer, "12 is at the top, 6 at the bottom", "%q: a clock face has the hours 1 to 12", s)
	}
	minutes := (hour%12*60 + minute + shift + 720) % 720
	if minutes == 0 {
		minutes = 720
	}
	return fact.MakeClock(float64(minutes/60)+float64(minutes%60)/60, from), nil
}
