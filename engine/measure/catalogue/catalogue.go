// Package catalogue lists every calculation that a person or a rule can ask for by name, with its
// inputs, outputs, formulas, sources, limits and a worked example.
// It holds no formula of its own: those live in the measure packages, this one carries units,
// uncertainty, limits and words.
package catalogue

import (
	"sort"
	"sync"

	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// Input is one thing that a calculation takes: a quantity, a row of readings, or a word.
type Input struct {
	Name, Title string
	Dim         unit.Dimension // "" = a word
	Rows        bool           // a row of readings, each with its place
	Optional    bool           // may be left out; outputs that need it are then left out too
	Default     string         // used when left out, as text with unit; shown with the result
	Words       []string       // the words that are understood, for an input that is a word
	From        string         // ... or the table whose rows the words choose
	Signed      bool           // may lie below nought where quantities of its kind cannot (a height over a plate)
	Parted      bool           // a count that need not be whole (turns)
	Key         bool           // only chooses a row of a table: nothing is solved for it
	On          string         // what the instrument is used on: bore, outside, face; "" = any
	// Spread says how readings without places lie: "turn" = evenly over a whole turn, "half-turn" = evenly over half of
	// one (two-point diameters), both clockwise from 12 o'clock; "" = readings without places have none.
	Spread string
}

// Output is one result. Dim "" is a text (a clock position, a place), found in Out.Text.
type Output struct {
	Name, Title               string
	Dim                       unit.Dimension
	Formula, Source, Standing string
}

// Judge is a limit that an output must meet. The limit is, in this order: what the person gives under By (the
// maker's figure, or their own), what the output Against has been solved to, or what Ours finds in a table.
type Judge struct {
	Output  string
	AtMost  bool // else: at least
	By      string
	Against []string // outputs that are the limit, the first that is there
	Ours    func(g given, f found) (Figure, error)
}

// Figure is a limit of ours with its origin. From "" means that there is none for this case.
type Figure struct {
	SI             float64
	From, Standing string
}

// Calculation is a named calculation of the measurement library.
type Calculation struct {
	Name, Title, About string
	Inputs             []Input
	Outputs            []Output
	Judges             []Judge
	// Blind says what this way of measuring cannot see; "" when nothing needs saying.
	Blind string
	// Example gives text with unit for inputs. A row is written "PLACE = READING; PLACE = READING".
	Example map[string]string

	formula func(given) (found, error)
	// lead begins the sentence about the result, without a full stop.
	lead func(g given, o *Out) string
}

// Num is a number with its expanded uncertainty (k = 2), both SI.
type Num struct{ SI, U float64 }

// Row is one reading of a row with its place: a clock position "3:00", an angle "90 deg", a
// place "40,30" (mm), a distance "40 mm", the name of a line, or "".
type Row struct {
	At string
	Num
}

// Tables hands over tables of published figures by name.
type Tables interface {
	Table(name string) (*table.Table, error)
}

// Tool is an instrument that could settle a call that is too close.
type Tool struct {
	Title string
	Dim   unit.Dimension
	Cost  int                // 1 = everyone has one
	U     map[string]float64 // by what it is used on, "any" for the rest
	Share float64            // of the reading
}

// In is what a calculation is given.
type In struct {
	Num    map[string]Num
	Rows   map[string][]Row
	Text   map[string]string
	Maker  map[string]string         // limit input -> page of the maker's manual on which it stands
	Tables Tables                    // may be nil where no table is needed
	Shown  map[unit.Dimension]string // the unit in which a dimension is written in sentences; standard where none is named
	Solve  bool                      // also find what each size must be for the limits to be met
	Tools  []Tool                    // instruments to choose from when a call is too close
}

// Out is what it gives back. Outputs whose optional inputs are missing are left out.
type Out struct {
	Num      map[string]Num
	Text     map[string]string
	Sentence string   // the verdict and the result in one plain sentence
	Verdict  string   // ok | too-small | too-large | cannot-say | "" (no limit)
	Limits   []Limit  // how each limit was judged
	Targets  []Target // what a size must be, with In.Solve
	Settle   string   // what would settle a call that is too close, with In.Tools
	Notes    []string // what the person should know: which table was used and why, what cannot be seen
	Cited    []Cited  // figures that came out of tables
	shown    shown
}

// Cited is a figure that came out of a table.
type Cited struct{ What, Figure, Source, Standing string }

// The verdicts of ISO 14253-1, with the side on which a limit is broken.
const (
	OK        = "ok"
	TooSmall  = "too-small"
	TooLarge  = "too-large"
	CannotSay = "cannot-say"
)

// All lists the calculations, sorted by name. The list is made once; nobody may change it.
func All() []Calculation { return index().list }

// ByName finds a calculation.
func ByName(name string) (Calculation, bool) {
	i, ok := index().at[name]
	if !ok {
		return Calculation{}, false
	}
	return index().list[i], true
}

// byName is the list with the place of each name in it.
type byName struct {
	list []Calculation
	at   map[string]int
}

// index is made on first use: a knowledge base runs a calculation at every answer.
var index = sync.OnceValue(func() byName {
	t := byName{at: map[string]int{}}
	for _, part := range subjects {
		t.list = append(t.list, part()...)
	}
	sort.Slice(t.list, func(i, j int) bool { return t.list[i].Name < t.list[j].Name })
	for i, c := range t.list {
		t.at[c.Name] = i
	}
	return t
})
