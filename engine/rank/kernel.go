package rank

// The kernels work on vectors over sets of explained findings; bit b of the index says that the finding at position b is
// explained.

// A present cause moves each open finding that is still unexplained to explained with probability q, and leaves it with 1 - q.
// The kernels do the moving only; what stays is a product over the unexplained findings, which stays holds, and it is multiplied
// in once for all findings. That is a multiplication and an addition for each state and finding, and all of it positive.

// chunkBits is how many positions are taken while a piece of the state is in the nearest cache: 2^11 values.
const chunkBits = 11

// stays is the product of 1 - q over the linked findings that a state leaves unexplained: low by the lowest chunkBits positions,
// high by the others.
type stays struct{ low, high []float64 }

// staySize is the memory that stays needs for a state of the given width.
func staySize(width int) int {
	if width <= chunkBits {
		return 1<<width + 1
	}
	return 1<<chunkBits + 1<<(width-chunkBits)
}

// of fills the tables in buf, which has staySize(width) values.
func (s *stays) of(buf []float64, width int, links []link) {
	low := min(width, chunkBits)
	s.low, s.high = products(buf[:1<<low], 0, links), products(buf[1<<low:1<<low+1<<(width-low)], low, links)
}

// products is, by set, the product of 1 - q over the linked positions from first on that are not in the set.
func products(v []float64, first int, links []link) []float64 {
	for len(links) > 0 && links[0].pos < first {
		links = links[1:]
	}
	v[0] = 1
	pos := first
	for n := 1; n < len(v); n *= 2 {
		lo, hi := v[:n], v[n:2*n]
		copy(hi, lo)
		if len(links) > 0 && links[0].pos == pos {
			stay := 1 - links[0].q
			for i := range lo {
				lo[i] *= stay
			}
			links = links[1:]
		}
		pos++
	}
	return v
}

// split parts the links into those within a chunk and the others.
func split(links []link) (low, high []link) {
	for k, l := range links {
		if l.pos >= chunkBits {
			return links[:k], links[k:]
		}
	}
	return links, nil
}

// chunks calls f for one piece of a vector of n values after the other.
func chunks(n int, f func(h, from, to int)) {
	size := min(n, 1<<chunkBits)
	for h := 0; h*size < n; h++ {
		f(h, h*size, (h+1)*size)
	}
}

// move moves what is unexplained to explained, for every link; links rise by position.
func move(v []float64, links []link) {
	links = moveLowest(v, links, moveEight, moveOne)
	for len(links) >= 3 {
		moveThree(v, links[0], links[1], links[2])
		links = links[3:]
	}
	if len(links) == 2 {
		moveTwo(v, links[0], links[1])
		return
	}
	for _, l := range links {
		moveOne(v, l)
	}
}

// moveBack is the transpose of move: what is unexplained is worth its own and q times the worth of explained.
func moveBack(v []float64, links []link) {
	links = moveLowest(v, links, moveEightBack, moveOneBack)
	for len(links) >= 3 {
		moveThreeBack(v, links[0], links[1], links[2])
		links = links[3:]
	}
	for _, l := range links {
		moveOneBack(v, l)
	}
}

// moveLowest takes the links of the three lowest positions and gives the others.
func moveLowest(v []float64, links []link, eight func(v []float64, q0, q1, q2 float64), one func(v []float64, l link)) []link {
	var q [3]float64
	n := 0
	for n < len(links) && links[n].pos < 3 {
		q[links[n].pos] = links[n].q
		n++
	}
	if n >= 2 && len(v) >= 8 {
		eight(v, q[0], q[1], q[2])
		return links[n:]
	}
	for _, l := range links[:n] {
		one(v, l)
	}
	return links[n:]
}

