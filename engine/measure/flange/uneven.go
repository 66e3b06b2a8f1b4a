package flange

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Sheet is a gasket between stiff faces: its free thickness, the squeeze that the bolts give it on the mean, and
// the least and greatest squeeze of its material.
type Sheet struct {
	Thickness              unit.Length
	Squeeze, Least, Utmost unit.Ratio
}

func (s Sheet) check() error {
	if err := first(positive("the gasket thickness", s.Thickness), refuse.Within("the squeeze", float64(s.Squeeze), 0, 0.9, "give the share of the thickness"), refuse.Within("the least squeeze", float64(s.Least), 0, 0.9, "give the share of the thickness"), refuse.Within("the greatest squeeze", float64(s.Utmost), 0, 0.9, "give the share of the thickness")); err != nil {
		return err
	}
	if s.Least >= s.Utmost {
		return because("the least squeeze", "is not below the greatest", "swap them")
	}
	return nil
}

// GreatestHollow is how deep a local hollow or mark in an otherwise flat face may be so that the gasket still has its least
// squeeze over it.
//
//	h = t (C - Cmin), 0 where the squeeze is below the least already
//
// Source: geometry (SqueezeOverHollow turned round); standing: confirmed. It asks that the gasket can follow: a mark
// narrower than the gasket is thick is bridged rather than filled.
func (s Sheet) GreatestHollow() (unit.Length, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	return s.Thickness * unit.Length(math.Max(0, float64(s.Squeeze-s.Least))), nil
}

// GreatestUnevenness is the flatness deviation, peak to valley of both faces together, at which the lowest place has
// the least squeeze and the highest not more than the greatest.
//
//	h = 2 t min(C - Cmin, Cmax - C), never below 0
//
// Heights lie evenly about their mean, the parts are stiff; a thin cover pulls flat and does better near the bolts,
// worse between them. Source: geometry; standing: confirmed.
func (s Sheet) GreatestUnevenness() (unit.Length, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	room := math.Min(float64(s.Squeeze-s.Least), float64(s.Utmost-s.Squeeze))
	return 2 * s.Thickness * unit.Length(math.Max(0, room)), nil
}

// UnevennessAtBest is the most that any torque can take up with this gasket: h = t (Cmax - Cmin), reached with the
// squeeze half way between. Source: geometry; standing: confirmed.
func (s Sheet) UnevennessAtBest() (unit.Length, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	return s.Thickness * unit.Length(s.Utmost-s.Least), nil
}

// LeastThickness is the thinnest gasket of this material that takes up an unevenness at its mean squeeze.
//
//	t = h / (2 min(C - Cmin, Cmax - C))
//
// Refused where the squeeze leaves no room at all. A thicker gasket creeps more and is blown out sooner: take the
// thinnest that does. Source: GreatestUnevenness turned round; standing: confirmed.
func (s Sheet) LeastThickness(unevenness unit.Length) (unit.Length, error) {
	s.Thickness = max(s.Thickness, unit.Millimetre) // not used, but it must be a length
	if err := first(s.check(), notNegative("the unevenness", unevenness)); err != nil {
		return 0, err
	}
	room := 2 * math.Min(float64(s.Squeeze-s.Least), float64(s.Utmost-s.Squeeze))
	if room <= 0 {
		return 0, because("the squeeze", "lies outside what the material stands", "bring it between the least and the greatest")
	}
	return unevenness / unit.Length(room), nil
}

// SqueezeLeft is the least and the greatest squeeze round a joint whose faces are uneven by h: C -+ h / 2t.
func (s Sheet) SqueezeLeft(unevenness unit.Length) (least, greatest unit.Ratio, err error) {
	if err := first(s.check(), notNegative("the unevenness", unevenness)); err != nil {
		return 0, 0, err
	}
	half := unit.Ratio(unevenness / (2 * s.Thickness))
	return s.Squeeze - half, s.Squeeze + half, nil
}

// Soft says whether a gasket counts as soft for flatness limits: it gives more than 1.0 mm when it is tightened.
// Thin sheet is hard by this rule whatever it is made of. Source: ASME PCC-1:2010 and 2019 App. D; standing: confirmed.
func Soft(thickness unit.Length, squeeze unit.Ratio) (bool, error) {
	if err := first(positive("the gasket thickness", thickness), refuse.Within("the squeeze", float64(squeeze), 0, 0.9, "give the share of the thickness")); err != nil {
		return false, err
	}
	return thickness*unit.Length(squeeze) > 1.0*unit.Millimetre, nil
}

// SqueezeAt is the squeeze of a gasket under a mean stress, as a linear spring: C = S / E, never above 0.9.
// A guide only: sheet stiffens as it is squeezed. Source: linear elasticity; standing: estimate for sheet.
func SqueezeAt(stress, e unit.Pressure) (unit.Ratio, error) {
	if err := first(notNegative("the gasket stress", stress), modulus("the gasket's modulus", e)); err != nil {
		return 0, err
	}
	return unit.Ratio(math.Min(0.9, float64(stress/e))), nil
}

// LeastWidth is the narrowest gasket of a thickness: a multiple of it, 5 at least, 10 better.
// Source: sheet-gasket installation guide; standing: confirmed.
func LeastWidth(thickness unit.Length, times unit.Ratio) (unit.Length, error) {
	if err := first(positive("the gasket thickness", thickness), refuse.Within("the width in thicknesses", float64(times), 1, 50, "5 at least, 10 better")); err != nil {
		return 0, err
	}
	return thickness * unit.Length(times), nil
}
