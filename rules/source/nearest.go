package source

import (
	"slices"
	"strings"
)

// slip is how many letters a slip of the finger gets wrong at most.
const slip = 2

// Nearest gives up to n of the candidates that are closest to the word, best first: those of
// which at most half is wrong by edit distance (swapped neighbours count once), then those
// that contain the word or one of its parts. Beside a name that is a slip away no far ones
// stand. Ties keep alphabetical order.
func Nearest(word string, candidates []string, n int) []string {
	type scored struct {
		name string
		cost int
	}
	var list []scored
	w := strings.ToLower(word)
	for _, c := range candidates {
		l := strings.ToLower(c)
		d := distance(w, l)
		switch {
		case d*2 <= max(len([]rune(w)), len([]rune(l))):
			list = append(list, scored{c, d})
		case len(w) >= 4 && (strings.Contains(l, w) || strings.Contains(w, l) && len(l) >= 4):
			list = append(list, scored{c, 100 + d})
		case shareAPart(w, l):
			list = append(list, scored{c, 200 + d})
		}
	}
	slices.SortFunc(list, func(a, b scored) int {
		if a.cost != b.cost {
			return a.cost - b.cost
		}
		return strings.Compare(a.name, b.name)
	})
	var out []string
	for _, s := range list {
		if list[0].cost <= slip && s.cost > list[0].cost+slip {
			break // the first is hardly wrong: it is meant
		}
		if len(out) < n && !slices.Contains(out, s.name) {
			out = append(out, s.name)
		}
	}
	return out
}

// DidYouMean is the hint made of the nearest names, or "".
func DidYouMean(word string, candidates []string) string {
	near := Nearest(word, candidates, 3)
	if len(near) == 0 {
		return ""
	}
	for i, n := range near {
		near[i] = `"` + n + `"`
	}
	return "did you mean " + strings.Join(near, " or ") + "?"
}

func shareAPart(a, b string) bool {
	for _, p := range strings.Split(a, "-") {
		if len(p) >= 4 && slices.Contains(strings.Split(b, "-"), p) {
			return true
		}
	}
	return false
}

func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	prev2, prev, cur := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(s); i++ {
		cur[0] = i
		for j := 1; j <= len(t); j++ {
			c := 1
			if s[i-1] == t[j-1] {
				c = 0
			}
			cur[j] = min(prev[j]+1, cur[j-1]+1, prev[j-1]+c)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				cur[j] = min(cur[j], prev2[j-2]+1)
			}
		}
		prev2, prev, cur = prev, cur, prev2
	}
	return prev[len(t)]
}
