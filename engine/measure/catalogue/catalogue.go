// Package catalogue lists every calculation that a person or a rule can ask for by name, with its
// inputs, outputs, formulas, sources and a worked example.
// It holds no formula of its own: those live in the measure packages, this one carries units,
// uncertainty and words.
package catalogue

import (
	"sort"
	"sync"

	"seepwright/rules/unit"
)

// Input is one quantity that a calculation takes.
type Input struct {
	Name, Title string
	Dim         unit.Dimension
	Rows        bool   // a row of readings, each with its place
	Optional    bool   // may be left out; outputs that need it are then left out too
	Default     string // used when left out, as text with unit; shown with the result
}

// Output is one result. Dim "" is a text (a clock position, a place), found in Out.Text.
type Output struct {
	Name, Title               string
	Dim                       unit.Dimension
	Formula, Source, Standing string
}

// Calculation is a named calculation of the measurement library.
type Calculation struct {
	Name, Title, About string
	Inputs             []Input
	Outputs            []Output
	// Example gives text with unit for inputs. A row is written "PLACE = READING; PLACE = READING".
	Example map[string]string
	Run     func(In) (Out, error)
}

// Num is a number with its expanded uncertainty (k = 2), both SI.
type Num struct{ SI, U float64 }

// Row is one reading of a row with its place: a clock position "3:00", an angle "90 deg", a
// place "40,30" (mm), a distance "40 mm", the name of a line, or "".
type Row struct {
	At string
	Num
}

// In is what a calculation is given.
type In struct {
	Num  map[string]Num
	Rows map[string][]Row
}

// Out is what it gives back. Outputs whose optional inputs are missing are left out.
type Out struct {
	Num      map[string]Num
	Text     map[string]string
	Sentence string // the result in one plain sentence, in the standard units
	Verdict  string // ok | too-small | too-large | "" (no limit given, or too close to call)
}

// The verdicts.
const (
	OK       = "ok"
	TooSmall = "too-small"
	TooLarge = "too-large"
)

// All lists the calculations, sorted by name. The list is made once; nobody may change it.
func All() []Calculation { return table().list }

// ByName finds a calculation.
func ByName(name string) (Calculation, bool) {
	i, ok := table().at[name]
	if !ok {
		return Calculation{}, false
	}
	return table().list[i], true
}

// index is the list with the place of each name in it.
type index struct {
	list []Calculation
	at   map[string]int
}

// table is made on first use: a knowledge base runs a calculation at every answer.
var table = sync.OnceValue(func() index {
	t := index{at: map[string]int{}}
	for _, part := range [][]Calculation{orings(), bores(), rounds(), faces(), bolts(), gaskets(), tieRods(), hoses(), drips(), tests()} {
		t.list = append(t.list, part...)
	}
	sort.Slice(t.list, func(i, j int) bool { return t.list[i].Name < t.list[j].Name })
	for i, c := range t.list {
		t.at[c.Name] = i
	}
	return t
})
