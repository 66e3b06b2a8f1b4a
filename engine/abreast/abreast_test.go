package abreast

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestEveryPieceIsDoneOnce(t *testing.T) {
	for _, n := range []int{0, 1, 2, 3, 100} {
		done := make([]int, n)
		Each(n, func(i int) { done[i]++ })
		for i, times := range done {
			assert.Equal(t, 1, times, "piece %d of %d", i, n)
		}
	}
}

func TestTheWorkersAreNumbered(t *testing.T) {
	const n = 50
	sums := make([]int, Workers(n)) // memory of a worker needs no lock
	EachBy(n, func(w, i int) { sums[w] += i })
	all := 0
	for _, s := range sums {
		all += s
	}
	assert.Equal(t, n*(n-1)/2, all)
}
