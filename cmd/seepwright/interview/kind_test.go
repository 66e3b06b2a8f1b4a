package interview

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

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

// many are invented kinds, more than stand on one screen with what they look like.
func many() []*rules.Joint {
	out := slices.Clone(someKinds)
	for i, h := range rules.Holds() {
		for n := range 2 {
			id := fmt.Sprintf("%s-%d", h, n)
			out = append(out, &rules.Joint{Head: rules.Head{ID: id, Title: fmt.Sprintf("Thing %d of sort %d (and more of it)", n, i)}, LooksLike: "One sees it. And more than that.", HeldBy: []rules.Hold{h}, OtherNames: []string{"gadget " + id, "turncock"}})
		}
	}
	return out
}

func TestTheFirstScreenOfManyKindsIsShortAndEveryKindIsReachedFromIt(t *testing.T) {
	for name, x := range map[string]struct {
		lines []string
		want  string
		said  []string
	}{
		"by what holds it":                                        {[]string{"kind: bolts", "kind-of-these: 2"}, "bolts-0", []string{"2 Thing 0 of sort 2 (and more of it): One sees it. And more than that.\n"}},
		"by what turns in it":                                     {[]string{"kind: a seal on a shaft", "kind-of-these: shaft"}, "shaft", []string{"a seal on a shaft that turns"}},
		"by the beginning of its name":                            {[]string{"kind: hose"}, "hose", nil},
		"by its whole name":                                       {[]string{"kind: bolts-1"}, "bolts-1", nil},
		"by a word of another name of its":                        {[]string{"kind: gadget bolts", "kind-of-these: 2"}, "bolts-1", nil},
		"a word that begins one title only, but stands in others": {[]string{"kind: turncock", "kind-of-these: bolts-1"}, "bolts-1", nil},
		"a word of none, then a number":                           {[]string{"kind: sprocket", "kind: 3", "kind-of-these: cover"}, "cover", []string{"is none of these"}},
		"from the list of all":                                    {[]string{"kind: list", "kind-by-name: hose"}, "hose", []string{" 1 Flat cover"}},
		"by a word, from the list of all":                         {[]string{"kind: list", "kind-by-name: gadget band", "kind-of-these: band-1"}, "band-1", nil},
		"back from the list, and from what fits":                  {[]string{"kind: list", "kind-by-name: b", "kind: thread", "kind-of-these: b", "kind: plug"}, "plug", nil},
		"asked one thing after the other":                         {[]string{"kind: look-closer", "moves: 1", "held-by: band", "kind-of-these: stay-open"}, "band-0,band-1", nil},
		"none of them":                                            {[]string{"kind: other"}, "", []string{"It is not forced into one of the"}},
		"none of those on the list":                               {[]string{"kind: list", "kind-by-name: none of these"}, "", []string{"It is not forced into one of the"}},
	} {
		t.Run(name, func(t *testing.T) {
			s := NewScript(x.lines...)
			got, err := (&Talk{s, 80}).Kind(many())
			require.NoError(t, err, s.Said.String())
			require.NoError(t, s.Left())
			assert.Equal(t, x.want, got)
			for _, w := range x.said {
				assert.Contains(t, s.Said.String(), w)
			}
			for _, q := range s.Asked {
				if q.ID == "kind" || q.ID == "kind-by-name" {
					text := q.Text(80)
					assert.LessOrEqual(t, strings.Count(text, "\n"), 23, "one screen, with the line that is typed:\n%s", text)
					for _, line := range strings.Split(text, "\n") {
						assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
					}
				}
			}
		})
	}
}

func TestOptionsStandInTwoColumnsOnlyWhereThereIsRoom(t *testing.T) {
	q := Question{Ask: "Which?", Columns: true, Options: []Option{{"a", "first"}, {"b", "a second one whose title is too long for its half of the screen"}, {"c", "third"}}}
	assert.Equal(t, "\nWhich?\n 1 first                        3 third\n 2 a second one whose title is\n   too long for its half of\n   the screen\n", q.Text(62))
	assert.Contains(t, q.Text(59), "\n 3 third\n")
}

func TestEveryHoldHasItsWords(t *testing.T) {
	for _, h := range rules.Holds() {
		assert.NotEmpty(t, holds[h], h)
	}
	assert.Len(t, holds, len(rules.Holds()))
}
