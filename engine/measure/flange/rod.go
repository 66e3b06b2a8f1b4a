package flange

import (
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// RodRiseForChange is the temperature rise of the rod at which its load has changed by some force, the casing's rise given.
//
//	dTr = (ac dTc - dF (1/kr + 1/kc) / L) / ar      dF below 0 is a loss
//
// kc = 0 means a rigid casing. Source: Mismatch and LoadFromMismatch turned round; standing: confirmed (algebra).
func RodRiseForChange(change unit.Force, length unit.Length, casing, rod unit.Expansion, casingRise unit.Kelvin, rodK, casingK unit.Stiffness) (unit.Kelvin, error) {
	k, err := together(rodK, casingK)
	if err := first(err, refuse.Finite("the change of load", float64(change)), positive("the clamped length", length), expansion("the casing's expansion", casing), expansion("the rod's expansion", rod), positive("the rod's expansion", rod), rise("the casing's temperature rise", casingRise)); err != nil {
		return 0, err
	}
	return unit.Kelvin((float64(casing)*float64(casingRise) - float64(change)/(k*float64(length))) / float64(rod)), nil
}

// LeastPreload is the load at assembly that leaves a needed load after some changes, gains and losses. Gains are not
// counted on: a rod that tightens when hot is still slack when cold.
//
//	F = F_needed + sum of losses
//
// Source: force balance, VDI 2230; standing: confirmed.
func LeastPreload(needed unit.Force, changes ...unit.Force) (unit.Force, error) {
	if err := notNegative("the needed load", needed); err != nil {
		return 0, err
	}
	for _, c := range changes {
		if err := refuse.Finite("a change of load", float64(c)); err != nil {
			return 0, err
		}
		needed += max(0, -c)
	}
	return needed, nil
}

// SpringForLoss is the stiffest spring (washer stack) under the nut with which a change of length takes no more
// than some load.
//
//	1/ks = x / dF - 1/kr - 1/kc
//
// kc = 0 means rigid parts. Refused where no spring is needed. Source: springs in line; standing: confirmed (algebra).
func SpringForLoss(x unit.Length, loss unit.Force, rod, casing unit.Stiffness) (unit.Stiffness, error) {
	k, err := together(rod, casing)
	if err := first(err, positive("the change of length", x), positive("the load that may be lost", loss)); err != nil {
		return 0, err
	}
	give := float64(x)/float64(loss) - 1/k
	if give <= 0 {
		return 0, because("the rod", "loses less than that without a spring", "no spring washers are needed")
	}
	return unit.Stiffness(1 / give), nil
}
