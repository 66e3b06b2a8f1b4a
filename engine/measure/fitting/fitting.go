// Package fitting computes the few figures of fittings that stand beside a joint: threads, hollow bolts, rolled
// tubes, solder cups, core plugs and shaft seals.
// It knows no size tables: pitches, areas and limits come in as arguments.
package fitting

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func positive[T ~float64](what string, x T) error { return refuse.Positive(what, float64(x)) }

// Turns is the number of turns in a length of thread: n = L / P.
// With L the hand-tight length it is the turns by hand. Source: ASME B1.20.1, ISO 7-1; standing: confirmed.
func Turns(length, pitch unit.Length) (float64, error) {
	if err := refuse.First(positive("the length of thread", length), positive("the pitch", pitch)); err != nil {
		return 0, err
	}
	return float64(length / pitch), nil
}

// TaperGrowth is how much a taper thread of 1 in 16 grows in diameter for each turn: P / 16.
// Source: ISO 7-1, ASME B1.20.1; standing: confirmed.
func TaperGrowth(pitch unit.Length) (unit.Length, error) {
	return pitch / 16, positive("the pitch", pitch)
}

// WallReduction is the thinning of a tube wall rolled past contact: (growth of bore) / (2 t).
// t wall of one side; usual 5 to 8 %. Source: Basic Principles of Tube Expanding; standing: confirmed.
func WallReduction(growth, wall unit.Length) (unit.Ratio, error) {
	if err := refuse.First(refuse.NotNegative("the growth of the bore past contact", float64(growth)), positive("the tube wall", wall)); err != nil {
		return 0, err
	}
	return unit.Ratio(growth / (2 * wall)), nil
}

// SolderWire is the length of wire that fills a cup.
//
//	l = pi D L (c/2) / ((pi/4) w^2)      D tube outside, L cup depth, c diametral clearance, w wire
//
// Source: volume balance, rebuilds the published table; standing: confirmed.
func SolderWire(tube, cup, clearance, wire unit.Length) (unit.Length, error) {
	if err := refuse.First(positive("the tube", tube), positive("the cup depth", cup), refuse.NotNegative("the clearance", float64(clearance)), positive("the wire", wire)); err != nil {
		return 0, err
	}
	return 2 * tube * cup * clearance / (wire * wire), nil
}

// LipSpeed is the speed at the lip of a shaft seal: v = pi D n, n in turns per second.
// Source: definition; standing: confirmed.
func LipSpeed(shaft unit.Length, perSecond float64) (unit.Speed, error) {
	if err := refuse.First(positive("the shaft", shaft), refuse.NotNegative("the speed of turning", perSecond)); err != nil {
		return 0, err
	}
	return unit.Speed(math.Pi * float64(shaft) * perSecond), nil
}

// FlatsAngle is the angle of so many flats of a hexagon: 60 degrees each. Source: geometry.
func FlatsAngle(flats float64) (unit.Angle, error) {
	if err := refuse.NotNegative("the number of flats", flats); err != nil {
		return 0, err
	}
	return unit.Angle(flats) * 60 * unit.Degree, nil
}
