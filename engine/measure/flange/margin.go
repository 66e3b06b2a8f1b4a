package flange

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// NutFactors are the least, the usual and the greatest nut factor of one state of thread. A low one gives
// the high load. Usual may be left 0: the middle of the two is then taken.
type NutFactors struct{ Least, Usual, Greatest unit.Ratio }

// ExactNutFactor is a nut factor that is taken as known.
func ExactNutFactor(k unit.Ratio) NutFactors { return NutFactors{k, k, k} }

func (k NutFactors) settled() (NutFactors, error) {
	if k.Usual == 0 {
		k.Usual = (k.Least + k.Greatest) / 2
	}
	if err := first(nutFactor(k.Least), nutFactor(k.Usual), nutFactor(k.Greatest)); err != nil {
		return k, err
	}
	if k.Least > k.Usual || k.Usual > k.Greatest {
		return k, because("the nut factors", "do not rise from least over usual to greatest", "give the least first; the least gives the greatest load")
	}
	return k, nil
}

// Tightening is how the bolts of one joint are tightened. Scatter is plus and minus about the load of the
// usual nut factor.
type Tightening struct {
	Bolts    int
	Diameter unit.Length
	K        NutFactors
	Scatter  unit.Ratio
}

// pull is the load per torque of the slackest, the usual and the tightest bolt.
func (j Tightening) pull() (least, usual, greatest float64, err error) {
	k, err := j.K.settled()
	if err = first(err, counted("the number of bolts", j.Bolts), positive("the bolt diameter", j.Diameter)); err != nil {
		return 0, 0, 0, err
	}
	lo, hi, err := Band(1, j.Scatter)
	if err != nil {
		return 0, 0, 0, err
	}
	kd := float64(k.Usual) * float64(j.Diameter)
	least = math.Min(float64(lo)/kd, 1/(float64(k.Greatest)*float64(j.Diameter)))
	greatest = math.Max(float64(hi)/kd, 1/(float64(k.Least)*float64(j.Diameter)))
	return least, 1 / kd, greatest, nil
}

// Load is what one bolt carries at a torque: the slackest, the usual and the tightest of the joint.
//
//	F = T / (K d);  least: smaller of F (1 - g) and T / (K_max d);  greatest: larger of F (1 + g) and T / (K_min d)
//
// The range of the nut factor and the scatter g of the method are the same friction seen from two sides, so the
// wider of the two holds and they are not multiplied. Source: machine-design texts, preload criteria as Band;
// standing: confirmed.
func (j Tightening) Load(t unit.Torque) (least, usual, greatest unit.Force, err error) {
	lo, mid, hi, err := j.pull()
	if err = first(err, notNegative("the torque", t)); err != nil {
		return 0, 0, 0, err
	}
	return unit.Force(lo * float64(t)), unit.Force(mid * float64(t)), unit.Force(hi * float64(t)), nil
}

// LeastTorque is the torque at which even the slackest bolt carries its share of a load, and what it then loses.
//
//	T = (W / n + dF) / (least load per torque)      W load of the joint, dF loss of one bolt by settling
//
// Cautious: it takes every bolt at the low end, since the gasket leaks beside the slackest one.
// Source: Load turned round; standing: confirmed.
func (j Tightening) LeastTorque(load, lost unit.Force) (unit.Torque, error) {
	lo, _, _, err := j.pull()
	if err = first(err, notNegative("the load of the joint", load), notNegative("the load lost by settling", lost)); err != nil {
		return 0, err
	}
	return unit.Torque((float64(load)/float64(j.Bolts) + float64(lost)) / lo), nil
}

// Cap is a load that one bolt must not pass, and why.
type Cap struct {
	Why  string
	Load unit.Force
}

