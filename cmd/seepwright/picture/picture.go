// Package picture draws what a fitter has to see to believe: a ring in its gland, a bore out of round, a face that is not
// flat, the order of bolts, a hose end, where the liquid was, what is likeliest and where the minutes go. Each picture is
// SVG drawn to scale, described in words for those who cannot see it, with the same figures as a table.
// It measures, ranks and knows nothing: all it draws is handed to it as plain sizes (mm), shares and names.
package picture

import (
	"fmt"
	"math"
	"strings"
)

// Picture is one drawing. The SVG shows its title itself, stands alone or inside a page, and takes the colours of a light or a
// dark screen and of print; Name is unique among the pictures of a page where their keys are.
type Picture struct {
	Name  string // such as "oring-water-in": letters, digits and hyphens
	Title string
	Desc  string // what is to be seen, in sentences
	SVG   string
	Table Table // the same content for text
}

// About says what a picture shows.
type About struct {
	Key  string // makes the name unique where a page has several of the kind: the id of a joint
	Of   string // what is drawn, in words: "water pipe in"; may be empty
	Inch bool   // sizes are written in inches; they are handed over in millimetres all the same
}

// named is the name of a picture of the kind.
func (a About) named(kind string) string {
	var b strings.Builder
	b.WriteString(kind)
	hyphen := true
	for _, r := range strings.ToLower(a.Key) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			if hyphen {
				b.WriteByte('-')
			}
			b.WriteRune(r)
			hyphen = false
			continue
		}
		hyphen = true
	}
	return b.String()
}

// titled is the title of a picture: what it is, and of what.
func (a About) titled(what string) string {
	if of := clean(a.Of, longest); of != "" {
		return what + ": " + of
	}
	return what
}

// Bounds of what can be drawn, in millimetres: from a tenth of a micrometre to a hundred metres.
const (
	leastSize    = 1e-4
	greatestSize = 1e5
)

// sized refuses a length that is no size of a part.
func sized(what string, mm float64) error {
	switch {
	case math.IsNaN(mm) || math.IsInf(mm, 0):
		return fmt.Errorf("no picture: %s is not a number; give a length", what)
	case mm <= 0:
		return fmt.Errorf("no picture: %s is %g mm; give a length above 0", what, mm)
	case mm < leastSize || mm > greatestSize:
		return fmt.Errorf("no picture: %s is %g mm; give a length from %g mm to %g m", what, mm, leastSize, greatestSize/1000)
	}
	return nil
}

// sizedOr0 is sized for a length that may be unknown or nothing.
func sizedOr0(what string, mm float64) error {
	if mm == 0 {
		return nil
	}
	return sized(what, mm)
}

// within refuses a figure outside of lo to hi.
func within(what string, x, lo, hi float64, give string) error {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return fmt.Errorf("no picture: %s is not a number; give %s", what, give)
	}
	if x < lo || x > hi {
		return fmt.Errorf("no picture: %s is %g; give %s", what, x, give)
	}
	return nil
}

// counted refuses a list with too few or too many entries.
func counted(what string, n, lo, hi int) error {
	if n < lo || n > hi {
		return fmt.Errorf("no picture: there are %d %s; give from %d to %d", n, what, lo, hi)
	}
	return nil
}

// firstOf is the first error.
func firstOf(errs ...error) error {
	for _, e := range errs {
		if e != nil {
			return e
		}
	}
	return nil
}
