package form

import (
	"math"
	"slices"
)

// absent is how much dearer than the greatest cost a column is that is not there. Contacts that only
// just hold need prices a million times the costs.
const absent = 1e8

// program is a small linear program: greatest sum of cost_j w_j with sum of w_j column_j = rhs
// and w >= 0, with m rows (3 or 4) and many columns. All minimum-zone questions are of this
// kind once written for the contact points: w are the weights of the contacts.
type program struct {
	m      int
	column func(j int) (column [4]float64, cost float64)
	// enter finds the column that gains most over the prices, above tol; -1 where none does.
	// With first set any such column will do, the one of least index.
	enter func(price [4]float64, tol float64, first bool) (int, float64)
	rhs   [4]float64
	bigM  float64 // cost of a column that is not there; far above any cost
}

// solve runs the revised simplex method and returns the prices of the rows (for a zone: its
// two edges and two slopes) and the columns in the basis with their weights.
//
// Rows are perturbed by the caller's rhs; a rule of least index takes over after many steps, so
// that the search ends. ok is false where the columns cannot carry rhs.
func (g program) solve() (price [4]float64, basis [4]int, weight [4]float64, ok bool) {
	m := g.m
	var b [4][4]float64 // b[r][k]: row r of the basis column k
	for k := range m {
		basis[k] = -1 - k
		b[k][k] = 1
		if g.rhs[k] < 0 {
			b[k][k] = -1
		}
	}
	tol := 1e-14 * g.bigM / absent
	for step := range 2000 {
		var costs [4]float64
		for k := range m {
			costs[k] = -g.bigM
			if basis[k] >= 0 {
				_, costs[k] = g.column(basis[k])
			}
		}
		price = solveRows(m, b, costs, true)
		// What a column of the basis itself seems to gain is rounding, and so is as much elsewhere.
		noise := tol
		for k := range m {
			if basis[k] < 0 {
				continue
			}
			c, v := g.column(basis[k])
			for r := range m {
				v -= price[r] * c[r]
			}
			noise = math.Max(noise, 4*math.Abs(v))
		}
		enter, _ := g.enter(price, noise, step > 300)
		weight = solveRows(m, b, g.rhs, false)
		if enter < 0 || slices.Contains(basis[:m], enter) {
			break
		}
		in, _ := g.column(enter)
		dir := solveRows(m, b, in, false)
		leave, ratio := -1, math.Inf(1)
		for k := range m {
			if dir[k] <= 1e-12 {
				continue
			}
			if q := math.Max(weight[k], 0) / dir[k]; q < ratio || (q == ratio && basis[k] < basis[leave]) {
				leave, ratio = k, q
			}
		}
		if leave < 0 {
			return price, basis, weight, false
		}
		basis[leave] = enter
		for r := range m {
			b[r][leave] = in[r]
		}
	}
	for k := range m {
		if basis[k] < 0 && weight[k] > 1e-9 {
			return price, basis, weight, false
		}
	}
	return price, basis, weight, true
}

// solveRows solves b x = y (or its transpose) for up to 4 rows, by elimination with row exchange.
func solveRows(m int, b [4][4]float64, y [4]float64, transpose bool) [4]float64 {
	var a [4][5]float64
	for r := range m {
		for c := range m {
			if transpose {
				a[r][c] = b[c][r]
			} else {
				a[r][c] = b[r][c]
			}
		}
		a[r][4] = y[r]
	}
	for c := range m {
		p := c
		for r := c + 1; r < m; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[p][c]) {
				p = r
			}
		}
		a[c], a[p] = a[p], a[c]
		if a[c][c] == 0 {
			continue
		}
		for r := range m {
			if r == c {
				continue
			}
			f := a[r][c] / a[c][c]
			for k := c; k < 5; k++ {
				a[r][k] -= f * a[c][k]
			}
		}
	}
	var x [4]float64
	for r := range m {
		if a[r][r] != 0 {
			x[r] = a[r][4] / a[r][r]
		}
	}
	return x
}
