package source

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNearest(t *testing.T) {
	names := []string{"bore-oval", "bore-wide", "clearance", "lubricated", "ring-nick", "ring-hard", "hot"}
	for _, tt := range []struct {
		name, word string
		want       []string
	}{
		{"a letter left out", "lubricatd", []string{"lubricated"}},
		{"two letters swapped", "hto", []string{"hot"}},
		{"a capital", "Hot", []string{"hot"}},
		{"a part that is right", "bore-gauge", []string{"bore-wide", "bore-oval"}},
		{"the beginning of a name", "clear", []string{"clearance"}},
		{"nothing like it", "xyzzy", nil},
		{"nothing at all", "", nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.want, Nearest(tt.word, names, 3))
			backwards := slices.Clone(names)
			slices.Reverse(backwards)
			assert.Equal(t, tt.want, Nearest(tt.word, backwards, 3), "in whatever order the names come")
		})
	}
	assert.Equal(t, []string{"ring-hard"}, Nearest("ring-hart", names, 1))
	assert.Equal(t, []string{"hot"}, Nearest("hot", []string{"hot", "hot"}, 3), "each name once")
}

func TestDidYouMean(t *testing.T) {
	assert.Equal(t, `did you mean "ring-hard"?`, DidYouMean("ring-hart", []string{"ring-hard", "hot"}))
	assert.Equal(t, `did you mean "a-seal" or "b-seal"?`, DidYouMean("c-seal", []string{"b-seal", "a-seal"}))
	assert.Empty(t, DidYouMean("xyzzy", []string{"hot"}))
}

func TestDistance(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"", "abc", 3}, {"abc", "", 3}, {"kitten", "sitting", 3}, {"ab", "ba", 1}, {"nähe", "nahe", 1},
	} {
		assert.Equal(t, tt.want, distance(tt.a, tt.b), "%s %s", tt.a, tt.b)
	}
}

func TestFindingsAreSortedAndCounted(t *testing.T) {
	at := func(file string, line, col int) Place { return Place{file, line, col} }
	fs := Findings{
		{Place: at("b.yaml", 1, 1), Code: "x", What: "later"},
		{Place: at("a.yaml", 2, 9), Code: "x", What: "right", Warning: true},
		{Place: at("a.yaml", 2, 3), Code: "x", What: "left", Hint: "do this"},
		{Place: at("a.yaml", 2, 3), Code: "x", What: "left", Hint: "do this"},
	}.Sort()
	assert.Len(t, fs, 3, "repeats are dropped")
	assert.Equal(t, 2, fs.Errors())
	assert.Equal(t, "a.yaml:2:3: left: do this [x]\na.yaml:2:9: right [x]\nb.yaml:1:1: later [x]", fs.Error())
	assert.Equal(t, "-", Place{}.String())
	assert.Equal(t, "a.yaml", Place{File: "a.yaml"}.String())
}
