package score

import (
	"crypto/sha256"
	"math"
)

// Mean is the mean of a list and its standard error, the standard deviation over the square
// root of the count. One value alone has a mean and no error: Known is false.
type Mean struct {
	N     int
	Mean  float64
	SE    float64
	Known bool // whether SE is
}

// MeanOf is the mean of a list; of an empty one it is the zero Mean.
func MeanOf(list []float64) Mean {
	m := Mean{N: len(list)}
	if m.N == 0 {
		return m
	}
	for _, x := range list {
		m.Mean += x / float64(m.N)
	}
	if m.N == 1 {
		return m
	}
	for _, x := range list {
		m.SE += (x - m.Mean) * (x - m.Mean)
	}
	m.SE, m.Known = math.Sqrt(m.SE/float64(m.N-1)/float64(m.N)), true
	return m
}

// Paired is the mean of a - b, case by case. That both were scored on the same cases makes the
// error much smaller than that of two means. The lists must be equally long.
func Paired(a, b []float64) Mean {
	d := make([]float64, min(len(a), len(b)))
	for i := range d {
		d[i] = a[i] - b[i]
	}
	return MeanOf(d)
}

// Trial is one case with its outcome: what was said, what would have been said without any
// evidence, and what was true.
type Trial struct {
	Now, Before Forecast
	Truth       string
}

// Places counts where the truth stood.
type Places struct{ First, Three int }

func (p *Places) add(rank int) {
	if rank == 1 {
		p.First++
	}
	if rank >= 1 && rank <= 3 {
		p.Three++
	}
}

// Tally is how a way of ranking did over a set of cases, next to the way without evidence.
// Differences are now - before: below nought the evidence helped.
type Tally struct {
	N                             int
	Now, Before                   Places
	Log, LogBefore, LogGain       Mean
	Brier, BrierBefore, BrierGain Mean
	Floored                       int // cases whose truth had a share below Floor
}

// Sum scores trials.
func Sum(trials []Trial) Tally {
	t := Tally{N: len(trials)}
	var log, logBefore, brier, brierBefore []float64
	for _, x := range trials {
		t.Now.add(x.Now.Rank(x.Truth))
		t.Before.add(x.Before.Rank(x.Truth))
		l, floored := x.Now.Log(x.Truth)
		if floored {
			t.Floored++
		}
		was, _ := x.Before.Log(x.Truth)
		log, logBefore = append(log, l), append(logBefore, was)
		brier, brierBefore = append(brier, x.Now.Brier(x.Truth)), append(brierBefore, x.Before.Brier(x.Truth))
	}
	t.Log, t.LogBefore, t.LogGain = MeanOf(log), MeanOf(logBefore), Paired(log, logBefore)
	t.Brier, t.BrierBefore, t.BrierGain = MeanOf(brier), MeanOf(brierBefore), Paired(brier, brierBefore)
	return t
}

// Half puts a case for ever into one of two halves, "a" or "b", by a hash of its id: mend on
// one half, and the other shows whether it was mended or only bent. The half is "a" when the
// first byte of the SHA-256 of the id is even.
func Half(id string) string {
	if sha256.Sum256([]byte(id))[0]%2 == 0 {
		return "a"
	}
	return "b"
}
