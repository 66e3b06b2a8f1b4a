package flange

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// liftsAt is the stiffness number times half the pitch at which the gasket lifts in mid-span.
const liftsAt = 4.730040744862704 / 2

// Bow is what a cover does between two bolts: how far it squeezes the gasket at a bolt and in mid-span, the
// difference of the two, and the gap that opens in mid-span (0 while it presses).
type Bow struct{ AtBolt, MidSpan, Dip, Gap unit.Length }

// Between is the bow of the cover between bolts of one load and pitch.
//
//	w_bolt = F l / (2 k) (S C + s c) / (S^2 + s^2),  w_mid = F l / (2 k) (C s + S c) / (S^2 + s^2),  u = l L / 2
//
// l stiffness number (Lambda), k = Eg b / tg, L pitch; C, S cosh and sinh u, c, s cos and sin u. The other face is
// taken as stiff. Where w_mid is below 0 the gasket would have to pull: the gap is then the least that opens, a
// gasket that does not stick lets go of more. Source: beam on elastic foundation with equal loads, derived, checked by
// integration and against the single load of the textbooks (F l / 2k); standing: confirmed.
func (c Cover) Between(load unit.Force, pitch unit.Length) (Bow, error) {
	l, err := c.Lambda()
	if err := first(err, notNegative("the bolt load", load), positive("the pitch", pitch)); err != nil {
		return Bow{}, err
	}
	u := l * float64(pitch) / 2
	if err := refuse.Within("the stiffness number times half the pitch", u, 1e-6, 300, "check the sizes of cover and gasket"); err != nil {
		return Bow{}, err
	}
	k := float64(c.GasketE) * float64(c.GasketWidth/c.GasketThickness)
	// divided by cosh^2 so that long spans do not overflow
	th, sech := math.Tanh(u), 1/math.Cosh(u)
	cs, sn := math.Cos(u), math.Sin(u)
	den := th*th + sn*sn*sech*sech
	scale := float64(load) * l / (2 * k) / den
	bolt := scale * (th + sn*cs*sech*sech)
	mid := scale * (sn + th*cs) * sech
	return Bow{AtBolt: unit.Length(bolt), MidSpan: unit.Length(mid), Dip: unit.Length(bolt - mid), Gap: unit.Length(math.Max(0, -mid))}, nil
}

// PitchForRatio is the widest pitch at which mid-span still carries a share of the pressure at the bolt.
//
// PressureRatio turned round by bisection; 0 gives the lift pitch. Valid for 0 <= share < 1. Source: as PressureRatio; standing: confirmed.
func (c Cover) PitchForRatio(share unit.Ratio) (unit.Length, error) {
	l, err := c.Lambda()
	if err != nil {
		return 0, err
	}
	u, err := spanFor(share)
	return unit.Length(2 * u / l), err
}

// ThicknessForRatio is the least thickness of the cover at which mid-span carries a share of the pressure at the
// bolt; the cover's own thickness is not used.
//
//	t = [ 3 k / (E w l^4) ]^(1/3), l = 2 u / L      u from the share by bisection
//
// Source: as PressureRatio; standing: confirmed.
func (c Cover) ThicknessForRatio(pitch unit.Length, share unit.Ratio) (unit.Length, error) {
	c.Thickness = 1 // any: checked, then not used
	if _, err := c.Lambda(); err != nil {
		return 0, err
	}
	u, err := spanFor(share)
	if err := first(err, positive("the pitch", pitch)); err != nil {
		return 0, err
	}
	l := 2 * u / float64(pitch)
	k := float64(c.GasketE) * float64(c.GasketWidth/c.GasketThickness)
	return unit.Length(math.Cbrt(3 * k / (float64(c.E) * float64(c.Width) * l * l * l * l))), nil
}

// spanFor is the u at which the pressure ratio has fallen to a share.
func spanFor(share unit.Ratio) (float64, error) {
	if err := refuse.Within("the share of pressure in mid-span", float64(share), 0, 0.999, "0.8 is a good cover, 0 just lifts"); err != nil {
		return 0, err
	}
	lo, hi := 1e-6, liftsAt
	for range 200 {
		u := (lo + hi) / 2
		r, err := PressureRatio(u)
		if err != nil {
			return 0, err
		}
		if r > share {
			lo = u
		} else {
			hi = u
		}
	}
	return (lo + hi) / 2, nil
}

// BowForPitch is the loss of gasket squeeze in mid-span of a cover clamped at its bolts.
//
//	dH = L^4 (13 Pmin + 2 Pmax) b / (480 a E t^3)
//
// PitchForBow turned round; same symbols, source and standing.
func BowForPitch(width, gasket, thickness unit.Length, e unit.Pressure, pitch unit.Length, pMin, pMax unit.Pressure) (unit.Length, error) {
	one, err := PitchForBow(width, gasket, thickness, e, 1, pMin, pMax)
	if err := first(err, positive("the pitch", pitch)); err != nil {
		return 0, err
	}
	return unit.Length(math.Pow(float64(pitch/one), 4)), nil
}
