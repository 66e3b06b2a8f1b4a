package optimum

import (
	"errors"
	"fmt"
	"math/rand/v2"
)

// draws is how many sets are drawn for each first fault where all cannot be listed.
const draws = 4

// possibilities lists the sets of faults that may be present with their chances, or draws
// them where there are too many: for each fault as the first one present, whose chance is
// exact, a few sets of later ones. The draw is the same every time.
func (x *machine) possibilities() error {
	n := len(x.Faults)
	total := 0.0
	put := func(set []int, w float64) {
		if w > 0 {
			x.sets = append(x.sets, set)
			x.weight = append(x.weight, w)
			total += w
		}
	}
	switch {
	case len(x.Possible) > 0:
		x.sampled = x.Drawn
		for _, p := range x.Possible {
			for _, f := range p.Faults {
				if f < 0 || f >= n {
					return fmt.Errorf("a possibility names fault %d of %d", f+1, n)
				}
			}
			if len(p.Faults) == 0 || !minutes(p.Chance) {
				return errors.New("a possibility needs a fault and a chance of 0 or more")
			}
			x.sets, x.weight = append(x.sets, p.Faults), append(x.weight, p.Chance)
			total += p.Chance
		}
	case !x.Several:
		for i, f := range x.Faults {
			put([]int{i}, f.Prior)
		}
	case n <= enumerable:
		for mask := 1; mask < 1<<n; mask++ {
			var set []int
			w := 1.0
			for i, f := range x.Faults {
				if mask>>i&1 == 1 {
					set = append(set, i)
					w *= f.Prior
				} else {
					w *= 1 - f.Prior
				}
			}
			put(set, w)
		}
	default:
		x.sampled = true
		rng := rand.New(rand.NewPCG(1, uint64(n)))
		none := 1.0
		for i, f := range x.Faults {
			for range draws {
				set := []int{i}
				for j := i + 1; j < n; j++ {
					if rng.Float64() < x.Faults[j].Prior {
						set = append(set, j)
					}
				}
				put(set, none*f.Prior/draws)
			}
			none *= 1 - f.Prior
		}
	}
	if total <= 0 {
		return errNothing
	}
	x.holds = make([][]int, n)
	for e, set := range x.sets {
		x.weight[e] /= total
		for _, f := range set {
			x.holds[f] = append(x.holds[f], e)
		}
	}
	return nil
}

// remain is what attempts leave: by possibility the chance that a retest is still not dry,
// by fault the chance that it is still there if it was.
type remain struct{ wet, fault []float64 }

// remaining weighs the attempts counted in done. Each cure is a draw of its own, so a set is
// cured with the product.
func (x *machine) remaining(done []uint8) remain {
	left := make([]float64, len(x.Faults))
	for i := range left {
		left[i] = 1
	}
	for r, k := range done {
		for range k {
			for i, f := range x.fixes[r] {
				left[f] *= 1 - x.chance[r][i]
			}
		}
	}
	out := remain{make([]float64, len(x.sets)), left}
	for e, set := range x.sets {
		if len(set) == 1 {
			out.wet[e] = left[set[0]]
			continue
		}
		dry := 1.0
		for _, f := range set {
			dry *= 1 - left[f]
		}
		out.wet[e] = 1 - dry
	}
	return out
}

func dot(a, b []float64) float64 {
	t := 0.0
	for i, v := range a {
		t += v * b[i]
	}
	return t
}
