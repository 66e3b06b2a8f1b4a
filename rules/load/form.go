package load

import "strings"

// The forms of names and numbers are told by hand: a start of the program that reads no
// YAML should not pay for compiling patterns, and one that does meets them at every word.

func digit(c byte) bool { return c >= '0' && c <= '9' }

func small(c byte) bool { return c >= 'a' && c <= 'z' || digit(c) }

// blank is white space as YAML and ASCII know it.
func blank(c rune) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\f' || c == '\r' }

// idForm tells a name: words of small letters and digits, joined by single hyphens.
func idForm(s string) bool {
	for i := range len(s) {
		if !small(s[i]) && (s[i] != '-' || i == 0 || s[i-1] == '-') {
			return false
		}
	}
	return s != "" && s[len(s)-1] != '-'
}

// refForm tells NAME or KIND/NAME.
func refForm(s string) bool {
	kind, name, two := strings.Cut(s, "/")
	return idForm(kind) && (!two || idForm(name))
}

// looseName tells a word of small letters, digits and hyphens that starts with no hyphen.
func looseName(s string) bool {
	for i := range len(s) {
		if !small(s[i]) && (s[i] != '-' || i == 0) {
			return false
		}
	}
	return s != ""
}

// allDigit tells what has only digits, points and signs.
func allDigit(s string) bool { return s != "" && strings.Trim(s, "0123456789.+-") == "" }

// leadingZero tells 010 and such, with or without a sign.
func leadingZero(s string) bool {
	if s != "" && (s[0] == '+' || s[0] == '-') {
		s = s[1:]
	}
	return len(s) > 1 && s[0] == '0' && digit(s[1])
}

// marker tells a line that starts a new document.
func marker(line string) bool {
	return strings.HasPrefix(line, "---") && (len(line) == 3 || blank(rune(line[3])))
}
