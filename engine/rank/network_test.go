package rank

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRandomNetworksAgreeWithEveryCombinationOneByOne(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	solved, impossible := 0, 0
	for k := range 1500 {
		var prior []float64
		for range 1 + r.Intn(7) {
			prior = append(prior, chance(r))
		}
		var signs []sign
		n := Network{Prior: prior}
		for range r.Intn(9) {
			s := randomSign(r, len(prior))
			signs = append(signs, s)
			n.Findings = append(n.Findings, s.finding())
		}
		z, with, none := bruteNetwork(prior, signs)
		post, err := Solve(n)
		if z < 1e-13 { // the brute force's own differences are no longer sharp here
			if err != nil {
				require.ErrorIs(t, err, ErrImpossible)
				impossible++
			}
			continue
		}
		require.NoError(t, err, "network %d", k)
		solved++
		what := fmt.Sprintf("network %d, Z %g", k, z)
		slack := 1e-12 + 1e-15/z
		assert.InDelta(t, z, math.Exp(post.LogEvidence), 1e-12, what)
		assert.InDelta(t, none/z, post.NoCause, slack, what)
		for i := range prior {
			assert.InDelta(t, with[i]/z, post.P[i], slack, what)
			if some := z - none; some > 1e-6*z {
				assert.InDelta(t, with[i]/some, post.GivenSomeCause[i], slack*1e6, what)
			}
		}
	}
	assert.Greater(t, solved, 900)
	assert.Greater(t, impossible, 20)
}

func TestAYesNoFindingIsAGradedOneWithTwoAnswers(t *testing.T) {
	r := rand.New(rand.NewSource(2))
	for range 200 {
		leak, q := r.Float64(), []float64{r.Float64(), r.Float64(), r.Float64()}
		for seen, positive := range []bool{true, false} {
			var rates []Rate
			var grades []Grades
			for i, x := range q {
				rates = append(rates, Rate{i, x})
				grades = append(grades, Grades{i, []float64{x, 1 - x}})
			}
			g, err := Graded("g", seen, grades, []float64{leak, 1 - leak})
			require.NoError(t, err)
			prior := []float64{0.1, 0.3, 0.5}
			a, err := Solve(Network{prior, []Finding{YesNo("y", positive, leak, rates)}})
			require.NoError(t, err)
			b, err := Solve(Network{prior, []Finding{g}})
			require.NoError(t, err)
			assert.InDelta(t, a.LogEvidence, b.LogEvidence, 1e-13)
			assert.InDeltaSlice(t, a.P, b.P, 1e-14)
		}
	}
}

func TestALongSweepThatRemembersOnlyMarksGivesTheSame(t *testing.T) {
	n := denseNetwork(38, 9, 3)
	c := compile(n.Prior, nil, n.Findings)
	p := newPlan(c)
	want := p.forward(c, true).backward([]float64{1})
	p.store = 1 << p.width
	s := p.forward(c, true)
	require.NotEmpty(t, s.marks)
	assert.Equal(t, want, s.backward([]float64{1}))
}

func TestSeparateJointsDoNotMultiplyEachOthersWork(t *testing.T) {
	n := Network{}
	for i := range 150 {
		n.Prior = append(n.Prior, 0.01*float64(i%50+1))
		n.Findings = append(n.Findings, YesNo("", true, 0.05, []Rate{{i, 0.8}}))
	}
	post, err := Solve(n)
	require.NoError(t, err)
	require.True(t, post.Exact)
	for i, p := range n.Prior {
		assert.InDelta(t, p*0.81/(p*0.81+(1-p)*0.05), post.P[i], 1e-14)
	}
}

func TestNumbersFarApartKeepTheirDigits(t *testing.T) {
	post, err := Solve(Network{Prior: []float64{1e-300, 0.5}, Findings: []Finding{YesNo("", true, 0.5, []Rate{{1, 0.5}})}})
	require.NoError(t, err)
	assert.InEpsilon(t, 1e-300, post.P[0], 1e-12)
	assert.InDelta(t, 0.6, post.P[1], 1e-15)
	// A certain cause under 400 negatives that it nearly always shows.
	n := Network{Prior: []float64{1, 0.3}}
	for range 400 {
		n.Findings = append(n.Findings, YesNo("", false, 0, []Rate{{0, 0.99}}))
	}
	post, err = Solve(n)
	require.NoError(t, err)
	assert.InEpsilon(t, 400*math.Log(0.01), post.LogEvidence, 1e-12)
	assert.InDeltaSlice(t, []float64{1, 0.3}, post.P, 1e-15)
}

func TestTooWideForPairsAndSets(t *testing.T) {
	c := compile(denseNetwork(8, 7, 1).Prior, nil, denseNetwork(8, 7, 1).Findings)
	post, err := solveBounded(c, 4)
	require.NoError(t, err)
	_, err = post.Pair(0, 1)
	assert.ErrorIs(t, err, ErrTooWide)
	_, _, err = post.MostProbableSet()
	assert.ErrorIs(t, err, ErrTooWide)
}

