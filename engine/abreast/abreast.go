// Package abreast runs pieces of work that do not depend on each other on all processors. It holds nothing that orders or stops
// them: every piece runs to its end.
package abreast

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// Each calls f for 0 to n-1. Every call must write to places of its own only; then the result does not depend on the number of
// processors.
func Each(n int, f func(i int)) { EachBy(n, func(_, i int) { f(i) }) }

// EachBy is Each that says by which worker, numbered from 0 to Workers(n)-1, a piece is done: calls of one worker come one after
// the other and may share memory.
func EachBy(n int, f func(worker, i int)) {
	workers := Workers(n)
	if workers < 2 {
		for i := range n {
			f(0, i)
		}
		return
	}
	var next atomic.Int64
	var done sync.WaitGroup
	for w := range workers {
		done.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				f(w, i)
			}
		})
	}
	done.Wait()
}

// Workers is how many workers EachBy has for n pieces.
func Workers(n int) int { return min(n, runtime.GOMAXPROCS(0)) }
