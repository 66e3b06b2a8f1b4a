package interview

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules"
)

// Invented kinds.
var someKinds = []*rules.Joint{
	{Head: rules.Head{ID: "cover", Title: "Flat cover"}, LooksLike: "a plate with bolts", HeldBy: []rules.Hold{"bolts"}},
	{Head: rules.Head{ID: "hose", Title: "Hose end"}, LooksLike: "a hose on a stub", HeldBy: []rules.Hold{"clamp"}},
	{Head: rules.Head{ID: "plug", Title: "Plug"}, LooksLike: "a hexagon", HeldBy: []rules.Hold{"thread"}},
	{Head: rules.Head{ID: "ring-bolt", Title: "Ring on a bolt"}, LooksLike: "a ring under a bolt head", HeldBy: []rules.Hold{"thread"}},
	{Head: rules.Head{ID: "shaft", Title: "Shaft seal"}, LooksLike: "a ring round a shaft", HeldBy: []rules.Hold{"press-fit"}, Moves: rules.Turns},
}

func TestWhoDoesNotKnowTheKindIsLedToIt(t *testing.T) {
	for name, x := range map[string]struct {
		lines []string
		want  string
		said  []string
		not   []string
	}{
		"one kind fits":                         {[]string{"kind: look-closer", "moves: 1", "held-by: bolts", "kind-of-these: 1"}, "cover", []string{"a plate with bolts"}, nil},
		"several fit, and one is chosen":        {[]string{"kind: look-closer", "moves: 1", "held-by: thread", "kind-of-these: ring-bolt"}, "ring-bolt", []string{"a hexagon", "a ring under a bolt head"}, []string{"Which of these is it?\n 1 Hose end"}},
		"what turns comes first":                {[]string{"kind: look-closer", "moves: turns", "held-by: press-fit", "kind-of-these: 1"}, "shaft", nil, nil},
		"what holds it cannot be told":          {[]string{"kind: look-closer", "moves: turns", "held-by: ?", "kind-of-these: 1"}, "shaft", nil, nil},
		"nothing fits both, so what fits one":   {[]string{"kind: look-closer", "moves: slides", "held-by: clamp", "kind-of-these: hose"}, "hose", nil, nil},
		"several fit, and it stays open":        {[]string{"kind: look-closer", "moves: 1", "held-by: thread", "kind-of-these: stay-open"}, "plug,ring-bolt", []string{"a hexagon"}, nil},
		"none of them":                          {[]string{"kind: look-closer", "moves: 1", "held-by: clamp", "kind-of-these: other"}, "", []string{"It is not forced into one of the"}, nil},
		"back to the list, and one is chosen":   {[]string{"kind: look-closer", "moves: b", "kind: plug"}, "plug", nil, nil},
		"back from those that fit, to the list": {[]string{"kind: look-closer", "moves: 1", "held-by: bolts", "kind-of-these: b", "kind: hose"}, "hose", nil, nil},
		"who knows it is not asked anything":    {[]string{"kind: cover"}, "cover", nil, nil},
	} {
		t.Run(name, func(t *testing.T) {
			s := NewScript(x.lines...)
			got, err := (&Talk{s, 80}).Kind(someKinds)
			require.NoError(t, err, s.Said.String())
			require.NoError(t, s.Left())
			assert.Equal(t, x.want, got)
			for _, w := range x.said {
				assert.Contains(t, s.Said.String(), w)
			}
			for _, w := range x.not {
				assert.NotContains(t, s.Said.String(), w)
			}
		})
	}
}

func TestEveryHoldHasItsWords(t *testing.T) {
	for _, h := range rules.Holds() {
		assert.NotEmpty(t, holds[h], h)
	}
	assert.Len(t, holds, len(rules.Holds()))
}
