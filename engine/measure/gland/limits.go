package gland

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// LeastCord is the thinnest cord that still has the wanted squeeze in a gland.
//
//	d = t / (1 - C)      t gland depth, C least squeeze wanted
//
// Valid for t > 0, 0 <= C <= 0.5. Source: definition of squeeze turned round; standing: confirmed.
func LeastCord(depth unit.Length, least unit.Ratio) (unit.Length, error) {
	if err := first(positive("the gland depth", depth), wantedSqueeze("the least squeeze wanted", least)); err != nil {
		return 0, err
	}
	return depth / unit.Length(1-least), nil
}

// GreatestCord is the thickest cord that a gland takes: by squeeze, and by fill where the width is given
// (0 when it is not known). byFill says which decided.
//
//	d = min( t / (1 - C), [ 4 t w F / (pi (1 + S)) ]^(1/2) )
//
// C greatest squeeze, w width, F greatest fill, S swell by volume. Valid for t > 0, 0 <= C <= 0.5, F from 0.1 to 1.
// Source: definitions of squeeze and fill turned round; standing: confirmed.
func GreatestCord(depth, width unit.Length, most, fill, swell unit.Ratio) (cord unit.Length, byFill bool, err error) {
	if err := first(positive("the gland depth", depth), notNegative("the groove width", width), wantedSqueeze("the greatest squeeze allowed", most)); err != nil {
		return 0, false, err
	}
	cord = depth / unit.Length(1-most)
	if width == 0 {
		return cord, false, nil
	}
	if err := first(wantedFill(fill), swelling(swell)); err != nil {
		return 0, false, err
	}
	if d := unit.Length(math.Sqrt(4 * float64(depth*width) * float64(fill) / (math.Pi * (1 + float64(swell))))); d < cord {
		return d, true, nil
	}
	return cord, false, nil
}

// DeepestGroove is the deepest face groove that still leaves the wanted squeeze.
//
//	h = d (1 - C) - g      g gap that stays open between the faces
//
// For a radial gland with g = 0 it is the greatest gland depth. Refused where the gap alone takes all
// squeeze. Valid for d > 0, g >= 0, 0 <= C <= 0.5. Source: definition turned round; standing: confirmed.
func DeepestGroove(cord, gap unit.Length, least unit.Ratio) (unit.Length, error) {
	return grooveFor(cord, gap, "the least squeeze wanted", least)
}

// ShallowestGroove is the shallowest face groove that squeezes no more than allowed; see DeepestGroove.
//
//	h = d (1 - C) - g      C greatest squeeze allowed
//
// Source: definition turned round; standing: confirmed.
func ShallowestGroove(cord, gap unit.Length, most unit.Ratio) (unit.Length, error) {
	return grooveFor(cord, gap, "the greatest squeeze allowed", most)
}

func grooveFor(cord, gap unit.Length, what string, squeeze unit.Ratio) (unit.Length, error) {
	if err := first(positive("the cord", cord), notNegative("the gap between the faces", gap), wantedSqueeze(what, squeeze)); err != nil {
		return 0, err
	}
	h := cord*unit.Length(1-squeeze) - gap
	if h <= 0 {
		return 0, because("the gap between the faces", "takes the whole gland", "close the faces, or fit a thicker ring")
	}
	return h, nil
}

// GreatestFaceGap is how far two faces may stand apart before the squeeze falls below the share wanted.
//
//	g = d (1 - C) - h      h depth of the groove
//
// Refused where the groove alone is too deep. Valid for d, h > 0, 0 <= C <= 0.5.
// Source: definition turned round; standing: confirmed.
func GreatestFaceGap(cord, groove unit.Length, least unit.Ratio) (unit.Length, error) {
	if err := first(positive("the cord", cord), positive("the groove depth", groove), wantedSqueeze("the least squeeze wanted", least)); err != nil {
		return 0, err
	}
	g := cord*unit.Length(1-least) - groove
	if g < 0 {
		return 0, because("the groove depth", "leaves too little squeeze even with the faces shut", "fit a thicker ring or make the groove shallower")
	}
	return g, nil
}

