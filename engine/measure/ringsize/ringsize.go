// Package ringsize finds standard O-rings: which size a measured ring is, and which size suits a gland.
// It brings no table and no limit: sizes, tolerances and bands come in as arguments.
package ringsize

import (
	"math"

	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Ring is one size of O-ring with the tolerances of a new one. ID 0 means that the table knows the section but
// not its inside diameters: such a row stands for Count rings of that section from From to To (all zero: for an
// unknown number of rings of any diameter).
type Ring struct {
	Table    string // standard or series, such as "AS568"
	Name     string // as it is ordered: "-214", "P25", "25 x 3.5"
	ID, Cord unit.Length
	From, To unit.Length // where ID is 0
	Count    float64
	IDTol    unit.Length // plus and minus
	CordTol  unit.Length // plus and minus
	Listed   bool        // it stands in a size table; a metric size in round millimetres does not
	Source   string
	Standing string
	Note     string
}

// Outside is the outside diameter of the free ring.
//
//	d2 = d1 + 2 d
func (r Ring) Outside() unit.Length { return r.ID + 2*r.Cord }

// anyID says that the row stands for all rings of its section.
func (r Ring) anyID() bool { return r.ID == 0 }

func (r Ring) check() error {
	if r.ID >= 0 && r.ID < 100 && r.IDTol >= 0 && (r.anyID() || r.IDTol < r.ID) && r.Cord > 0 && r.Cord < 100 && r.CordTol >= 0 && r.CordTol < r.Cord {
		return nil // the words below cost more than the search
	}
	name := "ring " + r.Table + " " + r.Name + ": "
	err := refuse.First(refuse.NotNegative(name+"inside diameter", float64(r.ID)), refuse.NotNegative(name+"tolerance of the inside diameter", float64(r.IDTol)),
		refuse.Positive(name+"section", float64(r.Cord)), refuse.NotNegative(name+"tolerance of the section", float64(r.CordTol)))
	if err != nil {
		return err
	}
	return refuse.Because(name+"size or tolerance", "is no size of a ring", "look the row up again: the tolerance is smaller than the size")
}

// Band is the tolerance of sections from (not included) to.
type Band struct{ From, To, Tol unit.Length }

// Grid is a section in which metric rings are sold, in inside diameters From to To by Step.
type Grid struct{ Cord, From, To, Step unit.Length }

// ClassB is the name under which metric sizes that no table lists are given.
const ClassB = "metric size, ISO 3601-1 class B tolerance"

// Sizes is what can be searched: the rings of the tables, and the metric sizes beside them.
type Sizes struct {
	Rings  []Ring
	Metric []Grid
	ClassB []Band // tolerance of the section of a metric size
}

func (s Sizes) check() error {
	if len(s.Rings) == 0 && len(s.Metric) == 0 {
		return refuse.Because("the table of sizes", "is empty", "give a table of standard rings")
	}
	for _, r := range s.Rings {
		if err := r.check(); err != nil {
			return err
		}
	}
	for _, g := range s.Metric {
		if err := refuse.First(refuse.Positive("a metric section", float64(g.Cord)), refuse.Positive("the least metric inside diameter", float64(g.From)),
			refuse.Positive("the greatest metric inside diameter", float64(g.To)), refuse.Positive("the step of metric inside diameters", float64(g.Step))); err != nil {
			return err
		}
		if float64((g.To-g.From)/g.Step) > 10000 {
			return refuse.Because("the step of metric inside diameters", "is too small", "rings are sold in steps of half a millimetre")
		}
	}
	return nil
}

// metric lists the metric sizes with an inside diameter from lo to hi, which may hang on the section.
// Sizes that a table lists are left to the table; sizes beyond the tolerance rule are not offered.
func (s Sizes) metric(span func(cord unit.Length) (lo, hi unit.Length, ok bool)) []Ring {
	var out []Ring
	for _, g := range s.Metric {
		tol, ok := s.sectionTol(g.Cord)
		lo, hi, near := span(g.Cord)
		if !ok || !near {
			continue
		}
		first := math.Ceil(float64((max(lo, g.From)-g.From)/g.Step) - 1e-9)
		last := math.Floor(float64((min(hi, g.To)-g.From)/g.Step) + 1e-9)
		for n := first; n <= last; n++ {
			id := g.From + unit.Length(n)*g.Step
			idTol, err := gland.ClassBTolerance(id)
			if err != nil || s.listed(id, g.Cord) {
				continue
			}
			out = append(out, Ring{Table: ClassB, Name: mm(id) + " x " + mm(g.Cord), ID: id, Cord: g.Cord, IDTol: idTol, CordTol: tol,
				Source: "round millimetres; tolerances of ISO 3601-1 class B", Standing: "estimate", Note: "in no size table; ask the dealer"})
		}
	}
	return out
}

// sectionTol is the tolerance of a metric section, to two decimals of a millimetre as the rule is printed.
func (s Sizes) sectionTol(cord unit.Length) (unit.Length, bool) {
	c := math.Round(cord.Millimetres() * 100)
	for _, b := range s.ClassB {
		if c >= math.Round(b.From.Millimetres()*100) && c <= math.Round(b.To.Millimetres()*100) {
			return b.Tol, true
		}
	}
	return 0, false
}

func (s Sizes) listed(id, cord unit.Length) bool {
	for _, r := range s.Rings {
		if same(r.ID, id) && same(r.Cord, cord) {
			return true
		}
	}
	return false
}

// same compares to a micrometre.
func same(a, b unit.Length) bool { return math.Abs(float64(a-b)) < 1e-6 }

func mm(l unit.Length) string { return unit.Show(l.Millimetres(), 6) }

// Range is how far sizes reach.
type Range struct{ IDFrom, IDTo, CordFrom, CordTo unit.Length }

// Reach is the range of the sizes that can be searched.
func (s Sizes) Reach() Range {
	r := Range{IDFrom: unit.Length(math.Inf(1)), CordFrom: unit.Length(math.Inf(1))}
	add := func(from, to, cord unit.Length) { // to 0: only the section is known
		if to > 0 {
			r.IDFrom, r.IDTo = min(r.IDFrom, from), max(r.IDTo, to)
		}
		r.CordFrom, r.CordTo = min(r.CordFrom, cord), max(r.CordTo, cord)
	}
	for _, x := range s.Rings {
		add(x.ID, x.ID, x.Cord)
	}
	for _, g := range s.Metric {
		if _, ok := s.sectionTol(g.Cord); ok {
			add(g.From, g.To, g.Cord)
		}
	}
	return r
}
