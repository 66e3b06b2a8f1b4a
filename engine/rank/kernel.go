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
