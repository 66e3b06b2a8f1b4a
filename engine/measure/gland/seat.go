package gland

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Kind says which groove the ring lies in and by what it is held there.
type Kind int

// The grooves with straight sides. A dovetail is none of them: it holds the ring by its sides.
const (
	Piston      Kind = iota // groove in the inner part; the ring is stretched on its bottom
	Rod                     // groove in the housing; the ring is held by its outside diameter
	FaceInside              // face groove, pressure inside: the ring lies against the outer wall
	FaceOutside             // face groove, pressure outside or vacuum inside: the ring lies on the inner wall
)

func (k Kind) String() string {
	switch k {
	case Piston:
		return "piston"
	case Rod:
		return "rod"
	case FaceInside:
		return "face, inside pressure"
	case FaceOutside:
		return "face, outside pressure"
	}
	return "no kind of groove"
}

// ByOutside says whether the ring is held by its outside diameter.
func (k Kind) ByOutside() bool { return k == Rod || k == FaceInside }

// Face says whether the groove lies in a face.
func (k Kind) Face() bool { return k == FaceInside || k == FaceOutside }

// Interference is how much the outer wall of the groove presses the ring's circumference together, where
// the ring is held by its outside diameter (rod groove, face groove with inside pressure).
//
//	I = (d2 - D) / d2      d2 = d1 + 2 d outside diameter of the free ring, D wall of the groove, metres
//
// Below 0 the ring does not reach the wall until pressure carries it there. Usual: 0 to 2 % in a rod
// groove, 0 to 3 % in a face groove; more and the ring buckles out of its groove. Valid for d1, d, D > 0.
// Source: definition; limits from an engineering notebook page on O-rings (table oring-limits);
// standing: confirmed.
func Interference(ringID, cord, wall unit.Length) (unit.Ratio, error) {
	od, err := OutsideDiameter(ringID, cord)
	if err != nil {
		return 0, err
	}
	if err := positive("the outer wall of the groove", wall); err != nil {
		return 0, err
	}
	return unit.Ratio((od - wall) / od), nil
}

// LeastWall is the smallest outer wall that presses a ring together by no more than the share wanted.
//
//	D = d2 (1 - I)      d2 outside diameter of the free ring
//
// Valid for 0 <= I <= 0.1. Source: definition turned round; standing: confirmed.
func LeastWall(ringID, cord unit.Length, interference unit.Ratio) (unit.Length, error) {
	od, err := OutsideDiameter(ringID, cord)
	if err != nil {
		return 0, err
	}
	if err := share("the interference", interference, 0.1, "2 to 3 % is the usual limit"); err != nil {
		return 0, err
	}
	return od * (1 - unit.Length(interference)), nil
}

// HeldSection is the cord of a ring that keeps its volume when it lies against the outer wall of its
// groove: a little thicker when the wall presses it together, thinner when pressure must first carry it there.
//
//	d'^2 (D - d') = d^2 (d1 + d)      solved for d'
//
// Valid for an interference from -10 to 10 %. Source: torus of constant volume, as StretchedSection;
// standing: confirmed (geometry).
func HeldSection(ringID, cord, wall unit.Length) (unit.Length, error) {
	i, err := Interference(ringID, cord, wall)
	if err != nil {
		return 0, err
	}
	if err := refuse.Within("the interference", float64(i), -0.1, 0.1, "this ring does not belong in this groove: 0 to 3 % is usual"); err != nil {
		return 0, err
	}
	want := float64(cord * cord * (ringID + cord))
	d, D := float64(cord), float64(wall)
	for range 60 {
		step := (d*d*(D-d) - want) / (d * (2*D - 3*d))
		d -= step
		if math.Abs(step) <= 1e-15*d {
			break
		}
	}
	if math.IsNaN(d) || d <= 0 || 2*d >= D {
		return 0, because("the ring's inside diameter", "is too small for its cord", "measure both again: the hole of the ring would close in this groove")
	}
	return unit.Length(d), nil
}

// Hold is how the ring is held in its groove: the stretch of its inside diameter, or the interference of
// its outside diameter, and the cord that is left in the groove.
type Hold struct {
	ByOutside bool       // Share is an interference, not a stretch
	Share     unit.Ratio // below 0: looser than its seat
	Loss      unit.Ratio // share of the section that is lost (below 0: gained)
	Cord      unit.Length
}

// Held says how a ring is held on its seat: the bottom of a piston groove, the inner wall of a face groove
// with outside pressure (both by stretch), the bottom of a rod groove, the outer wall of a face groove with
// inside pressure (both by interference).
//
// By stretch the section follows SectionLoss (tests); a ring looser than its seat loses nothing. By
// interference it follows HeldSection (volume). Source: those of the two; standing: as theirs.
func Held(kind Kind, ringID, cord, seat unit.Length) (Hold, error) {
	if kind.ByOutside() {
		i, err := Interference(ringID, cord, seat)
		if err != nil {
			return Hold{}, err
		}
		d, err := HeldSection(ringID, cord, seat)
		return Hold{true, i, unit.Ratio((cord - d) / cord), d}, err
	}
	x, err := Stretch(ringID, seat)
	if err != nil {
		return Hold{}, err
	}
	loss, err := SectionLoss(unit.Ratio(math.Max(0, float64(x))))
	if err != nil {
		return Hold{}, err
	}
	d, err := SectionAfterLoss(cord, loss)
	return Hold{false, x, loss, d}, err
}
