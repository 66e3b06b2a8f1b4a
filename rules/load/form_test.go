package load

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The patterns say what the functions mean.
func TestFormsAreThoseOfTheirPatterns(t *testing.T) {
	pieces := []string{"", "a", "z9", "0", "-", "--", "/", ".", "+", "A", "\u00e9", " ", "\t", "\n", "\u00a0", "is", "not", "yes", "---"}
	forms := []struct {
		pattern string
		tell    func(string) bool
	}{
		{`^[a-z0-9]+(-[a-z0-9]+)*$`, idForm},
		{`^[a-z0-9]+(-[a-z0-9]+)*(/[a-z0-9]+(-[a-z0-9]+)*)?$`, refForm},
		{`^[0-9.+-]+$`, allDigit},
		{`^[+-]?0[0-9]`, leadingZero},
		{`^---(\s|$)`, marker},
		{`^[a-z0-9][a-z0-9-]*$`, looseName},
	}
	for _, f := range forms {
		re := regexp.MustCompile(f.pattern)
		for _, a := range pieces {
			for _, b := range pieces {
				for _, c := range pieces {
					for _, d := range pieces {
						if s := a + b + c + d; re.MatchString(s) != f.tell(s) {
							assert.Equal(t, re.MatchString(s), f.tell(s), "%s of %q", f.pattern, s)
						}
					}
				}
			}
		}
	}
	whole := regexp.MustCompile(`^([a-z0-9][a-z0-9-]*)\s+is\s+(not\s+)?([a-z0-9][a-z0-9-]*)$`)
	gaps := []string{"", " ", "\t ", "\u00a0"}
	for _, a := range []string{"a", "not", "is", "A", "-a", ""} {
		for _, b := range []string{"is", "is not", "not", "is\nnot"} {
			for _, c := range []string{"yes", "no", "b-", "not", "is", "-", "B", ""} {
				for _, g := range gaps {
					for _, h := range gaps {
						s := strings.TrimSpace(a + g + b + h + c)
						m := whole.FindStringSubmatch(s)
						factID, not, value, ok := concludes(s)
						assert.Equal(t, m != nil, ok, "%q", s)
						if ok && m != nil {
							assert.Equal(t, []any{m[1], m[2] != "", m[3]}, []any{factID, not, value}, "%q", s)
						}
					}
				}
			}
		}
	}
}
