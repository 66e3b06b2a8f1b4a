package journal

import (
	"slices"
	"strings"
	"time"

	"gopkg.in/yaml.v3"
)

// Form is the newest form of records that is understood. Form 0 is a saved interview or a
// plain answers file, which has no head.
const Form = 1

// Head is what a list of cases shows of one. It is the only place of what it holds.
type Head struct {
	ID     string
	Title  string
	Unit   string // what the assembly is called
	By     string // who opened the case
	Opened time.Time
	Closed time.Time // zero while it is open
	End    string    // how it ended: one of Ends; "" while it is open
	Form   int
}

// Ends are the ways in which a case can end.
var Ends = []string{Dry, "left", "replaced", "sent-out", "given-up"}

// Dry is the end of which the knowledge may learn: closed by a dry retest.
const Dry = "dry"

// Open reports whether the case is still being worked on.
func (h *Head) Open() bool { return h.Closed.IsZero() }

func (h *Head) fields() []field {
	return []field{{"id", &h.ID}, {"title", &h.Title}, {"unit", &h.Unit}, {"by", &h.By}, {"opened", &h.Opened}, {"closed", &h.Closed}, {"end", &h.End}, {"record", &h.Form}}
}

// head reads the section of that name.
func (r *sectionReader) head(n *yaml.Node) Head {
	var h Head
	r.fields(n, "the head of a case", h.fields())
	switch {
	case h.ID == "":
		r.fail(n, "write id: NAME, as the file is called", "the case has no id")
	case h.Form > Form:
		r.fail(n, "use a newer seepwright", "the record is in form %d, and this seepwright understands forms up to %d", h.Form, Form)
	case h.Closed.IsZero() != (h.End == ""):
		r.fail(n, "write both closed and end, or neither", "a case that is closed has a date and an end")
	}
	if h.End != "" && !slices.Contains(Ends, h.End) {
		r.fail(n, "", "no end is called %q: one of %s", h.End, strings.Join(Ends, ", "))
	}
	return h
}
