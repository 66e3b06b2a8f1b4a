package uncertain

import "math"

// Shared is the part of one reading's standard uncertainty that all readings of a row have
// in common (the zero of the instrument, its scale); Own is the part that each reading has
// for itself. Half of the variance goes to each: readings of one row share the systematic
// half and average the other. Source: our judgement (estimate), stated in the design.
func Shared(U float64) float64 { return U / 2 / math.Sqrt2 }

// Own is the random half of a reading's standard uncertainty; see Shared.
func Own(U float64) float64 { return U / 2 / math.Sqrt2 }

// Row carries the uncertainty of a row of readings to a result y.
//
// weights[i] = dy/dx_i. U(y)^2 = 4 [ (sum of w_i s_i)^2 + sum of (w_i o_i)^2 ], s the shared
// and o the own standard uncertainty. A difference within the row (an ovality, a flatness) has
// weights that add up to 0, so that what all readings share cancels.
// Source: JCGM 100:2008, 5.2.2, fully correlated plus independent parts; standing: confirmed
// for the law, estimate for the split into halves.
func Row(weights, U []float64) float64 {
	common, own := 0.0, 0.0
	for i, w := range weights {
		common += w * Shared(U[i])
		c := w * Own(U[i])
		own += c * c
	}
	return 2 * math.Sqrt(common*common+own)
}

// Mean is the mean of a row with its uncertainty; an empty row gives 0.
func Mean(row []Value) Value {
	if len(row) == 0 {
		return Value{}
	}
	w, u, sum := make([]float64, len(row)), make([]float64, len(row)), 0.0
	for i, v := range row {
		w[i], u[i] = 1/float64(len(row)), v.U
		sum += v.X
	}
	return Value{X: sum / float64(len(row)), U: Row(w, u)}
}
