package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seepwright/engine/measure/catalogue"
	"seepwright/engine/measure/ringsize"
	"seepwright/rules/unit"
)

// RingFound is the answer to "which ring is this".
type RingFound struct {
	Worked   Worked // units in which lengths are shown
	Readings []ringsize.Reading
	Assumed  []ringsize.Reading // those whose uncertainty was not given
	Used     ringsize.Used
	Tools    []catalogue.Tool
	Found    ringsize.Found
}

// size writes a length as a workshop reads ring sizes: hundredths of a millimetre, thousandths of an inch.
func (m Worked) size(l unit.Length) string {
	q, places := m.sizeIn(l)
	return unit.Quantity{Number: round(q.Number, places), Unit: q.Unit}.String()
}

func (m Worked) sizeIn(l unit.Length) (unit.Quantity, float64) {
	u, ok := unit.ByName(m.in(unit.LengthDim))
	if !ok {
		u = unit.Standard(unit.LengthDim)
	}
	places := math.Round(5 + math.Log10(u.Factor)) // 0.01 mm: 2 for mm, 3 for in
	if u.Symbol == "in" {
		places = 3
	}
	return unit.FromSI(float64(l), u), min(max(places, 0), 6)
}

func round(x, places float64) float64 {
	s := math.Pow(10, places)
	if x = math.Round(x*s) / s; x == 0 {
		return 0 // never -0
	}
	return x
}

// bare is size without its unit.
func (m Worked) bare(l unit.Length) string {
	q, places := m.sizeIn(l)
	return unit.Show(round(q.Number, places), 8)
}

// by writes a difference with its sign.
func (m Worked) by(l unit.Length) string {
	s := m.size(l)
	if !strings.HasPrefix(s, "-") && !strings.HasPrefix(s, "0 ") {
		return "+" + s
	}
	return s
}

// ring names a ring with its size, inside diameter first.
func (m Worked) ring(r ringsize.Ring) string {
	switch {
	case r.ID == 0:
		return r.Table + " " + r.Name + ", a size that the tables do not carry"
	case !r.Listed && m.in(unit.LengthDim) == "mm":
		return "metric size " + r.Name + " mm"
	case !r.Listed: // it is ordered in millimetres whatever the units of the page
		return "metric size " + r.Name + " mm (" + m.bare(r.ID) + " x " + m.size(r.Cord) + ")"
	}
	return r.Table + " " + r.Name + " (" + m.bare(r.ID) + " x " + m.size(r.Cord) + ")"
}

// short names a ring that has been named in full before.
func (m Worked) short(r ringsize.Ring) string {
	if !r.Listed {
		return "metric " + r.Name + " mm"
	}
	return r.Table + " " + r.Name
}

// measured writes what the readings give, with its uncertainty.
func (f RingFound) measured() string {
	show := func(x, u float64) string { return f.Worked.show(catalogue.Num{SI: x, U: u}, unit.LengthDim) }
	return "inside " + show(f.Found.ID.X, f.Found.ID.U) + ", section " + show(f.Found.Cord.X, f.Found.Cord.U)
}

// Verdict is the first word for a program: one size, several, none of the tables, or beyond them.
func (f RingFound) Verdict() string {
	switch {
	case f.Found.Outside != "":
		return "outside"
	case f.Found.None > 0.5:
		return "none"
	case f.Found.Candidates[0].Probability >= 0.95:
		return "one"
	}
	return "several"
}

// Sentence says it in words.
func (f RingFound) Sentence() string {
	c := f.Found.Candidates
	first := f.Worked.ring(c[0].Ring)
	switch f.Verdict() {
	case "outside":
		return "NOT IN THE TABLES: " + f.Found.Outside + "; the nearest of them is " + first + "."
	case "none":
		return "MOST LIKELY NO RING OF THE TABLES (" + Odds(f.Found.None) + "); the nearest is " + first + "."
	case "one":
		return "THIS IS " + first + " (" + Odds(c[0].Probability) + ")."
	}
	var also []string
	for _, x := range c[1:] {
		if x.Probability >= 0.075 && len(also) < 3 {
			also = append(also, f.Worked.short(x.Ring)+", "+Odds(x.Probability))
		}
	}
	lead := "TOO CLOSE TO CALL: most likely "
	if c[0].Probability >= 0.65 {
		lead = "PROBABLY "
	}
	s := lead + first + ", " + Odds(c[0].Probability)
	if len(also) > 0 {
		s += "; or " + strings.Join(also, "; or ")
	}
	return s + "."
}

// View is the answer for a person.
func (f RingFound) View() []Block {
	p := &page{}
	p.add(Verdict, "%s", f.Sentence())
	p.add(Para, "Measured: %s.", f.measured())
	p.add(Heading, "Candidates")
	for i, c := range f.Found.Candidates {
		f.candidate(p, i, c)
	}
	if r := f.Found.Rest; r >= 0.005 {
		p.add(Para, "Others, each unlikely by itself: %s.", Odds(r))
	}
	p.add(Para, "None of these, a special ring or another series: %s.", Odds(f.Found.None))
	f.apart(p)
	f.know(p)
	return p.blocks
}

