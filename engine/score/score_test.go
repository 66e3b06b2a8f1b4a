package score

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAPerfectForecastScoresNought(t *testing.T) {
	f := New(map[string]float64{"a": 1, "b": 0, "c": 0})
	log, floored := f.Log("a")
	assert.Zero(t, log)
	assert.False(t, floored)
	assert.Zero(t, f.Brier("a"))
	assert.Equal(t, 1, f.Rank("a"))
}

func TestScoresOfOneCaseAgainstHandWork(t *testing.T) {
	f := New(map[string]float64{"a": 0.6, "b": 0.4, "c": 0.2}) // shares 1/2, 1/3, 1/6
	log, _ := f.Log("b")
	assert.InDelta(t, math.Log(3), log, 1e-15)
	assert.InDelta(t, 1./4+4./9+1./36, f.Brier("b"), 1e-15)
	assert.Equal(t, 2, f.Rank("b"))
	assert.Equal(t, []string{"a", "b", "c"}, f.Names)
}

func TestWhatWasHeldImpossibleIsFlooredAndSaidSo(t *testing.T) {
	f := New(map[string]float64{"a": 1, "b": 0})
	log, floored := f.Log("b")
	assert.True(t, floored)
	assert.InDelta(t, math.Log(10000), log, 1e-12)
	assert.Equal(t, 2.0, f.Brier("b"))
	assert.Equal(t, 2.0, f.Brier("never heard of"))
	assert.Zero(t, f.Rank("never heard of"))
	none := New(map[string]float64{})
	assert.Equal(t, 1.0, none.Brier("a"))
	zero := New(map[string]float64{"a": 0})
	assert.Zero(t, zero.Share("a"))
}

func TestTiesAreBrokenByName(t *testing.T) {
	f := New(map[string]float64{"c": 0.2, "a": 0.2, "b": 0.2})
	assert.Equal(t, []string{"a", "b", "c"}, f.Names)
}

// Strictly proper: whoever believes q and says anything else expects a worse score.
func TestTheHonestProbabilityIsTheBestReport(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	draw := func() map[string]float64 {
		p, sum := map[string]float64{}, 0.0
		for i := range 4 {
			p[fmt.Sprint(i)] = 0.01 + r.Float64()
		}
		for i := range 4 {
			sum += p[fmt.Sprint(i)]
		}
		for i := range 4 {
			p[fmt.Sprint(i)] /= sum
		}
		return p
	}
	expected := func(q map[string]float64, f Forecast) (log, brier float64) {
		for _, name := range f.Names {
			l, _ := f.Log(name)
			log += q[name] * l
			brier += q[name] * f.Brier(name)
		}
		return log, brier
	}
	for range 500 {
		q := draw()
		log, brier := expected(q, New(q))
		otherLog, otherBrier := expected(q, New(draw()))
		assert.Less(t, log, otherLog)
		assert.Less(t, brier, otherBrier)
	}
}

func TestMeansHaveTheirStandardError(t *testing.T) {
	m := MeanOf([]float64{2, 4, 4, 4, 5, 5, 7, 9}) // sum of squares about the mean 32
	assert.InDelta(t, 5, m.Mean, 1e-12)
	assert.InDelta(t, math.Sqrt(32./7/8), m.SE, 1e-12)
	one := MeanOf([]float64{3})
	assert.Equal(t, Mean{N: 1, Mean: 3}, one)
	assert.Equal(t, Mean{}, MeanOf(nil))
	d := Paired([]float64{5, 7, 9}, []float64{1, 3, 5})
	assert.Equal(t, Mean{N: 3, Mean: 4, SE: 0, Known: true}, d)
}

