package form

import (
	"fmt"
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// EightLines are tilt readings along the eight lines of a rectangular face: two diagonals, four
// edges, two centre lines. Readings are tilts of a foot, in any one unit; lines run as named.
type EightLines struct {
	DiagonalNWSE, DiagonalNESW       []float64
	NorthEW, SouthEW, EastNS, WestNS []float64
	CentreEW, CentreNS               []float64
}

// Heights are the heights of the stations above the lowest, in the unit of the tilt per foot step.
type Heights struct {
	EightLines
	ClosureEW, ClosureNS float64 // how far the middle of a centre line missed the middle of the face
	Flatness             float64
}

// EightLineLevels turns the readings of eight lines into heights.
//
// Differences from the first reading are summed along each line; the diagonals are laid through
// the middle with equal ends; edges are tied to the ends of the diagonals; centre lines to the
// middles of the edges and then shifted to the middle, the shift being the closure error.
// The lines need an even number of steps, so that each has a middle. Flatness is the highest
// station above the lowest about the plane of the diagonals (not a minimum zone).
// Source: plant practice of calibrating surface plates, 1955; standing: confirmed.
func EightLineLevels(r EightLines) (Heights, error) {
	named := []struct {
		name string
		row  []float64
	}{
		{"the diagonal north-west to south-east", r.DiagonalNWSE}, {"the diagonal north-east to south-west", r.DiagonalNESW},
		{"the north line", r.NorthEW}, {"the south line", r.SouthEW}, {"the east line", r.EastNS}, {"the west line", r.WestNS},
		{"the centre line east to west", r.CentreEW}, {"the centre line north to south", r.CentreNS},
	}
	for _, l := range named {
		if len(l.row) < 2 || len(l.row)%2 != 0 {
			return Heights{}, because(l.name, fmt.Sprintf("has %d readings", len(l.row)), "take an even number of steps, so that the line has a middle")
		}
		for _, v := range l.row {
			if err := refuse.Finite("a reading on "+l.name, v); err != nil {
				return Heights{}, err
			}
		}
	}
	h := Heights{}
	h.DiagonalNWSE, h.DiagonalNESW = diagonal(r.DiagonalNWSE), diagonal(r.DiagonalNESW)
	nw, se := h.DiagonalNWSE[0], last(h.DiagonalNWSE)
	ne, sw := h.DiagonalNESW[0], last(h.DiagonalNESW)
	h.NorthEW, h.SouthEW = tied(r.NorthEW, ne, nw), tied(r.SouthEW, se, sw)
	h.EastNS, h.WestNS = tied(r.EastNS, ne, se), tied(r.WestNS, nw, sw)
	h.CentreEW, h.ClosureEW = centred(tied(r.CentreEW, middle(h.EastNS), middle(h.WestNS)))
	h.CentreNS, h.ClosureNS = centred(tied(r.CentreNS, middle(h.NorthEW), middle(h.SouthEW)))
	lo, hi := math.Inf(1), math.Inf(-1)
	all := [][]float64{h.DiagonalNWSE, h.DiagonalNESW, h.NorthEW, h.SouthEW, h.EastNS, h.WestNS, h.CentreEW, h.CentreNS}
	for _, row := range all {
		for _, v := range row {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	for _, row := range all {
		for i := range row {
			row[i] -= lo
		}
	}
	h.Flatness = hi - lo
	return h, nil
}

// TiltStep is the height of one step of tilt over the foot of a level.
//
//	h = L sin(tilt)
func TiltStep(foot unit.Length, tilt unit.Angle) unit.Length {
	return foot * unit.Length(math.Sin(float64(tilt)))
}

// summed adds up the differences of tilt from the first reading; the line starts at 0, 0.
func summed(tilt []float64) []float64 {
	h := make([]float64, len(tilt)+1)
	for i, t := range tilt {
		h[i+1] = h[i] + t - tilt[0]
	}
	return h
}

func tied(tilt []float64, from, to float64) []float64 {
	h := summed(tilt)
	n := float64(len(h) - 1)
	end := last(h)
	for i := range h {
		h[i] += from + (to-from-end)*float64(i)/n
	}
	return h
}

func diagonal(tilt []float64) []float64 {
	h, _ := centred(tied(tilt, 0, 0))
	return h
}

func centred(h []float64) ([]float64, float64) {
	m := middle(h)
	for i := range h {
		h[i] -= m
	}
	return h, m
}

func middle(h []float64) float64 { return h[len(h)/2] }
func last(h []float64) float64   { return h[len(h)-1] }
