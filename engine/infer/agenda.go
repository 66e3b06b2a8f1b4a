package infer

// agenda holds the rules to be looked at as a heap: lowest rank first, then in the order of
// rule id and joint. A rule stands in it once.
type agenda []*instance

func (in *instance) before(o *instance) bool {
	return in.rank < o.rank || in.rank == o.rank && in.at < o.at
}

func (a *agenda) push(in *instance) {
	if in.queue {
		return
	}
	in.queue = true
	h := append(*a, in)
	i := len(h) - 1
	for i > 0 && in.before(h[(i-1)/2]) {
		h[i] = h[(i-1)/2]
		i = (i - 1) / 2
	}
	h[i] = in
	*a = h
}

// pop takes the first; the agenda must not be empty.
func (a *agenda) pop() *instance {
	h := *a
	first, last := h[0], h[len(h)-1]
	h[len(h)-1] = nil
	h = h[:len(h)-1]
	if n := len(h); n > 0 {
		i := 0
		for {
			c := 2*i + 1
			if c+1 < n && h[c+1].before(h[c]) {
				c++
			}
			if c >= n || !h[c].before(last) {
				break
			}
			h[i] = h[c]
			i = c
		}
		h[i] = last
	}
	first.queue = false
	*a = h
	return first
}

// clear leaves no rule marked as waiting.
func (a *agenda) clear() {
	for _, in := range *a {
		in.queue = false
	}
	*a = (*a)[:0]
}
