package rank

import "math"

// storeLimit is how many state values a sweep may remember for its way back (64 MiB). A longer sweep remembers the state at
// every few steps and walks those stretches again.
const storeLimit = 1 << 23

// sweep is a finished forward pass. The sets of causes are kept apart in "some cause present" and "none", so that "given at
// least one" is never a difference. Given none, the state is a product, and only its weight changes from cause to cause.
type sweep struct {
	c *compiled
	p *plan
	walk
	inputs []input // what the present branch of each step was applied to
	lent   [][]float64
	marks  []walk // the state before every stride-th step, when not everything is remembered
	stride int
}

type input struct {
	v []float64
	e int
}

// walk is the state between two steps.
type walk struct {
	some       []float64
	someExp    int
	none       []float64
	noneWeight float64
	noneExp    int
}

func (w walk) copyTo(capacity int) walk {
	d := w
	d.some = append(make([]float64, 0, capacity), w.some...)
	d.none = append(make([]float64, 0, capacity), w.none...)
	return d
}

// forward takes all causes. With remember it keeps what backward needs.
func (p *plan) forward(c *compiled, remember bool) *sweep {
	size := 1 << p.width
	s := &sweep{c: c, p: p}
	buf := borrow(3*size + staySize(p.width))
	s.lent = append(s.lent, buf)
	s.some, s.none = buf[0:1:size], buf[size:size+1:2*size]
	s.some[0], s.none[0], s.noneWeight = 0, 1, 1
	s.someExp, s.noneExp = c.chainExp, c.chainExp
	scratch := buf[2*size:]
	if !remember {
		for k := range p.steps {
			s.walk.take(c, &p.steps[k], scratch, nil)
		}
		return s
	}
	s.inputs = make([]input, len(p.steps))
	total := 0
	for k := range p.steps {
		total += 1 << p.steps[k].width
	}
	if total <= p.store {
		store := borrow(total)
		s.lent = append(s.lent, store)
		s.stretch(&s.walk, 0, len(p.steps), store, scratch)
		return s
	}
	s.stride = int(math.Ceil(math.Sqrt(2 * float64(len(p.steps)))))
	for k := range p.steps {
		if k%s.stride == 0 {
			s.marks = append(s.marks, s.walk.copyTo(len(s.some)))
		}
		s.walk.take(c, &p.steps[k], scratch, nil)
	}
	return s
}

// release gives the memory of a sweep back; the sweep must not be used any more.
func (s *sweep) release() {
	for _, v := range s.lent {
		giveBack(v)
	}
	s.lent, s.inputs, s.some, s.none = nil, nil, nil, nil
}

// stretch takes the steps from..to-1 and remembers their inputs in store.
func (s *sweep) stretch(w *walk, from, to int, store, scratch []float64) {
	for k := from; k < to; k++ {
		st := &s.p.steps[k]
		in := &s.inputs[k]
		in.v = store[: 1<<st.width : 1<<st.width]
		store = store[1<<st.width:]
		w.take(s.c, st, scratch, in)
	}
}

// take is one step: open, absent and present branch, close.
func (w *walk) take(c *compiled, st *step, scratch []float64, keep *input) {
	for _, j := range st.opens {
		w.some = openBit(w.some, c.bits[j].leak)
		w.none = openBit(w.none, c.bits[j].leak)
	}
	absent, present := c.absent[st.cause], c.present[st.cause]
	reach := w.align()
	if present == 0 {
		for i := range w.some {
			w.some[i] *= absent
		}
	} else {
		if keep != nil {
			keep.e = w.someExp
		}
		w.present(st, absent, present, reach, scratch, keep)
	}
	for _, pos := range st.closes {
		w.some = closeBit(w.some, pos)
		w.none = closeBit(w.none, pos)
	}
	if st.mayShrink(absent, present) {
		w.someExp += rescale(w.some)
	}
	n := scaled{w.noneWeight, w.noneExp}.times(absent)
	w.noneWeight, w.noneExp = n.v, n.e
	if len(st.opens)+len(st.closes) > 0 {
		w.noneExp += rescale(w.none)
	}
}

