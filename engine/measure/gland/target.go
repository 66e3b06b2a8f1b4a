package gland

import "seepwright/rules/unit"

// LargestBore is the largest local bore diameter that still leaves the wanted squeeze, the
// inner part in the middle.
//
//	D_max = dg + 2 (d - s)      d cord, s least squeeze wanted, dg groove diameter
//
// Valid for 0 <= s < d. Source: geometry; standing: confirmed.
func LargestBore(cord, groove, least unit.Length) (unit.Length, error) {
	if err := first(positive("the cord", cord), positive("the groove diameter", groove), notNegative("the least squeeze wanted", least)); err != nil {
		return 0, err
	}
	if least >= cord {
		return 0, because("the least squeeze wanted", "is as much as the whole cord", "give a squeeze well below the cord")
	}
	return groove + 2*(cord-least), nil
}

// GreatestOvality is how far out of round (largest less smallest diameter) a bore of this mean
// size may be before the least squeeze falls below the limit, the inner part in the middle.
//
//	o = 2 (D_max - D_mean), D_max from LargestBore
//
// Refused when even a round bore of this size leaves too little. Source: geometry; standing: confirmed.
func GreatestOvality(cord, groove, meanBore, least unit.Length) (unit.Length, error) {
	widest, err := LargestBore(cord, groove, least)
	if err != nil {
		return 0, err
	}
	return ovalityLeft(widest, meanBore, groove)
}

// GreatestOvalityHardOver is the same with the inner part lying against one side of the bore.
//
//	D_max = [ 2 (d - s) + dg + ds ] / 2; o = 2 (D_max - D_mean)      ds spigot or land beside the groove
//
// Source: geometry, SqueezeHardOver turned round; standing: confirmed.
func GreatestOvalityHardOver(cord, groove, meanBore, spigot, least unit.Length) (unit.Length, error) {
	concentric, err := LargestBore(cord, groove, least)
	if err != nil {
		return 0, err
	}
	if _, err := Eccentricity(meanBore, spigot); err != nil {
		return 0, err
	}
	return ovalityLeft((concentric+spigot)/2, meanBore, groove)
}

func ovalityLeft(widest, meanBore, groove unit.Length) (unit.Length, error) {
	if _, err := Depth(meanBore, groove); err != nil {
		return 0, err
	}
	if widest < meanBore {
		return 0, because("the bore", "leaves too little squeeze even when it is round", "sleeve or replace it, or fit a ring with a thicker cord")
	}
	return 2 * (widest - meanBore), nil
}

// GreatestClearance is the diametral clearance at which a round bore still leaves the wanted
// squeeze with the inner part lying against one side.
//
//	c = 2 (d - s - t) = D_max - D, t = (D - dg) / 2, D_max from LargestBore
//
// Source: geometry; standing: confirmed. Extrusion may ask for less, see GreatestGap.
func GreatestClearance(cord, groove, bore, least unit.Length) (unit.Length, error) {
	widest, err := LargestBore(cord, groove, least)
	if err != nil {
		return 0, err
	}
	twice, err := ovalityLeft(widest, bore, groove)
	return twice / 2, err
}