// GreatestTorque is the torque at which not even the tightest bolt passes the lowest of some caps, and which
// cap that is. Refused without a cap. Source: Load turned round; standing: confirmed.
func (j Tightening) GreatestTorque(caps ...Cap) (unit.Torque, Cap, error) {
	_, _, hi, err := j.pull()
	if err != nil {
		return 0, Cap{}, err
	}
	if len(caps) == 0 {
		return 0, Cap{}, because("the upper limit", "is not known", "give what the bolt or the gasket stands")
	}
	low := caps[0]
	for _, c := range caps {
		if err := positive(c.Why, c.Load); err != nil {
			return 0, Cap{}, err
		}
		if c.Load < low.Load {
			low = c
		}
	}
	return unit.Torque(float64(low.Load) / hi), low, nil
}

// TighteningStress is the stress in the thread while it is tightened: tension and twist together.
//
//	S = (F / A0) sqrt(1 + 3 [ 1.5 (d2/d0) (P/(pi d2) + 1.155 mu) ]^2)
//
// Symbols as AssemblyPreload, whose inverse it is; about a quarter above the tension alone. Once the spanner is off
// about half of the twist springs back. Source: VDI 2230; standing: confirmed.
func TighteningStress(f unit.Force, d, pitch unit.Length, mu unit.Ratio) (unit.Pressure, error) {
	if err := notNegative("the bolt load", f); err != nil {
		return 0, err
	}
	one, err := AssemblyPreload(d, pitch, 1, 1, mu)
	if err != nil {
		return 0, err
	}
	return unit.Pressure(f / one), nil
}

// FrictionOf is the one friction value that stands behind a nut factor.
//
//	mu = (K d - 0.16 P) / (0.58 d2 + (dw + dh) / 4)
//
// Refused where the nut factor is so low that no friction of 0.02 to 0.5 gives it. Source: TorqueLong equated with
// Torque; standing: confirmed (algebra).
func FrictionOf(k unit.Ratio, d, pitch unit.Length, head Head) (unit.Ratio, error) {
	if err := first(thread(d, pitch), nutFactor(k), head.check(d)); err != nil {
		return 0, err
	}
	d2 := d - 0.6495*pitch
	mu := (float64(k)*float64(d) - 0.16*float64(pitch)) / (0.58*float64(d2) + float64(head.Face+head.Hole)/4)
	if err := friction(unit.Ratio(mu)); err != nil {
		return 0, because("the nut factor", "does not fit a thread of this pitch", "0.10 to 0.3 is usual")
	}
	return unit.Ratio(mu), nil
}

// NutFactorOf is the nut factor that stands behind one friction value: the arm of TorqueLong over d.
// Source: VDI 2230 torque equation over T = K F d; standing: confirmed.
func NutFactorOf(mu unit.Ratio, d, pitch unit.Length, head Head) (unit.Ratio, error) {
	t, err := TorqueLong(1, d, pitch, mu, head)
	if err != nil {
		return 0, err
	}
	return unit.Ratio(float64(t) / float64(d)), nil
}

// UsualHead is the bearing face of a hexagon head where nobody has measured it: 1.4 d outside, 1.1 d hole.
// Source: between ISO 4014 sizes of 8 to 20 mm (1.39 to 1.45 d, 1.10 to 1.13 d); standing: estimate.
func UsualHead(d unit.Length) Head { return Head{Face: 1.4 * d, Hole: 1.1 * d} }

func (h Head) check(d unit.Length) error {
	if err := first(positive("the bearing face under the head", h.Face), positive("the hole under the head", h.Hole)); err != nil {
		return err
	}
	if h.Face <= h.Hole || h.Hole < d {
		return because("the bearing face under the head", "must be larger than its hole, and the hole larger than the bolt", "measure the head's face and the hole")
	}
	return nil
}

// YieldMargin is how much of the yield strength a stress leaves: 1 - S / Rp. Below 0 the bolt has yielded.
// Source: definition; standing: confirmed.
func YieldMargin(stress, yield unit.Pressure) (unit.Ratio, error) {
	if err := first(notNegative("the stress", stress), positive("the yield strength", yield)); err != nil {
		return 0, err
	}
	return unit.Ratio(1 - stress/yield), refuse.Finite("the margin", float64(stress/yield))
}