func moveEight(v []float64, q0, q1, q2 float64) {
	for ; len(v) >= 8; v = v[8:] {
		x := (*[8]float64)(v)
		x0, x2, x4, x6 := x[0], x[2], x[4], x[6]
		x1, x3, x5, x7 := x[1]+q0*x0, x[3]+q0*x2, x[5]+q0*x4, x[7]+q0*x6
		x2, x3, x6, x7 = x2+q1*x0, x3+q1*x1, x6+q1*x4, x7+q1*x5
		x[1], x[2], x[3] = x1, x2, x3
		x[4], x[5], x[6], x[7] = x4+q2*x0, x5+q2*x1, x6+q2*x2, x7+q2*x3
	}
}

func moveEightBack(v []float64, q0, q1, q2 float64) {
	for ; len(v) >= 8; v = v[8:] {
		x := (*[8]float64)(v)
		x1, x3, x5, x7 := x[1], x[3], x[5], x[7]
		x0, x2, x4, x6 := x[0]+q0*x1, x[2]+q0*x3, x[4]+q0*x5, x[6]+q0*x7
		x0, x1, x4, x5 = x0+q1*x2, x1+q1*x3, x4+q1*x6, x5+q1*x7
		x[0], x[1], x[2], x[3] = x0+q2*x4, x1+q2*x5, x2+q2*x6, x3+q2*x7
		x[4], x[5], x[6] = x4, x5, x6
	}
}

func moveOne(v []float64, l link) {
	q, half := l.q, 1<<l.pos
	if half == 1 {
		for i := 0; i+1 < len(v); i += 2 {
			v[i+1] += q * v[i]
		}
		return
	}
	for base := 0; base < len(v); base += 2 * half {
		lo := v[base : base+half]
		hi := v[base+half : base+2*half][:len(lo)]
		for i, x := range lo {
			hi[i] += q * x
		}
	}
}

func moveOneBack(v []float64, l link) {
	q, half := l.q, 1<<l.pos
	if half == 1 {
		for i := 0; i+1 < len(v); i += 2 {
			v[i] += q * v[i+1]
		}
		return
	}
	for base := 0; base < len(v); base += 2 * half {
		lo := v[base : base+half]
		hi := v[base+half : base+2*half][:len(lo)]
		for i, x := range hi {
			lo[i] += q * x
		}
	}
}

// moveTwo is moveOne for a and b, a below b.
func moveTwo(v []float64, a, b link) {
	ha, hb := 1<<a.pos, 1<<b.pos
	for base := 0; base < len(v); base += 2 * hb {
		for sub := base; sub < base+hb; sub += 2 * ha {
			x0 := v[sub : sub+ha]
			x1 := v[sub+ha : sub+2*ha][:len(x0)]
			x2 := v[sub+hb : sub+hb+ha][:len(x0)]
			x3 := v[sub+hb+ha : sub+hb+2*ha][:len(x0)]
			for i, none := range x0 {
				one, y := x1[i]+a.q*none, x2[i]
				x1[i] = one
				x3[i] += a.q*y + b.q*one
				x2[i] = y + b.q*none
			}
		}
	}
}

// moveThree is moveOne for a, b and c, rising: eight values are read and written for three findings.
func moveThree(v []float64, a, b, c link) {
	qa, qb, qc := a.q, b.q, c.q
	ha, hb, hc := 1<<a.pos, 1<<b.pos, 1<<c.pos
	for top := 0; top < len(v); top += 2 * hc {
		for mid := top; mid < top+hc; mid += 2 * hb {
			for sub := mid; sub < mid+hb; sub += 2 * ha {
				v0, v1, v2, v3, v4, v5, v6, v7 := eightths(v, sub, ha, hb, hc)
				for i, x0 := range v0 {
					x2, x4, x6 := v2[i], v4[i], v6[i]
					x1, x3, x5, x7 := v1[i]+qa*x0, v3[i]+qa*x2, v5[i]+qa*x4, v7[i]+qa*x6
					x2, x3, x6, x7 = x2+qb*x0, x3+qb*x1, x6+qb*x4, x7+qb*x5
					v1[i], v2[i], v3[i] = x1, x2, x3
					v4[i], v5[i], v6[i], v7[i] = x4+qc*x0, x5+qc*x1, x6+qc*x2, x7+qc*x3
				}
			}
		}
	}
}

