package gland

import "seepwright/rules/unit"

// CompressionSet is the share of the squeeze that the rubber has kept as a flat.
//
//	C = (t0 - t1) / (t0 - ts)      t0 new height, ts height while squeezed, t1 height after recovery
//
// Valid for t0 > ts > 0 and t1 > 0. Above 1 the ring has also shrunk or lost rubber, below 0 it has
// swollen; both are returned. Source: ASTM D395 method B, ISO 815-1; standing: confirmed.
func CompressionSet(newHeight, squeezed, now unit.Length) (unit.Ratio, error) {
	if err := first(positive("the new height", newHeight), positive("the squeezed height", squeezed), positive("the height now", now)); err != nil {
		return 0, err
	}
	if squeezed >= newHeight {
		return 0, because("the squeezed height", "is not smaller than the new height", "give the gland depth the ring was squeezed to")
	}
	return unit.Ratio((newHeight - now) / (newHeight - squeezed)), nil
}

// HeightAfterSet is the height to which a ring comes back.
//
//	t1 = t0 - C (t0 - ts)
//
// Valid for t0 > ts > 0, 0 <= C <= 1. Source: definition turned round; standing: confirmed.
func HeightAfterSet(newHeight, squeezed unit.Length, set unit.Ratio) (unit.Length, error) {
	if _, err := CompressionSet(newHeight, squeezed, newHeight); err != nil {
		return 0, err
	}
	if err := setShare(set); err != nil {
		return 0, err
	}
	return newHeight - unit.Length(set)*(newHeight-squeezed), nil
}

// SqueezeAfterSet is the squeeze left if the old ring goes back into the same gland.
//
//	C' = (t1 - ts) / t1, t1 from HeightAfterSet
//
// Source: definition; standing: confirmed.
func SqueezeAfterSet(newHeight, squeezed unit.Length, set unit.Ratio) (unit.Ratio, error) {
	t1, err := HeightAfterSet(newHeight, squeezed, set)
	if err != nil {
		return 0, err
	}
	return unit.Ratio((t1 - squeezed) / t1), nil
}

// FollowUp is how far the ring can still follow a wall that draws away before it leaves it.
//
//	f = (d - t) (1 - C)      d cord, t gland depth, metres; C compression set
//
// The most useful single number for an old ring: 0.7 mm new, 0.1 mm at 85 % set for a 3.53 mm
// cord at 20 %. Below 0 there is no contact to begin with. Valid for 0 <= C <= 1.
// Source: definition of set; standing: confirmed as geometry. Slow rubber in the cold follows less.
func FollowUp(cord, depth unit.Length, set unit.Ratio) (unit.Length, error) {
	s, err := SqueezeDepth(cord, depth)
	if err != nil {
		return 0, err
	}
	if err := setShare(set); err != nil {
		return 0, err
	}
	return s * unit.Length(1-set), nil
}

func setShare(set unit.Ratio) error {
	return share("the compression set", set, 1, "0 % is a new ring, 100 % one that does not come back at all")
}
