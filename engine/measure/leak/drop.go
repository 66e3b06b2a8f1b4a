package leak

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// DropFrom is the size of a drop that falls slowly from a round edge that it wets.
//
//	V = f pi d s / (r g)      d edge, s surface tension N/m, r density kg/m3, f share that breaks off
//
// f is 0.6 to 0.75 for edges of 2 to 8 mm. The edge must be no wider than a hanging drop (about 8 mm for
// water); from a broad face drops gather and fall larger. Source: law of the drop weight with its correction,
// physics texts; standing: from memory.
func DropFrom(edge unit.Length, tension, density float64, share unit.Ratio) (unit.Volume, error) {
	if err := first(refuse.Within("the edge", float64(edge), 0.2e-3, 10e-3, "give the width of the tip from which the drop hangs, 0.2 to 10 mm"), refuse.Within("the surface tension", tension, 0.01, 0.1, "water has 0.073 N/m, oil 0.03"),
		refuse.Within("the density", density, 500, 2000, "water has 998 kg/m3"), refuse.Within("the share that breaks off", float64(share), 0.5, 1, "0.6 to 0.75 is usual")); err != nil {
		return 0, err
	}
	return unit.Volume(float64(share) * math.Pi * float64(edge) * tension / (density * gravity)), nil
}