func moveThreeBack(v []float64, a, b, c link) {
	qa, qb, qc := a.q, b.q, c.q
	ha, hb, hc := 1<<a.pos, 1<<b.pos, 1<<c.pos
	for top := 0; top < len(v); top += 2 * hc {
		for mid := top; mid < top+hc; mid += 2 * hb {
			for sub := mid; sub < mid+hb; sub += 2 * ha {
				v0, v1, v2, v3, v4, v5, v6, v7 := eightths(v, sub, ha, hb, hc)
				for i, x0 := range v0 {
					x1, x3, x5, x7 := v1[i], v3[i], v5[i], v7[i]
					x0, x2, x4, x6 := x0+qa*x1, v2[i]+qa*x3, v4[i]+qa*x5, v6[i]+qa*x7
					x0, x1, x4, x5 = x0+qb*x2, x1+qb*x3, x4+qb*x6, x5+qb*x7
					v0[i], v1[i], v2[i], v3[i] = x0+qc*x4, x1+qc*x5, x2+qc*x6, x3+qc*x7
					v4[i], v5[i], v6[i] = x4, x5, x6
				}
			}
		}
	}
}

// eightths gives the runs of ha values from sub on in which none, a, b, a and b, ... are explained.
func eightths(v []float64, sub, ha, hb, hc int) (v0, v1, v2, v3, v4, v5, v6, v7 []float64) {
	at := func(from int) []float64 { return v[from : from+ha : from+ha] }
	return at(sub), at(sub + ha), at(sub + hb), at(sub + hb + ha), at(sub + hc), at(sub + hc + ha), at(sub + hc + hb), at(sub + hc + hb + ha)
}

// openBit appends a finding: explained by its base rate with probability leak.
func openBit(v []float64, leak float64) []float64 {
	n := len(v)
	v = v[:2*n]
	stay := 1 - leak
	lo, hi := v[:n], v[n:]
	for i, x := range lo {
		hi[i] = leak * x
		lo[i] = stay * x
	}
	return v
}

// openBack is the transpose of openBit, for the last position.
func openBack(v []float64, leak float64) []float64 {
	n := len(v) / 2
	stay := 1 - leak
	lo, hi := v[:n], v[n:]
	for i, x := range hi {
		lo[i] = stay*lo[i] + leak*x
	}
	return lo
}

// closeBit drops the states in which the finding at position pos is not explained.
func closeBit(v []float64, pos int) []float64 {
	half := 1 << pos
	to := 0
	for base := 0; base < len(v); base += 2 * half {
		copy(v[to:to+half], v[base+half:base+2*half])
		to += half
	}
	return v[:to]
}

// closeBack is the transpose of closeBit: unexplained states are worth nothing.
func closeBack(v []float64, pos int) []float64 {
	half := 1 << pos
	from := len(v) - half
	v = v[:2*len(v)]
	for base := len(v) - 2*half; base >= 0; base -= 2 * half {
		copy(v[base+half:base+2*half], v[from:from+half])
		clear(v[base : base+half])
		from -= half
	}
	return v
}

func dot(a, b []float64) float64 {
	b = b[:len(a)]
	var s0, s1, s2, s3 float64
	i := 0
	for ; i+3 < len(a); i += 4 {
		s0 += a[i] * b[i]
		s1 += a[i+1] * b[i+1]
		s2 += a[i+2] * b[i+2]
		s3 += a[i+3] * b[i+3]
	}
	for ; i < len(a); i++ {
		s0 += a[i] * b[i]
	}
	return (s0 + s1) + (s2 + s3)
}
