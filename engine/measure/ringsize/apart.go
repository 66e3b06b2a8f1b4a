package ringsize

import (
	"math"

	"seepwright/rules/unit"
)

// decisive is the distance squared at which a reading is expected to speak 20 to 1 for the right one of two rings:
// the expected logarithm of the odds of two equal normal laws at distance D is D^2/2, and ln 20 = 3.00.
// Source: normal laws; standing: confirmed; the 20 to 1 is common practice (95 %).
var decisive = 2 * math.Log(20)

// Apart is how two candidates differ and what would tell them apart.
type Apart struct {
	ByID, ByCord, ByOutside unit.Length // second less first, nominal
	Sure                    bool        // the readings at hand tell them apart, 20 to 1
	Settles                 []Settle    // one more reading that would, coarsest (largest U) first
	Never                   bool        // no reading of the ring can: their tolerances overlap too far
}

// Settle is one more reading that would tell two rings apart, and how good it has to be (k = 2).
type Settle struct {
	Of Quantity
	U  unit.Length
}

// Compare says how ring b differs from ring a, and what would tell them apart beside the readings at hand.
//
//	D^2 = (xb - xa)' A' [A V A' + diag(U/2)^2]^-1 A (xb - xa)      V mean of the two rings' variances (T/2)^2
//
// They are told apart where D^2 >= 2 ln 20. Source: as Identify. A ring without known inside diameter is
// compared by its section alone.
func Compare(a, b Ring, readings []Reading, used Used) Apart {
	out := Apart{ByID: b.ID - a.ID, ByCord: b.Cord - a.Cord, ByOutside: b.Outside() - a.Outside()}
	open := a.anyID() || b.anyID()
	if open {
		out.ByID, out.ByOutside = 0, 0
	}
	d2 := func(more ...Reading) float64 {
		va, vb := flat(float64(a.ID), float64(a.Cord), false, used, a), flat(float64(b.ID), float64(b.Cord), false, used, b)
		law := belief{p: [3]float64{(va.p[0] + vb.p[0]) / 2, 0, (va.p[2] + vb.p[2]) / 2}}
		if open {
			law.p[0] = 1 // m^2: the inside diameter tells nothing
		}
		sum := 0.0
		for _, r := range append(more, readings...) { // the readings at hand last: append must not write into them
			i, c := r.Of.weights()
			r.At = unit.Length(i)*out.ByID + unit.Length(c)*out.ByCord
			d, _ := law.see(r)
			sum += d
		}
		return sum
	}
	if out.Sure = d2() >= decisive; out.Sure {
		return out
	}
	all := []Reading{{Of: Inside}, {Of: Outside}, {Of: Section}}
	out.Never = d2(all...) < decisive
	for _, q := range []Quantity{Section, Inside, Outside} {
		if open && q != Section || d2(Reading{Of: q}) < decisive {
			continue
		}
		lo, hi := 0.0, 0.05 // m
		for range 60 {
			mid := (lo + hi) / 2
			if d2(Reading{Of: q, U: unit.Length(mid)}) >= decisive {
				lo = mid
			} else {
				hi = mid
			}
		}
		if lo > 1e-6 { // nobody measures rubber better
			out.Settles = append(out.Settles, Settle{q, unit.Length(lo)})
		}
	}
	for i := 1; i < len(out.Settles); i++ {
		for j := i; j > 0 && out.Settles[j].U > out.Settles[j-1].U; j-- {
			out.Settles[j], out.Settles[j-1] = out.Settles[j-1], out.Settles[j]
		}
	}
	return out
}