func (f RingFound) candidate(p *page, i int, c ringsize.Candidate) {
	w := f.Worked
	p.mark(Numbered, fmt.Sprint(i+1), "%s: %s", w.ring(c.Ring), Odds(c.Probability))
	fresh := "outside the tolerance of a new ring"
	if c.New {
		fresh = "within the tolerance of a new ring"
	}
	if c.ID == 0 {
		p.add(Note, "Measured less nominal: section %s, %s (± %s).", w.by(c.ByCord), fresh, w.bare(c.CordTol))
	} else {
		p.add(Note, "Measured less nominal: inside %s, section %s; %s (± %s and ± %s).", w.by(c.ByID), w.by(c.ByCord), fresh, w.bare(c.IDTol), w.bare(c.CordTol))
	}
	if a := c.Apart; a != nil {
		p.add(Note, "%s", f.differs(c))
	}
	note := ""
	if c.Note != "" {
		note = " Note: " + c.Note + "."
	}
	p.add(Note, "Source: %s.%s", Origin(c.Source, c.Standing), note)
}

// differs says how a candidate differs from the first and whether a reading parts them.
func (f RingFound) differs(c ringsize.Candidate) string {
	w, a := f.Worked, c.Apart
	first := f.Found.Candidates[0].Ring
	s := "Against the first: section " + w.by(a.ByCord)
	if c.ID != 0 && first.ID != 0 {
		s = "Against the first: inside " + w.by(a.ByID) + ", section " + w.by(a.ByCord) + ", outside " + w.by(a.ByOutside)
	}
	switch {
	case a.Sure:
		return s + ". The readings part them."
	case a.Never && (c.ID == 0 || first.ID == 0):
		return s + ". No reading of the section parts them."
	case a.Never && f.Used != (ringsize.Used{}):
		return s + ". No reading of a used ring parts them."
	case a.Never && math.Abs(float64(a.ByID)) <= float64(c.IDTol) && math.Abs(float64(a.ByCord)) <= float64(c.CordTol):
		return s + ". No reading of the ring parts them, for each lies within the other's tolerance; in most glands either serves."
	case a.Never:
		return s + ". No reading of the ring parts them, for their tolerances overlap."
	case len(a.Settles) == 0:
		return s + ". Only several finer readings together part them."
	}
	return s + ". What parts them: " + f.settle(a.Settles[0]) + "."
}

// settle names the reading that would part two rings, and the cheapest instrument for it.
func (f RingFound) settle(s ringsize.Settle) string {
	text := "the " + s.Of.String() + " read to " + f.Worked.show(catalogue.Num{SI: floor2(float64(s.U))}, unit.LengthDim)
	on := "outside"
	if s.Of == ringsize.Inside {
		on = "bore"
	}
	best := ""
	cost, uBest := math.MaxInt, 0.0
	for _, t := range f.Tools {
		u, ok := t.U[on]
		if !ok {
			u, ok = t.U["any"]
		}
		if !ok || t.Dim != unit.LengthDim || math.Max(u, t.Share*f.Found.ID.X) > float64(s.U) {
			continue
		}
		if t.Cost < cost || t.Cost == cost && u > uBest {
			best, cost, uBest = t.Title, t.Cost, u
		}
	}
	if best == "" {
		return text + ", finer than any instrument known here"
	}
	return text + " (" + best + ", just touching the rubber)"
}

// floor2 rounds an uncertainty down to two digits, to the safe side.
func floor2(x float64) float64 {
	if !(x > 0) {
		return x
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Floor(x/step+1e-9) * step
}

// seat is the stretch at which rings are usually seated on their groove.
const seat = 0.02

// apart says what tells the leading candidates apart beside a reading of the ring.
func (f RingFound) apart(p *page) {
	var grooves []string
	var named []ringsize.Ring
	for _, c := range f.Found.Candidates {
		alike := slices.ContainsFunc(named, func(r ringsize.Ring) bool { return math.Abs(float64(r.ID-c.ID)) < 0.005*float64(r.ID) })
		if c.ID != 0 && c.Probability >= 0.04 && len(grooves) < 3 && !alike {
			named = append(named, c.Ring)
			grooves = append(grooves, f.Worked.short(c.Ring)+" "+f.Worked.size(c.ID*(1+seat)))
		}
	}
	if f.Verdict() == "one" {
		return
	}
	p.add(Heading, "What else tells them apart")
	if len(grooves) > 1 {
		p.add(Item, "The groove. Stretched by 2 %% each would sit on a groove of: %s. Measure it and ask: seepwright size gland.", strings.Join(grooves, "; "))
	}
	p.add(Item, "The parts list of the machine, or the bag of a spare: either goes before any measurement.")
}

func (f RingFound) know(p *page) {
	p.add(Heading, "What to know")
	if f.Used == (ringsize.Used{}) {
		p.add(Item, "The ring is taken as new. One that has run may be swollen, stretched or flat: say used=yes.")
	} else {
		p.add(Item, "Used ring: inside diameter within %s, section within %s of the new size (estimate).", share(float64(f.Used.ID)), share(float64(f.Used.Cord)))
	}
	var assumed []string
	for _, r := range f.Assumed {
		assumed = append(assumed, fmt.Sprintf("%s ± %s (%s)", r.Of, f.Worked.show(catalogue.Num{SI: float64(r.U)}, unit.LengthDim), assumedBy(r.Of)))
	}
	if len(assumed) > 0 {
		p.add(Item, "Given without an uncertainty, so assumed: %s; estimate. State yours after +-, or name the instrument after by.", strings.Join(assumed, ", "))
	}
	p.add(Item, "The chances weigh each size of a table alike before measuring, metric round sizes a half or a quarter of that (estimate); tolerances count as two standard deviations.")
	p.add(Item, "Not in the tables: the inside diameters of DIN 3771, JIS B 2401 P42 to P315 and G185 to G300, and the aerospace series.")
}

func assumedBy(q ringsize.Quantity) string {
	if q == ringsize.Length {
		return "a rule along the cut ring"
	}
	return "a calliper on soft rubber"
}

func share(x float64) string { return unit.Show(math.Round(x*1000)/10, 4) + " %" }
