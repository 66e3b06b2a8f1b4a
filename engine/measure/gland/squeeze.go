package gland

import "seepwright/rules/unit"

// Depth is the radial height of the gland of a ring in an outside groove (piston, spigot).
//
//	t = (D - dg) / 2      D bore, dg groove diameter, all metres
//
// Also used for a rod gland with D the groove and dg the rod. Valid for D > 0, dg > 0; a result
// of 0 or less is refused, for the parts would not go together. Source: geometry; standing: confirmed.
func Depth(bore, groove unit.Length) (unit.Length, error) {
	if err := first(positive("the bore", bore), positive("the groove diameter", groove)); err != nil {
		return 0, err
	}
	if bore <= groove {
		return 0, because("the groove diameter", "is not smaller than the bore", "measure both again: the groove must leave room for the ring")
	}
	return (bore - groove) / 2, nil
}

// SqueezeDepth is how much the gland flattens the ring's section, in length.
//
//	s = d - t      d cord (section), t gland depth, metres
//
// Below 0 the ring does not touch both walls and the figure is the gap. Valid for d > 0, t > 0.
// Source: definition, ISO 3601-2; standing: confirmed.
func SqueezeDepth(cord, depth unit.Length) (unit.Length, error) {
	if err := first(positive("the cord", cord), positive("the gland depth", depth)); err != nil {
		return 0, err
	}
	return cord - depth, nil
}

// Squeeze is the squeeze as a share of the cord.
//
//	C = (d - t) / d      d cord, t gland depth, metres; C ratio
//
// Below 0 there is a gap. Valid for d > 0, t > 0. Source: definition, ISO 3601-2; standing: confirmed.
func Squeeze(cord, depth unit.Length) (unit.Ratio, error) {
	s, err := SqueezeDepth(cord, depth)
	if err != nil {
		return 0, err
	}
	return unit.Ratio(s / cord), nil
}

// FaceDepth is the depth of a face-seal gland whose faces stand apart.
//
//	t = h + g      h groove depth, g gap that stays open between the faces, metres
//
// Valid for h > 0, g >= 0. Source: geometry; standing: confirmed.
func FaceDepth(groove, gap unit.Length) (unit.Length, error) {
	if err := first(positive("the groove depth", groove), notNegative("the gap between the faces", gap)); err != nil {
		return 0, err
	}
	return groove + gap, nil
}
