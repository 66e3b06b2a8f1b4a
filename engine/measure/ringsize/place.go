package ringsize

import (
	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Dim is a size of a part: as measured or drawn, the uncertainty of measuring it (k = 2), and the tolerance
// (plus and minus) where parts of a drawing are meant.
type Dim struct{ At, U, Tol unit.Length }

func (d Dim) check(what string) error {
	if err := refuse.First(sensible(what, d.At), refuse.NotNegative("the uncertainty of "+what, float64(d.U)),
		refuse.NotNegative("the tolerance of "+what, float64(d.Tol))); err != nil {
		return err
	}
	if d.U >= d.At || d.Tol >= d.At {
		return refuse.Because("the tolerance or uncertainty of "+what, "is as large as the size", "give it in the same unit, as plus and minus")
	}
	return nil
}

// sensible refuses what is no size of a ring or a gland: not finite, not above 0, below a micrometre, above 100 m.
func sensible(what string, l unit.Length) error {
	if err := refuse.Positive(what, float64(l)); err != nil {
		return err
	}
	if l < 1e-6 || l > 100 {
		return refuse.Because(what, "is no size of a ring or a gland", "look at the unit and the decimal mark")
	}
	return nil
}

// Place is a gland that wants a ring.
type Place struct {
	Kind   gland.Kind
	Groove Dim // piston and rod: diameter at the bottom of the groove; face: diameter of the wall that holds the ring
	Mate   Dim // piston: bore; rod: rod; not used for a face
	Depth  Dim // face: depth of the groove with any gap that stays open; not used otherwise
	Width  Dim // width of the groove; At 0 when it is not known, and then nothing is said of the fill
}

// The names of the sizes of a place, as they stand in errors and in Best.Critical.
var dims = [...]string{"groove diameter", "bore or rod", "groove depth", "groove width"}

func (p *Place) dim(i int) *Dim { return [...]*Dim{&p.Groove, &p.Mate, &p.Depth, &p.Width}[i] }

func (p Place) check() error {
	if p.Kind < gland.Piston || p.Kind > gland.FaceOutside {
		return refuse.Because("the gland", "is of no known kind", "give piston, rod or face")
	}
	for i, name := range dims {
		used := i == 0 || i == 1 && !p.Kind.Face() || i == 2 && p.Kind.Face() || i == 3 && p.Width.At != 0
		if !used {
			continue
		}
		if err := p.dim(i).check("the " + name); err != nil {
			return err
		}
	}
	if d := p.depth(); d <= 0 {
		if p.Kind == gland.Rod {
			return refuse.Because("the groove diameter", "is not larger than the rod", "the groove of a rod gland is in the outer part: measure both again")
		}
		return refuse.Because("the groove diameter", "is not smaller than the bore", "the groove of a piston gland is in the inner part: measure both again")
	}
	if p.depth()-p.depthTol() <= 0 || p.Width.At != 0 && p.Width.At <= p.Width.Tol {
		return refuse.Because("the tolerances", "leave no room in the gland", "give them smaller")
	}
	return nil
}

// depth is the radial height of the gland, or the depth of a face groove.
func (p Place) depth() unit.Length {
	switch p.Kind {
	case gland.Piston:
		return (p.Mate.At - p.Groove.At) / 2
	case gland.Rod:
		return (p.Groove.At - p.Mate.At) / 2
	}
	return p.Depth.At
}

func (p Place) depthTol() unit.Length {
	if p.Kind.Face() {
		return p.Depth.Tol
	}
	return (p.Groove.Tol + p.Mate.Tol) / 2
}

// Limits is a band in which a share should lie, with the value aimed at; Aim 0 takes the middle.
type Limits struct{ Least, Greatest, Aim unit.Ratio }

// Target is the value aimed at.
func (l Limits) Target() unit.Ratio {
	if l.Aim > l.Least && l.Aim < l.Greatest {
		return l.Aim
	}
	return (l.Least + l.Greatest) / 2
}

// margin is 1 where the aim is met, 0 at the edges, below 0 outside.
func (l Limits) margin(x unit.Ratio) float64 {
	a := l.Target()
	if x < a {
		return float64((x - l.Least) / (a - l.Least))
	}
	return float64((l.Greatest - x) / (l.Greatest - a))
}

func (l Limits) check(what string) error {
	if err := refuse.First(refuse.Within("the least "+what, float64(l.Least), -0.5, 2, "give a share"), refuse.Within("the greatest "+what, float64(l.Greatest), -0.5, 2, "give a share"),
		refuse.Finite("the "+what+" aimed at", float64(l.Aim))); err != nil {
		return err
	}
	if !(l.Least < l.Greatest) {
		return refuse.Because("the least "+what, "is not below the greatest", "swap the two limits")
	}
	return nil
}

// Bands are the limits that a ring should keep in its gland.
type Bands struct {
	Squeeze   Limits      // share of the fitted section
	Hold      Limits      // stretch on the groove, or interference of the outside diameter
	Fill      Limits      // share of the groove's section
	FillWorst unit.Ratio  // greatest fill with all tolerances against it; 0 when not judged
	Floor     unit.Length // least squeeze in length with all tolerances against it; 0 still asks for contact
}

func (b Bands) check(kind gland.Kind) error {
	hold, most := string(holdName(kind)), greatestStretch
	if kind.ByOutside() {
		most = greatestInterference
	}
	if err := refuse.First(b.Squeeze.check("squeeze"), b.Hold.check(hold), b.Fill.check("fill"), refuse.Within("the greatest fill over the tolerances", float64(b.FillWorst), 0, 2, "give a share"),
		refuse.NotNegative("the least squeeze in length", float64(b.Floor))); err != nil {
		return err
	}
	if b.Squeeze.Greatest >= 1 || b.Squeeze.Least < 0 {
		return refuse.Because("the squeeze", "cannot lie below 0 or reach the whole section", "give limits between 0 and 100 %")
	}
	if b.FillWorst > 0 && b.FillWorst <= b.Fill.Target() {
		return refuse.Because("the greatest fill over the tolerances", "is not above the fill aimed at", "give it larger")
	}
	if -b.Hold.Least > most || b.Hold.Greatest > most {
		return refuse.Because("the limits of "+hold, "lie beyond "+unit.Show(most.Percent(), 3)+" %", "no ring is held so in a groove")
	}
	return nil
}
