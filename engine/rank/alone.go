package rank

// Alone is the probability of this finding with each of the first n variables present alone.
func (f Finding) Alone(n int) []float64 {
	out := make([]float64, n)
	none := f.Base
	if f.State == Positive {
		none *= f.Leak
	}
	for k := range out {
		out[k] = none
	}
	for _, x := range f.Links {
		if x.Cause >= n {
			continue
		}
		out[x.Cause] = x.Cap * f.Base
		if f.State == Positive {
			out[x.Cause] *= 1 - (1-f.Leak)*(1-x.Q)
		}
	}
	return out
}
