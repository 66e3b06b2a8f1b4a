package catalogue

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestARubberIsJudgedByFluidAndHeat(t *testing.T) {
	o := rung(t, "rubber-in-fluid", map[string]string{"rubber": "epdm", "fluid": "mineral-oil"})
	assert.InDelta(t, 4, o.Num["grade"].SI, 1e-9)
	assert.Equal(t, "is destroyed", o.Text["in-words"])
	o = rung(t, "rubber-in-fluid", map[string]string{"rubber": "nbr", "fluid": "coolant", "hottest": "95 C"})
	assert.Equal(t, TooLarge, o.Verdict, "80 C in hot water, by the table of rubbers")
	o = rung(t, "rubber-in-fluid", map[string]string{"rubber": "nbr", "fluid": "mineral-oil", "hottest": "95 C"})
	assert.Equal(t, OK, o.Verdict, "100 C in oil")
	o = rung(t, "rubber-in-fluid", map[string]string{"rubber": "epdm", "fluid": "steam", "hottest": "160 C"})
	assert.Equal(t, OK, o.Verdict, "175 C in steam")
	o = rung(t, "rubber-in-fluid", map[string]string{"rubber": "fkm", "fluid": "steam", "hottest": "120 C"})
	assert.NotContains(t, o.Num, "heat-limit", "no limit is known, so none is judged")
}

func TestABathFollowsItsRow(t *testing.T) {
	for name, c := range map[string]struct {
		in   map[string]string
		want string
	}{
		"citric acid on aluminium for 20 min":     {map[string]string{"cleaner": "citric", "metal": "aluminium", "time": "20 min"}, OK},
		"the same for an hour":                    {map[string]string{"cleaner": "citric", "metal": "aluminium", "time": "1 h"}, TooLarge},
		"hydrochloric acid never meets aluminium": {map[string]string{"cleaner": "hydrochloric", "metal": "aluminium", "time": "1 min"}, TooLarge},
		"half and half is far too strong":         {map[string]string{"cleaner": "sulphamic", "metal": "copper", "time": "1 h", "strength": "50 %"}, TooLarge},
		"warm where it should be cold":            {map[string]string{"cleaner": "sulphamic", "metal": "aluminium", "time": "5 min", "bath-temperature": "45 C"}, TooLarge},
	} {
		t.Run(name, func(t *testing.T) {
			o := rung(t, "cleaning-bath", c.in)
			assert.Equal(t, c.want, o.Verdict, o.Sentence)
		})
	}
	_, err := ring(t, "cleaning-bath", map[string]string{"cleaner": "bleach", "metal": "solder"})
	assert.ErrorContains(t, err, "has no row", "a pair that nobody knows is said, not guessed")
}
