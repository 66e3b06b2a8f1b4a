package rank

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestManyRareBaseRatesDoNotVanish(t *testing.T) {
	// 60 separate findings, nearly always explained by their base rate of 1e-9 and hardly by their cause.
	n, want := Network{}, 0.0
	for i := range 60 {
		n.Prior = append(n.Prior, 0.5)
		n.Findings = append(n.Findings, YesNo("", true, 1e-9, []Rate{{i, 1e-12}}))
		want += math.Log(0.5*1e-9 + 0.5*(1e-9+(1-1e-9)*1e-12))
	}
	post, err := Solve(n)
	require.NoError(t, err)
	assert.InEpsilon(t, want, post.LogEvidence, 1e-12)
	assert.InEpsilon(t, math.Pow(0.5, 60)*math.Exp(60*math.Log(1e-9)-want), post.NoCause, 1e-10)
}

func TestARareAnswerKeepsItsDigits(t *testing.T) {
	a := Assembly{Blocks: []Block{{Weight: 1, Prior: []float64{0.3, 0.4}}}}
	rates := []Rate{{0, 1e-13}, {1, 3e-13}}
	out, err := LookAhead(a, 0, [][]Finding{{YesNo("q", true, 0, rates)}, {YesNo("q", false, 0, rates)}})
	require.NoError(t, err)
	some := 1 - 0.7*0.6
	assert.InEpsilon(t, (0.3*1e-13+0.4*3e-13)/some, out[0].P, 1e-9)
	// Weights of the three sets of causes, in units of 1e-13.
	only0, only1, both := 0.3*0.6*1, 0.7*0.4*3, 0.3*0.4*4
	assert.InDelta(t, (only0+both)/(only0+only1+both), out[0].Posterior.Cause[0][0], 1e-9)
}

// How many findings are open at once decides the speed. The limits are what this ordering reached when it was written; a worse
// order would still be exact, only slower, so nothing else would notice.
func TestTheOrderOfCausesKeepsFewFindingsOpen(t *testing.T) {
	most := map[string]int{"scale-10.json": 3, "scale-15.json": 7, "scale-20.json": 8, "scale-30.json": 10}
	seen := 0
	for _, file := range referenceFiles(t) {
		if !strings.HasPrefix(filepath.Base(file), "scale") {
			continue
		}
		n, _ := readReference(t, file).network()
		p := newPlan(compile(n.Prior, nil, n.Findings))
		if limit, ok := most[filepath.Base(file)]; ok {
			assert.LessOrEqual(t, p.width, limit, file)
			seen++
		}
	}
	assert.GreaterOrEqual(t, seen, 4)
}

// Bounds that enclose everything would enclose the truth too: one finding relaxed of ten may widen the evidence by this much.
func TestBoundsAreTightEnoughToSaySomething(t *testing.T) {
	var above, below, width float64
	count := 0.0
	for seed := range int64(20) {
		n := denseNetwork(12, 10, 200+seed)
		c := compile(n.Prior, nil, n.Findings)
		exact, err := solveExact(c, newPlan(c))
		require.NoError(t, err)
		post, err := solveBounded(c, 9)
		require.NoError(t, err)
		above += post.LogHigh - exact.LogEvidence
		below += exact.LogEvidence - post.LogLow
		for i := range post.P {
			width += post.High[i] - post.Low[i]
			count++
		}
	}
	t.Logf("mean of ln: %.3f above, %.3f below; mean width of a posterior %.3f", above/20, below/20, width/count)
	assert.Less(t, above/20, 0.2)
	assert.Less(t, below/20, 1.5)
	assert.Less(t, width/count, 0.4)
}