// present adds the branch in which the cause of the step is there. scratch holds the state and then what stays needs.
func (w *walk) present(st *step, absent, present, reach float64, scratch []float64, keep *input) {
	n := len(w.some)
	in := scratch[:n]
	var stay stays
	stay.of(scratch[len(scratch)-staySize(st.width):], st.width, st.links)
	low, high := split(st.links)
	chunks(n, func(_, from, to int) {
		in, some, none := in[from:to], w.some[from:to], w.none[from:to]
		some, none = some[:len(in)], none[:len(in)]
		if reach == 0 {
			copy(in, some)
		} else {
			for i, x := range none {
				in[i] = some[i] + reach*x
			}
		}
		if keep != nil {
			copy(keep.v[from:to], in)
		}
		move(in, low)
	})
	move(in, high)
	chunks(n, func(h, from, to int) {
		in, some, rest, p := in[from:to], w.some[from:to], stay.low, present*stay.high[h]
		some, rest = some[:len(in)], rest[:len(in)]
		for i, x := range in {
			some[i] = absent*some[i] + p*rest[i]*x
		}
	})
}

// mayShrink says whether the state must be looked at for rescaling: always where a step can change its size by much, else now
// and then, since a few gentle steps cannot leave the comfortable range.
func (st *step) mayShrink(absent, present float64) bool {
	return len(st.opens)+len(st.closes) > 0 || absent < 0.01 || present > 1 || st.turn%8 == 7
}

// align puts "some" on a scale on which "none" can be added, and returns the weight of "none" on that scale.
func (w *walk) align() float64 {
	if w.noneWeight == 0 {
		return 0
	}
	d := w.noneExp - w.someExp
	zero := true
	for _, x := range w.some {
		if x != 0 {
			zero = false
			break
		}
	}
	if zero {
		w.someExp, d = w.noneExp, 0
	} else if d > 900 {
		f := math.Ldexp(1, -d)
		for i := range w.some {
			w.some[i] *= f
		}
		w.someExp, d = w.noneExp, 0
	}
	return math.Ldexp(w.noneWeight, d)
}

// backward takes the worth of each final state (of the "some" part) and gives for each cause the worth of everything in which it
// is present: one pass for all causes.
func (s *sweep) backward(worth []float64) []scaled {
	out := make([]scaled, s.c.n)
	size := 1 << s.p.width
	buf := borrow(2*size + staySize(s.p.width))
	defer giveBack(buf)
	beta := append(buf[0:0:size], worth...)
	scratch := buf[size:]
	e := rescale(beta)
	high := len(s.p.steps)
	var store, walkScratch []float64
	for m := len(s.marks) - 1; m >= 0; m-- {
		low := m * s.stride
		if store == nil {
			store, walkScratch = make([]float64, s.stride*size), make([]float64, size+staySize(s.p.width))
		}
		w := s.marks[m].copyTo(size)
		s.stretch(&w, low, high, store, walkScratch)
		beta, e = s.back(low, high, beta, e, scratch, out)
		high = low
	}
	s.back(0, high, beta, e, scratch, out)
	return out
}

func (s *sweep) back(from, to int, beta []float64, e int, scratch []float64, out []scaled) ([]float64, int) {
	for k := to - 1; k >= from; k-- {
		st := &s.p.steps[k]
		for i := len(st.closes) - 1; i >= 0; i-- {
			beta = closeBack(beta, st.closes[i])
		}
		absent, present := s.c.absent[st.cause], s.c.present[st.cause]
		if present == 0 {
			for i := range beta {
				beta[i] *= absent
			}
		} else {
			in := s.inputs[k]
			out[st.cause] = scaled{present * st.presentBack(beta, absent, present, in.v, scratch), in.e + e}
		}
		for i := len(st.opens) - 1; i >= 0; i-- {
			beta = openBack(beta, s.c.bits[st.opens[i]].leak)
		}
		if st.mayShrink(absent, present) {
			e += rescale(beta)
		}
	}
	return beta, e
}

// presentBack turns the worth after a step into the worth before it, and gives that of the present branch, without its weight,
// for the state in.
func (st *step) presentBack(beta []float64, absent, present float64, in, scratch []float64) (worth float64) {
	v := scratch[:len(beta)]
	low, high := st.stayBack(v, beta, scratch)
	moveBack(v, high)
	chunks(len(v), func(_, from, to int) {
		v, beta := v[from:to], beta[from:to]
		moveBack(v, low)
		worth += dot(v, in[from:to])
		beta = beta[:len(v)]
		for i, x := range v {
			beta[i] = absent*beta[i] + present*x
		}
	})
	return worth
}

// stayBack fills v with the worth beta of what stays as it is.
func (st *step) stayBack(v, beta, scratch []float64) (low, high []link) {
	var stay stays
	stay.of(scratch[len(scratch)-staySize(st.width):], st.width, st.links)
	chunks(len(v), func(h, from, to int) {
		v, beta, rest, p := v[from:to], beta[from:to], stay.low, stay.high[h]
		beta, rest = beta[:len(v)], rest[:len(v)]
		for i, x := range beta {
			v[i] = p * rest[i] * x
		}
	})
	return split(st.links)
}
