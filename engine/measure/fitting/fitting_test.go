package fitting_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"seepwright/engine/measure/fitting"
	"seepwright/rules/unit"
)

func ExampleTurns() {
	// ASME B1.20.1: NPT 1/2-14 has L1 = 0.320 in, the table prints 4.5 turns.
	n, _ := fitting.Turns(0.320*unit.Inch, unit.Inch/14)
	fmt.Printf("%.1f turns\n", n)
	// Output: 4.5 turns
}

func TestWhatLiesOutsideTheDomainIsRefused(t *testing.T) {
	_, err := fitting.Turns(1, 0)
	assert.Error(t, err)
	_, err = fitting.WallReduction(-1, 1)
	assert.Error(t, err)
	_, err = fitting.FlatsAngle(-1)
	assert.Error(t, err)
	_, err = fitting.TaperGrowth(-1)
	assert.Error(t, err)
}
