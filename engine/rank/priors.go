package rank

import "math"

// largestPrior keeps scaled priors below 1: no cause is certain before the evidence.
const largestPrior = 1 - 1e-6

// smallestScale keeps scaled priors above 0 where a single fault is asked for, which is reached only in the limit of rare causes.
const smallestScale = 1e-9

// ScalePriors turns shares of causes into priors. Given that at least one cause is present and nothing else, the probabilities
// then stand in the ratio of the shares and add up to faults. That number can lie between 1 (rare causes) and the one at which
// the largest prior reaches 1; reached is the number of faults that the priors do give, which differs from faults where that
// cannot be had. Shares need not add up to 1.
func ScalePriors(shares []float64, faults float64) (priors []float64, reached float64, err error) {
	var total, largest float64
	for i, s := range shares {
		if math.IsNaN(s) || math.IsInf(s, 0) || s < 0 {
			return nil, 0, badInput("shares", "share %d is %v; use numbers from 0 up", i, s)
		}
		total += s
		largest = math.Max(largest, s)
	}
	if total == 0 {
		return nil, 0, badInput("shares", "all shares are 0; give at least one cause a share")
	}
	if math.IsNaN(faults) || faults <= 0 {
		return nil, 0, badInput("faults", "%v expected faults; use a number of at least 1", faults)
	}
	priors = make([]float64, len(shares))
	at := func(scale float64) float64 {
		for i, s := range shares {
			priors[i] = s / total * scale
		}
		return expectedGivenSome(priors)
	}
	reached = bisect(at, faults, smallestScale, largestPrior*total/largest)
	return priors, reached, nil
}

// ScaleSwitches scales the weights of switches so that, given that at least one is on, the expected number of them is joints.
// None exceeds 1. One joint alone gets 1, since it is the one that leaks. If that many joints cannot be had, all weights above 0
// become 1.
func ScaleSwitches(weights []float64, joints float64) ([]float64, error) {
	var total float64
	positive, smallest := 0, math.Inf(1)
	for i, w := range weights {
		if math.IsNaN(w) || math.IsInf(w, 0) || w < 0 {
			return nil, badInput("weights", "weight %d is %v; use numbers from 0 up", i, w)
		}
		if w > 0 {
			positive++
			smallest = math.Min(smallest, w)
		}
		total += w
	}
	if positive == 0 {
		return nil, badInput("weights", "all weights are 0; give at least one joint a weight")
	}
	if math.IsNaN(joints) || joints <= 0 {
		return nil, badInput("joints", "%v expected leaking joints; use a number of at least 1", joints)
	}
	scaled := make([]float64, len(weights))
	at := func(scale float64) float64 {
		for i, w := range weights {
			scaled[i] = math.Min(1, w/total*scale)
		}
		return expectedGivenSome(scaled)
	}
	if most := total / smallest; positive == 1 || math.IsInf(most, 0) {
		at(math.MaxFloat64)
	} else {
		bisect(at, joints, smallestScale, most)
	}
	return scaled, nil
}

// expectedGivenSome is the expected number of independent things given at least one.
func expectedGivenSome(ps []float64) float64 {
	var sum float64
	for _, p := range ps {
		sum += p
	}
	return sum / atLeastOne(ps)
}

// bisect looks for the scale between low and high at which the rising function at reaches want, leaves at called there, and
// gives its value. Outside the reach it stops at the nearer end.
func bisect(at func(scale float64) float64, want, low, high float64) float64 {
	if at(high) <= want {
		return at(high)
	}
	if at(low) >= want {
		return at(low)
	}
	for range 200 {
		mid := math.Sqrt(low * high)
		if high-low <= 1e-12*high {
			mid = (low + high) / 2
		}
		if mid <= low || mid >= high {
			break
		}
		if at(mid) < want {
			low = mid
		} else {
			high = mid
		}
	}
	return at(high)
}

// Raise multiplies the odds of p by times.
func Raise(p, times float64) float64 {
	switch {
	case p <= 0 || times <= 0:
		return 0
	case p >= 1 || math.IsInf(times, 1):
		return 1
	}
	return p * times / (1 - p + p*times)
}

// The limits within which all context of one cause together may move its odds: a judgement of the design, not a measurement.
const (
	leastContext = 0.05
	mostContext  = 20
)

// ClampContext keeps the product of all context factors of one cause within 0.05 to 20.
func ClampContext(product float64) float64 {
	return math.Max(leastContext, math.Min(mostContext, product))
}