func TestTwentyFourPositivesAtOnceAreBoundedNotRefused(t *testing.T) {
	n := denseNetwork(30, 24, 5)
	post, err := Solve(n)
	require.NoError(t, err)
	assert.False(t, post.Exact)
	for i := range post.P {
		assert.True(t, 0 <= post.Low[i] && post.Low[i] <= post.P[i] && post.P[i] <= post.High[i] && post.High[i] <= 1)
	}
}

func TestEvidenceThatCannotBeIsAnErrorOfItsOwn(t *testing.T) {
	cases := map[string]Network{
		"a positive finding that nothing explains":         {[]float64{0.5}, []Finding{YesNo("f", true, 0, nil)}},
		"a positive finding whose only cause cannot be":    {[]float64{0}, []Finding{YesNo("f", true, 0, []Rate{{0, 0.5}})}},
		"a negative finding that shows in any case":        {[]float64{0.5}, []Finding{YesNo("f", false, 1, nil)}},
		"a certain cause that the negative finding denies": {[]float64{1}, []Finding{YesNo("f", false, 0, []Rate{{0, 1}})}},
	}
	for name, n := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := Solve(n)
			require.ErrorIs(t, err, ErrImpossible)
		})
	}
}

func TestNumbersOutOfDomainAreNamed(t *testing.T) {
	cases := map[string]Network{
		"Prior[1]":             {[]float64{0.5, 1.5}, nil},
		"Prior[0]":             {[]float64{math.NaN()}, nil},
		"Findings[0].Leak":     {[]float64{0.5}, []Finding{{State: Positive, Leak: -1}}},
		"Findings[0]: link":    {[]float64{0.5}, []Finding{YesNo("", true, 0.1, []Rate{{7, 0.5}})}},
		"Findings[0]: two":     {[]float64{0.5}, []Finding{YesNo("", true, 0.1, []Rate{{0, 0.5}, {0, 0.5}})}},
		"Findings[0] (x): lin": {[]float64{0.5}, []Finding{YesNo("x", true, 0.1, []Rate{{0, math.Inf(1)}})}},
	}
	for where, n := range cases {
		t.Run(where, func(t *testing.T) {
			_, err := Solve(n)
			var input *InputError
			require.ErrorAs(t, err, &input)
			assert.Contains(t, err.Error(), where)
		})
	}
	_, err := Graded("amount", 3, []Grades{{0, []float64{0.5, 0.5}}}, nil)
	assert.ErrorContains(t, err, "answer 3 was seen")
	_, err = Graded("amount", 0, []Grades{{0, []float64{0.5, 0.6}}}, nil)
	assert.ErrorContains(t, err, "must not exceed 1")
}

func TestVeryImprobableEvidenceKeepsItsDigits(t *testing.T) {
	// 200 negatives of 1e-3 each on one cause, and 200 positives that only the base rate explains.
	n := Network{Prior: []float64{0.5, 0.25}}
	for range 200 {
		n.Findings = append(n.Findings, YesNo("n", false, 0.001, []Rate{{0, 0.999}}), YesNo("p", true, 1e-9, nil))
	}
	post, err := Solve(n)
	require.NoError(t, err)
	want := 200*math.Log(0.999) + 200*math.Log(1e-9) + math.Log(0.5)
	assert.InEpsilon(t, want, post.LogEvidence, 1e-12)
	assert.InDelta(t, 0.25, post.P[1], 1e-15)
}

func TestLinkQTakesTheBaseRateOut(t *testing.T) {
	assert.InDelta(t, 1-0.2/0.98, LinkQ(0.8, 0.02), 1e-15)
	assert.Equal(t, 0.0, LinkQ(0.01, 0.02))
	assert.Equal(t, 1.0, LinkQ(1, 0.02))
	assert.Equal(t, 0.0, LinkQ(0.5, 1))
}

// denseNetwork has causes that all read all positive findings, and as many negative ones.
func denseNetwork(causes, positives int, seed int64) Network {
	r := rand.New(rand.NewSource(seed))
	n := Network{}
	for range causes {
		n.Prior = append(n.Prior, 0.01+0.1*r.Float64())
	}
	for j := range 2 * positives {
		var links []Rate
		for i := range causes {
			links = append(links, Rate{i, 0.02 + 0.9*r.Float64()*r.Float64()})
		}
		n.Findings = append(n.Findings, YesNo(fmt.Sprint(j), j%2 == 0, 0.002+0.02*r.Float64(), links))
	}
	return n
}

func TestBeyondTheWidthTheBoundsEncloseTheTruthAndSaySo(t *testing.T) {
	for seed := range int64(12) {
		n := denseNetwork(12, 10, 100+seed)
		c := compile(n.Prior, nil, n.Findings)
		exact, err := solveExact(c, newPlan(c))
		require.NoError(t, err)
		for limit := 9; limit >= 3; limit -= 2 {
			post, err := solveBounded(c, limit)
			require.NoError(t, err)
			require.False(t, post.Exact)
			assert.LessOrEqual(t, post.LogLow, exact.LogEvidence+1e-12)
			assert.GreaterOrEqual(t, post.LogHigh, exact.LogEvidence-1e-12)
			for i, p := range exact.P {
				assert.LessOrEqual(t, post.Low[i], p)
				assert.GreaterOrEqual(t, post.High[i], p)
				assert.True(t, post.Low[i] <= post.P[i] && post.P[i] <= post.High[i])
			}
		}
	}
}
