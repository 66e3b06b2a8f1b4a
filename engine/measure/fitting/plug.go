package fitting

import (
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Interference is how much larger a plug is than its hole: D - d. Below 0 it is loose. Source: definition.
func Interference(plug, hole unit.Length) (unit.Length, error) {
	if err := refuse.First(positive("the plug", plug), positive("the hole", hole)); err != nil {
		return 0, err
	}
	return plug - hole, nil
}

// HoleFor is which holes hold a plug with an interference in a band: d = D - x.
// Source: Interference solved; standing: confirmed.
func HoleFor(plug, least, greatest unit.Length) (low, high unit.Length, err error) {
	if err := refuse.First(positive("the plug", plug), refuse.Finite("the least interference", float64(least)), refuse.Finite("the greatest interference", float64(greatest))); err != nil {
		return 0, 0, err
	}
	if least > greatest || greatest >= plug {
		return 0, 0, refuse.Because("the least interference", "is above the greatest, or they are larger than the plug", "give the smaller figure first")
	}
	return plug - greatest, plug - least, nil
}

// Wobble is what the lip of a shaft seal has to follow.
type Wobble struct {
	Offset unit.Length // of the shaft from the middle of the bore, half of what a dial shows from side to side
	RunOut unit.Length // full reading of the dial on the turning shaft
	Sum    unit.Length
}

// Follow is the offset and run-out of a shaft, and their sum.
//
//	offset = (greatest - least) / 2      of a dial carried round in the bore by the shaft
//
// Source: definition; the limit of the sum from seal makers' sheets; standing: confirmed.
func Follow(aroundBore, runOut unit.Length) (Wobble, error) {
	if err := refuse.First(refuse.NotNegative("the reading round the bore", float64(aroundBore)), refuse.NotNegative("the run-out", float64(runOut))); err != nil {
		return Wobble{}, err
	}
	w := Wobble{Offset: aroundBore / 2, RunOut: runOut}
	w.Sum = w.Offset + w.RunOut
	return w, nil
}
