package gland

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Heated is a radial gland whose ring and parts change with temperature, each by its own expansion.
type Heated struct {
	Cord, Outer, Inner unit.Length    // as measured: cord, bore (or groove in the housing), groove (or rod)
	Ring               unit.Expansion // linear expansion of the rubber
	OuterPart          unit.Expansion // of the part with the bore
	InnerPart          unit.Expansion // of the part with the groove or of the rod
	Held               bool           // the groove keeps the ring's length: all growth goes into the section
}

// Warm is the gland at another temperature.
type Warm struct {
	Cord, Depth, Squeeze unit.Length
	Share                unit.Ratio // of the cord as it is then
}

// At is the gland after a temperature change.
//
//	D' = D (1 + ao dT), dg' = dg (1 + ai dT), t' = (D' - dg')/2
//	free ring: d' = d (1 + a dT)
//	held ring: d' = d [ (1 + 3 a dT) / (1 + ai dT) ]^(1/2), about d (1 + 1.5 a dT)
//
// The held ring is the cautious one in the cold: its length is that of the groove, so that its section
// takes all of the shrinkage. Valid for |dT| up to 300 K, expansions of parts from 0 to 3e-4 1/K (plastics
// reach 1e-4). Source: definition of expansion, torus of constant length; standing: confirmed (geometry).
func (h Heated) At(rise unit.Kelvin) (Warm, error) {
	err := first(positive("the cord", h.Cord), heat(h.Ring, rise),
		refuse.Within("the expansion of the outer part", float64(h.OuterPart), 0, 3e-4, "steel has 11.5e-6, aluminium 23e-6, plastics up to 1e-4 per kelvin"),
		refuse.Within("the expansion of the inner part", float64(h.InnerPart), 0, 3e-4, "steel has 11.5e-6, aluminium 23e-6, plastics up to 1e-4 per kelvin"))
	if err != nil {
		return Warm{}, err
	}
	outer, inner := h.Outer*unit.Length(1+float64(h.OuterPart)*float64(rise)), h.Inner*unit.Length(1+float64(h.InnerPart)*float64(rise))
	t, err := Depth(outer, inner)
	if err != nil {
		return Warm{}, err
	}
	grown := 1 + float64(h.Ring)*float64(rise)
	if h.Held {
		volume := 1 + 3*float64(h.Ring)*float64(rise)
		if volume <= 0 {
			return Warm{}, because("the temperature change", "is more than this rubber's expansion can stand for", "give a smaller change")
		}
		grown = math.Sqrt(volume / (1 + float64(h.InnerPart)*float64(rise)))
	}
	if grown <= 0 {
		return Warm{}, because("the temperature change", "is more than this rubber's expansion can stand for", "give a smaller change")
	}
	d := h.Cord * unit.Length(grown)
	return Warm{d, t, d - t, unit.Ratio((d - t) / d)}, nil
}

// Coldest is how far the gland may cool (below 0) before its squeeze falls to the share wanted.
//
// Solved by halving over 0 to -300 K; the squeeze falls with cooling where the rubber shrinks more
// than the gap between the parts, which is so for all rubbers on metal. Refused where the squeeze is too
// small already, and where it never falls so far. Stiffening comes first in most rubbers: see ColdLimit.
// Source: At turned round; standing: confirmed (geometry).
func (h Heated) Coldest(least unit.Ratio) (unit.Kelvin, error) {
	if err := share("the least squeeze wanted", least, 0.5, "10 % is the usual floor"); err != nil {
		return 0, err
	}
	now, err := h.At(0)
	if err != nil {
		return 0, err
	}
	if now.Share < least {
		return 0, because("the squeeze", "is below the least wanted before any cooling", "fit a thicker ring or a smaller bore")
	}
	enough := func(rise unit.Kelvin) bool {
		w, err := h.At(rise)
		return err == nil && w.Share >= least
	}
	lo, hi := unit.Kelvin(-300), unit.Kelvin(0)
	if enough(lo) {
		return 0, because("the least squeeze wanted", "is not reached by cooling of 300 degrees", "the cold limit of the rubber decides, not the squeeze")
	}
	for range 60 {
		if mid := (lo + hi) / 2; enough(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi, nil
}