func TestATallyCountsPlacesAndGains(t *testing.T) {
	before := New(map[string]float64{"a": 0.25, "b": 0.25, "c": 0.25, "d": 0.25})
	now := New(map[string]float64{"a": 0.1, "b": 0.1, "c": 0.1, "d": 0.7})
	s := Sum([]Trial{{now, before, "d"}, {now, before, "c"}})
	assert.Equal(t, Places{1, 1}, s.Now) // c stands fourth, by name
	assert.Equal(t, Places{0, 1}, s.Before)
	assert.InDelta(t, (-math.Log(0.7)-math.Log(0.1))/2, s.Log.Mean, 1e-12)
	assert.InDelta(t, math.Log(4), s.LogBefore.Mean, 1e-12)
	assert.InDelta(t, s.Log.Mean-s.LogBefore.Mean, s.LogGain.Mean, 1e-12)
	assert.InDelta(t, s.Brier.Mean-s.BrierBefore.Mean, s.BrierGain.Mean, 1e-12)
	assert.Zero(t, s.Floored)
}

// The textbook example of four days: said 80, 80, 20, 20 %, rain on one of the first two and
// none of the last.
func TestTheBrierScoreOfEqualClaimsPartsWithoutARest(t *testing.T) {
	r := Table([]Claim{{0.8, true}, {0.8, false}, {0.2, false}, {0.2, false}}, Edges())
	assert.InDelta(t, (0.04+0.64+0.04+0.04)/4, r.Brier, 1e-15)
	assert.InDelta(t, (0.3*0.3+0.2*0.2)/2, r.Reliability, 1e-15)
	assert.InDelta(t, 0.0625, r.Resolution, 1e-15)
	assert.InDelta(t, 0.25*0.75, r.Uncertainty, 1e-15)
	assert.InDelta(t, 0, r.Inside, 1e-15)
	assert.InDelta(t, r.Brier, r.Reliability-r.Resolution+r.Uncertainty, 1e-15)
}

func TestTheDecompositionAlwaysAddsUp(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		claims := make([]Claim, 1+r.IntN(200))
		for i := range claims {
			p := r.Float64() * r.Float64()
			claims[i] = Claim{p, r.Float64() < p}
		}
		x := Table(claims, Edges())
		require.InDelta(t, x.Brier, x.Reliability-x.Resolution+x.Uncertainty+x.Inside, 1e-12)
		require.GreaterOrEqual(t, x.Reliability, 0.0)
		require.GreaterOrEqual(t, x.Resolution, 0.0)
		n, came := 0, 0
		for _, b := range x.Bins {
			n, came = n+b.N, came+b.Came
			if b.N > 0 {
				require.True(t, b.Said >= b.From && b.Said <= b.To)
			}
		}
		require.Equal(t, len(claims), n)
		shuffled := slices.Clone(claims)
		r.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		require.InDelta(t, x.Brier, Table(shuffled, Edges()).Brier, 1e-12)
	}
}

func TestHonestClaimsLieWithinTheirErrorInEveryBin(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	claims := make([]Claim, 20000)
	for i := range claims {
		p := r.Float64()
		claims[i] = Claim{p, r.Float64() < p}
	}
	for _, b := range Table(claims, Edges()).Bins {
		assert.Less(t, math.Abs(b.Off()), 4.0, "%+v", b)
	}
	// and twice as bold is found out
	for i := range claims {
		claims[i].P = math.Min(1, 1.5*claims[i].P)
	}
	bold := Table(claims, Edges())
	assert.Less(t, bold.Bins[len(bold.Bins)-2].Off(), -4.0)
}

func TestTheEndsOfTheScaleHaveABin(t *testing.T) {
	r := Table([]Claim{{0, false}, {1, true}, {math.NaN(), false}, {-3, false}, {7, true}}, Edges())
	assert.Equal(t, 3, r.Bins[0].N)
	assert.Equal(t, 2, r.Bins[len(r.Bins)-1].N)
	assert.Zero(t, r.Brier)
	assert.Zero(t, r.Bins[0].Off())
	assert.Empty(t, Table(nil, nil).Bins)
	assert.Len(t, New(map[string]float64{"a": 0.3, "b": 0.9}).Claims("a"), 2)
}

func TestHalvesAreFixedAndAboutEven(t *testing.T) {
	assert.Equal(t, []string{"b", "a"}, []string{Half("L021"), Half("L012")})
	a := 0
	for i := range 1000 {
		if Half(fmt.Sprintf("L%03d", i)) == "a" {
			a++
		}
	}
	assert.InDelta(t, 500, a, 60)
}
