package report

import (
	"strings"

	"seepwright/engine"
)

// Part is a part of the plan: its name in a plan step, and its heading.
type Part struct{ ID, Title string }

// Parts are the parts of a plan in the order of the work.
var Parts = []Part{
	{"before", "First, make it safe"}, {"try", "Try first, nothing opened"}, {"strip", "Strip down"}, {"decide", "Decide: use, rework or replace"}, {"mend", "Mend"},
	{"reassemble", "Put together"}, {"bench", "Test on the bench"}, {"refit", "Refit"}, {"retest", "Prove it dry"},
}

// RunWords is the run verdict in words.
func RunWords(verdict string) string {
	switch verdict {
	case "watched":
		return "RUN WATCHED"
	case "leave":
		return "LEAVE IT AND WATCH"
	case "dry":
		return "DRY"
	}
	return "STOP"
}

// CautionWords is a caution as one text, with who is to be called and whether it is known to hold.
func CautionWords(c engine.Caution) string {
	s := c.Warning
	if c.Refer != "" {
		s += " Stop and call licensed practice: " + strings.TrimSuffix(c.Refer, ".") + "."
	}
	if !c.Known {
		s = "Unless you can rule it out: " + s
	}
	return s
}

// Capital begins a sentence.
func Capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// lowerFirst makes a title fit into a sentence; a word of capitals stays as it is.
func lowerFirst(s string) string {
	if len(s) > 1 && s[0] >= 'A' && s[0] <= 'Z' && (s[1] >= 'a' && s[1] <= 'z' || s[1] == ' ') {
		return strings.ToLower(s[:1]) + s[1:]
	}
	return s
}

// Origin is a source with its standing, said once where the source says it already.
func Origin(source, standing string) string {
	source = strings.TrimSuffix(source, ".")
	switch {
	case source == "":
		return standing
	case standing == "" || strings.Contains(source, standing):
		return source
	}
	return source + " (" + standing + ")"
}
