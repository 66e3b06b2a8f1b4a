package rank

// family is the sets of n things of which at most some are present together. A set of a family has all its
// subsets in it, so sums over subsets can be taken thing by thing.
type family struct {
	n     int
	masks []int       // by place; place 0 is the empty set
	place map[int]int // by mask
	pairs [][][2]int  // by thing: the places of each set with it, and of that set without it
}

// newFamily lists the sets. most = 0 means no limit.
func newFamily(n, most int) *family {
	f := &family{n: n, place: map[int]int{}, pairs: make([][][2]int, n)}
	if most <= 0 || most > n {
		most = n
	}
	var add func(mask, from, left int)
	add = func(mask, from, left int) {
		f.place[mask] = len(f.masks)
		f.masks = append(f.masks, mask)
		if left == 0 {
			return
		}
		for k := from; k < n; k++ {
			add(mask|1<<k, k+1, left-1)
		}
	}
	add(0, 0, most)
	for at, mask := range f.masks {
		for k := range n {
			if mask>>k&1 == 1 {
				f.pairs[k] = append(f.pairs[k], [2]int{at, f.place[mask&^(1<<k)]})
			}
		}
	}
	return f
}

// sizeOfFamily is how many sets newFamily would list, counted no further than over.
func sizeOfFamily(n, most, over int) int {
	if most <= 0 || most > n {
		most = n
	}
	size, choose := 0, 1
	for k := 0; k <= most && size <= over; k++ {
		size += choose
		choose = choose * (n - k) / (k + 1)
	}
	return size
}

// within gives, by place of this family, the place in another of what both have: things[k] is the thing of this family that is
// thing k of the other.
func (f *family) within(other *family, things []int) []int {
	out := make([]int, len(f.masks))
	for at, mask := range f.masks {
		here := 0
		for k, s := range things {
			here |= (mask >> s & 1) << k
		}
		out[at] = other.place[here]
	}
	return out
}

// weights gives each set its weight under independent probabilities, as they are: together they are 1 only without a limit.
func (f *family) weights(p []float64) []float64 {
	out := make([]float64, len(f.masks))
	for at, mask := range f.masks {
		w := 1.0
		for k, x := range p {
			if mask>>k&1 == 1 {
				w *= x
			} else {
				w *= 1 - x
			}
		}
		out[at] = w
	}
	return out
}

// atMost is the probability that at most so many of some independent things are there; 0 is no limit.
func atMost(most int, p []float64) float64 {
	if most <= 0 || most >= len(p) {
		return 1
	}
	exactly := make([]float64, most+1)
	exactly[0] = 1
	for _, x := range p {
		for k := most; k > 0; k-- {
			exactly[k] = exactly[k]*(1-x) + exactly[k-1]*x
		}
		exactly[0] *= 1 - x
	}
	sum := 0.0
	for _, x := range exactly {
		sum += x
	}
	return sum
}
