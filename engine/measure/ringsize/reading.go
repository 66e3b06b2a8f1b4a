package ringsize

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/engine/measure/uncertain"
	"seepwright/rules/unit"
)

// Quantity is what was measured on a ring.
type Quantity int

// What can be measured on a ring.
const (
	Inside  Quantity = iota // inside diameter of the free ring
	Outside                 // outside diameter of the free ring
	Section                 // thickness of the cord
	Length                  // length of the middle line: of a ring cut through and laid straight
)

func (q Quantity) String() string {
	return [...]string{"inside diameter", "outside diameter", "section", "length of the cut ring"}[q]
}

// weights are the parts that inside diameter and section have in a quantity.
//
//	inside d1; outside d1 + 2 d; section d; length of the middle line pi (d1 + d)
func (q Quantity) weights() (id, cord float64) {
	switch q {
	case Outside:
		return 1, 2
	case Section:
		return 0, 1
	case Length:
		return math.Pi, math.Pi
	}
	return 1, 0
}

// Reading is one measurement of a ring with its expanded uncertainty (k = 2).
type Reading struct {
	Of Quantity
	At unit.Length
	U  unit.Length
}

func (r Reading) check() error {
	if r.Of < Inside || r.Of > Length {
		return refuse.Because("a reading of the ring", "is of no known kind", "give inside diameter, outside diameter, section or length")
	}
	return refuse.First(sensible("the "+r.Of.String(), r.At),
		refuse.Within("the uncertainty of the "+r.Of.String(), float64(r.U), 0, 10, "give it smaller than what it belongs to"))
}

// Free is the inside diameter and the section that readings give by themselves, without any table, with their
// uncertainty (k = 2). Readings that do not suffice for both are refused.
//
// Least squares of independent readings, weighted by 1/U^2: A x = b with A = sum w a a', b = sum w a y, U from the
// inverse of A. Source: weighted mean of independent readings, GUM (JCGM 100:2008) 5.1 and H.3; standing: confirmed.
func Free(readings []Reading) (id, cord uncertain.Value, err error) {
	var ii, ic, cc, bi, bc float64
	for _, r := range readings {
		if err := r.check(); err != nil {
			return id, cord, err
		}
		i, c := r.Of.weights()
		noise := math.Max(float64(r.U)/2, floor)
		w := 1 / (noise * noise)
		ii, ic, cc = ii+w*i*i, ic+w*i*c, cc+w*c*c
		bi, bc = bi+w*i*float64(r.At), bc+w*c*float64(r.At)
	}
	det := ii*cc - ic*ic
	if det <= 1e-12*ii*cc {
		return id, cord, refuse.Because("the readings", "do not give both the inside diameter and the section", "measure the section, and one of inside diameter, outside diameter or length of the cut ring")
	}
	id = uncertain.Value{X: (cc*bi - ic*bc) / det, U: 2 * math.Sqrt(cc/det)}
	cord = uncertain.Value{X: (ii*bc - ic*bi) / det, U: 2 * math.Sqrt(ii/det)}
	return id, cord, refuse.First(refuse.Positive("the section that the readings give", cord.X), refuse.Positive("the inside diameter that the readings give", id.X))
}

// belief is a normal law of inside diameter and section: mean and covariance (p = [ii, ic, cc]).
type belief struct {
	m [2]float64
	p [3]float64
}

// floor is the least standard deviation (m) of a reading, a tenth of a micrometre: no reading of rubber is better.
const floor = 1e-7

// see takes a reading in and returns how far it lay from what was expected, in standard deviations squared,
// and the variance that was expected. This is the exact law for normal quantities, one reading after the
// other (GUM supplement JCGM 102, linear model).
func (b *belief) see(r Reading) (distance2, variance float64) {
	i, c := r.Of.weights()
	pi, pc := b.p[0]*i+b.p[1]*c, b.p[1]*i+b.p[2]*c
	noise := math.Max(float64(r.U)/2, floor)
	s := i*pi + c*pc + noise*noise
	off := float64(r.At) - i*b.m[0] - c*b.m[1]
	b.m[0] += pi * off / s
	b.m[1] += pc * off / s
	b.p[0] -= pi * pi / s
	b.p[1] -= pi * pc / s
	b.p[2] -= pc * pc / s
	return off * off / s, s
}
