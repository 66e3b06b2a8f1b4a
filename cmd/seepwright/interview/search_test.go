package interview

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOneOfManyIsFoundByAWordOfIt(t *testing.T) {
	all := []Option{{"wet-when is hot", "When it is wet: only when hot"}, {"wet-when is cold", "When it is wet: cold, at rest"}, {"hot-oil is yes", "The oil is hot"}, {"ring-cut is yes", "Ring cut"}}
	for i := range 20 {
		all = append(all, Option{string(rune('a'+i)) + "-bolt", "A bolt of size " + string(rune('a'+i))})
	}
	for name, x := range map[string]struct {
		lines []string
		want  int
		said  string
	}{
		"a word that only one has":               {[]string{"q: cut"}, 3, "Ring cut"},
		"its id":                                 {[]string{"q: wet-when is cold"}, 1, ""},
		"a word of several, then a number":       {[]string{"q: hot", "q/which: 2"}, 2, "1 When it is wet: only when hot"},
		"a word of several, then another word":   {[]string{"q: hot", "q/which: ring"}, 3, ""},
		"a number that is not there, then again": {[]string{"q: hot", "q/which: 9", "q/which: 1"}, 0, "There is no 9 here"},
		"two words":                              {[]string{"q: wet hot"}, 0, ""},
		"a word of none, then one":               {[]string{"q: sprocket", "q: cut"}, 3, "Nothing here has the word"},
		"too many have it":                       {[]string{"q: bolt", "q: bolt c"}, 6, "20 have that word"},
		"back, and another word":                 {[]string{"q: hot", "q/which: b", "q: cut"}, 3, ""},
		"all of them":                            {[]string{"q: ?", "q/which: 4"}, 3, "24 A bolt of size t"},
		"Enter alone, where it means something":  {[]string{"q: "}, blank, ""},
	} {
		t.Run(name, func(t *testing.T) {
			s := NewScript(x.lines...)
			got, err := (&Talk{s, 80}).Search(Question{ID: "q", Ask: "Which?", Blank: "none"}, all)
			require.NoError(t, err, s.Said.String())
			require.NoError(t, s.Left())
			assert.Equal(t, x.want, got)
			assert.Contains(t, s.Said.String(), x.said)
		})
	}
}

func TestAShareIsANumberFromNothingToAHundred(t *testing.T) {
	for typed, want := range map[string]string{"2": "2 %", "2 %": "2 %", "0.5": "0.5 %", "": "7 %"} {
		got, err := (&Talk{NewScript("q: " + typed), 80}).Share(Question{ID: "q"}, "7")
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	s := NewScript("q: 200", "q: many", "q: 3")
	got, err := (&Talk{s, 80}).Share(Question{ID: "q"}, "7")
	require.NoError(t, err)
	assert.Equal(t, "3 %", got)
}
