package lint

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"seepwright/rules"
)

func cause(id string, signs []rules.Sign, found ...rules.FoundBy) *rules.Cause {
	return &rules.Cause{Head: rules.Head{ID: id}, Signs: signs, FoundBy: found}
}

func TestAPairThatNothingTellsApartIsNamed(t *testing.T) {
	wet := func(shows float64) []rules.Sign { return []rules.Sign{{Fact: "wet", Shows: shows}} }
	look := func(f string) rules.FoundBy { return rules.FoundBy{Check: "look", Fact: f, Se: 0.9, Sp: 0.9} }
	names := func(causes ...*rules.Cause) (out []string) {
		for _, p := range unsplit(causes) {
			out = append(out, p[0].ID+" / "+p[1].ID)
		}
		return out
	}
	a := cause("a", wet(0.6))
	for name, x := range map[string]struct {
		other *rules.Cause
		want  []string
	}{
		"the same signs":                        {cause("b", wet(0.6)), []string{"a / b"}},
		"nearly the same rate":                  {cause("b", wet(0.45)), []string{"a / b"}},
		"a clearly other rate":                  {cause("b", wet(0.3)), nil},
		"a sign more, that shows often":         {cause("b", append(wet(0.6), rules.Sign{Fact: "hot", Shows: 0.5})), nil},
		"a sign more, that hardly shows":        {cause("b", append(wet(0.6), rules.Sign{Fact: "hot", Shows: 0.1})), []string{"a / b"}},
		"a check that finds only the one":       {cause("b", wet(0.6), look("cut")), nil},
		"the same fact with options of its own": {cause("b", []rules.Sign{{Fact: "wet", Option: "top", Shows: 0.6}}), nil},
	} {
		assert.Equal(t, x.want, names(a, x.other), name)
	}
	both := look("cut")
	assert.Equal(t, []string{"a / b"}, names(cause("a", wet(0.6), both), cause("b", wet(0.6), both)), "one look that shows the same of both decides nothing between them")
}
