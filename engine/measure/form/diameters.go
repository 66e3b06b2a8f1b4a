package form

import (
	"fmt"
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Diameter is one two-point (or three-point) reading in a direction.
type Diameter struct {
	At unit.Angle
	D  unit.Length
}

// Spread is what a row of diameters shows without any fit.
type Spread struct {
	Largest, Smallest, Mean unit.Length
	LargestAt, SmallestAt   int // index of the first such reading
}

// Range is the largest less the smallest diameter.
func (s Spread) Range() unit.Length { return s.Largest - s.Smallest }

// HalfRange is the usual estimate of out-of-roundness from diameters.
//
// It is right for even numbers of lobes only: two-point readings are blind to three lobes, and a
// self-centring three-point bore gauge is blind to an oval. Source: ISO 4292; standing: confirmed.
func (s Spread) HalfRange() unit.Length { return s.Range() / 2 }

// Diameters gathers a row of diameters. Refused for fewer than 2 or a reading of 0 or less.
// Source: ISO 4292; standing: confirmed.
func Diameters(row []Diameter) (Spread, error) {
	if len(row) < 2 {
		return Spread{}, because("the number of diameters", fmt.Sprintf("is %d", len(row)), "measure at least 2, better 4, at different clock positions")
	}
	s := Spread{Largest: row[0].D, Smallest: row[0].D}
	for i, d := range row {
		if err := refuse.First(refuse.Positive(fmt.Sprintf("diameter %d", i+1), float64(d.D)), refuse.Finite(fmt.Sprintf("the direction of diameter %d", i+1), float64(d.At))); err != nil {
			return Spread{}, err
		}
		if d.D > s.Largest {
			s.Largest, s.LargestAt = d.D, i
		}
		if d.D < s.Smallest {
			s.Smallest, s.SmallestAt = d.D, i
		}
		s.Mean += d.D / unit.Length(len(row))
	}
	return s, nil
}

// Oval is the two-lobe shape laid to diameters: D(a) = Mean + Semi cos 2(a - Major).
type Oval struct {
	Mean, Semi unit.Length
	Major      unit.Angle  // 0 to pi; meaningless when Semi is 0
	Residual   unit.Length // range of what the oval leaves over: other shapes, dirt, reading errors
}

// Ovality is the largest less the smallest diameter of the oval.
func (o Oval) Ovality() unit.Length { return 2 * o.Semi }

// FitOval lays an oval to two-point diameters by least squares.
//
//	D(a) = D0 + A cos 2a + B sin 2a;  Semi = hypot(A, B);  Major = atan2(B, A) / 2
//
// Sees an oval at whatever angle it lies, which two crossed diameters do not. Needs at least 3
// different directions (a diameter at 3 o'clock is the one at 9). Source: two-wave Fourier fit,
// ISO 4292 practice; standing: confirmed.
func FitOval(row []Diameter) (Oval, error) {
	if _, err := Diameters(row); err != nil {
		return Oval{}, err
	}
	double := make([]Polar, len(row))
	for i, d := range row {
		double[i] = Polar{2 * d.At, d.D}
	}
	l, err := LimaconLeastSquares(double)
	if err != nil {
		return Oval{}, because("the diameters", "lie in fewer than 3 different directions", "measure 4: at 12, 1:30, 3 and 4:30 o'clock; two crossed ones can miss an oval altogether")
	}
	major := math.Atan2(float64(l.B), float64(l.A)) / 2
	if major < 0 {
		major += math.Pi
	}
	if major > math.Pi-1e-9 { // half a turn on it is the same axis, named 0
		major = 0
	}
	return Oval{l.R, l.Off(), unit.Angle(major), l.Roundness()}, nil
}

// OvalSeen is the least share of an oval's range that n diameters, evenly spread over half a turn,
// must show whatever way it lies.
//
//	n = 2: 0; odd n: (1 + cos(pi/n)) / 2 ; even n: cos(pi/n)
//
// Source: derived; standing: confirmed. Refused below n = 2.
func OvalSeen(n int) (unit.Ratio, error) {
	if n < 2 {
		return 0, because("the number of diameters", "is below 2", "measure at least 3")
	}
	if n%2 == 0 {
		return unit.Ratio(math.Max(0, math.Cos(math.Pi/float64(n)))), nil
	}
	c := math.Cos(math.Pi / float64(2*n))
	return unit.Ratio(c * c), nil
}
