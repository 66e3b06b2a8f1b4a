package ruletest

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules"
	"seepwright/rules/cond"
	"seepwright/rules/load"
)

func TestSuggestedAnswersMakeARuleFireAndKeepItSilent(t *testing.T) {
	k, found := load.Read(fstest.MapFS{"facts.yaml": {Data: []byte(`
fact: greased
ask: Greased?
answer: yes-no
---
fact: spread
ask: Where?
answer: choice
options: [{id: all-round}, {id: one-side}, {id: no-pattern}]
---
fact: when-wet
ask: When?
answer: several
options: [{id: hot}, {id: cold}]
---
fact: height
ask: How high?
answer: quantity
dimension: length
---
fact: row
ask: Which?
answer: readings
dimension: length
`)}}, load.Options{})
	require.Empty(t, found)
	for _, tt := range []struct {
		when string
		want Suggested
		err  string
	}{
		{"greased is yes", Suggested{"{greased: yes}", "{greased: no}", []string{"greased"}}, ""},
		{"spread is not one-side", Suggested{"{spread: all-round}", "{spread: one-side}", []string{"spread"}}, ""},
		{"when-wet is hot", Suggested{"{when-wet: {is: [hot]}}", "{when-wet: {not: [hot]}}", []string{"when-wet"}}, ""},
		{"height < 2 mm and greased is no", Suggested{"{greased: no, height: 1 mm}", "{greased: yes}", []string{"height", "greased"}}, ""},
		{"height is between 2 mm and 3 mm or greased is yes", Suggested{"{greased: yes}", "{greased: no, height: 1 mm}", []string{"height", "greased"}}, ""},
		{"greased is yes and greased is no", Suggested{}, "true"},
		{"row > 2 mm", Suggested{}, "by hand"},
		{"sized is yes", Suggested{}, `no fact is called "sized"`},
	} {
		t.Run(tt.when, func(t *testing.T) {
			r := &rules.Rule{When: rules.When{Text: tt.when, Cond: cond.MustParse(tt.when)}}
			got, err := Suggest(k, r)
			if tt.err != "" {
				require.ErrorContains(t, err, tt.err)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, tt.want, got)
		})
	}
	_, err := Suggest(k, &rules.Rule{})
	require.ErrorContains(t, err, "never silent")
}
