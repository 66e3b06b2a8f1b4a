package rank

import (
	"math/bits"
	"sync"
)

// State vectors come and go by the megabyte; used ones are kept for the next sweep, by power of two.
var pools [48]sync.Pool

// borrow gives a slice of length n with any content.
func borrow(n int) []float64 {
	class := bits.Len(uint(n))
	if p, ok := pools[class].Get().(*[]float64); ok {
		return (*p)[:n]
	}
	return make([]float64, n, 1<<class)
}

// giveBack returns a slice that borrow gave. It must not be used any more.
func giveBack(v []float64) {
	if cap(v) == 0 {
		return
	}
	v = v[:0]
	pools[bits.Len(uint(cap(v)))-1].Put(&v)
}
