package rank

// The kernels work on vectors over sets of explained findings; bit b of the index says that the finding at position b is
// explained.

// explain lets a present cause explain the finding at position pos with probability q, in place: unexplained states stay with
// 1 - q and move with q.
func explain(v []float64, pos int, q float64) {
	stay := 1 - q
	switch pos {
	case 0:
		for i := 0; i+1 < len(v); i += 2 {
			lo := v[i]
			v[i+1] += q * lo
			v[i] = stay * lo
		}
		return
	case 1:
		for i := 0; i+3 < len(v); i += 4 {
			a, b := v[i], v[i+1]
			v[i+2] += q * a
			v[i+3] += q * b
			v[i], v[i+1] = stay*a, stay*b
		}
		return
	}
	half := 1 << pos
	for base := 0; base < len(v); base += 2 * half {
		lo := v[base : base+half]
		hi := v[base+half : base+2*half]
		hi = hi[:len(lo)]
		for i, x := range lo {
			hi[i] += q * x
			lo[i] = stay * x
		}
	}
}

// explainBack is the transpose of explain: the worth of an unexplained state is q times that of the explained one plus 1 - q
// times its own.
func explainBack(v []float64, pos int, q float64) {
	stay := 1 - q
	switch pos {
	case 0:
		for i := 0; i+1 < len(v); i += 2 {
			v[i] = stay*v[i] + q*v[i+1]
		}
		return
	case 1:
		for i := 0; i+3 < len(v); i += 4 {
			v[i], v[i+1] = stay*v[i]+q*v[i+2], stay*v[i+1]+q*v[i+3]
		}
		return
	}
	half := 1 << pos
	for base := 0; base < len(v); base += 2 * half {
		lo := v[base : base+half]
		hi := v[base+half : base+2*half]
		hi = hi[:len(lo)]
		for i, x := range lo {
			lo[i] = stay*x + q*hi[i]
		}
	}
}

// explainAll applies explain for every link; links rise by position. Two findings at a time halve the passes over the memory.
func explainAll(v []float64, links []link) {
	for len(links) >= 2 {
		a, b := links[0], links[1]
		switch {
		case a.pos >= 2:
			explainTwo(v, a.pos, b.pos, a.q, b.q)
		case a.pos == 0 && b.pos == 1:
			explainFirstTwo(v, a.q, b.q)
		default:
			explain(v, a.pos, a.q)
			links = links[1:]
			continue
		}
		links = links[2:]
	}
	for _, l := range links {
		explain(v, l.pos, l.q)
	}
}

// explainAllBack is the transpose of explainAll.
func explainAllBack(v []float64, links []link) {
	for len(links) >= 2 {
		a, b := links[0], links[1]
		switch {
		case a.pos >= 2:
			explainTwoBack(v, a.pos, b.pos, a.q, b.q)
		case a.pos == 0 && b.pos == 1:
			explainFirstTwoBack(v, a.q, b.q)
		default:
			explainBack(v, a.pos, a.q)
			links = links[1:]
			continue
		}
		links = links[2:]
	}
	for _, l := range links {
		explainBack(v, l.pos, l.q)
	}
}

func explainFirstTwo(v []float64, qa, qb float64) {
	sa, sb := 1-qa, 1-qb
	for i := 0; i+3 < len(v); i += 4 {
		x := v[i : i+4 : i+4]
		none, a, b, both := sa*x[0], x[1]+qa*x[0], sa*x[2], x[3]+qa*x[2]
		x[0], x[1], x[2], x[3] = sb*none, sb*a, b+qb*none, both+qb*a
	}
}

func explainFirstTwoBack(v []float64, qa, qb float64) {
	sa, sb := 1-qa, 1-qb
	for i := 0; i+3 < len(v); i += 4 {
		x := v[i : i+4 : i+4]
		none, b := sa*x[0]+qa*x[1], sa*x[2]+qa*x[3]
		x[0], x[1], x[2] = sb*none+qb*b, sb*x[1]+qb*x[3], b
	}
}

// explainTwo is explain for two positions, a below b.
func explainTwo(v []float64, a, b int, qa, qb float64) {
	sa, sb := 1-qa, 1-qb
	ha, hb := 1<<a, 1<<b
	for base := 0; base < len(v); base += 2 * hb {
		for sub := base; sub < base+hb; sub += 2 * ha {
			x0 := v[sub : sub+ha]
			x1 := v[sub+ha : sub+2*ha][:len(x0)]
			x2 := v[sub+hb : sub+hb+ha][:len(x0)]
			x3 := v[sub+hb+ha : sub+hb+2*ha][:len(x0)]
			for i, x := range x0 {
				y := x2[i]
				none, one := sa*x, x1[i]+qa*x
				x0[i], x1[i] = sb*none, sb*one
				x2[i], x3[i] = sa*y+qb*none, x3[i]+qa*y+qb*one
			}
		}
	}
}

func explainTwoBack(v []float64, a, b int, qa, qb float64) {
	sa, sb := 1-qa, 1-qb
	ha, hb := 1<<a, 1<<b
	for base := 0; base < len(v); base += 2 * hb {
		for sub := base; sub < base+hb; sub += 2 * ha {
			x0 := v[sub : sub+ha]
			x1 := v[sub+ha : sub+2*ha][:len(x0)]
			x2 := v[sub+hb : sub+hb+ha][:len(x0)]
			x3 := v[sub+hb+ha : sub+hb+2*ha][:len(x0)]
			for i, x := range x0 {
				y, z := x1[i], x3[i]
				b := sa*x2[i] + qa*z
				x0[i] = sb*(sa*x+qa*y) + qb*b
				x1[i] = sb*y + qb*z
				x2[i] = b
			}
		}
	}
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
