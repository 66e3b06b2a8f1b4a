package interview

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"seepwright/rules"
)

// mostFound is how many of what a word finds are shown at once.
const mostFound = 15

// Search asks for one of many options by a word of its name: the person types a word and chooses
// among those that have it. ? shows all of them, Enter alone gives blank where that is allowed.
// It gives the index in all.
func (t *Talk) Search(q Question, all []Option) (int, error) {
	q.Note = "Type a word of it, or ? to see all."
	next := ""
	for {
		s := next
		if next = ""; s == "" {
			var err error
			if s, err = t.line(q); err != nil {
				return 0, err
			}
		}
		if s == "" {
			return blank, nil
		}
		var some []int
		for i, o := range all {
			if fold(o.ID) == fold(s) || fold(o.Title) == fold(s) {
				some = []int{i}
				break
			}
			if s == "?" || hasWords(o, s) {
				some = append(some, i)
			}
		}
		q.Again = true
		switch {
		case len(some) == 0:
			t.Tell("Nothing here has the word %q. Try another, or ? to see all.", clip(s))
		case len(some) == 1:
			t.Tell("%s", all[some[0]].Title)
			return some[0], nil
		case len(some) > mostFound && s != "?":
			t.Tell("%d have that word. Type one more word of it.", len(some))
		default:
			pick := Question{ID: q.ID + "/which", Ask: "Which?", Note: "Or another word, to look again.", Back: true}
			for _, i := range some {
				pick.Options = append(pick.Options, Option{all[i].ID, all[i].Title})
			}
			for next == "" {
				s, err := t.line(pick)
				if errors.Is(err, errBack) {
					break
				}
				if err != nil {
					return 0, err
				}
				n, complaint := find(pick.Options, s)
				if complaint == "" {
					return some[n], nil
				}
				if _, e := strconv.Atoi(s); e == nil {
					t.Tell("%s", complaint)
					pick.Again = true
				} else {
					next = s
				}
			}
		}
	}
}

// hasWords tells whether all words are in the name of an option, at the head of a word of it.
func hasWords(o Option, words string) bool {
	name := "-" + fold(strings.NewReplacer("(", " ", ")", " ", ",", " ", ":", " ", "/", " ").Replace(o.ID+" "+o.Title))
	for _, w := range strings.Fields(words) {
		if !strings.Contains(name, "-"+fold(w)) {
			return false
		}
	}
	return true
}

// Blank tells the answer of Enter alone, of Pick and Search.
func Blank(n int) bool { return n == blank }

// Share asks for a share of a hundred, and gives it with its sign; or is what Enter alone means.
func (t *Talk) Share(q Question, or string) (string, error) {
	q.Blank = or
	for {
		s, err := t.line(q)
		if err != nil {
			return "", err
		}
		if s == "" {
			s = or
		}
		var x float64
		if _, e := fmt.Sscanf(strings.TrimSpace(strings.TrimSuffix(s, "%")), "%g", &x); e == nil && x >= 0 && x <= 100 {
			return fmt.Sprintf("%g %%", x), nil
		}
		t.Tell("A number from 0 to 100, please.")
		q.Again = true
	}
}

// HoldWords lists what can hold a joint together, in words.
func HoldWords() []Option {
	var out []Option
	for _, h := range rules.Holds() {
		out = append(out, Option{string(h), holds[h]})
	}
	return out
}
