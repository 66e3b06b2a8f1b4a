package optimum

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestABenchTestComesBetweenRepairAndRefit(t *testing.T) {
	test := BenchTest("pressure", "housing", 5, 0.99, 0.99, []string{"seat"})
	test.Bench = true
	c, err := SolveChanging(Model{
		Faults:     []Fault{{"seat", 1}},
		Clusters:   []Cluster{{ID: "housing", Open: 60, Close: 90, MustClose: true}},
		Checks:     []Check{test},
		Repairs:    []Repair{{ID: "lap", Cluster: "housing", Minutes: 20, Fixes: []string{"seat"}, Success: 0.5, Tries: 3}},
		Retest:     30,
		LastResort: 1000,
	}, 0)
	require.NoError(t, err)
	s := c.Start()
	assert.InEpsilon(t, c.Value(), s.Rest, 1e-12)
	var seen []Kind
	for ok := true; ok; s, ok = s.After(false) {
		seen = append(seen, s.Kind)
	}
	assert.Equal(t, []Kind{RepairStep, CheckStep, RetestStep}, seen[:3], "lapped, found tight on the bench, refitted")
	s = c.Start()
	s, _ = s.After(true)
	s, ok := s.After(true)
	require.True(t, ok)
	assert.Equal(t, RepairStep, s.Kind, "found leaking on the bench: lapped again before it goes back")
}
