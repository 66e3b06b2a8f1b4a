package rank

import "math"

// tilt is one choice of slopes with what follows from it.
type tilt struct {
	slope []float64 // by bit
	touch []float64 // by bit: the unexplained probability at which the tangent touches
	scale []float64 // by bit: bound of the factor = scale * unexplained^-slope above touch
	lift  [][]float64
	// By place: product over the causes from there on of 1 + tilted odds, the same less 1, and the tilted probability of the cause.
	after, beyond, tail []float64
	left                []float64 // by place: bounds of what was left out in this round and may contain the causes from there on
}

// tiltRounds is how often the slopes are fitted to what the tilted causes would give.
const tiltRounds = 12

// optimise fits slopes for the causes from place k on, given what is unexplained so far, and gives the tilted probabilities.
func (w *weigher) optimise(unexplained []float64, k int, t *tilt) (believed []float64) {
	m := len(unexplained)
	believed = make([]float64, len(w.order))
	t.slope, t.touch, t.scale = make([]float64, m), make([]float64, m), make([]float64, m)
	endless := make([]bool, m) // with a certain link no slope holds but 0
	for _, th := range w.theta[min(k, len(w.theta)):] {
		for j, x := range th {
			endless[j] = endless[j] || math.IsInf(x, 1)
		}
	}
	near := make([]float64, m)
	for j, u := range unexplained {
		near[j] = math.Max(-math.Log(u), nearestTouch) + 1
	}
	for range tiltRounds {
		for j := range near {
			t.slope[j] = 0
			if !endless[j] {
				t.slope[j] = 1 / math.Expm1(near[j])
			}
		}
		mean := make([]float64, m)
		for i := k; i < len(w.order); i++ {
			var push float64
			for j, s := range t.slope {
				if s != 0 {
					push += s * w.theta[i][j]
				}
			}
			o := w.odds[i] * math.Exp(math.Min(push, 600))
			believed[i] = o / (1 + o)
			for j, x := range w.theta[i] {
				if !endless[j] {
					mean[j] += believed[i] * x
				}
			}
		}
		for j, u := range unexplained {
			aim := math.Min(math.Max(mean[j]-math.Log(u), nearestTouch), 30)
			near[j] = (near[j] + aim) / 2
		}
	}
	for j := range near {
		if t.slope[j] == 0 {
			t.scale[j] = 1
			continue
		}
		near[j] = -math.Log1p(-1 / (1 + t.slope[j])) // where this slope touches
		t.touch[j] = math.Exp(-near[j])
		t.scale[j] = -math.Expm1(-near[j]) * math.Exp(-t.slope[j]*near[j])
	}
	t.lift = make([][]float64, len(w.order))
	t.after, t.beyond, t.tail = make([]float64, len(w.order)+1), make([]float64, len(w.order)+1), make([]float64, len(w.order))
	t.left = make([]float64, len(w.order)+1)
	t.after[len(w.order)] = 1
	for i := len(w.order) - 1; i >= k; i-- {
		t.lift[i] = make([]float64, m)
		push := 0.0
		for j, s := range t.slope {
			t.lift[i][j] = 1
			if s != 0 {
				t.lift[i][j] = math.Exp(s * w.theta[i][j])
				push += s * w.theta[i][j]
			}
		}
		x := w.odds[i] * math.Exp(push)
		t.after[i], t.beyond[i], t.tail[i] = t.after[i+1]*(1+x), t.beyond[i+1]+x*t.after[i+1], 1
		if !math.IsInf(x, 1) {
			t.tail[i] = x / (1 + x)
		}
	}
	return believed
}

// factor bounds what a finding is worth together with the tilt of the causes to come; u is what is unexplained, known the rest
// of 1, up is u to the power -slope.
func (t *tilt) factor(j int, u, known, up float64) float64 {
	if u <= t.touch[j] {
		return known
	}
	return t.scale[j] * up
}

// settle shares what was left out under a tilt among the causes that may be in it.
func (w *weigher) settle(t *tilt) {
	sum := 0.0
	for k, p := range t.tail {
		sum += t.left[k]
		w.restWith[k] += sum * p
	}
}

// tiltOf is the tilt below the first cause i, fitted once; unexplained is what that cause leaves.
func (w *weigher) tiltOf(i int, unexplained []float64) *tilt {
	if w.first[i] == nil {
		w.first[i] = &tilt{}
		w.optimise(unexplained, i+1, w.first[i])
	}
	clear(w.first[i].left)
	return w.first[i]
}
