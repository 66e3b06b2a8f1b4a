// Package sheet writes the job sheet: one paper to take to the machine, with cautions first, the
// work in its order, fields for what is found, the numbers of these parts, the retest and the
// sign-off; as one HTML file, as Markdown and as text.
// It works nothing out and keeps nothing: all that it says stands in the result, the knowledge and
// what it is told of the record.
package sheet

import (
	"time"

	"seepwright/engine"
	"seepwright/rules"
	"seepwright/rules/assembly"
)

// Input is all that a sheet is made of.
type Input struct {
	Result   *engine.Result
	KB       *rules.Knowledge
	Unit     *assembly.Assembly
	Units    string    // metric | inch: the units of empty fields; "" = metric
	Printed  time.Time // zero: not said
	Record   Record
	Pictures []Picture
}

// Record is what a kept case knows beside its answers; the zero value is a case without a record.
type Record struct {
	ID, Title, By string
	Opened        time.Time
	Notes         []Note
	Retests       []Retest
}

// Note is one line that somebody wrote down.
type Note struct {
	At       time.Time
	By, Text string
}

// Retest is one step of a retest as it was made.
type Retest struct {
	At                                 time.Time
	Step                               string // an option of the fact dry-at-retest
	Joint                              string // joint id, "" for the whole unit
	Tissue, Temperature, Gauge, Amount string
	Minutes                            float64
}

// Picture is one drawing: SVG that stands alone, what it shows in words, and the same as a table.
type Picture struct {
	Title string
	Desc  string // for those who cannot see it
	SVG   string
	Head  []string
	Rows  [][]string
	Notes []string // sentences below the table
}

// Sheet is what stands on the paper, in its order: HTML, Markdown and text are drawn from it.
type Sheet struct {
	Title    string
	Verdict  string   // the run verdict with its limit
	Because  []string // why, and when to look
	Facts    []Pair   // what the sheet is about
	Sections []Section
}

// Pair is a thing with its name.
type Pair struct{ Name, Text string }

// Section is a part of the sheet; a section without items is left out.
type Section struct {
	ID    string // a word for links and tests
	Title string
	Says  string // one sentence on the whole of it
	Items []Item
}

// Item is one thing in a section; exactly one of its parts is set.
type Item struct {
	Place   string   // the joint of what follows
	Text    string   // a paragraph
	Point   string   // one of a list
	Warning *Warning // what can hurt
	Tick    string   // a thing to tick off
	Step    *Step
	Field   *Field
	Numbers []Number // a table of numbers with their limits
	Table   *Table
	Proof   *Proof
	Picture *Picture
}

// Warning is a caution: its mark on this sheet, the words, and the steps that need it.
type Warning struct {
	Mark string // "C3"
	Text string
	For  string // "before steps 4 and 9"
}

// Step is one line of work with a box.
type Step struct {
	No       int
	Head     string // a few words, where the work has a name
	Text     string
	Time     string
	Why      string
	Warnings []Warning
	Fields   []Field
	Without  string // how to judge without the instrument
}

// Field is a place to write or to tick.
type Field struct {
	Label   string
	Known   string   // as answered already; nothing to fill in then
	Unit    string   // of the number to write
	Slots   []string // places of a row of readings, each a number in Unit
	Options []string // boxes to tick; none: a line
	Long    bool     // a line for words
	Hint    string   // the limit, the instrument, how to judge without it
}

// Number is a target with what was measured.
type Number struct {
	Title, Limit, Measured, Verdict, Source, Note, Unit string
}

// Table is a plain table.
type Table struct {
	Head []string
	Rows [][]string
}

// Proof is one step of the retest.
type Proof struct {
	Mark     string // "R2"
	State    string
	Time     string
	Pass     string
	Warnings []Warning
	Done     []string // as the record has it
}