// SmallestInner is the smallest inner part that still leaves the wanted squeeze: the bottom of a piston
// groove in its bore, or the rod in the groove of its housing.
//
//	Di = Do - 2 (d - s)      Do outer part, d cord, s least squeeze wanted in length
//
// Valid for 0 <= s < d. Source: geometry, LargestBore turned round; standing: confirmed.
func SmallestInner(cord, outer, least unit.Length) (unit.Length, error) {
	if err := first(positive("the cord", cord), positive("the outer diameter", outer), notNegative("the least squeeze wanted", least)); err != nil {
		return 0, err
	}
	if least >= cord {
		return 0, because("the least squeeze wanted", "is as much as the whole cord", "give a squeeze well below the cord")
	}
	d := outer - 2*(cord-least)
	if d <= 0 {
		return 0, because("the cord", "is too thick for this bore", "measure both again")
	}
	return d, nil
}

// GreatestOffset is how far the inner part may sit off the middle of a round bore before the squeeze on
// the loose side falls below the limit.
//
//	e = d - s - (D - dg) / 2
//
// Refused where the squeeze is too small in the middle already. Source: geometry; standing: confirmed.
func GreatestOffset(cord, groove, bore, least unit.Length) (unit.Length, error) {
	c, err := GreatestClearance(cord, groove, bore, least)
	return c / 2, err
}

// NarrowestGroove is the least width of groove that is filled no more than allowed.
//
//	w = (pi/4) d^2 (1 + S) / (t F)      t gland depth, S swell by volume, F greatest fill
//
// Put in the thickest cord and the least depth for the worst case. Valid for F from 0.1 to 1, S from -0.5 to 2.
// Source: definition of fill turned round; standing: confirmed.
func NarrowestGroove(cord, depth unit.Length, swell, fill unit.Ratio) (unit.Length, error) {
	if err := first(positive("the cord", cord), positive("the gland depth", depth), swelling(swell), wantedFill(fill)); err != nil {
		return 0, err
	}
	return unit.Length(math.Pi / 4 * float64(cord*cord) * (1 + float64(swell)) / (float64(depth) * float64(fill))), nil
}

// GreatestSwell is how much a ring may swell by volume before the groove is fuller than allowed.
//
//	S = F / F0 - 1      F greatest fill, F0 fill of the ring as it is
//
// Below 0 the groove is too full already. Valid for F0 > 0. Source: definition turned round; standing: confirmed.
func GreatestSwell(fill, allowed unit.Ratio) (unit.Ratio, error) {
	if err := first(refuse.Positive("the fill", float64(fill)), wantedFill(allowed)); err != nil {
		return 0, err
	}
	return allowed/fill - 1, nil
}

// GreatestSet is the compression set at which the ring can follow its walls only so far any more.
//
//	C = 1 - f / (d - t)      f follow-up wanted, d cord, t gland depth
//
// Refused where even a new ring cannot follow so far. Source: FollowUp turned round; standing: confirmed as geometry.
func GreatestSet(cord, depth, follow unit.Length) (unit.Ratio, error) {
	s, err := SqueezeDepth(cord, depth)
	if err != nil {
		return 0, err
	}
	if err := notNegative("the follow-up wanted", follow); err != nil {
		return 0, err
	}
	if s <= 0 || follow > s {
		return 0, because("the squeeze", "is less than the follow-up wanted even when the ring is new", "fit a thicker ring or a shallower gland")
	}
	return unit.Ratio(1 - follow/s), nil
}

func wantedSqueeze(what string, c unit.Ratio) error {
	return share(what, c, 0.5, "10 to 30 % is usual; give it in per cent of the cord")
}

func wantedFill(f unit.Ratio) error {
	return refuse.Within("the greatest fill allowed", float64(f), 0.1, 1, "85 to 90 % is usual")
}
