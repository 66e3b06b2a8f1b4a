package refuse_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"seepwright/engine/measure/refuse"
)

func TestARefusalSaysWhatIsWrongAndWhatToDo(t *testing.T) {
	assert.EqualError(t, refuse.Positive("the bore", -1), "the bore is -1, and that is not a usable size: give a number above 0")
	assert.EqualError(t, refuse.Within("the set", 1.5, 0, 1, "0 % is a new ring"), "the set is 1.5, outside 0 to 1: 0 % is a new ring")
	assert.ErrorContains(t, refuse.Finite("reading 2", math.NaN()), "reading 2 is not a number")
	assert.NoError(t, refuse.First(nil, refuse.NotNegative("the gap", 0)))
	assert.ErrorContains(t, refuse.First(nil, refuse.NotNegative("the gap", math.Inf(1)), refuse.Positive("x", 0)), "the gap")
}
