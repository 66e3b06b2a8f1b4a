package form

import "math"

// strip is the narrowest zone of z = a x + b y + something that holds all points: width, the
// slopes, the edges, and the contact points with their weights (those of one edge add up to 1).
type strip struct {
	A, B, Low, High float64
	Upper, Lower    []contact
}

type contact struct {
	Index  int
	Weight float64
}

func (s strip) width() float64 { return s.High - s.Low }

// narrowest solves: least (hi - lo) with lo <= z_i - a x_i - b y_i <= hi. It is exact but for
// rounding: the optimum of a linear program, reached through its contact points.
// x and y should be near 1 in size. nudge tilts ties towards a direction: among equally narrow
// zones the one with the greatest a nudge.X + b nudge.Y is taken.
func narrowest(x, y, z []float64, nudge Point) (strip, bool) {
	n := len(z)
	top := 0.0
	for _, v := range z {
		top = math.Max(top, math.Abs(v))
	}
	if top == 0 {
		return strip{}, true
	}
	const eps = 1e-10
	g := program{
		m: 4, bigM: absent * top,
		rhs: [4]float64{1, 1, -eps * nudge.X, -eps * nudge.Y},
		column: func(j int) ([4]float64, float64) {
			if j < n {
				return [4]float64{1, 0, x[j], y[j]}, z[j]
			}
			return [4]float64{0, 1, -x[j-n], -y[j-n]}, -z[j-n]
		},
		enter: func(p [4]float64, tol float64, first bool) (int, float64) {
			best, gain := -1, tol
			for i := range z {
				r := z[i] - p[2]*x[i] - p[3]*y[i]
				if v := r - p[0]; v > gain {
					best, gain = i, v
				} else if v := -r - p[1]; v > gain {
					best, gain = n+i, v
				} else {
					continue
				}
				if first {
					break
				}
			}
			return best, gain
		},
	}
	price, basis, weight, ok := g.solve()
	if !ok {
		return strip{}, false
	}
	s := strip{A: price[2], B: price[3]}
	s.Low, s.High = math.Inf(1), math.Inf(-1)
	for i := range n {
		r := z[i] - s.A*x[i] - s.B*y[i]
		s.Low, s.High = math.Min(s.Low, r), math.Max(s.High, r)
	}
	for k, j := range basis {
		switch {
		case j < 0 || weight[k] < 1e-7:
		case j < n:
			s.Upper = append(s.Upper, contact{j, weight[k]})
		default:
			s.Lower = append(s.Lower, contact{j - n, weight[k]})
		}
	}
	byIndex(s.Upper)
	byIndex(s.Lower)
	return s, true
}

// oneSided solves: least r with d_i - a x_i - b y_i <= r (outside = true), or greatest r with
// d_i - a x_i - b y_i >= r, and gives the contacts with their weights. ok is false where no such
// finite r exists.
func oneSided(x, y, d []float64, outside bool) (r, a, b float64, on []contact, ok bool) {
	sign, top := -1.0, 0.0
	if outside {
		sign = 1
	}
	for _, v := range d {
		top = math.Max(top, math.Abs(v))
	}
	if top == 0 {
		return 0, 0, 0, nil, true
	}
	g := program{
		m: 3, bigM: absent * top,
		rhs:    [4]float64{1, 1.1e-10, 0.7e-10},
		column: func(j int) ([4]float64, float64) { return [4]float64{1, x[j], y[j]}, sign * d[j] },
		enter: func(p [4]float64, tol float64, first bool) (int, float64) {
			best, gain := -1, tol
			for i := range d {
				if v := sign*d[i] - p[0] - p[1]*x[i] - p[2]*y[i]; v > gain {
					best, gain = i, v
					if first {
						break
					}
				}
			}
			return best, gain
		},
	}
	price, basis, weight, ok := g.solve()
	for k := range 3 {
		if basis[k] >= 0 && weight[k] >= 1e-7 {
			on = append(on, contact{basis[k], weight[k]})
		}
	}
	byIndex(on)
	return sign * price[0], sign * price[1], sign * price[2], on, ok
}

func byIndex(c []contact) {
	for i := 1; i < len(c); i++ {
		for k := i; k > 0 && c[k].Index < c[k-1].Index; k-- {
			c[k], c[k-1] = c[k-1], c[k]
		}
	}
}
